//! Square and fourth roots of exact decimals, the same on every machine.
//!
//! Given a decimal that is not negative; gives its root cut off (not rounded) after ten or seven decimal places.
//! Whole-number roots do the work, so that no floating-point library decides the last digit.

use rust_decimal::Decimal;

/// The square root to ten decimal places. From 0 to 10^17.
pub fn square_root(value: Decimal) -> Decimal {
    of_whole(scaled(value, 20).isqrt(), 10)
}

/// The fourth root to seven decimal places. From 0 to 10^10.
pub fn fourth_root(value: Decimal) -> Decimal {
    // The whole part of a whole part's root is the whole part of the root (Concrete Mathematics 3.10), so the two
    // roots in a row lose nothing.
    of_whole(scaled(value, 28).isqrt().isqrt(), 7)
}

/// `value · 10^places` as a whole number; what lies below is dropped. Negative values count as nothing.
fn scaled(value: Decimal, places: u32) -> u128 {
    let value = value.max(Decimal::ZERO).trunc_with_scale(places.min(Decimal::MAX_SCALE));
    value.mantissa().unsigned_abs().saturating_mul(10_u128.pow(places - value.scale()))
}

fn of_whole(root: u128, places: u32) -> Decimal {
    Decimal::try_from_i128_with_scale(root as i128, places).unwrap_or(Decimal::MAX)
}
