//! What a roof is made of from the ceiling to the covering.
//!
//! Given what the file says, the deck and the laminate that were chosen and what is sold; gives the build-up, or every
//! problem in it. Sizes that the job leaves out are the price book's; where both speak they must agree, because the
//! order is made from one and the check from the other.

use super::choices::Shelf;
use super::measured::too_many;
use crate::checks::warm_roof;
use crate::job_file::raw::checks::{RawBuildUp, RawExisting, RawInsulation, RawJoistDetail, RawSheet, RawVapour};
use crate::job_file::read::reading::{List, Slot};
use crate::job_file::read::scalars::Percent;
use crate::job_file::read::suggest;
use crate::model::build_up::{
    BuildUp, Conductivity, Existing, InsulationBoard, JoistDetail, MaterialLayer, RoofKind, Thickness, VapourLayer,
};
use crate::model::limits;
use crate::model::products::Slab;
use crate::model::shape::{DeckChoice, LaminateChoice};
use crate::model::{Length, Problem, Rules, SettingPath};
use rust_decimal::Decimal;

/// What the build-up lies on and under.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RoofMakeUp<'a> {
    /// The deck.
    pub deck: &'a DeckChoice,
    /// The laminate.
    pub laminate: LaminateChoice,
    /// Spacing of the joists.
    pub spacing: Length,
    /// What is sold.
    pub shelf: Option<Shelf<'a>>,
    /// The firm's rules.
    pub rules: &'a Rules,
}

/// The build-up of a roof; `path` is that of the roof.
pub(crate) fn build_up(
    raw: RawBuildUp,
    around: RoofMakeUp<'_>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<BuildUp> {
    let path = path.key("build_up");
    let ceiling = ceiling(raw.ceiling, &path, found);
    let joists = raw.joists.take().and_then(joists);
    found.extend(joists.iter().flat_map(|j| warm_roof::joist_faults(j, around.spacing, &path)));
    let deck = deck(raw.deck, around, &path, found);
    let had_insulation = !raw.insulation.is_missing();
    let insulation = raw.insulation.take().and_then(|i| insulation(i, around.shelf, &path, found));
    let vapour = raw.vapour.take().and_then(|v| vapour(v, around.rules, &path, found));
    let had_overlay = !raw.overlay.is_missing();
    let overlay = raw.overlay.take().and_then(|key| overlay(&key.0, around, &path, found));
    let existing = raw.existing.take().and_then(|e| existing(e, &path, found));
    let kind = raw.kind.take();
    if let Some(kind) = kind {
        found.extend(warm_roof::layer_faults(kind, had_insulation, &path));
        found.extend(warm_roof::between_fault(kind, joists.as_ref(), &path));
        misplaced(kind, (had_insulation, had_overlay), &path, found);
    }
    Some(BuildUp {
        kind: kind?,
        work: raw.work.take()?,
        ceiling: ceiling?,
        joists: joists?,
        deck: deck?,
        vapour,
        insulation,
        overlay,
        covering: warm_roof::laminate_sheet(around.laminate, around.rules),
        void: raw.void.take(),
        vent_gap: raw.vent_gap.take(),
        existing,
        path,
    })
}

/// Layers that a roof of this kind does not have, or lacks.
fn misplaced(kind: RoofKind, (insulation, overlay): (bool, bool), path: &SettingPath, found: &mut Vec<Problem>) {
    if kind == RoofKind::Warm && !overlay {
        found.push(Problem::fault(
            path.key("overlay"),
            "no laminate is laid on insulation: a board must lie over it",
            "name the board: `overlay: osb3-18`",
        ));
    }
    if kind == RoofKind::Cold && (insulation || overlay) {
        let key = if insulation { "insulation" } else { "overlay" };
        found.push(Problem::fault(
            path.key(key),
            format!("a cold roof has its insulation between the joists: `{key}` lies over the deck"),
            "write it under `joists: {between: …}`, or `kind: warm`",
        ));
    }
}

/// The roof as it is now; the whole of it is taken to be renovated where nothing is said.
fn existing(raw: RawExisting, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Existing> {
    let path = path.key("existing");
    let of_roof = raw.of_roof.or_taken(Percent(Decimal::ONE_HUNDRED), || {
        found.push(Problem::assumed(
            path.key("of_roof"),
            "how much of the roof is renovated is not said: all of it is taken",
            "add `of_roof: 100 %`",
        ));
    });
    Some(Existing {
        transmittance: raw.u_value.take()?,
        of_roof: of_roof.0,
        of_envelope: raw.of_envelope.take().map(|p| p.0),
    })
}

fn sheet(raw: RawSheet) -> Option<MaterialLayer> {
    Some(MaterialLayer { name: raw.name.take()?.0, thickness: raw.thickness.take()?, conductivity: raw.lambda.take()? })
}

/// 12.5 mm of plasterboard where nothing is said; 0.21 W/mK (BR 443, from memory).
fn ceiling(raw: Slot<List<RawSheet>>, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Vec<MaterialLayer>> {
    let usual = || MaterialLayer {
        name: "plasterboard".into(),
        thickness: Thickness::mm(Decimal::new(125, 1)),
        conductivity: Conductivity::new(Decimal::new(21, 2)).unwrap_or(Conductivity::TIMBER),
    };
    if raw.is_missing() {
        found.push(Problem::assumed(
            path.key("ceiling"),
            "the ceiling is not said: 12.5 mm of plasterboard, 0.21 W/mK, is taken",
            "add `ceiling: [{name: plasterboard, thickness: 12.5 mm, lambda: 0.21 W/mK}]`, or `ceiling: []`",
        ));
        return Some(vec![usual()]);
    }
    let raw = raw.take()?;
    if too_many(raw.len(), limits::CEILING, path.key("ceiling"), found) {
        return None;
    }
    raw.into_iter().map(|s| sheet(s.take()?)).collect()
}

fn joists(raw: RawJoistDetail) -> Option<JoistDetail> {
    let between = match raw.between {
        Slot::Missing => None,
        given => Some(sheet(given.take()?)?),
    };
    Some(JoistDetail {
        breadth: raw.breadth.take()?,
        depth: raw.depth.take()?,
        fraction: raw.fraction.take(),
        conductivity: raw.lambda.take().unwrap_or(Conductivity::TIMBER),
        between,
    })
}

/// The deck under the insulation: as said, else the new board; a kept deck that is not described counts as 18 mm.
fn deck(
    raw: Slot<RawSheet>,
    around: RoofMakeUp<'_>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<MaterialLayer> {
    if !raw.is_missing() {
        return sheet(raw.take()?);
    }
    if let Some(key) = &around.deck.board {
        return board(key, around);
    }
    found.push(Problem::assumed(
        path.key("deck"),
        "what the kept deck is made of is not said: 18 mm of timber board, 0.13 W/mK, is taken",
        "add `deck: {name: boards, thickness: 18 mm, lambda: 0.13 W/mK}`",
    ));
    Some(timber("deck", Length::mm(18)))
}

fn timber(name: &str, thickness: Length) -> MaterialLayer {
    MaterialLayer { name: name.to_owned(), thickness: thickness.into(), conductivity: Conductivity::TIMBER }
}

/// A board by its key; where the price books could not be read it is 18 mm thick, and nothing comes of it.
fn board(key: &str, around: RoofMakeUp<'_>) -> Option<MaterialLayer> {
    let Some(shelf) = around.shelf else { return Some(timber(key, Length::mm(18))) };
    shelf.sizes.boards.get(key).map(|b| timber(key, b.thickness))
}

fn overlay(key: &str, around: RoofMakeUp<'_>, path: &SettingPath, found: &mut Vec<Problem>) -> Option<MaterialLayer> {
    let sheet = board(key, around);
    if let (None, Some(shelf)) = (&sheet, around.shelf) {
        let sold: Vec<&String> = shelf.sizes.boards.keys().collect();
        let fault = format!("no board `{key}` is {}", shelf.whence());
        found.push(Problem::fault(path.key("overlay"), fault, suggest::cure(key, &sold)));
    }
    let thin = sheet.as_ref().filter(|s| s.thickness < around.rules.least_overlay.into());
    if let Some(thin) = thin {
        let fault = format!("`{key}` is {} mm thick: too thin to lie over insulation", thin.thickness.as_mm());
        let cure = format!("choose a board of at least {}, screwed to the joists", around.rules.least_overlay);
        found.push(Problem::fault(path.key("overlay"), fault, cure));
    }
    sheet
}

fn insulation(
    raw: RawInsulation,
    shelf: Option<Shelf<'_>>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<InsulationBoard> {
    let path = path.key("insulation");
    let key = raw.board.take()?.0;
    let slab = shelf.and_then(|s| s.sizes.insulation.get(&key));
    unsold(&key, slab, shelf, &path, found);
    let mut size = |key: &'static str, said: Slot<Length>, sold: Option<Length>, example: &str| {
        let (bad, said) = (said.is_bad(), said.take());
        let path = path.key(key);
        match (said, sold) {
            (Some(said), Some(sold)) if said != sold => {
                let fault = format!("the price book sells this board with a {key} of {sold}, not {said}");
                found.push(Problem::fault(path, fault, format!("take `{key}` out, or name another board")));
                None
            }
            (None, None) if !bad => {
                let fault = format!("an insulation board that no price book describes needs `{key}`");
                found.push(Problem::fault(path, fault, format!("add, for example, `{key}: {example}`")));
                None
            }
            (said, sold) => said.or(sold),
        }
    };
    let length = size("length", raw.length, slab.map(|s| s.length), "2400 mm");
    let width = size("width", raw.width, slab.map(|s| s.width), "1200 mm");
    let thickness = size("thickness", raw.thickness, slab.map(|s| s.thickness), "120 mm");
    let lambda_bad = raw.lambda.is_bad();
    let lambda = raw.lambda.take().or(slab.and_then(|s| s.conductivity));
    if lambda.is_none() && !lambda_bad {
        let fault = "how well the insulation conducts heat is not known";
        let cure = "add `lambda` from its data sheet, such as `lambda: 0.022 W/mK`";
        found.push(Problem::fault(path.key("lambda"), fault, cure));
    }
    let name = raw.name.take().map_or_else(|| format!("insulation {key}"), |t| t.0);
    Some(InsulationBoard {
        sheet: MaterialLayer { name, thickness: thickness?.into(), conductivity: lambda? },
        key,
        length: length?,
        width: width?,
        density: raw.density.take().map(|d| d.0),
    })
}

/// A board that a price book could sell and does not, where it sells others.
fn unsold(key: &str, slab: Option<&Slab>, shelf: Option<Shelf<'_>>, path: &SettingPath, found: &mut Vec<Problem>) {
    let Some(shelf) = shelf.filter(|s| s.from_book && slab.is_none() && !s.sizes.insulation.is_empty()) else { return };
    let sold: Vec<&String> = shelf.sizes.insulation.keys().collect();
    let fault = format!("no insulation board `{key}` is {}", shelf.whence());
    found.push(Problem::fault(path.key("board"), fault, suggest::cure(key, &sold)));
}

fn vapour(raw: RawVapour, rules: &Rules, path: &SettingPath, found: &mut Vec<Problem>) -> Option<VapourLayer> {
    let (roll_width, roll_length) = (raw.roll_width.take()?, raw.roll_length.take()?);
    for (key, size) in [("roll_width", roll_width), ("roll_length", roll_length)] {
        if size <= rules.vapour_lap {
            let fault = format!("a roll of {size} leaves nothing beside its lap of {}", rules.vapour_lap);
            found.push(Problem::fault(path.key("vapour").key(key), fault, "read the size off the roll"));
        }
    }
    Some(VapourLayer { roll_width, roll_length })
}
