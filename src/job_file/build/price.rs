//! What a job says of its own price: a discount or a total that was agreed, a margin of its own.
//!
//! Given the raw setting; gives the agreement and the target. Of two settings that say the same thing twice neither is
//! taken.

use crate::job_file::raw::job::RawPrice;
use crate::job_file::read::scalars::ShareOfPrice;
use crate::model::limits;
use crate::model::{Problem, SettingPath};
use crate::pricing::terms::{AgreedPrice, Agreement, PriceTarget};

/// What was agreed, and what the job is to bring.
pub(super) fn price(raw: RawPrice, found: &mut Vec<Problem>) -> (Option<Agreement>, Option<PriceTarget>) {
    let both = [
        ("discount", "agreed", !raw.discount.is_missing() && !raw.agreed.is_missing()),
        ("margin", "markup", !raw.margin.is_missing() && !raw.markup.is_missing()),
    ];
    for (one, other, _) in both.into_iter().filter(|(_, _, given)| *given) {
        let fault = format!("`{one}` and `{other}` are both given, and each says what the price is");
        found.push(Problem::fault(["price", other], fault, format!("keep `{one}` or `{other}`")));
    }
    let nothing = raw.discount.is_missing() && raw.agreed.is_missing();
    for (key, given) in [("because", !raw.because.is_missing()), ("shown", !raw.shown.is_missing())] {
        if nothing && given {
            let fault = format!("`{key}` speaks of a discount or an agreed price, and none is given");
            found.push(Problem::fault(
                ["price", key],
                fault,
                "add `discount: 5 %` or `agreed: 5400.00`, or take it out",
            ));
        }
    }
    let target = match (raw.margin.take(), raw.markup.take()) {
        (Some(margin), None) => Some(PriceTarget::Margin(margin.0)),
        (None, Some(markup)) => Some(PriceTarget::Markup(markup.0)),
        _ => None,
    };
    let price = match (raw.discount.take(), raw.agreed.take()) {
        (Some(part), None) => discount(part, found),
        (None, Some(total)) => Some(AgreedPrice::Total(total)),
        _ => None,
    };
    let (because, shown) = (raw.because.take().map(|t| t.0), raw.shown.take().map(|y| y.0));
    let agreement = price.map(|price| {
        // A discount is a present, and is shown; a total that was haggled over is nobody's business but theirs.
        let usual = !matches!(price, AgreedPrice::Total(_));
        Agreement { price, because, shown: shown.unwrap_or(usual) }
    });
    (agreement, target)
}

fn discount(part: ShareOfPrice, found: &mut Vec<Problem>) -> Option<AgreedPrice> {
    let place: SettingPath = ["price", "discount"].into();
    match part {
        ShareOfPrice::Percent(part) if !limits::DISCOUNT.limit.holds(part) => {
            let fault = format!("`discount` is {} %; it lies {}", part.normalize(), limits::DISCOUNT.words());
            found.push(Problem::fault(place, fault, "give less off: `discount: 5 %`"));
            None
        }
        ShareOfPrice::Percent(part) => Some(AgreedPrice::PercentOff(part)),
        ShareOfPrice::Sum(sum) => Some(AgreedPrice::SumOff(sum)),
        ShareOfPrice::Rest => {
            let cure = "write a percentage such as `5 %`, or a sum off the total such as `200.00`";
            found.push(Problem::fault(place, "`rest` is not a discount", cure));
            None
        }
    }
}
