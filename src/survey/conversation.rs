//! The same questions one at a time, in the order of the trade, for whoever sits at a terminal.
//!
//! Given the lists and what was answered before; asks only what matters after the answers so far, takes a line for each
//! question, goes back, explains. It reads and prints nothing itself, so that a test leads it as a terminal does.

use super::kept;
use super::lists::{ChoiceList, Lists, NOTHING};
use super::paper::MOST_ROOFS;
use super::question::{AnswerKind, Ask, SIDES, SurveyAnswers, SurveyQuestion, SurveySaid, What, letter, questions};
use super::settled::settled;
use super::talk::{BACK, OPEN, TakenLine, Talk, WHY};
use super::walk_drawing::{Walked, WalkedSide};
use crate::model::Finish;

/// What is said first.
pub const FIRST: &str = "\
One question after the other. An empty line takes what stands in [brackets], or leaves the question open; `?` explains it,
`<` goes back, `-` leaves it open. Every answer is kept at once: what is broken off goes on where it stopped.
";

/// A survey that is being talked through.
#[derive(Debug, Clone)]
pub struct Conversation<'a> {
    lists: &'a Lists,
    /// Everything that was answered.
    pub answers: SurveyAnswers,
    all: Vec<SurveyQuestion>,
    /// The questions that were asked, by their places; the last is asked now.
    asked: Vec<usize>,
    today: String,
}

impl Talk for Conversation<'_> {
    /// The question that is asked now, with the heading of its part; `None` once all are asked.
    fn prompt(&self) -> Option<String> {
        let place = *self.asked.last()?;
        let question = self.all.get(place)?;
        let before = self.asked.iter().rev().nth(1).and_then(|&place| self.all.get(place));
        let part = part_of(question);
        let heading = match before.map(part_of) {
            Some(before) if before == part => String::new(),
            _ => format!("\n{part}\n"),
        };
        let ChoiceList { words, free } = self.lists.choices(question);
        let words = match (words.as_slice(), free) {
            ([], _) => String::new(),
            (words, _) if matches!(question.kind, AnswerKind::SideLetter) => {
                format!(" ({} to {})", words[0], letter(self.sides(question.ask.roof).len().max(3) as u8))
            }
            (words, true) => format!(" (such as {})", words.join(", ")),
            (words, false) => format!(" ({})", words.join(", ")),
        };
        let asked = match question.ask.what {
            What::Access(_) => format!("{} (yes, no or a sum)", question.label),
            What::SideLength => format!("side {}: length, m", letter(question.ask.item)),
            What::SideTurn | What::SideFinish | What::SideUpstand | What::SideFlashing | What::SideGutter => {
                format!("side {}: {}{words}", letter(question.ask.item), question.label)
            }
            _ => format!("{}{words}", question.label),
        };
        let usual = self.usual(question).map_or(String::new(), |usual| format!(" [{usual}]"));
        Some(format!("{heading}  {asked}{}{usual}: ", ending(question)))
    }

    /// Takes a line.
    fn take(&mut self, line: &str) -> TakenLine {
        let said = |words: String, changed: bool| TakenLine { words, changed };
        let Some(question) = self.asked.last().and_then(|&place| self.all.get(place)).cloned() else {
            return said(String::new(), false);
        };
        match line.trim() {
            BACK if self.asked.len() > 1 => {
                self.asked.pop();
                said(String::new(), false)
            }
            BACK => said("  this is the first question\n".to_owned(), false),
            WHY => said(self.explained(&question), false),
            OPEN => {
                self.forget(&question);
                self.go_on();
                said(String::new(), true)
            }
            "" => match self.usual(&question) {
                Some(usual) => self.answer(&question, &usual),
                None => {
                    self.forget(&question);
                    self.go_on();
                    said(String::new(), true)
                }
            },
            words => self.answer(&question, words),
        }
    }

    fn kept(&self) -> String {
        kept::of_answers(&self.answers, &self.all)
    }
}

impl<'a> Conversation<'a> {
    /// Begins, or goes on behind what was kept of an earlier sitting.
    pub fn new(lists: &'a Lists, kept: &str, today: String) -> Conversation<'a> {
        let all = in_order();
        let answers = kept::answers_of(kept, &all);
        let mut talk = Conversation { lists, answers, all, asked: Vec::new(), today };
        let known = talk.answers.said.clone();
        // What was answered is not asked again; what was left open is, from the last answer on.
        let last = talk.all.iter().rposition(|question| known.contains_key(&question.ask));
        let mut next = talk.next_from(0);
        while let Some(place) = next {
            talk.asked.push(place);
            if last.is_none_or(|last| place > last) {
                break;
            }
            next = talk.next_from(place + 1);
        }
        if next.is_none() {
            talk.asked.push(talk.all.len());
        }
        talk
    }

    fn answer(&mut self, question: &SurveyQuestion, words: &str) -> TakenLine {
        let sum = words.trim_start_matches('£').starts_with(|c: char| c.is_ascii_digit());
        let question = match question.ask.what {
            What::Access(access) if sum => {
                let ask = Ask { what: What::AccessSum(access), ..question.ask };
                self.all.iter().find(|q| q.ask == ask).cloned().unwrap_or_else(|| question.clone())
            }
            _ => question.clone(),
        };
        if let Err(wrong) = settled(&question, words, self.lists) {
            return TakenLine { words: format!("  {}; {}\n", wrong.fault, wrong.cure), changed: false };
        }
        if let What::Access(access) | What::AccessSum(access) = question.ask.what {
            [What::Access(access), What::AccessSum(access)]
                .into_iter()
                .for_each(|what| drop(self.answers.said.remove(&Ask { what, ..question.ask })));
        }
        self.answers.say(question.ask, words);
        let drawn = match question.ask.what {
            What::SideLength if question.ask.item == 1 => self.walked(question.ask.roof).drawn(),
            What::SideTurn => self.walked(question.ask.roof).drawn(),
            _ => String::new(),
        };
        self.go_on();
        TakenLine { words: drawn, changed: true }
    }

    fn forget(&mut self, question: &SurveyQuestion) {
        self.answers.said.remove(&question.ask);
        if let What::Access(access) = question.ask.what {
            self.answers.said.remove(&Ask { what: What::AccessSum(access), ..question.ask });
        }
    }

    fn go_on(&mut self) {
        let place = self.asked.last().copied().unwrap_or_default();
        let next = self.next_from(place + 1).unwrap_or(self.all.len());
        self.asked.push(next);
    }

    fn next_from(&self, place: usize) -> Option<usize> {
        (place..self.all.len()).find(|&place| self.matters(&self.all[place]))
    }

    // ---- What matters after the answers so far ---------------------------------------------------------------------------

    fn word(&self, ask: Ask) -> Option<&str> {
        self.answers.words(ask)
    }

    fn has(&self, question: &SurveyQuestion, what: What) -> bool {
        self.answers.said.contains_key(&Ask { what, ..question.ask })
    }

    fn matters(&self, question: &SurveyQuestion) -> bool {
        let Ask { roof, item, what } = question.ask;
        let has = |what| self.has(question, what);
        let before = |what| item < 2 || self.answers.said.contains_key(&Ask { item: item - 1, what, ..question.ask });
        let is = |what: What, word: &str| {
            self.word(Ask { what, ..question.ask }).is_some_and(|w| w.eq_ignore_ascii_case(word))
        };
        if roof > 1 {
            let named = |roof| self.answers.said.contains_key(&Ask { roof, item: 0, what: What::RoofName });
            if !named(roof - 1) || (what != What::RoofName && !named(roof)) {
                return false;
            }
        }
        let stays = self.word(Ask { roof, item: 0, what: What::Work }).is_some_and(|work| work != "new");
        if roof > 0 && ((stays && what.is_of_new_roof()) || (!stays && what.is_of_old_roof())) {
            return false;
        }
        let work =
            |part: &str| self.word(Ask { roof, item: 0, what: What::Work }).is_some_and(|work| work.contains(part));
        match what {
            What::AccessSum(_) => false,
            What::Mat | What::Layers => !stays || work("repair"),
            What::PatchName => work("repair") && before(What::PatchWidth),
            What::PatchWidth => work("repair") && before(What::PatchWidth),
            What::PatchAlong | What::PatchDepth | What::PatchAtEdge | What::PatchLayers | What::PatchDeck => {
                has(What::PatchWidth)
            }
            What::PatchUp => has(What::PatchAlong),
            What::Trims | What::Prepare => work("topcoat"),
            What::SideFlashing => has(What::SideLength) && is(What::SideFinish, Finish::Wall.word()),
            What::OpeningKerb => is(What::OpeningFinish, Finish::Kerb.word()),
            What::OpeningUpstand => is(What::OpeningFinish, Finish::Kerb.word()) && !has(What::OpeningKerb),
            What::OpeningTrimmers => has(What::OpeningFinish),
            What::OutletStrainer => has(What::OutletAlong),
            What::CopingBy | What::CopingBoard => has(What::CopingSide),
            What::BoxOutletHead | What::BoxBoard => self.some_side_is(roof, Finish::Gutter),
            What::OverflowAt | What::OverflowWidth | What::OverflowHeight | What::OverflowAbove => {
                has(What::OverflowSide)
            }
            What::RoofAbovePitch => has(What::RoofAboveArea),
            What::BuildWork | What::JoistBreadth | What::JoistDepth | What::CeilingName | What::UValueNow => {
                has(What::BuildKind)
            }
            What::CeilingThickness | What::CeilingLambda => has(What::CeilingName),
            What::InsulationBoard | What::Overlay | What::VapourWidth => is(What::BuildKind, "warm"),
            What::VapourLength => has(What::VapourWidth),
            What::BetweenName => has(What::BuildKind),
            What::BetweenThickness | What::BetweenLambda => has(What::BetweenName),
            What::Void | What::VentGap => is(What::BuildKind, "cold"),
            What::SideLength => before(What::SideLength) && !self.closed_before(roof, item),
            What::SideTurn | What::SideFinish => has(What::SideLength),
            What::SideUpstand => has(What::SideLength) && is(What::SideFinish, Finish::Wall.word()),
            What::SideGutter => has(What::SideLength) && is(What::SideFinish, Finish::Drip.word()),
            What::TieFrom => before(What::TieFrom),
            What::TieTo | What::TieLength => has(What::TieFrom),
            What::Firrings => {
                !self.word(Ask { what: What::Fall, ..question.ask }).is_some_and(|fall| fall.starts_with("existing"))
            }
            What::Board => !is(What::DeckAction, "keep"),
            What::Tip => has(What::OldCovering) && !is(What::OldCovering, NOTHING),
            What::OldBoards => has(What::Tip) && is(What::DeckAction, "new"),
            What::OpeningName => before(What::OpeningName),
            What::OpeningFinish | What::OpeningAlong | What::OpeningUp => has(What::OpeningName),
            What::OpeningWidth | What::OpeningDepth => has(What::OpeningName) && has(What::OpeningFinish),
            What::OpeningRound => has(What::OpeningName) && !has(What::OpeningFinish),
            What::OutletAlong => before(What::OutletAlong),
            What::OutletUp | What::OutletSize | What::OutletHead => has(What::OutletAlong),
            What::DoorSide => before(What::DoorSide),
            What::DoorFrom | What::DoorWidth | What::DoorSill => has(What::DoorSide),
            What::CopingHeight | What::CopingWidth | What::CopingCover => has(What::CopingSide),
            What::TilesCovering | What::TilesGauge | What::TilesCover | What::TilesPitch | What::TilesBy => {
                self.some_side_is(roof, Finish::Step)
            }
            What::BoxWidth | What::BoxDepth | What::BoxFall | What::BoxOutletAt | What::BoxOutletSize => {
                self.some_side_is(roof, Finish::Gutter)
            }
            What::LadderAt => has(What::LadderSide),
            What::JoistFirst | What::JoistLast => has(What::JoistSpacing),
            What::ExtraItem => before(What::ExtraItem),
            What::ExtraCost | What::ExtraOptional => has(What::ExtraItem),
            What::ExtraPrice => has(What::ExtraItem) && !has(What::ExtraCost),
            _ => true,
        }
    }

    fn some_side_is(&self, roof: u8, finish: Finish) -> bool {
        let is = |(ask, said): (&Ask, &SurveySaid)| {
            let word = SurveySaid::Words(finish.word().to_owned());
            ask.roof == roof && ask.what == What::SideFinish && *said == word
        };
        self.answers.said.iter().any(is)
    }

    /// The sides of a roof as they were given, as far as they can be walked.
    fn sides(&self, roof: u8) -> Vec<WalkedSide> {
        let of = |item: u8| {
            let length = SurveyQuestion::at(&self.all, Ask { roof, item, what: What::SideLength })?;
            let length = settled(length, self.word(length.ask)?, self.lists).ok()?;
            let turn = self.word(Ask { roof, item, what: What::SideTurn }).unwrap_or("left");
            WalkedSide::of(&length, if item == 1 { "" } else { turn })
        };
        (1..=SIDES).map_while(of).collect()
    }

    fn walked(&self, roof: u8) -> Walked {
        Walked::along(&self.sides(roof))
    }

    /// Whether the walk is closed before a side.
    fn closed_before(&self, roof: u8, item: u8) -> bool {
        let sides = self.sides(roof);
        let before = usize::from(item - 1);
        sides.len() >= before && before >= 3 && Walked::along(&sides[..before]).is_closed()
    }

    // ---- What is usual, and why it is asked --------------------------------------------------------------------------------

    /// What an empty line takes: the answer that stands, or the usual one.
    fn usual(&self, question: &SurveyQuestion) -> Option<String> {
        let Ask { roof, item, what } = question.ask;
        if let Some(said) = self.word(question.ask) {
            return Some(said.replace('\n', ", "));
        }
        if let What::Access(access) = what {
            return self.word(Ask { what: What::AccessSum(access), ..question.ask }).map(str::to_owned);
        }
        let usual = match what {
            What::SurveyedOn => self.today.clone(),
            What::RoofName if roof == 1 => "Main roof".to_owned(),
            What::Work => "new".to_owned(),
            What::MeasuredTo => "battens".to_owned(),
            What::SideLength => {
                let sides = self.sides(roof);
                let before = sides.get(..usize::from(item) - 1)?;
                return Walked::along(before).closing();
            }
            What::SideTurn => "left".to_owned(),
            What::FallsTo => {
                let drips = |item: &u8| {
                    self.word(Ask { roof, item: *item, what: What::SideFinish }) == Some(Finish::Drip.word())
                };
                let drips: Vec<u8> = (1..=SIDES).filter(drips).collect();
                let [only] = drips.as_slice() else { return None };
                letter(*only).to_string()
            }
            What::Fall => "1:40".to_owned(),
            What::JoistRun => "front to back".to_owned(),
            What::JoistSpacing => "400".to_owned(),
            What::DeckAction => "new".to_owned(),
            What::Mat => "450".to_owned(),
            What::Layers => "1".to_owned(),
            What::FlashingBy | What::Firrings | What::TilesBy | What::CopingBy => "us".to_owned(),
            What::Surface => "smooth".to_owned(),
            _ => return None,
        };
        Some(usual)
    }

    /// What a question is for, and a picture of it in words.
    fn explained(&self, question: &SurveyQuestion) -> String {
        let mut text = String::new();
        if let Some(key) = self.lists.explained(question) {
            text.push_str(&format!("    {}\n", key.purpose));
            if !key.changes.is_empty() {
                text.push_str(&format!("    It decides: {}.\n", key.changes));
            }
            if let Some(limit) = key.limit {
                text.push_str(&format!("    It lies {}.\n", limit.words()));
            }
            if !key.example.is_empty() {
                text.push_str(&format!("    For example {}.\n", key.example));
            }
        }
        for line in pictured(question.ask.what).lines() {
            text.push_str(&format!("    {line}\n"));
        }
        if text.is_empty() {
            "    For whoever writes the job; it stands in the file as a remark.\n".to_owned()
        } else {
            text
        }
    }
}

impl SurveyQuestion {
    fn at(all: &[SurveyQuestion], ask: Ask) -> Option<&SurveyQuestion> {
        all.iter().find(|question| question.ask == ask)
    }
}

/// The questions in the order of a talk: the length of a side comes before its corner, since an empty one ends the walk.
fn in_order() -> Vec<SurveyQuestion> {
    let mut all = questions(MOST_ROOFS);
    let mut place = 0;
    while place + 1 < all.len() {
        if all[place].ask.what == What::SideTurn && all[place + 1].ask.what == What::SideLength {
            all.swap(place, place + 1);
            place += 1;
        }
        place += 1;
    }
    all
}

/// The part of the talk in which a question stands.
fn part_of(question: &SurveyQuestion) -> String {
    let Ask { roof, item, what } = question.ask;
    match what {
        What::Access(_) | What::AccessSum(_) => "Always asked, because always forgotten".to_owned(),
        What::ExtraItem | What::ExtraCost | What::ExtraPrice | What::ExtraOptional => format!("Extra {item}"),
        What::Notes | What::ShownBy | What::SurveyedBy => "For the office".to_owned(),
        What::BuiltBefore | What::Asbestos => "Asbestos".to_owned(),
        _ if roof == 0 => "Who and where".to_owned(),
        _ if (What::SideTurn..=What::SideGutter).contains(&what) => format!("Roof {roof}: sides"),
        What::TieFrom | What::TieTo | What::TieLength => format!("Roof {roof}: distances across"),
        _ if (What::BuildKind..=What::UValueNow).contains(&what) => format!("Roof {roof}: insulation"),
        _ if (What::PatchName..=What::PatchDeck).contains(&what) => format!("Roof {roof}: patch {item}"),
        What::OpeningName
        | What::OpeningFinish
        | What::OpeningAlong
        | What::OpeningUp
        | What::OpeningWidth
        | What::OpeningDepth
        | What::OpeningRound
        | What::OpeningKerb
        | What::OpeningTrimmers
        | What::OpeningUpstand => format!("Roof {roof}: opening {item}"),
        What::OutletAlong | What::OutletUp | What::OutletSize | What::OutletHead | What::OutletStrainer => {
            format!("Roof {roof}: outlet {item}")
        }
        What::DoorSide | What::DoorFrom | What::DoorWidth | What::DoorSill => format!("Roof {roof}: door {item}"),
        _ => format!("Roof {roof}"),
    }
}

/// What an empty line means where it ends a list.
fn ending(question: &SurveyQuestion) -> &'static str {
    match question.ask.what {
        What::SideLength if question.ask.item > 3 => "; empty: that was the last side",
        What::TieFrom => ", such as A/B; empty: none",
        What::OpeningName => "; empty: none",
        What::OpeningFinish => "; empty: it is a pipe",
        What::OutletAlong
        | What::DoorSide
        | What::CopingSide
        | What::LadderSide
        | What::OverflowSide
        | What::RoofAboveArea
        | What::ExtraItem => "; empty: none",
        What::PatchWidth if question.ask.item > 1 => "; empty: that was the last",
        What::PatchAlong => "; empty: the crew finds it",
        What::BuildKind => "; empty: it is not gone into",
        What::RoofName if question.ask.roof > 1 => "; empty: no other roof",
        _ => "",
    }
}

/// A picture in words, where a name alone does not show it.
fn pictured(what: What) -> &'static str {
    match what {
        What::SideLength => {
            "Stand below the roof and look at it. Side A runs in front of you from left to right; go on round it, the roof\n\
             always at your left hand: B, C, D until you are back where A began."
        }
        What::SideTurn => {
            "You have walked along the side before. At its end you turn: left where the roof goes on round its own corner, right\n\
             where it steps back into itself, as in an L. A corner that is not square has its degrees: left 45."
        }
        What::SideFinish => {
            "drip: the low edge, water runs off it into a gutter. raised: a side with a kerb that keeps the water on.\n\
             wall: the roof meets masonry that stands higher. step: it goes in under tiles or slates. gutter: it ends at the\n\
             lip of a boarded gutter in front of a parapet."
        }
        What::SideUpstand => {
            "Lay the rule on the old roof against the wall: so much of the wall is free up to the sill or render."
        }
        What::TieFrom | What::TieTo | What::TieLength => {
            "A tape across the roof from corner to corner shows whether it is square. The corner between A and B is A/B."
        }
        What::MeasuredTo => {
            "battens: to where the trims will stand. fascia: to the board; the battens come outside it."
        }
        What::JoistFirst | What::JoistLast => {
            "From the front left corner to its middle, along the front or up the side that the joists lie across; empty: from the \
             corner in whole spacings."
        }
        What::JoistRun => "Look at the roof from the front: do the joists come towards you, or lie across?",
        What::OpeningFinish => "kerb: a rooflight or hatch on a timber frame. wall: a chimney.",
        What::OpeningUpstand => {
            "A kerb that stays: lay the rule on the old roof at the higher side of the opening, up to the kerb's top."
        }
        What::OpeningAlong | What::OpeningUp | What::OutletAlong | What::OutletUp => {
            "From the front left corner: first along side A to the right, then straight up the roof to its nearest corner."
        }
        What::DoorSill => "From the old roof up to the underside of the sill of a door in that wall.",
        What::CopingSide => {
            "A low wall that the roof is carried over, and covered anew: a parapet, a wall between two roofs."
        }
        What::TilesGauge => "Up the slope from the edge of one course to the edge of the next.",
        What::Asbestos => {
            "Break, drill and scrape nothing to find out. Not known counts as yes: the order is held until it is surveyed."
        }
        What::LadderAt => {
            "From where that side begins, going round as the letters go, to the middle of the ladder point."
        }
        _ => "",
    }
}
