//! Which sheets cover a roof for the night, and how many: by the roof's shape, not by its area.
//!
//! Given a roof's outline, how far the sheets reach past it and the sizes that are sold; gives the size of which the least
//! sheet is bought, and how many of it. Sheets lie side by side, lapped, all one way round; where nothing of the roof and
//! its margin lies, none is needed.

use super::line::{Step, Unit};
use super::working::{count, formula, measured, number, rule};
use crate::geometry::region::Region;
use crate::model::{Area, Length, Point, Rules};
use crate::takeoff::layout::shape::RoofShape;
use rust_decimal::Decimal;
use std::cmp::Reverse;

/// Sheets of one size over a roof.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Sheets {
    /// Area of all, mm².
    pub area: i64,
    /// How many.
    pub count: i64,
    /// Along the front, then up the roof.
    pub lies: (Length, Length),
}

impl Sheets {
    /// The size by which the sheet is asked for: its longer side.
    pub fn size(&self) -> Length {
        self.lies.0.max(self.lies.1)
    }
}

/// The sheets of the size of which the least is bought, the fewest among equals; `None` where no size is known.
pub fn cover(shape: &RoofShape, rules: &Rules, sold: &[(Length, Length)]) -> Option<Sheets> {
    over(&Region::of_ring(&shape.ring()), rules, sold)
}

/// The same over what of a roof may lie open.
pub fn over(open: &Region, rules: &Rules, sold: &[(Length, Length)]) -> Option<Sheets> {
    let both_ways = sold.iter().flat_map(|&(long, wide)| [(long, wide), (wide, long)]);
    both_ways.filter_map(|lies| laid(open, rules, lies)).min()
}

/// So many sheets that lie one way round; `None` where one is no wider than its lap.
fn laid(open: &Region, rules: &Rules, lies: (Length, Length)) -> Option<Sheets> {
    let (margin, lap) = (rules.sheet_margin.as_mm(), rules.sheet_lap.as_mm());
    let bounds = open.bounds()?;
    let pitch = (lies.0.as_mm() - lap, lies.1.as_mm() - lap);
    if pitch.0 <= 0 || pitch.1 <= 0 {
        return None;
    }
    let across =
        |from: i64, to: i64, pitch: i64| Length::mm(to - from + 2 * margin - lap).pieces_of(Length::mm(pitch)).max(1);
    let (columns, rows) =
        (across(bounds.least.x, bounds.most.x, pitch.0), across(bounds.least.y, bounds.most.y, pitch.1));
    let needed = |column: i64, row: i64| {
        let (x, y) = (bounds.least.x - margin + column * pitch.0, bounds.least.y - margin + row * pitch.1);
        let least = Point::new(x - margin, y - margin);
        let most = Point::new(x + lies.0.as_mm() + margin, y + lies.1.as_mm() + margin);
        !open.intersect(&Region::of_box(least, most)).is_empty()
    };
    let places = (0..columns).flat_map(|c| (0..rows).map(move |r| (c, r)));
    let count = i64::try_from(places.filter(|&(c, r)| needed(c, r)).count()).unwrap_or(i64::MAX);
    Some(Sheets { area: (lies.0 * lies.1).as_mm2() * count, count, lies })
}

/// Sheets of one size for roofs that are laid in turn: as many as are wanted on one night.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetsInTurn {
    /// The longer side, then the shorter one.
    sides: (Length, Length),
    /// How many.
    pub count: i64,
    /// The roofs that want so many.
    roofs: Vec<String>,
    /// All roofs that it goes over, each with the square metres of its own sheets.
    pub shared: Vec<(String, Decimal)>,
}

impl SheetsInTurn {
    /// The size by which the sheet is asked for: its longer side.
    pub fn size(&self) -> Length {
        self.sides.0
    }

    /// Square metres of all.
    pub fn area(&self) -> Decimal {
        self.sides.0.metres() * self.sides.1.metres() * Decimal::from(self.count)
    }

    fn words(&self) -> String {
        format!("{} × {}", number(self.sides.0.metres(), Unit::Metre), number(self.sides.1.metres(), Unit::Metre))
    }
}

/// What is wanted of each size, by what of each roof may lie open. Roofs are opened in turn, and no more than two lie under sheets on one
/// night, whichever follows which: the one that is closed that day and the one that is begun. Their sheets go on to the next.
pub fn in_turn(open: &[(&str, Region)], rules: &Rules, sold: &[(Length, Length)]) -> Vec<SheetsInTurn> {
    let covered: Vec<(&str, Sheets)> =
        open.iter().filter_map(|(name, open)| Some((*name, over(open, rules, sold)?))).collect();
    let sides = |s: &Sheets| (s.size(), s.lies.0.min(s.lies.1));
    let mut sizes: Vec<(Length, Length)> = covered.iter().map(|(_, s)| sides(s)).collect();
    sizes.sort_unstable();
    sizes.dedup();
    let most = |size: (Length, Length)| {
        let mut of_size: Vec<&(&str, Sheets)> = covered.iter().filter(|(_, s)| sides(s) == size).collect();
        let area = |s: &Sheets| Area::mm2(s.area).square_metres();
        let shared = of_size.iter().map(|(name, s)| ((*name).to_owned(), area(s))).collect();
        of_size.sort_by_key(|(_, s)| Reverse(s.count));
        of_size.truncate(2);
        let roofs = of_size.iter().map(|(name, _)| (*name).to_owned()).collect();
        SheetsInTurn { sides: size, count: of_size.iter().map(|(_, s)| s.count).sum(), roofs, shared }
    };
    sizes.into_iter().map(most).collect()
}

/// The working of the sheets of several roofs.
pub fn working_in_turn(sheets: &[SheetsInTurn], rules: &Rules) -> Vec<Step> {
    if sheets.is_empty() {
        return Vec::new();
    }
    let of_size = |s: &SheetsInTurn| {
        measured(format!("{}: {}", s.words(), s.roofs.join(" and ")), count(s.count as usize), Unit::Each)
    };
    let text: Vec<String> = sheets.iter().map(|s| format!("{} × {}", s.count, s.words())).collect();
    let mut steps = vec![rule("sheet_margin", rules.sheet_margin), rule("sheet_lap", rules.sheet_lap)];
    steps.push(Step::Note(
        "roofs are opened in turn, and two lie under sheets on one night at most: of each size as many as the two want that \
         want most; their sheets go on to the next"
            .into(),
    ));
    steps.extend(sheets.iter().map(of_size));
    steps.push(formula(text.join(" + "), sheets.iter().map(SheetsInTurn::area).sum(), Unit::SquareMetre));
    steps
}

/// The working of the sheets over what of a roof may lie open, by what that is called.
pub fn working_over(open: &Region, called: &str, rules: &Rules, sold: &[(Length, Length)]) -> Vec<Step> {
    let (Some(b), Some(sheets)) = (open.bounds(), over(open, rules, sold)) else { return Vec::new() };
    let across = |from: i64, to: i64| Length::mm(to - from).metres();
    let (x, y) = (sheets.lies.0.metres(), sheets.lies.1.metres());
    let total = x * y * Decimal::from(sheets.count);
    let n = sheets.count;
    let text = format!("{n} × {} × {}", number(x, Unit::Metre), number(y, Unit::Metre));
    vec![
        measured(format!("across {called}"), across(b.least.x, b.most.x), Unit::Metre),
        measured(format!("up {called}"), across(b.least.y, b.most.y), Unit::Metre),
        rule("sheet_margin", rules.sheet_margin),
        rule("sheet_lap", rules.sheet_lap),
        measured("sizes of sheet that are sold", count(sold.len()), Unit::Each),
        Step::Note("side by side, lapped, over that and its margin; of the size of which the least is bought".into()),
        formula(text, total, Unit::SquareMetre),
    ]
}
