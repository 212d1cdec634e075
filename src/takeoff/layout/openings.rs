//! New timber round openings: kerbs, trimmers, joists doubled beside them, and what each is cut from.
//!
//! Given a roof's shape and its holes; gives every piece by its centre-line. Joists that an opening cuts are hung on
//! trimmers, trimmers on the joists to either side, which are doubled over their whole length. Side by side, the inner
//! timber lies under the kerb, the outer one under the edge of the boards, so that no noggin is wanted there. A joist is
//! taken to be as thick as what is hung on it. Whether the sizes bear is for whoever answers for the structure.

use super::deck::{DeckFrame, joist_lines};
use super::falls::raised_by;
use super::shape::{EdgeJoist, HoleShape, RoofShape, Side, batten_depth};
use super::timber::{KeptKerb, OpeningTimber, OpeningTimbers, TimberBar, TimberKind, TimberPlan, cut_from};
use crate::cutting::Demand;
use crate::geometry::region::{Bounds, bounds_of};
use crate::geometry::segment::{distance, distance_to_segment};
use crate::model::products::Stock;
use crate::model::shape::DeckAction;
use crate::model::{
    Finish, Hole, HoleForm, Length, Point, Problem, Products, Role, Roof, Rules, Section, SettingPath, limits,
};
use std::collections::BTreeMap;

/// The new timber of a roof's openings.
///
/// # Errors
/// A kerb that stands too low or leaves nothing inside it; trimmers that hang on nothing.
pub fn timbers(
    shape: &RoofShape,
    roof: &Roof,
    rules: &Rules,
    products: &Products,
) -> Result<OpeningTimbers, Vec<Problem>> {
    let mut all = OpeningTimbers::default();
    let mut problems = Vec::new();
    let cut = roof.holes.iter().any(|hole| hole.timber.trimmers.is_some());
    let joists = if cut { joists(shape, roof) } else { Vec::new() };
    for (n, (hole, laid)) in roof.holes.iter().zip(&shape.holes).enumerate() {
        if let Some(section) = hole.timber.trimmers {
            match Opening::of((shape, roof), &joists, rules, (n, laid), section) {
                Ok(opening) => opening.trimmed(&mut all),
                Err(problem) => problems.push(problem),
            }
        }
        if let Some(section) = hole.timber.kerb {
            problems.extend(kerb((shape, roof), rules, products, (n, laid), section, &mut all).err());
        } else if hole.finish == Finish::Kerb && !laid.round {
            let rise = raised_round((shape, roof), rules, products, laid);
            problems.extend(buried(hole, rise));
            all.kept.push(KeptKerb { hole: n, rise, stands: hole.upstand });
        }
    }
    along_edges(shape, roof, rules, &mut all);
    if problems.is_empty() { Ok(all) } else { Err(problems) }
}

/// A fault where the finished roof comes up to the top of an old kerb or over it.
fn buried(hole: &Hole, rise: Length) -> Option<Problem> {
    let stands = hole.upstand.filter(|stands| *stands <= rise)?;
    Some(Problem::fault(
        hole.path.key("upstand"),
        format!(
            "the old kerb at `{}` stands {stands} above the old roof and the roof comes up {rise} round it: none of it is left",
            hole.name
        ),
        NEW_KERB,
    ))
}

/// What helps where an old kerb is too low.
pub const NEW_KERB: &str = "write the timber of a new one, such as `kerb: 47 × 220 mm`, or have it made higher";

/// What helps where an opening is new and the deck would stay: its joists are doubled and hung from above.
pub const NEW_OPENING: &str = "write `trimmers: existing` where the opening is there already, or was cut and trimmed by others; one that we \
     cut wants the old boards lifted: `deck: {action: new, …}`, the old covering under `strip`, and `trimmers: 47 × 147 mm`";

/// The joists that are set along edges; each bears in the walls at its ends as the others do.
fn along_edges(shape: &RoofShape, roof: &Roof, rules: &Rules, all: &mut OpeningTimbers) {
    let frame = DeckFrame::of(shape, roof);
    for &EdgeJoist { side, section, from, to, .. } in &shape.edge_joists {
        let length = distance(from, to) + beyond_ends(&frame, shape, rules, [from, to].map(|end| frame.inside(end)));
        all.pieces.push(OpeningTimber { kind: TimberKind::EdgeJoist, hole: side, section, from, to, length });
    }
}

/// The joists in the deck's own axes, each from its lower end.
fn joists(shape: &RoofShape, roof: &Roof) -> Vec<(Point, Point)> {
    let frame = DeckFrame::of(shape, roof);
    let upright = |(a, b): (Point, Point)| {
        let (a, b) = (frame.inside(a), frame.inside(b));
        if a.y <= b.y { (a, b) } else { (b, a) }
    };
    joist_lines(shape, roof).iter().copied().map(upright).collect()
}

fn kerb(
    (shape, roof): (&RoofShape, &Roof),
    rules: &Rules,
    products: &Products,
    (hole, laid): (usize, &HoleShape),
    section: Section,
    all: &mut OpeningTimbers,
) -> Result<(), Problem> {
    let HoleForm::Box { at, width, depth } = &laid.form else { return Ok(()) };
    let path = laid.path.key("kerb");
    let inner = width.min(depth).as_mm() - 2 * section.thickness.as_mm();
    if inner <= 0 {
        let fault = format!("a kerb of {section} leaves nothing open inside `{}`", laid.name);
        return Err(Problem::fault(path, fault, "check the size of the hole, which is to the outside of its kerb"));
    }
    let high = raised_round((shape, roof), rules, products, laid);
    let (up, ripped) = (rules.mat_return.kerb, rules.mat_return.kerb + high);
    if section.width < ripped {
        let stands = match section.width > high {
            true => format!("stands {} above the finished roof", section.width - high),
            false => format!("ends {} below, not above the finished roof", high - section.width),
        };
        let fault = format!(
            "a kerb {} deep {stands}: firrings, boards and what lies over them take {high}, and the laminate goes {up} up it",
            section.width
        );
        return Err(Problem::fault(path, fault, deeper_kerb(section, ripped, products)));
    }
    let as_sold = section.width - ripped <= rules.kerb_rip;
    all.kerbs.push((hole, if as_sold { section.width } else { ripped }));
    let (t, half) = (section.thickness.as_mm(), section.thickness.as_mm() / 2);
    let (right, back) = (at.x + width.as_mm(), at.y + depth.as_mm());
    let mut side = |from: Point, to: Point| {
        let length = Length::mm((to.x - from.x) + (to.y - from.y));
        all.pieces.push(OpeningTimber { kind: TimberKind::Kerb, hole, section, from, to, length });
    };
    [at.y + half, back - half].into_iter().for_each(|y| side(Point::new(at.x, y), Point::new(right, y)));
    [at.x + half, right - half].into_iter().for_each(|x| side(Point::new(x, at.y + t), Point::new(x, back - t)));
    Ok(())
}

/// How much firrings, boards and what lies over them raise the roof at the higher side of a hole.
fn raised_round((shape, roof): (&RoofShape, &Roof), rules: &Rules, products: &Products, laid: &HoleShape) -> Length {
    let board = roof.deck.board.as_ref().and_then(|key| products.boards.get(key));
    let raised = |&p: &Point| {
        let (firring, thickness, over) = raised_by(shape, roof, rules, board, (p, p));
        firring + thickness + over
    };
    laid.ring.iter().map(raised).max().unwrap_or_default()
}

/// Which timber is deep enough for a kerb: one that is sold, where any is.
fn deeper_kerb(section: Section, ripped: Length, products: &Products) -> String {
    let sold: Vec<Section> = products.sawn.keys().filter(|sold| sold.thickness == section.thickness).copied().collect();
    let enough = sold.iter().filter(|sold| sold.width >= ripped).min_by_key(|sold| sold.width);
    match (enough, sold.iter().max_by_key(|sold| sold.width)) {
        (Some(enough), _) => format!("write `kerb: {enough}`: {ripped} of depth are wanted"),
        // Deeper is neither sold in one piece nor can it be written.
        _ if !limits::TIMBER_WIDTH.limit.holds(ripped.as_mm().into()) => format!(
            "it wants timber {ripped} deep, which no single one is: write `kerb: existing` and have it built up of two or of \
             plywood, with its goods under `order_lines` and its sum under `extras`; or lay the roof to less fall, or move \
             the rooflight to where the firrings are lower"
        ),
        (None, None) => {
            let enough = Section { width: ripped, ..section };
            format!("take timber at least {ripped} deep, such as `kerb: {enough}`; it is ripped to what is wanted")
        }
        (None, Some(deepest)) => format!(
            "it wants timber {ripped} deep, and the deepest in the price book is {deepest}: add a deeper one there, lay the \
             roof to less fall, move the rooflight to where the firrings are lower, or write `kerb: existing` where its kerb is made \
             otherwise"
        ),
    }
}

/// An opening in the deck's own axes, with the joists to either side of it.
struct Opening<'a> {
    frame: DeckFrame,
    shape: &'a RoofShape,
    joists: &'a [(Point, Point)],
    hole: usize,
    section: Section,
    rules: &'a Rules,
    least: Point,
    most: Point,
    /// The joist before it, and the one after it, that run past it.
    beside: [(Point, Point); 2],
}

impl<'a> Opening<'a> {
    fn of(
        (shape, roof): (&'a RoofShape, &Roof),
        joists: &'a [(Point, Point)],
        rules: &'a Rules,
        (hole, laid): (usize, &HoleShape),
        section: Section,
    ) -> Result<Opening<'a>, Problem> {
        let path = laid.path.key("trimmers");
        if roof.deck.action != DeckAction::New {
            let fault = format!("the joists at `{}` cannot be trimmed under a deck that stays", laid.name);
            return Err(Problem::fault(path, fault, NEW_OPENING));
        }
        let frame = DeckFrame::of(shape, roof);
        let corners = bounds_of(laid.ring.iter().map(|&p| frame.inside(p)));
        let Some(Bounds { least, most }) = corners else { return Err(no_room(laid, path, "it has no size")) };
        let out = section.thickness.as_mm() * (i64::from(rules.trimmer_plies) - 1);
        let past = |j: &&(Point, Point)| j.0.y <= least.y - out && j.1.y >= most.y + out;
        let before = joists.iter().filter(past).filter(|j| j.0.x <= least.x).max_by_key(|j| j.0.x);
        let after = joists.iter().filter(past).filter(|j| j.0.x >= most.x).min_by_key(|j| j.0.x);
        let (Some(&before), Some(&after)) = (before, after) else {
            return Err(no_room(laid, path, "no joist runs past it on both sides for trimmers to hang on"));
        };
        if most.y - least.y <= 2 * section.thickness.as_mm() {
            return Err(no_room(laid, path, "it is no wider than the two trimmers"));
        }
        Ok(Opening { frame, shape, joists, hole, section, rules, least, most, beside: [before, after] })
    }

    /// Its pieces, hangers and joints.
    fn trimmed(&self, all: &mut OpeningTimbers) {
        let (t, half) = (self.section.thickness.as_mm(), self.section.thickness.as_mm() / 2);
        let plies = i64::from(self.rules.trimmer_plies);
        let [before, after] = self.beside.map(|j| j.0.x);
        let several = Length::mm(plies * t);
        for (edge, inwards) in [(self.least.y, 1), (self.most.y, -1)] {
            let place = |ply: i64| edge + inwards * (half - ply * t);
            let ends = |v: i64| (Point::new(before + half, v), Point::new(after - (t - half), v));
            self.beside_each_other(TimberKind::Trimmer, (0..plies).map(place).map(ends), Length::ZERO, all);
            *all.hangers.entry(several).or_default() += 2;
            let cut = self.joists.iter().filter(|j| self.least.x < j.0.x && j.0.x < self.most.x);
            let tails = cut.filter(|j| (if inwards > 0 { j.1.y } else { j.0.y }) == edge).count();
            if tails > 0 {
                *all.hangers.entry(Length::mm(t)).or_default() += tails;
            }
        }
        for (edge, joist, inwards) in [(self.least.x, before, 1), (self.most.x, after, -1)] {
            let places = side_places((edge - joist) * inwards, t, plies);
            let at = |place: &i64| joist + inwards * place;
            let ends = |u: i64| (Point::new(u, self.least.y + t), Point::new(u, self.most.y - t));
            self.beside_each_other(TimberKind::Side, places.iter().map(at).map(ends), Length::ZERO, all);
            if !places.is_empty() {
                *all.hangers.entry(Length::mm(places.len() as i64 * t)).or_default() += 2;
            }
        }
        for (joist, outwards) in self.beside.into_iter().zip([-1, 1]) {
            let ends = |u: i64| (Point::new(u, joist.0.y), Point::new(u, joist.1.y));
            let doublings = (1..plies).map(|ply| ends(joist.0.x + outwards * ply * t));
            let beyond = beyond_ends(&self.frame, self.shape, self.rules, [joist.0, joist.1]);
            let before = all.pieces.len();
            self.beside_each_other(TimberKind::Doubling, doublings, beyond, all);
            if let Some(first) = all.pieces.get(before) {
                *all.joints.entry(first.length).or_default() += 1;
            }
        }
    }

    /// Pieces side by side, each longer by what bears beyond its ends. A joist beside two openings is doubled once.
    fn beside_each_other(
        &self,
        kind: TimberKind,
        pieces: impl Iterator<Item = (Point, Point)>,
        more: Length,
        all: &mut OpeningTimbers,
    ) {
        for (n, (from, to)) in pieces.enumerate() {
            let length = Length::mm((to.x - from.x) + (to.y - from.y)) + more;
            let (a, b) = (self.frame.outside(from), self.frame.outside(to));
            let (from, to) = (a.min(b), a.max(b));
            let there = |p: &OpeningTimber| (p.kind, p.from, p.to) == (kind, from, to);
            if all.pieces.iter().any(there) {
                continue;
            }
            all.pieces.push(OpeningTimber { kind, hole: self.hole, section: self.section, from, to, length });
            if n > 0 {
                *all.joints.entry(length).or_default() += 1;
            }
        }
    }
}

/// How much longer a joist is than it lies within the outline: at a wall it bears in it; at an open edge whose battens stand
/// before the fascia it ends behind both, and is cut to the fascia's face.
fn beyond_ends(frame: &DeckFrame, shape: &RoofShape, rules: &Rules, ends: [Point; 2]) -> Length {
    let beyond = |end: Point| match met_at(frame, shape, end) {
        Some(side) if matches!(side.finish, Finish::Wall | Finish::Step) => rules.joist_bearing,
        Some(side) if shape.moved => Length::ZERO - batten_depth(side.finish, rules),
        _ => Length::ZERO,
    };
    ends.into_iter().map(beyond).sum()
}

/// The side at which a joist ends; of two that meet there the wall.
fn met_at<'a>(frame: &DeckFrame, shape: &'a RoofShape, end: Point) -> Option<&'a Side> {
    let at = frame.outside(end);
    let across = frame.outside(Point::new(end.x + 1, end.y));
    let along_x = across.y == at.y;
    let met = shape.sides.iter().filter(|side| {
        let runs_across = if along_x { side.from.x != side.to.x } else { side.from.y != side.to.y };
        runs_across && distance_to_segment(at, side.from, side.to) <= A_HAIR
    });
    met.max_by_key(|side| matches!(side.finish, Finish::Wall | Finish::Step))
}

/// Corners are whole millimetres: an end that lies so near to a side, mm, lies on it.
const A_HAIR: f64 = 2.0;

/// Where the timbers at a side of an opening lie, from the centre-line of the joist beside it, by how far the opening lies
/// from there. The kerb bears over its whole breadth: where the joist lies under the edge, on one timber against it; where
/// there is no room for one under the edge and one inside, on two against the joist, which may stand inside the kerb; else
/// on timbers side by side, the innermost under the kerb.
fn side_places(gap: i64, t: i64, plies: i64) -> Vec<i64> {
    match gap {
        _ if 2 * gap <= t => vec![t],
        _ if 2 * gap < 3 * t => vec![t, 2 * t],
        _ => (0..plies).map(|ply| gap + t / 2 - ply * t).filter(|place| *place >= t).collect(),
    }
}

fn no_room(laid: &HoleShape, path: SettingPath, why: &str) -> Problem {
    Problem::fault(
        path,
        format!("`{}` cannot be trimmed: {why}", laid.name),
        "move the opening, say where the joists lie (`first:` and `last:` under `joists`), or have it trimmed by others \
         and write `trimmers: existing`",
    )
}

// ---- What they are cut from -----------------------------------------------------------------------------------------

/// What is bought for the new timber of all roofs, by section: the plan that costs least.
///
/// # Errors
/// A timber that is longer than what is sold.
pub fn plans(
    openings: &[OpeningTimbers],
    roofs: &[Roof],
    rules: &Rules,
    products: &Products,
) -> Result<Vec<TimberPlan>, Vec<Problem>> {
    let mut by_section: BTreeMap<Section, Vec<(usize, OpeningTimber)>> = BTreeMap::new();
    for (roof, of) in openings.iter().enumerate() {
        of.pieces.iter().for_each(|&p| by_section.entry(p.section).or_default().push((roof, p)));
    }
    let (mut plans, mut problems) = (Vec::new(), Vec::new());
    for (section, pieces) in by_section {
        let sold = products.sawn_of(section);
        let longest = sold.iter().map(|s| s.length).max().unwrap_or_default();
        match pieces.iter().filter(|(_, p)| p.length > longest).max_by_key(|(_, p)| p.length) {
            Some((roof, piece)) => problems.extend(roofs.get(*roof).map(|r| too_long(r, piece, longest))),
            None => plans.extend(plan(section, pieces, &sold, rules.kerf)),
        }
    }
    if problems.is_empty() { Ok(plans) } else { Err(problems) }
}

fn plan(section: Section, mut pieces: Vec<(usize, OpeningTimber)>, sold: &[Stock], kerf: Length) -> Option<TimberPlan> {
    pieces.sort_by_key(|(roof, p)| (std::cmp::Reverse(p.length), *roof, p.hole, p.kind, p.from, p.to));
    let alike = |a: &(usize, OpeningTimber), b: &(usize, OpeningTimber)| a.1.length == b.1.length;
    let demands: Vec<Demand> =
        pieces.chunk_by(alike).map(|same| Demand { length: same[0].1.length, count: same.len() as u32 }).collect();
    let cut = cut_from(&demands, sold, kerf)?;
    let mut waiting: Vec<_> = pieces.chunk_by(alike).map(<[_]>::iter).collect();
    let mut bars = Vec::new();
    for pattern in &cut.plan.patterns {
        for _ in 0..pattern.times {
            let mut pieces = Vec::new();
            for &(demand, n) in &pattern.pieces {
                pieces.extend(waiting[demand].by_ref().take(n as usize));
            }
            bars.push(TimberBar { stock: sold[pattern.stock].length, pieces });
        }
    }
    Some(TimberPlan { in_pence: cut.in_pence, section, bars, proof: cut.plan.proof })
}

fn too_long(roof: &Roof, piece: &OpeningTimber, longest: Length) -> Problem {
    let (path, name) = match piece.kind {
        TimberKind::EdgeJoist => (roof.path.keys(["joists", "section"]), &roof.outline.edges[piece.hole].name),
        TimberKind::Kerb => (roof.holes[piece.hole].path.key("kerb"), &roof.holes[piece.hole].name),
        _ => (roof.holes[piece.hole].path.key("trimmers"), &roof.holes[piece.hole].name),
    };
    Problem::fault(
        path,
        format!(
            "the {} at `{}` is {} long, and the longest {} sold is {longest}",
            piece.kind.words(),
            name,
            piece.length,
            piece.section
        ),
        format!(
            "add an article with `role: {}` and its `length` to the price book, or {}",
            Role::Sawn(piece.section),
            match piece.kind {
                TimberKind::EdgeJoist => "take `section` out: whoever sets it is then told, and none is ordered",
                _ => "have it done by others",
            }
        ),
    )
}
