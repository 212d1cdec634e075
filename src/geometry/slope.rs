//! A slope: how high it rises over its length, and how long it is for a height.
//!
//! Given a length and a pitch in whole degrees; gives whole millimetres, rounded so that neither promises too much: a rise
//! down, a length up.

use super::measure::Length;

/// How high a slope rises over `along`.
pub fn rise(along: Length, pitch: u32) -> Length {
    // A thousandth of a millimetre is rounding, not height.
    Length::mm((along.as_mm() as f64 * f64::from(pitch).to_radians().sin() + 1e-3).floor() as i64)
}

/// How long a slope is that rises by `height`; one that does not rise at all is taken at a degree.
pub fn along(height: Length, pitch: u32) -> Length {
    Length::mm((height.as_mm() as f64 / f64::from(pitch.max(1)).to_radians().sin() - 1e-3).ceil() as i64)
}

/// How far a slope reaches, measured level, that rises by `height`; one that does not rise at all is taken at a degree.
pub fn level(height: Length, pitch: u32) -> Length {
    Length::mm((height.as_mm() as f64 / f64::from(pitch.max(1)).to_radians().tan() - 1e-3).ceil() as i64)
}
