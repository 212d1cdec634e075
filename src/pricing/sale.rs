//! The selling price, and the lines of it that the householder sees.
//!
//! Given the cost and what the firm wants on it; gives a price to the nearest penny, and shares it out over plain
//! lines. Every line bears the same margin, so no line tells what the work costs. Each line is taken down to a whole
//! penny, and the pennies that are left go one each to the lines that lost most, earlier lines first.

use super::agreed::{self, AskedPrice};
use super::costs::WorkCost;
use super::costs::{self, CostPart, CostSheet};
use super::money::{Money, share_out};
use super::terms::{ExtraSum, JobMoney, LinesBy, PriceTarget, Terms, VAT_REASONS};
use super::{Cost, PriceLine, VatLine, WorkMoney, vat};
use crate::model::goods::Goods;
use crate::model::shape::DeckAction;
use crate::model::words::{capital, within};
use crate::model::{Job, Problem, SettingPath, Warned};
use crate::programme::{Labour, Operation, Programme};
use crate::works::{self, WorkKind};
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use time::Date;

/// What a price is made of a cost: (cost and overhead) ÷ (1 − margin), or × (1 + markup), to the nearest penny. The
/// margin must be less than 100 %.
pub fn selling_price(cost: Money, target: PriceTarget) -> Money {
    let (one, hundred) = (Decimal::ONE, Decimal::ONE_HUNDRED);
    match target {
        PriceTarget::Margin(m) => Money::pounds(cost.as_pounds() / (one - m / hundred)).to_penny(),
        PriceTarget::Markup(m) => (cost * (one + m / hundred)).to_penny(),
    }
}

/// Profit as a part of the price and as a part of the cost, both in per cent and unrounded; nothing where the price or
/// the cost is nothing. `margin = markup/(1 + markup)`.
pub fn margin_and_markup(cost: Money, price: Money) -> (Decimal, Decimal) {
    let profit = (price - cost).as_pounds() * Decimal::ONE_HUNDRED;
    let part_of = |whole: Money| if whole == Money::ZERO { Decimal::ZERO } else { profit / whole.as_pounds() };
    (part_of(price), part_of(cost))
}

/// The target in words: `margin 25%`.
pub fn words(target: PriceTarget) -> String {
    match target {
        PriceTarget::Margin(m) => format!("margin {}%", m.normalize()),
        PriceTarget::Markup(m) => format!("markup {}%", m.normalize()),
    }
}

// ---- A whole sale --------------------------------------------------------------------------------------------------

/// The price as the householder sees it, and what it leaves the firm.
pub(super) struct SettledSale {
    pub rule: String,
    pub profit: Money,
    pub margin: Decimal,
    pub markup: Decimal,
    pub lines: Vec<PriceLine>,
    pub with_vat: Vec<Money>,
    pub net: Money,
    pub vat: Vec<VatLine>,
    pub vat_by_customer: Vec<VatLine>,
    pub vat_method: String,
    pub vat_reason: Option<String>,
    pub total: Money,
    pub asked: Money,
    pub sums: Vec<Cost>,
    pub works: Vec<WorkMoney>,
    pub notices: Vec<Problem>,
}

/// Sells what was built: target, then minimum charge, then rounding of the total, then what was agreed.
pub(super) fn sell(
    job: &Job,
    programme: &Programme,
    built: &CostSheet,
    terms: &Terms,
    money: &JobMoney,
) -> SettledSale {
    let fixed = fixed_extras(money);
    let outside: Money = fixed.iter().map(|(_, m)| *m).sum();
    let target = money.target.unwrap_or(terms.target);
    let made = selling_price(built.cost, target);
    let least = costs::minimum(job, terms, money).filter(|least| made + outside < *least);
    let before = least.map_or(made, |least| (least - outside).to_penny());
    let rate = charged_rate(job, programme, terms, money);
    let bill = |made: Money| Bill::new(shares(job, programme, built, money, made), &fixed, terms, rate);
    let rounding = terms.round_total_to.map(|step| round_total(before, step, least.is_some(), &bill));
    let (rounded, notice) = rounding.unwrap_or((before, None));
    let (asked, unrounded) = (bill(rounded), bill(before));
    let unsound = terms.round_total_to.and_then(|step| {
        let worked = Rounded { cost: built.cost, before, after: rounded };
        rounded_too_far(worked, step, unrounded.total, asked.total)
    });
    let rounding_words = terms.round_total_to.map(|step| rounding_sum(step, &unrounded, &asked));
    let asked = AskedPrice { made: rounded, net: asked.net, total: asked.total };
    // A line of its own leaves the others as they are asked; hidden, they are what the price is.
    let with = |made: Money| match money.agreement.as_ref().filter(|a| a.shown && made != rounded) {
        Some(agreement) => {
            let line = (agreed::label(agreement), made - rounded);
            let fixed: Vec<_> = fixed.iter().cloned().chain([line]).collect();
            Bill::new(shares(job, programme, built, money, rounded), &fixed, terms, rate)
        }
        None => bill(made),
    };
    let settled = agreed::settle(money, asked, &|made| with(made).total);
    let (made_at_last, bill) = (settled.made, with(settled.made));
    let (margin, markup) = margin_and_markup(built.cost, made_at_last);
    let floor = agreed::below(money, terms, (built.cost, made_at_last, margin), least_kept(job, terms, money, outside));
    let mut sums = vec![working("price.made", "Price of the work", made, made_in_words(built.cost, target, made))];
    sums.extend(
        least.map(|m| working("price.minimum", "Minimum charge", m, format!("{} would be less", made + outside))),
    );
    sums.extend(rounding_words);
    sums.extend(agreed::working(money, asked, bill.total));
    sums.extend(bill.sums(terms));
    let unpriced = fixed.iter().map(|(label, m)| not_in_profit(label, *m, money));
    let notices = unpriced.chain(notice).chain(unsound).chain(settled.problem).chain(floor).collect();
    let rule = if least.is_some() { "minimum charge".into() } else { words(target) };
    SettledSale {
        rule: agreed::rule(rule, money),
        asked: asked.total,
        profit: made_at_last - built.cost,
        works: by_work(job, built, programme, made_at_last, money),
        margin,
        markup,
        vat_method: method(job, terms).to_owned(),
        vat_reason: reason(terms, money),
        net: bill.net,
        with_vat: match money.lines_by {
            LinesBy::Roof if !bill.vat.is_empty() => vat::with_vat(&bill.lines, &bill.vat),
            _ => Vec::new(),
        },
        vat_by_customer: vat_by_customer(job, programme, terms, money, &bill.lines),
        vat: bill.vat,
        total: bill.total,
        lines: bill.lines,
        sums,
        notices,
    }
}

/// What the work itself must bring where a minimum charge is kept, extras at a stated price left out.
fn least_kept(job: &Job, terms: &Terms, money: &JobMoney, outside: Money) -> Option<Money> {
    costs::minimum(job, terms, money).map(|least| least - outside)
}

fn method(job: &Job, terms: &Terms) -> &'static str {
    match (terms.vat.registered, job.reverse_charge) {
        (false, _) => "the firm is not registered for VAT; none is charged",
        (true, true) => "the customer accounts for the VAT; none is charged",
        (true, false) => vat::method(terms.vat.rounding),
    }
}

/// The rate that is charged on every line; `None` where the customer accounts for the VAT and none is charged (VAT Act 1994,
/// section 55A; VAT Notice 735, from memory).
pub(super) fn charged_rate(job: &Job, programme: &Programme, terms: &Terms, money: &JobMoney) -> Option<Decimal> {
    (!job.reverse_charge).then(|| rate(job, programme, terms, money))
}

/// What a customer that accounts for the VAT owes HMRC for it: by the firm's own method, as if it were charged.
fn vat_by_customer(
    job: &Job,
    programme: &Programme,
    terms: &Terms,
    money: &JobMoney,
    lines: &[PriceLine],
) -> Vec<VatLine> {
    if !job.reverse_charge {
        return Vec::new();
    }
    let vat_rate = rate(job, programme, terms, money);
    let lines: Vec<PriceLine> = lines.iter().map(|line| PriceLine { vat_rate, ..line.clone() }).collect();
    vat::by_rate(&lines, terms.vat.rounding)
}

/// The rate of every line: the one that the job claims with its reason, else the firm's; none where the firm is not
/// registered.
pub(super) fn rate(job: &Job, programme: &Programme, terms: &Terms, money: &JobMoney) -> Decimal {
    match (terms.vat.registered, &money.vat) {
        (false, _) => Decimal::ZERO,
        (true, Some(claimed)) => claimed.rate,
        (true, None) => terms.rate_on(tax_point(job, programme)),
    }
}

/// The day whose rate of VAT is charged: the day on which the work ends, which is the basic tax point of a service
/// (VAT Notice 700, section 14, from memory); the date of the job where it has no start. What is paid or invoiced
/// earlier has an earlier tax point of its own: see `checks`.
pub(super) fn tax_point(job: &Job, programme: &Programme) -> Date {
    programme.days.iter().rev().find_map(|d| d.date).or(job.start).unwrap_or(job.prepared)
}

fn reason(terms: &Terms, money: &JobMoney) -> Option<String> {
    let claimed = money.vat.as_ref().filter(|_| terms.vat.registered)?;
    VAT_REASONS.iter().find(|(key, _, _)| *key == claimed.reason).map(|(_, _, what)| (*what).to_owned())
}

/// Lines with their VAT and total.
struct Bill {
    lines: Vec<PriceLine>,
    net: Money,
    vat: Vec<VatLine>,
    total: Money,
}

impl Bill {
    fn new(shares: Vec<(String, Money)>, fixed: &[(String, Money)], terms: &Terms, rate: Option<Decimal>) -> Bill {
        let vat_rate = rate.unwrap_or_default();
        let all = shares.into_iter().chain(fixed.iter().cloned()).filter(|(_, net)| *net != Money::ZERO);
        let lines: Vec<PriceLine> = all.map(|(label, net)| PriceLine { label, net, vat_rate }).collect();
        let net: Money = lines.iter().map(|l| l.net).sum();
        let is_charged = terms.vat.registered && rate.is_some();
        let vat = if is_charged { vat::by_rate(&lines, terms.vat.rounding) } else { Vec::new() };
        let total = net + vat.iter().map(|v| v.vat).sum();
        Bill { lines, net, vat, total }
    }

    fn sums(&self, terms: &Terms) -> Vec<Cost> {
        let lines = self.lines.iter().map(|l| format!("{}: {}", l.label, l.net)).collect();
        let mut sums =
            vec![Cost { id: "price.net".into(), label: "Price without VAT".into(), amount: self.net, working: lines }];
        let method = vat::method(terms.vat.rounding);
        sums.extend(self.vat.iter().map(|v| {
            let rate = v.rate.normalize();
            working(
                &format!("price.vat.{rate}"),
                &format!("VAT at {rate} %"),
                v.vat,
                format!("{} × {rate} %, rounded {method}", v.net),
            )
        }));
        let parts = [self.net.to_string()].into_iter().chain(self.vat.iter().map(|v| v.vat.to_string()));
        let all = parts.collect::<Vec<_>>().join(" + ");
        sums.push(working("price.total", "Price with VAT", self.total, format!("{all} = {}", self.total)));
        sums
    }
}

fn working(id: &str, label: &str, amount: Money, working: String) -> Cost {
    Cost { id: id.into(), label: label.into(), amount, working: vec![working] }
}

fn made_in_words(cost: Money, target: PriceTarget, made: Money) -> String {
    match target {
        PriceTarget::Margin(m) => format!("cost {cost} ÷ (1 − {} %) = {made}, to the nearest penny", m.normalize()),
        PriceTarget::Markup(m) => format!("cost {cost} × (1 + {} %) = {made}, to the nearest penny", m.normalize()),
    }
}

fn rounding_sum(step: Money, before: &Bill, after: &Bill) -> Cost {
    let effect = after.total - before.total;
    let words = format!("total {} rounded to a whole number of {step}: {}", before.total, after.total);
    working("price.rounding", "Rounding of the total", effect, words)
}

/// Extras that are sold at a stated price, to the penny.
fn fixed_extras(money: &JobMoney) -> Vec<(String, Money)> {
    let price = |sum| if let ExtraSum::Price(m) = sum { Some(m.to_penny()) } else { None };
    let sold = money.extras.iter().filter(|e| e.kind.in_total());
    sold.filter_map(|e| Some((e.title(), price(e.sum)?))).collect()
}

fn not_in_profit(label: &str, sum: Money, money: &JobMoney) -> Problem {
    let i = money.extras.iter().position(|e| e.title() == label).unwrap_or(0);
    Problem::assumed(
        SettingPath::from(["extras"]).entry(i),
        format!("`{label}` is sold at {sum} and its cost is not given, so it is in neither cost nor profit"),
        "write `cost:` instead of `price:` to have it in both",
    )
}

/// Finds the price of the work at which the total is the nearest whole number of steps (the next above, where a minimum
/// charge must be kept). A total that no price reaches to the penny is missed by the least, and said so.
fn round_total(before: Money, step: Money, up: bool, bill: &dyn Fn(Money) -> Bill) -> (Money, Option<Problem>) {
    let total = bill(before).total;
    let target = if up { total.up_to(step) } else { total.to_nearest(step) };
    let best = agreed::price_for(before, target, &|made| bill(made).total);
    let missed = bill(best).total;
    let notice = (missed != target).then(|| {
        let fault = format!("no price without VAT gives a total of exactly {target}: it is {missed}");
        Problem::warning(Warned::Rounding, ["money", "round_total_to"], fault, "round to a smaller sum")
            .within(crate::model::problem::Source::Firm)
    });
    (best, notice)
}

/// What the work costs, and its price without VAT before and after rounding.
struct Rounded {
    cost: Money,
    before: Money,
    after: Money,
}

/// A rounding that is no rounding: it moves the total by more than a hundredth, or sells below cost what was not.
fn rounded_too_far(worked: Rounded, step: Money, before: Money, after: Money) -> Option<Problem> {
    let moved = if after < before { before - after } else { after - before };
    let fault = if moved * Decimal::ONE_HUNDRED > before {
        format!("rounding to a whole number of {step} moves the total from {before} to {after}, more than 1 %")
    } else if worked.after < worked.cost && worked.before >= worked.cost {
        let (price, cost) = (worked.after, worked.cost);
        format!("rounding to a whole number of {step} leaves a price of {price} for work that costs {cost}")
    } else {
        return None;
    };
    let cure = "round to a smaller sum, such as `round_total_to: 5.00`, or take it out";
    Some(Problem::fault(["money", "round_total_to"], fault, cure).within(crate::model::problem::Source::Firm))
}

// ---- Lines of the householder --------------------------------------------------------------------------------------

/// The price of the work shared out over its lines, in proportion to what each costs.
fn shares(job: &Job, programme: &Programme, built: &CostSheet, money: &JobMoney, made: Money) -> Vec<(String, Money)> {
    let lines = match money.lines_by {
        LinesBy::Part => {
            let parts = built.parts().into_iter();
            merged(parts.map(|(part, cost)| (label(part, job, programme, money), cost)))
        }
        LinesBy::Roof => by_roof(job, programme, built, money),
    };
    let lines: Vec<(String, Money)> = lines.into_iter().filter(|(_, cost)| *cost > Money::ZERO).collect();
    if lines.is_empty() {
        return vec![("The work as described".into(), made)];
    }
    let weights: Vec<Decimal> = lines.iter().map(|(_, cost)| cost.as_pounds()).collect();
    lines.into_iter().map(|(label, _)| label).zip(share_out(made, &weights)).collect()
}

/// A line for each roof in the job's order, then what belongs to none of them.
fn by_roof(job: &Job, programme: &Programme, built: &CostSheet, money: &JobMoney) -> Vec<(String, Money)> {
    let sum_of = |is: &dyn Fn(&WorkCost) -> bool| built.works.iter().filter(|w| is(w)).map(|w| w.amount).sum::<Money>();
    let roofs = job.roof_names().map(|name| (roof_label(name), sum_of(&|w| w.on(name))));
    let rest = built.parts_of(|w| w.roof.is_none()).into_iter();
    merged(roofs.chain(rest.map(|(part, cost)| (rest_label(part, job, programme, money), cost))))
}

fn roof_label(name: &str) -> String {
    format!("{name}, all work on it")
}

/// What a part is called that belongs to no roof, where each roof has a line.
fn rest_label(part: CostPart, job: &Job, programme: &Programme, money: &JobMoney) -> String {
    match part {
        CostPart::Strip => "Take away what is stripped".into(),
        CostPart::Deck | CostPart::Covering | CostPart::Patches | CostPart::Recoat | CostPart::Finish => {
            "Sheeting, and what all roofs share".into()
        }
        CostPart::Goods => goods_label(job, |g| g.roof.is_none()),
        CostPart::Access | CostPart::Extra(_) => label(part, job, programme, money),
    }
}

/// In which line of the price a work stands.
fn line_of(work: &WorkCost, job: &Job, programme: &Programme, money: &JobMoney) -> String {
    match (money.lines_by, &work.roof) {
        (LinesBy::Part, _) => label(work.part(), job, programme, money),
        (LinesBy::Roof, Some(name)) => roof_label(name),
        (LinesBy::Roof, None) => rest_label(work.part(), job, programme, money),
    }
}

/// Lines with those of one label put together.
fn merged(all: impl Iterator<Item = (String, Money)>) -> Vec<(String, Money)> {
    let mut lines: Vec<(String, Money)> = Vec::new();
    for (label, cost) in all {
        match lines.iter_mut().find(|(known, _)| *known == label) {
            Some((_, sum)) => *sum += cost,
            None => lines.push((label, cost)),
        }
    }
    lines
}

/// Every work with the cost and the price that fall to it: contingency and overhead are laid on
/// them in proportion to what each costs, and the works of one line of the householder's price come to that line to the
/// penny. Extras that are sold at a stated price keep it.
pub(super) fn by_work(
    job: &Job,
    built: &CostSheet,
    programme: &Programme,
    made: Money,
    money: &JobMoney,
) -> Vec<WorkMoney> {
    let weights: Vec<Decimal> = built.works.iter().map(|w| w.amount.as_pounds()).collect();
    if weights.is_empty() {
        return Vec::new();
    }
    let (costs, mut prices) = (share_out(built.cost, &weights), share_out(made, &weights));
    let lines: Vec<String> = built.works.iter().map(|w| line_of(w, job, programme, money)).collect();
    for (line, price) in shares(job, programme, built, money, made) {
        let of_line: Vec<usize> = (0..lines.len()).filter(|i| lines[*i] == line).collect();
        let within: Vec<Decimal> = of_line.iter().map(|i| weights[*i]).collect();
        for (i, share) in of_line.into_iter().zip(share_out(price, &within)) {
            prices[i] = share;
        }
    }
    let mut hours: BTreeMap<(WorkKind, Option<&str>), Decimal> = BTreeMap::new();
    for (part, settled) in programme.work.iter().flat_map(Labour::settled_parts) {
        *hours.entry((part.work, part.roof.as_deref())).or_default() += settled;
    }
    let shared = built.works.iter().zip(costs.into_iter().zip(prices)).map(|(w, (cost, price))| WorkMoney {
        work: w.work,
        roof: w.roof.clone(),
        extra: w.extra.map(|i| money.extras[i].title()),
        hours: hours.get(&(w.work, w.roof.as_deref())).copied().unwrap_or_default(),
        cost,
        price,
    });
    let sold = fixed_extras(money).into_iter().map(|(title, price)| WorkMoney {
        work: WorkKind::Extras,
        roof: None,
        extra: Some(title),
        hours: Decimal::ZERO,
        cost: Money::ZERO,
        price,
    });
    let mut all: Vec<WorkMoney> = shared.chain(sold).collect();
    all.sort_by(|a, b| (a.work, &a.roof, &a.extra).cmp(&(b.work, &b.roof, &b.extra)));
    all
}

/// The boards that come off with the covering, behind what the price calls it.
fn with_boards(job: &Job) -> &'static str {
    match job.strips().iter().any(|strip| strip.boards_off().is_some()) {
        true => ", the old boards with it",
        false => "",
    }
}

fn label(part: CostPart, job: &Job, programme: &Programme, money: &JobMoney) -> String {
    match part {
        CostPart::Strip => match &works::carts(job)[..] {
            [only] => format!("Strip the old covering and {}{}", only.tip.words, with_boards(job)),
            // Nothing is stripped: the copings are lifted, or the gutter is taken down.
            _ if job.strips().is_empty() => {
                let work = programme.work.iter().find(|w| w.operation == Operation::Strip);
                work.map_or_else(|| "Protect and sheet".into(), |w| w.label.clone())
            }
            _ => format!("Strip the old covering{}", with_boards(job)),
        },
        CostPart::Deck => deck_label(job).into(),
        CostPart::Covering => "Edge trims and glass-fibre covering".into(),
        CostPart::Patches => "Patches in the present glass fibre".into(),
        CostPart::Recoat if job.old_roofs.iter().any(|r| r.recoat.is_some()) => {
            "New topcoat over the present glass fibre".into()
        }
        CostPart::Recoat => label(CostPart::Patches, job, programme, money),
        CostPart::Finish => programme.fitted_last().unwrap_or_else(|| "Flashing and gutter materials".into()),
        CostPart::Goods => goods_label(job, |_| true),
        CostPart::Access => access_label(job),
        CostPart::Extra(i) => money.extras[i].title(),
    }
}

fn deck_label(job: &Job) -> &'static str {
    let any = |action| job.roofs.iter().any(|r| r.deck.action == action);
    let insulated = job.roofs.iter().any(|r| r.build_up.as_ref().is_some_and(|b| b.insulation.is_some()));
    match (any(DeckAction::New), any(DeckAction::Overlay), any(DeckAction::Keep), insulated) {
        (false, true, _, false) => "New boards over the old deck",
        (false, true, _, true) => "New boards over the old deck, and insulation",
        (false, false, true, false) => "Prepare the deck",
        (false, false, true, true) => "Prepare the deck, and insulation over it",
        (_, _, _, false) => "New timber deck",
        (_, _, _, true) => "New timber deck and insulation",
    }
}

/// The goods by their names, where they are few, and what the customer supplies where fitting it takes hours.
fn goods_label(job: &Job, are_meant: impl Fn(&&Goods) -> bool) -> String {
    let named = |g: &Goods| match (g.bought(), g.hours) {
        (Some(_), _) => Some(g.title()),
        (None, Some(_)) => Some(format!("fitting of {}", within(g.name()))),
        (None, None) => None,
    };
    let named: Vec<String> = job.goods.iter().filter(are_meant).filter_map(named).collect();
    if named.len() > 3 { "Goods for this job, as named above".into() } else { capital(&named.join("; ")) }
}

fn access_label(job: &Job) -> String {
    let asked = job.wanted().filter(|(question, _)| question.is_for_the_householder());
    let beside = job.beside();
    capital(&asked.map(|(question, _)| question.words_with(beside)).collect::<Vec<_>>().join("; "))
}
