//! The lines of the walls that a roof is carried over.
//!
//! Given a roof as laid out; gives their run, the boards of their linings, what fixes and primes them, and what is lifted
//! off and laid on again. Whoever lifts what lies there covers them again and brings what that takes: where others do, no
//! line stands for it. Mat, bandage, resin, topcoat and the trim of the outer edge are counted with the roof's.

use super::deck_lines;
use super::line::{Line, Need, Step, Unit};
use super::working::{count, formula, line, measured, number, rule, sawn, sum};
use crate::model::job::By;
use crate::model::products::Products;
use crate::model::{Cover, Length, LineId, Role, Rules};
use crate::takeoff::layout::shape::{CopedWall, Side, WallEnd};
use crate::takeoff::layout::{ParapetLining, ProfilePlan, RoofLayout, RunPlace};
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// A covered wall with its side.
struct Walled<'a> {
    side: &'a Side,
    wall: CopedWall,
}

impl Walled<'_> {
    fn label(&self) -> &str {
        &self.side.label
    }

    /// Its outer edge, and the returns across its free ends.
    fn top(&self) -> Step {
        measured(format!("parapet at {}, along its outer edge", self.label()), self.wall.long.metres(), Unit::Metre)
    }

    fn covered_with(&self, cover: Cover) -> bool {
        self.wall.by == By::Us && self.wall.cover == cover
    }

    /// Ends of its top that are neither mitred nor carried on.
    fn ends(&self) -> usize {
        let ends = |end: &&WallEnd| !matches!(end, WallEnd::Turns | WallEnd::GoesOn);
        self.wall.ends.iter().filter(ends).count()
    }

    /// Corners, each counted at the wall that starts there.
    fn corners(&self) -> usize {
        usize::from(self.wall.ends[0] == WallEnd::Turns)
    }

    fn brackets(&self, rules: &Rules) -> i64 {
        self.wall.long.places(rules.capping_bracket)
    }

    /// Its damp-proof course, with a lap at every corner and a lap for each length of it that is sold.
    fn dpc(&self, rules: &Rules) -> Length {
        self.wall.long + rules.dpc_lap * (1 + self.corners() as i64)
    }
}

fn walls(layout: &RoofLayout) -> Vec<Walled<'_>> {
    layout.shape.sides.iter().filter_map(|side| Some(Walled { side, wall: side.coped? })).collect()
}

/// The lines of a roof's covered walls, and what they need bought; nothing where it has none. `plans` are those of the
/// whole job.
pub fn parapet_lines(layout: &RoofLayout, plans: &[ProfilePlan], rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    let name = Some(layout.shape.name.as_str());
    let of = |id: LineId, work, item: &str, unit, working| line((id, work), item, name, unit, working);
    let all = walls(layout);
    let ours = |keep: fn(&Walled<'_>) -> bool| -> Vec<&Walled<'_>> { all.iter().filter(|w| keep(w)).collect() };
    let (every, lifted) = (ours(|_| true), ours(|w| w.wall.by == By::Us));
    let (bare, stone) = (ours(|w| w.wall.cover == Cover::Stone), ours(|w| w.covered_with(Cover::Stone)));
    let metal = ours(|w| w.covered_with(Cover::Metal));
    use LineId as Id;
    use Unit::{Each, Kilogram, Metre};
    use WorkKind::{CopingOff, CopingOn, LevelTops, Parapet};
    let lines: Vec<Line> = [
        of(Id::CopingOff, CopingOff, "Copings to lift", Metre, runs(&lifted)),
        of(Id::ParapetRun, Parapet, "Parapets that the roof is carried over", Metre, runs(&every)),
        of(Id::ParapetFixings, Parapet, "Screws and plugs for parapets", Each, fixings(layout, plans, rules)),
        of(Id::ParapetPrimer, Parapet, "Primer on the tops of parapets", Kilogram, primer(&bare, rules)),
        of(Id::ParapetTops, LevelTops, "Tops of parapets to level", Metre, runs(&bare)),
        of(Id::ParapetMortar, LevelTops, "Mortar to level the tops of parapets", Kilogram, mortar(&bare, rules)),
        of(Id::CopingOn, CopingOn, "Parapets to cover again", Metre, runs(&lifted)),
        of(Id::CopingMortar, CopingOn, "Mortar under coping stones", Kilogram, mortar(&stone, rules)),
        of(Id::CopingDpc, CopingOn, "Damp-proof course under coping stones", Metre, dpc(&stone, rules)),
        of(Id::CappingLength, CopingOn, "Metal capping", Metre, runs(&metal)),
        of(Id::CappingBrackets, CopingOn, "Brackets of the capping", Each, brackets(&metal, rules)),
        of(Id::CappingFixings, CopingOn, "Screws and plugs of those brackets", Each, bracket_fixings(&metal, rules)),
        of(Id::CappingEnds, CopingOn, "Ends of the capping", Each, each(&metal, "ends", |w| w.ends())),
        of(Id::CappingCorners, CopingOn, "Corners of the capping", Each, each(&metal, "corners", |w| w.corners())),
    ]
    .into_iter()
    .flatten()
    .collect();
    let needs = needs(&lines, &stone, &metal, rules);
    (lines, needs)
}

/// The boards of a roof's linings, and their needs.
pub fn lining_lines(layout: &RoofLayout, rules: &Rules, products: &Products) -> (Vec<Line>, Vec<Need>) {
    let name = Some(layout.shape.name.as_str());
    let (mut lines, mut needs) = (Vec::new(), Vec::new());
    let mut kinds: Vec<&str> = layout.parapets.iter().map(|l| l.board.as_str()).collect();
    kinds.sort_unstable();
    kinds.dedup();
    for kind in kinds {
        let of: Vec<&ParapetLining> = layout.parapets.iter().filter(|l| l.board == kind).collect();
        let what = products.boards.get(kind).map_or_else(|| kind.to_owned(), deck_lines::named);
        let item = format!("{what} for parapets");
        let boards = line((LineId::ParapetBoards, WorkKind::Parapet), item, name, Unit::Each, boards(&of, rules));
        needs.extend(boards.as_ref().and_then(|l| Need::of(Role::Board(kind.to_owned()), &[l])));
        lines.extend(boards);
    }
    (lines, needs)
}

fn boards(of: &[&ParapetLining], rules: &Rules) -> Vec<Step> {
    let mut steps = vec![rule("board_kerf", rules.board_kerf)];
    for lining in of {
        for b in &lining.boards {
            let part = if b.top { "top" } else { "face" };
            let text = format!("{}, {part}: {} × {}", b.mark, b.length.as_mm(), b.width);
            steps.push(measured(text, Decimal::ONE, Unit::Each));
        }
    }
    steps.extend(of.first().map(|lining| sawn("all linings of the job out of such boards", &lining.proof)));
    let opened: Vec<Decimal> = of.iter().map(|l| count(l.opened)).collect();
    steps.push(sum("boards begun for each wall", &opened, Unit::Each));
    steps
}

fn runs(of: &[&Walled<'_>]) -> Vec<Step> {
    let mut steps: Vec<Step> = of.iter().map(|w| w.top()).collect();
    steps.push(sum("", &of.iter().map(|w| w.wall.long.metres()).collect::<Vec<_>>(), Unit::Metre));
    steps
}

/// Screws along a piece of board or trim: spaced at most so far, with one at each end.
fn screws(length: Length, rules: &Rules) -> i64 {
    length.places(rules.masonry_fixing)
}

/// Along both edges of each board of the lining, and along each piece of the outer trim.
fn fixings(layout: &RoofLayout, plans: &[ProfilePlan], rules: &Rules) -> Vec<Step> {
    let boards: Vec<i64> =
        layout.parapets.iter().flat_map(|l| &l.boards).map(|b| 2 * screws(b.length, rules)).collect();
    let here = |place: RunPlace| matches!(place, RunPlace::Parapet { roof, .. } if roof == layout.shape.index);
    let pieces = plans.iter().flat_map(|p| &p.runs).filter(|r| here(r.place)).flat_map(|r| &r.pieces);
    let trims: Vec<i64> = pieces.map(|p| screws(p.length, rules)).collect();
    let figures = |of: &[i64]| of.iter().map(|&n| Decimal::from(n)).collect::<Vec<_>>();
    let (boards, trims) =
        (sum("boards", &figures(&boards), Unit::Each), sum("outer trims", &figures(&trims), Unit::Each));
    let both = [&boards, &trims].map(|s| super::working::result(std::slice::from_ref(s)));
    vec![
        rule("masonry_fixing", rules.masonry_fixing),
        Step::Note("along both edges of each board and along each trim: length ÷ spacing rounded up, plus one".into()),
        boards,
        trims,
        sum("", &both, Unit::Each),
    ]
}

/// What is spread over the tops of some walls, by the square metre.
fn spread(of: &[&Walled<'_>], (name, rate): (&'static str, Decimal)) -> Vec<Step> {
    let rate = rate.normalize();
    let mut steps = vec![rule(name, format!("{rate} kg/m2"))];
    let mut masses = Vec::new();
    for w in of {
        let (long, width) = (w.wall.long.metres(), w.wall.width.metres());
        let mass = long * width * rate;
        let text = format!("{} × {} × {rate} kg/m2", number(long, Unit::Metre), number(width, Unit::Metre));
        steps.extend([w.top(), formula(text, mass, Unit::Kilogram)]);
        masses.push(mass);
    }
    if masses.len() != 1 {
        steps.push(sum("", &masses, Unit::Kilogram));
    }
    steps
}

fn primer(of: &[&Walled<'_>], rules: &Rules) -> Vec<Step> {
    spread(of, ("masonry_primer_rate", rules.masonry_primer_rate))
}

/// One bed: it levels the top before the laminate, or lies under the stones.
fn mortar(of: &[&Walled<'_>], rules: &Rules) -> Vec<Step> {
    spread(of, ("mortar_rate", rules.mortar_rate))
}

fn dpc(of: &[&Walled<'_>], rules: &Rules) -> Vec<Step> {
    let mut steps = vec![rule("dpc_lap", rules.dpc_lap)];
    let mut totals = Vec::new();
    for w in of {
        let (laps, total) = (1 + w.corners(), w.dpc(rules).metres());
        let (long, lap) = (w.wall.long.metres(), rules.dpc_lap.metres());
        let text = format!("{} + {laps} × {}", number(long, Unit::Metre), number(lap, Unit::Metre));
        steps.extend([w.top(), formula(text, total, Unit::Metre)]);
        totals.push(total);
    }
    if totals.len() != 1 {
        steps.push(sum("", &totals, Unit::Metre));
    }
    steps
}

fn brackets(of: &[&Walled<'_>], rules: &Rules) -> Vec<Step> {
    let mut steps = vec![rule("capping_bracket", rules.capping_bracket)];
    steps.extend(of.iter().map(|w| w.top()));
    steps.push(Step::Note("length ÷ spacing rounded up, plus one".into()));
    steps.push(sum("", &of.iter().map(|w| Decimal::from(w.brackets(rules))).collect::<Vec<_>>(), Unit::Each));
    steps
}

/// Two to a bracket.
fn bracket_fixings(of: &[&Walled<'_>], rules: &Rules) -> Vec<Step> {
    let all: i64 = of.iter().map(|w| w.brackets(rules)).sum();
    let text = format!("{all} × 2");
    vec![measured("brackets", all.into(), Unit::Each), formula(text, Decimal::from(all * 2), Unit::Each)]
}

fn each(of: &[&Walled<'_>], what: &str, how_many: fn(&Walled<'_>) -> usize) -> Vec<Step> {
    let counted = |w: &&Walled<'_>| measured(format!("{what} at {}", w.label()), count(how_many(w)), Unit::Each);
    let mut steps: Vec<Step> = of.iter().map(counted).collect();
    steps.push(sum("", &of.iter().map(|w| count(how_many(w))).collect::<Vec<_>>(), Unit::Each));
    steps
}

/// What is bought by its kind alone, and what must fit the thickness of the wall.
fn needs(lines: &[Line], stone: &[&Walled<'_>], metal: &[&Walled<'_>], rules: &Rules) -> Vec<Need> {
    let of = |id: LineId| lines.iter().find(|l| l.id == id);
    let screws: Vec<&Line> = [LineId::ParapetFixings, LineId::CappingFixings].into_iter().filter_map(of).collect();
    let mut needs: Vec<Need> = Need::of(Role::MasonryFixings, &screws).into_iter().collect();
    let beds: Vec<&Line> = [LineId::ParapetMortar, LineId::CopingMortar].into_iter().filter_map(of).collect();
    needs.extend(Need::of(Role::Mortar, &beds));
    needs.extend(of(LineId::ParapetPrimer).and_then(|l| Need::of(Role::MasonryPrimer, &[l])));
    let mut fitted = |id: LineId, role: &Role, wall: &CopedWall, quantity: Decimal| {
        let Some(line) = of(id).filter(|_| quantity > Decimal::ZERO) else { return };
        let one = Line { quantity, ..line.clone() };
        needs.extend(Need::of(role.clone(), &[&one]).map(|n| n.sized(Some(wall.width))));
    };
    for w in stone {
        fitted(LineId::CopingDpc, &Role::Dpc, &w.wall, w.dpc(rules).metres());
    }
    for w in metal {
        fitted(LineId::CappingLength, &Role::Capping, &w.wall, w.wall.long.metres());
        fitted(LineId::CappingBrackets, &Role::CappingBracket, &w.wall, w.brackets(rules).into());
        fitted(LineId::CappingEnds, &Role::CappingEnd, &w.wall, count(w.ends()));
        fitted(LineId::CappingCorners, &Role::CappingCorner, &w.wall, count(w.corners()));
    }
    needs
}
