//! A form that comes back filled in.
//!
//! Given the bytes of a PDF that somebody else has had in hand; gives what was answered, with the page on which each question
//! stands, or why the file is not read. A field that this program does not ask is told, never passed over.

use super::paper::MOST_ROOFS;
use super::question::{AnswerKind, Ask, SurveyAnswers, SurveyQuestion, SurveySaid, questions};
use crate::pdf::returned::{self, FieldAnswer, ReturnedField};
use std::collections::BTreeMap;

/// Why a form is not read, and what to do instead.
type FormNotTaken = (String, &'static str);

const ANEW: &str = "save it from another program, or type what it says: `wetout new FOLDER`";

/// Reads a form; gives also how many roofs it asks about.
///
/// # Errors
/// Why it is not read.
pub fn read(bytes: &[u8]) -> Result<(SurveyAnswers, u8), FormNotTaken> {
    let came = returned::read(bytes).map_err(|(fault, _)| (fault, ANEW))?;
    if came.fields.is_empty() {
        return Err((
            "it has no fields to fill in: it was scanned, photographed or printed into another file".into(),
            ANEW,
        ));
    }
    let all = questions(MOST_ROOFS);
    let known = KnownFields::of(&all);
    let mut answers = SurveyAnswers::default();
    let mut ours = 0;
    let mut ticked: BTreeMap<Ask, Vec<String>> = BTreeMap::new();
    let mut fields = BTreeMap::new();
    for field in &came.fields {
        fields.insert(field.name.clone(), field.page);
        match known.question(&field.name) {
            None => astray(field, &mut answers),
            Some((question, word)) => {
                ours += 1;
                take(question, word, field, &mut answers, &mut ticked);
            }
        }
    }
    if ours == 0 {
        return Err(("none of its fields belongs to a survey form".into(), "name the form that `wetout survey` wrote"));
    }
    for (ask, words) in ticked {
        match words.as_slice() {
            [one] => answers.say(ask, one),
            _ => drop(answers.said.insert(ask, SurveySaid::Several(words))),
        }
    }
    pages(&all, &fields, &mut answers);
    let roofs = answers.pages.keys().map(|ask| ask.roof).max().unwrap_or(1).max(1);
    Ok((answers, roofs))
}

/// The questions by the names of their fields.
struct KnownFields<'a> {
    by_name: BTreeMap<&'a str, &'a SurveyQuestion>,
}

impl<'a> KnownFields<'a> {
    fn of(questions: &'a [SurveyQuestion]) -> KnownFields<'a> {
        KnownFields { by_name: questions.iter().map(|question| (question.name.as_str(), question)).collect() }
    }

    /// The question of a field; of a box to tick, also its word.
    fn question<'n>(&self, field: &'n str) -> Option<(&'a SurveyQuestion, Option<&'n str>)> {
        if let Some(question) = self.by_name.get(field) {
            return Some((question, None));
        }
        let ticked = |kind| matches!(kind, AnswerKind::Ticked | AnswerKind::YesTick);
        let parted = field.match_indices(", ").map(|(at, _)| (&field[..at], &field[at + 2..]));
        parted
            .filter_map(|(name, word)| Some((*self.by_name.get(name)?, word)))
            .find(|(question, _)| ticked(question.kind))
            .map(|(question, word)| (question, Some(word)))
    }
}

fn take(
    question: &SurveyQuestion,
    word: Option<&str>,
    field: &ReturnedField,
    answers: &mut SurveyAnswers,
    ticked: &mut BTreeMap<Ask, Vec<String>>,
) {
    match (&field.answer, word) {
        (FieldAnswer::Tick(true), Some(word)) => ticked.entry(question.ask).or_default().push(word.to_owned()),
        (FieldAnswer::Contradictory, _) => drop(answers.said.insert(question.ask, SurveySaid::Contradictory)),
        (FieldAnswer::Text(words), None) => answers.say(question.ask, words),
        (FieldAnswer::Tick(_), _) | (FieldAnswer::Text(_), Some(_)) => {}
    }
}

fn astray(field: &ReturnedField, answers: &mut SurveyAnswers) {
    let words = match &field.answer {
        FieldAnswer::Text(words) if words.trim().is_empty() => return,
        FieldAnswer::Text(words) => words.trim().to_owned(),
        FieldAnswer::Tick(true) => "ticked".to_owned(),
        FieldAnswer::Contradictory => "ticked and not ticked".to_owned(),
        FieldAnswer::Tick(false) => return,
    };
    answers.astray.push((field.page + 1, field.name.clone(), words));
}

/// On which page of the form each question stands, from 1, by the names of the fields.
fn pages(questions: &[SurveyQuestion], fields: &BTreeMap<String, usize>, answers: &mut SurveyAnswers) {
    for question in questions {
        let own = fields.get(&question.name);
        let ticked =
            || fields.iter().find(|(name, _)| name.starts_with(&format!("{}, ", question.name))).map(|(_, p)| p);
        if let Some(page) = own.or_else(ticked) {
            answers.pages.insert(question.ask, page + 1);
        }
    }
}
