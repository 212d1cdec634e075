//! The outline as far as it was walked, in letters: for a terminal, while the sides are given.
//!
//! Given lengths and turns; gives lines of text with the letter of each side, the area where it closes, and else what is
//! still to go. Nothing of it is taken into the job: the outline is worked out by the reader alone.

use crate::job_file::reference::length_of;

/// Room for the drawing, in letters; a letter is about twice as high as it is wide.
const WIDTH: usize = 44;
const HEIGHT: usize = 13;
/// A walk that misses by no more than this is closed, mm: the usual `misclosure`.
const CLOSED: f64 = 10.0;

/// A side as it was given.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WalkedSide {
    /// How long, mm.
    length: f64,
    /// The turn before it to the left, degrees.
    turn: f64,
}

impl WalkedSide {
    /// A side from what was said of it; `None` where that is no length or no turn.
    pub(crate) fn of(length: &str, turn: &str) -> Option<WalkedSide> {
        let (way, degrees) = turn.split_once(' ').unwrap_or((turn, "90"));
        let degrees: f64 = degrees.trim().parse().ok()?;
        let turn = match way {
            "" => 0.0,
            "left" => degrees,
            "right" => -degrees,
            _ => return None,
        };
        Some(WalkedSide { length: length_of(length)?.as_mm() as f64, turn })
    }
}

/// Where a walk has come to.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Walked {
    corners: Vec<(f64, f64)>,
    heading: f64,
}

impl Walked {
    /// Walks some sides.
    pub(crate) fn along(sides: &[WalkedSide]) -> Walked {
        let mut walked = Walked { corners: vec![(0.0, 0.0)], heading: 0.0 };
        for side in sides {
            walked.heading += side.turn;
            let (sin, cos) = walked.heading.to_radians().sin_cos();
            let (x, y) = walked.end();
            walked.corners.push((x + side.length * cos, y + side.length * sin));
        }
        walked
    }

    fn end(&self) -> (f64, f64) {
        self.corners[self.corners.len() - 1]
    }

    /// Whether it is back where it began.
    pub(crate) fn is_closed(&self) -> bool {
        let (x, y) = self.end();
        self.corners.len() > 3 && x.hypot(y) <= CLOSED
    }

    /// The length of a side that closes the walk after a turn to the left, where there is one.
    pub(crate) fn closing(&self) -> Option<String> {
        let (x, y) = self.end();
        let (sin, cos) = (self.heading + 90.0).to_radians().sin_cos();
        let along = -(x * cos + y * sin);
        let across = -x * sin + y * cos;
        (self.corners.len() > 3 && along > 100.0 && across.abs() <= CLOSED).then(|| metres(along))
    }

    /// The drawing, with the area or with what is still to go.
    pub(crate) fn drawn(&self) -> String {
        let mut sheet = self.lines().join("\n");
        sheet.push('\n');
        let (x, y) = self.end();
        match self.is_closed() {
            true => sheet.push_str(&format!("  closed, {:.2} m²\n", self.area() / 1e6)),
            false => {
                let part = |by: f64, more: &str, less: &str| {
                    (by.abs() >= 1.0).then(|| format!("{} {}", metres(by.abs()), if by > 0.0 { more } else { less }))
                };
                let parts: Vec<String> =
                    [part(-x, "to the right", "to the left"), part(-y, "up the roof", "down the roof")]
                        .into_iter()
                        .flatten()
                        .collect();
                sheet.push_str(&format!("  still to go to the start: {}\n", parts.join(" and ")));
            }
        }
        sheet
    }

    fn area(&self) -> f64 {
        let next = self.corners.iter().cycle().skip(1);
        let twice: f64 = self.corners.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum();
        twice.abs() / 2.0
    }

    /// The sides in letters.
    fn lines(&self) -> Vec<String> {
        let xs = || self.corners.iter().map(|corner| corner.0);
        let ys = || self.corners.iter().map(|corner| corner.1);
        let low = (xs().fold(f64::MAX, f64::min), ys().fold(f64::MAX, f64::min));
        let span = (xs().fold(f64::MIN, f64::max) - low.0, ys().fold(f64::MIN, f64::max) - low.1);
        let scale = ((WIDTH - 1) as f64 / span.0.max(1.0)).min(2.0 * (HEIGHT - 1) as f64 / span.1.max(1.0));
        let rows = (span.1 * scale / 2.0).round() as usize + 1;
        let at = |corner: (f64, f64)| {
            let column = ((corner.0 - low.0) * scale).round() as usize;
            let row = rows - 1 - (((corner.1 - low.1) * scale / 2.0).round() as usize).min(rows - 1);
            (column.min(WIDTH - 1), row)
        };
        let mut sheet = vec![vec![' '; WIDTH]; rows];
        for (n, pair) in self.corners.windows(2).enumerate() {
            let (from, to) = (at(pair[0]), at(pair[1]));
            let steps = from.0.abs_diff(to.0).max(from.1.abs_diff(to.1)).max(1);
            let (across, down) = (to.0 as f64 - from.0 as f64, to.1 as f64 - from.1 as f64);
            let sign = match () {
                () if down.abs() * 2.0 < across.abs() => '-',
                () if across.abs() * 2.0 < down.abs() => '|',
                () if (across > 0.0) == (down > 0.0) => '\\',
                () => '/',
            };
            for step in 0..=steps {
                let share = step as f64 / steps as f64;
                let column = (from.0 as f64 + across * share).round() as usize;
                let row = (from.1 as f64 + down * share).round() as usize;
                sheet[row][column] = if step == 0 || step == steps { '+' } else { sign };
            }
            let middle = ((from.0 + to.0) / 2, (from.1 + to.1) / 2);
            sheet[middle.1][middle.0] = super::question::letter(n as u8 + 1);
        }
        sheet.into_iter().map(|row| format!("  {}", row.into_iter().collect::<String>().trim_end())).collect()
    }
}

fn metres(mm: f64) -> String {
    let text = format!("{:.3}", mm / 1000.0);
    format!("{} m", text.trim_end_matches('0').trim_end_matches('.'))
}
