//! Lines of a roof whose laminate stays: what its patches and its new topcoat take.
//!
//! Given such roofs as laid out and the rules; gives lines and needs of their own. What is bought once over the whole job
//! (mat by the roll, catalyst, tools) is reckoned with that of the other roofs, from these lines. A patch takes resin for
//! the bare deck in its hole whether a board is let in there or not.

use super::discs::discs;
use super::line::{Line, Need, Step, Unit};
use super::night_sheet;
use super::resin::{RESIN, TOPCOAT, bucket, figure, role_word, wetted};
use super::trim_lines::nails_along;
use super::working::{
    at_least, by_stock, count, counted as counted_in_words, formula, line, measured, number, result, rounded_up, rule,
    sum,
};
use crate::geometry::region::Region;
use crate::geometry::ring::perimeter;
use crate::model::old_roof::{OldTrim, Recoat, RecoatKey};
use crate::model::surface::Aggregate;
use crate::model::{Finish, Length, LineId, OldRoof, Role, Rules};
use crate::takeoff::layout::junctions::trim_name;
use crate::takeoff::layout::patches::{OldRoofLayout, PatchDeck, PatchFace, PatchLayout, PatchTrim};
use crate::works::WorkKind;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// All lines of the roofs whose laminate stays, but those that are pooled over the job, and what they need bought but mat,
/// bandage and catalyst. `laid[i]` is `roofs[i]`.
pub fn lines(
    roofs: &[OldRoof],
    laid: &[OldRoofLayout],
    rules: &Rules,
    sheets: &[(Length, Length)],
) -> (Vec<Line>, Vec<Need>) {
    let (mut lines, mut needs) = (Vec::new(), Vec::new());
    for (roof, layout) in roofs.iter().zip(laid) {
        let of_roof = of_roof(roof, layout, rules, sheets);
        needs.extend(needs_of(roof, layout, &of_roof));
        needs.extend(sheet_need(layout, &of_roof, rules, sheets));
        lines.extend(of_roof);
    }
    (lines, needs)
}

fn of_roof(roof: &OldRoof, layout: &OldRoofLayout, rules: &Rules, sheets: &[(Length, Length)]) -> Vec<Line> {
    let name = Some(layout.name.as_str());
    let of = |id: LineId, work: WorkKind, item: &str, unit, working| line((id, work), item, name, unit, working);
    use LineId as Id;
    use WorkKind as W;
    let patches = &layout.patches;
    let decks: Vec<&PatchDeck> = patches.iter().filter_map(|p| p.deck.as_ref()).collect();
    let ground = ground(patches, rules);
    let ground_discs = discs("disc_ground", rules.disc_ground, &ground);
    let washed = washed(&ground, rules);
    // What is washed all over is washed in a step of its own, twice where it is ground.
    let cleaned = if roof.recoat.is_some() { W::WashOld } else { W::CutBack };
    let open = night_sheet::working_over(&open_at_once(layout), "what may lie open", rules, sheets);
    let mut lines: Vec<Line> = [
        of(Id::PatchCount, W::CutBack, "Patches", Unit::Each, counted("patches", patches.len())),
        of(Id::PatchGround, W::CutBack, "Cut back and ground", Unit::SquareMetre, ground),
        of(Id::PatchCleaner, cleaned, "Cleaner for what is ground", Unit::Litre, washed),
        of(Id::PatchDiscs, W::CutBack, "Abrasive discs for the patches", Unit::Each, ground_discs),
        of(Id::PatchBoardPieces, W::PatchDeck, "Pieces of board let in", Unit::Each, board_pieces(&decks)),
        of(Id::PatchBoards, W::PatchDeck, "Boards for patches", Unit::Each, boards(&decks, rules)),
        of(Id::PatchNoggins, W::PatchDeck, "Noggins for patches", Unit::Metre, noggins(&decks)),
        of(
            Id::PatchNogginFixings,
            W::PatchDeck,
            "Screws for noggins of patches",
            Unit::Each,
            noggin_screws(&decks, rules),
        ),
        of(Id::PatchFixings, W::PatchDeck, "Nails or screws for boards of patches", Unit::Each, fixings(&decks, rules)),
        of(Id::PatchEdgeRun, W::PatchEdge, "Edges made good along patches", Unit::Metre, worked_edges(patches)),
        of(
            Id::PatchEdgeNails,
            W::PatchEdge,
            "Clout nails for trims along patches",
            Unit::Each,
            edge_nails(patches, rules),
        ),
        of(
            Id::PatchEdgeAdhesive,
            W::PatchEdge,
            "Cartridges of adhesive for trims along patches",
            Unit::Each,
            edge_adhesive(patches, rules),
        ),
        of(
            Id::PatchMat,
            W::PatchLaminate,
            &format!("Mat {} g/m2, patches", layout.mat),
            Unit::SquareMetre,
            mat(layout),
        ),
    ]
    .into_iter()
    .flatten()
    .collect();
    lines.extend(new_trims(layout, rules));
    lines.extend(bandages(layout, rules));
    lines.extend(resin(layout, rules));
    lines.extend(face(roof, layout, rules));
    lines.extend(of(Id::SheetNight, W::CutBack, "Sheeting for open patches", Unit::SquareMetre, open));
    lines.extend(of(Id::SheetFloor, W::SheetBelow, "Sheeting for the ground", Unit::SquareMetre, floor(layout, rules)));
    lines
}

fn counted(what: &str, n: usize) -> Vec<Step> {
    if n == 0 {
        return Vec::new();
    }
    vec![measured(what, count(n), Unit::Each), formula(number(count(n), Unit::Each), count(n), Unit::Each)]
}

// ---- Patches -----------------------------------------------------------------------------------------------------

/// `0.85 m × 0.65 m` and what it comes to.
fn box_step(label: &str, (a, b): (Length, Length)) -> Step {
    let text = format!("{label}: {} × {}", number(a.metres(), Unit::Metre), number(b.metres(), Unit::Metre));
    formula(text, a.metres() * b.metres(), Unit::SquareMetre)
}

/// The same of what is ground; where it is no box, what of one is roof.
fn face_step(label: &str, face: &PatchFace) -> Step {
    let (a, b) = face.size;
    if face.area == a * b {
        return box_step(label, face.size);
    }
    let area = face.area.square_metres();
    formula(format!("{label}, of {a} × {b} what is roof: {}", number(area, Unit::SquareMetre)), area, Unit::SquareMetre)
}

fn summed(mut steps: Vec<Step>, from: usize, label: &str, unit: Unit) -> Vec<Step> {
    let each: Vec<Decimal> = steps[from..].iter().map(|s| result(std::slice::from_ref(s))).collect();
    if each.len() > 1 {
        steps.push(sum(label, &each, unit));
    }
    steps
}

fn ground(patches: &[PatchLayout], rules: &Rules) -> Vec<Step> {
    if patches.is_empty() {
        return Vec::new();
    }
    let mut steps: Vec<Step> = patches.iter().map(hole_step).collect();
    steps.extend([
        rule("patch_lap", rules.patch_lap),
        rule("patch_step", rules.patch_step),
        rule("patch_ground", rules.patch_ground),
    ]);
    let from = steps.len();
    steps.extend(patches.iter().map(|p| face_step(&p.mark, &p.ground)));
    let along = patches.iter().filter_map(|p| Some((p, p.at_edge()?)));
    steps.extend(along.map(|(p, strip)| {
        let over = if p.trim.is_some() { "up or over the edge" } else { "under its bandage at the edge" };
        box_step(&format!("{} {over}", p.mark), strip)
    }));
    summed(steps, from, "all patches", Unit::SquareMetre)
}

/// Before it is opened, so that neither dirt nor wax is ground in.
fn washed(ground: &[Step], rules: &Rules) -> Vec<Step> {
    if ground.is_empty() {
        return Vec::new();
    }
    let (area, rate) = (result(ground), rules.cleaner_rate.normalize());
    vec![
        measured("cut back and ground", area, Unit::SquareMetre),
        rule("cleaner_rate", format!("{rate} l/m2")),
        formula(format!("{} × {rate} l/m2", number(area, Unit::SquareMetre)), area * rate, Unit::Litre),
    ]
}

/// What may lie open at once: the holes where they lie; where the place of one is not known, any part of the roof.
fn open_at_once(layout: &OldRoofLayout) -> Region {
    match layout.patches.iter().map(|p| p.ring.as_deref()).collect::<Option<Vec<_>>>() {
        Some(holes) => Region::of_rings(holes),
        None => Region::of_ring(&layout.corners),
    }
}

fn hole_step(patch: &PatchLayout) -> Step {
    let name = patch.name.as_ref().map_or_else(String::new, |name| format!(", {name}"));
    let (width, depth) = patch.hole;
    let layers = patch.layers.len();
    Step::Note(format!("{}{name}: a hole of {width} × {depth}, {layers} layers", patch.mark))
}

fn board_pieces(decks: &[&PatchDeck]) -> Vec<Step> {
    counted("pieces of board", decks.iter().map(|d| d.pieces.len()).sum())
}

fn boards(decks: &[&PatchDeck], rules: &Rules) -> Vec<Step> {
    let pieces = decks.iter().flat_map(|d| &d.pieces);
    let Some(last) = pieces.clone().map(|p| p.board).max() else { return Vec::new() };
    let mut steps = vec![rule("board_kerf", rules.board_kerf)];
    let pieces = pieces.map(|p| {
        let place = format!("{} in along it, {} across", Length::mm(p.on_board.x), Length::mm(p.on_board.y));
        Step::Note(format!("{} × {} out of board {}, {place}", p.length, p.width, p.board + 1))
    });
    steps.extend(pieces);
    let whole = count(last + 1);
    steps.push(measured("boards that the pieces come out of", whole, Unit::Each));
    steps.push(formula(number(whole, Unit::Each), whole, Unit::Each));
    steps
}

fn noggins(decks: &[&PatchDeck]) -> Vec<Step> {
    let each: Vec<Decimal> = decks.iter().map(|d| d.joints.metres()).collect();
    if each.is_empty() {
        return Vec::new();
    }
    vec![
        Step::Note("under every joint of the board let in, with the old deck and between its pieces".into()),
        sum("joints", &each, Unit::Metre),
    ]
}

/// Along each joint into the old boards and what carries them.
fn noggin_screws(decks: &[&PatchDeck], rules: &Rules) -> Vec<Step> {
    let each: Vec<Decimal> = decks.iter().map(|d| d.joints.places(rules.batten_fixing).into()).collect();
    if each.is_empty() {
        return Vec::new();
    }
    vec![rule("batten_fixing", rules.batten_fixing), sum("along the joints of each patch", &each, Unit::Each)]
}

fn fixings(decks: &[&PatchDeck], rules: &Rules) -> Vec<Step> {
    let each: Vec<Decimal> = decks.iter().map(|d| Decimal::from(d.fixings)).collect();
    if each.is_empty() {
        return Vec::new();
    }
    vec![
        rule("deck_edge_fixing", rules.deck_edge_fixing),
        rule("deck_field_fixing", rules.deck_field_fixing),
        sum("round each piece and over its face", &each, Unit::Each),
    ]
}

/// The edges along patches to which something is done.
fn edges(patches: &[PatchLayout]) -> impl Iterator<Item = (&PatchLayout, &PatchTrim)> {
    patches.iter().filter_map(|p| Some((p, p.trim.as_ref().filter(|t| t.edge.is_worked())?)))
}

fn worked_edges(patches: &[PatchLayout]) -> Vec<Step> {
    let run = |(p, t): (&PatchLayout, &PatchTrim)| {
        measured(format!("{}, along {}", p.mark, t.side), t.run.metres(), Unit::Metre)
    };
    let mut steps: Vec<Step> = edges(patches).map(run).collect();
    if !steps.is_empty() {
        steps.push(sum("", &edges(patches).map(|(_, t)| t.run.metres()).collect::<Vec<_>>(), Unit::Metre));
    }
    steps
}

/// Along each piece of trim that is new or bedded again.
fn edge_nails(patches: &[PatchLayout], rules: &Rules) -> Vec<Step> {
    let pieces = || edges(patches).flat_map(|(_, t)| t.pieces.iter());
    if pieces().next().is_none() {
        return Vec::new();
    }
    let each: Vec<Decimal> = pieces().map(|&l| count(nails_along(l, rules.nail_spacing))).collect();
    vec![rule("nail_spacing", rules.nail_spacing), sum("along each piece, one more at its end", &each, Unit::Each)]
}

/// Dabs under each piece, a bead across the girth at each lap, and along the leg of a fillet.
fn edge_adhesive(patches: &[PatchLayout], rules: &Rules) -> Vec<Step> {
    let trims = || edges(patches).map(|(_, t)| t).filter(|t| !t.pieces.is_empty());
    if trims().next().is_none() {
        return Vec::new();
    }
    let metres = |l: Length| l.metres();
    let dabs: usize = trims().flat_map(|t| &t.pieces).map(|&l| nails_along(l, rules.dab_spacing)).sum();
    let dabs = count(dabs) * Decimal::from(rules.dab_rows);
    let under = dabs * rules.dab_bead.metres();
    let laps: Decimal = trims().map(|t| metres(rules.topcoat_girth.of(t.edge.finish) * t.laps)).sum();
    let legs: Decimal = trims().filter(|t| t.edge.finish == Finish::Wall).map(|t| t.run.metres()).sum();
    let all = under + laps + legs;
    if all.is_zero() {
        return Vec::new();
    }
    let per = rules.bead_per_cartridge.metres();
    vec![
        rule("dab_spacing", rules.dab_spacing),
        rule("dab_rows", rules.dab_rows),
        rule("dab_bead", rules.dab_bead),
        formula(format!("dabs: {dabs} × {}", number(rules.dab_bead.metres(), Unit::Metre)), under, Unit::Metre),
        measured("across the girth at laps", laps, Unit::Metre),
        measured("along the legs of fillets", legs, Unit::Metre),
        sum("beads", &[under, laps, legs], Unit::Metre),
        rule("bead_per_cartridge", rules.bead_per_cartridge),
        formula(format!("{} ÷ {}", number(all, Unit::Metre), number(per, Unit::Metre)), all / per, Unit::Each),
        rounded_up("whole cartridges", all / per, Unit::Each),
    ]
}

/// The stock lengths that new trims along patches are cut from.
fn new_trims(layout: &OldRoofLayout, rules: &Rules) -> Vec<Line> {
    let of_finish = |(&finish, bars): (&Finish, &Vec<Length>)| {
        let mut steps = vec![rule("trim_lap", rules.trim_lap), rule("kerf", rules.kerf)];
        for (patch, trim) in edges(&layout.patches).filter(|(_, t)| is_new(t, finish)) {
            let pieces: Vec<String> = trim.pieces.iter().map(ToString::to_string).collect();
            steps.push(Step::Note(format!(
                "{}: {} and {}, cut as {}",
                patch.mark,
                trim.run,
                counted_in_words(usize::try_from(trim.laps).unwrap_or(0), "lap", "laps"),
                pieces.join(" and ")
            )));
        }
        let each: Vec<Decimal> = by_stock(bars.iter().copied())
            .into_iter()
            .map(|(stock, n)| {
                steps.push(measured(
                    format!("lengths of {} in the cut plan", number(stock.metres(), Unit::Metre)),
                    count(n),
                    Unit::Each,
                ));
                count(n)
            })
            .collect();
        steps.push(sum("", &each, Unit::Each));
        let item = format!("{}, new along patches, lengths", trim_name(finish));
        let item = format!("{}{}", item[..1].to_uppercase(), &item[1..]);
        line((LineId::PatchTrimLengths(finish), WorkKind::PatchEdge), item, Some(&layout.name), Unit::Each, steps)
    };
    layout.trims.iter().filter_map(of_finish).collect()
}

fn is_new(trim: &PatchTrim, finish: Finish) -> bool {
    trim.edge.trim == OldTrim::Renewed && trim.edge.finish == finish
}

fn mat(layout: &OldRoofLayout) -> Vec<Step> {
    let mut steps = Vec::new();
    for patch in &layout.patches {
        for same in patch.mat.chunk_by(|a, b| a.is_like(b)) {
            let (piece, n) = (&same[0], same.len());
            let label = format!("{}, layer {}", patch.mark, piece.layer + 1);
            let (l, w) = (number(piece.length.metres(), Unit::Metre), number(piece.width.metres(), Unit::Metre));
            let many = if n > 1 { format!("{n} × ") } else { String::new() };
            let area = piece.length.metres() * piece.width.metres() * count(n);
            steps.push(formula(format!("{label}: {many}{l} × {w}"), area, Unit::SquareMetre));
        }
    }
    summed(steps, 0, "all patches", Unit::SquareMetre)
}

fn bandages(layout: &OldRoofLayout, rules: &Rules) -> Vec<Line> {
    let mut widths: BTreeMap<Length, Vec<(bool, Decimal)>> = BTreeMap::new();
    for strip in layout.patches.iter().flat_map(|p| &p.bandage) {
        widths.entry(strip.width).or_default().push((strip.over_joints, strip.length.metres()));
    }
    let of_width = |(width, strips): (Length, Vec<(bool, Decimal)>)| {
        let mut steps = vec![rule("bandage_lap", rules.bandage_lap)];
        let mut totals = Vec::new();
        for (over_joints, name, label) in [
            (true, ("bandage_joint", rules.bandage_joint), "joints of board let in"),
            (false, ("bandage_trim", rules.bandage_trim), "along edges, and over laps of new trim"),
        ] {
            let each: Vec<Decimal> = strips.iter().filter(|s| s.0 == over_joints).map(|s| s.1).collect();
            if !each.is_empty() {
                steps.push(rule(name.0, name.1));
                steps.push(sum(label, &each, Unit::Metre));
                totals.push(each.iter().copied().sum());
            }
        }
        if totals.len() > 1 {
            steps.push(sum("all", &totals, Unit::Metre));
        }
        let id = LineId::BandageLength(u32::try_from(width.as_mm()).unwrap_or(u32::MAX));
        let item = format!("Bandage {width} wide, patches");
        line((id, WorkKind::PatchLaminate), item, Some(&layout.name), Unit::Metre, steps)
    };
    widths.into_iter().filter_map(of_width).collect()
}

fn resin(layout: &OldRoofLayout, rules: &Rules) -> Vec<Line> {
    if layout.patches.is_empty() {
        return Vec::new();
    }
    let kg = |id: LineId, item: &str, working| {
        line((id, WorkKind::PatchLaminate), item, Some(&layout.name), Unit::Kilogram, working)
    };
    let area: Decimal = layout.patches.iter().map(|p| p.mat_area().square_metres()).sum();
    let strips: Vec<Decimal> =
        layout.patches.iter().flat_map(|p| &p.bandage).map(|b| b.width.metres() * b.length.metres()).collect();
    let mut bandage = Vec::new();
    if !strips.is_empty() {
        bandage.push(sum("bandage", &strips, Unit::SquareMetre));
        bandage.push(Step::Note("bandage is taken to weigh by the square metre what the patches' mat weighs".into()));
        bandage.extend(wetted("bandage", strips.iter().sum(), layout.mat, rules));
    }
    let resin: Vec<Line> = [
        kg(RESIN[0], "Resin for the patches", wetted("mat of the patches", area, layout.mat, rules)),
        kg(RESIN[1], "Resin for the bandage of the patches", bandage),
        kg(RESIN[2], "Resin to seal the deck in the holes", seal(&layout.patches, rules)),
    ]
    .into_iter()
    .flatten()
    .collect();
    let spilt = kg(RESIN[3], "Resin left in buckets and rollers", bucket(&resin, rules));
    resin.into_iter().chain(spilt).collect()
}

fn seal(patches: &[PatchLayout], rules: &Rules) -> Vec<Step> {
    let soak = rules.deck_soak.normalize();
    let steps: Vec<Step> = patches.iter().map(|p| box_step(&p.mark, p.hole)).collect();
    let mut steps = summed(steps, 0, "holes", Unit::SquareMetre);
    let bare = result(&steps);
    steps.push(rule("deck_soak", format!("{soak} kg/m2")));
    steps.push(formula(format!("{} × {soak} kg/m2", number(bare, Unit::SquareMetre)), bare * soak, Unit::Kilogram));
    steps
}

// ---- The new face ------------------------------------------------------------------------------------------------

/// What is topcoated, with all that goes before it: the whole roof, or its patches alone.
fn face(roof: &OldRoof, layout: &OldRoofLayout, rules: &Rules) -> Vec<Line> {
    let name = Some(layout.name.as_str());
    let of = |id: LineId, work: WorkKind, item: &str, unit, working| line((id, work), item, name, unit, working);
    use LineId as Id;
    use WorkKind as W;
    let (flat, faces, work) = match roof.recoat {
        Some(recoat) => (on_plan(layout), with_trims(layout, recoat, rules), W::Recoat),
        None => (patch_faces(layout, rules), patch_faces(layout, rules), W::PatchTopcoat),
    };
    let (flat_area, covered) = (result(&flat), result(&faces));
    let by_rate = |name: &'static str, rate: Decimal, unit: Unit| {
        let rate = rate.normalize();
        vec![
            measured("old laminate, as it is coated", covered, Unit::SquareMetre),
            rule(name, format!("{rate} {unit}/m2")),
            formula(format!("{} × {rate} {unit}/m2", number(covered, Unit::SquareMetre)), covered * rate, unit),
        ]
    };
    let mut lines = Vec::new();
    match roof.recoat {
        Some(recoat) => {
            let face_discs = discs("disc_abraded", rules.disc_abraded, &faces);
            lines.extend([
                of(Id::RecoatArea, W::Recoat, "Old laminate, on plan", Unit::SquareMetre, flat),
                of(Id::RecoatTrials, W::CleanDown, "Square metre coated first", Unit::Each, one_trial()),
                of(Id::RecoatFace, W::CleanDown, "Washed, abraded and wiped", Unit::SquareMetre, faces),
                of(
                    Id::RecoatCleaner,
                    W::WashOld,
                    "Cleaner",
                    Unit::Litre,
                    by_rate("cleaner_rate", rules.cleaner_rate, Unit::Litre),
                ),
                of(Id::RecoatDiscs, W::CleanDown, "Abrasive discs", Unit::Each, face_discs),
            ]);
            let wipe = by_rate("wipe_rate", rules.wipe_rate, Unit::Litre);
            lines.push(of(Id::RecoatWipe, W::CleanDown, "Acetone to wipe with", Unit::Litre, wipe));
            if recoat.key == RecoatKey::Prime {
                let area = vec![formula(number(covered, Unit::SquareMetre), covered, Unit::SquareMetre)];
                let primer = by_rate("primer_rate", rules.primer_rate, Unit::Kilogram);
                lines.push(of(Id::RecoatPrimed, W::PrimeOld, "Primed", Unit::SquareMetre, area));
                lines.push(of(Id::RecoatPrimer, W::PrimeOld, "Tie coat", Unit::Kilogram, primer));
            }
        }
        None => lines.push(of(Id::PatchCoated, work, "Patches topcoated", Unit::SquareMetre, faces)),
    }
    let colour = &roof.topcoat.colour;
    let rate = rules.topcoat_rate;
    let mut coat = by_rate("topcoat_rate", rate, Unit::Kilogram);
    coat.push(Step::Note(format!("{colour}: ask for one batch number for the whole order")));
    let mut coats: Vec<Line> =
        of(TOPCOAT[0], work, &format!("Topcoat, {colour}"), Unit::Kilogram, coat).into_iter().collect();
    let mut grains = Vec::new();
    if let Some(aggregate) = &roof.topcoat.finish.aggregate {
        let flat = |value: Decimal| formula(number(value, Unit::SquareMetre), value, Unit::SquareMetre);
        grains.extend(of(
            Id::SurfaceArea,
            W::GripAnew,
            "Strewn with aggregate",
            Unit::SquareMetre,
            vec![flat(flat_area)],
        ));
        let second = second_coat(aggregate, flat_area, rules);
        coats.extend(of(TOPCOAT[1], W::GripAnew, &format!("Topcoat, {colour}, second coat"), Unit::Kilogram, second));
        let strewn = broadcast(aggregate, flat_area, rules);
        let item = format!("Aggregate, {}", aggregate.grade);
        grains.extend(of(Id::SurfaceAggregate, W::GripAnew, &item, Unit::Kilogram, strewn));
        let between = discs("disc_abraded", rules.disc_abraded, &[flat(flat_area)]);
        grains.extend(of(Id::SurfaceDiscs, W::GripAnew, "Abrasive discs between the coats", Unit::Each, between));
    }
    let spilt = of(TOPCOAT[2], work, "Topcoat left in buckets and rollers", Unit::Kilogram, bucket(&coats, rules));
    lines.into_iter().flatten().chain(coats).chain(spilt).chain(grains).collect()
}

/// On each roof that is coated anew a square metre goes first: whether the coat sticks to what is there is seen on it.
fn one_trial() -> Vec<Step> {
    let why = "a square metre of the roof is coated first, and tried with a knife when it is hard";
    vec![Step::Note(why.into()), formula("1", Decimal::ONE, Unit::Each)]
}

fn on_plan(layout: &OldRoofLayout) -> Vec<Step> {
    let gross = crate::geometry::ring::ring_area(&layout.corners).square_metres();
    let mut steps = vec![measured("inside the outline, on plan", gross, Unit::SquareMetre)];
    let net = layout.area.square_metres();
    let mut text = number(gross, Unit::SquareMetre);
    if net < gross {
        steps.push(measured("of it what stands in it", gross - net, Unit::SquareMetre));
        text += &format!(" − {}", number(gross - net, Unit::SquareMetre));
    }
    steps.push(formula(text, net, Unit::SquareMetre));
    steps
}

/// The roof and, where they are coated, the faces of its trims and of what stands round its openings.
fn with_trims(layout: &OldRoofLayout, recoat: Recoat, rules: &Rules) -> Vec<Step> {
    let mut steps = on_plan(layout);
    if !recoat.trims {
        return steps;
    }
    let mut areas = vec![layout.area.square_metres()];
    let sides = layout.sides.iter().filter_map(|s| Some((s.name.clone(), s.finish?, s.length)));
    let boxes = layout.openings.iter().filter(|o| !o.round);
    let boxes = boxes.map(|o| (format!("round {}", o.name), o.finish, perimeter(&o.ring)));
    for (label, finish, run) in sides.chain(boxes) {
        let girth = rules.topcoat_girth.of(finish);
        if girth > Length::ZERO {
            steps.push(rule("topcoat_girth", format!("{} {girth}", finish.word())));
            steps.push(box_step(&label, (run, girth)));
            areas.push(run.metres() * girth.metres());
        }
    }
    steps.push(sum("roof and trim faces", &areas, Unit::SquareMetre));
    steps
}

/// A patch is coated as far as it was ground.
fn patch_faces(layout: &OldRoofLayout, rules: &Rules) -> Vec<Step> {
    ground(&layout.patches, rules)
}

fn second_coat(aggregate: &Aggregate, area: Decimal, rules: &Rules) -> Vec<Step> {
    let (rate, share) = (rules.topcoat_rate.normalize(), aggregate.figures(rules).topcoat.normalize());
    let text = format!("{} × {rate} kg/m2 × {share} ÷ 100", number(area, Unit::SquareMetre));
    vec![
        rule("topcoat_rate", format!("{rate} kg/m2")),
        figure(aggregate, "aggregate_topcoat", format!("{share} % of topcoat_rate")),
        formula(text, area * rate * share / Decimal::ONE_HUNDRED, Unit::Kilogram),
    ]
}

fn broadcast(aggregate: &Aggregate, area: Decimal, rules: &Rules) -> Vec<Step> {
    let rate = aggregate.figures(rules).rate.normalize();
    vec![
        figure(aggregate, "aggregate_rate", format!("{rate} kg/m2")),
        formula(format!("{} × {rate} kg/m2", number(area, Unit::SquareMetre)), area * rate, Unit::Kilogram),
    ]
}

/// A strip on the ground along every edge that is open to the air: dust, drips and tools fall there.
fn floor(layout: &OldRoofLayout, rules: &Rules) -> Vec<Step> {
    let open = layout.sides.iter().filter(|s| !matches!(s.finish, Some(Finish::Wall | Finish::Step | Finish::Gutter)));
    let runs: Vec<Decimal> = open.map(|s| s.length.metres()).collect();
    let (run, width) = (runs.iter().copied().sum::<Decimal>(), rules.floor_sheet.metres());
    let all = sum("edges that no wall stands at", &runs, Unit::Metre);
    let text = format!("{} × {}", number(run, Unit::Metre), number(width, Unit::Metre));
    let mut steps = vec![all, rule("floor_sheet", rules.floor_sheet), formula(text, run * width, Unit::SquareMetre)];
    if run.is_zero() {
        steps.push(at_least(width * width, Decimal::ZERO, Unit::SquareMetre));
    }
    steps
}

// ---- Needs -------------------------------------------------------------------------------------------------------

/// The role that each line is bought as.
const BOUGHT_AS: [(LineId, Role); 12] = [
    (LineId::PatchEdgeNails, Role::CloutNails),
    (LineId::PatchEdgeAdhesive, Role::Adhesive),
    (LineId::PatchNogginFixings, Role::FramingFixings),
    (LineId::PatchDiscs, Role::AbrasiveDisc),
    (LineId::RecoatDiscs, Role::AbrasiveDisc),
    (LineId::SurfaceDiscs, Role::AbrasiveDisc),
    (LineId::PatchFixings, Role::DeckFixings),
    (LineId::PatchCleaner, Role::Cleaner),
    (LineId::RecoatCleaner, Role::Cleaner),
    (LineId::RecoatWipe, Role::Acetone),
    (LineId::RecoatPrimer, Role::Primer),
    (LineId::SheetFloor, Role::FloorSheet),
];

/// The sheets over what is open, by their size.
fn sheet_need(layout: &OldRoofLayout, lines: &[Line], rules: &Rules, sold: &[(Length, Length)]) -> Option<Need> {
    let line = lines.iter().find(|l| l.id == LineId::SheetNight)?;
    let sheets = night_sheet::over(&open_at_once(layout), rules, sold)?;
    Some(Need::of(Role::NightSheet, &[line])?.sized(Some(sheets.size())))
}

fn needs_of(roof: &OldRoof, layout: &OldRoofLayout, lines: &[Line]) -> Vec<Need> {
    let of = |role: Role, is: &dyn Fn(LineId) -> bool| {
        let of: Vec<&Line> = lines.iter().filter(|l| is(l.id)).collect();
        Need::of(role, &of)
    };
    let mut needs: Vec<Need> =
        BOUGHT_AS.iter().filter_map(|(id, role)| of(role.clone(), &|line| line == *id)).collect();
    let board = layout.patches.iter().find_map(|p| p.deck.as_ref()).map(|d| d.board.clone());
    needs.extend(board.and_then(|key| of(Role::Board(key), &|line| line == LineId::PatchBoards)));
    needs.extend(of(Role::Resin, &|line| RESIN.contains(&line)));
    needs.extend(of(Role::Topcoat(role_word(&roof.topcoat.colour)), &|line| TOPCOAT.contains(&line)));
    needs.extend(layout.trims.iter().flat_map(|(&finish, bars)| trim_needs(finish, bars, lines)));
    let aggregate = roof.topcoat.finish.aggregate.as_ref();
    needs.extend(aggregate.and_then(|a| of(a.role.clone(), &|line| line == LineId::SurfaceAggregate)));
    needs
}

/// The stock lengths of new trims, by their size.
fn trim_needs(finish: Finish, bars: &[Length], lines: &[Line]) -> Vec<Need> {
    let Some(all) = lines.iter().find(|l| l.id == LineId::PatchTrimLengths(finish)) else { return Vec::new() };
    let of_size = |(size, n): (Length, usize)| {
        let one = Line { quantity: count(n), ..all.clone() };
        Some(Need::of(Role::Trim(finish), &[&one])?.sized(Some(size)))
    };
    by_stock(bars.iter().copied()).into_iter().filter_map(of_size).collect()
}
