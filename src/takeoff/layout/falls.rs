//! Falls: how high every corner stands, and the firrings that make the fall.
//!
//! Given the roof's shape and its fall; gives heights above the low line in whole millimetres, rounded up, and what is
//! left of an upstand once the roof is built up. A joist along the fall takes a tapered firring; one across it takes a
//! level one, as deep as the roof is high there. A tapered firring keeps a toe at the low line, and all the roof with it.
//! Sizes that differ by no more than the rules are one size, the largest of them: what is over is cut off at the thin end,
//! so that the other end is as deep as it should be. A level one is as deep as the fall asks on its joist: two joists side by
//! side under one size leave a bay without any fall. None is ordered shorter than the rule.

use super::Firring;
use super::deck::joist_lines;
use super::gutter_runs::{gutter_runs, with_outlet};
use super::over_deck;
use super::shape::{Corner, RoofShape};
use super::timber::{OpeningTimber, OpeningTimbers};
use crate::geometry::segment::distance;
use crate::geometry::whole::div_ceil;
use crate::model::products::Board;
use crate::model::shape::DeckAction;
use crate::model::{Length, Point, Roof, Rules};
use rust_decimal::prelude::ToPrimitive;

/// Height of each corner of the outline above the low line, in the order of `shape.corners`.
/// None where the fall is there and was not measured.
pub fn heights(shape: &RoofShape, roof: &Roof) -> Vec<Length> {
    if roof.fall.known().is_none() {
        return Vec::new();
    }
    shape.corners.iter().map(|c| height(shape, roof, c.at)).collect()
}

/// Rise = plan distance up the fall ÷ the fall's run, rounded up to a whole millimetre; nothing where no fall is known.
pub fn height(shape: &RoofShape, roof: &Roof, p: Point) -> Length {
    rise(roof, shape.up_from_low(p))
}

/// Rise over so many millimetres up the fall, as [`height`].
fn rise(roof: &Roof, up: f64) -> Length {
    // A thousandth of a millimetre is rounding, not height.
    Length::mm((up / fall_run(roof) - 1e-3).ceil().max(0.0) as i64)
}

/// How deep the firrings are at a distance up the fall; nothing where none make it.
pub fn firring_at(shape: &RoofShape, roof: &Roof, rules: &Rules, up: Length) -> Length {
    match roof.firred() {
        Some(_) => rise(roof, up.as_mm() as f64) + lift(shape, roof, rules),
        None => Length::ZERO,
    }
}

/// The run of the fall to a rise of one; without end where no fall is known.
fn fall_run(roof: &Roof) -> f64 {
    roof.fall.known().and_then(|f| f.run.to_f64()).filter(|r| *r > 0.0).unwrap_or(f64::INFINITY)
}

/// What a line on the roof is raised by: firring at its higher end, the board, and what lies over the deck. Where old boards
/// are lifted for new ones the board counts by how much thicker it is than they were, less than nothing where it is thinner.
pub fn raised_by(
    shape: &RoofShape,
    roof: &Roof,
    rules: &Rules,
    board: Option<&Board>,
    (from, to): (Point, Point),
) -> (Length, Length, Length) {
    let thickness = deck_rise(roof, board);
    let firring = match roof.firred() {
        Some(_) => height(shape, roof, from).max(height(shape, roof, to)) + lift(shape, roof, rules),
        None => Length::ZERO,
    };
    (firring, thickness, over_deck::height(roof))
}

/// How much higher the new boards of a deck alone make it: less than nothing where they are thinner than old ones that are lifted.
pub fn deck_rise(roof: &Roof, board: Option<&Board>) -> Length {
    let laid = board.filter(|_| roof.deck.action != DeckAction::Keep).map_or(Length::ZERO, |b| b.thickness);
    laid - roof.deck.lifted.unwrap_or_default()
}

/// How much higher a roof becomes, at the corner where it is least and where it is most: firrings, boards, and what lies over
/// the deck, as upstands are reckoned.
pub fn comes_up(shape: &RoofShape, roof: &Roof, rules: &Rules, board: Option<&Board>) -> (Length, Length) {
    let at = |corner: &Corner| {
        let (firring, thickness, over) = raised_by(shape, roof, rules, board, (corner.at, corner.at));
        firring + thickness + over
    };
    let all = || shape.corners.iter().map(at);
    (all().min().unwrap_or_default(), all().max().unwrap_or_default())
}

/// What is left of the surveyed upstand of an edge above the finished roof; `None` where none was surveyed.
pub fn upstand_left(
    shape: &RoofShape,
    roof: &Roof,
    rules: &Rules,
    board: Option<&Board>,
    edge: usize,
) -> Option<Length> {
    let (side, surveyed) = (shape.sides.get(edge)?, roof.outline.edges.get(edge)?.upstand?);
    let (firring, thickness, over) = raised_by(shape, roof, rules, board, (side.from, side.to));
    Some(surveyed - firring - thickness - over)
}

/// What is taken off a surveyed height at an edge, in words that follow it: ` less 89 mm of firring and 18 mm of board`; empty where
/// nothing is.
pub fn built_up_words(shape: &RoofShape, roof: &Roof, rules: &Rules, board: Option<&Board>, edge: usize) -> String {
    let side = &shape.sides[edge];
    let (firring, thickness, over) = raised_by(shape, roof, rules, board, (side.from, side.to));
    let board = if roof.deck.lifted.is_some() { "that the new board is thicker than the old" } else { "of board" };
    let taken = [(firring, "of firring"), (thickness, board), (over, "of insulation and the board over it")];
    let taken = taken.iter().filter(|(by, _)| *by > Length::ZERO).map(|(by, what)| format!("{by} {what}"));
    let taken = taken.collect::<Vec<_>>().join(" and ");
    let mut words = if taken.is_empty() { taken } else { format!(" less {taken}") };
    if thickness < Length::ZERO {
        words += &format!(", and {} that the new board is thinner than the old", -thickness);
    }
    words
}

/// The gutters that come up with the roof by more than their downpipes give, by the sides of their outlets: each with how far.
pub fn gutters_raised(shape: &RoofShape, roof: &Roof, rules: &Rules, board: Option<&Board>) -> Vec<(usize, Length)> {
    let runs = gutter_runs(shape, roof);
    let raised = runs.iter().filter_map(|run| {
        let i = with_outlet(run, roof)?;
        let side = &shape.sides[i];
        let (firring, thickness, over) = raised_by(shape, roof, rules, board, (side.from, side.to));
        Some((i, firring + thickness + over))
    });
    raised.filter(|(_, by)| *by > rules.downpipe_slack).collect()
}

/// One firring a joist, from its low end to its high end, where the firm fixes them; one longer than `longest`, the longest
/// that is sold, in parts of one length that butt on the joist. Where joists run across the fall, one that nowhere wants as
/// much as the rule is packed up on site; where firrings taper, all are so much deeper that none is thinner there.
pub fn firrings(shape: &RoofShape, roof: &Roof, rules: &Rules, longest: Option<Length>) -> Vec<Firring> {
    let all = lifted(shape, roof, rules)
        .into_iter()
        .filter(|f| f.high_depth >= rules.firring_toe && f.high_depth > Length::ZERO);
    let parts = all.filter(|_| roof.firred_by_us().is_some()).flat_map(|f| in_parts(f, longest));
    in_sizes(parts.map(|f| no_shorter(f, shape, roof, rules)).collect(), rules)
}

/// What packs up the timbers round openings that lie under the boards: they are hung level with the joists, and so stand lower
/// than the boards by what the firrings beside them are deep.
pub fn packing(shape: &RoofShape, roof: &Roof, rules: &Rules, openings: &OpeningTimbers) -> Vec<Firring> {
    if roof.firred_by_us().is_none() {
        return Vec::new();
    }
    let lift = lift(shape, roof, rules);
    let of = |p: &OpeningTimber| {
        let f = level_or_rising(shape, roof, (p.from, p.to));
        let (low_depth, high_depth) = (f.low_depth + lift, f.high_depth + lift);
        let packs = Some((p.hole, p.kind));
        no_shorter(Firring { low_depth, high_depth, packs, ..f }, shape, roof, rules)
    };
    let all = openings.under_boards(shape).map(of);
    in_sizes(all.filter(|f| f.high_depth >= rules.firring_toe && f.high_depth > Length::ZERO).collect(), rules)
}

/// A firring as long as one is ordered at least: one that is shorter goes on at its taper past its low end, where what is over
/// is cut off. Parts of one joist butt as they are.
fn no_shorter(firring: Firring, shape: &RoofShape, roof: &Roof, rules: &Rules) -> Firring {
    let own = firring.length;
    if own >= rules.firring_least || firring.part.1 > 1 {
        return firring;
    }
    let length = rules.firring_least;
    // Rounded up, as depths are, and no thinner than the rule.
    let rise = (shape.up_from_low(firring.to) - shape.up_from_low(firring.from)) / fall_run(roof);
    let drop = (rise * (length - own).as_mm() as f64 / own.as_mm().max(1) as f64 + 1e-3).floor().max(0.0);
    let low_depth = (firring.low_depth - Length::mm(drop as i64)).max(rules.firring_toe.min(firring.low_depth));
    Firring { length, low_depth, ..firring }
}

/// What each joist wants that takes no firring, because it nowhere wants as much as one takes: it is packed up.
pub fn without_firring(shape: &RoofShape, roof: &Roof, rules: &Rules) -> Vec<Firring> {
    let takes_none = |f: &Firring| f.high_depth < rules.firring_toe || f.high_depth == Length::ZERO;
    lifted(shape, roof, rules).into_iter().filter(takes_none).collect()
}

/// How far the screws of a roof's firrings stand apart at most. The boards over insulation are screwed into whatever lies under
/// the deck, and where that is a firring it hangs on its own screws: there they stand no further apart than those above.
pub fn firring_screws(roof: &Roof, rules: &Rules) -> Length {
    match over_deck::screwed_through(roof, rules) {
        Some(_) => rules.firring_fixing.min(rules.deck_field_fixing),
        None => rules.firring_fixing,
    }
}

/// How much deeper every firring of a roof is than its fall asks for, so that a tapered one is no thinner than the rule at
/// its low end: a feathered end splits when it is nailed. Nothing where they are level.
pub fn lift(shape: &RoofShape, roof: &Roof, rules: &Rules) -> Length {
    lift_of(&wanted(shape, roof), rules)
}

fn lift_of(wanted: &[Firring], rules: &Rules) -> Length {
    let tapers = wanted.iter().any(|f| f.high_depth - f.low_depth > rules.firring_step);
    let least = wanted.iter().map(|f| f.low_depth).min().unwrap_or_default();
    if tapers { (rules.firring_toe - least).max(Length::ZERO) } else { Length::ZERO }
}

/// What each joist wants, as much deeper as all are.
fn lifted(shape: &RoofShape, roof: &Roof, rules: &Rules) -> Vec<Firring> {
    let all = wanted(shape, roof);
    let lift = lift_of(&all, rules);
    let deeper = |f: Firring| Firring { low_depth: f.low_depth + lift, high_depth: f.high_depth + lift, ..f };
    all.into_iter().map(deeper).collect()
}

/// What each joist wants to the millimetre; nothing on the low line. None where no firrings are fixed.
fn wanted(shape: &RoofShape, roof: &Roof) -> Vec<Firring> {
    let joists = if roof.firred().is_some() { joist_lines(shape, roof) } else { &[] };
    joists.iter().map(|&line| level_or_rising(shape, roof, line)).collect()
}

/// What lies under a line wants to the millimetre, from its low end to its high one.
fn level_or_rising(shape: &RoofShape, roof: &Roof, (a, b): (Point, Point)) -> Firring {
    let (from, to) = if shape.up_from_low(a) <= shape.up_from_low(b) { (a, b) } else { (b, a) };
    let (low_depth, high_depth) = (height(shape, roof, from), height(shape, roof, to));
    Firring { from, to, length: distance(a, b), low_depth, high_depth, part: (1, 1), packs: None }
}

/// A firring in as few parts of one length as none is longer than what is sold; they butt on the joist, which bears them
/// all along. Where two meet they are of one depth.
fn in_parts(whole: Firring, longest: Option<Length>) -> Vec<Firring> {
    let count = longest.filter(|l| *l > Length::ZERO).map_or(1, |longest| whole.length.pieces_of(longest)).max(1);
    let along = |from: i64, to: i64, k: i64| from + ((to - from) * k + count / 2) / count;
    let place = |k: i64| Point::new(along(whole.from.x, whole.to.x, k), along(whole.from.y, whole.to.y, k));
    // Rounded up, as depths are: what lies over is never short.
    let depth = |k: i64| {
        let rise = (whole.high_depth - whole.low_depth).as_mm();
        whole.low_depth + Length::mm(div_ceil(rise * k, count))
    };
    let part = |k: i64| Firring {
        from: place(k - 1),
        to: place(k),
        length: if count == 1 { whole.length } else { distance(place(k - 1), place(k)) },
        low_depth: depth(k - 1),
        high_depth: depth(k),
        part: (k as usize, count as usize),
        packs: None,
    };
    (1..=count).map(part).collect()
}

/// Firrings of one size as they are ordered: the largest of what each of them wants.
struct FirringSize {
    /// Length, depth at the low end, depth at the high end.
    least: [Length; 3],
    most: [Length; 3],
    members: Vec<usize>,
}

/// What rounding up parts level firrings by that want the same: no further are those of one size apart.
const ROUNDED: Length = Length::mm(1);

impl FirringSize {
    /// Whether one more can be of this size, with lengths and depths no further apart than the rules have it.
    fn takes(&self, size: [Length; 3], rules: &Rules) -> bool {
        // A level firring is not cut from a tapered one.
        let level = |s: [Length; 3]| s[1] == s[2];
        let tapers = |s: [Length; 3]| s[2] - s[1] > rules.firring_step;
        let step = if tapers(self.most) && tapers(size) { rules.firring_step } else { rules.firring_step.min(ROUNDED) };
        let apart = [rules.firring_group, step, step];
        let near = (0..3).all(|i| self.most[i].max(size[i]) - self.least[i].min(size[i]) <= apart[i]);
        near && level(self.most) == level(size)
    }
}

/// Gives each firring the size in which it is ordered. The longest come first, so that a size is made of the longest that
/// are left and of what lies near them.
fn in_sizes(mut firrings: Vec<Firring>, rules: &Rules) -> Vec<Firring> {
    let size = |f: &Firring| [f.length, f.low_depth, f.high_depth];
    let mut order: Vec<usize> = (0..firrings.len()).collect();
    order.sort_by_key(|&i| (std::cmp::Reverse(size(&firrings[i])), i));
    let mut sizes: Vec<FirringSize> = Vec::new();
    for i in order {
        let own = size(&firrings[i]);
        match sizes.iter_mut().find(|s| s.takes(own, rules)) {
            Some(s) => {
                s.members.push(i);
                for ((least, most), own) in s.least.iter_mut().zip(&mut s.most).zip(own) {
                    (*least, *most) = ((*least).min(own), (*most).max(own));
                }
            }
            None => sizes.push(FirringSize { least: own, most: own, members: vec![i] }),
        }
    }
    for s in sizes {
        for i in s.members {
            [firrings[i].length, firrings[i].low_depth, firrings[i].high_depth] = s.most;
        }
    }
    firrings
}
