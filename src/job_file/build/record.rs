//! The record of the work: names that there are, results that can be read, days in their order.
//!
//! Given the raw record and its folder; gives the record, or tells what is wrong. What a job needs of it and what its works do not
//! have is judged by [`SiteRecord`], who knows the works.

use super::job::photos;
use super::measured::too_many;
use crate::job_file::raw::record::{RawBatches, RawCheckResult, RawLoggedWeather, RawRecord, SpentHours};
use crate::job_file::read::reading::{ByName, List, OneOrMany, Slot};
use crate::job_file::read::scalars::PrintedText;
use crate::job_file::read::suggest;
use crate::model::firm::Picture;
use crate::model::limits;
use crate::model::problem::Source;
use crate::model::{Photo, Problem, SettingPath};
use crate::works::record::{Batched, CheckResult, LoggedWeather, SiteRecord, VariedResult};
use crate::works::{RoofCheck, WorkKind};
use rust_decimal::Decimal;
use std::path::Path;
use time::Date;

/// No roof of this kind takes longer, in days.
const LONGEST_ON_SITE: i64 = 366;

/// Builds the record.
pub(crate) fn record(raw: RawRecord, folder: &Path, found: &mut Vec<Problem>) -> SiteRecord {
    let finished = raw.finished.take();
    let photos = photos(raw.photos.take().unwrap_or_default(), folder, found).into_iter().map(of_record).collect();
    SiteRecord {
        finished,
        weather: weather(raw.weather.take().unwrap_or_default(), finished, found),
        batches: raw.batches.take().map(|raw| batches(raw, found)).unwrap_or_default(),
        checks: raw.checks.take().map(|raw| checks(raw, found)).unwrap_or_default(),
        variations: raw.variations.take().map(|raw| variations(raw, found)).unwrap_or_default(),
        photos,
        left: raw.left.take().unwrap_or_default().into_iter().filter_map(|line| Some(line.take()?.0)).collect(),
        hours: raw.hours.take().map(|raw| hours(raw, found)).unwrap_or_default(),
        packs: raw.packs.take().map(packs).unwrap_or_default(),
    }
}

fn of_record(photo: Photo) -> Photo {
    Photo { picture: Picture { source: Source::Record, ..photo.picture }, ..photo }
}

fn weather(raw: List<RawLoggedWeather>, finished: Option<Date>, found: &mut Vec<Problem>) -> Vec<LoggedWeather> {
    if too_many(raw.len(), limits::LOGGED, ["weather"], found) {
        return Vec::new();
    }
    let mut log = Vec::new();
    for (n, raw) in raw.into_iter().enumerate() {
        let Some(raw) = raw.take() else { continue };
        let day = raw.day.take();
        if let (Some(day), Some(end)) = (day, finished)
            && day > end
        {
            let fault = format!("this day lies after {end}, on which the work was finished");
            let cure = "write the day on which it was read, or the day on which the work was finished anew";
            found.push(Problem::fault(SettingPath::from(["weather"]).entry(n).key("day"), fault, cure));
        }
        if let (Some(day), Some(end)) = (day, finished)
            && (end - day).whole_days() > LONGEST_ON_SITE
        {
            let fault = format!("this day lies more than a year before {end}, on which the work was finished");
            found.push(Problem::fault(SettingPath::from(["weather"]).entry(n).key("day"), fault, "check the year"));
        }
        let read = (day, raw.air.take(), raw.humidity.take(), raw.surface.take());
        if let (Some(day), Some(air), Some(humidity), Some(surface)) = read {
            let words = raw.words.take().map(|t| t.0);
            log.push(LoggedWeather { day, air: air.0, humidity: humidity.0, surface: surface.0, words });
        }
    }
    log.sort_by_key(|entry| entry.day);
    log
}

fn batches(raw: RawBatches, found: &mut Vec<Problem>) -> Vec<(Batched, Vec<String>)> {
    let RawBatches { resin, mat, catalyst, topcoat } = raw;
    let all =
        [(Batched::Resin, resin), (Batched::Mat, mat), (Batched::Catalyst, catalyst), (Batched::Topcoat, topcoat)];
    let mut batches = Vec::new();
    for (material, raw) in all {
        let numbers = raw.take().map(texts).unwrap_or_default();
        if !too_many(numbers.len(), limits::BATCHES, SettingPath::from(["batches"]).key(material.key()), found)
            && !numbers.is_empty()
        {
            batches.push((material, numbers));
        }
    }
    batches
}

fn texts(raw: OneOrMany<PrintedText>) -> Vec<String> {
    match raw {
        OneOrMany::One(text) => vec![text.0],
        OneOrMany::Many(all) => all.into_iter().filter_map(|text| Some(text.take()?.0)).collect(),
    }
}

fn checks(raw: ByName<RawCheckResult>, found: &mut Vec<Problem>) -> Vec<CheckResult> {
    let mut results = Vec::new();
    for (name, raw) in raw.0 {
        let path = SettingPath::from(["checks"]).key(name.clone());
        let Some(check) = RoofCheck::called(&name) else {
            let known: Vec<&str> = RoofCheck::ALL.iter().map(|check| check.key()).collect();
            found.push(Problem::fault(path, format!("there is no check `{name}`"), suggest::cure(&name, &known)));
            continue;
        };
        let Some((passed, words)) = raw.take().and_then(|raw| came_out(raw, &name, path, found)) else { continue };
        results.push(CheckResult { check, passed, words });
    }
    results.sort_by_key(|result| result.check);
    results
}

/// Whether it passed, and what is said of it.
fn came_out(
    raw: RawCheckResult,
    name: &str,
    path: SettingPath,
    found: &mut Vec<Problem>,
) -> Option<(bool, Option<String>)> {
    let (passed, words) = (raw.passed.take(), raw.words.take().map(|t| t.0));
    let passed = passed?.0;
    if !passed && words.is_none() {
        let fault = "a check that did not pass is told to the householder, and nothing says what is done about it";
        let cure = format!("write `{name}: {{passed: no, words: what is done about it, by whom, by when}}`");
        found.push(Problem::fault(path, fault, cure));
    }
    Some((passed, words))
}

/// By what they are called; which variations there are is judged by who knows what was agreed.
fn variations(raw: ByName<RawCheckResult>, found: &mut Vec<Problem>) -> Vec<VariedResult> {
    let mut one = |(called, raw): (String, Slot<RawCheckResult>)| {
        let path = SettingPath::from(["variations"]).key(called.clone());
        let (passed, words) = came_out(raw.take()?, &called, path, found)?;
        Some(VariedResult { called, passed, words })
    };
    raw.0.into_iter().filter_map(&mut one).collect()
}

fn hours(raw: ByName<SpentHours>, found: &mut Vec<Problem>) -> Vec<(WorkKind, Decimal)> {
    let mut spent = Vec::new();
    for (name, hours) in raw.0 {
        match WorkKind::ALL.iter().find(|kind| kind.key() == name) {
            Some(&kind) => spent.extend(hours.take().map(|hours| (kind, hours.0))),
            None => {
                let known: Vec<&str> = WorkKind::ALL.iter().map(|kind| kind.key()).collect();
                let cure = match suggest::nearest(&name, &known) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => "`wetout works JOB --json` shows the works of the job with their names".to_owned(),
                };
                let path = SettingPath::from(["hours"]).key(name.clone());
                found.push(Problem::fault(path, format!("there is no work `{name}`"), cure));
            }
        }
    }
    spent.sort_by_key(|(kind, _)| *kind);
    spent
}

fn packs(raw: ByName<Decimal>) -> Vec<(String, Decimal)> {
    raw.0.into_iter().filter_map(|(code, packs): (String, Slot<Decimal>)| Some((code, packs.take()?))).collect()
}
