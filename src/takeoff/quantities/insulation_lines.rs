//! The lines of the insulation and the vapour layer over a deck.
//!
//! Given the boards and strips as laid; gives their lines and needs. Insulation lies tight to walls, so its area is the
//! whole roof's, not the deck's.

use super::line::{Line, Need, Step, Unit};
use super::working::{formula, measured, number, result};
use crate::geometry::ring::{perimeter, ring_area};
use crate::model::build_up::InsulationBoard;
use crate::model::{Length, LineId, Role, Rules};
use crate::takeoff::layout::shape::RoofShape;
use crate::takeoff::layout::{InsulationLayout, InsulationPiece, VapourStrip};
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// The lines and needs of one roof's insulation and vapour layer.
pub fn lines(
    shape: &RoofShape,
    layout: &InsulationLayout,
    board: &InsulationBoard,
    vapour: &[VapourStrip],
    rules: &Rules,
) -> (Vec<Line>, Vec<Need>) {
    let line = |(id, work): (LineId, WorkKind), item: &str, unit: Unit, quantity: Decimal, working: Vec<Step>| Line {
        id,
        work,
        item: item.into(),
        roof: Some(shape.name.clone()),
        quantity,
        unit,
        working,
    };
    let area = shape.area.square_metres();
    let count = Decimal::from(layout.boards);
    let laid = |id| (id, WorkKind::Insulation);
    let area = line(laid(LineId::InsulationArea), "Insulation", Unit::SquareMetre, area, area_working(shape));
    let working = boards_working(layout, board, rules);
    let boards = line(laid(LineId::InsulationBoards), "Insulation boards", Unit::Each, count, working);
    let mut needs: Vec<Need> = Need::of(Role::Insulation(layout.board.clone()), &[&boards]).into_iter().collect();
    let mut lines = vec![area, boards];
    if !vapour.is_empty() {
        let (total, working) = vapour_working(vapour, rules);
        let id = (LineId::VapourArea, WorkKind::VapourLayer);
        let layer = line(id, "Vapour layer", Unit::SquareMetre, total, working);
        needs.extend(Need::of(Role::Vapour, &[&layer]));
        lines.push(layer);
        let working = tape_working(shape, vapour);
        let id = (LineId::VapourTape, WorkKind::VapourLayer);
        let tape = line(id, "Tape for the vapour layer", Unit::Metre, result(&working), working);
        needs.extend(Need::of(Role::VapourTape, &[&tape]));
        lines.push(tape);
    }
    (lines, needs)
}

/// Inside the outline, less the holes; boards lie tight to walls and kerbs.
fn area_working(shape: &RoofShape) -> Vec<Step> {
    let outline = ring_area(&shape.ring());
    let holes = (outline - shape.area).square_metres().normalize();
    let outline = outline.square_metres().normalize();
    vec![
        measured("inside the outline, tight to walls", outline, Unit::SquareMetre),
        measured("holes", holes, Unit::SquareMetre),
        formula(format!("{outline} m2 − {holes} m2"), shape.area.square_metres(), Unit::SquareMetre),
    ]
}

fn boards_working(layout: &InsulationLayout, board: &InsulationBoard, rules: &Rules) -> Vec<Step> {
    let each = Decimal::from;
    let uncut = |p: &&InsulationPiece| p.length == board.length && p.width == board.width;
    let whole = layout.pieces.iter().filter(uncut).count();
    let mut steps = vec![
        measured("pieces in the layout", each(layout.pieces.len()), Unit::Each),
        Step::Rule { name: "insulation_stagger", value: rules.insulation_stagger.to_string() },
        Step::Rule { name: "shortest_insulation", value: rules.shortest_insulation.to_string() },
        Step::Rule { name: "layer_stagger", value: rules.layer_stagger.to_string() },
        Step::Note(stagger_words(layout.near, "the boards' beneath and above", rules)),
        measured(format!("whole boards of {} × {}", board.length, board.width), each(whole), Unit::Each),
        measured("boards cut into pieces", each(layout.boards - whole), Unit::Each),
        formula(format!("{whole} each + {} each", layout.boards - whole), each(layout.boards), Unit::Each),
    ];
    let bound = format!("no plan does with fewer than {}: {}", layout.proof.bound, layout.proof.reason);
    steps.insert(0, Step::Note(bound));
    if layout.close_joints > 0 {
        let plural = if layout.close_joints == 1 { "joint stands" } else { "joints stand" };
        let note = format!("{} end {plural} closer to the next row's than the rule wants", layout.close_joints);
        steps.insert(0, Step::Note(note));
    }
    steps
}

/// How the joints of a layer stand to those of another.
pub(crate) fn stagger_words(near: Length, others: &str, rules: &Rules) -> String {
    let apart = rules.layer_stagger;
    match near {
        Length::ZERO => format!("its joints stand at least {apart} off {others}"),
        near => format!("{} m of its joints stand nearer than {apart} to {others}", near.metres().normalize()),
    }
}

/// Along every lap between strips and across every end lap; along all edges, and round every hole.
fn tape_working(shape: &RoofShape, strips: &[VapourStrip]) -> Vec<Step> {
    let between: Length = strips.iter().skip(1).map(|s| s.length).sum();
    let across: Length = strips.iter().map(|s| s.width * s.laps).sum();
    let holes: Length = shape.holes.iter().map(|h| perimeter(&h.ring)).sum();
    let parts = [
        ("laps between strips", between),
        ("end laps", across),
        ("along the edges", perimeter(&shape.ring())),
        ("round holes", holes),
    ];
    let there = || parts.iter().filter(|(_, l)| *l > Length::ZERO);
    let terms: Vec<String> = there().map(|(_, l)| number(l.metres(), Unit::Metre)).collect();
    let total: Length = parts.iter().map(|(_, l)| *l).sum();
    let steps = there().map(|(what, l)| measured(*what, l.metres(), Unit::Metre));
    steps.chain([formula(terms.join(" + "), total.metres(), Unit::Metre)]).collect()
}

fn vapour_working(strips: &[VapourStrip], rules: &Rules) -> (Decimal, Vec<Step>) {
    let mut steps = vec![
        Step::Rule { name: "vapour_lap", value: rules.vapour_lap.to_string() },
        Step::Rule { name: "vapour_upturn", value: rules.vapour_upturn.to_string() },
    ];
    for (n, strip) in strips.iter().enumerate() {
        steps.push(measured(format!("strip {} of {}", n + 1, strip.width), strip.length.metres(), Unit::Metre));
    }
    let total: Decimal = strips.iter().map(|s| (s.length * s.width).square_metres()).sum();
    let term = |s: &VapourStrip| format!("{} m × {} m", s.length.metres().normalize(), s.width.metres().normalize());
    let text = strips.iter().map(term).collect::<Vec<_>>().join(" + ");
    steps.push(formula(text, total, Unit::SquareMetre));
    (total, steps)
}
