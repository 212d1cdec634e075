//! `accept`, `decline`, `withdraw`: what the customer has said, recorded beside the revision that it answers.
//!
//! Given what was read off a returned file or typed by hand; gives a frozen folder of its own, beside the untouched revision. What
//! speaks against an answer (it came late, the quote was altered or superseded) is told, and nothing is recorded until
//! somebody gives a reason to record it even so; that reason is kept with it.

use super::accepted::{ACCEPTED_JOB, reference};
use super::altered::altered_files;
use super::deal::{self, Deal, read_accepted};
use super::invoice;
use super::kept::{Kept, Quoted, folder_name, unread};
use super::manifest::{CustomerAnswer, FrozenAs, KeptFile, Manifest, date_of, day, program};
use super::signed_paper::{self, SaidInFile, ToSign};
use super::snapshot::{self, SnapshotFiles};
use crate::checks::starting;
use crate::cli::Outcome;
use crate::cli::arguments::{Accept, AnsweredNo};
use crate::cli::jobs::JobSource;
use crate::cli::terminal;
use crate::cli::work::{self, PricedJob, Stopped};
use crate::documents::wording;
use crate::facts::FACTS;
use crate::job_file::{self, ChosenParts, Loaded};
use crate::pricing::Money;
use crate::records::{self, MANIFEST};
use rust_decimal::prelude::ToPrimitive;
use std::io;
use std::path::Path;
use time::{Date, Duration};

/// Which answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Refusal {
    /// The customer does not want it.
    Decline,
    /// The customer takes back what was accepted.
    Withdraw,
}

/// What is said by hand, or was read.
struct Heard<'a> {
    quote: Quoted<'a>,
    chosen: Vec<usize>,
    answer: CustomerAnswer,
    on: Date,
    file: Option<Vec<u8>>,
    /// What a file that came back says.
    said: Option<SaidInFile>,
}

/// Records that a quote was accepted.
///
/// # Errors
/// What speaks against it, or keeps it from being read or written.
pub(crate) fn accept(named: &JobSource, typed: &Accept) -> Result<Outcome, Stopped> {
    let kept = Kept::beside(&named.folder()).map_err(|error| unread(&named.folder(), &error))?;
    let reference = reference(named, &kept, &typed.files)?;
    let quotes = kept.quotes(&reference);
    let heard = match &typed.signed {
        Some(file) => by_file(file, &quotes, typed)?,
        None => by_hand(&quotes, typed)?,
    };
    let Heard { quote, chosen, mut answer, on, file, said } = heard;
    let revision = quote.at.manifest.revision.clone();
    refuse_answered(&kept, &reference, &revision)?;
    answer.warned.extend(against(&kept, &reference, quote, on));
    let priced = snapshot::work_again(quote.at)?;
    let job = &priced.laid.loaded.job;
    let signers = wording::signers(&job.customer.name, &job.co_signers);
    let names = match (&said, &typed.signed) {
        (Some(said), Some(path)) => said
            .signed_by(&typed.name, &signers, "accepts")
            .map_err(|why| Stopped::Usage(format!("{} is not taken: {why}", path.display())))?,
        _ => signed_paper::named(&typed.name),
    };
    answer.warned.extend(signed_paper::unsigned(&signers, &names));
    answer.name = Some(wording::list(&names));
    let (job, total) = worked(&priced, quote, &chosen, &mut answer.warned)?;
    answer.total = Some(total.to_string());
    answer.chosen = chosen.iter().map(|&n| quote.paper.boxes[n].words.clone()).collect();
    terminal::say(&shown(&reference, &revision, quote, &answer))?;
    answer.even_so = settled(&answer.warned, typed.even_so.as_deref())?;
    let mut files: SnapshotFiles = vec![(ACCEPTED_JOB.to_owned(), job.into_bytes())];
    files.extend(file.map(|bytes| ("signed.pdf".to_owned(), bytes)));
    let place = record(&kept, (&reference, &revision), "accepted", FrozenAs::Accepted(Box::new(answer)), files)?;
    terminal::say(&format!(
        "recorded as accepted\nwrote {}\nThe order and the method statement are made from {ACCEPTED_JOB} from now on, for {total}.\n",
        place.display()
    ))?;
    Ok(Outcome::Done)
}

/// Records that a quote was declined, or that an acceptance was taken back.
///
/// # Errors
/// As [`accept`].
pub(crate) fn refuse(named: &JobSource, typed: &AnsweredNo, what: Refusal) -> Result<Outcome, Stopped> {
    let kept = Kept::beside(&named.folder()).map_err(|error| unread(&named.folder(), &error))?;
    let reference = reference(named, &kept, &typed.files)?;
    let mut answer = CustomerAnswer {
        on: day(typed.on),
        name: typed.name.clone(),
        because: typed.because.clone(),
        by_firm: typed.by_firm,
        ..CustomerAnswer::default()
    };
    let (revision, suffix, told) = match what {
        Refusal::Decline if typed.by_firm => {
            return Err(Stopped::Usage(
                "`--by-firm` is for an acceptance that you take back: `wetout withdraw`".into(),
            ));
        }
        Refusal::Decline => {
            let quotes = kept.quotes(&reference);
            let quote = wanted(&quotes, typed.revision.as_deref())?;
            let revision = quote.at.manifest.revision.clone();
            refuse_answered(&kept, &reference, &revision)?;
            answer.warned.extend(before_it_was_made(quote, typed.on));
            (revision, "declined", String::new())
        }
        Refusal::Withdraw => {
            let Some((at, accepted)) = kept.accepted(&reference) else {
                return Err(Stopped::Usage(format!("nothing of {reference} is accepted that could be withdrawn")));
            };
            let revision = at.manifest.revision.clone();
            let quotes = kept.quotes(&reference);
            let priced = snapshot::figures_again(wanted(&quotes, Some(&revision))?.at)?;
            let is_consumer = !priced.laid.loaded.job.reverse_charge;
            let come = priced.worked().goods_come();
            let last = date_of(&accepted.on).filter(|_| is_consumer).map(|on| starting::time_ends(on, come));
            if let Some(last) = last.filter(|last| typed.on > *last && !typed.by_firm) {
                let goods = come.map_or_else(String::new, |come| {
                    format!(", the last of the goods come on {}: the later day counts", wording::date(come))
                });
                let accepted = date_of(&accepted.on).map_or_else(String::new, wording::date);
                let (days, ended) = (&FACTS.cancel_days, wording::date(last));
                answer.warned.push(format!("the {days} to cancel ended on {ended}: accepted on {accepted}{goods}"));
            }
            if !is_consumer && !typed.by_firm {
                answer.warned.push("the customer is a business, for which no time to cancel runs".to_owned());
            }
            if date_of(&accepted.on).is_some_and(|on| typed.on < on) {
                answer.warned.push(format!("it was accepted only on {}", accepted.on));
            }
            let told = match (is_consumer, typed.by_firm) {
                (false, _) => "What is paid back is as you agree with the customer. Stop the order.\n".to_owned(),
                (true, true) => format!(
                    "What was paid is to be paid back, by {} at the latest. Stop the order.\n",
                    wording::date(pay_back_by(typed.on))
                ),
                (true, false) => format!(
                    "What was paid is to be paid back by {} at the latest, less what the customer expressly asked \
                     to have begun and was done up to then: `wetout invoice JOB --done AMOUNT` asks for that. Stop the order.\n",
                    wording::date(pay_back_by(typed.on))
                ),
            };
            (revision, "withdrawn", told)
        }
    };
    answer.even_so = settled(&answer.warned, typed.even_so.as_deref())?;
    let holds = match what {
        Refusal::Decline => FrozenAs::Declined(Box::new(answer)),
        Refusal::Withdraw => FrozenAs::Withdrawn(Box::new(answer)),
    };
    // With what is credited after it, before anything is recorded.
    let asked_for = match what {
        Refusal::Withdraw if !deal::standing(&kept, &reference).is_empty() => {
            let deal = Deal::of(&kept, &reference)?;
            deal.map(|deal| Ok::<_, Stopped>((read_accepted(&deal, &typed.files)?, deal))).transpose()?
        }
        _ => None,
    };
    let place = record(&kept, (&reference, &revision), suffix, holds, SnapshotFiles::new())?;
    terminal::say(&format!(
        "recorded that revision {revision} of {reference} was {suffix}\nwrote {}\n",
        place.display()
    ))?;
    if let Some((loaded, deal)) = asked_for {
        let deal = Deal { cancelled: Some(typed.on), by_firm: typed.by_firm, ..deal };
        let because = format!("The contract was cancelled on {}", wording::date(typed.on));
        terminal::say(&invoice::credit_all(&kept.home, (&reference, &deal), &loaded, (&because, typed.on))?)?;
        let kept = Kept::within(&kept.home).map_err(|error| unread(&kept.home, &error))?;
        let credit = -deal::account(&kept, &reference).balance();
        if credit > Money::ZERO {
            terminal::say(&format!(
                "{credit} stands to the customer's credit: `wetout receipt JOB --back AMOUNT --on DATE` records what was paid back\n"
            ))?;
        }
    }
    terminal::say(&told)?;
    Ok(Outcome::Done)
}

/// The last day on which what was paid is paid back in time, where it was cancelled on a day.
pub(super) fn pay_back_by(cancelled: Date) -> Date {
    let days = FACTS.refund_days.number().to_i64().unwrap_or_default();
    cancelled.saturating_add(Duration::days(days))
}

// ---- What was said --------------------------------------------------------------------------------------------------

fn by_file<'a>(path: &Path, quotes: &[Quoted<'a>], typed: &Accept) -> Result<Heard<'a>, Stopped> {
    if !typed.options.is_empty() || typed.revision.is_some() {
        let fault = "what is ticked is read in the file: give `--options` and `--revision` without a file";
        return Err(Stopped::Usage(fault.into()));
    }
    let bytes = signed_paper::bytes_of(path)?;
    let not_taken = |why: String| Stopped::Usage(format!("{} is not taken: {why}", path.display()));
    let papers: Vec<ToSign<'_>> = quotes.iter().map(|quote| ToSign::quote(*quote)).collect();
    let said = signed_paper::read(&bytes, &papers).map_err(not_taken)?;
    let quote = quotes[said.which];
    let on = said.signed_on(typed.on).map_err(not_taken)?;
    let (revision, stored) = (&quote.at.manifest.revision, &said.stored);
    terminal::say(&format!("{}: revision {revision}, {stored}\n{}", path.display(), said.told()))?;
    let file = path.file_name().map(|n| n.to_string_lossy().into_owned());
    let SaidInFile { chosen, consents, against, .. } = said.clone();
    let answer = CustomerAnswer { on: day(on), file, consents, warned: against, ..CustomerAnswer::default() };
    Ok(Heard { quote, chosen, answer, on, file: Some(bytes), said: Some(said) })
}

fn by_hand<'a>(quotes: &[Quoted<'a>], typed: &Accept) -> Result<Heard<'a>, Stopped> {
    let quote = wanted(quotes, typed.revision.as_deref())?;
    let (Some(on), false) = (typed.on, signed_paper::named(&typed.name).is_empty()) else {
        let fault = "say on which day it was accepted and by whom: `--on 2026-12-02 --name \"A. Householder\"`, or name the \
                     signed PDF";
        return Err(Stopped::Usage(fault.into()));
    };
    let boxes = &quote.paper.boxes;
    let mut chosen = Vec::new();
    for &n in &typed.options {
        match n.checked_sub(1).filter(|n| *n < boxes.len()) {
            Some(n) if !chosen.contains(&n) => chosen.push(n),
            Some(_) => {}
            None => {
                let there: String = boxes.iter().zip(1..).map(|(b, n)| format!("\n  {n}  {}", b.words)).collect();
                let there = if there.is_empty() { "nothing".to_owned() } else { there };
                return Err(Stopped::Usage(format!("there is no box {n} to tick in that quote; it offers:{there}")));
            }
        }
    }
    chosen.sort_unstable();
    let answer = CustomerAnswer { on: day(on), ..CustomerAnswer::default() };
    Ok(Heard { quote, chosen, answer, on, file: None, said: None })
}

/// The revision that was named, or the last.
fn wanted<'a>(quotes: &[Quoted<'a>], letter: Option<&str>) -> Result<Quoted<'a>, Stopped> {
    let letters: Vec<String> = quotes.iter().map(|q| q.at.manifest.revision.clone()).collect();
    let found = match letter {
        Some(letter) => quotes.iter().find(|q| q.at.manifest.revision.eq_ignore_ascii_case(letter)),
        None => quotes.last(),
    };
    found.copied().ok_or_else(|| {
        Stopped::Usage(match letters.is_empty() {
            true => "no quote of this job was issued yet: `wetout issue JOB quote` freezes what is sent".into(),
            false => format!("no quote was issued as that revision; there is {}", wording::list(&letters)),
        })
    })
}

// ---- What speaks against it -------------------------------------------------------------------------------------------

fn refuse_answered(kept: &Kept, reference: &str, revision: &str) -> Result<(), Stopped> {
    let answered = kept.answers(reference, revision).find_map(|f| match &f.manifest.holds {
        FrozenAs::Accepted(a) => Some(("accepted", a)),
        FrozenAs::Declined(a) => Some(("declined", a)),
        _ => None,
    });
    match answered {
        Some((how, answer)) => Err(Stopped::Usage(format!(
            "revision {revision} was {how} on {} already; issue the quote anew, with --again if nothing changes, to have another \
             answer",
            answer.on
        ))),
        None => Ok(()),
    }
}

/// What speaks against an answer of a day before the quote.
fn before_it_was_made(quote: Quoted<'_>, on: Date) -> Option<String> {
    let is_before = date_of(&quote.paper.date).is_some_and(|made| on < made);
    is_before.then(|| format!("the quote is of {}, later than that", quote.paper.date))
}

fn against(kept: &Kept, reference: &str, quote: Quoted<'_>, on: Date) -> Vec<String> {
    let mut found = Vec::new();
    let until = date_of(&quote.paper.valid_until);
    if let Some(until) = until.filter(|until| on > *until) {
        found.push(format!("the price stood until {}", wording::date(until)));
    }
    found.extend(before_it_was_made(quote, on));
    let revision = &quote.at.manifest.revision;
    if let Some(later) = kept.quotes(reference).last().filter(|last| last.at.manifest.revision != *revision) {
        found.push(format!("revision {} has taken the place of this one", later.at.manifest.revision));
    }
    if let Some((at, _)) = kept.accepted(reference) {
        found.push(format!("revision {} is accepted already, and this one takes its place", at.manifest.revision));
    }
    found.extend(altered_files(quote.at).into_iter().map(|fault| format!("what was issued is not as it was: {fault}")));
    found
}

/// Nothing that speaks against an answer is passed over in silence: gives why it is recorded even so.
///
/// # Errors
/// Something speaks against it, and nobody says why it holds all the same.
pub(super) fn settled(warned: &[String], even_so: Option<&str>) -> Result<Option<String>, Stopped> {
    let reason = even_so.map(str::trim).filter(|reason| !reason.is_empty());
    if warned.is_empty() {
        return Ok(None);
    }
    let told: String = warned.iter().map(|warning| format!("  {warning}\n")).collect();
    match reason {
        Some(reason) => {
            terminal::warn(&format!("recorded even so:\n{told}"))?;
            Ok(Some(reason.to_owned()))
        }
        None => Err(Stopped::Usage(format!(
            "nothing was recorded, for this speaks against it:\n{told}if it holds all the same, say why with \
             `--even-so \"reason\"`"
        ))),
    }
}

// ---- What comes of it ---------------------------------------------------------------------------------------------------

/// The job as accepted, and its total: what is chosen is priced together, by the books of the day on which it was quoted.
fn worked(
    priced: &PricedJob,
    quote: Quoted<'_>,
    chosen: &[usize],
    warned: &mut Vec<String>,
) -> Result<(String, Money), Stopped> {
    let boxes = || chosen.iter().map(|&n| &quote.paper.boxes[n]);
    let options: Vec<usize> = boxes().filter_map(|b| b.option).map(|n| n - 1).collect();
    let extras: Vec<String> = boxes().filter_map(|b| b.extra.clone()).collect();
    let loaded = &priced.laid.loaded;
    refuse_what_cannot_be_had(loaded, &options)?;
    let stopped = |problems| Stopped::Problems(problems, Box::new(loaded.sources.clone()));
    let date = date_of(&quote.paper.date);
    let mut total = priced.pricing.total;
    if !options.is_empty() {
        let choice = ChosenParts { options: &options, date, ..ChosenParts::default() };
        let text = job_file::accepted(loaded, &choice).map_err(stopped)?;
        total = priced.total_of(snapshot::load(quote.at, text.into_bytes())?, "as accepted")?;
    }
    let offers = priced.pricing.offers.iter().filter(|offer| extras.contains(&offer.label));
    let total = total + offers.map(|offer| offer.total).sum();
    let choice = ChosenParts { options: &options, extras: &extras, agreed: Some(total), date };
    let text = job_file::accepted(loaded, &choice).map_err(stopped)?;
    let again = snapshot::load(quote.at, text.clone().into_bytes())?;
    let again = work::price_laid(work::lay_out_loaded(again)?)?.pricing.total;
    if again != total {
        warned.push(format!("the job as accepted comes to {again}, not to the {total} that was agreed"));
    }
    Ok((text, total))
}

/// Options that exclude one another, or that lack what they need, are no choice: the customer must be asked which is meant.
fn refuse_what_cannot_be_had(loaded: &Loaded, taken: &[usize]) -> Result<(), Stopped> {
    let label = |n: usize| loaded.options.get(n).map_or("", |option| option.label.as_str());
    for (n, option) in taken.iter().filter_map(|&n| Some((n, loaded.options.get(n)?))) {
        let clash = taken.iter().find(|other| option.excludes.contains(other));
        let lack = option.needs.iter().find(|needed| !taken.contains(needed));
        let why = match (clash, lack) {
            (Some(&other), _) => format!("“{}” cannot be had together with “{}”", label(n), label(other)),
            (None, Some(&needed)) => format!("“{}” can only be had with “{}”", label(n), label(needed)),
            (None, None) => continue,
        };
        return Err(Stopped::Usage(format!(
            "nothing was recorded: {why}, and the quote says so; ask the customer which is meant, and record that with `--options`"
        )));
    }
    Ok(())
}

fn shown(reference: &str, revision: &str, quote: Quoted<'_>, answer: &CustomerAnswer) -> String {
    let mut text = format!(
        "{reference} {}, revision {revision}, as answered on {} by {}\n",
        quote.paper.title,
        answer.on,
        answer.name.as_deref().unwrap_or("nobody named")
    );
    for line in &answer.chosen {
        text += &format!("  chosen   {line}\n");
    }
    if answer.chosen.is_empty() && !quote.paper.boxes.is_empty() {
        text += "  chosen   nothing besides what the quote describes\n";
    }
    for line in &answer.consents {
        text += &format!("  said     {line}\n");
    }
    text + &format!("  total    {}\n", answer.total.as_deref().unwrap_or_default())
}

fn record(
    kept: &Kept,
    (reference, revision): (&str, &str),
    suffix: &str,
    holds: FrozenAs,
    mut files: SnapshotFiles,
) -> Result<std::path::PathBuf, Stopped> {
    let name = format!("{}-{suffix}", folder_name(reference, revision));
    let manifest = Manifest {
        program: program(),
        reference: reference.to_owned(),
        revision: revision.to_owned(),
        holds,
        files: files.iter().map(|(name, bytes)| KeptFile::of(name, bytes)).collect(),
        before: None,
    };
    files.push((MANIFEST.to_owned(), manifest.written()));
    // What speaks against an answer was judged by what stood there: nothing may have come since.
    records::freeze_upon(&kept.home, &kept.names, &name, &files).map_err(|fault| match fault.cause.kind() {
        io::ErrorKind::AlreadyExists => Stopped::Usage(
            "nothing was recorded: another run has issued or recorded something of this job in the meantime; look at `wetout \
             list`, and try it again"
                .to_owned(),
        ),
        _ => Stopped::Unwritten(fault, "for the job: it is kept beside it"),
    })
}
