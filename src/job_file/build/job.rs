//! The job as a whole, from its raw file.
//!
//! Given the raw job, the firm's rules and what is sold; gives the job, its own sums and its photographs. A question
//! that is always asked and was not answered is told; asbestos that nobody knows about counts as there.

use super::email;
use super::goods::goods;
use super::measured::too_many;
use super::old_roof::old_roof;
use super::price::price;
use super::roof::{RoofSupplies, roof};
use super::silence::silences;
use super::{as_found, stages, under};
use crate::job_file::raw::checks::RawLift;
use crate::job_file::raw::job::{
    RawAnyRoof, RawCustomer, RawExtra, RawJob, RawOwnStrip, RawPhoto, RawRoof, RawSite, RawStage, texts,
};
use crate::job_file::raw::retention::RawRetention;
use crate::job_file::read::beside::{self, NotRead};
use crate::job_file::read::reading::{ByName, List, Slot};
use crate::job_file::read::scalars::{ShareOfPrice, YesNo, YesNoSum};
use crate::job_file::read::suggest;
use crate::model::firm::Picture;
use crate::model::goods::{During, Goods, Promised};
use crate::model::job::{Answer, By, Delivery, Forced, OwnStrip, Party, Site};
use crate::model::lift::Lift;
use crate::model::limits;
use crate::model::picture::PictureBytes;
use crate::model::silence::Silences;
use crate::model::words::once;
use crate::model::{Access, Finish, Job, OldRoof, Photo, Problem, Roof, SettingPath, Warned};
use crate::pricing::terms::{ClaimedRate, Extra, ExtraKind, ExtraSum, StagePart, StageRule};
use crate::pricing::{JobMoney, Money};
use std::path::Path;
use std::sync::Arc;
use time::{Date, Duration, Weekday};

/// Days that a quote stands where the job does not say.
const VALID_DAYS: u32 = 30;

/// What a job file gives.
#[derive(Debug, Clone)]
pub(crate) struct BuiltJob {
    /// The job.
    pub job: Job,
    /// Its sums.
    pub money: JobMoney,
    /// Its photographs.
    pub photos: Vec<Photo>,
    /// Which warnings it silences.
    pub silences: Silences,
}

/// Builds the job; `None` where a problem stopped it. `folder` is where its photographs are.
pub(crate) fn job(raw: RawJob, stock: RoofSupplies<'_>, folder: &Path, found: &mut Vec<Problem>) -> Option<BuiltJob> {
    let answered = Answered::by(raw.roofs.given());
    let (mut roofs, old_roofs) = roofs(raw.roofs, stock, found).unzip();
    let only_old = roofs.as_ref().is_some_and(Vec::is_empty);
    let mut raw_customer = raw.customer.take();
    let (customer_vat_number, reverse_charge) = raw_customer.as_mut().map_or((None, false), |c| customer_vat(c, found));
    let co_signers = raw_customer.as_mut().map_or_else(Vec::new, |c| co_signers(c, found));
    let customer = raw_customer.and_then(|raw| customer(raw, found));
    let site = site(raw.site, customer.as_ref(), found);
    let no_strip = raw.strip.is_missing();
    let strip = raw.strip.take().and_then(|said| match said {
        RawOwnStrip::Nothing => None,
        RawOwnStrip::Strip(strip) => Some(as_found::strip(strip, stock.trade, &["strip"].into(), found)),
    });
    if only_old && strip.is_some() {
        let fault = "nothing is stripped where the old laminate stays, and no roof of this job is laid anew";
        found.push(Problem::fault(
            ["strip"],
            fault,
            "take `strip` out, or write `work: new` on the roof that is stripped",
        ));
    }
    let begins = raw.start.given().copied();
    unsaid(
        begins,
        delivered_before(
            begins.or_else(|| raw.prepared.given().and_then(|day| day.checked_add(Duration::weeks(4)))),
            stock.holidays,
        ),
        [
            ("conditions", raw.conditions.is_missing() && !answered.conditions),
            ("strip", no_strip && !answered.strip && !only_old),
            ("delivery", raw.delivery.is_missing()),
            ("boundary", raw.boundary.is_missing() && !only_old),
        ],
        found,
    );
    if !raw.boundary.is_missing() && raw.roof_class.is_missing() && !only_old {
        found.push(Problem::assumed(
            ["boundary"],
            "the class of the covering in fire is not said: the order asks for its certificate, the quote leaves the question open",
            "write what the maker's certificate says of this build-up, for example `roof_class: B`",
        ));
    }
    let strip = strip.flatten();
    as_found::old_boards(roofs.as_deref_mut().unwrap_or_default(), strip.as_ref(), found);
    for roof in roofs.iter_mut().flatten() {
        let board = stock.products.zip(roof.deck.board.clone()).and_then(|(shelf, key)| shelf.sizes.boards.get(&key));
        under::risen(roof, board, stock.rules, found);
    }
    as_found::old_gutters(roofs.as_deref().unwrap_or_default(), strip.as_ref(), found);
    let stripped = strip.is_some() || roofs.iter().flatten().any(|r| matches!(r.own.strip, Some(OwnStrip::Strip(_))));
    let old = match stripped {
        true => OldParts::ComeOff,
        false if no_strip && !answered.strip && !only_old => OldParts::Unsaid,
        false => OldParts::Stay,
    };
    let asbestos_said = answered.asbestos || !raw.asbestos.is_missing();
    let asbestos = match answered.asbestos && raw.asbestos.is_missing() {
        true => Answer::No,
        false => asbestos(raw.asbestos, &site, old, found),
    };
    let (access, sums) = access(raw.access, found);
    let flashing = flashing(raw.flashing, roofs.as_deref(), answered.flashing, found);
    let delivery = raw.delivery.take().map(|d| Delivery {
        earliest: d.earliest.take(),
        latest: d.latest.take(),
        note: d.note.take().map(|t| t.0),
    });
    let quote = raw.quote.take().unwrap_or_default();
    let valid_days = quote.valid_days.or_taken(VALID_DAYS, || {
        let fault = format!("how long the quote stands is not said: {VALID_DAYS} days is taken");
        found.push(Problem::assumed(
            ["quote", "valid_days"],
            fault,
            format!("add `quote: {{valid_days: {VALID_DAYS}}}`"),
        ));
    });
    let mut raw_price = raw.price.take();
    let retention =
        raw_price.as_mut().and_then(|p| std::mem::take(&mut p.retention).take()).and_then(RawRetention::built);
    let (agreement, target) = raw_price.map_or((None, None), |p| price(p, found));
    let lines_by = quote.prices.take().unwrap_or_default();
    let stages = quote.stages.take().map(|s| stage_rules(s, &["quote", "stages"].into(), found));
    let vat =
        quote.vat.take().and_then(|raw| Some(ClaimedRate { rate: raw.rate.take()?.0, reason: raw.reason.take()?.0 }));
    let silences = silences(raw.silence.take().unwrap_or_default(), found);
    let extras = extras(raw.extras.take().unwrap_or_default(), found);
    let promised = extras.iter().filter(|(e, _)| e.kind.in_total());
    let promised: Vec<Promised> = promised.map(|(e, during)| Promised { title: e.title(), during: *during }).collect();
    let named = roofs.as_ref().zip(old_roofs.as_ref());
    let named: Option<Vec<&str>> = named
        .map(|(new, old)| new.iter().map(|r| r.name.as_str()).chain(old.iter().map(|r| r.name.as_str())).collect());
    let goods = goods(raw.order_lines.take().unwrap_or_default(), &promised, named.as_deref(), found);
    found.extend(goods.iter().filter_map(|g| fitted_too_soon(g, roofs.as_deref().unwrap_or_default())));
    let extras = extras.into_iter().map(|(extra, _)| extra).collect();
    let photos = photos(raw.photos.take().unwrap_or_default(), folder, found);
    let wind_from = wind(raw.wind_from.take().map(|t| t.0), roofs.as_deref(), found);
    let job = Job {
        reference: raw.reference.take()?.0,
        title: raw.title.take()?.0,
        prepared: raw.prepared.take()?,
        start: raw.start.take(),
        customer: customer?,
        co_signers,
        customer_vat_number,
        reverse_charge,
        site,
        access,
        conditions: raw
            .conditions
            .take()
            .map(|c| as_found::conditions(c, &["conditions"].into(), found))
            .unwrap_or_default(),
        roofs: roofs?,
        old_roofs: old_roofs?,
        strip,
        asbestos,
        asbestos_said,
        flashing,
        delivery: delivery.unwrap_or_default(),
        boundary: raw.boundary.take(),
        roof_class: raw.roof_class.take(),
        scaffold_is: raw.scaffold_is.take().map(|words| words.0),
        lift: raw.lift.take().map(lift),
        wind_from,
        extras: promised,
        goods,
        valid_days,
        notes: once(texts(quote.notes)),
        exclusions: once(texts(quote.exclusions)),
    };
    dates(&job, found);
    delivery_days(&job, stock.holidays, found);
    Some(BuiltJob {
        job,
        money: JobMoney { access: sums, extras, stages, vat, lines_by, target, agreement, retention },
        photos,
        silences,
    })
}

/// Tells what is taken where a whole group was left out.
/// What stands on a new kerb goes on last, since the laminate goes up and over the kerb first: fitted with the boards it would be
/// fitted twice.
fn fitted_too_soon(goods: &Goods, roofs: &[Roof]) -> Option<Problem> {
    goods.during.filter(|during| *during != During::Finish)?;
    let here = roofs.iter().filter(|roof| goods.roof.as_ref().is_none_or(|name| *name == roof.name));
    let mut kerbs = here.flat_map(|roof| &roof.holes).filter(|hole| hole.timber.kerb.is_some());
    let hole = kerbs.find(|hole| goods.stands_on(&hole.name))?;
    let fault = format!(
        "{} stands on the new kerb of `{}`, and the laminate goes up and over that first",
        goods.title(),
        hole.name
    );
    Some(Problem::fault(goods.path.key("during"), fault, "write `during: finish`"))
}

fn unsaid(begins: Option<Date>, delivery: String, groups: [(&'static str, bool); 4], found: &mut Vec<Problem>) {
    for (key, _) in groups.into_iter().filter(|(_, missing)| *missing) {
        let (fault, cure) = match key {
            "conditions" => (
                "the weather is not said: the mix card shows every row, and pots are sized for 20 C",
                "add, for example, `conditions: {air: 5 C to 12 C, humidity: 75 %, surface: 9 C}`",
            ),
            "strip" => (
                "no old covering is named: nothing is taken to come off",
                "add `strip: {covering: felt, tip: skip}` where something does",
            ),
            // The order says the same day.
            "delivery" if begins.is_some() => (
                "when the merchant delivers is not said: the last working day before `start` is taken",
                delivery.as_str(),
            ),
            "delivery" => ("when the merchant delivers is not said: the day is left to be agreed", delivery.as_str()),
            _ => (
                "how far the boundary is away is not said: the question of fire is left open",
                "add, for example, `boundary: 1.2 m`",
            ),
        };
        found.push(Problem::assumed([key], fault, cure));
    }
}

/// How the days of the delivery are written: three working days, the last of them before the first day on site.
fn delivered_before(begins: Option<Date>, holidays: &[Date]) -> String {
    let before = |day: Date| {
        let is_worked =
            |day: &Date| !matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday) && !holidays.contains(day);
        std::iter::successors(day.previous_day(), |day| day.previous_day()).find(is_worked)
    };
    let days = begins.and_then(before).and_then(|latest| Some((before(before(latest)?)?, latest)));
    match days {
        Some((earliest, latest)) => {
            format!("add, for example, `delivery: {{earliest: {earliest}, latest: {latest}}}`")
        }
        None => "add `delivery` with its days, `earliest` and `latest`".to_owned(),
    }
}

/// Which questions of the job every roof answers for itself.
#[derive(Debug, Clone, Copy, Default)]
struct Answered {
    strip: bool,
    asbestos: bool,
    flashing: bool,
    conditions: bool,
}

impl Answered {
    fn by(roofs: Option<&List<RawAnyRoof>>) -> Answered {
        let every = |says: fn(&RawRoof) -> bool| {
            let new = || roofs.into_iter().flatten().filter(|r| !matches!(r.given(), Some(RawAnyRoof::Old(_))));
            let says = |roof: &Slot<RawAnyRoof>| roof.given().and_then(RawAnyRoof::new_one).is_some_and(says);
            new().next().is_some() && new().all(says)
        };
        Answered {
            strip: every(|r| !r.strip.is_missing()),
            asbestos: every(|r| !r.asbestos.is_missing()),
            flashing: every(|r| !r.flashing.is_missing()),
            conditions: every(|r| !r.conditions.is_missing()),
        }
    }
}

/// The roofs that are laid anew, and those whose laminate stays, each in the order of the file.
fn roofs(
    raw: Slot<List<RawAnyRoof>>,
    stock: RoofSupplies<'_>,
    found: &mut Vec<Problem>,
) -> Option<(Vec<Roof>, Vec<OldRoof>)> {
    let raw = raw.take()?;
    if raw.is_empty() {
        found.push(Problem::fault(["roofs"], "a job needs at least one roof", "add one under `roofs`"));
        return None;
    }
    if too_many(raw.len(), limits::ROOFS, ["roofs"], found) {
        return None;
    }
    let (mut built, mut old, mut bad) = (Vec::new(), Vec::new(), false);
    let mut names: Vec<(usize, String)> = Vec::new();
    for (n, raw) in raw.into_iter().enumerate() {
        let path = SettingPath::from(["roofs"]).entry(n);
        match raw.take() {
            Some(RawAnyRoof::New(raw)) => match roof(*raw, &path, stock, found) {
                Some(roof) => {
                    names.push((n, roof.name.clone()));
                    built.push(roof);
                }
                None => bad = true,
            },
            Some(RawAnyRoof::Old(raw)) => match old_roof(*raw, &path, stock, found) {
                Some(roof) => {
                    names.push((n, roof.name.clone()));
                    old.push(roof);
                }
                None => bad = true,
            },
            None => bad = true,
        }
    }
    let told = |n: usize, fault: String, cure: &str| {
        Problem::fault(SettingPath::from(["roofs"]).entry(n).key("name"), fault, cure)
    };
    for (at, (n, name)) in names.iter().enumerate() {
        let same = |(_, before): &&(usize, String)| before.to_lowercase() == name.to_lowercase();
        if name.eq_ignore_ascii_case("all") {
            let fault = format!("no roof can be called `{name}`: that is every roof, where an option changes them");
            found.push(told(*n, fault, "call it after its place, such as `porch`"));
        } else if let Some((_, before)) = names[..at].iter().find(same) {
            let fault = format!("another roof is called `{before}` already");
            found.push(told(*n, fault, "give every roof its own name"));
        }
    }
    (!bad).then_some((built, old))
}

/// The customer's VAT number, and whether it accounts for the VAT. Only a business that is registered can.
fn customer_vat(raw: &mut RawCustomer, found: &mut Vec<Problem>) -> (Option<String>, bool) {
    let missing = raw.vat_number.is_missing();
    let number = std::mem::take(&mut raw.vat_number).take().map(|t| t.0);
    let reverse_charge = std::mem::take(&mut raw.reverse_charge).take().is_some_and(|yes| yes.0);
    if reverse_charge && missing {
        found.push(Problem::fault(
            ["customer", "vat_number"],
            "a customer that accounts for the VAT is registered for it, and its number is missing",
            "add `vat_number`, as the customer has given it, or take `reverse_charge` out",
        ));
    }
    (number, reverse_charge)
}

/// Who signs besides the customer.
fn co_signers(raw: &mut RawCustomer, found: &mut Vec<Problem>) -> Vec<String> {
    let names = std::mem::take(&mut raw.also_signs).take().map_or_else(Vec::new, |names| names.0);
    let many = too_many(names.len(), limits::CO_SIGNERS, ["customer", "also_signs"], found);
    if many { Vec::new() } else { names }
}

fn customer(raw: RawCustomer, found: &mut Vec<Problem>) -> Option<Party> {
    found.extend(email::unlikely(&raw.email, ["customer", "email"].into()));
    Some(Party {
        name: raw.name.take()?.0,
        address: raw.address.take()?.0,
        email: raw.email.take().map(|t| t.0),
        phone: raw.phone.take().map(|t| t.0),
    })
}

fn site(raw: Slot<RawSite>, customer: Option<&Party>, found: &mut Vec<Problem>) -> Site {
    let raw = raw.take().unwrap_or_default();
    let home = customer.map(|c| c.address.clone()).unwrap_or_default();
    let address = raw.address.or_taken(crate::job_file::raw::job::Lines(vec!["same".into()]), || {
        found.push(Problem::assumed(
            ["site", "address"],
            "the address of the site is not said: the customer's is taken",
            "add `site: {address: same}`, or its own address",
        ));
    });
    if raw.eaves_height.is_missing() {
        found.push(Problem::assumed(
            ["site", "eaves_height"],
            "the height of the eaves is not said: nothing is taken from it",
            "add, for example, `eaves_height: 2.6 m`",
        ));
    }
    Site {
        address: if address.is_same() { home } else { address.0 },
        eaves_height: raw.eaves_height.take(),
        built_before_2000: raw.built_before_2000.take(),
        access: raw.access.take().map(|t| t.0),
        hospital: raw.hospital.take().map(|t| t.0),
    }
}

/// How packs are lifted; what is left out is on the safe side.
pub(crate) fn lift(raw: RawLift) -> Lift {
    let usual = Lift::default();
    Lift {
        zones: raw.zones.take().unwrap_or_default().into_iter().filter_map(Slot::take).collect(),
        reach: raw.reach.take().unwrap_or(usual.reach),
        column: raw.column.take().unwrap_or(usual.column),
        payload: raw.payload.take(),
    }
}

/// Whether anything old is touched on any roof.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum OldParts {
    /// An old covering comes off.
    ComeOff,
    /// Nobody said what comes off.
    Unsaid,
    /// Nothing comes off.
    Stay,
}

/// Unanswered, where something old comes off, or may, and the building may be old: not known, which counts as yes.
fn asbestos(raw: Slot<Answer>, site: &Site, old: OldParts, found: &mut Vec<Problem>) -> Answer {
    const CURE: &str = as_found::SURVEY_FIRST;
    let unsaid = raw.is_missing();
    match raw.take() {
        Some(Answer::NotKnown) => {
            let fault = "whether there is asbestos is not known: it counts as yes";
            found.push(Problem::warning(Warned::Asbestos, ["asbestos"], fault, CURE));
            Answer::NotKnown
        }
        Some(answer) => answer,
        None if !unsaid => Answer::NotKnown,
        None if old != OldParts::Stay && site.built_before_2000 != Some(Answer::No) => {
            let age = match site.built_before_2000 {
                Some(Answer::Yes) => "was built before 2000",
                _ => "may have been built before 2000",
            };
            let (what, cure) = match old {
                OldParts::Unsaid => (
                    format!("what comes off a building that {age} is not said"),
                    format!("{CURE}; where all is new and nothing old is touched, write `strip: nothing`"),
                ),
                _ => (format!("an old covering comes off a building that {age}"), CURE.to_owned()),
            };
            let fault = format!("{what}, and `asbestos` is not answered: it counts as yes");
            found.push(Problem::warning(Warned::Asbestos, ["asbestos"], fault, cure));
            Answer::NotKnown
        }
        // No building from 2000 or later has any.
        None if site.built_before_2000 == Some(Answer::No) => Answer::No,
        None => {
            let fault = "whether there is asbestos is not answered: none is taken, as no covering of a building from before 2000 comes off";
            found.push(Problem::assumed(["asbestos"], fault, "add `asbestos: no`, once you are sure"));
            Answer::No
        }
    }
}

type Sums = Vec<(Access, Money)>;

/// The answers in the order of the questions, and the sums that some of them give.
fn access(raw: Slot<ByName<YesNoSum>>, found: &mut Vec<Problem>) -> (Vec<(Access, Forced)>, Sums) {
    let bad = raw.is_bad();
    let given = raw.take().map(|n| n.0).unwrap_or_default();
    for (name, _) in given.iter().filter(|(name, _)| Access::of(name).is_none()).take(50) {
        found.push(no_question(&SettingPath::from(["access"]).key(name.clone()), name, Access::all()));
    }
    let answer = |asked: Access| given.iter().find(|(n, _)| Access::of(n) == Some(asked)).map(|(_, slot)| slot);
    let mut sums = Vec::new();
    let mut forced = |asked: Access| match answer(asked).and_then(Slot::given) {
        Some(YesNoSum::Yes) => Forced::Yes,
        Some(YesNoSum::No) => Forced::No,
        Some(YesNoSum::Sum(sum)) => {
            sums.push((asked, *sum));
            Forced::Sum
        }
        None => Forced::Unanswered,
    };
    let answers = Access::all().map(|asked| (asked, forced(asked))).collect();
    let open: Vec<String> = Access::all()
        .filter(|asked| answer(*asked).is_none())
        .map(|asked| format!("{} (`{}`)", asked.words(), asked.key()))
        .collect();
    if !open.is_empty() && !bad {
        let fault = format!("not answered, and so not included in the price: {}", suggest::listed(&open, "and"));
        found.push(Problem::assumed(["access"], fault, "answer each under `access:` with `yes`, `no` or a sum"));
    }
    (answers, sums)
}

/// A key that is none of the questions.
pub(crate) fn no_question(path: &SettingPath, key: &str, asked: impl Iterator<Item = Access>) -> Problem {
    let known: Vec<&str> = asked.map(Access::key).collect();
    Problem::fault(path, format!("`{key}` is not one of the questions of `access`"), suggest::cure(key, &known))
}

fn flashing(raw: Slot<By>, roofs: Option<&[Roof]>, answered: bool, found: &mut Vec<Problem>) -> By {
    let walls = roofs.is_some_and(|r| r.iter().any(|r| r.outline.edges.iter().any(|e| e.finish == Finish::Wall)));
    raw.or_taken(By::Us, || {
        if walls && !answered {
            found.push(Problem::assumed(
                ["flashing"],
                "who cuts in the flashing is not said: the firm is taken to do it",
                "add `flashing: us`, or `flashing: others`",
            ));
        }
    })
}

/// The extras, each with the operation in which it is done.
fn extras(raw: List<RawExtra>, found: &mut Vec<Problem>) -> Vec<(Extra, During)> {
    if too_many(raw.len(), limits::EXTRAS, ["extras"], found) {
        return Vec::new();
    }
    let mut one = |(n, raw): (usize, Slot<RawExtra>)| {
        let raw = raw.take()?;
        if raw.cost.is_bad() || raw.cost_a_day.is_bad() || raw.price.is_bad() || raw.during.is_bad() {
            return None;
        }
        let sums = [
            raw.cost.given().map(|m| ExtraSum::Cost(*m)),
            raw.cost_a_day.given().map(|m| ExtraSum::CostADay(*m)),
            raw.price.given().map(|m| ExtraSum::Price(*m)),
        ];
        let sums: Vec<ExtraSum> = sums.into_iter().flatten().collect();
        let [sum] = sums[..] else {
            found.push(Problem::fault(
                SettingPath::from(["extras"]).entry(n),
                "an extra needs one of `cost`, `cost_a_day` and `price`",
                "write `cost: 120.00` for what it costs you, `cost_a_day: 45.00` for plant on hire, or `price: 120.00` for \
                 what it is sold for without VAT",
            ));
            return None;
        };
        let kind = extra_kind(&raw, n, found);
        let during = raw.during.take().unwrap_or(During::Finish);
        Some((Extra { label: raw.item.take()?.0, sum, kind: kind? }, during))
    };
    let all: Vec<(usize, (Extra, During))> =
        raw.into_iter().enumerate().filter_map(|(n, raw)| Some((n, one((n, raw))?))).collect();
    for (at, (n, (extra, _))) in all.iter().enumerate() {
        if all[..at].iter().any(|(_, (before, _))| before == extra) {
            found.push(Problem::warning(
                Warned::Twice,
                SettingPath::from(["extras"]).entry(*n),
                format!("`{}` stands here again with the same sum, and is charged again", extra.label),
                "take one of the two out, or say in `item` in what they differ",
            ));
        }
    }
    all.into_iter().map(|(_, extra)| extra).collect()
}

/// How an extra stands in the price; `None` where the answers do not go together.
fn extra_kind(raw: &RawExtra, n: usize, found: &mut Vec<Problem>) -> Option<ExtraKind> {
    let yes = |slot: &Slot<YesNo>| slot.given().is_some_and(|y| y.0);
    let mut tell = |key: &'static str, fault: &str, cure: &str| {
        found.push(Problem::fault(SettingPath::from(["extras"]).entry(n).key(key), fault, cure));
        None
    };
    match (yes(&raw.optional), yes(&raw.provisional), raw.in_total.given().map(|y| y.0)) {
        (true, true, _) => tell(
            "provisional",
            "an extra cannot be both optional and provisional",
            "keep `optional: yes` for what the householder may choose, `provisional: yes` for what nobody can size yet",
        ),
        (true, _, Some(true)) => {
            tell("in_total", "an optional extra is in no total", "take out `optional`, or take out `in_total`")
        }
        (false, false, Some(false)) => tell(
            "in_total",
            "an extra that is not in the total is optional or provisional",
            "write `optional: yes` or `provisional: yes` instead",
        ),
        (true, false, _) => Some(ExtraKind::Optional),
        (false, true, Some(true)) => Some(ExtraKind::ProvisionalInTotal),
        (false, true, _) => Some(ExtraKind::Provisional),
        (false, false, _) => Some(ExtraKind::Fixed),
    }
}

/// The payments of a list, checked.
pub(crate) fn stage_rules(raw: List<RawStage>, path: &SettingPath, found: &mut Vec<Problem>) -> Vec<StageRule> {
    let one = |raw: Slot<RawStage>| {
        let raw = raw.take()?;
        let part = match raw.part.take()? {
            ShareOfPrice::Percent(p) => StagePart::Percent(p),
            ShareOfPrice::Sum(sum) => StagePart::Sum(sum),
            ShareOfPrice::Rest => StagePart::Remainder,
        };
        Some(StageRule { label: raw.when.take()?.0, part, after: raw.after.take() })
    };
    let count = raw.len();
    if too_many(count, limits::STAGES, path, found) {
        return Vec::new();
    }
    let all: Vec<StageRule> = raw.into_iter().filter_map(one).collect();
    if all.len() == count {
        stages::check(&all, path, found);
    }
    all
}

/// The photographs that a file names, read from its folder.
pub(super) fn photos(raw: List<RawPhoto>, folder: &Path, found: &mut Vec<Problem>) -> Vec<Photo> {
    if too_many(raw.len(), limits::PHOTOS, ["photos"], found) {
        return Vec::new();
    }
    let mut left = limits::ALL_PHOTOS.most as u64 * 1_000_000;
    let one = |(n, raw): (usize, Slot<RawPhoto>)| {
        let raw = raw.take()?;
        let file = raw.file.take()?.0;
        let mut tell = |fault: String, cure: String| {
            found.push(Problem::fault(SettingPath::from(["photos"]).entry(n).key("file"), fault, cure));
        };
        let bytes = match beside::picture(folder, &file, limits::PHOTO.most) {
            Ok(found) if found.length <= left => {
                left -= found.length;
                PictureBytes::Stored(Arc::new(found))
            }
            Ok(_) => {
                let most = limits::ALL_PHOTOS.most;
                let fault = format!("up to this one, the photographs come to more than {most} MB");
                tell(fault, "give fewer, or save them smaller: 2,000 pixels across are plenty".into());
                PictureBytes::default()
            }
            Err(NotRead::Missing) => {
                let fault = format!("there is no photograph `{file}` in the job's folder");
                tell(fault, "check its name, or take the entry out".into());
                PictureBytes::default()
            }
            Err(NotRead::Unfit(fault, cure)) => {
                tell(format!("the photograph `{file}` {fault}"), cure);
                PictureBytes::default()
            }
        };
        let caption = raw.caption.take().map(|t| t.0);
        let picture = Picture {
            name: file.clone(),
            bytes,
            path: SettingPath::from(["photos"]).entry(n).key("file"),
            ..Picture::default()
        };
        Some(Photo { file, caption, picture })
    };
    raw.into_iter().enumerate().filter_map(one).collect()
}

fn wind(name: Option<String>, roofs: Option<&[Roof]>, found: &mut Vec<Problem>) -> Option<String> {
    let (name, Some(roofs)) = (name?, roofs) else { return None };
    let mut edges: Vec<&str> = roofs.iter().flat_map(|r| &r.outline.edges).map(|e| e.name.as_str()).collect();
    edges.sort_unstable();
    edges.dedup();
    if !edges.contains(&name.as_str()) {
        let fault = format!("the wind comes from `{name}`, which is not an edge of any roof");
        found.push(Problem::fault(["wind_from"], fault, suggest::cure(&name, &edges)));
    }
    Some(name)
}

/// Tells of a first or last day of delivery that is a Sunday or one of the firm's holidays.
fn delivery_days(job: &Job, holidays: &[Date], found: &mut Vec<Problem>) {
    let Delivery { earliest, latest, .. } = job.delivery;
    for (key, what, day) in [("earliest", "the first", earliest), ("latest", "the last", latest)] {
        let Some(day) = day else { continue };
        // Of two days that are one, the first is told.
        let is = match day.weekday() {
            _ if key == "latest" && earliest == latest => continue,
            Weekday::Sunday => "a Sunday",
            _ if holidays.contains(&day) => "a holiday of the firm",
            _ => continue,
        };
        let fault = format!("{what} day of delivery, {day}, is {is}");
        let cure = "name a day on which the merchant delivers and somebody takes the goods in";
        found.push(Problem::warning(Warned::Delivery, ["delivery", key], fault, cure));
    }
}

fn dates(job: &Job, found: &mut Vec<Problem>) {
    let Delivery { earliest, latest, .. } = job.delivery;
    if let (Some(first), Some(last)) = (earliest, latest)
        && last < first
    {
        found.push(Problem::fault(
            ["delivery", "latest"],
            format!("the latest day, {last}, comes before the earliest, {first}"),
            "swap the two",
        ));
    }
    for (path, what, day) in [
        (SettingPath::from(["start"]), "the first day on site", job.start),
        (["delivery", "earliest"].into(), "the delivery", earliest),
    ] {
        if let Some(day) = day.filter(|d| *d < job.prepared) {
            let fault = format!("{what}, {day}, lies before the date of the documents, {}", job.prepared);
            found.push(Problem::warning(Warned::Dates, path, fault, "check both dates"));
        }
    }
    let (years, reach) = (limits::YEARS, limits::DAYS_AHEAD);
    if !years.limit.holds(job.prepared.year().into()) {
        let fault = format!("the documents are dated {}: the year lies {}", job.prepared, years.words());
        found.push(Problem::fault(["prepared"], fault, "check the year"));
    }
    for (path, what, day) in [
        (SettingPath::from(["start"]), "the first day on site", job.start),
        (["delivery", "earliest"].into(), "the delivery", earliest),
        (["delivery", "latest"].into(), "the last day of delivery", latest),
    ] {
        let Some(day) = day else { continue };
        let days = (day - job.prepared).whole_days();
        if !reach.limit.holds(days.into()) {
            let fault = format!(
                "{what}, {day}, lies {} days {} the date of the documents, {}",
                days.abs(),
                if days < 0 { "before" } else { "after" },
                job.prepared
            );
            let (back, on) = (-reach.limit.least, reach.limit.most);
            let cure = format!("check the years: up to {back} days before and {on} days after are taken");
            found.push(Problem::fault(path, fault, cure));
        }
    }
}
