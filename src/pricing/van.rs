//! What is taken from the van: what an order need not buy, because it stands there already.
//!
//! Given a priced job, its needs and the stock list; gives the same price with smaller orders. What is sold stays as if all of
//! it were bought: what stands in the van was paid for once, and what it saves is the firm's. Only what surely serves is
//! counted: nothing past its use-by on the last day on site, of what is cut to length whole packs as they are sold, of a topcoat
//! one batch that is enough for all of it. What saves no money stays where it is.

use super::order::{self, Bought};
use super::private_sheet::{Basis, paid};
use super::{Cost, FromVan, Money, PastInVan, Pricing, VanUse, lifts};
use crate::model::problem::Source;
use crate::model::quantity::Unit;
use crate::model::van::{VanLine, VanStock};
use crate::model::{Problem, Role, Warned};
use crate::takeoff::Need;
use crate::takeoff::quantities::line::pool;
use rust_decimal::Decimal;
use time::Date;

/// What the van offers for one need.
#[derive(Debug, Clone)]
struct VanOffer {
    /// The need's place among those that are pooled.
    need: usize,
    /// Lines of the list by their places, with how much is taken of each.
    parts: Vec<(usize, Decimal)>,
}

impl VanOffer {
    fn quantity(&self) -> Decimal {
        self.parts.iter().map(|(_, q)| *q).sum()
    }
}

impl Pricing {
    /// The same price, with what stands in the van taken off the orders.
    #[must_use]
    pub fn with_van(self, van: &VanStock, basis: Basis<'_>) -> Pricing {
        self.with_van_until(van, basis, None)
    }

    /// The same, for goods that must still be fit for use on a later day than the last of the programme.
    pub(super) fn with_van_until(mut self, van: &VanStock, basis: Basis<'_>, until: Option<Date>) -> Pricing {
        let pooled = pool(basis.needs.iter().cloned());
        let (day, known) = last_day(basis);
        let (day, known) = until.map_or((day, known), |until| (day.max(until), true));
        let mut judged = Judged { van, basis, day, notices: Vec::new(), past: Vec::new() };
        let must = pooled.iter().enumerate().filter(|(_, need)| !need.optional);
        let offers: Vec<VanOffer> = must.filter_map(|(n, need)| judged.offer(n, need)).collect();
        self.notices.append(&mut judged.notices);
        self.van.past = judged.past;
        if offers.is_empty() {
            return self;
        }
        self.notices.extend((!known).then(|| day_assumed(day)));
        let taken = VanTrial { pooled: &pooled, basis }.worth_it(offers);
        let Some(taken) = taken else { return self };
        self.take(van, day, &pooled, taken, basis);
        self
    }

    fn take(&mut self, van: &VanStock, day: Date, pooled: &[Need], taken: WorthTaking, basis: Basis<'_>) {
        let WorthTaking { offers, bought, before, after } = taken;
        let saved = paid(before - after, basis);
        let past = std::mem::take(&mut self.van.past);
        let mut used = VanUse { day: Some(day), taken: Vec::new(), past, saved };
        for (offer, without) in &offers {
            let need = &pooled[offer.need];
            let saves = paid(*without - after, basis);
            let mut working = vec![in_words(need.quantity, need.unit(), "are needed")];
            for (n, quantity) in &offer.parts {
                let line = &van.lines[*n];
                used.taken.push(FromVan {
                    role: line.role.clone(),
                    size: line.size,
                    unit: need.unit(),
                    quantity: *quantity,
                    batch: line.batch.clone(),
                    use_by: line.use_by,
                    lines: need.lines.clone(),
                    shares: need.shares.clone(),
                });
                working.push(format!("{}{}", in_words(*quantity, need.unit(), "stand in the van"), marks(line)));
            }
            working.push(in_words(need.quantity - offer.quantity(), need.unit(), "are bought"));
            working.push(format!("goods and delivery come to {without} without it, to {after} with it"));
            let (id, label) = (order::sum_id("van", need), format!("{}, from the van", order::named(need)));
            self.sums.push(Cost { id, label, amount: saves, working });
        }
        let words = vec![
            format!("goods and delivery, all of it bought: {before}; with what stands in the van: {after}"),
            "the price is that of a job for which all of it is bought: what this saves is yours, beside the profit"
                .to_owned(),
        ];
        self.sums.push(Cost {
            id: "van.saved".into(),
            label: "Saved by the van".into(),
            amount: saved,
            working: words,
        });
        self.tell_packs(pooled, &offers, &bought);
        for cost in self.costs.iter_mut().filter(|c| ["cost.materials", "cost.delivery"].contains(&c.id.as_str())) {
            cost.working.push(format!("as if all of it were bought; the van saves {saved}: see van.saved"));
        }
        let more = bought.notices.into_iter().filter(|p| !self.notices.contains(p)).collect::<Vec<_>>();
        self.notices.extend(more);
        (self.orders, self.at_one_merchant) = (bought.orders, bought.at_one);
        lifts::count_drops(&mut self.orders, basis.job.lift.as_ref());
        self.lifts = lifts::findings(&self.orders, basis.job.lift.as_ref());
        self.van = used;
    }

    /// The workings of packs, by what is bought of each need.
    fn tell_packs(&mut self, pooled: &[Need], offers: &[(VanOffer, Money)], bought: &Bought) {
        for (offer, _) in offers {
            let need = &pooled[offer.need];
            let id = order::sum_id("pack", need);
            let Some(sum) = self.sums.iter_mut().find(|s| s.id == id) else { continue };
            let see = format!("see {}", order::sum_id("van", need));
            let from_van = in_words(offer.quantity(), need.unit(), "stand in the van");
            match bought.workings.iter().find(|w| w.id == id) {
                Some(new) => {
                    *sum = new.clone();
                    sum.working.insert(
                        0,
                        format!("{}; {from_van}: {see}", in_words(need.quantity, need.unit(), "are needed")),
                    );
                }
                None => {
                    sum.amount = Money::ZERO;
                    sum.working = vec![format!("all of it, {from_van}: {see}")];
                }
            }
        }
    }
}

fn in_words(quantity: Decimal, unit: Unit, words: &str) -> String {
    format!("{} {unit} {words}", quantity.round_dp(3).normalize())
}

/// Batch and use-by of a line, where it has them.
fn marks(line: &VanLine) -> String {
    let batch = line.batch.iter().map(|batch| format!(", batch {batch}"));
    batch.chain(line.use_by.iter().map(|day| format!(", use by {day}"))).collect()
}

/// The last day on site: what is past its use-by then cannot be relied on. Without a start it is the date of the job; whether it
/// is known.
fn last_day(basis: Basis<'_>) -> (Date, bool) {
    let last = basis.programme.days.iter().filter_map(|day| day.date).max().or(basis.job.start);
    (last.unwrap_or(basis.job.prepared), last.is_some())
}

fn day_assumed(day: Date) -> Problem {
    let fault = format!("the job has no `start`: what stands in the van is judged by its date, {day}");
    Problem::assumed(["start"], fault, "write `start:`, so that it is judged by the days on which the roof is laid")
}

// ---- What surely serves ----------------------------------------------------------------------------------------------

/// The stock list, judged for a job.
struct Judged<'a> {
    van: &'a VanStock,
    basis: Basis<'a>,
    day: Date,
    notices: Vec<Problem>,
    past: Vec<PastInVan>,
}

impl Judged<'_> {
    /// What the van offers for a need, what must be used first before the rest.
    fn offer(&mut self, place: usize, need: &Need) -> Option<VanOffer> {
        let mut usable: Vec<(usize, Decimal)> = Vec::new();
        for (n, line) in self.van.lines.iter().enumerate().filter(|(_, line)| line.role == need.role) {
            let counts = self.counts(line, need);
            usable.extend((counts > Decimal::ZERO).then_some((n, counts)));
        }
        usable.sort_by_key(|(n, _)| (self.van.lines[*n].use_by.is_none(), self.van.lines[*n].use_by, *n));
        if let Role::Topcoat(_) = need.role {
            usable = self.one_batch(usable, need)?;
        }
        let mut rest = need.quantity;
        let mut parts = Vec::new();
        for (n, counts) in usable {
            let part = counts.min(rest);
            if part > Decimal::ZERO {
                parts.push((n, part));
                rest -= part;
            }
        }
        (!parts.is_empty()).then_some(VanOffer { need: place, parts })
    }

    /// How much of a line counts for a need of its role.
    fn counts(&mut self, line: &VanLine, need: &Need) -> Decimal {
        let reference = &self.basis.job.reference;
        if line.kept_for.as_ref().is_some_and(|job| job != reference) {
            return Decimal::ZERO;
        }
        if let (Some(asked), None) = (need.size, line.size) {
            let fault =
                format!("{} in the van is not counted: its size is not said, and {asked} is asked for", line.what());
            self.tell(Problem::assumed(line.path.clone(), fault, format!("add, for example, `size: {asked}`")));
            return Decimal::ZERO;
        }
        if need.size.is_some() && line.size != need.size {
            return Decimal::ZERO;
        }
        if let Some(last) = line.use_by.filter(|_| line.is_past(self.day)) {
            let (role, batch) = (line.role.clone(), line.batch.clone());
            self.past.push(PastInVan { role, size: line.size, batch, use_by: last });
            let fault = format!(
                "{} of {} is past its use-by, {last}, on {}: it is not counted, and all of it is bought",
                amount(line.amount, line),
                line.what(),
                self.day
            );
            let cure = "take it out of the van and out of this list";
            self.tell(Problem::warning(Warned::UseBy, line.path.key("use_by"), fault, cure));
            return Decimal::ZERO;
        }
        let counts = match (&line.role, line.role.unit()) {
            (Role::Firring, _) => Decimal::ZERO,
            (Role::Bandage(_), _) => {
                let whole = self.whole_packs(line);
                let rest = line.amount - whole - self.basis.rules.bandage_lap.metres();
                whole + rest.max(Decimal::ZERO)
            }
            (_, Unit::Metre | Unit::SquareMetre) => self.whole_packs(line),
            _ => line.amount,
        };
        if counts < line.amount && !matches!(line.role, Role::Bandage(_)) {
            let (why, cure) = match line.role {
                Role::Firring => ("firrings are cut for one job", "keep it out of this list"),
                _ => (
                    "it is cut to length, and only whole packs as they are sold surely serve",
                    "use it up where it fits; the order does not rely on it",
                ),
            };
            let fault = format!("{} of {} is not counted: {why}", amount(line.amount - counts, line), line.what());
            self.tell(Problem::assumed(line.path.key("amount"), fault, cure));
        }
        counts
    }

    /// Whole packs of it, as some price book sells them.
    fn whole_packs(&self, line: &VanLine) -> Decimal {
        let articles = self.basis.books.iter().flat_map(|book| &book.articles);
        let alike = articles.filter(|a| a.role == line.role && (line.size.is_none() || a.size == line.size));
        let whole = |holds: Decimal| Some(line.amount.checked_div(holds)?.floor() * holds);
        alike.filter_map(|a| whole(a.holds)).max().unwrap_or(Decimal::ZERO)
    }

    /// The lines of one batch that is enough for all of a topcoat: batches of one colour differ. Nothing where none is.
    fn one_batch(&mut self, usable: Vec<(usize, Decimal)>, need: &Need) -> Option<Vec<(usize, Decimal)>> {
        let first = usable.first().map(|(n, _)| *n)?;
        let batch = |n: usize| self.van.lines[n].batch.as_ref();
        let of = |n: usize| -> Vec<(usize, Decimal)> {
            usable.iter().filter(|(m, _)| *m == n || batch(n).is_some() && batch(*m) == batch(n)).copied().collect()
        };
        let enough = |part: &Vec<(usize, Decimal)>| part.iter().map(|(_, q)| *q).sum::<Decimal>() >= need.quantity;
        let found = usable.iter().map(|(n, _)| of(*n)).find(enough);
        if found.is_none() {
            let line = &self.van.lines[first];
            let fault = format!(
                "no one batch of {} in the van is enough for the {} {} of this job: none of it is counted, since batches differ \
                 in colour",
                line.what(),
                need.quantity.round_dp(2).normalize(),
                need.unit()
            );
            self.tell(Problem::assumed(line.path.key("amount"), fault, "keep it for a patch"));
        }
        found
    }

    fn tell(&mut self, problem: Problem) {
        let problem = problem.within(Source::Stock);
        if !self.notices.contains(&problem) {
            self.notices.push(problem);
        }
    }
}

fn amount(quantity: Decimal, line: &VanLine) -> String {
    format!("{} {}", quantity.normalize(), line.role.unit())
}

// ---- What saves money ------------------------------------------------------------------------------------------------

/// Orders with and without the van.
struct VanTrial<'a> {
    pooled: &'a [Need],
    basis: Basis<'a>,
}

/// What is taken, each with what goods and delivery would come to without it.
struct WorthTaking {
    offers: Vec<(VanOffer, Money)>,
    bought: Bought,
    before: Money,
    after: Money,
}

impl VanTrial<'_> {
    /// Leaves in the van what saves nothing: an opened tin beside whole packs, or goods without which a delivery is no longer
    /// free. `None` where all of it does.
    fn worth_it(&self, mut offers: Vec<VanOffer>) -> Option<WorthTaking> {
        let before = cost(&self.buy(&[]));
        let mut bought = self.buy(&offers);
        let mut after = cost(&bought);
        for place in (0..offers.len()).rev() {
            let mut fewer = offers.clone();
            fewer.remove(place);
            let without = self.buy(&fewer);
            if cost(&without) <= after {
                (offers, after, bought) = (fewer, cost(&without), without);
            }
        }
        if offers.is_empty() || after >= before {
            return None;
        }
        let without = |place: usize| {
            let mut fewer = offers.clone();
            fewer.remove(place);
            cost(&self.buy(&fewer))
        };
        let each: Vec<Money> = (0..offers.len()).map(without).collect();
        Some(WorthTaking { offers: offers.into_iter().zip(each).collect(), bought, before, after })
    }

    fn buy(&self, offers: &[VanOffer]) -> Bought {
        let mut needs = self.pooled.to_vec();
        for offer in offers {
            needs[offer.need].quantity -= offer.quantity();
        }
        order::buy(&needs, self.basis.books)
    }
}

fn cost(bought: &Bought) -> Money {
    bought.orders.iter().map(|o| o.total + o.delivery).sum()
}
