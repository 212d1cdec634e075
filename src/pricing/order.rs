//! The orders: what is bought, where, in how many packs.
//!
//! Given needs and price books; gives one order a merchant, its lines in the order of a picker's walk, and every role
//! that nobody sells. Needs of one role and size are pooled over roofs; what is only offered is priced beside, never
//! in the totals.

use super::book::{Article, NO_HAZARD, PriceBook};
use super::merchants::{self, Split};
use super::money::Money;
use super::packs::{self, PackPlan};
use super::{AtOneMerchant, Cost, Drops, LeftOver, Order, OrderLine};
use crate::model::limits::{self, Most};
use crate::model::problem::Source;
use crate::model::{HoleForm, Job, Length, Mass, Problem, Role, SettingPath, Warned, Whereabouts};
use crate::takeoff::quantities::line::pool;
use crate::takeoff::{Need, Unit};
use rust_decimal::{Decimal, RoundingStrategy};

/// What was bought.
pub(super) struct Bought {
    pub orders: Vec<Order>,
    pub at_one: Vec<AtOneMerchant>,
    pub workings: Vec<Cost>,
    pub notices: Vec<Problem>,
}

/// One need at one merchant: the articles that serve it and the packs of each.
struct MerchantOffer<'a> {
    articles: Vec<&'a Article>,
    plan: PackPlan,
}

/// Buys what is needed. Every need must be sold somewhere: see [`missing`].
pub(super) fn buy(needs: &[Need], books: &[PriceBook]) -> Bought {
    let pooled = pool(needs.iter().cloned());
    let offers: Vec<Vec<Option<MerchantOffer>>> =
        pooled.iter().map(|n| books.iter().map(|b| offer(n, b)).collect()).collect();
    let (must, may): (Vec<usize>, Vec<usize>) = (0..pooled.len()).partition(|i| !pooled[*i].optional);
    let costs: Vec<Vec<Option<Money>>> =
        must.iter().map(|i| offers[*i].iter().map(|o| o.as_ref().map(|o| o.plan.cost)).collect()).collect();
    let sellers: Vec<_> = books.iter().map(|b| &b.merchant).collect();
    let split = merchants::cheapest_split(&costs, &sellers).unwrap_or(NOTHING);
    let mut chosen: Vec<(usize, usize)> = must.iter().copied().zip(split.chosen.iter().copied()).collect();
    let mut notices: Vec<Problem> = (!split.proven).then(not_proven).into_iter().collect();
    for i in may {
        match cheapest_among(&offers[i], &split.chosen) {
            Some(book) => chosen.push((i, book)),
            None => notices.push(not_offered(&pooled[i], books)),
        }
    }
    Bought {
        orders: orders(&pooled, &offers, &chosen, books),
        at_one: at_one(&pooled, &offers, &must, &costs, books),
        workings: chosen.iter().map(|(i, book)| working(&pooled[*i], &offers[*i], *book, books)).collect(),
        notices,
    }
}

/// The split of an order for nothing.
const NOTHING: Split = Split { chosen: Vec::new(), total: Money::ZERO, proven: true };

fn not_proven() -> Problem {
    let fault = "the order is split between merchants as well as was found, and a cheaper split may exist";
    Problem::warning(
        Warned::Split,
        Whereabouts::WholeFile,
        fault,
        "leave out the price book of a merchant that you would not use",
    )
    .within(Source::Prices(0))
}

fn serves(article: &Article, need: &Need) -> bool {
    article.role == need.role && (need.size.is_none() || article.size == need.size)
}

fn offer<'a>(need: &Need, book: &'a PriceBook) -> Option<MerchantOffer<'a>> {
    let articles: Vec<&Article> = book.of_role(&need.role).filter(|a| serves(a, need)).collect();
    let sound = articles.iter().all(|a| a.holds > Decimal::ZERO);
    let plan = if sound { packs::cheapest(need.quantity, &articles)? } else { return None };
    Some(MerchantOffer { articles, plan })
}

fn cheapest_among(offers: &[Option<MerchantOffer>], used: &[usize]) -> Option<usize> {
    let priced = offers.iter().enumerate().filter_map(|(b, o)| o.as_ref().map(|o| (o.plan.cost, b)));
    priced.filter(|(_, b)| used.contains(b)).min().map(|(_, b)| b)
}

// ---- What nobody sells ---------------------------------------------------------------------------------------------

/// A role with its size: `trim.drip, 3000 mm`.
pub(super) fn named(need: &Need) -> String {
    match need.size {
        Some(size) => format!("{}, {size}", need.role),
        None => need.role.to_string(),
    }
}

/// Every role that is needed and that no price book sells.
pub(super) fn missing(job: &Job, needs: &[Need], books: &[PriceBook]) -> Vec<Problem> {
    let pooled = pool(needs.iter().cloned());
    let needed = || pooled.iter().filter(|n| !n.optional);
    if books.is_empty() && needed().next().is_some() {
        let cure = "write a prices.yaml beside the job or above it, or name one with --prices";
        return vec![Problem::fault(Whereabouts::WholeFile, "there is no price book to order from", cure)];
    }
    unsold(needs, books).iter().map(|n| not_sold(job, n, books)).collect()
}

/// What is needed and no price book sells, pooled.
pub(super) fn unsold(needs: &[Need], books: &[PriceBook]) -> Vec<Need> {
    let sold = |n: &Need| books.iter().flat_map(|b| b.of_role(&n.role)).any(|a| serves(a, n));
    pool(needs.iter().cloned()).into_iter().filter(|n| !n.optional && !sold(n)).collect()
}

/// Every article that holds so little that nobody would count out its packs.
pub(super) fn too_many_packs(needs: &[Need], books: &[PriceBook]) -> Vec<Problem> {
    let Most { what, most } = limits::PACKS;
    let mut found = Vec::new();
    for need in pool(needs.iter().cloned()) {
        for (book, n) in books.iter().zip(0..) {
            let serving = book.of_role(&need.role).filter(|a| serves(a, &need) && a.holds > Decimal::ZERO);
            for article in serving {
                let packs = need.quantity.checked_div(article.holds).unwrap_or(Decimal::MAX).ceil();
                if packs > Decimal::from(most) {
                    let (wanted, unit) = (need.quantity.round_dp(3).normalize(), need.unit());
                    let fault = format!(
                        "{wanted} {unit} of `{}` take {packs} packs of {}: more than {most} {what} are not ordered",
                        need.role, article.code
                    );
                    let cure = "write what a whole pack holds, or leave the article out of the price book";
                    found.push(Problem::fault(["articles"], fault, cure).within(Source::Prices(n)));
                }
            }
        }
    }
    found
}

fn not_sold(job: &Job, need: &Need, books: &[PriceBook]) -> Problem {
    let who = if books.len() == 1 { format!("{} does not sell", books[0].file) } else { "no price book sells".into() };
    let asks = if need.lines.len() == 1 { "asks" } else { "ask" };
    let others = other_sizes(need, books);
    let fault = format!(
        "{who} `{}`, and {} {asks} for {} {}{others}",
        named(need),
        list(&need.lines),
        need.quantity.round_dp(3).normalize(),
        need.unit()
    );
    let size = need.size.map(|s| format!(", size: {s}")).unwrap_or_default();
    let about = need.role.facts().about;
    let cure = format!("add an article with role: {}{size} ({about}) to {}", need.role, books[0].file);
    // Where it is sold in other sizes, the one in the job may be the slip.
    match said_in(job, need).filter(|_| !others.is_empty()) {
        Some(path) => Problem::fault(path, fault, format!("check the size here; where it is right, {cure}")),
        None => Problem::fault(["articles"], fault, cure).within(Source::Prices(0)),
    }
}

/// The setting of the job that gives the size of what is needed, where one does.
fn said_in(job: &Job, need: &Need) -> Option<SettingPath> {
    let is = |size: Length| need.size == Some(size);
    let roofs = job.roofs.iter();
    match need.role {
        Role::GutterBracket => roofs
            .flat_map(|roof| &roof.outline.edges)
            .find_map(|edge| edge.gutter.as_ref().filter(|gutter| is(gutter.size)).map(|_| edge.path.key("gutter"))),
        Role::PipeCollar => roofs.flat_map(|roof| &roof.holes).find_map(|hole| match hole.form {
            HoleForm::Round { diameter, .. } if is(diameter) => Some(hole.path.key("round")),
            _ => None,
        }),
        Role::RoofOutlet => {
            roofs.flat_map(|roof| &roof.outlets).find(|outlet| is(outlet.size)).map(|outlet| outlet.path.key("size"))
        }
        _ => None,
    }
}

fn other_sizes(need: &Need, books: &[PriceBook]) -> String {
    let all = books.iter().flat_map(|b| b.of_role(&need.role));
    let mut sizes: Vec<_> = all.filter_map(|a| a.size).collect();
    sizes.sort();
    sizes.dedup();
    match sizes.as_slice() {
        [] => String::new(),
        sizes => format!("; it is sold in {}", list(sizes)),
    }
}

fn list<T: std::fmt::Display>(words: &[T]) -> String {
    match words {
        [] => "the take-off".into(),
        [one] => one.to_string(),
        [most @ .., last] => {
            format!("{} and {last}", most.iter().map(T::to_string).collect::<Vec<_>>().join(", "))
        }
    }
}

fn not_offered(need: &Need, books: &[PriceBook]) -> Problem {
    let file = books.first().map_or("the price book", |b| b.file.as_str());
    let fault = format!("`{}` cannot be offered: no merchant of this order sells it", named(need));
    Problem::warning(Warned::NotSold, ["articles"], fault, format!("add it to {file}, or leave it"))
        .within(Source::Prices(0))
}

// ---- Lines ---------------------------------------------------------------------------------------------------------

fn orders(
    pooled: &[Need],
    offers: &[Vec<Option<MerchantOffer>>],
    chosen: &[(usize, usize)],
    books: &[PriceBook],
) -> Vec<Order> {
    let of_book = |b: usize| chosen.iter().filter(move |(_, book)| *book == b).map(|(i, _)| *i);
    let order = |b: usize| {
        let mut lines: Vec<OrderLine> =
            of_book(b).filter_map(|i| Some(lines(&pooled[i], offers[i][b].as_ref()?))).flatten().collect();
        let place = |l: &OrderLine| (l.role.facts().group, l.role.place());
        lines.sort_by(|x, y| (place(x), &x.role, x.optional).cmp(&(place(y), &y.role, y.optional)));
        (!lines.is_empty()).then(|| total(&books[b], lines))
    };
    (0..books.len()).filter_map(order).collect()
}

/// The lines of one need, the larger packs first.
fn lines(need: &Need, offer: &MerchantOffer) -> Vec<OrderLine> {
    let mut bought: Vec<(&Article, u64)> =
        offer.articles.iter().copied().zip(offer.plan.counts.iter().copied()).collect();
    bought.retain(|(_, n)| *n > 0);
    bought.sort_by_key(|(a, _)| std::cmp::Reverse(a.holds));
    bought.into_iter().map(|(article, n)| line(need, article, n)).collect()
}

fn line(need: &Need, article: &Article, n: u64) -> OrderLine {
    let each = article.price_of(n);
    OrderLine {
        group: need.role.facts().group.words(),
        role: need.role.clone(),
        size: need.size,
        code: article.code.clone(),
        description: article.description.clone(),
        pack: article.pack.clone(),
        quantity: n,
        holds: article.holds,
        need: need.quantity,
        unit: need.unit(),
        shares: need.shares.clone(),
        each,
        total: (each * Decimal::from(n)).to_penny(),
        mass: mass_of(need, article).map(|m| up(m * Decimal::from(n))),
        longest: article.longest,
        hazard: article.hazard.clone().filter(|words| words != NO_HAZARD),
        optional: need.optional,
    }
}

/// What a pack weighs: of what is cut to the layout what it comes to there, else what the book says.
fn mass_of(need: &Need, article: &Article) -> Option<Mass> {
    need.weighs.map(|each| Mass::kg(each * article.holds)).or(article.mass)
}

/// Up to the next 0.1 kg, as orders print it: a load is the sum of its lines, and never more than they say.
fn up(mass: Mass) -> Mass {
    Mass::kg(mass.as_kg().round_dp_with_strategy(1, RoundingStrategy::ToPositiveInfinity))
}

fn total(book: &PriceBook, lines: Vec<OrderLine>) -> Order {
    let needed = || lines.iter().filter(|l| !l.optional);
    let total: Money = needed().map(|l| l.total).sum();
    Order {
        merchant: book.merchant.clone(),
        total,
        delivery: book.merchant.delivery_of(total),
        mass: needed().filter_map(|l| l.mass).sum::<Mass>(),
        lines_without_mass: needed().filter(|l| l.mass.is_none()).count(),
        longest: needed().filter_map(|l| l.longest).max(),
        drops: Drops::default(),
        lines,
    }
}

/// What is needed of a pack that is hardly used, times this, is no more than it holds.
const HARDLY_USED: Decimal = Decimal::TEN;

impl Order {
    /// From what sum of goods it would be delivered free, where what is wanting to that costs no more than the delivery.
    pub fn nearly_free_from(&self) -> Option<Money> {
        let from = self.merchant.free_delivery_from?;
        (self.delivery > Money::ZERO && from <= self.total + self.delivery).then_some(from)
    }

    /// Lines of a single pack of which a tenth at most is used: what the van may have already.
    pub fn hardly_used(&self) -> impl Iterator<Item = &OrderLine> {
        let bought = || self.lines.iter().filter(|line| !line.optional);
        let alone =
            move |line: &OrderLine| bought().filter(|o| o.role == line.role && o.size == line.size).count() == 1;
        let hardly = |line: &OrderLine| line.quantity == 1 && line.need * HARDLY_USED <= line.holds;
        bought().filter(move |line| hardly(line) && alone(line))
    }

    /// What is left of each role and size when the job is done: stock to keep.
    pub fn left_over(&self) -> Vec<LeftOver> {
        let mut left: Vec<LeftOver> = Vec::new();
        for line in self.lines.iter().filter(|l| !l.optional) {
            let held = line.holds * Decimal::from(line.quantity);
            match left.iter_mut().find(|l| l.role == line.role && l.size == line.size) {
                Some(l) => l.quantity += held,
                None => {
                    let (role, size, unit) = (line.role.clone(), line.size, line.unit);
                    left.push(LeftOver { role, size, quantity: held - line.need, unit });
                }
            }
        }
        left.retain(|l| l.quantity > Decimal::ZERO);
        left
    }
}

fn at_one(
    pooled: &[Need],
    offers: &[Vec<Option<MerchantOffer>>],
    must: &[usize],
    costs: &[Vec<Option<Money>>],
    books: &[PriceBook],
) -> Vec<AtOneMerchant> {
    let sellers: Vec<_> = books.iter().map(|b| &b.merchant).collect();
    let one = |b: usize| AtOneMerchant {
        merchant: books[b].merchant.name.clone(),
        total: merchants::at_one(costs, &sellers, b),
        missing: must.iter().filter(|i| offers[**i][b].is_none()).map(|i| named(&pooled[*i])).collect(),
    };
    (0..books.len()).map(one).collect()
}

// ---- Workings ------------------------------------------------------------------------------------------------------

/// How the packs of a need were chosen.
fn working(need: &Need, offers: &[Option<MerchantOffer>], book: usize, books: &[PriceBook]) -> Cost {
    let amount = offers[book].as_ref().map_or(Money::ZERO, |o| o.plan.cost);
    let mut working =
        vec![format!("{} {} for {}", need.quantity.round_dp(3).normalize(), need.unit(), list(&need.lines))];
    for (b, offer) in offers.iter().enumerate() {
        let taken = if b == book { "" } else { " (not taken)" };
        working.extend(
            offer.iter().map(|o| format!("{}{taken}: {}", books[b].merchant.name, packs_in_words(o, need.unit()))),
        );
    }
    working.push(match offers[book].as_ref().is_none_or(|o| o.plan.proven) {
        true => "the cheapest packs that cover it; ties go to fewer packs, then to less left over".into(),
        false => "not proven: so many packs cover it in so many ways that not all were tried".into(),
    });
    Cost { id: sum_id("pack", need), label: named(need), amount, working }
}

/// The id of a sum of one need: `pack.trim.drip.3000`.
pub(super) fn sum_id(of: &str, need: &Need) -> String {
    id_of(of, &need.role, need.size, need.optional)
}

fn id_of(of: &str, role: &Role, size: Option<Length>, optional: bool) -> String {
    let size = size.map(|s| format!(".{}", s.as_mm())).unwrap_or_default();
    let spare = if optional { ".optional" } else { "" };
    format!("{of}.{role}{size}{spare}")
}

impl OrderLine {
    /// The id of the sum that it is part of: `pack.resin`.
    pub fn sum_id(&self) -> String {
        id_of("pack", &self.role, self.size, self.optional)
    }
}

fn packs_in_words(offer: &MerchantOffer, unit: Unit) -> String {
    let bought = offer.articles.iter().zip(&offer.plan.counts).filter(|(_, n)| **n > 0);
    let packs: Vec<String> = bought.map(|(a, n)| format!("{n} × {} at {}", a.pack, a.price_of(*n))).collect();
    format!(
        "{} = {}, {} {unit} left over",
        packs.join(" + "),
        offer.plan.cost,
        offer.plan.left_over.round_dp(3).normalize()
    )
}
