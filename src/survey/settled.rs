//! An answer as a job file takes it.
//!
//! Given what somebody wrote in a box, where the unit stands beside the box; gives the same as the job file is written, or
//! what the reader would say of it. A figure is never guessed: where it could be meant otherwise it is not read.

use super::lists::{ChoiceList, Lists};
use super::question::{AnswerKind, SIDES, SurveyQuestion, What, letter};
use crate::job_file::reference::{FileKind, near_word, tried};
use crate::model::written_day::written_day;

/// Why an answer is not taken, and what to write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct NotSettled {
    /// What is wrong.
    pub(crate) fault: String,
    /// What to write instead.
    pub(crate) cure: String,
}

fn not<T>(fault: impl Into<String>, cure: impl Into<String>) -> Result<T, NotSettled> {
    Err(NotSettled { fault: fault.into(), cure: cure.into() })
}

/// The value for the job file. A side or a corner stays in letters.
///
/// # Errors
/// Why it is not taken.
pub(crate) fn settled(question: &SurveyQuestion, said: &str, lists: &Lists) -> Result<String, NotSettled> {
    let said = said.trim();
    let value = match question.kind {
        _ if matches!(question.ask.what, What::OpeningKerb | What::OpeningTrimmers) => section(said),
        _ if question.ask.what == What::OldBoards => with_unit(&said.to_lowercase(), "mm"),
        AnswerKind::Remark | AnswerKind::Lines => return Ok(said.to_owned()),
        AnswerKind::Words => said.to_owned(),
        AnswerKind::Length(unit) => with_unit(said, unit),
        AnswerKind::Number("1:") => one_in(said),
        AnswerKind::Number(unit) => with_unit(said, unit),
        AnswerKind::Money => said.trim_start_matches('£').trim().to_owned(),
        AnswerKind::Day => match written_day(said) {
            Some(day) => day.to_string(),
            None => return not(format!("`{said}` is not a day"), "write day, month and year, such as 25/11/2026"),
        },
        AnswerKind::SideLetter => return side(said),
        AnswerKind::Corner => return corner(said),
        AnswerKind::Listed | AnswerKind::Ticked | AnswerKind::YesTick => chosen(question, said, lists)?,
    };
    if question.ask.what == What::RoofPhotos {
        return Ok(value);
    }
    match tried(FileKind::Job, question.key, &value) {
        Ok(()) => Ok(value),
        Err(problem) => not(problem.fault.clone(), problem.cure.clone()),
    }
}

/// A bare number takes the unit that is printed beside its box; anything else stays as it is.
fn with_unit(said: &str, unit: &str) -> String {
    let bare = !said.is_empty() && said.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
    match unit {
        "" => said.to_owned(),
        "°" if bare => format!("{said}°"),
        unit if bare => format!("{said} {unit}"),
        _ => said.to_owned(),
    }
}

/// `47x220`: thickness and width of a timber, in the unit of the box.
fn section(said: &str) -> String {
    let bare = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
    match said.trim_end_matches("mm").split_once(['x', 'X', '×', '*']) {
        Some((thickness, width)) if bare(thickness.trim()) && bare(width.trim()) => {
            format!("{} × {} mm", thickness.trim(), width.trim())
        }
        _ => said.to_lowercase(),
    }
}

/// `1:40`, `1 in 40`, `40`.
fn one_in(said: &str) -> String {
    let said = said.replace(" in ", ":").replace(' ', "");
    if said.chars().all(|c| c.is_ascii_digit()) { format!("1:{said}") } else { said }
}

/// A word of a list, in whichever letters; other words where the list is open.
fn chosen(question: &SurveyQuestion, said: &str, lists: &Lists) -> Result<String, NotSettled> {
    let ChoiceList { words, free } = lists.choices(question);
    if let Some(word) = words.iter().find(|word| word.eq_ignore_ascii_case(said)) {
        return Ok(word.clone());
    }
    if free {
        return Ok(match question.ask.what {
            What::Fall => said.replace(" in ", ":"),
            What::SideGutter if said.ends_with(|c: char| c.is_ascii_digit()) => format!("{said} mm"),
            _ => said.to_owned(),
        });
    }
    let cure = match near_word(said, &words) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("it is one of {}", words.join(", ")),
    };
    not(format!("`{said}` is not in the list"), cure)
}

/// The letter of a side: `B`, `b`, `side B`.
fn side(said: &str) -> Result<String, NotSettled> {
    let last = if said.len() == 1 { Some(said) } else { said.to_lowercase().strip_prefix("side ").map(|_| &said[5..]) };
    let letter = last.and_then(|last| side_of(last.trim()));
    match letter {
        Some(side) => Ok(self::letter(side).to_string()),
        None => not(format!("`{said}` is not a side"), format!("write one letter, A to {}", self::letter(SIDES))),
    }
}

/// The place of a side, from 1, by its letter.
pub(crate) fn side_of(said: &str) -> Option<u8> {
    let mut letters = said.chars();
    let (Some(one), None) = (letters.next(), letters.next()) else { return None };
    let place = u32::from(one.to_ascii_uppercase()).checked_sub(u32::from(b'A'))?;
    u8::try_from(place).ok().map(|place| place + 1).filter(|side| *side <= SIDES)
}

/// The two letters of a corner: `A/B`, `AB`, `b-a`.
fn corner(said: &str) -> Result<String, NotSettled> {
    let letters: Vec<String> =
        said.chars().filter(|c| c.is_alphanumeric()).map(|c| c.to_ascii_uppercase().to_string()).collect();
    match letters.as_slice() {
        [a, b] if side_of(a).is_some() && side_of(b).is_some() && a != b => Ok(format!("{a}/{b}")),
        _ => {
            not(format!("`{said}` is not a corner"), "write the letters of the two sides that meet there, such as A/B")
        }
    }
}
