//! How an account stands: what was invoiced, what was paid, what is open and what is overdue.
//!
//! Given charges and payments in the order of their numbers; gives sums. A payment is for the charge that it names; what
//! is more than that charge still comes to, or was paid for one that was credited since, goes to the oldest that is open. Money
//! that was paid back is a payment below nothing that names no charge: it comes out of what no charge takes.

use super::Money;
use time::Date;

/// Something that is to be paid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Charge {
    /// Its number.
    pub number: String,
    /// The last day on which it is paid in time.
    pub due: Date,
    /// How much.
    pub total: Money,
    /// Taken back by a credit note.
    pub credited: bool,
}

/// Something that was paid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Payment {
    /// The number of the charge that it is for; none of money that was paid back.
    pub charge: String,
    /// How much.
    pub amount: Money,
}

/// Charges and payments of one job.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Account {
    /// What is to be paid.
    pub charges: Vec<Charge>,
    /// What was paid.
    pub payments: Vec<Payment>,
}

impl Account {
    /// All that was invoiced and stands.
    pub fn invoiced(&self) -> Money {
        self.standing().map(|charge| charge.total).sum()
    }

    /// All that was paid.
    pub fn paid(&self) -> Money {
        self.payments.iter().map(|payment| payment.amount).sum()
    }

    /// What is owed; below nothing where the customer has paid more than was invoiced.
    pub fn balance(&self) -> Money {
        self.invoiced() - self.paid()
    }

    /// What each charge that stands still comes to, in their order.
    pub fn open(&self) -> Vec<(&Charge, Money)> {
        let mut open: Vec<(&Charge, Money)> = self.standing().map(|charge| (charge, charge.total)).collect();
        let mut over = Money::ZERO;
        for payment in &self.payments {
            over += match open.iter_mut().find(|(charge, _)| charge.number == payment.charge) {
                Some((_, left)) => take(left, payment.amount),
                None => payment.amount,
            };
        }
        for (_, left) in &mut open {
            over = take(left, over.max(Money::ZERO));
        }
        open
    }

    /// What was paid and no charge takes; below nothing where more was paid back than that.
    pub fn over(&self) -> Money {
        let open: Money = self.open().into_iter().map(|(_, left)| left).sum();
        self.paid() - (self.invoiced() - open)
    }

    /// What one charge still comes to.
    pub fn open_of(&self, number: &str) -> Money {
        self.open().iter().find(|(charge, _)| charge.number == number).map_or(Money::ZERO, |(_, left)| *left)
    }

    /// What is open and should have been paid before a day.
    pub fn overdue(&self, today: Date) -> Money {
        self.open().iter().filter(|(charge, _)| charge.due < today).map(|(_, left)| *left).sum()
    }

    /// The charge that is open and due first.
    pub fn first_due(&self) -> Option<(&Charge, Money)> {
        self.open().into_iter().filter(|(_, left)| *left > Money::ZERO).min_by_key(|(charge, _)| charge.due)
    }

    fn standing(&self) -> impl Iterator<Item = &Charge> {
        self.charges.iter().filter(|charge| !charge.credited)
    }
}

/// Takes from what is left as far as it goes; gives what is over.
fn take(left: &mut Money, amount: Money) -> Money {
    let taken = amount.min(*left);
    *left = *left - taken;
    amount - taken
}
