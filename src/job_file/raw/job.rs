//! The job file as it is written: every key, none of the meaning.
//!
//! Given by the file; nothing outside `job_file` sees these types. A value that stands here is well formed; whether
//! it makes sense with the others is for the builders.

use super::checks::{RawBuildUp, RawGutter, RawLift, RawRoofAbove};
use crate::job_file::read::reading::{Anything, At, FromFile, List, Named, OneOrMany, Slot, Word, Wrong, settings};
use crate::job_file::read::scalars::{
    Celsius, Hours, Part, Percent, PercentRange, Text, Turn, YesNo, YesNoSum, choose,
};
use crate::model::fire::RoofClass;
use crate::model::job::{Answer, By};
use crate::model::shape::{DeckAction, Joints, JoistRun, MeasuredTo};
use crate::model::{Area, Fall, Finish, Flashing, Length};
use crate::pricing::Money;
use crate::pricing::options::Show;
use crate::programme::Operation;
use time::Date;

settings! {
    /// The whole file.
    pub struct RawJob = "a job" {
        reference: Text, needed "26-041";
        title: Text, needed "Kitchen extension";
        prepared: Date, needed "2026-11-25";
        start: Date;
        customer: RawCustomer, needed "{name: …, address: […]}";
        site: RawSite;
        access: Named<YesNoSum>;
        conditions: RawConditions;
        roofs: List<RawRoof>, needed "[{name: Main roof, …}]";
        strip: RawStrip;
        asbestos: Answer;
        flashing: By;
        delivery: RawDelivery;
        boundary: Length;
        roof_class: RoofClass;
        lift: RawLift;
        wind_from: Text;
        extras: List<RawExtra>;
        options: List<RawOption>;
        quote: RawQuote;
        photos: List<RawPhoto>;
    }
}

settings! {
    /// The householder.
    pub struct RawCustomer = "`customer`" {
        name: Text, needed "A. Householder";
        address: Lines, needed "[1 Example Street, Anytown]";
        email: Text;
        phone: Text;
    }
}

settings! {
    /// The place.
    pub struct RawSite = "`site`" {
        address: Lines;
        eaves_height: Length;
        built_before_2000: Answer;
        access: Text;
        hospital: Text;
    }
}

settings! {
    /// Weather.
    pub struct RawConditions = "`conditions`" {
        air: Celsius;
        humidity: PercentRange;
        surface: Celsius;
        night_low: Celsius;
        moisture: PercentRange;
        dry_hours: Hours;
    }
}

settings! {
    /// One roof.
    pub struct RawRoof = "a roof" {
        name: Text, needed "Main roof";
        outline: RawOutline, needed "{rectangle: {width: 5.2 m, depth: 3.4 m}}";
        edges: Named<OneOrMany<RawEdge>>, needed "{front: {finish: drip}, …}";
        holes: List<RawHole>;
        falls_to: Text;
        fall: Fall;
        joists: RawJoists;
        measured_to: MeasuredTo;
        way_off: Text;
        deck: RawDeck, needed "{action: new, board: osb3-18}";
        laminate: RawLaminate, needed "{mat: 450, layers: 1}";
        topcoat: RawTopcoat, needed "{colour: dark grey, finish: smooth}";
        wall_above: RawWallAbove;
        roof_above: RawRoofAbove;
        build_up: RawBuildUp;
        outlet: RawOutlet;
    }
}

settings! {
    /// The shape, in one of three ways.
    pub struct RawOutline = "`outline`" {
        rectangle: RawRectangle;
        quadrilateral: RawQuadrilateral;
        walk: List<RawLeg>;
    }
}

settings! {
    /// A rectangle.
    pub struct RawRectangle = "`rectangle`" {
        width: Length, needed "5.2 m";
        depth: Length, needed "3.4 m";
    }
}

settings! {
    /// Four sides and a diagonal.
    pub struct RawQuadrilateral = "`quadrilateral`" {
        front: Length, needed "5.20 m";
        right: Length, needed "3.42 m";
        back: Length, needed "5.18 m";
        left: Length, needed "3.40 m";
        diagonal: Length, needed "6.22 m";
        other_diagonal: Length;
    }
}

settings! {
    /// One leg of a walk.
    pub struct RawLeg = "a leg of the walk" {
        edge: Text, needed "front";
        turn: Turn;
        go: Length, needed "5.2 m";
    }
}

settings! {
    /// An edge, or one stretch of it.
    pub struct RawEdge = "an edge" {
        finish: Finish, needed "drip";
        go: Length;
        gutter: RawGutter;
        upstand: Length;
        flashing: Flashing;
        ladder_point: Length;
        joints: Joints;
    }
}

settings! {
    /// A hole.
    pub struct RawHole = "a hole" {
        name: Text, needed "rooflight";
        at: List<Length>, needed "[1.8 m, 1.1 m]";
        size: List<Length>;
        round: Length;
        finish: Finish;
    }
}

settings! {
    /// The joists.
    pub struct RawJoists = "`joists`" {
        run: JoistRun, needed "front to back";
        spacing: Length, needed "400 mm";
        first: Length;
    }
}

settings! {
    /// The deck.
    pub struct RawDeck = "`deck`" {
        action: DeckAction, needed "new";
        board: Text;
    }
}

settings! {
    /// The laminate.
    pub struct RawLaminate = "`laminate`" {
        mat: u32, needed "450";
        layers: u32;
    }
}

settings! {
    /// The topcoat.
    pub struct RawTopcoat = "`topcoat`" {
        colour: Text, needed "dark grey";
        finish: Text;
    }
}

settings! {
    /// Wall that drains onto the roof.
    pub struct RawWallAbove = "`wall_above`" {
        area: Area, needed "15.6 m2";
    }
}

settings! {
    /// An outlet in the roof.
    pub struct RawOutlet = "`outlet`" {
        at: List<Length>, needed "[2.6 m, 0.2 m]";
        size: Length, needed "75 mm";
        head: Length;
        strainer: YesNo;
    }
}

settings! {
    /// What comes off.
    pub struct RawStrip = "`strip`" {
        covering: Text, needed "felt";
        tip: Text, needed "skip";
    }
}

settings! {
    /// The delivery.
    pub struct RawDelivery = "`delivery`" {
        earliest: Date;
        latest: Date;
        note: Text;
    }
}

settings! {
    /// An extra.
    pub struct RawExtra = "an extra" {
        item: Text, needed "new soil vent cowl";
        cost: Money;
        cost_a_day: Money;
        price: Money;
        optional: YesNo;
        provisional: YesNo;
        in_total: YesNo;
    }
}

settings! {
    /// An alternative.
    pub struct RawOption = "an option" {
        name: Text, needed "Heavier mat";
        change: Anything;
        without: RawWithout;
        show: Show;
    }
}

settings! {
    /// What an option leaves out, by name.
    pub struct RawWithout = "`without`" {
        extras: List<Text>;
        holes: List<Text>;
        notes: List<Text>;
        exclusions: List<Text>;
    }
}

settings! {
    /// What the quote says.
    pub struct RawQuote = "`quote`" {
        valid_days: u32;
        notes: List<Text>;
        exclusions: List<Text>;
        stages: List<RawStage>;
        vat: RawClaim;
    }
}

settings! {
    /// A rate of VAT that the job claims, with its reason.
    pub struct RawClaim = "`vat`" {
        rate: Percent, needed "5 %";
        reason: Text, needed "empty two years";
    }
}

settings! {
    /// A payment.
    pub struct RawStage = "a stage" {
        when: Text, needed "Deposit, when you accept";
        part: Part, needed "25 %";
        after: Operation;
    }
}

settings! {
    /// A photograph.
    pub struct RawPhoto = "a photograph" {
        file: Text, needed "front.jpg";
        caption: Text;
    }
}

impl Word for Show {
    const WHAT: &'static str = "how an option is shown";
    fn parse(text: &str) -> Result<Show, Wrong> {
        choose(text, Show::WHAT, &[("difference", Show::Difference), ("total", Show::Total)])
    }
}

/// An address: a list of lines, one text, or the word `same`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lines(pub Vec<String>);

impl Lines {
    /// Whether it says `same`.
    pub fn is_same(&self) -> bool {
        self.0.len() == 1 && self.0[0] == "same"
    }
}

impl FromFile for Lines {
    fn read(at: At<'_>) -> Slot<Lines> {
        match OneOrMany::<Text>::read(at) {
            Slot::Given(OneOrMany::One(text)) => {
                Slot::Given(Lines(text.0.lines().map(|l| l.trim().to_owned()).filter(|l| !l.is_empty()).collect()))
            }
            Slot::Given(OneOrMany::Many(all)) => all_given(all).map_or(Slot::Bad, |all| Slot::Given(Lines(all))),
            Slot::Missing | Slot::Bad => Slot::Bad,
        }
    }
}

/// The texts of a list, if every one is good.
fn all_given(all: List<Text>) -> Option<Vec<String>> {
    all.into_iter().map(|t| t.take().map(|t| t.0)).collect()
}

/// The good texts of a list that may be missing.
pub fn texts(list: Slot<List<Text>>) -> Vec<String> {
    list.take().unwrap_or_default().into_iter().filter_map(|t| t.take().map(|t| t.0)).collect()
}
