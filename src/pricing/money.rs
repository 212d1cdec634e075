//! Money: pounds as exact decimals. Rounding to the penny has one name here and happens nowhere else.

use rust_decimal::{Decimal, RoundingStrategy};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub};

/// An amount of pounds sterling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(Decimal);

impl Money {
    /// Nothing.
    pub const ZERO: Money = Money(Decimal::ZERO);

    /// An amount from pounds.
    pub const fn pounds(p: Decimal) -> Money {
        Money(p)
    }

    /// An amount from whole pence.
    pub fn pence(p: i64) -> Money {
        Money(Decimal::new(p, 2))
    }

    /// The amount in pounds.
    pub const fn as_pounds(self) -> Decimal {
        self.0
    }

    /// To the nearest penny, halves up (away from nothing).
    pub fn to_penny(self) -> Money {
        Money(self.0.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero))
    }

    /// Down to a whole penny.
    pub fn down_to_penny(self) -> Money {
        Money(self.0.round_dp_with_strategy(2, RoundingStrategy::ToZero))
    }

    /// Down to a tenth of a penny.
    pub fn down_to_tenth(self) -> Money {
        Money(self.0.round_dp_with_strategy(3, RoundingStrategy::ToZero))
    }

    /// To the nearest whole number of `step`s, halves up. `step` must be more than nothing.
    pub fn to_nearest(self, step: Money) -> Money {
        let steps = self.0 / step.0;
        Money(step.0 * steps.round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero))
    }

    /// Up to the next whole number of `step`s. `step` must be more than nothing.
    pub fn up_to(self, step: Money) -> Money {
        Money(step.0 * (self.0 / step.0).ceil())
    }

    /// So many per cent of it, unrounded.
    pub fn percent(self, p: Decimal) -> Money {
        Money(self.0 * p / Decimal::ONE_HUNDRED)
    }
}

impl Add for Money {
    type Output = Money;
    fn add(self, o: Money) -> Money {
        Money(self.0 + o.0)
    }
}

impl AddAssign for Money {
    fn add_assign(&mut self, o: Money) {
        self.0 += o.0;
    }
}

impl Sub for Money {
    type Output = Money;
    fn sub(self, o: Money) -> Money {
        Money(self.0 - o.0)
    }
}

impl Neg for Money {
    type Output = Money;
    fn neg(self) -> Money {
        Money(-self.0)
    }
}

impl Mul<Decimal> for Money {
    type Output = Money;
    fn mul(self, n: Decimal) -> Money {
        Money(self.0 * n)
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Money>>(i: I) -> Money {
        Money(i.map(|m| m.0).sum())
    }
}

/// `1234.50`, always with its pence; the documents add the pound sign and the comma. Less than half a penny either way is
/// nothing, and nothing has no sign.
impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pounds = self.to_penny().0;
        write!(f, "{:.2}", if pounds.is_zero() { Decimal::ZERO } else { pounds })
    }
}

/// Shares a sum of whole pennies out in proportion to `weights` (none below nothing, not all nothing). The shares add
/// up to the sum; none is more than a penny from its exact share.
pub fn share_out(sum: Money, weights: &[Decimal]) -> Vec<Money> {
    let all: Decimal = weights.iter().sum();
    if all.is_zero() {
        return share_out(sum, &vec![Decimal::ONE; weights.len()]);
    }
    let exact: Vec<Money> = weights.iter().map(|w| Money::pounds(sum.as_pounds() * w / all)).collect();
    let mut shares: Vec<Money> = exact.iter().map(|m| m.down_to_penny()).collect();
    let mut by_loss: Vec<usize> = (0..weights.len()).collect();
    by_loss.sort_by_key(|i| (-(exact[*i] - shares[*i]), *i));
    let left = sum - shares.iter().copied().sum();
    let pennies = usize::try_from((left.as_pounds() * Decimal::ONE_HUNDRED).round()).unwrap_or(0);
    for i in by_loss.into_iter().cycle().take(pennies) {
        shares[i] += Money::pence(1);
    }
    shares
}
