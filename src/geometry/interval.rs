//! Stretches of one line: joined, in common, left uncovered.
//!
//! Given stretches from their lower end to their higher; gives stretches in ascending order. Two that touch are joined
//! into one, except where the ends do not belong to them ([`joined_open`]).

/// A stretch on a line, from the lower coordinate to the higher.
pub type Stretch = (i64, i64);

/// Sorts stretches and joins those that touch. Points along one line may stand for coordinates.
pub fn joined<T: Ord + Copy>(stretches: Vec<(T, T)>) -> Vec<(T, T)> {
    joined_where(stretches, |start, end| start <= end)
}

/// Sorts stretches to which their ends do not belong, and joins those that overlap.
pub fn joined_open(stretches: Vec<Stretch>) -> Vec<Stretch> {
    joined_where(stretches, |start, end| start < end)
}

fn joined_where<T: Ord + Copy>(mut stretches: Vec<(T, T)>, meets: impl Fn(T, T) -> bool) -> Vec<(T, T)> {
    stretches.sort_unstable();
    let mut out: Vec<(T, T)> = Vec::new();
    for (start, end) in stretches {
        match out.last_mut() {
            Some(last) if meets(start, last.1) => last.1 = last.1.max(end),
            _ => out.push((start, end)),
        }
    }
    out
}

/// The length that some stretches cover together.
pub fn covered(stretches: Vec<Stretch>) -> i64 {
    joined(stretches).iter().map(|s| s.1 - s.0).sum()
}

/// What two ascending lists of stretches have in common.
pub fn common(a: &[Stretch], b: &[Stretch]) -> Vec<Stretch> {
    let (mut i, mut k, mut out) = (0, 0, Vec::new());
    while i < a.len() && k < b.len() {
        let (from, to) = (a[i].0.max(b[k].0), a[i].1.min(b[k].1));
        if from < to {
            out.push((from, to));
        }
        if a[i].1 < b[k].1 { i += 1 } else { k += 1 }
    }
    out
}

/// What of `s` the ascending stretches do not cover.
pub fn uncovered(s: Stretch, stretches: &[Stretch]) -> Vec<Stretch> {
    let mut from = s.0;
    let mut out = Vec::new();
    for t in stretches.iter().filter(|t| t.0 < s.1 && s.0 < t.1) {
        if from < t.0 {
            out.push((from, t.0));
        }
        from = from.max(t.1);
    }
    if from < s.1 {
        out.push((from, s.1));
    }
    out
}
