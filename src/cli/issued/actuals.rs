//! `actuals`: what jobs took against what was planned, and the norms that come of it.
//!
//! Given jobs with a record beside them; prints hours by work and packs by article, as recorded and as planned. The plan is the job
//! as it was accepted, with what was frozen with its quote; of a job that was not accepted, as it stands. Over several jobs norms are
//! proposed. Nothing is written: the firm file is the firm's.

use super::deal::Deal;
use super::handover::{built, read_record, record_place};
use super::kept::{Kept, unread};
use super::packs::{self, PacksOrdered};
use crate::cli::arguments::Files;
use crate::cli::jobs::{self, JobSource};
use crate::cli::table::{Ranged, table};
use crate::cli::terminal;
use crate::cli::work::{self, PricedJob, Stopped};
use crate::cli::{Outcome, report};
use crate::documents::wording;
use crate::job_file::{self, LoadedRecord};
use crate::model::limits;
use crate::model::problem::Source;
use crate::model::rules::Limits;
use crate::model::{Problem, Rules, SettingPath};
use crate::programme::actuals::{self, FEWEST_JOBS, NormProposed, NormSeen, WorkHours};
use rust_decimal::Decimal;
use serde_json::{Value, json};
use std::path::PathBuf;
use time::Date;

/// Packs of one article, and how many of them were used.
#[derive(Debug, Clone)]
struct PacksUsed {
    packs: PacksOrdered,
    used: Option<Decimal>,
}

impl PacksUsed {
    fn words(&self) -> String {
        format!("{}, {}", self.packs.description, self.packs.pack)
    }
}

/// A job against its plan.
#[derive(Debug, Clone)]
struct TakenJob {
    job: String,
    reference: String,
    title: String,
    finished: Option<Date>,
    plan: String,
    hours: Vec<WorkHours>,
    packs: Vec<PacksUsed>,
    norms: Vec<NormSeen>,
    /// The norms of the firm file of today.
    present: Rules,
}

/// Prints what jobs took.
///
/// # Errors
/// What was typed cannot be used. A job's own problems are reported and counted in the outcome.
pub(crate) fn actuals(typed: &[PathBuf], json: bool, files: &Files) -> Result<Outcome, Stopped> {
    let jobs = jobs::find(typed).map_err(Stopped::Usage)?;
    let (mut worst, mut taken, mut without) = (Outcome::Done, Vec::new(), Vec::new());
    for job in &jobs {
        match taken_job(job, files) {
            Ok(Some(one)) => taken.push(one),
            Ok(None) => without.push(job.label()),
            Err(stopped) => worst = worst.max(report(&stopped)),
        }
    }
    let most = limits::RECORDED_JOBS.most;
    if taken.len() > most {
        let fault = format!(
            "{} jobs have a record: norms are proposed from {most} at most; name those that you mean",
            taken.len()
        );
        return Err(Stopped::Usage(fault));
    }
    match (taken.as_slice(), jobs.len()) {
        ([], _) if worst == Outcome::Done => {
            let whose = match jobs.as_slice() {
                [one] => format!("there is no {}", record_place(one).display()),
                _ => "there is no record.yaml beside any of these jobs".to_owned(),
            };
            let fault = format!("{whose}: `wetout handover JOB --form` prints one to fill in");
            return Err(Stopped::Usage(fault));
        }
        ([], _) => {}
        ([one], 1) if json => terminal::say(&printed(&as_json(one)))?,
        ([one], 1) => terminal::say(&as_text(one))?,
        (all, _) => {
            let norms: Vec<Vec<NormSeen>> = all.iter().map(|one| one.norms.clone()).collect();
            let proposed = actuals::proposed(&norms, &all[0].present);
            terminal::say(&if json {
                many_as_json(all, &without, &proposed)
            } else {
                many_as_text(all, &without, &proposed)
            })?;
        }
    }
    Ok(worst)
}

// ---- One job --------------------------------------------------------------------------------------------------------------

/// A job against its plan; `None` where it has no record.
fn taken_job(job: &JobSource, files: &Files) -> Result<Option<TakenJob>, Stopped> {
    let request = job.request(files).map_err(Stopped::Usage)?;
    let place = record_place(job);
    if !matches!(job, JobSource::File(_)) || !place.exists() {
        return Ok(None);
    }
    let read = read_record(&place)?;
    let today = job_file::load(&request).map_err(|f| Stopped::Problems(f.problems, Box::new(f.sources)))?;
    let kept = Kept::beside(&job.folder()).map_err(|error| unread(&job.folder(), &error))?;
    let reference = today.job.reference.clone();
    let (priced, plan) = match Deal::of(&kept, &reference)? {
        Some(deal) => (built(&kept, &reference, &deal)?.0, format!("as accepted, revision {}", deal.revision)),
        None => (work::price_without_options(job, files)?, "as the job file stands".to_owned()),
    };
    let ordered = packs::ordered(&kept, &reference, &priced)?;
    refuse_astray(&read, &priced, &ordered)?;
    let loaded = &priced.laid.loaded;
    let hours = actuals::hours(&priced.programme, &read.record.hours);
    let norms = actuals::norms(&hours, &priced.laid.layout.take_off.lines, &loaded.job, &loaded.rules);
    Ok(Some(TakenJob {
        job: job.label(),
        title: loaded.job.title.clone(),
        finished: read.record.finished,
        packs: used(ordered, &read),
        present: today.firm_rules,
        reference,
        plan,
        hours,
        norms,
    }))
}

/// What the record says of works that the job does not have, and of articles that were not ordered.
fn refuse_astray(read: &LoadedRecord, priced: &PricedJob, ordered: &[PacksOrdered]) -> Result<(), Stopped> {
    let mut found = read.record.astray(&priced.laid.layout.take_off.works);
    let codes: Vec<&str> = ordered.iter().map(|packs| packs.code.as_str()).collect();
    for (code, _) in read.record.packs.iter().filter(|(code, _)| !codes.contains(&code.as_str())) {
        let near = codes.iter().copied().min_by_key(|known| strsim::damerau_levenshtein(known, code));
        let cure = match near {
            Some(near) if strsim::damerau_levenshtein(near, code) <= 3 => format!("did you mean `{near}`?"),
            _ => "take it out; `wetout handover JOB --form` prints the codes of the order".to_owned(),
        };
        let fault = format!("nothing of the code `{code}` was ordered");
        found.push(Problem::fault(SettingPath::from(["packs"]).key(code.clone()), fault, cure).within(Source::Record));
    }
    match found.is_empty() {
        true => Ok(()),
        false => {
            let mut sources = priced.laid.loaded.sources.clone();
            sources.record = Some(read.source.clone());
            Err(Stopped::Problems(found, Box::new(sources)))
        }
    }
}

/// What was ordered for certain, with what was used.
fn used(ordered: Vec<PacksOrdered>, read: &LoadedRecord) -> Vec<PacksUsed> {
    let used = |code: &str| read.record.packs.iter().find(|(of, _)| of == code).map(|(_, packs)| *packs);
    let all = ordered.into_iter().filter(|packs| !packs.optional);
    all.map(|packs| PacksUsed { used: used(&packs.code), packs }).collect()
}

/// Planned and spent, of those works whose hours were written down.
fn sums(hours: &[WorkHours]) -> (Decimal, Decimal) {
    let recorded = || hours.iter().filter_map(|work| Some((work.planned, work.spent?)));
    (recorded().map(|(planned, _)| planned).sum(), recorded().map(|(_, spent)| spent).sum())
}

fn in_hours(hours: Decimal) -> String {
    format!("{:.2}", hours.round_dp(2))
}

/// A sign before a difference; none where there is none.
fn sign(difference: Decimal) -> &'static str {
    match difference {
        none if none.is_zero() => "",
        less if less.is_sign_negative() => "−",
        _ => "+",
    }
}

/// `+0.50`, `−1.25`.
fn signed(difference: Decimal) -> String {
    format!("{}{}", sign(difference.round_dp(2)), in_hours(difference.abs()))
}

/// `+12 %`; nothing where nothing was planned.
fn percent(planned: Decimal, spent: Decimal) -> String {
    let part = ((spent - planned) * Decimal::ONE_HUNDRED).checked_div(planned).map(|part| part.round());
    part.map_or_else(String::new, |part| format!("{}{} %", sign(part), part.abs().normalize()))
}

fn as_text(taken: &TakenJob) -> String {
    let finished = taken.finished.map_or_else(String::new, |day| format!(", finished on {day}"));
    let mut text = format!("{} {}{finished}; the plan is the job {}\n\n", taken.reference, taken.title, taken.plan);
    let hours = [
        ("work", Ranged::Left),
        ("planned h", Ranged::Right),
        ("spent h", Ranged::Right),
        ("difference", Ranged::Right),
        ("", Ranged::Right),
    ];
    let row = |work: &WorkHours| {
        let mut cells = vec![work.work.name().to_owned(), in_hours(work.planned)];
        cells.extend(match work.spent {
            Some(spent) => [in_hours(spent), signed(spent - work.planned), percent(work.planned, spent)],
            None => ["not recorded".to_owned(), String::new(), String::new()],
        });
        cells
    };
    let mut rows: Vec<Vec<String>> = taken.hours.iter().map(row).collect();
    let (planned, spent) = sums(&taken.hours);
    rows.push(vec![
        "all that was recorded".to_owned(),
        in_hours(planned),
        in_hours(spent),
        signed(spent - planned),
        percent(planned, spent),
    ]);
    text += &table(&hours, &rows);
    if !taken.norms.is_empty() {
        let columns = [
            ("norm", Ranged::Left),
            ("planned with", Ranged::Right),
            ("on this job", Ranged::Right),
            ("", Ranged::Left),
        ];
        let row =
            |norm: &NormSeen| vec![norm.rule.to_owned(), figure(norm.planned), figure(norm.seen), norm.per.to_owned()];
        text += &format!("\n{}", table(&columns, &taken.norms.iter().map(row).collect::<Vec<_>>()));
    }
    let recorded: Vec<&PacksUsed> = taken.packs.iter().filter(|packs| packs.used.is_some()).collect();
    if !recorded.is_empty() {
        let columns = [
            ("article", Ranged::Left),
            ("ordered", Ranged::Right),
            ("used", Ranged::Right),
            ("left", Ranged::Right),
            ("", Ranged::Left),
        ];
        let row = |packs: &&PacksUsed| {
            let used = packs.used.unwrap_or_default();
            let left = Decimal::from(packs.packs.ordered) - used;
            let short = if left.is_sign_negative() && !left.is_zero() { "more than was ordered" } else { "" };
            vec![
                packs.words(),
                packs.packs.ordered.to_string(),
                used.normalize().to_string(),
                left.normalize().to_string().replace('-', "−"),
                short.to_owned(),
            ]
        };
        text += &format!("\n{}", table(&columns, &recorded.iter().map(row).collect::<Vec<_>>()));
    }
    let unsaid = taken.packs.len() - recorded.len();
    if unsaid > 0 {
        text +=
            &format!("of {} the record does not say what was used\n", wording::plural(unsaid, "article", "articles"));
    }
    text + &format!("\nOne job says little: from {FEWEST_JOBS} jobs on `wetout actuals FOLDER` proposes norms.\n")
}

/// A norm as the firm file has it: to a hundredth of an hour, a small one to a thousandth.
fn figure(norm: Decimal) -> String {
    rounded(norm).to_string()
}

fn rounded(norm: Decimal) -> Decimal {
    let mut rounded = norm.round_dp(if norm < Decimal::new(1, 1) { 3 } else { 2 });
    // Two places at least: 0.30.
    if rounded.normalize().scale() <= 2 {
        rounded.rescale(2);
    }
    rounded
}

fn as_json(taken: &TakenJob) -> Value {
    let number = |n: Decimal| json!(n.round_dp(4).normalize().to_string().parse::<f64>().unwrap_or_default());
    let hours = taken.hours.iter().map(|work| {
        json!({"work": work.work.key(), "name": work.work.name(), "planned": number(work.planned), "spent": work.spent.map(number)})
    });
    let packs = taken.packs.iter().map(
        |packs| json!({"code": packs.packs.code, "article": packs.words(), "ordered": packs.packs.ordered, "used": packs.used.map(number)}),
    );
    let norms = taken.norms.iter().map(
        |norm| json!({"rule": norm.rule, "unit": norm.per, "planned": number(norm.planned), "seen": number(norm.seen)}),
    );
    json!({
        "job": taken.job, "reference": taken.reference, "title": taken.title, "finished": taken.finished.map(|day| day.to_string()),
        "plan": taken.plan, "hours": hours.collect::<Vec<_>>(), "packs": packs.collect::<Vec<_>>(),
        "norms": norms.collect::<Vec<_>>(),
    })
}

fn printed(value: &Value) -> String {
    serde_json::to_string_pretty(value).unwrap_or_default() + "\n"
}

// ---- Several jobs ---------------------------------------------------------------------------------------------------------

fn many_as_text(all: &[TakenJob], without: &[String], proposed: &[NormProposed]) -> String {
    let columns = [
        ("reference", Ranged::Left),
        ("job", Ranged::Left),
        ("finished", Ranged::Left),
        ("planned h", Ranged::Right),
        ("spent h", Ranged::Right),
        ("difference", Ranged::Right),
    ];
    let row = |taken: &TakenJob| {
        let (planned, spent) = sums(&taken.hours);
        let finished = taken.finished.map_or_else(|| "–".to_owned(), |day| day.to_string());
        vec![
            taken.reference.clone(),
            taken.title.clone(),
            finished,
            in_hours(planned),
            in_hours(spent),
            percent(planned, spent),
        ]
    };
    let mut text = table(&columns, &all.iter().map(row).collect::<Vec<_>>());
    text += &format!("\n{}", wording::plural(all.len(), "job with a record", "jobs with a record"));
    if !without.is_empty() {
        text += &format!(", {} without", without.len());
    }
    text += "; hours are compared where they were recorded\n";
    if proposed.is_empty() {
        return text + &format!("\nNo norm is proposed: none was seen on {FEWEST_JOBS} jobs or more.\n");
    }
    let columns = [
        ("norm", Ranged::Left),
        ("present", Ranged::Right),
        ("median", Ranged::Right),
        ("from", Ranged::Right),
        ("to", Ranged::Right),
        ("certain to", Ranged::Right),
        ("jobs", Ranged::Right),
        ("", Ranged::Left),
    ];
    let row = |norm: &NormProposed| {
        let verdict = if norm.differs() { "differs" } else { "agrees" };
        vec![
            format!("{} ({})", norm.rule, norm.per),
            figure(norm.present),
            figure(norm.median),
            figure(norm.low),
            figure(norm.high),
            format!("{} %", norm.coverage.normalize()),
            norm.jobs.to_string(),
            verdict.to_owned(),
        ]
    };
    text += &format!("\n{}", table(&columns, &proposed.iter().map(row).collect::<Vec<_>>()));
    text += "\nHalf of such jobs take less than the true middle, half more. It lies between “from” and “to” with the probability that \
             is stated,\nwhatever way the hours are spread (order statistics of the binomial distribution).\n";
    let differing: Vec<String> = proposed.iter().filter(|norm| norm.differs()).filter_map(taken_over).collect();
    match differing.is_empty() {
        true => text + "\nEvery norm agrees with what was seen: nothing is proposed.\n",
        false => {
            text + &format!(
                "\nIf you want to plan with what was seen, write into `rules:` of the firm file:\n\n{}",
                differing.concat()
            )
        }
    }
}

/// The line of the firm file by which a norm is taken over; nothing where the firm file would refuse it.
fn taken_over(norm: &NormProposed) -> Option<String> {
    let median = rounded(norm.median);
    let rule = Rules::LIMITS.iter().find(|rule| rule.name == norm.rule)?;
    let Limits::Each(limit) = rule.limits else { return None };
    let comment = format!(
        "median of {} jobs, {} % from {} to {}",
        norm.jobs,
        norm.coverage.normalize(),
        figure(norm.low),
        figure(norm.high)
    );
    limit.holds(median).then(|| format!("  {}: {} {} # {comment}\n", norm.rule, figure(median), rule.unit))
}

fn many_as_json(all: &[TakenJob], without: &[String], proposed: &[NormProposed]) -> String {
    let number = |n: Decimal| json!(n.round_dp(4).normalize().to_string().parse::<f64>().unwrap_or_default());
    let norm = |norm: &NormProposed| {
        json!({
            "rule": norm.rule, "unit": norm.per, "present": number(norm.present), "median": number(norm.median),
            "low": number(norm.low), "high": number(norm.high), "coverage_percent": number(norm.coverage), "jobs": norm.jobs,
            "differs": norm.differs(),
        })
    };
    let value = json!({
        "jobs": all.iter().map(as_json).collect::<Vec<_>>(), "without_record": without,
        "norms": proposed.iter().map(norm).collect::<Vec<_>>(),
    });
    printed(&value)
}
