//! Costs: materials, labour, travel, tipping, access, extras, contingency and overhead, each with its working.
//!
//! Given orders, the programme and the firm's terms; gives the cost sheet. Each cost is taken to the nearest penny, so
//! that the sheet adds up as it is printed. A firm that is not registered for VAT cannot reclaim what it pays on
//! materials: for it that VAT is a cost.

use super::money::Money;
use super::terms::{CrewRate, JobMoney, Load, ScaffoldPrice, Terms};
use super::{Cost, Order};
use crate::model::job::Forced;
use crate::model::problem::Source;
use crate::model::words::{capital, plural};
use crate::model::{Access, Area, Covering, Job, Problem, SettingPath};
use crate::programme::{OldBoardsOff, Programme};
use crate::takeoff::quantities::line::Share;
use crate::works::{self, Cart, Operation, WorkKind};
use rust_decimal::Decimal;

/// The part of the work that a cost belongs to, in the order in which the householder reads them. Contingency and
/// overhead belong to none: they lie on all parts alike. Delivery, travel and set-up lie on what the crew does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum CostPart {
    Strip,
    Deck,
    Covering,
    Patches,
    Recoat,
    Finish,
    Goods,
    Access,
    /// The job's extra of this place that is given at its cost.
    Extra(usize),
}

/// The cost sheet, and how much of it belongs to each work alone.
pub(super) struct CostSheet {
    pub costs: Vec<Cost>,
    pub cost: Money,
    pub works: Vec<WorkCost>,
    pub notices: Vec<Problem>,
}

impl CostSheet {
    /// How much belongs to each part of the price, in the order in which the householder reads them.
    pub(super) fn parts(&self) -> Vec<(CostPart, Money)> {
        self.parts_of(|_| true)
    }

    /// The same of some works.
    pub(super) fn parts_of(&self, is: impl Fn(&WorkCost) -> bool) -> Vec<(CostPart, Money)> {
        let mut parts: Vec<(CostPart, Money)> = Vec::new();
        for cost in self.works.iter().filter(|w| is(w)) {
            let part = cost.part();
            match parts.iter_mut().find(|(p, _)| *p == part) {
                Some((_, m)) => *m += cost.amount,
                None => parts.push((part, cost.amount)),
            }
        }
        parts.sort_by_key(|(part, _)| *part);
        parts
    }
}

/// Direct cost of one work on one roof, or on the job as a whole, with its share of what the crew's works have in common.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct WorkCost {
    pub work: WorkKind,
    pub roof: Option<String>,
    /// Which of the job's extras, where it is one.
    pub extra: Option<usize>,
    pub amount: Money,
    /// How much of it is a sum that somebody else bills, which bears no share of delivery, travel and set-up.
    bought_in: Money,
}

impl WorkCost {
    /// Whether it is for a work on the roof of this name.
    pub(super) fn on(&self, roof: &str) -> bool {
        self.roof.as_deref() == Some(roof)
    }

    pub(super) fn part(&self) -> CostPart {
        self.extra.map_or_else(|| part_of(self.work), CostPart::Extra)
    }
}

/// An access answer with its sum.
struct AccessSum {
    question: Access,
    work: WorkKind,
    sum: Money,
    working: Vec<String>,
}

/// Every access answer that is yes and for which there is no sum.
pub(super) fn without_sum(job: &Job, terms: &Terms, money: &JobMoney) -> Vec<Problem> {
    let has_sum = |question: Access, answer: Forced| {
        access_sum(question, answer, terms, money).is_some()
            || each_day(question, answer, terms).is_some()
            || question == Access::Scaffold && answer == Forced::Yes && terms.scaffold.metre > Money::ZERO
    };
    let bare = |(question, answer): &(Access, Forced)| match answer {
        Forced::Yes if *question == Access::MinimumCharge => false,
        answer => !has_sum(*question, *answer),
    };
    job.wanted().filter(bare).map(|(question, answer)| no_sum(question, answer)).collect()
}

/// The sums of the access answers that say yes. Every one has a sum: see [`without_sum`].
fn access(job: &Job, programme: &Programme, terms: &Terms, money: &JobMoney) -> Vec<AccessSum> {
    let of_answer = |(question, answer): (Access, Forced)| {
        let work = works::of_question(question)?;
        let once = access_sum(question, answer, terms, money);
        let parts: Vec<(Money, String)> = once
            .into_iter()
            .chain(by_the_day(question, answer, programme, terms))
            .chain(by_the_metre(question, answer, programme, terms))
            .collect();
        let sum = parts.iter().map(|(m, _)| *m).sum();
        Some(AccessSum { question, work, sum, working: parts.into_iter().map(|(_, words)| words).collect() })
    };
    job.wanted().filter_map(of_answer).collect()
}

fn each_day(question: Access, answer: Forced, terms: &Terms) -> Option<Money> {
    terms.access_day.iter().find(|(q, _)| *q == question && answer == Forced::Yes).map(|(_, m)| *m)
}

/// What the firm pays for each day on site, where the job gives no sum of its own.
fn by_the_day(question: Access, answer: Forced, programme: &Programme, terms: &Terms) -> Option<(Money, String)> {
    let each = each_day(question, answer, terms)?;
    let days = Decimal::from(programme.days.len());
    Some((each * days, format!("{days} × {each} for a day on site")))
}

/// What a scaffold costs for the edges that it stands at and the weeks that it stands, where the job gives no sum of its own.
fn by_the_metre(question: Access, answer: Forced, programme: &Programme, terms: &Terms) -> Vec<(Money, String)> {
    if question != Access::Scaffold || answer != Forced::Yes {
        return Vec::new();
    }
    let (metres, further) = (programme.open_edges.metres(), programme.weeks().saturating_sub(1));
    let ScaffoldPrice { metre, week, .. } = terms.scaffold;
    let stands = (
        metre * metres,
        format!("{} m of edge that one can fall over × {metre} a metre", metres.round_dp(3).normalize()),
    );
    let weeks = plural(further as usize, "further week", "further weeks");
    let longer = (
        week * (metres * Decimal::from(further)),
        format!("{weeks} × {} m × {week} a metre", metres.round_dp(3).normalize()),
    );
    [stands, longer].into_iter().filter(|(sum, _)| *sum > Money::ZERO).collect()
}

fn access_sum(question: Access, answer: Forced, terms: &Terms, money: &JobMoney) -> Option<(Money, String)> {
    let named = |list: &[(Access, Money)]| list.iter().find(|(q, _)| *q == question).map(|(_, m)| *m);
    let (sum, whose) = match answer {
        Forced::Sum => (named(&money.access)?, "the job file's sum"),
        Forced::Yes if question == Access::Scaffold => {
            (Some(terms.scaffold.once).filter(|m| *m > Money::ZERO)?, "the firm's sum")
        }
        Forced::Yes => (named(&terms.access)?, "the firm's sum"),
        Forced::No | Forced::Unanswered => return None,
    };
    Some((sum, format!("{whose}: {sum}")))
}

fn no_sum(question: Access, answer: Forced) -> Problem {
    let path = SettingPath::from(["access", question.key()]);
    match answer {
        Forced::Sum => Problem::fault(&path, "a sum is promised and none is given", "write the sum, as 120.00"),
        _ => Problem::fault(
            &path,
            "the answer is yes, and neither the job nor the firm says what it costs",
            format!("write a sum here, or `{path}` with a sum in the firm file"),
        ),
    }
}

/// The lowest price that the job may be sold for, without VAT: the job's own sum where it gives one, nothing where the
/// job says no, else the firm's.
pub(super) fn minimum(job: &Job, terms: &Terms, money: &JobMoney) -> Option<Money> {
    let sum = |answer| access_sum(Access::MinimumCharge, answer, terms, money).map(|(m, _)| m);
    match job.answer(Access::MinimumCharge) {
        Forced::No => None,
        Forced::Sum => sum(Forced::Sum).or(terms.minimum_charge),
        Forced::Yes | Forced::Unanswered => terms.minimum_charge,
    }
}

/// Gathers the costs, each taken to the penny.
struct CostTally {
    costs: Vec<Cost>,
    works: Vec<WorkCost>,
}

impl CostTally {
    fn add(&mut self, id: &str, label: &str, amount: Money, working: Vec<String>) {
        if amount != Money::ZERO {
            let (id, label) = (id.to_owned(), label.to_owned());
            self.costs.push(Cost { id, label, amount: amount.to_penny(), working });
        }
    }

    /// Books a cost on a work of the crew's.
    fn book(&mut self, work: WorkKind, roof: Option<&String>, amount: Money) {
        self.work(work, roof, None).amount += amount;
    }

    /// Books a sum that somebody else bills.
    fn book_bought_in(&mut self, work: WorkKind, roof: Option<&String>, extra: Option<usize>, sum: Money) {
        let known = self.work(work, roof, extra);
        known.amount += sum;
        known.bought_in += sum;
    }

    fn work(&mut self, work: WorkKind, roof: Option<&String>, extra: Option<usize>) -> &mut WorkCost {
        let same = |w: &WorkCost| w.work == work && w.roof.as_ref() == roof && w.extra == extra;
        let place = self.works.iter().position(same).unwrap_or_else(|| {
            let (amount, bought_in) = (Money::ZERO, Money::ZERO);
            self.works.push(WorkCost { work, roof: roof.cloned(), extra, amount, bought_in });
            self.works.len() - 1
        });
        &mut self.works[place]
    }

    /// Lays what is booked on no work (delivery, travel, setting up and waiting) on the crew's works by what each costs;
    /// on all of them where the crew does none.
    fn lay_shared(&mut self) {
        let shared = self.sum() - self.works.iter().map(|w| w.amount).sum();
        let of_crew = |w: &WorkCost| (w.amount - w.bought_in).as_pounds();
        let all: Decimal = self.works.iter().map(of_crew).sum();
        for work in self.works.iter_mut().filter(|_| !all.is_zero()) {
            work.amount += Money::pounds(shared.as_pounds() * of_crew(work) / all);
        }
    }

    /// Books a cost on the works that it is for, by their weights.
    fn book_shared(&mut self, shares: &[Share], amount: Money) {
        let all: Decimal = shares.iter().map(|s| s.weight).sum();
        for share in shares.iter().filter(|_| !all.is_zero()) {
            let part = Money::pounds(amount.as_pounds() * share.weight / all);
            self.book(share.work, share.roof.as_ref(), part);
        }
    }

    fn sum(&self) -> Money {
        self.costs.iter().map(|c| c.amount).sum()
    }
}

/// Builds the cost sheet.
pub(super) fn build(job: &Job, programme: &Programme, orders: &[Order], terms: &Terms, money: &JobMoney) -> CostSheet {
    let mut sheet = CostTally { costs: Vec::new(), works: Vec::new() };
    let mut notices = Vec::new();
    materials(&mut sheet, orders);
    notices.extend(vat_paid(&mut sheet, orders, terms, terms.rate_on(job.prepared)));
    notices.extend(labour(&mut sheet, programme, terms));
    tipping(&mut sheet, job, programme, terms);
    let beside = job.beside();
    for answer in access(job, programme, terms, money) {
        let label = capital(answer.question.words_with(beside));
        sheet.add(&format!("cost.access.{}", answer.question.key()), &label, answer.sum, answer.working);
        sheet.book_bought_in(answer.work, None, None, answer.sum);
    }
    extras(&mut sheet, programme, money);
    sheet.lay_shared();
    on_top(&mut sheet, terms);
    CostSheet { cost: sheet.sum(), costs: sheet.costs, works: sheet.works, notices }
}

// ---- Materials -----------------------------------------------------------------------------------------------------

fn materials(sheet: &mut CostTally, orders: &[Order]) {
    let needed = || orders.iter().flat_map(|o| &o.lines).filter(|l| !l.optional);
    let line = |l: &super::OrderLine| {
        format!("{} × {} ({}), {} at {} = {}", l.quantity, l.pack, l.code, l.description, l.each, l.total)
    };
    let working = needed().map(line).collect();
    sheet.add("cost.materials", "Materials", orders.iter().map(|o| o.total).sum(), working);
    for l in needed() {
        sheet.book_shared(&l.shares, l.total);
    }
    let delivery = orders.iter().map(|o| o.delivery).sum();
    let working = orders.iter().map(|o| format!("{}: {}", o.merchant.name, o.delivery)).collect();
    sheet.add("cost.delivery", "Delivery", delivery, working);
}

/// Which part of the price a work belongs to.
const fn part_of(work: WorkKind) -> CostPart {
    match work {
        WorkKind::Scaffold
        | WorkKind::Permits
        | WorkKind::Parking
        | WorkKind::Aerials
        | WorkKind::DisturbedTiles
        | WorkKind::RenderCutting => CostPart::Access,
        WorkKind::Protect => CostPart::Covering,
        WorkKind::PatchTopcoat => CostPart::Patches,
        WorkKind::SheetBelow | WorkKind::Recoat | WorkKind::GripAnew => CostPart::Recoat,
        WorkKind::TemporarySeal => CostPart::Finish,
        WorkKind::OwnGoods => CostPart::Goods,
        work => match work.operation() {
            Operation::Strip => CostPart::Strip,
            Operation::Prepare | Operation::Deck | Operation::Insulate => CostPart::Deck,
            Operation::Trims | Operation::Bandage | Operation::Laminate | Operation::Topcoat => CostPart::Covering,
            Operation::Repair => CostPart::Patches,
            Operation::Wash | Operation::Renew => CostPart::Recoat,
            Operation::Finish => CostPart::Finish,
        },
    }
}

/// VAT that a firm pays on materials and cannot reclaim.
fn vat_paid(sheet: &mut CostTally, orders: &[Order], terms: &Terms, rate: Decimal) -> Option<Problem> {
    if terms.vat.registered {
        return None;
    }
    let bought: Money = orders.iter().map(|o| o.total + o.delivery).sum();
    let (vat, rate) = (bought.percent(rate), rate.normalize());
    let working = vec![format!("{bought} of materials and delivery × {rate} % = {}", vat.to_penny())];
    sheet.add("cost.vat_paid", "VAT on materials, not reclaimed", vat, working);
    (vat > Money::ZERO).then(|| {
        let fault =
            format!("the firm is not registered for VAT: the {rate} % that it pays on materials is counted as a cost");
        Problem::assumed(["money", "vat"], fault, "write `registered: yes` where the firm is registered")
            .within(Source::Firm)
    })
}

// ---- Labour --------------------------------------------------------------------------------------------------------

/// Books the labour; tells of hours that the days hold and nobody is paid for.
fn labour(sheet: &mut CostTally, programme: &Programme, terms: &Terms) -> Option<Problem> {
    let (hours, people) = (programme.paid_hours(), Decimal::from(terms.crew.len().max(1)));
    let days = Decimal::from(programme.days.len());
    let each = hours / people;
    let mut working = hours_in_words(programme);
    let mut total = Money::ZERO;
    for person in &terms.crew {
        let (amount, words) = pay(person, each, days);
        working.push(words);
        total += amount;
    }
    sheet.add("cost.labour", "Labour", total, working);
    let an_hour = if hours.is_zero() { Money::ZERO } else { Money::pounds(total.as_pounds() / hours) };
    for part in programme.work.iter().flat_map(|labour| &labour.parts) {
        sheet.book(part.work, part.roof.as_ref(), an_hour * part.hours);
    }
    let travel = vec![format!("{days} × {} for a day on site", terms.travel_day)];
    sheet.add("cost.travel", "Travel", terms.travel_day * days, travel);
    let by_the_hour = terms.crew.iter().any(|person| person.day.is_none());
    (by_the_hour && programme.unpaid_hours() > Decimal::ZERO).then(|| unpaid(programme))
}

/// What is taken of the hours that the days leave over, in the words of whoever pays them.
fn unpaid(programme: &Programme) -> Problem {
    let hours = |h: Decimal| h.round_dp(2).normalize();
    let fault = format!(
        "{} on site hold {} person-hours; {} are paid, work, set-up and waiting together: the other {} are taken to be \
         spent elsewhere",
        days_in_words(programme),
        hours(programme.held_hours),
        hours(programme.paid_hours()),
        hours(programme.unpaid_hours())
    );
    let cure = "where people are paid for whole days, give each of them `day:` with what a day costs";
    Problem::assumed(["people"], fault, cure).within(Source::Firm)
}

fn days_in_words(programme: &Programme) -> String {
    match programme.days.len() {
        1 => "1 day".to_owned(),
        n => format!("{n} days"),
    }
}

/// What one person costs, to the penny: whole days where they are paid by the day, else their share of the hours.
fn pay(person: &CrewRate, hours: Decimal, days: Decimal) -> (Money, String) {
    let (amount, words) = match person.day {
        Some(day) => ((day * days).to_penny(), format!("{days} × {day} a day")),
        None => {
            ((person.hour * hours).to_penny(), format!("{} h × {} an hour", hours.round_dp(3).normalize(), person.hour))
        }
    };
    (amount, format!("{}: {words} = {amount}", person.name))
}

fn hours_in_words(programme: &Programme) -> Vec<String> {
    let mut words: Vec<String> =
        programme.work.iter().map(|w| format!("{}: {} h", w.label, w.hours.normalize())).collect();
    let setup: Decimal = programme.days.iter().map(|d| d.setup).sum();
    let standing: Decimal = programme.days.iter().map(|d| d.standing).sum();
    let days = days_in_words(programme);
    words.push(format!("Set up and clear, {days}: {} h", setup.normalize()));
    if standing > Decimal::ZERO {
        words.push(format!("Waiting for the cure, or the rest of a half day: {} h", standing.normalize()));
    }
    words.push(format!("All person-hours: {} h", programme.paid_hours().normalize()));
    let left = programme.unpaid_hours().round_dp(2).normalize();
    if left > Decimal::ZERO {
        let held = programme.held_hours.normalize();
        words.push(format!("The days hold {held} h: {left} h are left over, paid only to whoever is paid by the day"));
    }
    words
}

// ---- Tipping, extras, and what comes on top ------------------------------------------------------------------------

/// What goes each way, in whole loads. What the customer has taken away costs the firm nothing; every other way has its
/// price: see `checks`.
fn tipping(sheet: &mut CostTally, job: &Job, programme: &Programme, terms: &Terms) {
    let carts = works::carts(job);
    let priced = carts.iter().filter_map(|cart| Some((cart, terms.load(cart.tip)?)));
    for (n, (cart, load)) in priced.enumerate() {
        let (loads, mut working) = loads(cart, load, programme, terms);
        working.push(format!("{loads} × {}", load.cost));
        let id = if n == 0 { "cost.strip".to_owned() } else { format!("cost.strip.{}", n + 1) };
        sheet.add(&id, &capital(&cart.tip.load.1), load.cost * loads, working);
        let roof = cart.place(job).roof().map(|i| &job.roofs[i].name);
        sheet.book_bought_in(WorkKind::CartAway, roof, None, load.cost * loads);
    }
}

/// Whole loads by volume, and by mass where it is known what one may weigh; the larger counts.
fn loads(cart: &Cart<'_>, load: &Load, programme: &Programme, terms: &Terms) -> (Decimal, Vec<String>) {
    let many = &cart.tip.load.1;
    let of = |covering: &Covering| -> Decimal {
        let from = cart.from.iter().filter(|(_, c)| *c == covering).map(|(roof, _)| *roof);
        let area = |roof: usize| programme.stripped.iter().find(|(r, _)| *r == roof).map(|(_, area)| *area);
        from.filter_map(area).sum::<Area>().square_metres()
    };
    let mut areas: Vec<(&Covering, Decimal)> = Vec::new();
    for (_, covering) in &cart.from {
        if areas.iter().all(|(c, _)| c != covering) {
            areas.push((covering, of(covering)));
        }
    }
    let plain = |d: Decimal, places: u32| d.round_dp(places).normalize();
    let mut working = Vec::new();
    let boards = || programme.old_boards.iter().filter(|b| cart.from.iter().any(|(roof, _)| *roof == b.roof));
    let solid = |b: &OldBoardsOff| format!("{} m² × old boards {}", plain(b.area.square_metres(), 3), b.thickness);
    let boards_fill = boards().map(|b| {
        let (fill, loose) = (b.volume(), b.loose.normalize());
        (fill, format!("{} + {loose} % (old_board_loose) = {} m³", solid(b), plain(fill, 3)))
    });
    let volumes: Vec<(Decimal, String)> = (areas.iter())
        .map(|(covering, area)| {
            let each = terms.volume_of(covering);
            let whose = if each == covering.volume { &covering.words } else { "strip_volume" };
            let (volume, each) = (area * each, each.normalize());
            (volume, format!("{} m² × {whose} {each} m³/m² = {} m³", plain(*area, 3), plain(volume, 3)))
        })
        .chain(boards_fill)
        .collect();
    let mut loads = added(&volumes, load.holds, "m³", 3, many, &mut working);
    if let Some(most) = load.bears {
        let boards_weigh = boards().map(|b| {
            let (mass, density) = (b.mass().as_kg(), b.density.normalize());
            (mass, format!("{} × {density} kg/m³ (old_board_density) = {} kg", solid(b), plain(mass, 1)))
        });
        let masses: Vec<(Decimal, String)> = (areas.iter())
            .map(|(covering, area)| {
                let each = terms.mass_of(covering).as_kg();
                let (mass, each) = (area * each, each.normalize());
                (mass, format!("{} m² × {each} kg/m² = {} kg", plain(*area, 3), plain(mass, 1)))
            })
            .chain(boards_weigh)
            .collect();
        loads = loads.max(added(&masses, most.as_kg(), "kg", 1, many, &mut working));
    }
    (loads, working)
}

/// How many loads of so much several coverings come to, up to whole ones, with the working.
fn added(
    parts: &[(Decimal, String)],
    each: Decimal,
    unit: &str,
    places: u32,
    many: &str,
    working: &mut Vec<String>,
) -> Decimal {
    let all: Decimal = parts.iter().map(|(amount, _)| *amount).sum();
    let loads = (all / each).ceil();
    let whole = format!("÷ {} {unit} = {loads}, up to whole {many}", each.normalize());
    match parts {
        [(_, only)] => working.push(format!("{only}; {whole}")),
        _ => {
            working.extend(parts.iter().map(|(_, words)| words.clone()));
            working.push(format!("{} {unit} together; {whole}", all.round_dp(places).normalize()));
        }
    }
    loads
}

fn extras(sheet: &mut CostTally, programme: &Programme, money: &JobMoney) {
    for (i, extra) in money.extras.iter().enumerate().filter(|(_, extra)| extra.kind.in_total()) {
        if let Some((sum, words)) = extra.sum.cost_over(programme.days.len()) {
            sheet.add(&format!("cost.extra.{}", i + 1), &extra.title(), sum, vec![words]);
            sheet.book_bought_in(WorkKind::Extras, None, Some(i), sum);
        }
    }
}

/// Contingency and overhead, both on the direct cost.
fn on_top(sheet: &mut CostTally, terms: &Terms) {
    let direct = sheet.sum();
    let each = [("cost.contingency", "Contingency", terms.contingency), ("cost.overhead", "Overhead", terms.overhead)];
    for (id, label, percent) in each {
        let working = vec![format!("direct cost {direct} × {} %, to the nearest penny", percent.normalize())];
        sheet.add(id, label, direct.percent(percent), working);
    }
}
