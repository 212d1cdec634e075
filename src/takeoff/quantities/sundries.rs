//! What people forget: battens, flashings, the seal at the wall, brackets, collars, and all that is used up.
//!
//! Given the roofs as laid out, who does the flashing, and the lines of resin; gives lines and needs. What belongs to a
//! roof is a line of that roof, what is used up over the job is one line over all roofs. A flashing is cut to the pieces
//! that are laid, so its laps are in its length.

use super::line::{Line, Need, Share, Step, Unit, pool, pooled_work, shares};
use super::night_sheet::{self, SheetsInTurn};
use super::resin::{resin_total, topcoat_total};
use super::working::{at_least, formula, line, measured, number, offcuts, result, rounded_up, rule, sum};
use crate::geometry::region::Region;
use crate::geometry::ring::perimeter;
use crate::geometry::segment::distance;
use crate::model::shape::{Edge, Gutter};
use crate::model::words::plural;
use crate::model::{Finish, Flashing, HoleForm, Length, LineId, Point, Products, Role, Roof, Rules};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::edge_cuts::{EdgeCuts, RoofEdgeCuts};
use crate::takeoff::layout::flashings::{FlashedPlace, WallFlashing, parapets_against};
use crate::takeoff::layout::gutter_runs::gutter_runs;
use crate::takeoff::layout::shape::{HoleShape, Side};
use crate::works::{WorkKind, Works};
use rust_decimal::Decimal;

/// All sundries. `laid[i]` and `cuts[i]` are of `roofs[i]`; `before` holds the lines of the roofs' areas, of resin and of topcoat.
pub fn lines(
    roofs: &[Roof],
    (laid, cuts): (&[RoofLayout], &[RoofEdgeCuts]),
    works: &Works,
    before: &[Line],
    rules: &Rules,
    products: &Products,
) -> (Vec<Line>, Vec<Need>) {
    let (mut lines, mut sizes) = (Vec::new(), Vec::new());
    for ((roof, layout), cuts) in roofs.iter().zip(laid).zip(cuts) {
        let of_roof = of_roof(roof, (layout, cuts), works, rules);
        sizes.extend(sized_needs(roof, layout, &of_roof, rules, products));
        lines.extend(of_roof);
    }
    let open: Vec<(&str, Region)> = roofs
        .iter()
        .zip(laid)
        .map(|(roof, layout)| (layout.shape.name.as_str(), open_for_the_night(roof, layout)))
        .collect();
    let sheets = night_sheet::in_turn(&open, rules, &products.sheets);
    let night = night_sheets(&open, &sheets, rules, products);
    sizes.extend(night.iter().flat_map(|line| sheet_needs(line, &sheets)));
    lines.extend(night);
    lines.extend(of_job(laid, before, rules));
    let mut needs = needs(&lines, before);
    needs.extend(pool(sizes));
    (lines, needs)
}

/// The sheets for the night: of the roof where there is one, else one line over all.
fn night_sheets(open: &[(&str, Region)], sheets: &[SheetsInTurn], rules: &Rules, products: &Products) -> Option<Line> {
    let (name, working) = match open {
        [(name, open)] => (Some(*name), night_sheet::working_over(open, "what lies open", rules, &products.sheets)),
        _ => (None, night_sheet::working_in_turn(sheets, rules)),
    };
    line((LineId::SheetNight, WorkKind::Protect), "Sheeting for the night", name, Unit::SquareMetre, working)
}

/// What is wanted of each size, shared over the roofs that it goes over.
fn sheet_needs(night: &Line, sheets: &[SheetsInTurn]) -> Vec<Need> {
    let of_size = |of: &SheetsInTurn| {
        let one = Line { quantity: of.area(), ..night.clone() };
        let share =
            |(roof, weight): &(String, Decimal)| Share { work: night.work, roof: Some(roof.clone()), weight: *weight };
        let need = Need::of(Role::NightSheet, &[&one])?.sized(Some(of.size()));
        Some(need.shared(of.shared.iter().map(share).collect()))
    };
    sheets.iter().filter_map(of_size).collect()
}

fn of_roof(roof: &Roof, (layout, cuts): (&RoofLayout, &RoofEdgeCuts), works: &Works, rules: &Rules) -> Vec<Line> {
    let name = Some(layout.shape.name.as_str());
    let index = layout.shape.index;
    let of = |id: LineId, work: WorkKind, item: &str, unit, working| line((id, work), item, name, unit, working);
    let ours = |kind: WorkKind, working: Vec<Step>| if works.has_on(kind, index) { working } else { Vec::new() };
    use LineId as Id;
    use WorkKind as W;
    let cut = |kind| ours(W::Flashing, flashed(kind, layout, rules));
    let (lead, lead_free) = (cut(Flashing::Lead), cut(Flashing::LeadFree));
    let chase = result(&lead) + result(&lead_free);
    // On a warm roof they go on the face of the edge timber, over the deck.
    let edge_battens = if layout.over.is_some() { W::EdgeBattensOver } else { W::EdgeBattens };
    [
        of(Id::StripArea, W::Strip, "Old covering to strip", Unit::SquareMetre, ours(W::Strip, strip(roof, layout))),
        of(
            Id::StripBoards,
            W::StripBoards,
            "Old boards to lift",
            Unit::SquareMetre,
            ours(W::StripBoards, strip(roof, layout)),
        ),
        of(
            Id::StripFlashing,
            W::FlashingOff,
            "Old flashing to take out",
            Unit::Metre,
            ours(W::FlashingOff, old_flashing(layout)),
        ),
        of(Id::BattenLength, edge_battens, "Edge batten", Unit::Metre, battens(layout, rules)),
        of(
            Id::BattenWaste,
            edge_battens,
            "Edge batten lost in cutting",
            Unit::Metre,
            offcuts(result(&battens(layout, rules)), cuts.battens.more, rules),
        ),
        of(
            Id::BattenFixings,
            edge_battens,
            "Screws for edge battens",
            Unit::Each,
            batten_screws(layout, &cuts.battens, rules),
        ),
        of(Id::FlashingLength, W::Flashing, "Lead flashing", Unit::Metre, lead),
        of(Id::FlashingLeadFree, W::Flashing, "Lead-free flashing", Unit::Metre, lead_free),
        of(Id::FlashingWedges, W::Flashing, "Wedges for the flashing", Unit::Each, wedges(chase, rules)),
        of(
            Id::FlashingSealant,
            W::Flashing,
            "Sealant for the chase",
            Unit::Each,
            sealant(chase, works.has_on(W::FlashingOff, index), rules),
        ),
        of(Id::SealTemporary, W::TemporarySeal, "Temporary seal at the wall", Unit::Metre, temporary_seal(layout)),
        of(Id::GutterLength, W::GutterOn, "Gutter, off and on", Unit::Metre, gutter(roof, layout)),
        of(Id::GutterBrackets, W::GutterOn, "Gutter brackets", Unit::Each, brackets(roof, layout, rules)),
        of(
            Id::GutterFixings,
            W::GutterOn,
            "Screws for gutter brackets",
            Unit::Each,
            bracket_screws(roof, layout, rules),
        ),
        of(
            Id::GutterDownpipe,
            W::GutterOn,
            "Downpipe to lengthen",
            Unit::Metre,
            raised_pipes(roof, layout, rules, Unit::Metre),
        ),
        of(
            Id::GutterSockets,
            W::GutterOn,
            "Sockets with clips",
            Unit::Each,
            raised_pipes(roof, layout, rules, Unit::Each),
        ),
        of(
            Id::GutterClipFixings,
            W::GutterOn,
            "Screws and plugs for clips",
            Unit::Each,
            screwed("clips", &raised_pipes(roof, layout, rules, Unit::Each), rules),
        ),
        of(Id::PipeCollars, W::PipeCollar, "Pipe collars", Unit::Each, collars(layout)),
        of(Id::RoofOutlets, W::RoofOutlet, "Roof outlets", Unit::Each, outlets(roof)),
        of(Id::RoofOverflows, W::Overflow, "Overflows", Unit::Each, overflows(roof)),
        of(
            Id::OverflowMortar,
            W::Overflow,
            "Mortar round the chutes of overflows",
            Unit::Kilogram,
            chute_mortar(roof, rules),
        ),
        of(Id::SheetFloor, W::Protect, "Sheeting for the ground", Unit::SquareMetre, floor_sheet(layout, rules)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn of_job(laid: &[RoofLayout], wet: &[Line], rules: &Rules) -> Vec<Line> {
    // Of an old laminate what is worked: its patches as they are ground, and the whole where it is topcoated.
    let worked = wet.iter().filter(|l| matches!(l.id, LineId::PatchGround | LineId::RecoatArea)).map(|l| l.quantity);
    let area: Vec<Decimal> = laid.iter().map(|r| r.shape.area.square_metres()).chain(worked).collect();
    let work = if laid.is_empty() { pooled_work(wet) } else { WorkKind::FirstLayer };
    let of = |id: LineId, item: &str, unit, working| line((id, work), item, None, unit, working);
    let by_area = |unit: &str, name, each: Decimal, least_name, least: u32| {
        per(&area_steps(&area), (name, each, "m2"), (least_name, least), unit, Unit::SquareMetre)
    };
    [
        of(LineId::Acetone, "Acetone", Unit::Litre, acetone(wet, rules)),
        of(
            LineId::RollerSleeves,
            "Roller sleeves",
            Unit::Each,
            by_area("whole sleeves", "sleeve_area", rules.sleeve_area, "sleeves_least", rules.sleeves_least),
        ),
        of(
            LineId::Brushes,
            "Brushes",
            Unit::Each,
            by_area("whole brushes", "brush_area", rules.brush_area, "brushes_least", rules.brushes_least),
        ),
        of(LineId::Buckets, "Mixing buckets", Unit::Each, buckets(wet, rules)),
        of(LineId::CatalystCups, "Measuring cups for catalyst", Unit::Each, cups(rules)),
        of(
            LineId::Gloves,
            "Gloves, pairs",
            Unit::Each,
            by_area("whole pairs", "glove_area", rules.glove_area, "gloves_least", rules.gloves_least),
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}

// ---- Of a roof ---------------------------------------------------------------------------------------------------

/// The edges that stand on battens: the rule for how many layers, and that many.
fn battened(rules: &Rules) -> [(Finish, &'static str, u32); 2] {
    [(Finish::Drip, "drip_battens", rules.drip_battens), (Finish::Raised, "raised_battens", rules.raised_battens)]
}

/// `front, 3125` or `front, 3600 + 1600`: a side, or what stands along it, and its pieces.
pub(super) fn pieces_of(what: &str, pieces: &[Length]) -> String {
    let each: Vec<String> = pieces.iter().map(|piece| piece.as_mm().to_string()).collect();
    format!("{what}, {} mm", each.join(" + "))
}

/// The screws of pieces of edge batten or edge timber: each has one at either end.
pub(super) fn screws(pieces: &[Length], rules: &Rules) -> Decimal {
    pieces.iter().map(|piece| Decimal::from(piece.places(rules.batten_fixing))).sum()
}

/// Along each piece of each layer of each side.
fn batten_screws(layout: &RoofLayout, cuts: &EdgeCuts, rules: &Rules) -> Vec<Step> {
    let (mut steps, mut totals) = (vec![rule("batten_fixing", rules.batten_fixing)], Vec::new());
    for (finish, name, layers) in battened(rules).into_iter().filter(|(.., layers)| *layers > 0) {
        let of = || layout.shape.sides.iter().enumerate().filter(move |(_, side)| side.finish == finish);
        if of().next().is_some() {
            steps.push(rule(name, layers));
        }
        for (at, side) in of() {
            for pieces in cuts.along(at, side.run, layers) {
                let row = screws(&pieces, rules);
                steps.push(measured(format!("screws along {}", pieces_of(&side.label, &pieces)), row, Unit::Each));
                totals.push(row);
            }
        }
    }
    if totals.is_empty() {
        return Vec::new();
    }
    steps.push(sum("", &totals, Unit::Each));
    steps
}

fn battens(layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    let mut steps = vec![rule("batten", format!("{} × {}", rules.batten.thickness.as_mm(), rules.batten.width))];
    let mut totals = Vec::new();
    for (finish, name, layers) in battened(rules) {
        let run: Length = sides(layout, finish).map(|s| s.run).sum();
        let total = run.metres() * Decimal::from(layers);
        if total > Decimal::ZERO {
            steps.push(measured(format!("{} run", finish.word()), run.metres(), Unit::Metre));
            steps.push(rule(name, layers));
            let text = format!("{} × {layers}", number(run.metres(), Unit::Metre));
            steps.push(formula(text, total, Unit::Metre));
            totals.push(total);
        }
    }
    if totals.len() > 1 {
        steps.push(sum("", &totals, Unit::Metre));
    }
    steps
}

fn sides(layout: &RoofLayout, finish: Finish) -> impl Iterator<Item = &Side> {
    layout.shape.sides.iter().filter(move |s| s.finish == finish)
}

/// The old covering, and the boards under it, come off all that is on plan inside the outline, holes taken off; so does what an
/// old box gutter at its edge was lined and boarded with: as much as the new one is. Where none was, the roof lies on over the new
/// one's width.
fn strip(roof: &Roof, layout: &RoofLayout) -> Vec<Step> {
    let area = layout.shape.area.square_metres();
    let mut steps = vec![measured("roof, net of holes", area, Unit::SquareMetre)];
    let mut all = vec![area];
    for laid in &layout.box_gutters {
        let across = laid.stripped(roof);
        let label = if laid.replaces_old(roof) { "old box gutter" } else { "over the new box gutter" };
        let (label, run) = (format!("{label} at {}", layout.shape.sides[laid.side].label), laid.run.metres());
        let text = format!("{label}: {} × {}", number(run, Unit::Metre), number(across.metres(), Unit::Metre));
        steps.push(formula(text, run * across.metres(), Unit::SquareMetre));
        all.push(run * across.metres());
    }
    steps.push(sum("", &all, Unit::SquareMetre));
    steps
}

/// Where a new flashing is cut in an old one comes out, as long without its laps.
fn old_flashing(layout: &RoofLayout) -> Vec<Step> {
    let runs = || layout.flashings.iter().flat_map(|flashing| runs_of(flashing, layout));
    let mut steps: Vec<Step> = runs().map(|of| measured(of.label, of.run.metres(), Unit::Metre)).collect();
    if !steps.is_empty() {
        steps.push(sum("", &runs().map(|of| of.run.metres()).collect::<Vec<_>>(), Unit::Metre));
    }
    steps
}

/// A wedge at each spacing along the flashing, and one more.
fn wedges(run: Decimal, rules: &Rules) -> Vec<Step> {
    let spacing = rules.wedge_spacing.metres();
    if run.is_zero() || spacing.is_zero() {
        return Vec::new();
    }
    let exact = run / spacing;
    let whole = exact.ceil();
    vec![
        measured("flashing", run, Unit::Metre),
        rule("wedge_spacing", rules.wedge_spacing),
        formula(format!("{} ÷ {}", number(run, Unit::Metre), number(spacing, Unit::Metre)), exact, Unit::Each),
        rounded_up("whole spaces", exact, Unit::Each),
        formula(format!("{whole} + 1"), whole + Decimal::ONE, Unit::Each),
    ]
}

/// Cartridges of sealant for the chase; where an old flashing comes out, for the old chase too.
fn sealant(run: Decimal, old_comes_out: bool, rules: &Rules) -> Vec<Step> {
    let each = rules.chase_per_cartridge.metres();
    if run.is_zero() || each.is_zero() {
        return Vec::new();
    }
    let old = old_comes_out.then(|| measured("chase of the old flashing", run, Unit::Metre));
    let closed = if old_comes_out { run + run } else { run };
    let mut steps = vec![measured("flashing", run, Unit::Metre)];
    steps.extend(old);
    steps.extend([
        rule("chase_per_cartridge", rules.chase_per_cartridge),
        formula(format!("{} ÷ {}", number(closed, Unit::Metre), number(each, Unit::Metre)), closed / each, Unit::Each),
        rounded_up("whole cartridges", closed / each, Unit::Each),
    ]);
    steps
}

/// Pieces of at most `flashing_piece`, each lapping the next by `flashing_lap`: run + (k − 1) laps, k the fewest. Round a
/// chimney each side is flashed with what the walls have, and laps the next side at the corner: a lap more a side.
fn flashed(kind: Flashing, layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    let mut steps = vec![rule("flashing_piece", rules.flashing_piece), rule("flashing_lap", rules.flashing_lap)];
    let mut totals = Vec::new();
    let m = |l: Length| number(l.metres(), Unit::Metre);
    for flashing in layout.flashings.iter().filter(|f| f.kind == kind) {
        steps.extend(how_wide(flashing, layout, rules));
        for flashed in runs_of(flashing, layout) {
            let (pieces, total) = flashed.in_pieces(rules);
            let FlashedRun { label, run, laps: own, turned } = flashed;
            let laps = pieces - 1 + own;
            steps.push(measured(label, run.metres(), Unit::Metre));
            steps.push(measured("pieces, the fewest that reach", pieces.into(), Unit::Each));
            steps.extend((own > 0).then(|| measured("laps at corners and steps", own.into(), Unit::Each)));
            let turned_in = if turned > 0 { format!(" + {turned} × {}", m(rules.chase_depth)) } else { String::new() };
            let text = format!("{}{turned_in} + {laps} × {}", m(run), m(rules.flashing_lap));
            steps.push(formula(text, total.metres(), Unit::Metre));
            totals.push(total.metres());
        }
    }
    if totals.len() > 1 {
        steps.push(sum("", &totals, Unit::Metre));
    }
    steps
}

/// How wide the strip of a flashing must be, from how high above the finished roof it is cut in, and how wide it is bought.
fn how_wide(flashing: &WallFlashing, layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    let (top, m) = (rules.mat_return.wall, |l: Length| number(l.metres(), Unit::Metre));
    let at = flashing.name(&layout.shape);
    let high =
        if flashing.chase.surveyed { "chase above the finished roof" } else { "chase, within a course of the least" };
    let (depth, cover, most) = (m(rules.chase_depth), m(rules.flashing_cover), m(flashing.chase.most));
    let text = match flashing.chase.most > top {
        true => format!("{depth} + {most} − {} + {cover}", m(top)),
        false => format!("{depth} + {cover}"),
    };
    let bought = match flashing.sold {
        Some(sold) => format!("{at}: the narrowest strip sold that is so wide is {sold} wide"),
        None => format!("{at}: a strip {} wide at least", flashing.width),
    };
    vec![
        rule("least_upstand", rules.least_upstand),
        rule("brick_course", rules.brick_course),
        rule("chase_depth", rules.chase_depth),
        rule("flashing_cover", rules.flashing_cover),
        measured(format!("{at}: {high}, at most"), flashing.chase.most.metres(), Unit::Metre),
        formula(text, flashing.width.metres(), Unit::Metre),
        Step::Note(bought),
    ]
}

/// A run of a flashing.
struct FlashedRun {
    label: String,
    run: Length,
    /// At how many corners and steps it laps, beside the joints between its pieces.
    laps: i64,
    /// At how many ends it is turned into the wall, each as deep as the chase.
    turned: i64,
}

/// The runs of a flashing: along a side, and over the tops of the parapets that end there; round a chimney.
fn runs_of(flashing: &WallFlashing, layout: &RoofLayout) -> Vec<FlashedRun> {
    let kind = flashing.kind.key();
    match flashing.place {
        FlashedPlace::Side(i) => {
            let side = &layout.shape.sides[i];
            let over = parapets_against(&layout.shape, i).into_iter().map(|(parapet, run)| FlashedRun {
                label: format!("over the top of the parapet at {parapet}, {kind}"),
                run,
                laps: 1,
                turned: 0,
            });
            let laps = flashing.chase.steps + i64::from(flashing.meets.is_some());
            let along = FlashedRun {
                label: format!("{} run, {kind}", side.label),
                run: side.run,
                laps,
                turned: flashing.turned,
            };
            std::iter::once(along).chain(over).collect()
        }
        FlashedPlace::Hole(i) => {
            let (hole, n) = (&layout.shape.holes[i], layout.shape.holes[i].ring.len());
            let side = |(k, &from): (usize, &Point)| {
                let label = format!("{}, side {} of {n}, {kind}", hole.name, k + 1);
                FlashedRun { label, run: distance(from, hole.ring[(k + 1) % n]), laps: 1, turned: 0 }
            };
            hole.ring.iter().enumerate().map(side).collect()
        }
    }
}

impl FlashedRun {
    /// How many pieces it takes, and their length in all, with its laps and what is turned in.
    fn in_pieces(&self, rules: &Rules) -> (i64, Length) {
        let (piece, lap) = (rules.flashing_piece, rules.flashing_lap);
        let reach = self.run + rules.chase_depth * self.turned + lap * self.laps;
        let pieces = if piece > lap { (reach - lap).pieces_of(piece - lap).max(1) } else { 1 };
        (pieces, reach + lap * (pieces - 1))
    }
}

/// Holes that a wall stands in.
fn chimneys(layout: &RoofLayout) -> impl Iterator<Item = &HoleShape> {
    layout.shape.holes.iter().filter(|h| h.finish == Finish::Wall && !h.round)
}

fn temporary_seal(layout: &RoofLayout) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut runs: Vec<Decimal> = Vec::new();
    let walls = sides(layout, Finish::Wall).chain(sides(layout, Finish::Gutter));
    for side in walls.filter(|s| s.may_be_flashed()) {
        steps.push(measured(format!("{} run", side.label), side.run.metres(), Unit::Metre));
        runs.push(side.run.metres());
    }
    for hole in chimneys(layout) {
        let round = perimeter(&hole.ring).metres();
        steps.push(measured(format!("round {}", hole.name), round, Unit::Metre));
        runs.push(round);
    }
    steps.push(sum("", &runs, Unit::Metre));
    steps
}

/// The gutters of a roof, each with its side and how many brackets it takes: one more than it has spaces.
fn gutters<'a>(roof: &'a Roof, layout: &'a RoofLayout) -> impl Iterator<Item = (&'a Gutter, &'a Side)> {
    let all = roof.outline.edges.iter().zip(&layout.shape.sides);
    all.filter(|(_, side)| side.finish == Finish::Drip).filter_map(|(e, side)| Some((e.gutter.as_ref()?, side)))
}

fn gutter(roof: &Roof, layout: &RoofLayout) -> Vec<Step> {
    let runs: Vec<&Side> = gutters(roof, layout).map(|(_, side)| side).collect();
    let mut steps: Vec<Step> =
        runs.iter().map(|s| measured(format!("gutter at {}", s.label), s.run.metres(), Unit::Metre)).collect();
    steps.push(sum("", &runs.iter().map(|s| s.run.metres()).collect::<Vec<_>>(), Unit::Metre));
    steps
}

fn brackets(roof: &Roof, layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    let mut steps = vec![rule("bracket_spacing", rules.bracket_spacing)];
    let mut totals: Vec<Decimal> = Vec::new();
    for (_, side) in gutters(roof, layout) {
        if rules.bracket_spacing <= Length::ZERO {
            continue;
        }
        let (run, spacing) = (side.run.metres(), rules.bracket_spacing.metres());
        let spaces = Decimal::from(side.run.pieces_of(rules.bracket_spacing));
        steps.push(measured(format!("gutter at {}", side.label), run, Unit::Metre));
        let text = format!("{} ÷ {}", number(run, Unit::Metre), number(spacing, Unit::Metre));
        steps.push(formula(text, run / spacing, Unit::Each));
        steps.push(rounded_up("whole spaces", spaces, Unit::Each));
        steps.push(formula(format!("{} + 1", spaces.normalize()), spaces + Decimal::ONE, Unit::Each));
        totals.push(spaces + Decimal::ONE);
    }
    let angles: usize = gutter_runs(&layout.shape, roof).iter().map(|run| run.len() - 1).sum();
    if angles > 0 {
        let words = plural(angles, "angle", "angles");
        steps.push(Step::Note(format!(
            "the gutter goes round a corner on {words}: a bracket stands on either side of each"
        )));
    }
    if totals.len() > 1 {
        steps.push(sum("", &totals, Unit::Each));
    }
    steps
}

fn bracket_screws(roof: &Roof, layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    screwed("brackets", &brackets(roof, layout, rules), rules)
}

/// So many screws in each of what was counted.
fn screwed(what: &str, counted: &[Step], rules: &Rules) -> Vec<Step> {
    let n = result(counted);
    let text = format!("{} × {}", n.normalize(), rules.bracket_fixing);
    vec![
        measured(what, n, Unit::Each),
        rule("bracket_fixing", rules.bracket_fixing),
        formula(text, n * Decimal::from(rules.bracket_fixing), Unit::Each),
    ]
}

/// Downpipes of gutters that come up with the roof, one to an outlet: how far each comes up, or (each) how many there are.
fn raised_pipes(roof: &Roof, layout: &RoofLayout, rules: &Rules, unit: Unit) -> Vec<Step> {
    let of = |by: Length| if unit == Unit::Each { Decimal::ONE } else { by.metres() };
    let outlets = |i: usize| {
        let gutter = roof.outline.edges.get(i).and_then(|e| e.gutter.as_ref()?.detail.as_ref());
        gutter.map_or(1, |detail| detail.outlets.max(1))
    };
    let mut steps = vec![rule("downpipe_slack", rules.downpipe_slack)];
    let mut each = Vec::new();
    for &(i, by) in &layout.gutters_raised {
        let n = outlets(i);
        let label = &layout.shape.sides[i].label;
        let of_it =
            if n > 1 { format!("gutter at {label}, each of {n} downpipes") } else { format!("gutter at {label}") };
        steps.push(measured(of_it, of(by), unit));
        each.extend((0..n).map(|_| of(by)));
    }
    steps.push(sum("", &each, unit));
    steps
}

fn collars(layout: &RoofLayout) -> Vec<Step> {
    let pipes = layout.shape.holes.iter().filter(|h| h.round);
    let mut steps: Vec<Step> = pipes.map(|h| measured(h.name.clone(), Decimal::ONE, Unit::Each)).collect();
    let count = steps.len();
    steps.push(sum("", &vec![Decimal::ONE; count], Unit::Each));
    steps
}

/// Outlets in the roof, then those in its box gutters.
fn outlet_sizes(roof: &Roof) -> impl Iterator<Item = Length> {
    let in_gutters = roof.outline.edges.iter().filter_map(|e| e.box_gutter.as_ref()).map(|g| g.outlet.size);
    roof.outlets.iter().map(|o| o.size).chain(in_gutters)
}

fn outlets(roof: &Roof) -> Vec<Step> {
    let mut steps: Vec<Step> = outlet_sizes(roof)
        .map(|size| measured(format!("outlet of {size} in {}", roof.name), Decimal::ONE, Unit::Each))
        .collect();
    let count = steps.len();
    steps.push(sum("", &vec![Decimal::ONE; count], Unit::Each));
    steps
}

fn overflows(roof: &Roof) -> Vec<Step> {
    let each = roof.outline.edges.iter().filter_map(|e| Some((e, e.overflow?)));
    let mut steps: Vec<Step> = each
        .map(|(e, o)| {
            measured(format!("overflow of {} × {} at {}", o.width, o.height, e.label()), Decimal::ONE, Unit::Each)
        })
        .collect();
    let count = steps.len();
    steps.push(sum("", &vec![Decimal::ONE; count], Unit::Each));
    steps
}

/// A chute through masonry is bedded all round, as coping stones are, over the thickness of its wall: where none is measured,
/// that of a brick's length (common practice, no source).
fn chute_mortar(roof: &Roof, rules: &Rules) -> Vec<Step> {
    const BRICK: Length = Length::mm(215);
    let thickest = roof.outline.edges.iter().filter_map(|e| e.coping.as_ref()).map(|c| c.width).max();
    let wall = thickest.unwrap_or(BRICK);
    let rate = rules.mortar_rate.normalize();
    let mut steps = vec![rule("mortar_rate", format!("{rate} kg/m2"))];
    let mut all = Vec::new();
    let masonry = roof.outline.edges.iter().filter(|e| e.finish != Finish::Raised);
    for (edge, chute) in masonry.filter_map(|e| Some((e, e.overflow?))) {
        let girth = (chute.width + chute.height) * 2;
        let mass = girth.metres() * wall.metres() * rate;
        let (girth, wall) = (number(girth.metres(), Unit::Metre), number(wall.metres(), Unit::Metre));
        steps.push(formula(format!("{}: {girth} × {wall} × {rate} kg/m2", edge.label()), mass, Unit::Kilogram));
        all.push(mass);
    }
    steps.push(sum("", &all, Unit::Kilogram));
    if all.is_empty() { Vec::new() } else { steps }
}

/// What lies open while a roof is laid: the roof, and what is uncovered up the slope of a roof above, as far as its courses come off.
fn open_for_the_night(roof: &Roof, layout: &RoofLayout) -> Region {
    let tied = roof.outline.edges.iter().zip(&layout.shape.sides);
    let opening = |(edge, side): (&Edge, &Side)| {
        let tiles = edge.under.as_ref()?;
        let up = tiles.gauge.as_mm() * i64::from(tiles.courses);
        let (along, run) = (side.to.x - side.from.x, distance(side.from, side.to).as_mm().max(1));
        let out = Point::new((side.to.y - side.from.y) * up / run, -along * up / run);
        let beyond = |p: Point| Point::new(p.x + out.x, p.y + out.y);
        Some(vec![side.from, beyond(side.from), beyond(side.to), side.to])
    };
    let rings: Vec<Vec<Point>> = std::iter::once(layout.shape.ring()).chain(tied.filter_map(opening)).collect();
    Region::of_rings(rings.iter().map(Vec::as_slice))
}

/// A strip on the ground along every edge that is open to the air.
fn floor_sheet(layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    let open: Vec<Decimal> = layout
        .shape
        .sides
        .iter()
        .filter(|s| matches!(s.finish, Finish::Drip | Finish::Raised) || s.coped.is_some())
        .map(|s| s.run.metres())
        .collect();
    let (run, width) = (open.iter().copied().sum::<Decimal>(), rules.floor_sheet.metres());
    vec![
        sum("drip and raised edges, and parapets", &open, Unit::Metre),
        rule("floor_sheet", rules.floor_sheet),
        formula(
            format!("{} × {}", number(run, Unit::Metre), number(width, Unit::Metre)),
            run * width,
            Unit::SquareMetre,
        ),
    ]
}

// ---- Of the job --------------------------------------------------------------------------------------------------

fn area_steps(areas: &[Decimal]) -> Vec<Step> {
    vec![sum("all roofs", areas, Unit::SquareMetre)]
}

/// So much ÷ what one lasts, up to whole ones, and at least so many. A rule of nothing asks for the least.
fn per(
    of: &[Step],
    each: (&'static str, Decimal, &str),
    least: (&'static str, u32),
    to: &str,
    unit: Unit,
) -> Vec<Step> {
    let mut steps = of.to_vec();
    let amount = result(of);
    let (name, lasts, words) = each;
    let fewest = Decimal::from(least.1);
    steps.push(rule(name, format!("{} {words}", lasts.normalize())));
    let count = if lasts > Decimal::ZERO { amount / lasts } else { Decimal::ZERO };
    if lasts > Decimal::ZERO {
        let text = format!("{} ÷ {} {words}", number(amount, unit), lasts.normalize());
        steps.push(formula(text, count, Unit::Each));
        steps.push(rounded_up(to, count, Unit::Each));
    }
    steps.push(rule(least.0, least.1));
    steps.push(at_least(fewest, count.ceil(), Unit::Each));
    steps
}

fn acetone(wet: &[Line], rules: &Rules) -> Vec<Step> {
    let resin = resin_total(wet);
    let (each, least) = (rules.acetone_per.normalize(), rules.acetone_least.normalize());
    let mut steps = vec![
        measured("all laminating resin", resin, Unit::Kilogram),
        rule("acetone_per", format!("{each} kg of resin per litre")),
    ];
    let mut litres = Decimal::ZERO;
    if each > Decimal::ZERO {
        litres = resin / each;
        steps.push(formula(format!("{} ÷ {each} kg/l", number(resin, Unit::Kilogram)), litres, Unit::Litre));
    }
    steps.push(rule("acetone_least", format!("{least} litres")));
    steps.push(at_least(least, litres, Unit::Litre));
    steps
}

fn buckets(wet: &[Line], rules: &Rules) -> Vec<Step> {
    let all = vec![sum("resin and topcoat", &[resin_total(wet), topcoat_total(wet)], Unit::Kilogram)];
    let each = ("bucket_resin", rules.bucket_resin, "kg");
    per(&all, each, ("buckets_least", rules.buckets_least), "whole buckets", Unit::Kilogram)
}

fn cups(rules: &Rules) -> Vec<Step> {
    let cups = Decimal::from(rules.cups);
    vec![
        rule("cups", rules.cups),
        formula(number(cups, Unit::Each), cups, Unit::Each),
        Step::Note("catalyst is measured, never guessed: by mass, or by volume from the mix card".into()),
    ]
}

// ---- Needs -------------------------------------------------------------------------------------------------------

/// The role that each line is bought as; those of one role stand together.
const BOUGHT_AS: [(LineId, Role); 18] = [
    (LineId::BattenLength, Role::EdgeBatten),
    (LineId::BattenWaste, Role::EdgeBatten),
    (LineId::BattenFixings, Role::FramingFixings),
    (LineId::FlashingWedges, Role::FlashingWedge),
    (LineId::FlashingSealant, Role::FlashingSealant),
    (LineId::SealTemporary, Role::TemporarySeal),
    (LineId::GutterFixings, Role::BracketFixings),
    (LineId::GutterClipFixings, Role::MasonryFixings),
    (LineId::GutterDownpipe, Role::Downpipe),
    (LineId::GutterSockets, Role::DownpipeSocket),
    (LineId::OverflowMortar, Role::Mortar),
    (LineId::SheetFloor, Role::FloorSheet),
    (LineId::Acetone, Role::Acetone),
    (LineId::RollerSleeves, Role::RollerSleeve),
    (LineId::Brushes, Role::Brush),
    (LineId::Buckets, Role::Bucket),
    (LineId::CatalystCups, Role::CatalystCup),
    (LineId::Gloves, Role::Gloves),
];

/// What is used up over the job is shared over the roofs by their area.
fn needs(lines: &[Line], before: &[Line]) -> Vec<Need> {
    let over_job = || {
        let laid = |l: &&Line| matches!(l.id, LineId::MatFirst | LineId::PatchMat | LineId::RecoatArea);
        shares(before.iter().filter(laid))
    };
    let need = |bought: &[(LineId, Role)]| {
        let of: Vec<&Line> = lines.iter().filter(|l| bought.iter().any(|(id, _)| l.id == *id)).collect();
        let need = Need::of(bought.first()?.1.clone(), &of)?;
        let pooled = of.iter().any(|l| l.roof.is_none());
        Some(if pooled { need.shared(over_job()) } else { need })
    };
    BOUGHT_AS.chunk_by(|a, b| a.1 == b.1).filter_map(need).collect()
}

/// What must fit what is there: brackets the gutter, sheets the roof, a collar its pipe, an outlet and an overflow its size.
fn sized_needs(roof: &Roof, layout: &RoofLayout, of_roof: &[Line], rules: &Rules, products: &Products) -> Vec<Need> {
    let need = |role: &Role, id: LineId, size: Length, quantity: Decimal| {
        let line = of_roof.iter().find(|l| l.id == id)?;
        let one = Line { quantity, ..line.clone() };
        Some(Need::of(role.clone(), &[&one])?.sized(Some(size)))
    };
    let mut needs: Vec<Need> = Vec::new();
    for flashing in &layout.flashings {
        let Some((role, id)) = flashing.kind.role().zip(flashing.kind.line()) else { continue };
        let Some(line) = of_roof.iter().find(|l| l.id == id) else { continue };
        let runs = runs_of(flashing, layout).into_iter();
        let quantity = runs.map(|of| of.in_pieces(rules).1.metres()).sum();
        let one = Need::of(role.clone(), &[&Line { quantity, ..line.clone() }]);
        needs.extend(one.map(|n| n.sized(products.strip_asked(&role, flashing.width))));
    }
    for (gutter, side) in gutters(roof, layout).filter(|_| rules.bracket_spacing > Length::ZERO) {
        let quantity = Decimal::from(side.run.places(rules.bracket_spacing));
        needs.extend(need(&Role::GutterBracket, LineId::GutterBrackets, gutter.size, quantity));
    }
    for hole in &roof.holes {
        if let HoleForm::Round { diameter, .. } = hole.form {
            needs.extend(need(&Role::PipeCollar, LineId::PipeCollars, diameter, Decimal::ONE));
        }
    }
    let outlets = outlet_sizes(roof);
    needs.extend(outlets.filter_map(|size| need(&Role::RoofOutlet, LineId::RoofOutlets, size, Decimal::ONE)));
    let overflows = roof.outline.edges.iter().filter_map(|e| e.overflow);
    needs.extend(overflows.filter_map(|o| need(&Role::OverflowChute, LineId::RoofOverflows, o.width, Decimal::ONE)));
    needs
}
