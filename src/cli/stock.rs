//! `stock`: what stands in the van, and what a job leaves of it.
//!
//! Given a folder; lists the stock list that counts there. Given a job; gives the list as it stands once that job is done, by the
//! last order that was issued of it, else by the job as it stands. It is text: the list is the firm's, and is written only where
//! that is asked for, once a job.

use super::arguments::StockAsked;
use super::jobs::JobSource;
use super::table::{Ranged, table};
use super::work::{PricedJob, Stopped};
use super::{Outcome, figures, issued, merchant_file, single, terminal};
use crate::documents::DocumentKind;
use crate::job_file::{self, SourceText};
use crate::model::quantity::Unit;
use crate::model::refused;
use crate::model::van::{VanLine, VanStock};
use crate::model::{Length, Role};
use crate::pricing::LeftOver;
use crate::records::{self, Replaced};
use rust_decimal::{Decimal, RoundingStrategy};
use serde_json::json;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use time::Date;

/// Lists what is there, or what a job leaves.
///
/// # Errors
/// What is wrong with the list or the job.
pub(super) fn stock(asked: &StockAsked, today: Date) -> Result<Outcome, Stopped> {
    if let Some(job) = &asked.after {
        return after(&single(job)?, asked, today);
    }
    let nearest = || asked.files.stock.clone().or_else(|| job_file::nearest_stock(&asked.folder));
    let path = nearest().filter(|_| asked.folder.is_dir()).ok_or_else(|| no_list(&asked.folder))?;
    let (van, _) = read(&path)?;
    match asked.json {
        true => terminal::say(&as_json(&van, today))?,
        false => terminal::say(&listed(&path, &van, today))?,
    }
    Ok(Outcome::Done)
}

fn no_list(folder: &Path) -> Stopped {
    let at = folder.display();
    Stopped::Usage(match folder.is_dir() {
        true => format!(
            "there is no stock.yaml in {at} nor above it; write one (`wetout help stock`), or name one with --stock"
        ),
        false => format!("{at} is no folder; name the folder of a job, or one above it"),
    })
}

fn read(path: &Path) -> Result<(VanStock, SourceText), Stopped> {
    job_file::load_stock(path).map_err(|f| Stopped::Problems(f.problems, Box::new(f.sources)))
}

// ---- What is there ---------------------------------------------------------------------------------------------------

fn listed(path: &Path, van: &VanStock, today: Date) -> String {
    let counted = van.counted.map_or_else(String::new, |day| format!(", counted on {day}"));
    let head = format!("What stands in the van by {}{counted}\n", path.display());
    if van.lines.is_empty() {
        return format!("{head}\nnothing\n");
    }
    let columns = [
        ("what", Ranged::Left),
        ("amount", Ranged::Right),
        ("unit", Ranged::Left),
        ("batch", Ranged::Left),
        ("use by", Ranged::Left),
        ("kept for", Ranged::Left),
        ("note", Ranged::Left),
    ];
    let text = |of: &Option<String>| of.clone().unwrap_or_default();
    let row = |line: &VanLine| {
        let last = line.use_by.map(|day| day.to_string()).unwrap_or_default();
        let last = if line.is_past(today) { format!("{last} PAST") } else { last };
        let (amount, unit) = (line.amount.normalize().to_string(), line.role.unit().to_string());
        vec![line.what(), amount, unit, text(&line.batch), last, text(&line.kept_for), text(&line.note)]
    };
    let rows: Vec<Vec<String>> = van.lines.iter().map(row).collect();
    let past = van.lines.iter().filter(|line| line.is_past(today)).count();
    let past = match past {
        0 => String::new(),
        n => format!(
            "\n{} past the use-by on {today}: no order counts on it; take it out of the van, and off this list\n",
            crate::model::words::plural(n, "line is", "lines are")
        ),
    };
    format!("{head}\n{}{past}", table(&columns, &rows))
}

fn as_json(van: &VanStock, today: Date) -> String {
    let line = |line: &VanLine| {
        json!({
            "role": line.role.to_string(), "size": line.size.map(|s| s.as_mm()), "amount": figures::number(line.amount),
            "unit": line.role.unit().to_string(), "batch": line.batch, "use_by": line.use_by.map(|d| d.to_string()),
            "past": line.is_past(today), "kept_for": line.kept_for, "note": line.note,
        })
    };
    let value = json!({
        "counted": van.counted.map(|day| day.to_string()),
        "after": van.after,
        "van": van.lines.iter().map(line).collect::<Vec<_>>(),
    });
    let text = serde_json::to_string_pretty(&value).unwrap_or_default();
    text + "\n"
}

// ---- What a job leaves -----------------------------------------------------------------------------------------------

fn after(job: &JobSource, asked: &StockAsked, today: Date) -> Result<Outcome, Stopped> {
    let path = asked.files.stock.clone().or_else(|| job_file::nearest_stock(&job.folder()));
    let (van, text) = path.as_deref().map(read).transpose()?.unwrap_or_default();
    let place = path.unwrap_or_else(|| job.folder().join("stock.yaml"));
    if asked.write {
        // Before anything is refused: a run that was stopped after the list was changed is finished by the next.
        records::sweep(place.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new(".")));
    }
    let from = issued::source(job, DocumentKind::Order, &asked.files)?;
    let as_it_stands = issued::for_work(job, &from, &asked.files)?;
    let reference = as_it_stands.laid.loaded.job.reference.clone();
    if van.after.contains(&reference) {
        return Err(Stopped::Usage(format!(
            "{reference} stands under `after` in {}: what it took and left is in that list already",
            text.name
        )));
    }
    let (ordered, besides) = issued::ordered(&job.folder(), &reference)?;
    let mut by = match &ordered {
        Some(priced) => format!("by its order, revision {}", priced.revision.as_deref().unwrap_or_default()),
        None => "by the job as it stands: no order of it was issued".to_owned(),
    };
    for varied in &besides {
        by += &format!(", and by that for {}", varied.varied.as_deref().unwrap_or_default());
    }
    let done: Vec<&PricedJob> = std::iter::once(ordered.as_ref().unwrap_or(&as_it_stands)).chain(&besides).collect();
    let list = NextList::of(&van, &done, &reference);
    let new = list.text(&reference, &by, today);
    if !asked.write {
        terminal::say(&new)?;
        return Ok(Outcome::Done);
    }
    write(&place, &text, &reference, &new)?;
    Ok(Outcome::Done)
}

/// Puts the list in the place of the one that was read, which is kept beside it under a name of its own.
fn write(place: &Path, read: &SourceText, reference: &str, new: &str) -> Result<(), Stopped> {
    let (folder, name) = merchant_file::beside(place);
    super::make::refuse_kept(&folder)?;
    let unwritten = |fault| Stopped::Unwritten(fault, "for the stock list");
    let mut told = format!("wrote {}", place.display());
    if read.name.is_empty() {
        records::write_all(&folder, [(name.as_str(), new.as_bytes())], |_| false).map_err(unwritten)?;
    } else {
        let safe: String = reference.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
        let kept_as = format!("stock-before-{safe}.yaml");
        let changed = || Stopped::Usage(format!("{} was changed in the meantime: try it again", place.display()));
        let was = there(place)?;
        if String::from_utf8_lossy(&was).trim_start_matches('\u{feff}') != read.text {
            return Err(changed());
        }
        let done = records::replace(&folder, (&name, &was, new.as_bytes()), std::slice::from_ref(&kept_as));
        match done.map_err(unwritten)? {
            Replaced::Done(kept) => told += &format!("; as it was it is kept as {}", kept.display()),
            Replaced::ChangedSince => return Err(changed()),
            Replaced::NoNameLeft => {
                return Err(Stopped::Usage(format!(
                    "{} is there already, and nothing is written over it; take it away, or save what this prints without --write",
                    folder.join(&kept_as).display()
                )));
            }
        }
    }
    terminal::note(&format!("{told}\nPut batches and use-by dates from the tins to what is new in it.\n"))?;
    Ok(())
}

fn there(place: &Path) -> Result<Vec<u8>, Stopped> {
    fs::read(place).map_err(|error| {
        let (fault, cure) = refused::reading(&error);
        Stopped::Usage(format!("could not read {}: {fault}; {cure}", place.display()))
    })
}

/// The list as it will be.
struct NextList {
    counted: Option<Date>,
    after: Vec<String>,
    lines: Vec<VanLine>,
    new: Vec<LeftOver>,
    /// What was to be taken and does not stand in the list.
    absent: Vec<String>,
    spare_boards: bool,
    /// What the cut plans leave of the lengths of each trim, the longest first.
    offcuts: Vec<(Role, Vec<Length>)>,
    /// The shortest of them that is told.
    least_trim: Length,
}

impl NextList {
    fn of(van: &VanStock, done: &[&PricedJob], reference: &str) -> NextList {
        let mut lines = van.lines.clone();
        let mut absent = Vec::new();
        for taken in done.iter().flat_map(|done| &done.pricing.van.taken) {
            let mut rest = taken.quantity;
            let alike = lines.iter_mut().filter(|line| {
                (&line.role, line.size, &line.batch, line.use_by)
                    == (&taken.role, taken.size, &taken.batch, taken.use_by)
            });
            for line in alike {
                let part = rest.min(line.amount);
                (line.amount, rest) = (line.amount - part, rest - part);
            }
            if rest > Decimal::ZERO {
                absent.push(format!("{} {} of {}", rounded(rest, taken.unit), taken.unit, taken.role));
            }
        }
        lines.retain(|line| rounded(line.amount, line.role.unit()) > Decimal::ZERO);
        // What was kept for this job and not used is anybody's.
        lines
            .iter_mut()
            .filter(|line| line.kept_for.as_deref() == Some(reference))
            .for_each(|line| line.kept_for = None);
        let left = done.iter().flat_map(|done| &done.pricing.orders).flat_map(crate::pricing::Order::left_over);
        let new = left.filter(|l| rounded(l.quantity, l.unit) > Decimal::ZERO).collect();
        let spare = |l: &crate::takeoff::Line| l.id == crate::model::LineId::BoardsSpare;
        NextList {
            counted: van.counted,
            after: [van.after.as_slice(), &[reference.to_owned()]].concat(),
            lines,
            new,
            absent,
            offcuts: done.first().map_or_else(Vec::new, |own| offcuts(own)),
            least_trim: done.first().map_or(Length::ZERO, |own| own.laid.loaded.rules.least_trim),
            spare_boards: done.iter().any(|done| done.laid.layout.take_off.lines.iter().any(spare)),
        }
    }

    fn text(&self, reference: &str, by: &str, today: Date) -> String {
        let mut text = String::from("# What stands in the van, left over from earlier jobs.\n");
        let _ = writeln!(
            text,
            "# Made on {today} for the time after {reference}, {by}. Look into the van, and put right what is otherwise."
        );
        for absent in &self.absent {
            let _ = writeln!(text, "# {absent} was to be taken and did not stand in the list before.");
        }
        if self.spare_boards {
            text.push_str(
                "# A spare board of each kind was ordered: it is not listed here, since one may have been spoilt.\n",
            );
        }
        if !self.offcuts.is_empty() {
            let one = |(role, lengths): &(Role, Vec<Length>)| {
                format!("{role} {}", lengths.iter().map(Length::to_string).collect::<Vec<_>>().join(", "))
            };
            let all: Vec<String> = self.offcuts.iter().map(one).collect();
            let _ = writeln!(
                text,
                "# Offcuts of {} and more by the cut plan, to use up where they fit; no order counts on them: {}.",
                self.least_trim,
                all.join("; ")
            );
        }
        let _ = writeln!(text, "counted: {}", self.counted.unwrap_or(today));
        let _ = writeln!(text, "after: [{}]", self.after.iter().map(|r| quoted(r)).collect::<Vec<_>>().join(", "));
        if self.lines.is_empty() && self.new.is_empty() {
            text.push_str("van: []\n");
            return text;
        }
        text.push_str("van:\n");
        for line in &self.lines {
            let mut keys = keys(&line.role.to_string(), line.size.map(|s| s.as_mm()), line.amount, line.role.unit());
            keys.extend(line.batch.iter().map(|batch| format!("batch: {}", quoted(batch))));
            keys.extend(line.use_by.map(|day| format!("use_by: {day}")));
            keys.extend(line.kept_for.iter().map(|job| format!("kept_for: {}", quoted(job))));
            keys.extend(line.note.iter().map(|note| format!("note: {}", quoted(note))));
            let _ = writeln!(text, "  - {{{}}}", keys.join(", "));
        }
        for left in &self.new {
            let keys = keys(&left.role.to_string(), left.size.map(|s| s.as_mm()), left.quantity, left.unit);
            let _ = writeln!(text, "  - {{{}}} # from {reference}: add batch and use_by off the tin", keys.join(", "));
        }
        text
    }
}

/// What is left of lengths of trim and long enough for a piece in a joined run; without what a job's order for a variation leaves,
/// which has no plan.
fn offcuts(own: &PricedJob) -> Vec<(Role, Vec<Length>)> {
    let least = own.laid.loaded.rules.least_trim;
    let plans = own.laid.layout.take_off.profiles.iter().map(|plan| {
        let mut lengths: Vec<Length> = plan.bars.iter().map(|bar| bar.offcut).filter(|left| *left >= least).collect();
        lengths.sort_unstable_by(|a, b| b.cmp(a));
        (Role::Trim(plan.finish), lengths)
    });
    plans.filter(|(_, lengths)| !lengths.is_empty()).collect()
}

fn keys(role: &str, size: Option<i64>, amount: Decimal, unit: Unit) -> Vec<String> {
    let mut keys = vec![format!("role: {role}")];
    keys.extend(size.map(|mm| format!("size: {mm} mm")));
    keys.push(format!("amount: {} {unit}", rounded(amount, unit)));
    keys
}

/// What is left, rounded down: no order relies on the last drop.
fn rounded(amount: Decimal, unit: Unit) -> Decimal {
    let places = match unit {
        Unit::Each | Unit::Millilitre => 0,
        _ => 2,
    };
    amount.round_dp_with_strategy(places, RoundingStrategy::ToZero).normalize()
}

/// A text in double quotes (YAML 1.2, 5.7 and 7.3.1).
fn quoted(words: &str) -> String {
    let mut quoted = String::from("\"");
    for c in words.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if c.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(c));
            }
            c => quoted.push(c),
        }
    }
    quoted + "\""
}
