//! What was agreed of a price: a discount, or the total itself.
//!
//! Given what is asked by cost and target; gives the price of the work that was agreed, to the penny of the total where
//! VAT allows it, and what it leaves the firm. A sum in pounds is off the total that the householder pays: nobody means
//! a price without VAT when he says two hundred off.

use super::terms::{AgreedPrice, Agreement, JobMoney, Terms};
use super::{Cost, Money};
use crate::model::problem::Source;
use crate::model::{Problem, SettingPath, Warned};
use rust_decimal::Decimal;

/// What the firm asks: the price of the work, that with the extras sold at a price, and the total with VAT.
#[derive(Debug, Clone, Copy)]
pub(super) struct AskedPrice {
    pub made: Money,
    pub net: Money,
    pub total: Money,
}

/// The price of the work that was agreed.
pub(super) struct Settled {
    pub made: Money,
    pub problem: Option<Problem>,
}

/// Finds the price of the work that gives what was agreed. `total` is the total with VAT at a price of the work.
pub(super) fn settle(money: &JobMoney, asked: AskedPrice, total: &dyn Fn(Money) -> Money) -> Settled {
    let Some(agreement) = &money.agreement else { return Settled { made: asked.made, problem: None } };
    let aim = match agreement.price {
        AgreedPrice::PercentOff(part) => {
            let made = (asked.made - asked.net.percent(part)).to_penny();
            let problem = (made <= Money::ZERO).then(|| nothing_left(agreement, asked));
            return Settled { made: if problem.is_some() { asked.made } else { made }, problem };
        }
        AgreedPrice::SumOff(sum) => asked.total - sum,
        AgreedPrice::Total(sum) => sum,
    };
    let least = total(Money::pence(1));
    if aim < least {
        return Settled { made: asked.made, problem: Some(nothing_left(agreement, asked)) };
    }
    let made = price_for(asked.made, aim, total);
    let comes_to = total(made);
    let problem = (comes_to != aim).then(|| {
        let fault = format!("no price without VAT gives a total of exactly {aim}: it is {comes_to}");
        Problem::warning(
            Warned::Rounding,
            place(agreement),
            fault,
            format!("agree on {comes_to}, or on a penny more or less"),
        )
    });
    Settled { made, problem }
}

/// The price of the work at which the total is nearest to `target`, sought from a price that is known. Below nothing
/// there is none: then the known price is given back.
pub(super) fn price_for(known: Money, target: Money, total: &dyn Fn(Money) -> Money) -> Money {
    let now = total(known);
    let part = if now == Money::ZERO { Decimal::ONE } else { known.as_pounds() / now.as_pounds() };
    let guess = (known + (target - now) * part).to_penny();
    // What bears no VAT or none of the price moves the guess: a second step starts from where the first one led.
    let guess = if guess > Money::ZERO { (guess + (target - total(guess)) * part).to_penny() } else { guess };
    let miss = |made: &Money| {
        let off = total(*made) - target;
        if off < Money::ZERO { -off } else { off }
    };
    let near = (-10..=10).map(|pence| guess + Money::pence(pence)).filter(|m| *m > Money::ZERO);
    near.min_by_key(|m| (miss(m), (*m - guess).max(guess - *m))).unwrap_or(known)
}

fn nothing_left(agreement: &Agreement, asked: AskedPrice) -> Problem {
    let fault = format!("{} leaves nothing for the work, of {} that is asked", what(agreement), asked.total);
    Problem::fault(place(agreement), fault, "agree on less off, or take what is extra out of `extras`")
}

/// Where the job file says it.
fn place(agreement: &Agreement) -> SettingPath {
    let key = match agreement.price {
        AgreedPrice::PercentOff(_) | AgreedPrice::SumOff(_) => "discount",
        AgreedPrice::Total(_) => "agreed",
    };
    ["price", key].into()
}

fn what(agreement: &Agreement) -> String {
    match agreement.price {
        AgreedPrice::PercentOff(part) => format!("a discount of {} %", part.normalize()),
        AgreedPrice::SumOff(sum) => format!("a discount of {sum}"),
        AgreedPrice::Total(sum) => format!("an agreed total of {sum}"),
    }
}

/// Its line in the quote.
pub(super) fn label(agreement: &Agreement) -> String {
    let kind = match agreement.price {
        AgreedPrice::PercentOff(part) => format!("Discount of {}%", part.normalize()),
        AgreedPrice::SumOff(_) => "Discount".to_owned(),
        AgreedPrice::Total(_) => "As agreed".to_owned(),
    };
    match &agreement.because {
        Some(why) => format!("{kind}: {why}"),
        None => kind,
    }
}

/// The rule by which the price was made, with what was agreed.
pub(super) fn rule(rule: String, money: &JobMoney) -> String {
    match &money.agreement {
        Some(agreement) => format!("{rule}, {}", what(agreement)),
        None => rule,
    }
}

/// What it changes of the total, with its working.
pub(super) fn working(money: &JobMoney, asked: AskedPrice, total: Money) -> Option<Cost> {
    let agreement = money.agreement.as_ref()?;
    let why = agreement.because.as_ref().map_or_else(String::new, |why| format!(" ({why})"));
    let said = match agreement.price {
        AgreedPrice::PercentOff(part) => {
            let off = asked.net.percent(part).to_penny();
            format!("{} % of {} without VAT: {off} off{why}", part.normalize(), asked.net)
        }
        AgreedPrice::SumOff(sum) => format!("{sum} off the total{why}"),
        AgreedPrice::Total(sum) => format!("a total of {sum} agreed{why}"),
    };
    let working = vec![said, format!("total asked {}, total with it {total}", asked.total)];
    Some(Cost {
        id: "price.agreed".into(),
        label: if agreement.shown { "Agreed, shown in the quote" } else { "Agreed, not shown in the quote" }.into(),
        amount: total - asked.total,
        working,
    })
}

/// A price that leaves too little: below the firm's floor, below cost, below the minimum charge. Given the cost, the price
/// of the work and the margin that it leaves, %.
pub(super) fn below(
    money: &JobMoney,
    terms: &Terms,
    (cost, made, margin): (Money, Money, Decimal),
    least: Option<Money>,
) -> Option<Problem> {
    let left = |floor: Decimal| {
        let margin = margin.round_dp(1).normalize();
        format!("a margin of {margin} % is left, less than the {} % that is the least", floor.normalize())
    };
    let fault = match (terms.least_margin.filter(|floor| margin < *floor), least.filter(|least| made < *least)) {
        (_, _) if made < cost => format!("the work costs {cost} and is sold for {made}"),
        (Some(floor), _) => left(floor),
        (None, Some(least)) => format!("the work is sold for {made}, less than the minimum charge of {least}"),
        (None, None) => return None,
    };
    let cure = "agree on a better price, do less for it, or let it stand and know what it costs";
    Some(match &money.agreement {
        Some(agreement) => Problem::warning(Warned::Margin, place(agreement), fault, cure),
        None if money.target.is_some() => Problem::warning(Warned::Margin, ["price"], fault, cure),
        None => {
            Problem::warning(Warned::Margin, ["money"], fault, "raise `margin` or `markup`, or lower `least_margin`")
                .within(Source::Firm)
        }
    })
}
