//! What can be chosen: the reader's own words, and what the firm and its merchants offer.
//!
//! Given the firm file and the price books; gives for each question its list, and whether other words are good too. A
//! finish, a covering or a colour that is added to its table stands on the form without more ado.

use super::question::{AnswerKind, SIDES, SurveyQuestion, What, letter, questions};
use crate::job_file::OfficeFiles;
use crate::job_file::reference::{Explained, FileKind, Form, Writing, all};
use crate::model::gutter::GutterShape;
use crate::model::trade::Keyed;
use crate::model::{Finish, Products, Role, Trade};
use std::collections::BTreeMap;

/// The lists of the questions.
#[derive(Debug, Clone)]
pub struct Lists {
    keys: BTreeMap<String, Explained>,
    trade: Trade,
    boards: Vec<String>,
    mats: Vec<String>,
    insulation: Vec<String>,
    colours: Vec<String>,
    /// Whether a price book says what is sold.
    sold: bool,
}

/// What can be chosen.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct ChoiceList {
    /// The words.
    pub(crate) words: Vec<String>,
    /// Whether others are good too.
    pub(crate) free: bool,
}

impl Lists {
    /// The lists of a firm and its merchants.
    pub fn of(office: &OfficeFiles) -> Lists {
        let Products { boards, mats, insulation, .. } = &office.products;
        let articles = office.books.iter().flat_map(|book| &book.articles);
        let mut colours: Vec<String> = articles
            .filter_map(|article| match &article.role {
                Role::Topcoat(colour) => Some(colour.replace('-', " ")),
                _ => None,
            })
            .collect();
        colours.sort_unstable();
        colours.dedup();
        Lists {
            keys: all(FileKind::Job).into_iter().map(|key| (key.name(), key)).collect(),
            trade: office.trade.clone(),
            boards: boards.keys().cloned().collect(),
            mats: mats.keys().map(u32::to_string).collect(),
            insulation: insulation.keys().cloned().collect(),
            colours,
            sold: !office.books.is_empty(),
        }
    }

    /// What is known of the key that a question answers.
    pub(crate) fn explained(&self, question: &SurveyQuestion) -> Option<&Explained> {
        self.keys.get(question.key)
    }

    /// What is known of a key.
    pub(crate) fn purpose(&self, key: &str) -> &str {
        self.keys.get(key).map_or("", |key| key.purpose.as_str())
    }

    /// How a key could be written, where nothing is known yet. Nobody is led to a no that was never asked.
    pub(crate) fn example(&self, key: &str) -> &str {
        match key {
            "asbestos" | "site.built_before_2000" => "not known",
            "roofs.strip" => "{covering: felt, tip: skip}",
            key => self.keys.get(key).map_or("", |key| key.example.as_str()),
        }
    }

    /// What can be chosen for an answer.
    pub(crate) fn choices(&self, question: &SurveyQuestion) -> ChoiceList {
        let closed = |words: Vec<String>| ChoiceList { words, free: false };
        let sold = |words: &[String]| ChoiceList { words: words.to_vec(), free: !self.sold || words.is_empty() };
        let lists = [AnswerKind::Listed, AnswerKind::Ticked, AnswerKind::YesTick, AnswerKind::SideLetter];
        if !lists.contains(&question.kind) {
            return ChoiceList { words: Vec::new(), free: true };
        }
        match question.ask.what {
            What::OldCovering => closed([nothing(), keys(&self.trade.coverings)].concat()),
            What::Tip => closed(keys(&self.trade.tips)),
            What::Surface => closed(keys(&self.trade.surfaces)),
            What::Board | What::Overlay | What::CopingBoard | What::BoxBoard | What::PatchDeck => sold(&self.boards),
            What::InsulationBoard => sold(&self.insulation),
            What::Mat => sold(&self.mats),
            What::OldBoards => ChoiceList { words: vec!["18".to_owned(), "none".to_owned()], free: true },
            What::Colour => sold(&self.colours),
            What::SideGutter => {
                let shapes = GutterShape::WORDS.iter().map(|(word, _)| format!("{word} 112 mm"));
                ChoiceList { words: shapes.collect(), free: true }
            }
            What::SideFinish => closed(self.written(question).words.into_iter().filter(|w| is_of_edges(w)).collect()),
            What::OpeningFinish => {
                closed(self.written(question).words.into_iter().filter(|w| is_of_openings(w)).collect())
            }
            What::Access(_) => closed(vec!["yes".to_owned(), "no".to_owned()]),
            What::ExtraOptional | What::OutletStrainer => closed(vec!["yes".to_owned()]),
            _ if question.kind == AnswerKind::SideLetter => {
                closed((1..=SIDES).map(|side| letter(side).to_string()).collect())
            }
            _ => self.written(question),
        }
    }

    /// The words by which the reader's own table says that a key is written.
    fn written(&self, question: &SurveyQuestion) -> ChoiceList {
        match self.explained(question).map(|key| &key.form) {
            Some(form) => offered(form),
            None => ChoiceList { words: Vec::new(), free: true },
        }
    }
}

/// No trim of an opening stands at an edge.
fn is_of_edges(word: &str) -> bool {
    word != Finish::Kerb.word()
}

/// What stands round a rooflight or a hatch, and round a chimney.
fn is_of_openings(word: &str) -> bool {
    [Finish::Kerb, Finish::Wall].iter().any(|finish| finish.word() == word)
}

fn nothing() -> Vec<String> {
    vec![NOTHING.to_owned()]
}

/// What a roof says of which nothing comes off.
pub(crate) const NOTHING: &str = "nothing";

fn keys<T: Keyed>(all: &[T]) -> Vec<String> {
    all.iter().map(|entry| entry.key().to_owned()).collect()
}

/// The words of a form, and whether it takes others.
fn offered(form: &Form) -> ChoiceList {
    match form {
        Form::Value(_, writing) => of_writing(writing),
        Form::Either(all) => joined(all.iter().map(offered)),
        _ => ChoiceList { words: Vec::new(), free: true },
    }
}

fn of_writing(writing: &Writing) -> ChoiceList {
    match writing {
        Writing::Words(words) => {
            ChoiceList { words: words.iter().map(|word| (*word).to_owned()).collect(), free: false }
        }
        Writing::Either(all) => joined(all.iter().map(of_writing)),
        Writing::Fall => ChoiceList { words: vec!["1:40".to_owned(), "1:60".to_owned()], free: true },
        Writing::Pattern(_, example) => ChoiceList { words: vec![(*example).to_owned()], free: true },
        _ => ChoiceList { words: Vec::new(), free: true },
    }
}

fn joined(lists: impl Iterator<Item = ChoiceList>) -> ChoiceList {
    lists.fold(ChoiceList::default(), |mut all, list| {
        all.words.extend(list.words);
        ChoiceList { free: all.free || list.free, ..all }
    })
}

/// Every question by its name, with what can be answered.
pub fn listing(lists: &Lists, roofs: u8) -> String {
    let line = |question: &SurveyQuestion| {
        let ChoiceList { words, free } = lists.choices(question);
        match (words.is_empty(), free) {
            (true, _) => format!("{}\n", question.name),
            (false, true) => format!("{} (such as {})\n", question.name, words.join(", ")),
            (false, false) => format!("{} ({})\n", question.name, words.join(", ")),
        }
    };
    questions(roofs).iter().map(line).collect()
}
