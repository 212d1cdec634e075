//! `variation`: prices what was found on site, freezes the order for it under the next number of a series of its own, and records
//! what the customer says of it.
//!
//! Given a job and a file of what was found; gives a new folder in `issued`. Labour, agreed rates, margin and VAT are those of the
//! accepted quote; what is bought comes from today's price books. All that is printed is written into its manifest. An answer
//! is a folder of its own beside the order, and only an order that was agreed changes the price.

use super::accepted::reference;
use super::altered::altered_files;
use super::answer::settled;
use super::deal::{self, Deal, firm_of, read_accepted};
use super::invoice::{changes, printed_changes};
use super::kept::{Frozen, IssuedVariation, Kept, VariationState, series_folder, unread};
use super::manifest::{
    FoundRecord, FrozenAs, Inputs, KeptDay, KeptFile, KeptMoney, KeptNumber, Manifest, VariationAnswer,
    VariationRecord, program,
};
use super::signed_paper::{self, SaidInFile, ToSign};
use super::snapshot::{self, SnapshotFiles};
use super::varied_goods::common_board;
use crate::checks::starting;
use crate::cli::Outcome;
use crate::cli::arguments::Variation;
use crate::cli::jobs::JobSource;
use crate::cli::make::refuse_kept;
use crate::cli::table::{Ranged, table};
use crate::cli::terminal;
use crate::cli::work::{self, Stopped};
use crate::documents::invoice::AcceptedQuote;
use crate::documents::variation::{self, PrintedFind, VariationView, how_much};
use crate::documents::words::Words;
use crate::documents::{Finished, IssueStanding, wording};
use crate::estimate::{self, Crew};
use crate::job_file::{self, Loaded, SourceText, Sources};
use crate::model::Problem;
use crate::model::shape::DeckAction;
use crate::pricing::Money;
use crate::pricing::invoicing::InvoiceSums;
use crate::pricing::variation::{FoundOnSite, FoundPart, FoundUnit, VariationBasis, VariationLine, VariationPrice};
use crate::programme::calendar;
use crate::records::{self, MANIFEST};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;
use time::{Date, Duration};

/// The series of variations, as folders are named.
const SERIES: &str = "variation";
/// The same in numbers.
const PRINTED: &str = "VAR";
/// How often another run may come between.
const TRIES: usize = 50;
/// Bytes read of the file; one that is larger is refused by its reader with a message of its own.
const ENOUGH: u64 = 8 << 20;

/// The file of what was found, as it was read.
struct FoundFile {
    name: String,
    bytes: Vec<u8>,
    found: FoundOnSite,
    text: SourceText,
}

/// Issues a variation, writes its draft, or records an answer to one.
///
/// # Errors
/// What keeps it from being read, priced, made or written, or speaks against the answer.
pub(crate) fn variation(named: &JobSource, typed: &Variation, today: Date) -> Result<Outcome, Stopped> {
    if typed.files.date.is_some() {
        return Err(Stopped::Usage("say the day with `--on`; rates and margin are those of the accepted quote".into()));
    }
    let home = named.folder().join(records::ISSUED);
    let file = typed.found.as_deref().map(read_found).transpose()?;
    for _ in 0..TRIES {
        let kept = Kept::within(&home).map_err(|error| unread(&home, &error))?;
        let reference = reference(named, &kept, &typed.files)?;
        let nothing =
            || Stopped::Usage(format!("no quote of {reference} is accepted, so there is nothing that could be varied"));
        let deal = Deal::of(&kept, &reference)?.ok_or_else(nothing)?;
        let Some(file) = &file else { return answer(&kept, &reference, &deal, typed) };
        let quoted = deal::as_quoted(&kept, &reference)?.ok_or_else(nothing)?;
        let loaded = read_accepted(&deal, &typed.files)?;
        let place = Desk { kept: &kept, reference: &reference, deal: &deal, loaded: &loaded };
        let date = typed.on.unwrap_or(today);
        let (record, unsold) = place.of_found(file, &quoted, date)?;
        if typed.draft {
            return place.draft(named, typed, &record, (&file.found, &unsold));
        }
        if !typed.again {
            place.refuse_twice(file, date)?;
        }
        if let Some(said) = place.freeze(file, record, &unsold)? {
            terminal::say(&said)?;
            return Ok(Outcome::Done);
        }
    }
    Err(Stopped::Usage(format!("other runs keep issuing in {}; try again when they are done", home.display())))
}

fn read_found(path: &Path) -> Result<FoundFile, Stopped> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(ENOUGH).read_to_end(&mut bytes))
        .map_err(|error| unread(path, &error))?;
    let (found, text) = job_file::load_found(path.display().to_string(), &bytes)
        .map_err(|failure| Stopped::Problems(failure.problems, Box::new(failure.sources)))?;
    let name = path.file_name().map_or_else(|| "found.yaml".into(), |name| name.to_string_lossy().into_owned());
    Ok(FoundFile { name: format!("inputs/found/{name}"), bytes, found, text })
}

/// What a variation is worked out upon.
struct Desk<'a> {
    kept: &'a Kept,
    reference: &'a str,
    deal: &'a Deal,
    loaded: &'a Loaded,
}

impl Desk<'_> {
    /// All that stands on it.
    /// And what is in none of its lines, as it is told.
    fn of_found(&self, file: &FoundFile, quoted: &Loaded, date: Date) -> Result<(VariationRecord, String), Stopped> {
        let Desk { kept, reference, deal, loaded } = *self;
        let refuse = |words: String| Err(Stopped::Usage(words));
        let before = kept.variations(reference, &deal.revision);
        if date < deal.on {
            return refuse(format!("the quote was accepted only on {}; no variation is of an earlier day", deal.on));
        }
        if let Some(last) = before.last().filter(|last| date < last.record.date.0) {
            let (number, of) = (&last.record.number, last.record.date.0);
            return refuse(format!("{number} is of {of}: numbers follow one another in time"));
        }
        let price = self.price(file, quoted, date)?;
        if deal.sums.with(price.sums).total < Money::ZERO {
            return refuse(format!("that takes more off than the {} that is agreed", deal.sums.total));
        }
        let days = file.found.days.unwrap_or_else(|| self.days(&price, quoted, &before));
        let finish = deal.last_day.filter(|last| *last >= date);
        let holidays = &firm_of(loaded)?.holidays;
        let sequence = kept.next_in_series(reference, SERIES)?;
        let unsold =
            unsold(&price) + &unbought(&file.found, &price, quoted) + &paid_for_already(&file.found, &price, quoted);
        let record = VariationRecord {
            sequence,
            number: format!("{reference}-{PRINTED}-{sequence}"),
            date: KeptDay(date),
            found: file.name.clone(),
            note: file.found.note.clone(),
            lines: price.lines.iter().map(as_found).collect(),
            sums: price.sums.into(),
            registered: quoted.terms.as_ref().is_some_and(|terms| terms.vat.registered),
            vat_rate: KeptNumber(deal.vat_rate),
            accepted_on: KeptDay(deal.on),
            accepted_total: KeptMoney(deal.accepted.total),
            changes: changes(deal),
            hours: KeptNumber(price.hours),
            days,
            finish_before: finish.map(KeptDay),
            finish: finish.map(|last| KeptDay(calendar::working_days_after(last, days, holidays))),
            rate_boards: price.rate_boards,
            inputs: Inputs::default(),
        };
        Ok((record, unsold))
    }

    /// What was typed twice is hardly meant: the same file, of the same day or while the one before waits for its signature.
    fn refuse_twice(&self, file: &FoundFile, date: Date) -> Result<(), Stopped> {
        let read = KeptFile::of(&file.name, &file.bytes);
        let all = self.kept.variations(self.reference, &self.deal.revision);
        let same = all.iter().find(|varied| {
            let waits = matches!(varied.answer, VariationState::Waiting);
            let files = &varied.at.manifest.files;
            (waits || varied.record.date.0 == date) && files.iter().any(|kept| kept.sha256 == read.sha256)
        });
        let Some(same) = same else { return Ok(()) };
        let state = match same.answer {
            VariationState::Waiting => "waits for its signature",
            VariationState::Agreed(_) => "was agreed",
            VariationState::Refused(_) => "was refused",
        };
        Err(Stopped::Usage(format!(
            "{} of {} was issued already for the very same, and {state}: nothing new is issued; if it was found once more, say `--again`",
            same.record.number, same.record.date.0
        )))
    }

    fn price(&self, file: &FoundFile, quoted: &Loaded, date: Date) -> Result<VariationPrice, Stopped> {
        let none = || Stopped::Usage("the accepted quote has no terms; look at it with `wetout issue --check`".into());
        let terms = quoted.terms.as_ref().ok_or_else(none)?;
        let basis = VariationBasis {
            terms,
            target: quoted.job_money.target.unwrap_or(terms.target),
            rules: &quoted.rules,
            board: common_board(&quoted.job),
            products: &self.loaded.products,
            books: &self.loaded.books,
            vat_rate: self.deal.vat_rate,
            by_customer: quoted.job.reverse_charge,
            on: date,
        };
        crate::pricing::variation::price(&self.sized(&file.found), basis).map_err(|problems| {
            let sources = Sources { job: file.text.clone(), ..self.loaded.sources.clone() };
            Stopped::Problems(problems, Box::new(sources))
        })
    }

    /// What was found, an article without a size in the one in which the job's own layout needs it.
    fn sized(&self, found: &FoundOnSite) -> FoundOnSite {
        let Loaded { job, rules, products, firm, terms, .. } = self.loaded;
        let crew = Crew::of(firm.as_ref(), terms.as_ref());
        let laid = found.is_unsized().then(|| estimate::lay_out(job, rules, products, crew).ok()).flatten();
        laid.map_or_else(|| found.clone(), |laid| found.clone().sized_by(&laid.take_off.needs))
    }

    /// The working days that its hours take of the whole crew, over what the last day has left. What was agreed before has taken
    /// of that, and has brought days of its own.
    fn days(&self, price: &VariationPrice, quoted: &Loaded, before: &[IssuedVariation<'_>]) -> u32 {
        let people = quoted.terms.as_ref().map_or(1, crate::pricing::Terms::people);
        let day = quoted.rules.day_hours * Decimal::from(people);
        let mut free = self.deal.spare_hours;
        for varied in before.iter().filter(|varied| matches!(varied.answer, VariationState::Agreed(_))) {
            free = (free + day * Decimal::from(varied.record.days) - varied.record.hours.0).max(Decimal::ZERO);
        }
        let over = (price.hours - free).max(Decimal::ZERO);
        (over / day).ceil().to_u32().unwrap_or_default()
    }

    fn draft(
        &self,
        named: &JobSource,
        typed: &Variation,
        record: &VariationRecord,
        (found, unsold): (&FoundOnSite, &str),
    ) -> Result<Outcome, Stopped> {
        let folder = work::out_folder(named, &typed.output, None);
        refuse_kept(&folder)?;
        let view = view(record, (self.reference, &self.deal.revision), self.loaded, true)?;
        let Finished { name, bytes } = work::made_of(self.loaded, |own| variation::make(&view, own))?;
        let written = records::write_all(&folder, [(name.as_str(), bytes.as_slice())], |_| false)
            .map_err(|fault| Stopped::Unwritten(fault, "with --out"))?;
        let places: String = written.places.iter().map(|place| format!("wrote {}\n", place.display())).collect();
        let told = told(record, found);
        terminal::say(&format!("{told}{unsold}{places}A draft takes no number; without --draft it is issued.\n"))?;
        Ok(Outcome::Done)
    }

    /// Freezes it; `None` where another run came between. Gives what is to be said.
    fn freeze(&self, file: &FoundFile, record: VariationRecord, unsold: &str) -> Result<Option<String>, Stopped> {
        let Desk { kept, reference, deal, loaded } = *self;
        let (inputs, which) = snapshot::of(loaded, None)?;
        let record = VariationRecord { inputs: which.clone(), ..record };
        let view = view(&record, (reference, &deal.revision), loaded, false)?;
        let finished = work::made_of(loaded, |own| variation::make(&view, own))?;
        if snapshot::of(loaded, None)? != (inputs.clone(), which) {
            return Ok(None); // A template or a font was changed while it was made.
        }
        let told = format!("issued variation order {}\n{}{unsold}", record.number, told(&record, &file.found));
        let next = format!(
            "Both sign it. Then: `wetout variation JOB --signed FILE.pdf`, or `--agreed {} --on DATE --name \"who\"`, or --refused.\n",
            record.sequence
        );
        let pdf = finished.name.clone();
        let mut all: SnapshotFiles = vec![(finished.name, finished.bytes)];
        all.extend(inputs);
        all.push((file.name.clone(), file.bytes.clone()));
        let before = kept.variations(reference, &deal.revision).last().map(|last| last.at.listed.clone());
        let name = series_folder(reference, SERIES, record.sequence);
        let holds = FrozenAs::Varied(Box::new(record));
        let folder = frozen(kept, (reference, &deal.revision), &name, holds, all, before)?;
        Ok(folder.map(|folder| format!("{told}wrote {}\n{next}", folder.join(pdf).display())))
    }
}

/// Freezes a folder upon what stood there; `None` where another run came between.
fn frozen(
    kept: &Kept,
    (reference, revision): (&str, &str),
    name: &str,
    holds: FrozenAs,
    mut files: SnapshotFiles,
    before: Option<KeptFile>,
) -> Result<Option<std::path::PathBuf>, Stopped> {
    let manifest = Manifest {
        program: program(),
        reference: reference.to_owned(),
        revision: revision.to_owned(),
        files: files.iter().map(|(name, bytes)| KeptFile::of(name, bytes)).collect(),
        holds,
        before,
    };
    files.push((MANIFEST.to_owned(), manifest.written()));
    match records::freeze_upon(&kept.home, &kept.names, name, &files) {
        Ok(folder) => Ok(Some(folder)),
        Err(fault) if fault.cause.kind() == io::ErrorKind::AlreadyExists && kept.home.is_dir() => Ok(None),
        Err(fault) => Err(Stopped::Unwritten(fault, "for the job: it is kept beside it")),
    }
}

fn as_found(line: &VariationLine) -> FoundRecord {
    FoundRecord {
        what: line.what.clone(),
        quantity: how_much(line.quantity, &line.unit),
        rate: (line.unit != FoundUnit::Sum).then_some(KeptMoney(line.rate)),
        rate_with_vat: line.rate_with_vat.map(KeptMoney),
        amount: KeptMoney(line.amount),
    }
}

/// What is printed, from what was written down.
fn view<'a>(
    record: &'a VariationRecord,
    (reference, revision): (&'a str, &'a str),
    loaded: &'a Loaded,
    is_draft: bool,
) -> Result<VariationView<'a>, Stopped> {
    let job = &loaded.job;
    let line = |line: &'a FoundRecord| PrintedFind {
        what: &line.what,
        quantity: &line.quantity,
        rate: line.rate.map(|rate| rate.0),
        rate_with_vat: line.rate_with_vat.map(|rate| rate.0),
        amount: line.amount.0,
    };
    Ok(VariationView {
        parties: deal::parties(
            loaded,
            reference,
            record.date.0,
            if is_draft { IssueStanding::Draft } else { IssueStanding::Numbered },
        )?,
        co_signers: &job.co_signers,
        number: (!is_draft).then_some(record.number.as_str()),
        accepted: AcceptedQuote { revision, on: record.accepted_on.0, total: record.accepted_total.0 },
        note: record.note.as_deref(),
        lines: record.lines.iter().map(line).collect(),
        sums: record.sums.into(),
        registered: record.registered,
        rate: record.vat_rate.0,
        before: printed_changes(&record.changes),
        days: record.days,
        finish: record.finish_before.zip(record.finish).map(|(was, then)| [was.0, then.0]),
        begun_unasked: begun_unasked(record, &firm_of(loaded)?.holidays),
        customer_vat_number: job.customer_vat_number.as_deref(),
    })
}

/// The first day on which it can be begun, signed on its own day, where nobody asks that it be begun before the time to cancel is
/// over; none where it is finished no later for that, or is no contract that the customer may cancel.
fn begun_unasked(record: &VariationRecord, holidays: &[Date]) -> Option<Date> {
    let sums = InvoiceSums::from(record.sums);
    let may_be_cancelled = sums.by_customer == Money::ZERO && sums.total >= Money::ZERO;
    let asked = record.finish.filter(|_| may_be_cancelled)?.0;
    let over = starting::time_ends(record.date.0, None);
    let begun = calendar::on_or_after(over.saturating_add(Duration::DAY), holidays);
    let finished = calendar::working_days_after(begun, record.days.saturating_sub(1), holidays);
    (finished > asked).then_some(begun)
}

/// What it comes to, on the terminal.
fn told(record: &VariationRecord, found: &FoundOnSite) -> String {
    let columns =
        [("what", Ranged::Left), ("how much", Ranged::Left), ("rate", Ranged::Right), ("without VAT", Ranged::Right)];
    let cells = |line: &FoundRecord| {
        let rate = line.rate.map_or_else(String::new, |rate| rate.0.to_string());
        vec![line.what.clone(), line.quantity.clone(), rate, line.amount.0.to_string()]
    };
    let mut text = table(&columns, &record.lines.iter().map(cells).collect::<Vec<_>>());
    let sums = InvoiceSums::from(record.sums);
    text += &format!("{} without VAT, {} with VAT of {}\n", sums.net, sums.total, sums.vat);
    let days = wording::plural(record.days as usize, "working day", "working days");
    text += &match record.finish {
        Some(finish) => format!("{days} more on site, expected to end on {}\n", finish.0),
        None => format!("{days} more on site\n"),
    };
    let is_visit = |part: &FoundPart| matches!(part, FoundPart::Visits(_));
    if record.days > 0 && !found.lines.iter().flat_map(|line| &line.parts).any(is_visit) {
        text += &format!(
            "Travel and setting up for that are not in it: a line with `visits: {}` charges them.\n",
            record.days
        );
    }
    text
}

/// What the firm bears of it, with the line that charges it.
fn unsold(price: &VariationPrice) -> String {
    let mut text = String::new();
    if price.delivery > Money::ZERO {
        let delivery = price.delivery;
        text += &format!(
            "Delivery of what its rates take, {delivery}, is in no line: the quote says of its rates that materials are included.\n"
        );
    }
    if price.boards_by_cost {
        text += "Boards are sold by their cost: none of the quote's rates says `charges: boards`.\n";
    }
    text
}

/// What is sold at a rate that somebody names, and not for boards of which the job says the size: its goods are in no order.
fn unbought(found: &FoundOnSite, price: &VariationPrice, quoted: &Loaded) -> String {
    let agreed = quoted.terms.iter().flat_map(|terms| &terms.rot_rates);
    let bought: Vec<&str> =
        agreed.filter(|rate| price.rate_boards > 0 && rate.charges_boards()).map(|rate| rate.label.as_str()).collect();
    let unsaid = found.lines.iter().filter(|line| line.takes.is_empty());
    let rates = unsaid.flat_map(|line| &line.parts).filter_map(|part| match part {
        FoundPart::Rate { label, quantity, .. } if !bought.contains(&label.as_str()) => {
            Some(format!("{label}, {}", wording::number(*quantity)))
        }
        _ => None,
    });
    let rates: Vec<String> = rates.collect();
    match rates.is_empty() {
        true => String::new(),
        false => format!(
            "Sold by a rate, and on no order: {}. Buy what that takes, or say it under `takes`: it is ordered then.\n",
            rates.join("; ")
        ),
    }
}

/// Boards that were found where the quote lays all decks anew.
fn paid_for_already(found: &FoundOnSite, price: &VariationPrice, quoted: &Loaded) -> String {
    let job = &quoted.job;
    let all_new = job.old_roofs.is_empty() && job.roofs.iter().all(|roof| roof.deck.action == DeckAction::New);
    let has_boards = price.rate_boards > 0
        || found.lines.iter().flat_map(|line| &line.parts).any(|p| matches!(p, FoundPart::Boards { .. }));
    match all_new && has_boards {
        true => {
            "The quote lays every deck anew: see that the boards of this variation are not among those.\n".to_owned()
        }
        false => String::new(),
    }
}

/// What the customer has said of a variation, by hand or in a file that came back.
struct HeardOfVariation<'a> {
    varied: IssuedVariation<'a>,
    agreed: bool,
    on: Date,
    names: Vec<String>,
    /// What is said by ticking boxes.
    consents: Vec<String>,
    /// The file that came back: its name, its bytes, and what speaks against it.
    file: Option<(String, Vec<u8>, Vec<String>)>,
}

fn by_hand<'a>(
    kept: &'a Kept,
    (reference, revision): (&'a str, &'a str),
    typed: &Variation,
) -> Result<HeardOfVariation<'a>, Stopped> {
    let (Some(number), Some(on)) = (typed.agreed.as_ref().or(typed.refused.as_ref()), typed.on) else {
        let fault = "name the variation that is answered, and the day: `--agreed 1 --on DATE --name \"who\"`";
        return Err(Stopped::Usage(fault.into()));
    };
    let names = signed_paper::named(&typed.name);
    let varied = deal::variation(kept, reference, revision, number)?;
    Ok(HeardOfVariation { varied, agreed: typed.agreed.is_some(), on, names, consents: Vec::new(), file: None })
}

/// A signed order agrees to what it says: nobody sends one back who does not.
fn by_file<'a>(
    kept: &'a Kept,
    (reference, revision): (&'a str, &'a str),
    (path, typed, signers): (&Path, &Variation, &[String]),
) -> Result<HeardOfVariation<'a>, Stopped> {
    let not_taken = |why: String| Stopped::Usage(format!("{} is not taken: {why}", path.display()));
    let bytes = signed_paper::bytes_of(path)?;
    let all = kept.variations(reference, revision);
    let papers = all.iter().map(|varied| ToSign::variation(*varied)).collect::<Result<Vec<_>, _>>()?;
    let said = signed_paper::read(&bytes, &papers).map_err(not_taken)?;
    let varied = all[said.which];
    let on = said.signed_on(typed.on).map_err(not_taken)?;
    let names = said.signed_by(&typed.name, signers, "agrees").map_err(not_taken)?;
    let name = wording::list(&names);
    let number = &varied.record.number;
    terminal::say(&format!(
        "{}: variation order {number}, {}\n{}{number}, as answered on {on} by {name}\n",
        path.display(),
        said.stored,
        said.told()
    ))?;
    let file = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let SaidInFile { consents, against, .. } = said;
    Ok(HeardOfVariation { varied, agreed: true, on, names, consents, file: Some((file, bytes, against)) })
}

fn blank(text: Option<&str>) -> Option<String> {
    text.map(str::trim).filter(|text| !text.is_empty()).map(str::to_owned)
}

/// Records what the customer says of a variation.
fn answer(kept: &Kept, reference: &str, deal: &Deal, typed: &Variation) -> Result<Outcome, Stopped> {
    let refuse = |words: String| Err(Stopped::Usage(words));
    let of = (reference, deal.revision.as_str());
    let quoted = deal::as_quoted(kept, reference)?.map(|loaded| loaded.job);
    let signers = quoted.map_or_else(Vec::new, |job| wording::signers(&job.customer.name, &job.co_signers));
    let heard = match &typed.signed {
        Some(path) => by_file(kept, of, (path, typed, &signers))?,
        None => by_hand(kept, of, typed)?,
    };
    let HeardOfVariation { varied, agreed, on, names, consents, file } = heard;
    let record = varied.record;
    match varied.answer {
        VariationState::Waiting => {}
        VariationState::Agreed(before) => {
            return refuse(format!("{} was agreed on {} already", record.number, before.on.0));
        }
        VariationState::Refused(before) => {
            return refuse(format!(
                "{} was refused on {}; issue it anew where the customer wants it after all",
                record.number, before.on.0
            ));
        }
    }
    if on < record.date.0 {
        return refuse(format!("{} is of {}, later than that", record.number, record.date.0));
    }
    if let Some(fault) = altered_files(varied.at).first() {
        return refuse(format!("what was issued is not as it was: {fault}; issue the variation anew"));
    }
    if agreed && names.is_empty() {
        return refuse("say who agrees: `--name \"R. Patel\"`".into());
    }
    let (file, bytes, mut warned) =
        file.map_or_else(Default::default, |(file, bytes, warned)| (Some(file), Some(bytes), warned));
    if agreed {
        warned.extend(signed_paper::unsigned(&signers, &names));
    }
    let ticked = consents.clone();
    let said = VariationAnswer {
        sequence: record.sequence,
        number: record.number.clone(),
        on: KeptDay(on),
        name: (!names.is_empty()).then(|| wording::list(&names)),
        because: blank(typed.because.as_deref()),
        file,
        consents,
        even_so: settled(&warned, typed.even_so.as_deref())?,
        warned,
    };
    let (word, holds) = match agreed {
        true => ("agreed", FrozenAs::Agreed(Box::new(said))),
        false => ("refused", FrozenAs::Refused(Box::new(said))),
    };
    let name = format!("{}-{word}", series_folder(reference, SERIES, record.sequence));
    let before = Some(varied.at.listed.clone());
    let files: SnapshotFiles = bytes.map(|bytes| ("signed.pdf".to_owned(), bytes)).into_iter().collect();
    let Some(folder) = frozen(kept, of, &name, holds, files, before)? else {
        return refuse(
            "nothing was recorded: another run has issued or recorded something of this job in the meantime; look at `wetout \
             list`, and try it again"
                .to_owned(),
        );
    };
    let mut text = format!("recorded that {} was {word} on {on}\n", record.number);
    text.extend(ticked.iter().map(|line| format!("  said     {line}\n")));
    if agreed {
        let now = deal.sums.with(record.sums.into()).total;
        let sum = record.sums.total.0;
        text += &match sum < Money::ZERO {
            true => format!("{} less: the price is now {now}. It is set against the last stage.\n", -sum),
            false => format!(
                "{sum} more: the price is now {now}. It is invoiced with the last stage, or at once by `wetout invoice JOB \
                 --variation {}`.\n",
                record.sequence
            ),
        };
    }
    terminal::say(&format!("{text}wrote {}\n", folder.display()))?;
    Ok(Outcome::Done)
}

/// Makes the document of a frozen folder again from what is kept in it.
///
/// # Errors
/// What cannot be read or made any more.
pub(super) fn again(frozen: &Frozen, record: &VariationRecord) -> Result<Vec<Finished>, Stopped> {
    let loaded = snapshot::read_again(frozen)?;
    let view = view(record, (&frozen.manifest.reference, &frozen.manifest.revision), &loaded, false)?;
    Ok(vec![work::made_of(&loaded, |own| variation::make(&view, own))?])
}

/// What is printed of a variation order, given to whoever writes a message of it.
///
/// # Errors
/// What cannot be read any more, and whatever is wrong with what is made of it.
pub(super) fn told_of<T>(
    frozen: &Frozen,
    record: &VariationRecord,
    loaded: &Loaded,
    make: impl FnOnce(&VariationView<'_>, &Words) -> Result<T, Vec<Problem>>,
) -> Result<T, Stopped> {
    let view = view(record, (&frozen.manifest.reference, &frozen.manifest.revision), loaded, false)?;
    work::with_words_of(loaded, |words| make(&view, words))
}
