//! The job itself: who, where, when, what is there now, and the roofs.
//!
//! Given the answers of the survey; gives them with every choice named. No money: sums of the job stand in `pricing`.

use super::access::{Access, Beside};
pub use super::as_found::{Answer, Conditions, OldBoards, OwnStrip, RoofOwn, Strip};
pub use super::by::By;
use super::fire::RoofClass;
use super::flashing::Flashing;
use super::goods::{Goods, Promised};
use super::lift::Lift;
use super::old_roof::OldRoof;
use super::shape::{DeckAction, Finish, HoleForm, Roof, TopcoatChoice};
use super::tipping;
use super::units::{Length, Range};
use time::Date;

/// A person or firm with an address.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Party {
    /// Name as it is printed.
    pub name: String,
    /// Address, a line each.
    pub address: Vec<String>,
    /// E-mail, if given.
    pub email: Option<String>,
    /// Telephone, if given.
    pub phone: Option<String>,
}

/// Where the work is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Site {
    /// Address, a line each.
    pub address: Vec<String>,
    /// Height from ground to eaves.
    pub eaves_height: Option<Length>,
    /// Built before 2000: asks the asbestos question.
    pub built_before_2000: Option<Answer>,
    /// How one gets there, as written.
    pub access: Option<String>,
    /// The nearest hospital with an emergency department, as given.
    pub hospital: Option<String>,
}

/// When and how the merchant delivers.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Delivery {
    /// First day that suits.
    pub earliest: Option<Date>,
    /// Last day that suits.
    pub latest: Option<Date>,
    /// What the driver must know.
    pub note: Option<String>,
}

/// What an access answer of the job file says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Forced {
    /// Needed; priced from the firm's figures or a sum of the job.
    Yes,
    /// Not needed, or not included.
    No,
    /// Needed, at a sum that the job file gives (the sum itself stands in the job's money).
    Sum,
    /// Not answered: taken as not included, and said so.
    Unanswered,
}

/// A whole job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Job {
    /// The firm's reference.
    pub reference: String,
    /// A short title.
    pub title: String,
    /// The date of the documents.
    pub prepared: Date,
    /// The first day on site.
    pub start: Option<Date>,
    /// The householder.
    pub customer: Party,
    /// Who signs besides the householder, by name.
    pub co_signers: Vec<String>,
    /// The customer's VAT number, where it is registered.
    pub customer_vat_number: Option<String>,
    /// The customer accounts for the VAT in place of the firm.
    pub reverse_charge: bool,
    /// The place.
    pub site: Site,
    /// An answer to each question of [`Access`], in their order.
    pub access: Vec<(Access, Forced)>,
    /// What is put up for working at height, in the firm's words.
    pub scaffold_is: Option<String>,
    /// Weather, where a roof does not say otherwise.
    pub conditions: Conditions,
    /// The roofs that are laid anew; there is one at least, or one whose laminate stays.
    pub roofs: Vec<Roof>,
    /// The roofs whose laminate stays.
    pub old_roofs: Vec<OldRoof>,
    /// What comes off every roof that does not say otherwise.
    pub strip: Option<Strip>,
    /// Whether asbestos may be there, where a roof does not say otherwise.
    pub asbestos: Answer,
    /// Whether somebody answered that, for the job or for each of its roofs; where nobody did, it follows from what is touched.
    pub asbestos_said: bool,
    /// Who cuts in the flashing, where a roof does not say otherwise.
    pub flashing: By,
    /// The delivery.
    pub delivery: Delivery,
    /// Distance to the boundary.
    pub boundary: Option<Length>,
    /// The class that the covering's own test certificate gives, if it was looked up.
    pub roof_class: Option<RoofClass>,
    /// How packs are lifted, where the job or the firm says.
    pub lift: Option<Lift>,
    /// Which way the wind mostly comes from, as an edge name, if given.
    pub wind_from: Option<String>,
    /// The extras that stand in the price.
    pub extras: Vec<Promised>,
    /// Goods for this job alone.
    pub goods: Vec<Goods>,
    /// Days the quote stands.
    pub valid_days: u32,
    /// Notes for the quote, as written.
    pub notes: Vec<String>,
    /// What the firm will not do, on top of the standing list.
    pub exclusions: Vec<String>,
}

/// The answer to a question among those that were given.
pub fn answer_among(given: &[(Access, Forced)], question: Access) -> Forced {
    given.iter().find(|(q, _)| *q == question).map_or(Forced::Unanswered, |(_, answer)| *answer)
}

impl Job {
    /// The answer to a question.
    pub fn answer(&self, question: Access) -> Forced {
        answer_among(&self.access, question)
    }

    /// The questions that are answered with yes or with a sum, in their order.
    pub fn wanted(&self) -> impl Iterator<Item = (Access, Forced)> + '_ {
        self.access.iter().copied().filter(|(_, answer)| matches!(answer, Forced::Yes | Forced::Sum))
    }

    /// How many gutters hang along drip edges: of a roof by its name, else of all.
    pub fn gutters_on(&self, roof: Option<&str>) -> usize {
        let of = self.roofs.iter().filter(|r| roof.is_none_or(|name| r.name == name));
        let drips = of.flat_map(|roof| &roof.outline.edges).filter(|edge| edge.finish == Finish::Drip);
        drips.filter(|edge| edge.gutter.is_some()).count()
    }

    /// What comes off a roof.
    pub fn strip_of<'a>(&'a self, roof: &'a Roof) -> Option<&'a Strip> {
        match &roof.own.strip {
            None => self.strip.as_ref(),
            Some(OwnStrip::Nothing) => None,
            Some(OwnStrip::Strip(strip)) => Some(strip.as_ref()),
        }
    }

    /// Whether a roof gets a new deck, and what becomes of the old boards under its covering is not said.
    pub fn leaves_boards_unsaid(&self, roof: &Roof) -> bool {
        roof.deck.action == DeckAction::New && self.strip_of(roof).is_some_and(|strip| strip.boards.is_none())
    }

    /// All that comes off, each once, in the order of the roofs.
    pub fn strips(&self) -> Vec<&Strip> {
        let mut all: Vec<&Strip> = Vec::new();
        for strip in self.roofs.iter().filter_map(|roof| self.strip_of(roof)) {
            if !all.contains(&strip) {
                all.push(strip);
            }
        }
        all
    }

    /// What the words of a question of access depend on.
    pub fn beside(&self) -> Beside<'_> {
        let mut edges = self.roofs.iter().flat_map(|roof| &roof.outline.edges);
        Beside {
            skip: self.strips().iter().any(|strip| strip.tip.key == tipping::SKIP),
            lifted: edges.any(|edge| edge.under.is_some()),
            scaffold: self.scaffold_is.as_deref(),
        }
    }

    /// Whether asbestos may be on a roof.
    pub fn asbestos_of(&self, roof: &Roof) -> Answer {
        roof.own.asbestos.unwrap_or(self.asbestos)
    }

    /// Whether asbestos may be there at all: the gravest answer of any roof.
    pub fn gravest_asbestos(&self) -> Answer {
        self.roofs.iter().map(|roof| self.asbestos_of(roof)).max().unwrap_or(self.asbestos)
    }

    /// Who cuts a roof's flashing in.
    pub fn flashing_of(&self, roof: &Roof) -> By {
        roof.own.flashing.unwrap_or(self.flashing)
    }

    /// The roofs whose walls or chimneys others flash.
    pub fn flashed_by_others(&self) -> impl Iterator<Item = &Roof> {
        self.roofs.iter().filter(|roof| self.flashing_of(roof) == By::Others && roof.meets_a_wall())
    }

    /// The weather of a roof.
    pub fn conditions_of(&self, roof: &Roof) -> Conditions {
        roof.own.conditions.as_ref().map_or_else(|| self.conditions.clone(), |own| own.or(&self.conditions))
    }

    /// The air that work is done in: from the coldest of any roof to the warmest.
    pub fn air(&self) -> Option<Range> {
        let all = self.roofs.iter().filter_map(|roof| self.conditions_of(roof).air);
        all.reduce(|a, b| Range { low: a.low.min(b.low), high: a.high.max(b.high) }).or(self.conditions.air)
    }

    /// Every kind of flashing that the firm cuts in, each once.
    pub fn flashings(&self) -> Vec<Flashing> {
        let ours = || self.roofs.iter().filter(|roof| self.flashing_of(roof) == By::Us);
        let cut = |kind: &Flashing| kind.is_cut_in() && ours().any(|r| r.is_flashed_with(*kind));
        Flashing::ALL.into_iter().filter(cut).collect()
    }

    /// The names of its roofs: those laid anew, then those whose laminate stays.
    pub fn roof_names(&self) -> impl Iterator<Item = &String> {
        self.roofs.iter().map(|r| &r.name).chain(self.old_roofs.iter().map(|r| &r.name))
    }

    /// Whether boards that lie there now stay under some roof, where more of them may be found rotten.
    pub fn old_boards_stay(&self) -> bool {
        !self.old_roofs.is_empty() || self.roofs.iter().any(|roof| roof.deck.action != DeckAction::New)
    }

    /// The topcoats of its roofs, in the same order.
    pub fn topcoats(&self) -> impl Iterator<Item = &TopcoatChoice> {
        self.roofs.iter().map(|r| &r.topcoat).chain(self.old_roofs.iter().map(|r| &r.topcoat))
    }

    /// The topcoat of the roof of this name.
    pub fn topcoat_of(&self, name: &str) -> Option<&TopcoatChoice> {
        self.roof_names().zip(self.topcoats()).find(|(roof, _)| *roof == name).map(|(_, topcoat)| topcoat)
    }

    /// The last day on which the quote can be accepted; `valid_days` after `prepared`, inclusive.
    pub fn valid_until(&self) -> Date {
        self.prepared.saturating_add(time::Duration::days(i64::from(self.valid_days)))
    }
}

impl Roof {
    /// What its chimneys are flashed with: what its walls have, lead where none of them is flashed.
    pub fn chimney_flashing(&self) -> Flashing {
        let walls = self.outline.edges.iter().filter(|e| e.is_flashed());
        walls.filter_map(|e| e.flashing).min().unwrap_or(Flashing::Lead)
    }

    /// Whether an edge of it is finished against a wall.
    pub fn meets_a_wall(&self) -> bool {
        self.outline.edges.iter().any(|e| e.finish == Finish::Wall)
    }

    /// Whether a wall or a chimney has this flashing, whoever cuts it in.
    pub fn is_flashed_with(&self, kind: Flashing) -> bool {
        let chimney = |h: &super::shape::Hole| h.finish == Finish::Wall && matches!(h.form, HoleForm::Box { .. });
        self.outline.edges.iter().any(|e| e.flashing == Some(kind))
            || (kind == self.chimney_flashing() && self.holes.iter().any(chimney))
    }
}
