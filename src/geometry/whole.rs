//! Whole numbers: division rounded up, the greatest common divisor.
//!
//! Given integers of any width that the callers use; gives integers of the same width. Nothing here overflows that the
//! arguments do not.

/// Whole-number division rounded up; `by` must be positive.
pub const fn div_ceil(n: i64, by: i64) -> i64 {
    n.div_euclid(by) + (n.rem_euclid(by) != 0) as i64
}

/// The same for wider numbers.
pub const fn wide_div_ceil(n: i128, by: i128) -> i128 {
    n.div_euclid(by) + (n.rem_euclid(by) != 0) as i128
}

/// The greatest common divisor, never below nothing; that of nothing and a number is the number.
pub const fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a.abs() } else { gcd(b, a % b) }
}

/// The same for wider numbers.
pub const fn wide_gcd(a: i128, b: i128) -> i128 {
    if b == 0 { a.abs() } else { wide_gcd(b, a % b) }
}
