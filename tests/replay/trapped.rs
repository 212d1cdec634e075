//! Whether the crew gets off the roof over bare deck while the mat is laid: walked on a grid of spots, by geometry of
//! its own.
//!
//! Given a roof's shape, its way off, the pieces of one layer as rectangles and what the layout says of them; gives what is
//! wrong, in words. A man is a square along the strips, 300 mm wide. That a way is there is shown with one 20 mm less,
//! that there is none with one 1 mm more, so that no millimetre of rounding decides. A layout that says of a piece that
//! it is left by a squeeze, or cut off, must be right about that too: no other piece could have been laid there instead.

use std::collections::BTreeMap;
use wetout::takeoff::layout::shape::RoofShape;

type V = (f64, f64);

/// Half of a man who is surely no wider than 300 mm, of one who surely is, and of one who squeezes by, mm.
const SLIM: f64 = 140.0;
const STOUT: f64 = 150.5;
const SIDEWAYS: f64 = 44.0;

/// A piece of one layer: two opposite corners along and across the low edge, and what the layout says.
pub struct Piece {
    /// Its mark.
    pub mark: String,
    /// When it is laid.
    pub order: usize,
    /// Lowest corner: along the low edge, up the fall.
    pub least: V,
    /// Highest corner.
    pub most: V,
    /// What the notes say of the way off from it.
    pub said: Said,
    /// The mark of the piece that they say it is laid together with.
    pub together: Option<String>,
}

/// What the layout says of the way off from a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Said {
    /// Nothing: one walks off.
    Nothing,
    /// One squeezes by.
    Squeezed,
    /// There is no way.
    CutOff,
}

/// Where one stands: rings of the surface, and the side where one leaves, along and across the low edge.
pub struct Site {
    rings: Vec<Vec<V>>,
    exit: (V, V),
}

impl Site {
    /// One steps over a pipe, not over a kerb or a chimney.
    pub fn of(shape: &RoofShape) -> Site {
        let (ux, uy) = (shape.uphill.x, shape.uphill.y);
        let turned = |p: wetout::model::Point| {
            let (x, y) = (p.x as f64, p.y as f64);
            (uy * x - ux * y, ux * x + uy * y)
        };
        let outline = shape.sides.iter().map(|s| turned(s.from)).collect();
        let holes = shape.holes.iter().filter(|h| !h.round).map(|h| h.ring.iter().map(|&p| turned(p)).collect());
        let side = &shape.sides[shape.way_off];
        Site { rings: std::iter::once(outline).chain(holes).collect(), exit: (turned(side.from), turned(side.to)) }
    }

    /// Whether the side where the crew leaves is as wide as a man.
    fn wide_exit(&self) -> bool {
        let (a, b) = self.exit;
        (b.0 - a.0).hypot(b.1 - a.1) >= 2.0 * STOUT
    }

    fn edges(&self) -> impl Iterator<Item = (V, V)> + '_ {
        self.rings.iter().flat_map(|r| (0..r.len()).map(|i| (r[i], r[(i + 1) % r.len()])))
    }

    /// Whether one who stands there steps over the side where the crew leaves: he touches it, or nearly. A stout man's middle
    /// lies surely beside the side, another's to what rounding may cost.
    fn leaves(&self, p: V, half: f64, reach: f64) -> bool {
        let (a, b) = self.exit;
        let length = (b.0 - a.0).hypot(b.1 - a.1);
        let (ex, ey) = ((b.0 - a.0) / length, (b.1 - a.1) / length);
        let (dx, dy) = (p.0 - a.0, p.1 - a.1);
        let (along, off) = (dx * ex + dy * ey, dy * ex - dx * ey);
        let past = if half < STOUT { 5.0 } else { 0.0 };
        (-past..=length + past).contains(&along) && off > 0.0 && off <= half * (ex.abs() + ey.abs()) + reach
    }
}

/// Spots in rows and columns, for men of one size.
struct Grid {
    columns: usize,
    spots: Vec<Spot>,
}

#[derive(Clone, Default)]
struct Spot {
    at: V,
    /// The pieces under a man who stands there; `None` where he does not fit.
    under: Option<Vec<usize>>,
    leaves: bool,
    /// Whether even a stout man stands on one piece alone there.
    alone: bool,
}

/// Lines just clear of every place where a man comes on or off a piece or up against a side, and between them no gap
/// wider than `step`.
fn lines(at: impl Iterator<Item = f64>, off: f64, step: f64) -> Vec<f64> {
    let mut found: Vec<f64> = at.flat_map(|x| [x - off, x + off]).collect();
    found.sort_by(f64::total_cmp);
    found.dedup_by(|a, b| (*a - *b).abs() < 1.0);
    let mut all: Vec<f64> = Vec::new();
    for &x in &found {
        if let Some(&last) = all.last() {
            let gaps = ((x - last) / step).ceil().max(1.0);
            all.extend((1..gaps as usize).map(|k| last + (x - last) * k as f64 / gaps));
        }
        all.push(x);
    }
    all
}

impl Grid {
    /// `off`: how far beside a line the spots lie from which it is looked at.
    fn of(site: &Site, pieces: &[Piece], half: f64, off: f64, step: f64) -> Grid {
        let columns =
            lines(site.edges().map(|e| e.0.0).chain(pieces.iter().flat_map(|p| [p.least.0, p.most.0])), off, step);
        let rows =
            lines(site.edges().map(|e| e.0.1).chain(pieces.iter().flat_map(|p| [p.least.1, p.most.1])), off, step);
        let (a, b) = site.exit;
        // Beside a side that lies askew the nearest row may be as far off as the side is askew.
        let askew = (b.0 - a.0).abs().min((b.1 - a.1).abs());
        let reach = off - half + 3.0 + askew.min(step);
        let mut spots = Vec::with_capacity(columns.len() * rows.len());
        for &y in &rows {
            let (row, stout) = (Row::of(site, pieces, y, half), Row::of(site, pieces, y, STOUT));
            spots.extend(columns.iter().map(|&x| {
                let under = row.fits(x, half).then(|| row.under(x, half));
                let one = under.as_ref().is_some_and(|u| u.len() == 1);
                Spot {
                    at: (x, y),
                    leaves: under.is_some() && site.leaves((x, y), half, reach),
                    alone: one && stout.under(x, STOUT).len() == 1 && stout.fits(x, STOUT),
                    under,
                }
            }));
        }
        Grid { columns: columns.len(), spots }
    }

    fn beside(&self, i: usize) -> impl Iterator<Item = usize> {
        let (x, n, columns) = (i % self.columns, self.spots.len(), self.columns);
        let row = [(x > 0).then(|| i - 1), (x + 1 < columns).then(|| i + 1)];
        row.into_iter().chain([i.checked_sub(columns), Some(i + columns)]).flatten().filter(move |&j| j < n)
    }
}

/// What matters to men who stand on one row.
struct Row<'a> {
    y: f64,
    edges: Vec<(V, V)>,
    crossings: Vec<f64>,
    pieces: Vec<(usize, &'a Piece)>,
}

impl<'a> Row<'a> {
    fn of(site: &Site, pieces: &'a [Piece], y: f64, half: f64) -> Row<'a> {
        let near = |(a, b): &(V, V)| a.1.min(b.1) < y + half && a.1.max(b.1) > y - half;
        let crosses = |(a, b): &(V, V)| (a.1 <= y) != (b.1 <= y);
        let at = |(a, b): (V, V)| a.0 + (y - a.1) * (b.0 - a.0) / (b.1 - a.1);
        let touched = |(_, p): &(usize, &Piece)| p.least.1 < y + half && p.most.1 > y - half;
        Row {
            y,
            edges: site.edges().filter(near).collect(),
            crossings: site.edges().filter(crosses).map(at).collect(),
            pieces: pieces.iter().enumerate().filter(touched).collect(),
        }
    }

    /// Whether a man fits: his middle on the surface, and no side runs through him.
    fn fits(&self, x: f64, half: f64) -> bool {
        self.crossings.iter().filter(|c| **c < x).count() % 2 == 1
            && !self.edges.iter().any(|&(a, b)| through(a, b, (x, self.y), half))
    }

    fn under(&self, x: f64, half: f64) -> Vec<usize> {
        let on = |(_, p): &&(usize, &Piece)| p.least.0 < x + half && p.most.0 > x - half;
        self.pieces.iter().filter(on).map(|p| p.0).collect()
    }
}

/// Whether a line runs through the inside of a square (no axis parts them: the two of the square, and the line's own).
fn through(a: V, b: V, (x, y): V, half: f64) -> bool {
    let apart = |p: f64, q: f64, c: f64| p.max(q) <= c - half || p.min(q) >= c + half;
    let (nx, ny) = (a.1 - b.1, b.0 - a.0);
    let off = ((x - a.0) * nx + (y - a.1) * ny).abs();
    !apart(a.0, b.0, x) && !apart(a.1, b.1, y) && off < half * (nx.abs() + ny.abs())
}

/// How far men of one size get, as piece after piece is bare.
#[derive(Clone)]
struct Reached<'a> {
    grid: &'a Grid,
    /// How many pieces under each spot are laid still.
    laid: Vec<usize>,
    yes: Vec<bool>,
    over: BTreeMap<usize, Vec<usize>>,
}

impl<'a> Reached<'a> {
    fn of(grid: &'a Grid) -> Reached<'a> {
        let mut over: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (i, spot) in grid.spots.iter().enumerate() {
            spot.under.iter().flatten().for_each(|&p| over.entry(p).or_default().push(i));
        }
        let laid = grid.spots.iter().map(|s| s.under.as_ref().map_or(usize::MAX, Vec::len)).collect();
        Reached { grid, laid, yes: vec![false; grid.spots.len()], over }
    }

    /// The spots over a piece.
    fn over(&self, piece: usize) -> Vec<usize> {
        self.over.get(&piece).cloned().unwrap_or_default()
    }

    fn make_bare(&mut self, piece: usize) {
        let over = self.over(piece);
        over.iter().for_each(|&i| self.laid[i] -= 1);
        self.spread(over.into_iter().collect());
    }

    /// Reaches from some open spots onwards, those that are reached or leave.
    fn spread(&mut self, mut open: Vec<usize>) {
        while let Some(i) = open.pop() {
            let begins = |s: &Self| s.grid.spots[i].leaves || s.grid.beside(i).any(|j| s.yes[j]);
            if self.laid[i] == 0 && !self.yes[i] && begins(self) {
                self.yes[i] = true;
                open.extend(self.grid.beside(i));
            }
        }
    }

    /// Whoever stands on these spots gets off.
    fn give(&mut self, spots: &[usize]) {
        for &i in spots {
            self.yes[i] = true;
            let beside: Vec<usize> = self.grid.beside(i).collect();
            self.spread(beside);
        }
    }

    /// The spots where one stands on a piece and on no other, as far as they are wanted.
    fn own(&self, piece: usize, wanted: impl Fn(&Spot) -> bool) -> Vec<usize> {
        let alone = |s: &Spot| s.under.as_ref().is_some_and(|u| u.len() == 1) && wanted(s);
        self.over(piece).into_iter().filter(|&i| alone(&self.grid.spots[i])).collect()
    }
}

/// Everything that is wrong with the way off from the pieces of one layer.
pub fn faults(site: &Site, pieces: &[Piece]) -> Vec<String> {
    let extent = pieces.iter().map(|p| (p.most.0 - p.least.0).max(p.most.1 - p.least.1)).fold(0.0, f64::max);
    let step = (extent / 30.0).clamp(120.0, 300.0);
    let found = walked(site, pieces, step);
    // On a skew side a coarse grid may miss a way.
    if found.is_empty() { found } else { walked(site, pieces, 30.0) }
}

fn walked(site: &Site, pieces: &[Piece], step: f64) -> Vec<String> {
    let grid = |half: f64, off: f64| Grid::of(site, pieces, half, off, step);
    let slim = grid(SLIM, STOUT + 0.5);
    let mut ways = Reached::of(&slim);
    let said = pieces.iter().any(|p| p.said != Said::Nothing);
    let others = said.then(|| (grid(STOUT, STOUT + 0.5), grid(SIDEWAYS, SIDEWAYS + 2.0)));
    let mut others = others.as_ref().map(|(stout, narrow)| (Reached::of(stout), Reached::of(narrow)));
    let mut back: Vec<usize> = (0..pieces.len()).collect();
    back.sort_by_key(|&i| std::cmp::Reverse(pieces[i].order));
    let mut found = behind_wet_mat(&ways, pieces);
    for (n, &i) in back.iter().enumerate() {
        let (piece, sure) = (&pieces[i], ways.own(i, |s| s.alone));
        ways.make_bare(i);
        if piece.said == Said::Nothing && !sure.iter().all(|&s| ways.yes[s]) {
            found.push(format!("{} traps the crew", piece.mark));
        }
        let Some((stout, narrow)) = &mut others else { continue };
        // Over a side narrower than a man he goes sideways or not, as one sees it.
        if piece.said != Said::Nothing && site.wide_exit() {
            found.extend(needless(stout, &ways, pieces, &back[n..], i));
        }
        stout.make_bare(i);
        narrow.make_bare(i);
        if piece.said == Said::Squeezed && !sure.iter().all(|&s| squeezes(narrow, slim.spots[s].at)) {
            found.push(format!("{} is cut off, though it is said to be left by a squeeze", piece.mark));
        }
        if piece.said != Said::Nothing {
            [&mut ways, stout, narrow].into_iter().for_each(|w| w.give(&w.own(i, |_| true)));
        }
    }
    found
}

/// Pieces on which no man stands must be reached from bare deck: from one beside it that is laid later, or from the one
/// laid just before, which the notes must name. `slim` has every spot where the slimmer man fits.
fn behind_wet_mat(slim: &Reached, pieces: &[Piece]) -> Vec<String> {
    let stands: Vec<bool> = (0..pieces.len()).map(|i| !slim.own(i, |_| true).is_empty()).collect();
    let surely: Vec<bool> = (0..pieces.len()).map(|i| !slim.own(i, |s| s.alone).is_empty()).collect();
    let mut found = Vec::new();
    for (i, piece) in pieces.iter().enumerate() {
        let share = |j: &usize| if *j == i { 0.0 } else { beside(piece, &pieces[*j]) };
        // Half of the shorter one's length counts as beside: surely what is well over it, perhaps what is nearly it.
        let surely_beside = (0..pieces.len()).filter(|j| share(j) > 0.6).any(|j| surely[j]);
        let later = (0..pieces.len()).filter(|j| share(j) > 0.45).any(|j| stands[j] && pieces[j].order > piece.order);
        match &piece.together {
            None if !stands[i] && !later && surely_beside => {
                found.push(format!("{} lies behind wet mat, and nobody is told", piece.mark));
            }
            Some(_) if surely[i] => found.push(format!("{} has room to stand, and is said to have none", piece.mark)),
            Some(with) if !pieces.iter().any(|p| p.mark == *with && p.order + 1 == piece.order) => {
                found.push(format!("{} is not laid just after {with}", piece.mark));
            }
            _ => {}
        }
    }
    found
}

/// How much of the shorter one's length two rectangles share ground along, from 0 to 1.
fn beside(a: &Piece, b: &Piece) -> f64 {
    let x = a.most.0.min(b.most.0) - a.least.0.max(b.least.0);
    let y = a.most.1.min(b.most.1) - a.least.1.max(b.least.1);
    let shorter = |pick: fn(&Piece) -> f64| pick(a).min(pick(b));
    let (w, h) = (shorter(|p| p.most.0 - p.least.0), shorter(|p| p.most.1 - p.least.1));
    if x > 5.0 && y > 5.0 { (x / w).max(y / h) } else { 0.0 }
}

/// Whether one who goes sideways gets off from near a point.
fn squeezes(narrow: &Reached, at: V) -> bool {
    let near = |s: &Spot| (s.at.0 - at.0).abs() < STOUT && (s.at.1 - at.1).abs() < STOUT;
    (0..narrow.yes.len()).any(|i| narrow.yes[i] && near(&narrow.grid.spots[i]))
}

/// A piece that stout men could have laid next in the work backwards, where the layout says that there is none.
fn needless(stout: &Reached, slim: &Reached, pieces: &[Piece], rest: &[usize], said: usize) -> Option<String> {
    let could = rest.iter().find(|&&i| {
        let own = slim.own(i, |_| true);
        let mut stout = stout.clone();
        stout.make_bare(i);
        !own.is_empty() && own.iter().all(|&s| stout.yes[s])
    })?;
    Some(format!("{} is said to be hard to leave, though {} could come there", pieces[said].mark, pieces[*could].mark))
}

/// One who stands 4 mm past the end of the side where the crew leaves may leave, by rounding: he does not surely.
#[test]
fn a_stout_man_leaves_beside_the_side_where_the_crew_leaves_and_not_past_its_end() {
    let ring = vec![(0.0, 0.0), (3000.0, 0.0), (3000.0, 3000.0), (0.0, 3000.0)];
    let site = Site { rings: vec![ring], exit: ((0.0, 0.0), (2000.0, 0.0)) };
    let leaves = |x: f64, half: f64| site.leaves((x, half + 1.0), half, 3.0);
    assert_eq!([SLIM, SIDEWAYS, STOUT].map(|half| leaves(2004.0, half)), [true, true, false]);
    assert_eq!([SLIM, SIDEWAYS, STOUT].map(|half| leaves(1999.0, half)), [true; 3]);
    assert_eq!([SLIM, SIDEWAYS, STOUT].map(|half| leaves(2006.0, half)), [false; 3]);
}
