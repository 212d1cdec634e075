//! Which pieces of a layer lap: those that go on where another ends, and those beside another over a side lap.
//!
//! Given the strips as cut; gives every pair once. Two that share less than a hand's breadth of a lap, or only what is cut
//! away there, do not lap.

use super::strips::{Band, StripCut, StripPart};

/// Two pieces that lap: neighbours in one part, or neighbours across a side lap.
pub(crate) struct Lapping {
    /// The one before, or in the strip before.
    pub first: usize,
    /// The one further along, or in the next strip.
    pub second: usize,
    /// Whether they lie side by side for half the shorter one, at the least.
    pub broad: bool,
}

/// Where a part meets the three lines of a lap that are looked at: near its edges and in its middle.
type Met = [Vec<(f64, f64)>; 3];

/// All pairs of pieces that lap.
pub(crate) fn lapping(bands: &[Band], strips: &[Vec<StripPart>], cuts: &[StripCut]) -> Vec<Lapping> {
    let end_to_end = (1..cuts.len())
        .filter(|&i| (cuts[i].strip, cuts[i].part) == (cuts[i - 1].strip, cuts[i - 1].part))
        .map(|i| Lapping { first: i - 1, second: i, broad: true });
    let side_by_side = (1..bands.len()).flat_map(|k| {
        let (low, high) = (bands[k].low, bands[k - 1].high);
        let met = |p: &StripPart| [low + 1, (low + high) / 2, high - 2].map(|line| p.at_line(line));
        let [below, above] = [k - 1, k].map(|s| strips[s].iter().map(met).collect::<Vec<Met>>());
        beside(k, cuts, &below, &above)
    });
    end_to_end.chain(side_by_side).collect()
}

/// Pieces of strip `k − 1` and strip `k` that lie side by side. The pieces of a strip stand in order along it.
fn beside(k: usize, cuts: &[StripCut], below: &[Met], above: &[Met]) -> Vec<Lapping> {
    let start = |k: usize| cuts.partition_point(|c| c.strip < k);
    let (first, second, end) = (start(k - 1), start(k), start(k + 1));
    let (mut pairs, mut begin) = (Vec::new(), second);
    for i in first..second {
        let a = &cuts[i];
        while begin < end && cuts[begin].to <= a.from {
            begin += 1;
        }
        for j in (begin..end).take_while(|&j| cuts[j].from < a.to) {
            let b = &cuts[j];
            let lines = below[a.part].iter().zip(&above[b.part]);
            let shared = lines.map(|(mine, theirs)| shared_stretch(mine, a, theirs, b)).fold(0.0, f64::max);
            let shorter = (a.to - a.from).min(b.to - b.from);
            if shared > TOUCH {
                pairs.push(Lapping { first: i, second: j, broad: shared * 2.0 >= shorter as f64 });
            }
        }
    }
    pairs
}

/// Pieces that share less than this of a lap do not lap, mm.
const TOUCH: f64 = 10.0;

/// The longest stretch of a line that two pieces both cover, given where their parts meet it, mm.
fn shared_stretch(mine: &[(f64, f64)], a: &StripCut, theirs: &[(f64, f64)], b: &StripCut) -> f64 {
    let (from, to) = (a.from.max(b.from) as f64, a.to.min(b.to) as f64);
    let shared = mine.iter().flat_map(|m| theirs.iter().map(move |t| m.1.min(t.1).min(to) - m.0.max(t.0).max(from)));
    shared.fold(0.0, f64::max)
}
