//! The layout as JSON: every placed piece with its place on the roof, for other programs.
//!
//! Given a job as laid out; gives plain values in whole millimetres on each roof's own plan (x along its front edge, y up
//! the page). Form and meaning of every key stand in `takeoff.schema.json`, which the tests hold against what is written
//! here. Nothing is computed but where a piece of trim begins and ends.

use super::work::LaidOutJob;
use crate::cutting::Proof;
use crate::cutting::rolls::OutOfRolls;
use crate::model::old_roof::OldTrim;
use crate::model::{Edge, Length, Point, Section};
use crate::takeoff::layout::box_gutter::BoxGutterLayout;
use crate::takeoff::layout::parapets;
use crate::takeoff::layout::patches::{
    OldRoofLayout, PatchBandage, PatchBoard, PatchDeck, PatchLayout, PatchMat, PatchTrim,
};
use crate::takeoff::layout::shape::{
    CopedWall, Corner, HoleShape, RoofShape, Side, SillDetail, Turn, WallEnd, point_along,
};
use crate::takeoff::layout::timber::{OpeningTimber, TimberBar, TimberPlan};
use crate::takeoff::layout::{
    BandageOver, BandagePiece, BoardPiece, DeckLayout, Firring, InsulationLayout, InsulationPiece, Junction, LapOver,
    MatLayout, MatPiece, OverDeck, ParapetLining, ProfilePlan, RoofLayout, RunPlace, Treatment, TrimRun,
};
use crate::takeoff::quantities::mat_lines::cut_sizes;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// The whole layout.
pub(super) fn layout(laid: &LaidOutJob) -> Value {
    let (take_off, rules) = (&laid.layout.take_off, &laid.loaded.rules);
    json!({
        "unit": "mm",
        "rules": {
            "wall_gap": rules.wall_gap.as_mm(),
            "pipe_gap": rules.pipe_gap.as_mm(),
            "trim_lap": rules.trim_lap.as_mm(),
            "shortest_piece": rules.shortest_piece.as_mm(),
            "least_trim": rules.least_trim.as_mm(),
            "joint_from_corner": rules.joint_from_corner.as_mm(),
            "kerf": rules.kerf.as_mm(),
            "mat_lap": rules.mat_lap.as_mm(),
            "bandage_lap": rules.bandage_lap.as_mm(),
            "corner_patch": rules.corner_patch.as_mm(),
            "firring_group": rules.firring_group.as_mm(),
            "firring_least": rules.firring_least.as_mm(),
            "patch_lap": rules.patch_lap.as_mm(),
            "patch_step": rules.patch_step.as_mm(),
            "patch_ground": rules.patch_ground.as_mm(),
            "mat_end_lap": rules.mat_end_lap.as_mm(),
            "trimmer_plies": rules.trimmer_plies,
            "joist_bearing": rules.joist_bearing.as_mm(),
        },
        "roofs": take_off.roofs.iter().map(|r| roof(r, laid)).collect::<Vec<_>>(),
        "old_roofs": take_off.old_roofs.iter().map(old_roof).collect::<Vec<_>>(),
        "trims": take_off.profiles.iter().map(|p| profile(p, &take_off.roofs)).collect::<Vec<_>>(),
        "timbers": take_off.timbers.iter().map(|t| timbers(t, &take_off.roofs)).collect::<Vec<_>>(),
        "mat_rolls": mat_rolls(laid),
    })
}

fn mm(length: Length) -> i64 {
    length.as_mm()
}

fn point(p: Point) -> Value {
    json!([p.x, p.y])
}

fn points(of: &[Point]) -> Vec<Value> {
    of.iter().map(|&p| point(p)).collect()
}

fn rings(of: &[Vec<Point>]) -> Vec<Vec<Value>> {
    of.iter().map(|r| points(r)).collect()
}

fn proof(of: &Proof) -> Value {
    json!({"found": of.found, "bound": of.bound, "proven": of.is_proven(), "reason": of.reason})
}

// ---- Roofs -------------------------------------------------------------------------------------------------------

fn roof(of: &RoofLayout, laid: &LaidOutJob) -> Value {
    let shape = &of.shape;
    let measured = laid.loaded.job.roofs.get(shape.index);
    let (outlets, edges) = measured.map_or((&[][..], &[][..]), |r| (&r.outlets[..], &r.outline.edges[..]));
    json!({
        "name": shape.name,
        "outline": points(&shape.ring()),
        "sides": shape.sides.iter().map(side).collect::<Vec<_>>(),
        "holes": shape.holes.iter().map(hole).collect::<Vec<_>>(),
        "corners": of.junctions.iter().map(|j| corner(j, shape)).collect::<Vec<_>>(),
        "way_off": shape.sides.get(shape.way_off).map(|s| s.label.as_str()),
        "uphill": [shape.uphill.x, shape.uphill.y],
        "heights": of.heights.iter().map(|&h| mm(h)).collect::<Vec<_>>(),
        "firrings": of.firrings.iter().map(firring).collect::<Vec<_>>(),
        "opening_timbers": of.openings.pieces.iter().map(|p| opening_timber(p, shape)).collect::<Vec<_>>(),
        "hangers": of.openings.hangers.iter().map(|(&t, n)| json!({"takes": mm(t), "count": n})).collect::<Vec<_>>(),
        "deck": of.deck.as_ref().map(|d| deck(d, laid)),
        "over_deck": of.over.as_ref().map(|o| over_deck(o, laid)),
        "bandage": of.bandage.iter().map(bandage).collect::<Vec<_>>(),
        "old_joints": (of.old_joints(&laid.loaded.rules) * Decimal::ONE_THOUSAND).ceil().to_i64(),
        "mat": mat(&of.mat),
        "parapets": of.parapets.iter().map(|l| parapet(l, shape)).collect::<Vec<_>>(),
        "box_gutters": of.box_gutters.iter().map(|g| box_gutter(g, shape)).collect::<Vec<_>>(),
        "outlets": outlets.iter().map(|o| json!({"at": point(o.at), "size": mm(o.size)})).collect::<Vec<_>>(),
        "overflows": edges.iter().filter_map(overflow).collect::<Vec<_>>(),
    })
}

fn opening_timber(of: &OpeningTimber, shape: &RoofShape) -> Value {
    json!({
        "opening": of.place(shape),
        "kind": of.kind.words(),
        "section": section(of.section),
        "from": point(of.from), "to": point(of.to), "length": mm(of.length),
    })
}

fn section(of: Section) -> [i64; 2] {
    [mm(of.thickness), mm(of.width)]
}

fn timbers(of: &TimberPlan, roofs: &[RoofLayout]) -> Value {
    let piece = |&(roof, p): &(usize, OpeningTimber)| {
        let shape = roofs.get(roof).map(|r| &r.shape);
        json!({
            "roof": shape.map(|s| s.name.as_str()),
            "opening": shape.map(|s| p.place(s)),
            "kind": p.kind.words(),
            "length": mm(p.length),
        })
    };
    let bar = |b: &TimberBar| json!({"stock": mm(b.stock), "pieces": b.pieces.iter().map(piece).collect::<Vec<_>>()});
    json!({
        "section": section(of.section),
        "bars": of.bars.iter().map(bar).collect::<Vec<_>>(),
        "proof": proof(&of.proof),
    })
}

fn parapet(of: &ParapetLining, shape: &RoofShape) -> Value {
    let boards = of.boards.iter().map(|b| {
        json!({
            "mark": b.mark, "top": b.top, "at": mm(b.at), "length": mm(b.length), "width": mm(b.width),
            "board": b.board,
        })
    });
    json!({
        "edge": shape.sides.get(of.side).map(|s| s.label.as_str()),
        "board": of.board,
        "boards": boards.collect::<Vec<_>>(),
        "bought": of.opened,
    })
}

const fn wall_end(of: WallEnd) -> &'static str {
    match of {
        WallEnd::Turns => "turns",
        WallEnd::GoesOn => "goes on",
        WallEnd::Butts => "butts",
        WallEnd::PastGutter => "past a gutter",
        WallEnd::Free => "free",
    }
}

fn coping(of: CopedWall) -> Value {
    json!({
        "left": mm(of.left), "high": mm(of.high), "width": mm(of.width), "lining": mm(of.lining),
        "cover": of.cover.word(), "long": mm(of.long), "start": wall_end(of.ends[0]), "end": wall_end(of.ends[1]),
        "longer": [mm(of.longer[0]), mm(of.longer[1])],
    })
}

fn box_gutter(of: &BoxGutterLayout, shape: &RoofShape) -> Value {
    let boards = of.boards.iter().map(|b| {
        json!({
            "mark": b.mark, "part": b.part.word(), "at": mm(b.at), "length": mm(b.length), "width": mm(b.width),
            "board": b.board,
        })
    });
    let lining = of.mat.iter().map(|p| {
        json!({
            "mark": p.mark, "layer": p.layer, "strip": p.strip, "at": mm(p.at), "length": mm(p.length),
            "width": mm(p.width), "order": p.order,
            "over": p.over.map(|end| if end == 0 { "start" } else { "end" }),
        })
    });
    let bandage = of.bandage.iter().map(|b| json!({"width": mm(b.width), "length": mm(b.length), "joint": b.joint}));
    json!({
        "edge": shape.sides.get(of.side).map(|s| s.label.as_str()),
        "run": mm(of.run),
        "width": mm(of.width),
        "depth_at_start": mm(of.depths[0]),
        "depth_at_outlet": mm(of.deep()),
        "depth_at_end": mm(of.depths[2]),
        "above": mm(of.up),
        "outlet_at": mm(of.outlet_at),
        "board": of.board,
        "boards": boards.collect::<Vec<_>>(),
        "bought": of.bought,
        "bearers": of.bearers.iter().map(|b| json!({"at": mm(b.at), "down": mm(b.down)})).collect::<Vec<_>>(),
        "bearer": mm(of.bearer),
        "fillets": of.fillets.iter().map(|&f| mm(f)).collect::<Vec<_>>(),
        "bandage": bandage.collect::<Vec<_>>(),
        "girth": mm(of.girth),
        "long": mm(of.long),
        "lining": lining.collect::<Vec<_>>(),
    })
}

fn overflow(of: &Edge) -> Option<Value> {
    let o = of.overflow?;
    Some(json!({
        "edge": of.label(), "at": mm(o.at), "width": mm(o.width), "height": mm(o.height), "above": mm(o.above),
    }))
}

fn side(of: &Side) -> Value {
    json!({
        "edge": of.label, "finish": of.finish.word(), "from": point(of.from), "to": point(of.to), "run": mm(of.run),
        "carried": mm(of.carried),
        "sill": of.sill.map(|sill| json!({"left": mm(sill.left), "fillet": sill.detail == SillDetail::Fillet})),
        "coping": of.coped.map(coping),
    })
}

fn hole(of: &HoleShape) -> Value {
    json!({"name": of.name, "finish": of.finish.word(), "round": of.round, "ring": points(&of.ring)})
}

/// A corner of the outline or of a hole, with what is done there.
fn corner(of: &Junction, shape: &RoofShape) -> Value {
    let turn = match of.hole {
        None => shape.corners.get(of.corner).map(turn),
        Some(_) => Some("internal"),
    };
    json!({
        "hole": of.hole.and_then(|h| shape.holes.get(h)).map(|h| h.name.as_str()),
        "corner": of.corner,
        "at": point(of.at),
        "turn": turn,
        "treatment": treatment(of.treatment),
    })
}

fn turn(of: &Corner) -> &'static str {
    match of.turn {
        Turn::External => "external",
        Turn::Internal => "internal",
        Turn::Straight => "straight",
    }
}

const fn treatment(of: Treatment) -> &'static str {
    match of {
        Treatment::ClosureLeft => "closure left",
        Treatment::ClosureRight => "closure right",
        Treatment::Notch => "notch",
        Treatment::PreformedExternal => "preformed external",
        Treatment::PreformedInternal => "preformed internal",
        Treatment::Mitre => "mitre",
        Treatment::Butt => "butt",
        Treatment::CarriedUp => "carried up",
        Treatment::Straight => "straight",
        Treatment::AtSill => "at sill",
    }
}

fn firring(of: &Firring) -> Value {
    json!({
        "from": point(of.from), "to": point(of.to), "length": mm(of.length), "low_depth": mm(of.low_depth),
        "high_depth": mm(of.high_depth), "part": [of.part.0, of.part.1],
    })
}

fn deck(of: &DeckLayout, laid: &LaidOutJob) -> Value {
    let size = laid.loaded.products.boards.get(&of.board).map(|b| [mm(b.length), mm(b.width)]);
    let lines = |of: &[(Point, Point)]| -> Vec<Value> {
        of.iter().map(|&(a, b)| json!({"from": point(a), "to": point(b)})).collect()
    };
    let joint = |j: &crate::takeoff::layout::DeckJoint| json!({"from": point(j.from), "to": point(j.to), "end_joint": j.end_joint});
    json!({
        "board": of.board,
        "board_size": size,
        "along_x": of.along_x,
        "boards": of.boards,
        "pieces": of.pieces.iter().map(board_piece).collect::<Vec<_>>(),
        "joints": of.joints.iter().map(joint).collect::<Vec<_>>(),
        "noggins": lines(&of.noggins),
        "joists": lines(&of.joists),
        "proof": proof(&of.proof),
    })
}

fn board_piece(of: &BoardPiece) -> Value {
    json!({
        "mark": of.mark, "row": of.row, "rings": rings(&of.rings), "length": mm(of.length), "width": mm(of.width),
        "board": of.board, "on_board": point(of.on_board), "whole": of.whole,
    })
}

fn over_deck(of: &OverDeck, laid: &LaidOutJob) -> Value {
    json!({
        "insulation": insulation(&of.insulation, laid),
        "vapour": of.vapour.iter().map(|v| json!({"length": mm(v.length), "width": mm(v.width)})).collect::<Vec<_>>(),
        "overlay": of.overlay.as_ref().map(|d| deck(d, laid)),
    })
}

fn insulation(of: &InsulationLayout, laid: &LaidOutJob) -> Value {
    let size = laid.loaded.products.insulation.get(&of.board).map(|b| [mm(b.length), mm(b.width)]);
    let piece = |p: &InsulationPiece| {
        json!({
            "mark": p.mark, "row": p.row, "rings": rings(&p.rings), "length": mm(p.length), "width": mm(p.width),
            "board": p.board,
        })
    };
    json!({
        "board": of.board,
        "board_size": size,
        "along_x": of.along_x,
        "boards": of.boards,
        "pieces": of.pieces.iter().map(piece).collect::<Vec<_>>(),
        "proof": proof(&of.proof),
    })
}

fn bandage(of: &BandagePiece) -> Value {
    let covers = match of.covers {
        BandageOver::BoardJoint => "board joint",
        BandageOver::Flange => "flange",
        BandageOver::TrimLap => "trim lap",
        BandageOver::Corner => "corner",
        BandageOver::Sill => "sill",
        BandageOver::Parapet => "parapet",
    };
    json!({
        "covers": covers, "width": mm(of.width), "from": point(of.from), "to": point(of.to), "length": mm(of.length),
    })
}

fn mat(of: &MatLayout) -> Value {
    let piece = |p: &MatPiece| {
        json!({
            "mark": p.mark, "layer": p.layer, "strip": p.strip, "order": p.order, "ring": points(&p.ring),
            "length": mm(p.length), "width": mm(p.width),
        })
    };
    json!({"weight": of.weight, "roll": mm(of.roll), "pieces": of.pieces.iter().map(piece).collect::<Vec<_>>()})
}

/// What is cut off the rolls of each weight, over all roofs, and which roll each cut comes from.
fn mat_rolls(laid: &LaidOutJob) -> Vec<Value> {
    let (roofs, old) = (&laid.layout.take_off.roofs, &laid.layout.take_off.old_roofs);
    let patched = || old.iter().filter(|r| !r.patches.is_empty());
    let weights: BTreeSet<u32> = roofs.iter().map(|r| r.mat.weight).chain(patched().map(|r| r.mat)).collect();
    let of_weight = |weight: u32| {
        let roll = laid.loaded.products.mats.get(&weight)?;
        let of = roofs.iter().filter(|r| r.mat.weight == weight);
        let marks = |r: &'_ RoofLayout| -> Vec<(String, String)> {
            let lining = r.box_gutters.iter().flat_map(|g| &g.mat).map(|p| &p.mark);
            let all = r.mat.pieces.iter().map(|p| &p.mark).chain(lining);
            all.map(|mark| (r.shape.name.clone(), mark.clone())).collect()
        };
        let patches = patched().filter(|r| r.mat == weight);
        let patches: Vec<(&String, &PatchMat)> =
            patches.flat_map(|r| r.patches.iter().flat_map(|p| &p.mat).map(|m| (&r.name, m))).collect();
        let in_patches = patches.iter().map(|(roof, m)| ((*roof).clone(), m.mark.clone()));
        let pieces: Vec<(String, String)> = of.clone().flat_map(marks).chain(in_patches).collect();
        let sizes: Vec<(Length, Length)> =
            of.flat_map(cut_sizes).chain(patches.iter().map(|(_, m)| (m.length, m.width))).collect();
        let OutOfRolls { cuts, plan } = OutOfRolls::of(&sizes, roll.width, &roll.rolls);
        let named = |i: &usize| json!({"roof": pieces[*i].0, "mark": pieces[*i].1});
        let rolls =
            plan.map(|p| p.rolls.iter().map(|r| json!({"length": mm(r.length), "cuts": r.cuts})).collect::<Vec<_>>());
        Some(json!({
            "weight": weight,
            "width": mm(roll.width),
            "cuts": cuts.iter().map(|c| json!({
                "length": mm(c.length), "pieces": c.pieces.iter().map(named).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
            "rolls": rolls,
        }))
    };
    weights.into_iter().filter_map(of_weight).collect()
}

// ---- Old laminates -----------------------------------------------------------------------------------------------

fn old_roof(of: &OldRoofLayout) -> Value {
    json!({
        "name": of.name,
        "outline": points(&of.corners),
        "openings": of.openings.iter().map(|o| json!({"name": o.name, "ring": points(&o.ring)})).collect::<Vec<_>>(),
        "area": of.area.as_mm2(),
        "mat": of.mat,
        "patches": of.patches.iter().map(patch).collect::<Vec<_>>(),
    })
}

fn size((width, depth): (Length, Length)) -> Value {
    json!([mm(width), mm(depth)])
}

fn patch(of: &PatchLayout) -> Value {
    let piece = |p: &PatchMat| json!({"mark": p.mark, "layer": p.layer, "length": mm(p.length), "width": mm(p.width)});
    let strip = |b: &PatchBandage| json!({"width": mm(b.width), "length": mm(b.length), "over_joints": b.over_joints});
    let board = |p: &PatchBoard| {
        json!({
            "length": mm(p.length), "width": mm(p.width), "board": p.board, "on_board": point(p.on_board),
            "turned": p.turned,
        })
    };
    let deck = |d: &PatchDeck| {
        json!({
            "board": d.board, "pieces": d.pieces.iter().map(board).collect::<Vec<_>>(), "joints": mm(d.joints),
            "fixings": d.fixings,
        })
    };
    let edge = |t: &PatchTrim| {
        let trim = match t.edge.trim {
            OldTrim::Stays => "stays",
            OldTrim::Bedded => "re-bed",
            OldTrim::Renewed => "renew",
        };
        json!({
            "name": t.side, "side": t.edge.side, "from": mm(t.edge.from), "trim": trim, "up": mm(t.up),
            "pieces": t.pieces.iter().map(|&l| mm(l)).collect::<Vec<_>>(),
        })
    };
    json!({
        "mark": of.mark,
        "hole": size(of.hole),
        "at": of.at.map(point),
        "layers": of.layers.iter().map(|&l| size(l)).collect::<Vec<_>>(),
        "ground": size(of.ground.size),
        "edge": of.trim.as_ref().map(edge),
        "mat": of.mat.iter().map(piece).collect::<Vec<_>>(),
        "bandage": of.bandage.iter().map(strip).collect::<Vec<_>>(),
        "deck": of.deck.as_ref().map(deck),
    })
}

// ---- Trims -------------------------------------------------------------------------------------------------------

fn profile(of: &ProfilePlan, roofs: &[RoofLayout]) -> Value {
    let bar = |b: &crate::takeoff::layout::Bar| json!({"stock": mm(b.stock), "cuts": b.cuts, "offcut": mm(b.offcut), "sample": b.sample});
    json!({
        "finish": of.finish.word(),
        "bars": of.bars.iter().map(bar).collect::<Vec<_>>(),
        "runs": of.runs.iter().filter_map(|r| run(r, roofs)).collect::<Vec<_>>(),
        "counted_in": if of.in_pence { "pence" } else { "lengths" },
        "proof": proof(&of.proof),
    })
}

/// Where a run lies: its roof, the line that it follows, and the corners at both ends of that line.
struct EdgeLine<'a> {
    roof: &'a RoofShape,
    hole: Option<&'a HoleShape>,
    edge: String,
    side: usize,
    from: Point,
    to: Point,
}

fn line_of<'a>(of: &TrimRun, roofs: &'a [RoofLayout]) -> Option<EdgeLine<'a>> {
    match of.place {
        RunPlace::Side { roof, side } | RunPlace::Ladder { roof, side } => {
            let roof = &roofs.get(roof)?.shape;
            let at = roof.sides.get(side)?;
            Some(EdgeLine { roof, hole: None, edge: at.label.clone(), side, from: at.from, to: at.to })
        }
        RunPlace::Parapet { roof, side, part } => {
            let roof = &roofs.get(roof)?.shape;
            let (from, to) = parapets::outer_edge(roof, side, part)?;
            Some(EdgeLine { roof, hole: None, edge: roof.sides.get(side)?.label.clone(), side, from, to })
        }
        RunPlace::Hole { roof, hole, side } => {
            let roof = &roofs.get(roof)?.shape;
            let hole = roof.holes.get(hole)?;
            let (from, to) = hole.side(side)?;
            Some(EdgeLine { roof, hole: Some(hole), edge: format!("{} ({})", hole.name, side + 1), side, from, to })
        }
    }
}

fn run(of: &TrimRun, roofs: &[RoofLayout]) -> Option<Value> {
    let line = line_of(of, roofs)?;
    let on = |at: Length| point(point_along(line.from, line.to, of.leg + at));
    let last = of.pieces.len().saturating_sub(1);
    let ladder = matches!(of.place, RunPlace::Ladder { .. });
    let at_corner = if ladder { "free" } else { "corner" };
    let joint = |lap: usize, later: bool| {
        let on_top = of.laps.get(lap).is_some_and(|l| (l.over == LapOver::Later) == later);
        if on_top { "over lap" } else { "under lap" }
    };
    let pieces = of.pieces.iter().enumerate().map(|(n, p)| {
        json!({
            "mark": p.mark,
            "length": mm(p.length),
            "at": mm(p.at),
            "from": on(p.at),
            "to": on(p.at + p.length),
            "bar": p.bar,
            "start": if n == 0 { at_corner } else { joint(n - 1, true) },
            "end": if n == last { at_corner } else { joint(n, false) },
        })
    });
    let laps = of.laps.iter().enumerate().map(|(n, l)| {
        let (top, under) = if l.over == LapOver::Later { (n + 1, n) } else { (n, n + 1) };
        let mark = |p: usize| of.pieces.get(p).map(|p| p.mark.as_str());
        json!({
            "at": mm(l.at), "place": on(l.at), "length": mm(l.length), "on_top": mark(top), "under": mark(under),
            "clear_of_corners": l.clear_of_corners,
        })
    });
    Some(json!({
        "label": of.label,
        "roof": line.roof.name,
        "hole": line.hole.map(|h| h.name.as_str()),
        "edge": line.edge,
        "side": line.side,
        "ladder_point": ladder,
        "outer_edge": matches!(of.place, RunPlace::Parapet { .. }),
        "run": mm(of.run),
        "leg": mm(of.leg),
        "start_allowance": mm(of.start_allowance),
        "end_allowance": mm(of.end_allowance),
        "pieces": pieces.collect::<Vec<_>>(),
        "laps": laps.collect::<Vec<_>>(),
    }))
}
