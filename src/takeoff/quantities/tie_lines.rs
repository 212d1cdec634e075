//! The lines of an edge that is tied in under the tiles or slates of a roof above.
//!
//! Given a roof as laid out and who lifts the tiles; gives the edge's run, the board that the laminate lies on up the
//! slope, the courses that are lifted, what they are laid again on, and what must be bought. Whoever lifts them also lays
//! them again and brings what that takes: where others do, no line stands for it. The laminate is counted with the mat.

use super::line::{Line, Need, Step, Unit};
use super::working::{formula, line, measured, number, rounded_up, rule, sum};
use crate::model::job::By;
use crate::model::{Finish, Length, LineId, Role, Roof, Rules, UnderTiles};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::shape::Side;
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// The lines of a roof's tied edges; none where it has none.
pub fn tie_lines(roof: &Roof, layout: &RoofLayout, rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    let name = Some(layout.shape.name.as_str());
    let of = |id: LineId, work, item: &str, unit, working| line((id, work), item, name, unit, working);
    let sides: Vec<&Side> = layout.shape.sides.iter().filter(|s| s.finish == Finish::Step).collect();
    let tiled = tiled(roof, layout);
    use LineId as Id;
    use Unit::{Each, Metre, SquareMetre};
    use WorkKind::{TieIn, TilesBack, TilesOff};
    let lines: Vec<Line> = [
        of(Id::TieRun, TieIn, "Edge tied in under the roof above", Metre, runs(&sides)),
        of(Id::TieBoard, TieIn, "Board under the covering above", SquareMetre, board(&sides, rules)),
        of(Id::TieFillet, TieIn, "Tilting fillet", Metre, runs(&sides)),
        of(Id::TieFixings, TieIn, "Fixings of board and fillet up the slope", Each, board_fixings(&sides, rules)),
        of(Id::TieCourses, TilesOff, "Courses of tiles or slates to lift", Metre, courses(&tiled)),
        of(Id::TieUnderlay, TilesBack, "Underlay over the tie-in", SquareMetre, underlay(&tiled, rules)),
        of(Id::TieBattens, TilesBack, "Battens under tiles or slates", Metre, courses(&tiled)),
        of(Id::TieBattenNails, TilesBack, "Nails for those battens", Each, batten_nails(&tiled, rules)),
        of(Id::TieNails, TilesBack, "Nails for tiles or slates", Each, tile_nails(&tiled, rules)),
        of(Id::TieStraps, TilesBack, "Slate straps", Each, straps(&tiled)),
        of(Id::TieTiles, TilesBack, "Tiles or slates to spare", Each, broken(&tiled, rules)),
    ]
    .into_iter()
    .flatten()
    .collect();
    let needs = needs(&lines, &tiled, rules);
    (lines, needs)
}

/// An edge whose tiles or slates the firm lifts and lays again.
struct Tiled<'a> {
    side: &'a Side,
    tiles: &'a UnderTiles,
}

impl Tiled<'_> {
    /// Tiles or slates that are lifted.
    fn pieces(&self) -> i64 {
        i64::from(self.tiles.courses) * self.tiles.in_a_course(self.side.run)
    }

    /// Of them, those that are bought new.
    fn broken(&self, rules: &Rules) -> Decimal {
        (Decimal::from(self.pieces()) * rules.tiles_broken / Decimal::ONE_HUNDRED).ceil()
    }
}

fn tiled<'a>(roof: &'a Roof, layout: &'a RoofLayout) -> Vec<Tiled<'a>> {
    let all = roof.outline.edges.iter().zip(&layout.shape.sides);
    all.filter_map(|(e, side)| Some(Tiled { side, tiles: e.under.as_ref().filter(|t| t.by == By::Us)? })).collect()
}

fn run_of(side: &Side) -> Step {
    measured(format!("{} run", side.label), side.run.metres(), Unit::Metre)
}

fn m(length: Length) -> String {
    number(length.metres(), Unit::Metre)
}

fn m2(a: Length, b: Length) -> Decimal {
    a.metres() * b.metres()
}

/// A working over several edges: what each comes to, then their sum where there are several.
fn over<T>(all: &[T], unit: Unit, each: impl Fn(&T) -> (Vec<Step>, Decimal)) -> Vec<Step> {
    let (mut steps, mut totals) = (Vec::new(), Vec::new());
    for one in all {
        let (more, total) = each(one);
        steps.extend(more);
        totals.push(total);
    }
    if totals.len() != 1 {
        steps.push(sum("", &totals, unit));
    }
    steps
}

fn runs(sides: &[&Side]) -> Vec<Step> {
    let mut steps: Vec<Step> = sides.iter().map(|s| run_of(s)).collect();
    steps.push(sum("", &sides.iter().map(|s| s.run.metres()).collect::<Vec<_>>(), Unit::Metre));
    steps
}

/// How far the laminate ends up the slope: its mat less what of it goes over the fillet.
fn up_the_slope(side: &Side, rules: &Rules) -> Length {
    side.carried - rules.fillet_over
}

/// The board reaches as far up the slope as the laminate does.
fn board(sides: &[&Side], rules: &Rules) -> Vec<Step> {
    over(sides, Unit::SquareMetre, |s| {
        let far = up_the_slope(s, rules);
        let area = m2(s.run, far);
        let up = measured(format!("{}, up the slope", s.label), far.metres(), Unit::Metre);
        (vec![run_of(s), up, formula(format!("{} × {}", m(s.run), m(far)), area, Unit::SquareMetre)], area)
    })
}

/// Screws at every rafter, in rows no further apart than at the edges of a deck, and a row for the fillet.
fn board_fixings(sides: &[&Side], rules: &Rules) -> Vec<Step> {
    let named = [rule("rafter_spacing", rules.rafter_spacing), rule("deck_edge_fixing", rules.deck_edge_fixing)];
    let steps = over(sides, Unit::Each, |s| {
        let (rafters, rows) =
            (s.run.places(rules.rafter_spacing), up_the_slope(s, rules).places(rules.deck_edge_fixing) + 1);
        let total = Decimal::from(rafters * rows);
        let at = measured(format!("{}, rafters", s.label), rafters.into(), Unit::Each);
        let up = measured(format!("{}, rows of fixings, the fillet's among them", s.label), rows.into(), Unit::Each);
        (vec![at, up, formula(format!("{rafters} × {rows}"), total, Unit::Each)], total)
    });
    named.into_iter().chain(steps).collect()
}

/// Every course along its edge: what is lifted, and the battens that it is laid on again.
fn courses(tiled: &[Tiled<'_>]) -> Vec<Step> {
    over(tiled, Unit::Metre, |t| {
        let (run, courses) = (t.side.run, t.tiles.courses);
        let total = run.metres() * Decimal::from(courses);
        let counted = format!("{}, courses of {}", t.side.label, t.tiles.covering.words());
        let counted = measured(counted, courses.into(), Unit::Each);
        (vec![run_of(t.side), counted, formula(format!("{} × {courses}", m(run)), total, Unit::Metre)], total)
    })
}

/// From the top of the laminate down over all of it, and up under the course above.
fn underlay(tiled: &[Tiled<'_>], rules: &Rules) -> Vec<Step> {
    let steps = over(tiled, Unit::SquareMetre, |t| {
        let (run, up) = (t.side.run, t.tiles.up);
        let area = m2(run, up + rules.underlay_lap);
        let text = format!("{} × ({} + {})", m(run), m(up), m(rules.underlay_lap));
        (vec![run_of(t.side), formula(text, area, Unit::SquareMetre)], area)
    });
    std::iter::once(rule("underlay_lap", rules.underlay_lap)).chain(steps).collect()
}

/// One at every rafter in every batten.
fn batten_nails(tiled: &[Tiled<'_>], rules: &Rules) -> Vec<Step> {
    let steps = over(tiled, Unit::Each, |t| {
        let (rafters, rows) = (t.side.run.places(rules.rafter_spacing), i64::from(t.tiles.courses));
        let total = Decimal::from(rafters * rows);
        let at = measured(format!("{}, rafters", t.side.label), rafters.into(), Unit::Each);
        let rows_of = measured(format!("{}, battens", t.side.label), rows.into(), Unit::Each);
        (vec![at, rows_of, formula(format!("{rafters} × {rows}"), total, Unit::Each)], total)
    });
    std::iter::once(rule("rafter_spacing", rules.rafter_spacing)).chain(steps).collect()
}

/// How many tiles or slates are lifted at an edge.
fn lifted(t: &Tiled<'_>) -> [Step; 3] {
    let (label, words, cover) = (&t.side.label, t.tiles.covering.words(), t.tiles.cover);
    let (course, courses) = (t.tiles.in_a_course(t.side.run), t.tiles.courses);
    [
        measured(format!("{label}, {words} in a course, {cover} each"), course.into(), Unit::Each),
        measured(format!("{label}, courses"), courses.into(), Unit::Each),
        formula(format!("{course} × {courses}"), t.pieces().into(), Unit::Each),
    ]
}

fn tile_nails(tiled: &[Tiled<'_>], rules: &Rules) -> Vec<Step> {
    let steps = over(tiled, Unit::Each, |t| {
        let total = Decimal::from(t.pieces() * i64::from(rules.tile_nails));
        let text = format!("{} × {}", t.pieces(), rules.tile_nails);
        (lifted(t).into_iter().chain([formula(text, total, Unit::Each)]).collect(), total)
    });
    std::iter::once(rule("tile_nails", rules.tile_nails)).chain(steps).collect()
}

/// A strap for each slate of the top course, whose nail holes lie under the course that stays.
fn straps(tiled: &[Tiled<'_>]) -> Vec<Step> {
    let hung: Vec<&Tiled<'_>> = tiled.iter().filter(|t| t.tiles.covering.hung_courses() > 0).collect();
    over(&hung, Unit::Each, |t| {
        let (course, courses) = (t.tiles.in_a_course(t.side.run), t.tiles.covering.hung_courses());
        let total = Decimal::from(course * i64::from(courses));
        let [in_course, ..] = lifted(t);
        let hung = measured(format!("{}, courses that no nail reaches", t.side.label), courses.into(), Unit::Each);
        (vec![in_course, hung, formula(format!("{course} × {courses}"), total, Unit::Each)], total)
    })
}

fn broken(tiled: &[Tiled<'_>], rules: &Rules) -> Vec<Step> {
    let share = rules.tiles_broken.normalize();
    let steps = over(tiled, Unit::Each, |t| {
        let exact = Decimal::from(t.pieces()) * share / Decimal::ONE_HUNDRED;
        let text = formula(format!("{} × {share} ÷ 100", t.pieces()), exact, Unit::Each);
        let whole = rounded_up("whole ones", exact, Unit::Each);
        (lifted(t).into_iter().chain([text, whole]).collect(), t.broken(rules))
    });
    std::iter::once(rule("tiles_broken", format!("{share} %"))).chain(steps).collect()
}

/// The role that each line is bought as, but for the tiles, which must match those that are there.
const BOUGHT_AS: [(LineId, Role); 8] = [
    (LineId::TieBoard, Role::TieBoard),
    (LineId::TieFixings, Role::FramingFixings),
    (LineId::TieUnderlay, Role::TieUnderlay),
    (LineId::TieFillet, Role::TieFillet),
    (LineId::TieBattens, Role::TieBatten),
    (LineId::TieBattenNails, Role::BattenNails),
    (LineId::TieNails, Role::TileNails),
    (LineId::TieStraps, Role::TieStrap),
];

fn needs(lines: &[Line], tiled: &[Tiled<'_>], rules: &Rules) -> Vec<Need> {
    let of = |id: LineId| lines.iter().find(|l| l.id == id);
    let plain = BOUGHT_AS.iter().filter_map(|(id, role)| Need::of(role.clone(), &[of(*id)?]));
    let tiles = tiled.iter().filter_map(|t| {
        let line = Line { quantity: t.broken(rules), ..of(LineId::TieTiles)?.clone() };
        Need::of(Role::Tile(t.tiles.covering.role().to_owned()), &[&line])
    });
    plain.chain(tiles).collect()
}
