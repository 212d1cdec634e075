//! Where labels stand: the first place that is free of the roof, of lines and of other labels.
//!
//! Given a sheet, the outline and what is to be said at an edge; puts the words outside the outline, turned along the
//! edge. Where no place is free it gives the label back, to be put into the key under a letter.

use super::drawing::{Drawing, Quad, Way, apart, go, inside, part, pen, spot};
use crate::pages::scene::{Anchor, Ink, Spot};

/// Size of labels, pt.
pub const SIZE: f64 = 8.5;
/// From one line of a label to the next, pt.
const LEADING: f64 = 10.4;

/// Radius of the dot that words with a line speak of, pt.
const DOT: f64 = 1.1;

/// What words keep from the slanting strokes that end a dimension line, pt.
const STROKE: f64 = 2.5;

/// A label for one edge: the same words as one line or several.
#[derive(Debug, Clone)]
pub struct EdgeLabel {
    /// Start of the edge on paper, in walking order.
    pub from: Spot,
    /// Its end.
    pub to: Spot,
    /// What it says, in parts: joined on one line where there is room, else a line each. The first is bold.
    pub parts: Vec<String>,
    /// Distance from the edge to the nearest side of the label, pt.
    pub off: f64,
    /// On the roof's side of the edge instead of outside.
    pub inside: bool,
}

impl EdgeLabel {
    /// In one line, a line for each part, and with long parts in two lines each.
    fn layouts(&self) -> Vec<Vec<String>> {
        let broken = |part: &String| match in_two(part).filter(|_| part.len() > LONG_PART) {
            Some(lines) => lines.to_vec(),
            None => vec![part.clone()],
        };
        let mut layouts = vec![vec![self.parts.join(", ")], self.parts.clone()];
        layouts.push(self.parts.iter().flat_map(broken).collect());
        layouts.dedup();
        layouts
    }
}

/// A part of a label that has more letters than these stands in two lines at an edge that is shorter.
const LONG_PART: usize = 18;

/// Words in two lines as nearly of a length as may be; none where there is one word alone.
pub fn in_two(words: &str) -> Option<[String; 2]> {
    let gaps = words.match_indices(' ').map(|(at, _)| at);
    let at = gaps.min_by_key(|at| (2 * at + 1).abs_diff(words.len()))?;
    Some([words[..at].to_owned(), words[at + 1..].to_owned()])
}

/// Puts every label; gives back, by index, those for which no place was free.
pub fn place(sheet: &mut Drawing, ring: &[Spot], labels: &[EdgeLabel]) -> Vec<usize> {
    place_on(sheet, (ring, None), labels)
}

/// A ring at whose sides labels stand, and one that they may not leave.
type Rings<'a> = (&'a [Spot], Option<&'a [Spot]>);

/// The same of labels that may not leave a second ring: those of an opening stay on the roof.
pub fn place_on(sheet: &mut Drawing, ring: Rings<'_>, labels: &[EdgeLabel]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..labels.len()).collect();
    // The shortest edges have the fewest places to choose from.
    order.sort_by(|&a, &b| {
        let long = |i: usize| apart(labels[i].from, labels[i].to);
        long(a).total_cmp(&long(b)).then(a.cmp(&b))
    });
    let mut left: Vec<usize> = order.into_iter().filter(|&i| !put(sheet, ring, &labels[i])).collect();
    left.sort_unstable();
    left
}

/// Puts one label at the first free place: no longer than its edge before longer, near before far, one line before
/// several, middle before ends. Of lines that are all longer than the edge the shortest come first, and one line for all parts is none of
/// them: it would seem to name what stands beside the edge too.
fn put(sheet: &mut Drawing, ring: Rings<'_>, label: &EdgeLabel) -> bool {
    let long = apart(label.from, label.to);
    let fits = |lines: &[String]| width_of(lines) <= long + 10.0;
    let (short, mut wide): (Vec<_>, Vec<_>) = label.layouts().into_iter().partition(|l| fits(l));
    wide.retain(|lines| lines.len() > 1 || label.parts.len() == 1);
    wide.sort_by(|a, b| width_of(a).total_cmp(&width_of(b)));
    [(0..3, &short), (0..3, &wide), (3..6, &short), (3..6, &wide)].into_iter().any(|(mut steps, layouts)| {
        steps.any(|step| layouts.iter().any(|lines| put_at(sheet, ring, label, step, lines)))
    })
}

fn width_of(lines: &[String]) -> f64 {
    lines.iter().map(|l| super::drawing::text_width(l, SIZE)).fold(0.0, f64::max) + 3.0
}

/// Puts the lines at one distance from the edge, wherever along it there is room.
fn put_at(sheet: &mut Drawing, (ring, on): Rings<'_>, label: &EdgeLabel, step: i32, lines: &[String]) -> bool {
    let along = Way::between(label.from, label.to);
    let out = if label.inside { along.right().back() } else { along.right() };
    let (width, height) = (width_of(lines), LEADING * lines.len() as f64);
    let away = label.off + from_strokes(label, (along, out), lines) + height / 2.0 + f64::from(step) * 10.0;
    for t in [0.5, 0.35, 0.65, 0.2, 0.8] {
        let foot = part(label.from, label.to, t);
        let middle = go(foot, out, away);
        let quad = Quad::about(middle, along, width, height);
        // What lies in a few squares of paper is asked before all sides of a ring are.
        if !sheet.is_free(&quad) || !sheet.is_bare(&quad) {
            continue;
        }
        let leader = (step > 0).then(|| [go(foot, out, label.off - 3.0), go(foot, out, away - height / 2.0 - 0.5)]);
        let clear = leader.is_none_or(|[a, b]| !sheet.crosses_words(a, b) && !sheet.crosses_taken(go(a, out, 2.0), b));
        let on_side = || if label.inside { stands_inside(&quad, ring) } else { stands_outside(&quad, ring) };
        if clear && on_side() && on.is_none_or(|on| stands_inside(&quad, on)) {
            if let Some(leader) = leader {
                sheet.line(&leader, pen(Ink::Grey(0.45), 0.4));
            }
            write(sheet, middle, along, lines);
            sheet.take(quad);
            return true;
        }
    }
    false
}

/// How much further away lines stand whose nearest is longer than the edge: under the strokes that end its dimension line.
fn from_strokes(label: &EdgeLabel, (along, out): (Way, Way), lines: &[String]) -> f64 {
    let turn = along.text_turn().to_radians();
    let down = Way { x: turn.cos(), y: -turn.sin() }.right();
    let nearest = if down.x * out.x + down.y * out.y > 0.0 { lines.first() } else { lines.last() };
    let reaches = |line: &String| super::drawing::text_width(line, SIZE) > apart(label.from, label.to) - 3.0 * STROKE;
    if nearest.is_some_and(reaches) { STROKE } else { 0.0 }
}

/// Lines of words centred on a spot, turned along an edge.
fn write(sheet: &mut Drawing, middle: Spot, along: Way, lines: &[String]) {
    let turn = along.text_turn();
    let reading = Way { x: turn.to_radians().cos(), y: -turn.to_radians().sin() };
    let down = reading.right();
    let first = -LEADING * (lines.len() as f64 - 1.0) / 2.0 + 0.27 * SIZE;
    for (i, line) in lines.iter().enumerate() {
        let at = go(middle, down, first + LEADING * i as f64);
        sheet.write(at, line, SIZE, i == 0 && lines.len() > 1, Anchor::Middle, turn, false);
    }
}

/// Whether a box lies wholly outside a ring.
pub fn stands_outside(quad: &Quad, ring: &[Spot]) -> bool {
    let crossed = (0..ring.len()).any(|i| quad.meets_line(ring[i], ring[(i + 1) % ring.len()]));
    !crossed && !quad.corners.iter().any(|c| inside(ring, *c))
}

/// Whether a box lies wholly inside a ring.
pub fn stands_inside(quad: &Quad, ring: &[Spot]) -> bool {
    let crosses = |i: usize| quad.meets_line(ring[i], ring[(i + 1) % ring.len()]);
    quad.corners.iter().all(|c| inside(ring, *c)) && !(0..ring.len()).any(crosses)
}

/// Lines of level words, centred on a spot inside a ring, at the free place nearest to `wanted`; false where none is.
pub fn put_inside(sheet: &mut Drawing, ring: &[Spot], wanted: Spot, lines: &[(String, bool)], size: f64) -> bool {
    put_on_ground(sheet, ring, wanted, lines, size, None)
}

/// The same, with a ground that hides the thin lines beneath.
pub fn put_on_ground(
    sheet: &mut Drawing,
    ring: &[Spot],
    wanted: Spot,
    lines: &[(String, bool)],
    size: f64,
    ground: Option<Ink>,
) -> bool {
    let alone = lines.len() == 1;
    let beside = if alone && ground.is_some() { 2.4 } else { 4.0 };
    let width = lines.iter().map(|(l, _)| super::drawing::text_width(l, size)).fold(0.0, f64::max) + beside;
    // A line alone needs no leading, so that a mark fits a row hardly higher than its figures.
    let tail = if lines.iter().any(|(line, _)| has_tails(line)) { 0.2 } else { 0.0 };
    let height = if alone { (0.72 + tail) * size + 2.0 * OFF_LINES } else { size * 1.25 * lines.len() as f64 };
    let foot = if alone { (0.72 - tail) / 2.0 } else { 0.27 };
    let hides_lines = ground.is_some();
    // Where there is room, words stand a little farther off than they must.
    let roomy = hides_lines.then(|| free_inside(sheet, ring, wanted, (width + 2.0, height + 2.0), true)).flatten();
    let found = roomy.or_else(|| free_inside(sheet, ring, wanted, (width, height), hides_lines));
    let Some(middle) = found else { return false };
    let level = Way { x: 1.0, y: 0.0 };
    if ground.is_some() {
        // The line round what is named is never hidden: half of it lies on the ring's own side.
        let under = Quad::about(middle, level, width - OFF_LINES, height - OFF_LINES);
        sheet.area(vec![under.corners.to_vec()], ground, None);
    }
    for (i, (line, bold)) in lines.iter().enumerate() {
        let down = (i as f64 - (lines.len() as f64 - 1.0) / 2.0) * size * 1.25 + foot * size;
        sheet.words(spot(middle.x, middle.y + down), line, size, *bold, Anchor::Middle);
    }
    sheet.take(Quad::about(middle, level, width, height));
    true
}

/// A line of words that reads upwards inside a ring, on a ground, where no level line has room; false where this has none.
pub fn put_upright(sheet: &mut Drawing, ring: &[Spot], words: &str, size: f64, ground: Ink) -> bool {
    let (width, height) = (super::drawing::text_width(words, size) + 2.4, 0.72 * size + 2.0 * OFF_LINES);
    let up = Way { x: 0.0, y: -1.0 };
    let free = |p: &Spot| {
        let quad = Quad::about(*p, up, width, height);
        stands_inside(&quad, ring) && sheet.is_free(&quad)
    };
    let Some(at) = nearest_first(grid(ring), middle_of(ring)).find(free) else { return false };
    let under = Quad::about(at, up, width - OFF_LINES, height - OFF_LINES);
    sheet.area(vec![under.corners.to_vec()], Some(ground), None);
    sheet.write(spot(at.x + 0.36 * size, at.y), words, size, true, Anchor::Middle, 90.0, false);
    sheet.take(Quad::about(at, up, width, height));
    true
}

/// Between a line of words and the lines round it, pt: half the width of a board's line, and white beside it.
const OFF_LINES: f64 = 0.8;

/// How far words may stand from what they name, pt.
const NEAR: f64 = 40.0;

/// How far apart the level boxes round two rings are, pt.
fn gap(one: &[Spot], other: &[Spot]) -> f64 {
    let ((al, ah), (bl, bh)) = (box_of(one), box_of(other));
    let between = |a_low: f64, a_high: f64, b_low: f64, b_high: f64| (b_low - a_high).max(a_low - b_high).max(0.0);
    between(al.x, ah.x, bl.x, bh.x).hypot(between(al.y, ah.y, bl.y, bh.y))
}

/// Lines of level words beside the one of some openings that is too small to hold them, on the roof and twice as near as any other
/// opening, so that no other is taken to be meant; false where no place is.
pub fn put_near(
    sheet: &mut Drawing,
    outline: &[Spot],
    (openings, of): (&[Vec<Spot>], usize),
    lines: &[(String, bool)],
    size: f64,
) -> bool {
    let ring = &openings[of];
    let wide = lines.iter().map(|(l, _)| super::drawing::text_width(l, size)).fold(0.0, f64::max) + 4.0;
    let tall = size * 1.25 * lines.len() as f64;
    let (low, high) = box_of(ring);
    let (out, up) = (wide / 2.0 + NEAR, tall / 2.0 + NEAR);
    let reach = [spot(low.x - out, low.y - up), spot(high.x + out, high.y + up)];
    let level = Way { x: 1.0, y: 0.0 };
    let free = |p: &Spot| {
        let quad = Quad::about(*p, level, wide, tall);
        let far = gap(&quad.corners, ring);
        let own = far <= NEAR
            && sheet.is_free(&quad)
            && openings.iter().enumerate().all(|(i, other)| i == of || gap(&quad.corners, other) >= 2.0 * far.max(1.0));
        own && stands_inside(&quad, outline) && sheet.is_bare(&quad)
    };
    let middle = middle_of(ring);
    let Some(place) = nearest_first(grid(&reach), middle).find(free) else { return false };
    put_inside(sheet, outline, place, lines, size)
}

/// Whether letters reach under the line that words stand on.
fn has_tails(words: &str) -> bool {
    words.contains(['g', 'j', 'p', 'q', 'y', '(', ')', ',', ';', 'Q'])
}

/// More pieces than this that cannot hold their words are written over where they lie: lines to all would be a thicket.
const FEW: usize = 12;

/// Words for pieces that cannot hold them; gives back those for which no place was clear.
pub fn point_at_all(sheet: &mut Drawing, pieces: &[(Vec<Spot>, &str)]) -> Vec<String> {
    let size = super::LABEL_SIZE;
    let (mut lost, mut leaders) = (Vec::new(), Vec::new());
    for (ring, words) in pieces {
        let at = within(ring);
        let ground = Quad::about(at, Way { x: 1.0, y: 0.0 }, super::drawing::text_width(words, size) + 1.0, size);
        let crowded = pieces.len() > FEW;
        if crowded && sheet.is_free(&ground) && sheet.is_light(&ground) {
            sheet.write(spot(at.x, at.y + 0.36 * size), words, size, true, Anchor::Middle, 0.0, true);
            sheet.take(ground);
        } else if let Some(leader) = (!crowded).then(|| point_past(sheet, ring, words, &leaders)).flatten() {
            leaders.push(leader);
        } else {
            lost.push((*words).to_owned());
        }
    }
    lost
}

/// What the key says of pieces whose numbers found no place.
pub fn lost_words(lost: &[String]) -> Option<String> {
    (!lost.is_empty()).then(|| format!("No room for {}: see the list.", crate::documents::wording::list(lost)))
}

/// Words for a piece that cannot hold them: at the nearest free place, with a line to a dot in the piece.
pub fn point_at(sheet: &mut Drawing, ring: &[Spot], words: &str) {
    let size = super::LABEL_SIZE;
    let foot = within(ring);
    let (width, height) = (super::drawing::text_width(words, size) + 4.0, size * 1.25);
    let (middle, _) = clear_near(sheet, foot, (width, height));
    lead_to(sheet, foot, middle, words);
}

/// Where along an edge a dot hides no words: in its middle, else beside it.
pub fn foot_on(sheet: &Drawing, from: Spot, to: Spot) -> Spot {
    let mut all = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8].into_iter().map(|t| part(from, to, t));
    all.find(|at| !sheet.covers_words(&dot_box(*at))).unwrap_or_else(|| part(from, to, 0.5))
}

/// A dot with a little air.
fn dot_box(at: Spot) -> Quad {
    Quad::about(at, Way { x: 1.0, y: 0.0 }, 4.0 * DOT, 4.0 * DOT)
}

/// The same where a place is found to which no line runs through other words; false where none is.
pub fn point_at_if_clear(sheet: &mut Drawing, ring: &[Spot], words: &str) -> bool {
    point_past(sheet, ring, words, &[]).is_some()
}

/// The same, its line across none of those that are drawn, where there is such a place; gives the line.
fn point_past(sheet: &mut Drawing, ring: &[Spot], words: &str, leaders: &[(Spot, Spot)]) -> Option<(Spot, Spot)> {
    let foot = within(ring);
    if sheet.covers_words(&dot_box(foot)) {
        return None;
    }
    let size = super::LABEL_SIZE;
    // So far from other words that both are not read as one.
    let room = (super::drawing::text_width(words, size) + 2.0 * size, size * 1.25);
    let crosses = |middle: Spot| leaders.iter().any(|leader| cross(*leader, (foot, middle)));
    let quad = |middle: Spot| Quad::about(middle, Way { x: 1.0, y: 0.0 }, room.0, room.1);
    let (nearest, clear) = clear_near(sheet, foot, room);
    if !clear {
        return None;
    }
    let mut ways = OpenWays::from(foot);
    let past = |&(way, middle): &(usize, Spot)| {
        let quad = quad(middle);
        let free = ways.is_open(way) && sheet.is_free(&quad) && sheet.is_bare(&quad) && !quad.covers(foot);
        free && ways.reaches(sheet, way, middle) && !crosses(middle)
    };
    let middle = match crosses(nearest) {
        true => rings_round(foot).find(past).map_or(nearest, |(_, middle)| middle),
        false => nearest,
    };
    lead_to(sheet, foot, middle, words);
    Some((foot, middle))
}

/// Whether two lines cross.
fn cross((a, b): (Spot, Spot), (c, d): (Spot, Spot)) -> bool {
    let side = |from: Spot, to: Spot, at: Spot| (to.x - from.x) * (at.y - from.y) - (to.y - from.y) * (at.x - from.x);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// The same, the words outside an outline.
pub fn point_at_outside(sheet: &mut Drawing, outline: &[Spot], foot: Spot, words: &str) -> bool {
    let size = super::LABEL_SIZE;
    let (width, height) = (super::drawing::text_width(words, size) + 4.0, size * 1.25);
    let quad = |middle: Spot| Quad::about(middle, Way { x: 1.0, y: 0.0 }, width, height);
    let mut ways = OpenWays::from(foot);
    let clear = |&(way, middle): &(usize, Spot)| {
        let quad = quad(middle);
        let free = ways.is_open(way) && sheet.is_free(&quad) && sheet.is_bare(&quad);
        free && ways.reaches(sheet, way, middle) && stands_outside(&quad, outline)
    };
    let found = rings_round(foot).find(clear);
    if let Some((_, middle)) = found {
        lead_to(sheet, foot, middle, words);
    }
    found.is_some()
}

/// Words with a line to the dot that they speak of.
fn lead_to(sheet: &mut Drawing, foot: Spot, middle: Spot, words: &str) {
    let size = super::LABEL_SIZE;
    let (width, height) = (super::drawing::text_width(words, size) + 4.0, size * 1.25);
    let quad = |middle: Spot| Quad::about(middle, Way { x: 1.0, y: 0.0 }, width, height);
    sheet.line(&[foot, middle], pen(Ink::Grey(0.2), 0.5));
    sheet.circle(foot, DOT, Some(Ink::Black), None);
    sheet.write(spot(middle.x, middle.y + 0.27 * size), words, size, true, Anchor::Middle, 0.0, true);
    sheet.take(quad(middle));
}

/// The middle of the nearest level box that is free, on no line and reached by a line through no words; else one that is
/// free, and whether it is the first.
pub fn clear_near(sheet: &Drawing, foot: Spot, (width, height): (f64, f64)) -> (Spot, bool) {
    let (mut light, mut clear, mut free) = (None, None, None);
    let mut ways = OpenWays::from(foot);
    for (way, middle) in rings_round(foot) {
        if free.is_some() && !ways.is_open(way) {
            continue;
        }
        let quad = Quad::about(middle, Way { x: 1.0, y: 0.0 }, width, height);
        if quad.covers(foot) || !sheet.is_free(&quad) {
            continue;
        }
        free.get_or_insert(middle);
        // What lies along a line to it is asked last: that is the most work.
        if light.is_some() && !sheet.is_bare(&quad) || !ways.reaches(sheet, way, middle) {
            continue;
        }
        if light.is_some() || sheet.is_bare(&quad) {
            return (middle, true);
        }
        clear.get_or_insert(middle);
        light = sheet.is_light(&quad).then_some(middle);
    }
    match light.or(clear) {
        Some(place) => (place, true),
        None => (free.unwrap_or(foot), false),
    }
}

/// So many ways are looked from a spot.
const WAYS: usize = 24;

/// Spots round a spot, the nearest first, each with the way on which it lies.
fn rings_round(middle: Spot) -> impl Iterator<Item = (usize, Spot)> {
    let turns: [(f64, f64); WAYS] = std::array::from_fn(|way| {
        let turn = std::f64::consts::TAU * way as f64 / WAYS as f64;
        (turn.cos(), turn.sin())
    });
    (2..60).flat_map(move |ring| {
        let far = 6.0 * f64::from(ring);
        let at = move |(right, down): (f64, f64)| spot(middle.x + far * right, middle.y + far * down);
        turns.into_iter().map(at).enumerate()
    })
}

/// The ways from a spot on which a line has met no words so far: beyond words, every line meets them.
struct OpenWays {
    from: Spot,
    closed: [bool; WAYS],
}

impl OpenWays {
    const fn from(from: Spot) -> OpenWays {
        OpenWays { from, closed: [false; WAYS] }
    }

    const fn is_open(&self, way: usize) -> bool {
        !self.closed[way]
    }

    /// Whether a line to a spot on a way runs through no words.
    fn reaches(&mut self, sheet: &Drawing, way: usize, to: Spot) -> bool {
        self.closed[way] = self.closed[way] || sheet.crosses_words(self.from, to);
        !self.closed[way]
    }
}

/// A spot in a ring, near the middle of its box.
fn within(ring: &[Spot]) -> Spot {
    let middle = middle_of(ring);
    if inside(ring, middle) {
        return middle;
    }
    let near = |a: &Spot, b: &Spot| apart(*a, middle).total_cmp(&apart(*b, middle));
    grid(ring).into_iter().filter(|s| inside(ring, *s)).min_by(near).unwrap_or(middle)
}

/// The middle of a free level box inside a ring, as near to `wanted` as a grid of places allows; on no line that can be seen,
/// unless the words have a ground that hides it.
fn free_inside(
    sheet: &Drawing,
    ring: &[Spot],
    wanted: Spot,
    (width, height): (f64, f64),
    hides_lines: bool,
) -> Option<Spot> {
    let level = Way { x: 1.0, y: 0.0 };
    let (low, high) = box_of(ring);
    if width > high.x - low.x || height > high.y - low.y {
        return None;
    }
    let free = |p: &Spot| {
        let quad = Quad::about(*p, level, width, height);
        stands_inside(&quad, ring) && sheet.is_free(&quad) && (hides_lines || sheet.is_bare(&quad))
    };
    if free(&wanted) {
        return Some(wanted);
    }
    nearest_first(grid(ring), wanted).find(free)
}

/// Spots in the order of how far they are from one; of those as far as each other the first comes first.
pub fn nearest_first(spots: Vec<Spot>, from: Spot) -> impl Iterator<Item = Spot> {
    let mut far: Vec<(f64, Spot)> = spots.into_iter().map(|s| (apart(s, from), s)).collect();
    far.sort_by(|a, b| a.0.total_cmp(&b.0));
    far.into_iter().map(|(_, s)| s)
}

/// A grid of spots over the box round a ring.
pub fn grid(ring: &[Spot]) -> Vec<Spot> {
    let (low, high) = box_of(ring);
    let steps = 14;
    let at = |i: i32, a: f64, b: f64| a + (b - a) * (f64::from(i) + 0.5) / f64::from(steps);
    (0..steps).flat_map(|i| (0..steps).map(move |j| spot(at(i, low.x, high.x), at(j, low.y, high.y)))).collect()
}

/// The level box round a ring: top left and bottom right.
pub fn box_of(ring: &[Spot]) -> (Spot, Spot) {
    super::drawing::level_box(ring)
}

/// The middle of the box round a ring.
pub fn middle_of(ring: &[Spot]) -> Spot {
    let (low, high) = box_of(ring);
    part(low, high, 0.5)
}
