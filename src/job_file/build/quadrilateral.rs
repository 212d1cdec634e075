//! A four-sided outline from its sides and one diagonal, with the other diagonal as a check.
//!
//! Given four sides and the diagonal from front left to back right; gives the corners: front left at the origin, front
//! right along x. The second diagonal makes one measurement too many: where it misses by no more than the rule allows,
//! all six lengths are adjusted by least squares, each by the more the longer it is (adjustment by conditions, Gauss;
//! the variance of a taped length taken as proportional to it). The measured lengths themselves are kept for the runs.

use super::measured::{Measured, MeasuredSide};
use crate::job_file::raw::job::RawQuadrilateral;
use crate::job_file::read::suggest;
use crate::model::shape::{FOUR_SIDES, Misclosure};
use crate::model::{Length, Problem, SettingPath, Warned};

/// Front, right, back, left and the diagonal, mm.
type Sides = [f64; 5];

/// Works out the corners.
pub(crate) fn outline(
    raw: &RawQuadrilateral,
    path: &SettingPath,
    most: Length,
    found: &mut Vec<Problem>,
) -> Option<Measured> {
    let slots = [&raw.front, &raw.right, &raw.back, &raw.left, &raw.diagonal];
    let read: Option<Vec<Length>> = slots.iter().map(|slot| slot.given().copied()).collect();
    let lengths: [Length; 5] = read?.try_into().ok()?;
    let (front, back) = (triangle(&lengths, [0, 1]), triangle(&lengths, [2, 3]));
    found.extend(
        [front, back].into_iter().flatten().map(|(fault, cure)| Problem::fault(path.key("diagonal"), fault, cure)),
    );
    if triangle(&lengths, [0, 1]).is_some() || triangle(&lengths, [2, 3]).is_some() || raw.other_diagonal.is_bad() {
        return None;
    }
    let measured: Sides = lengths.map(|l| l.as_mm() as f64);
    let (used, misclosure) = match raw.other_diagonal.given() {
        Some(other) => check(measured, *other, most, path, found)?,
        None => {
            tell_unchecked(corners(measured), path, found);
            (measured, None)
        }
    };
    let sides = FOUR_SIDES
        .iter()
        .zip(lengths)
        .map(|(name, length)| MeasuredSide { name: (*name).to_owned(), length })
        .collect();
    Some(Measured { corners: corners(used).into(), sides, misclosure })
}

/// Five lengths make one shape whatever they are: a slip in any of them shows in its corners alone.
fn tell_unchecked(corners: [(f64, f64); 4], path: &SettingPath, found: &mut Vec<Problem>) {
    found.push(Problem::warning(
        Warned::UncheckedLength,
        path,
        "no other measurement would show a slip in any of the four sides and the diagonal",
        "measure the diagonal from front right to back left too and add it as `other_diagonal`",
    ));
    let angle = |i: usize| {
        let [(ax, ay), (x, y), (bx, by)] = [corners[i], corners[(i + 1) % 4], corners[(i + 2) % 4]];
        let between = ((ay - y).atan2(ax - x) - (by - y).atan2(bx - x)).to_degrees().rem_euclid(360.0);
        format!("`{}` to `{}` {between:.1}°", FOUR_SIDES[i], FOUR_SIDES[(i + 1) % 4])
    };
    let all: Vec<String> = (0..4).map(angle).collect();
    found.push(Problem::assumed(
        path,
        format!("the corners were found from five lengths: {}", suggest::listed(&all, "and")),
        "measure again where this surprises you",
    ));
}

/// Why two sides and the diagonal make no triangle.
fn triangle(lengths: &[Length; 5], sides: [usize; 2]) -> Option<(String, String)> {
    let (a, b, d) = (lengths[sides[0]], lengths[sides[1]], lengths[4]);
    let (name_a, name_b) = (FOUR_SIDES[sides[0]], FOUR_SIDES[sides[1]]);
    let longest = a.max(b).max(d);
    let others = a + b + d - longest;
    (longest >= others).then(|| {
        (
            format!(
                "`{name_a}` {a}, `{name_b}` {b} and the diagonal {d} make no triangle: the two shorter ones add up to {others}"
            ),
            format!("measure `{name_a}`, `{name_b}` and the diagonal again; the diagonal runs from front left to back right"),
        )
    })
}

/// The four corners: front left, front right, back right, back left.
fn corners([front, right, back, left, diagonal]: Sides) -> [(f64, f64); 4] {
    let cosine =
        |a: f64, b: f64, opposite: f64| ((a * a + b * b - opposite * opposite) / (2.0 * a * b)).clamp(-1.0, 1.0);
    let sine = |c: f64| (1.0 - c * c).max(0.0).sqrt();
    let (ca, cb) = (cosine(front, diagonal, right), cosine(left, diagonal, back));
    let (sa, sb) = (sine(ca), sine(cb));
    let back_right = (diagonal * ca, diagonal * sa);
    let back_left = (left * (ca * cb - sa * sb), left * (sa * cb + ca * sb));
    [(0.0, 0.0), (front, 0.0), back_right, back_left]
}

/// The diagonal from front right to back left that the other five lengths give.
fn other_diagonal(sides: Sides) -> f64 {
    let [_, (bx, by), _, (dx, dy)] = corners(sides);
    ((bx - dx).powi(2) + (by - dy).powi(2)).sqrt()
}

/// Compares the second diagonal; gives the lengths to draw with.
fn check(
    measured: Sides,
    other: Length,
    most: Length,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<(Sides, Option<Misclosure>)> {
    let computed = Length::mm(other_diagonal(measured).round() as i64);
    let miss = other - computed;
    let by = Length::mm(miss.as_mm().abs());
    if by == Length::ZERO {
        return Some((measured, None));
    }
    let way = if miss > Length::ZERO { "longer" } else { "shorter" };
    let statement = format!(
        "the second diagonal was measured as {other}; the four sides and the first diagonal make it {computed}: measured {by} {way}"
    );
    if by > most {
        found.push(Problem::fault(
            path.key("other_diagonal"),
            format!("{statement}, and the rule `misclosure` allows {most}"),
            "measure both diagonals and the four sides again",
        ));
        return None;
    }
    let check = "the second diagonal".to_owned();
    Some((
        adjust(measured, other.as_mm() as f64),
        Some(Misclosure { check, by, statement: format!("{statement}; spread over all six lengths") }),
    ))
}

/// Least squares with one condition: the computed diagonal less the measured one is nothing. Weights are 1 ÷ length.
/// Three rounds are more than a misclosure of millimetres needs.
fn adjust(measured: Sides, other: f64) -> Sides {
    let mut sides = measured;
    for _ in 0..3 {
        let slope: Vec<f64> = (0..5).map(|i| slope(sides, i)).collect();
        // The condition at the measured lengths, linearised where the last round stopped.
        let moved: f64 = (0..5).map(|i| slope[i] * (measured[i] - sides[i])).sum();
        let gap = other_diagonal(sides) + moved - other;
        let scale = (0..5).map(|i| slope[i] * slope[i] * measured[i]).sum::<f64>() + other;
        for i in 0..5 {
            sides[i] = measured[i] - measured[i] * slope[i] * gap / scale;
        }
    }
    sides
}

/// How fast the computed diagonal grows with one length.
fn slope(sides: Sides, i: usize) -> f64 {
    let step = 0.01;
    let (mut more, mut less) = (sides, sides);
    more[i] += step;
    less[i] -= step;
    (other_diagonal(more) - other_diagonal(less)) / (2.0 * step)
}
