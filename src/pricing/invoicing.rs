//! What of an accepted price each payment takes: net, VAT and total, so that all payments together are the accepted price to
//! the penny.
//!
//! Given the accepted sums and the amounts that are asked for one after the other; gives the sums of each. What is rounded
//! is the VAT of all that has been asked for so far, never that of one payment alone: so no penny goes astray, and no
//! payment bears more than a penny and a half more or less of VAT than its own amount would.

use super::{Money, Pricing};
use rust_decimal::Decimal;

/// What something comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct InvoiceSums {
    /// Without VAT.
    pub net: Money,
    /// VAT that is charged.
    pub vat: Money,
    /// VAT that is not charged, because the customer accounts for it.
    pub by_customer: Money,
    /// To be paid: net and the VAT that is charged.
    pub total: Money,
}

impl InvoiceSums {
    /// What a price comes to.
    pub fn of(pricing: &Pricing) -> InvoiceSums {
        InvoiceSums {
            net: pricing.net,
            vat: pricing.vat.iter().map(|line| line.vat).sum(),
            by_customer: pricing.vat_by_customer.iter().map(|line| line.vat).sum(),
            total: pricing.total,
        }
    }

    /// This and another.
    pub fn with(self, other: InvoiceSums) -> InvoiceSums {
        InvoiceSums {
            net: self.net + other.net,
            vat: self.vat + other.vat,
            by_customer: self.by_customer + other.by_customer,
            total: self.total + other.total,
        }
    }

    /// What is left of it without another.
    pub fn without(self, other: InvoiceSums) -> InvoiceSums {
        InvoiceSums {
            net: self.net - other.net,
            vat: self.vat - other.vat,
            by_customer: self.by_customer - other.by_customer,
            total: self.total - other.total,
        }
    }

    /// So many per cent of it, to the penny; nothing of what comes to nothing or less.
    pub fn kept_back(self, percent: Decimal) -> InvoiceSums {
        match self.total > Money::ZERO {
            true => self.first(self.total.percent(percent).to_penny()),
            false => InvoiceSums::default(),
        }
    }

    /// Whether more of anything is taken away than there was.
    pub fn is_below_nothing(self) -> bool {
        [self.net, self.vat, self.by_customer, self.total].into_iter().any(|sum| sum < Money::ZERO)
    }

    /// What the first `amount` of it bears. Nothing where it comes to nothing; all of it from its total on.
    pub fn first(self, amount: Money) -> InvoiceSums {
        if amount >= self.total {
            return self;
        }
        let share = |of: Money| Money::pounds(of.as_pounds() * amount.as_pounds() / self.total.as_pounds()).to_penny();
        let vat = share(self.vat);
        InvoiceSums { net: amount - vat, vat, by_customer: share(self.by_customer), total: amount }
    }

    /// What `amount` of it bears, where `before` of it has been taken already.
    pub fn next(self, before: Money, amount: Money) -> InvoiceSums {
        self.first(before + amount).without(self.first(before))
    }
}

/// The sums of amounts that follow one another and add up to the total.
pub fn parts(of: InvoiceSums, amounts: &[Money]) -> Vec<InvoiceSums> {
    let mut before = Money::ZERO;
    let one = |amount: &Money| {
        let part = of.next(before, *amount);
        before += *amount;
        part
    };
    amounts.iter().map(one).collect()
}

/// What part of the whole something is, in per cent to two places; nothing of nothing.
pub fn share_of(part: Money, whole: Money) -> Decimal {
    match whole == Money::ZERO {
        true => Decimal::ZERO,
        false => (part.as_pounds() * Decimal::ONE_HUNDRED / whole.as_pounds()).round_dp(2).normalize(),
    }
}
