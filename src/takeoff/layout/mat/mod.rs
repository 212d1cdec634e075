//! The mat: chopped strand mat in strips on the real outline, with its returns, laps, joints and order of laying.
//!
//! Given the roof's shape, its deck, the rules and the roll; gives every piece as it is cut, with its place, and the
//! order in which it is laid. The rules of the layout:
//!
//! - Strips lie along the low edge, the first at the low edge, each lapping over the one below by `mat_lap`. Where the
//!   crew would be trapped that way (it leaves at the low edge, or an arm of the roof would be cut off), strips run up
//!   the fall and are counted from the left; the one furthest from the way off is laid first.
//! - The sheet is carried past the outline by `mat_return`, and up a kerb or chimney by the same rule, up an old kerb no
//!   further than is left of it. A strip that a
//!   hole cuts only in part runs past it, and the hole is cut out of it; a strip that a hole or a court cuts right
//!   through is in separate pieces, each turned up at its end. At an inner corner two returns overlap on plan: the mat
//!   is slit there, and the corner's patch of bandage makes it good.
//! - A piece longer than `mat_longest`, or than the shortest roll, is joined with `mat_end_lap`, its joints kept
//!   `mat_stagger` off those of the strip beside, and its end pieces no shorter than `mat_shortest`.
//! - A layer's laps are moved so that no strip, nor any part of one, is narrower than `mat_narrowest`, where that takes no
//!   strip more: the first strip is then cut narrower, and the last is wider by as much.
//! - A piece too narrow to stand on, with nothing bare beside it any more, is laid together with the piece from which it
//!   is reached. So is one that lies beyond the roof, on the top of a parapet: it laps over the piece inside it, off which
//!   water runs.
//! - Each further layer is shifted: the second by half a strip, a third by a quarter, a fourth by three quarters.
//! - The first strip is narrowed where that keeps more laps `mat_joint_offset` off the deck's joints and takes no more
//!   roll.
//!
//! Lengths are to the nearest millimetre where the low edge lies askew on the plan.

mod end_joints;
pub mod frame;
mod lapping;
mod narrow;
pub mod order;
pub mod places;
mod strips;
pub mod tape;
mod target;
mod wish;

use self::frame::StripFrame;
use self::lapping::{Lapping, lapping};
use self::narrow::Narrow;
use self::order::{LayingNode, Sequence};
use self::places::{Middles, ROOM, SQUEEZE};
use self::strips::{Band, StripCut, StripPart, StripPitch};
use super::shape::{RoofShape, Turn};
use super::{DeckLayout, MatLayout, MatNote, MatPiece, WhyUpTheFall};
use crate::cutting::rolls;
use crate::geometry::interval::joined_open;
use crate::geometry::region::{Bounds, Region};
use crate::model::products::MatRoll;
use crate::model::{Length, Point, Problem, Roof, Rules, Warned};
use std::cmp::Ordering;

/// Lays the mat of one roof.
///
/// # Errors
/// A roll too narrow for the lap, or a longest strip too short for the end lap: nothing could be laid.
pub fn lay_mat(
    shape: &RoofShape,
    roof: &Roof,
    deck: Option<&DeckLayout>,
    rules: &Rules,
    roll: &MatRoll,
) -> Result<(MatLayout, Vec<Problem>), Vec<Problem>> {
    check(roof, rules, roll)?;
    let job = Laying { shape, deck, rules, roll, layers: roof.laminate.layers as usize };
    let mat = job.lay_the_better_way().into_layout(&job);
    let problems = warnings(&mat, shape);
    Ok((mat, problems))
}

/// What the layout of a mat warns of.
pub fn warnings(mat: &MatLayout, shape: &RoofShape) -> Vec<Problem> {
    let cut_off = mat.notes.iter().any(|note| matches!(note, MatNote::CutOff { .. }));
    let way_off = &shape.sides[shape.way_off];
    let warning = || {
        Problem::warning(
            Warned::WayOff,
            &way_off.path,
            format!("part of {} cannot be left over bare deck towards {}", shape.name, way_off.label),
            "give the crew a second way off there, such as a ladder or a board over the kerb",
        )
    };
    cut_off.then(warning).into_iter().collect()
}

fn check(roof: &Roof, rules: &Rules, roll: &MatRoll) -> Result<(), Vec<Problem>> {
    let path = roof.path.keys(["laminate", "mat"]);
    let mut problems = Vec::new();
    if roll.width < rules.mat_lap * 4 || rules.mat_lap < Length::ZERO {
        problems.push(Problem::fault(
            &path,
            format!("a roll {} wide leaves too little beside laps of {}", roll.width, rules.mat_lap),
            "correct the mat's width in the price book, or `mat_lap` in the firm's rules",
        ));
    }
    let longest = longest_piece(rules, roll);
    if longest < rules.mat_end_lap * 4 || longest <= Length::ZERO || rules.mat_end_lap < Length::ZERO {
        problems.push(Problem::fault(
            &path,
            format!("a strip of at most {longest} cannot be joined with laps of {}", rules.mat_end_lap),
            "correct `mat_longest` or `mat_end_lap` in the firm's rules, or the roll's length in the price book",
        ));
    }
    if problems.is_empty() { Ok(()) } else { Err(problems) }
}

/// The longest piece that may be cut: what two people can lay, or the longest roll.
fn longest_piece(rules: &Rules, roll: &MatRoll) -> Length {
    roll.rolls.first().map_or(rules.mat_longest, |&l| l.min(rules.mat_longest))
}

/// What is laid, and by which rules.
struct Laying<'a> {
    shape: &'a RoofShape,
    deck: Option<&'a DeckLayout>,
    rules: &'a Rules,
    roll: &'a MatRoll,
    layers: usize,
}

/// How hard a layout is to leave, the worst first: pieces cut off, pieces left with a squeeze, laps that are tucked.
type Badness = (usize, usize, usize);

/// One way of laying all layers.
struct LaidLayers {
    frame: StripFrame,
    layers: Vec<Layer>,
    /// How much narrower the first strip of each layer is cut.
    shifts: Vec<i64>,
    /// Why that of the first layer is.
    why: ShiftReason,
    /// Why they run up the fall, where they do.
    up_the_fall: Option<WhyUpTheFall>,
    /// Laps of the first layer that lie too near a joint of the deck, by the strip below the lap.
    near_joints: Vec<usize>,
}

/// Why the first strip is cut narrower than the roll.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ShiftReason {
    /// So that no strip is too narrow.
    Narrow,
    /// So that the crew gets off.
    Room,
    /// So that laps keep off the deck's joints.
    Joints,
}

/// One layer of it.
struct Layer {
    strips: Vec<Vec<StripPart>>,
    cuts: Vec<StripCut>,
    sequence: Sequence,
}

/// The roof in one frame: what must be covered, what can be walked on, and where laps are better not.
struct FramedRoof {
    frame: StripFrame,
    target: Region,
    /// What one can stand on: the surface in the frame, pipes stepped over.
    surface: Region,
    /// The side where the crew leaves.
    way_off: (Point, Point),
    /// Where there is room to stand on it.
    middles: Middles,
    /// Where no side lap should start, across the strips.
    across: Blocked,
    /// Where no end lap should have its middle, along the strips.
    along: Blocked,
}

impl FramedRoof {
    /// Where the first strip starts and the last one ends.
    fn levels(&self) -> (i64, i64) {
        self.target.bounds().map_or((0, 0), |b| (b.least.y, b.most.y))
    }
}

impl FramedRoof {
    /// How far beyond the roof a piece lies that covers none of it, on the top of a parapet, say, mm; none where it lies on the roof.
    fn off_roof(&self, lies: &Bounds) -> Option<i64> {
        let roof = self.surface.bounds()?;
        let inside = lies.grown(-ROUNDING);
        let is_off = self.surface.intersect(&Region::of_box(inside.least, inside.most)).is_empty();
        let across = (roof.least.y - lies.most.y).max(lies.least.y - roof.most.y);
        let along = (roof.least.x - lies.most.x).max(lies.least.x - roof.most.x);
        is_off.then(|| across.max(along).max(0))
    }

    /// The order in which one layer's pieces are laid.
    fn sequence(&self, bands: &[Band], strips: &[Vec<StripPart>], cuts: &[StripCut]) -> Sequence {
        let pieces: Vec<Bounds> = cuts.iter().map(|c| c.lies(strips)).collect();
        let rank = |(c, lies): (&StripCut, &Bounds)| LayingNode {
            wish: wish::wish(&self.frame, self.way_off, c, lies),
            ..LayingNode::default()
        };
        let mut nodes: Vec<LayingNode> = cuts.iter().zip(&pieces).map(rank).collect();
        let wide = self.middles.patches(&pieces);
        let walk = self.middles.walk(&wide, pieces.len());
        let off_roof: Vec<Option<i64>> = pieces
            .iter()
            .zip(&walk.own)
            // Strips along the low edge lie over one another from there up, wherever they end.
            .map(|(lies, own)| (self.frame.up_the_fall && own.is_empty()).then(|| self.off_roof(lies)).flatten())
            .collect();
        for Lapping { first: i, second: j, broad } in lapping(bands, strips, cuts) {
            for (one, other) in [(i, j), (j, i)] {
                let node = &mut nodes[one];
                let list = if broad { &mut node.laps } else { &mut node.meets };
                list.push(other);
            }
            // Pieces of one strip lie over one another as the fall asks, wherever they end.
            let beyond = match cuts[i].strip == cuts[j].strip {
                true => Ordering::Equal,
                false => off_roof[i].cmp(&off_roof[j]),
            };
            match beyond {
                // Water comes down to the roof off what lies beyond it.
                Ordering::Less => nodes[i].under.push(j),
                Ordering::Greater => nodes[j].under.push(i),
                // Along the low edge the next strip laps over; up the fall the next piece of the same strip does.
                Ordering::Equal if (cuts[i].strip == cuts[j].strip) == self.frame.up_the_fall => nodes[i].under.push(j),
                Ordering::Equal => {}
            }
        }
        follow_inner(&mut nodes, &off_roof);
        let narrow = || Middles::of(&self.surface, self.way_off, SQUEEZE).walk_within(&pieces, &wide);
        order::sequence(&nodes, walk, narrow)
    }
}

/// What lies beyond the roof is laid with the piece inside it, once that is: not before its edge is lined and trimmed.
fn follow_inner(nodes: &mut [LayingNode], off_roof: &[Option<i64>]) {
    let mut beyond: Vec<usize> = (0..nodes.len()).filter(|&i| off_roof[i].is_some()).collect();
    beyond.sort_by_key(|&i| off_roof[i]);
    for i in beyond {
        let within = nodes.iter().filter(|node| node.under.contains(&i)).map(|node| node.wish);
        nodes[i].wish = within.min().unwrap_or(nodes[i].wish);
    }
}

impl StripCut {
    /// The rectangle of the frame that it covers.
    fn lies(&self, strips: &[Vec<StripPart>]) -> Bounds {
        let part = &strips[self.strip][self.part].extent;
        Bounds { least: Point::new(self.from, part.least.y), most: Point::new(self.to, part.most.y) }
    }
}

/// A stretch of positions across (or along) the strips where a lap would lie too near a joint of the deck.
type Blocked = Vec<(i64, i64)>;

impl Laying<'_> {
    fn pitch(&self) -> StripPitch {
        StripPitch { roll: self.roll.width.as_mm(), lap: self.rules.mat_lap.as_mm() }
    }

    /// Along the low edge, unless the crew would be trapped that way and is better off with strips up the fall.
    fn lay_the_better_way(&self) -> LaidLayers {
        let (ground, along) = self.lay_plain(StripFrame::along_low_edge(self.shape.uphill));
        if along.badness() == (0, 0, 0) {
            return self.off_the_joints(&ground, along);
        }
        let (ground_up, up) = self.lay_plain(StripFrame::up_the_fall(self.shape.uphill));
        let better = up.badness() < along.badness();
        let why = better.then(|| self.why_up_the_fall(along.badness(), up.badness()));
        let (ground, plain) = if better { (ground_up, up) } else { (ground, along) };
        let roomy = self.with_room_to_leave(&ground, plain);
        LaidLayers { up_the_fall: why, ..self.off_the_joints(&ground, roomy) }
    }

    fn why_up_the_fall(&self, along: Badness, up: Badness) -> WhyUpTheFall {
        match () {
            () if self.shape.low_sides.contains(&self.shape.way_off) => WhyUpTheFall::AtLowEdge,
            () if along.0 > up.0 => WhyUpTheFall::CutOff,
            () if along.1 > up.1 => WhyUpTheFall::Squeezed,
            () => WhyUpTheFall::Tucked,
        }
    }

    /// The layout with its first strip narrowed, where the crew gets off that way and it costs nothing.
    fn with_room_to_leave(&self, ground: &FramedRoof, plain: LaidLayers) -> LaidLayers {
        if !plain.is_hard_to_leave() {
            return plain;
        }
        let taken = plain.roll(self.roll.width);
        let fitting = (1..).map(|k| k * ROOM_STEP).take_while(|&s| s < self.pitch().step());
        let fitting = fitting.filter(|&s| self.keeps_the_count(ground, s));
        let tried = fitting.map(|s| self.lay_shifted(ground, self.shifts_from(ground, s), ShiftReason::Room));
        let mut best = plain;
        for laid in tried.filter(|l| l.roll(self.roll.width) <= taken) {
            if laid.badness() < best.badness() {
                best = laid;
            }
        }
        best
    }

    fn lay_plain(&self, frame: StripFrame) -> (FramedRoof, LaidLayers) {
        let (across, along) = self.blocked(&frame);
        let target = target::target(self.shape, &frame);
        let surface = frame.place_region(&self.walked_on());
        let side = &self.shape.sides[self.shape.way_off];
        // Up the fall the frame shows the plan in a mirror: the surface stays on the left of the side.
        let (from, to) = if frame.up_the_fall { (side.to, side.from) } else { (side.from, side.to) };
        let way_off = (frame.place(from), frame.place(to));
        let middles = Middles::of(&surface, way_off, ROOM);
        let ground = FramedRoof { frame, target, surface, way_off, middles, across, along };
        let first = self.clear_shift(&ground, 0, self.pitch().step() - 1);
        let laid = self.lay_shifted(&ground, self.shifts_from(&ground, first), ShiftReason::Narrow);
        (ground, laid)
    }

    /// The surface that the crew walks on: one steps over a pipe, not over a kerb or a chimney.
    fn walked_on(&self) -> Region {
        let kerbs = self.shape.holes.iter().filter(|h| !h.round).map(|h| h.ring.as_slice());
        Region::of_ring(&self.shape.ring()).subtract(&Region::of_rings(kerbs))
    }

    /// The layout with its first strip narrowed, where that keeps more laps off the deck's joints and costs nothing.
    fn off_the_joints(&self, ground: &FramedRoof, plain: LaidLayers) -> LaidLayers {
        if plain.near_joints.is_empty() {
            return plain;
        }
        let taken = plain.roll(self.roll.width);
        let better = self.shifts(ground).into_iter().take_while(|s| s.near < plain.near_joints.len());
        better
            .take(SHIFTS_TRIED)
            .map(|s| self.lay_shifted(ground, self.shifts_from(ground, s.shift), ShiftReason::Joints))
            .find(|laid| {
                let no_worse = laid.badness() <= plain.badness() && laid.narrow(self) <= plain.narrow(self);
                laid.roll(self.roll.width) <= taken && no_worse
            })
            .unwrap_or(plain)
    }

    /// The shift of each layer, where the first has this one.
    fn shifts_from(&self, ground: &FramedRoof, first: i64) -> Vec<i64> {
        let most = self.pitch().step() / LAYER_SHARE;
        let further = |layer| self.clear_shift(ground, layer_shift(layer, first, self.pitch()), most);
        (0..self.layers).map(|layer| if layer == 0 { first } else { further(layer) }).collect()
    }

    /// The shift nearest to one, and no further off than `most`, at which fewest parts of strips are too narrow.
    fn clear_shift(&self, ground: &FramedRoof, shift: i64, most: i64) -> i64 {
        let (pitch, narrowest) = (self.pitch(), self.narrowest());
        narrow::clear_shift(&ground.target, Narrow { pitch, narrowest, most }, shift)
    }

    /// No strip is to be narrower than this, mm.
    fn narrowest(&self) -> i64 {
        self.rules.mat_narrowest.as_mm().min(self.roll.width.as_mm() / 2)
    }

    fn lay_shifted(&self, ground: &FramedRoof, shifts: Vec<i64>, why: ShiftReason) -> LaidLayers {
        let layers = shifts.iter().map(|&shift| self.lay_layer(ground, shift)).collect();
        let near_joints = near(&self.bands(ground, shifts[0]), &ground.across);
        LaidLayers { frame: ground.frame, layers, shifts, why, up_the_fall: None, near_joints }
    }

    fn bands(&self, ground: &FramedRoof, shift: i64) -> Vec<Band> {
        let (low, high) = ground.levels();
        strips::bands(low, high, self.pitch(), shift)
    }

    fn lay_layer(&self, ground: &FramedRoof, shift: i64) -> Layer {
        let bands = self.bands(ground, shift);
        let strips = strips::parts(&ground.target, &bands);
        let cuts = self.cut_strips(&strips, &ground.along);
        let sequence = ground.sequence(&bands, &strips, &cuts);
        Layer { strips, cuts, sequence }
    }

    /// Cuts every part to length.
    fn cut_strips(&self, strips: &[Vec<StripPart>], along: &Blocked) -> Vec<StripCut> {
        let mut beside: Vec<i64> = Vec::new();
        let mut cuts = Vec::new();
        for (strip, parts) in strips.iter().enumerate() {
            let mut joints = Vec::new();
            for (part, p) in parts.iter().enumerate() {
                let near = end_joints::Near {
                    longest: longest_piece(self.rules, self.roll).as_mm(),
                    shortest: self.rules.mat_shortest.as_mm(),
                    lap: self.rules.mat_end_lap.as_mm(),
                    stagger: self.rules.mat_stagger.as_mm(),
                    beside: &beside,
                    avoid: along,
                };
                let pieces = end_joints::cut(p.extent.least.x, p.extent.most.x, &near);
                joints.extend(end_joints::joints(&pieces));
                cuts.extend(pieces.iter().map(|&(from, to)| StripCut { strip, part, from, to }));
            }
            beside = joints;
        }
        cuts
    }

    /// Where a lap may not start, across the strips, and where the middle of an end lap is better not, along them.
    fn blocked(&self, frame: &StripFrame) -> (Blocked, Blocked) {
        let (off, lap) = (self.rules.mat_joint_offset.as_mm(), self.rules.mat_lap.as_mm());
        let half = self.rules.mat_end_lap.as_mm() / 2;
        let (mut across, mut along) = (Vec::new(), Vec::new());
        for joint in self.deck.iter().flat_map(|d| &d.joints) {
            let (a, b) = (frame.place(joint.from), frame.place(joint.to));
            let (dx, dy) = ((b.x - a.x).abs(), (b.y - a.y).abs());
            if dy * 10 <= dx {
                across.push((a.y.min(b.y) - lap - off, a.y.max(b.y) + off));
            } else if dx * 10 <= dy {
                along.push((a.x.min(b.x) - half - off, a.x.max(b.x) + half + off));
            }
        }
        (joined_open(across), joined_open(along))
    }

    /// Whether a shift leaves every first strip wide enough to handle and takes no strip more.
    fn keeps_the_count(&self, ground: &FramedRoof, shift: i64) -> bool {
        let (low, high) = ground.levels();
        let (pitch, width) = (self.pitch(), high - low);
        let strips = |s: i64| (0..self.layers).map(|l| pitch.strips(width, layer_shift(l, s, pitch))).sum::<i64>();
        let narrowest = (0..self.layers).map(|l| pitch.roll - layer_shift(l, shift, pitch)).min().unwrap_or(0);
        narrowest >= self.narrowest().max(4 * pitch.lap)
            && (pitch.strips(width, shift), strips(shift)) <= (pitch.strips(width, 0), strips(0))
    }

    /// Every shift of the first strip that keeps the number of strips, best first; of neighbours as good, the least.
    fn shifts(&self, ground: &FramedRoof) -> Vec<StripShift> {
        let (low, high) = ground.levels();
        let pitch = self.pitch();
        let mut found: Vec<StripShift> = Vec::new();
        for shift in (1..pitch.step()).filter(|&s| self.keeps_the_count(ground, s)) {
            let near = near(&strips::bands(low, high, pitch, shift), &ground.across).len();
            if found.last().is_none_or(|f| f.near != near) {
                found.push(StripShift { near, shift });
            }
        }
        found.sort_by_key(|s| (s.near, s.shift));
        found
    }
}

/// What rounding to whole millimetres may lay on a roof of a piece beyond it, mm.
const ROUNDING: i64 = 2;

/// Where the crew is hard pressed the first strip is narrowed in steps of this, mm.
const ROOM_STEP: i64 = 50;

/// A further layer's shift is moved by no more than this part of a strip, so that its laps stay well off those below.
const LAYER_SHARE: i64 = 8;

/// How many shifts of the first strip are laid out in full before the plain layout is taken.
const SHIFTS_TRIED: usize = 6;

/// A shift of the first strip, and how many laps of the first layer it leaves near a joint of the deck.
struct StripShift {
    near: usize,
    shift: i64,
}

/// How much narrower the first strip of a layer is: the second lies half a strip off the first, a third a quarter.
fn layer_shift(layer: usize, shift: i64, pitch: StripPitch) -> i64 {
    const QUARTERS: [i64; 4] = [0, 2, 1, 3];
    (shift + pitch.step() * QUARTERS[layer % 4] / 4) % pitch.step()
}

/// Laps that start where they may not, by the strip below.
fn near(bands: &[Band], blocked: &Blocked) -> Vec<usize> {
    let hit = |at: i64| {
        let next = blocked.partition_point(|&(_, end)| end <= at);
        blocked.get(next).is_some_and(|&(start, _)| start < at)
    };
    (1..bands.len()).filter(|&k| hit(bands[k].low)).map(|k| k - 1).collect()
}

impl LaidLayers {
    fn badness(&self) -> Badness {
        let of = self.layers.iter().map(|l| l.sequence.badness());
        of.fold((0, 0, 0), |sum, b| (sum.0 + b.0, sum.1 + b.1, sum.2 + b.2))
    }

    /// How many parts of strips are too narrow.
    fn narrow(&self, job: &Laying) -> usize {
        self.layers.iter().map(|l| narrow::count(&l.strips, job.narrowest())).sum()
    }

    fn is_hard_to_leave(&self) -> bool {
        let (cut_off, squeezed, _) = self.badness();
        cut_off + squeezed > 0
    }

    /// Roll that all layers take.
    fn roll(&self, width: Length) -> Length {
        let sizes: Vec<(Length, Length)> = self.layers.iter().flat_map(Layer::sizes).collect();
        rolls::cut_roll(&sizes, width).iter().map(|c| c.length).sum()
    }

    fn into_layout(self, job: &Laying) -> MatLayout {
        let mut pieces: Vec<MatPiece> = Vec::new();
        let mut notes = self.notes(job);
        let mut strips_below = 0;
        let way_off = &job.shape.sides[job.shape.way_off].label;
        for (number, layer) in self.layers.iter().enumerate() {
            let laid_below = pieces.len();
            let mark = |i: usize| layer.mark(i, strips_below);
            notes.extend(layer.sequence.tucked.iter().map(|&i| MatNote::Tucked { mark: mark(i) }));
            notes.extend(layer.sequence.squeezed.iter().map(|&i| MatNote::Squeezed { mark: mark(i) }));
            notes.extend(
                layer.sequence.cut_off.iter().map(|&i| MatNote::CutOff { mark: mark(i), way_off: way_off.clone() }),
            );
            let together = layer.sequence.together.iter().rev();
            notes.extend(together.map(|&(i, with)| MatNote::Together { mark: mark(i), with: mark(with) }));
            notes.extend(layer.narrow_note(mark, job.narrowest()));
            for (nth, &i) in layer.sequence.order.iter().enumerate() {
                let mut piece = layer.piece(i, &self.frame);
                (piece.mark, piece.layer, piece.order) = (mark(i), number, laid_below + nth + 1);
                piece.number += strips_below;
                piece.together = layer.sequence.together.iter().find(|t| t.0 == i).map(|t| mark(t.1));
                pieces.push(piece);
            }
            strips_below += layer.strips.len();
        }
        notes.extend(roll_note(&pieces, job.roll));
        let roll = self.roll(job.roll.width);
        MatLayout { weight: job.roll.weight, pieces, roll, up_the_fall: self.frame.up_the_fall, notes }
    }

    /// What the layout does that the crew must know.
    fn notes(&self, job: &Laying) -> Vec<MatNote> {
        let (lap, offset) = (job.rules.mat_lap, job.rules.mat_joint_offset);
        let way_off = job.shape.sides[job.shape.way_off].label.clone();
        let by = Length::mm(self.shifts[0]);
        let narrower = match self.why {
            ShiftReason::Narrow => MatNote::NarrowerForStrips { by, least: Length::mm(job.narrowest()) },
            ShiftReason::Room => MatNote::NarrowerToLeave { by },
            ShiftReason::Joints => MatNote::NarrowerOffJoints { by, offset },
        };
        let strips = self.near_joints.iter().map(|k| k + 1).collect();
        let inner_corner = job.shape.corners.iter().any(|c| c.turn == Turn::Internal);
        let upstand = job.shape.holes.iter().any(|h| !h.round);
        let all = [
            Some(if self.layers.iter().all(|layer| layer.strips.len() == 1) {
                MatNote::OneStrip { way_off }
            } else if let Some(why) = self.up_the_fall {
                MatNote::UpTheFall { way_off, why, lap }
            } else {
                MatNote::AlongLowEdge { way_off, lap }
            }),
            (self.shifts[0] > 0).then_some(narrower),
            (!self.near_joints.is_empty()).then_some(MatNote::NearJoints { strips, offset }),
            (self.layers.len() > 1).then_some(MatNote::FurtherLayers),
            inner_corner.then_some(MatNote::InnerCorner),
            upstand.then_some(MatNote::Upstand),
        ];
        all.into_iter().flatten().collect()
    }
}

impl Layer {
    /// Says which pieces are too narrow, where they lie beside others and not alone on a narrow part of the roof.
    fn narrow_note<'a>(&'a self, mark: impl Fn(usize) -> String + 'a, least: i64) -> Option<MatNote> {
        let is_narrow = |c: &StripCut| narrow::is_narrow(&self.strips[c.strip][c.part], least);
        let marks: Vec<String> =
            (0..self.cuts.len()).filter(|&i| self.strips.len() > 1 && is_narrow(&self.cuts[i])).map(mark).collect();
        (!marks.is_empty()).then(|| MatNote::Narrow { marks, least: Length::mm(least) })
    }

    fn sizes(&self) -> impl Iterator<Item = (Length, Length)> + '_ {
        self.cuts.iter().map(|c| {
            let lies = c.lies(&self.strips);
            (Length::mm(lies.most.x - lies.least.x), Length::mm(lies.most.y - lies.least.y))
        })
    }

    /// `3` for a strip in one piece, `3a`, `3b` for one in several, in the order in which they are laid. A layer's numbers go
    /// on from the one below.
    fn mark(&self, i: usize, strips_below: usize) -> String {
        let strip = self.cuts[i].strip;
        let first = self.cuts.partition_point(|c| c.strip < strip);
        let count = self.cuts.partition_point(|c| c.strip <= strip) - first;
        let of_strip = self.sequence.order.iter().filter(|&&c| (first..first + count).contains(&c));
        let nth = of_strip.take_while(|&&c| c != i).count();
        let letter = if count > 1 { letters(nth) } else { String::new() };
        format!("{}{letter}", strips_below + strip + 1)
    }

    fn piece(&self, i: usize, frame: &StripFrame) -> MatPiece {
        let cut = self.cuts[i];
        let lies = cut.lies(&self.strips);
        MatPiece {
            mark: String::new(),
            layer: 0,
            strip: cut.strip,
            number: cut.strip + 1,
            ring: frame.rectangle(lies.least, lies.most),
            length: Length::mm(lies.most.x - lies.least.x),
            width: Length::mm(lies.most.y - lies.least.y),
            net: self.strips[cut.strip][cut.part].net(cut.from, cut.to),
            together: None,
            order: 0,
        }
    }
}

/// `a`, `b`, … `z`, `aa`, `ab`, …
fn letters(n: usize) -> String {
    let last = char::from(b'a' + (n % 26) as u8);
    if n < 26 { last.to_string() } else { format!("{}{last}", letters(n / 26 - 1)) }
}

/// Whether the strips come whole out of the rolls that are sold.
fn roll_note(pieces: &[MatPiece], roll: &MatRoll) -> Option<MatNote> {
    let sizes: Vec<(Length, Length)> = pieces.iter().map(|p| (p.length, p.width)).collect();
    let out_of_rolls = rolls::OutOfRolls::of(&sizes, roll.width, &roll.rolls);
    let total = out_of_rolls.taken();
    let plan = out_of_rolls.plan?;
    let longest = roll.rolls.last()?;
    // Which of several rolls are bought is for their prices to say, so that metres are told and not rolls.
    if roll.rolls.len() > 1 {
        let (bought, fewest) = (plan.rolls.iter().map(|r| r.length).sum(), rolls::fewest_metres(&roll.rolls, total));
        return Some(MatNote::Metres { bought, needed: total, fewest, strips: pieces.len() });
    }
    let fewest = total.pieces_of(*longest) as usize;
    Some(MatNote::Rolls { rolls: plan.rolls.len(), needed: total, fewest, strips: pieces.len() })
}
