//! Answers as they are kept between two sittings: a line each, question and answer.
//!
//! Given answers by their names; gives text, and from it the same answers. A line that no question has any more is dropped.

use super::question::{Ask, SurveyAnswers, SurveyQuestion};
use crate::job_file::reference::pairs_of;
use crate::job_file::scalar;
use std::fmt::Write as _;

const HEAD: &str =
    "# A survey that was broken off; `wetout new` goes on with it, and takes this file away once the job is written.\n";

/// The text of some pairs.
pub(super) fn written<'a>(pairs: impl Iterator<Item = (&'a str, &'a str)>) -> String {
    let mut text = HEAD.to_owned();
    for (name, words) in pairs {
        let _ = writeln!(text, "{}: {}", scalar(name), scalar(words));
    }
    text
}

/// The answers of a survey.
pub(super) fn of_answers(answers: &SurveyAnswers, all: &[SurveyQuestion]) -> String {
    let name = |ask: &Ask| all.iter().find(|question| question.ask == *ask).map(|question| question.name.as_str());
    written(answers.said.keys().filter_map(|ask| Some((name(ask)?, answers.words(*ask)?))))
}

/// The same, read back.
pub(super) fn answers_of(text: &str, all: &[SurveyQuestion]) -> SurveyAnswers {
    let mut answers = SurveyAnswers::default();
    for (name, words) in pairs_of(text) {
        if let Some(question) = all.iter().find(|question| question.name == name) {
            answers.say(question.ask, &words);
        }
    }
    answers
}
