//! What can be typed: the commands and their options.

use super::examples;
use crate::documents::DocumentKind;
use crate::model::limits;
use crate::pricing::Money;
use crate::survey;
use clap::{Args, Parser, Subcommand, ValueEnum};
use rust_decimal::Decimal;
use std::path::PathBuf;
use std::str::FromStr;
use time::Date;
use time::format_description::well_known::Iso8601;

/// From one measured job file to the quote, the materials order and the site method statement of a glass-fibre flat
/// roof.
#[derive(Debug, Parser)]
#[command(name = "wetout", version, about, arg_required_else_help = true, disable_help_subcommand = true)]
#[command(after_help = examples::OF_ALL)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    #[command(flatten)]
    /// How much is told.
    pub loudness: Loudness,
}

/// How much is told besides what was asked for.
#[derive(Debug, Clone, Copy, Default, Args)]
pub struct Loudness {
    /// Print what was asked for and what is wrong: no warnings, no names of files written
    #[arg(long, short, global = true, conflicts_with = "verbose")]
    pub quiet: bool,
    /// Print also which files were read and what was assumed
    #[arg(long, short, global = true)]
    pub verbose: bool,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write a form for the ladder, to be filled in with a pencil or on a screen
    #[command(after_help = examples::SURVEY)]
    Survey(SurveyAsked),
    /// Begin a job: from a survey form that was filled in, from an earlier job, or from what you say here
    #[command(after_help = examples::NEW)]
    New(Box<NewJob>),
    /// Read the job and say everything that is wrong, doubtful or assumed
    #[command(after_help = examples::CHECK)]
    Check {
        /// Job files, job folders, folders of jobs, or - for standard input
        #[arg(required = true, value_name = "JOB")]
        jobs: Vec<PathBuf>,
        #[command(flatten)]
        files: Files,
    },
    /// What the roof needs, piece by piece (sizes only, no prices)
    #[command(after_help = examples::TAKEOFF)]
    Takeoff {
        /// Job file, job folder, or - for standard input
        job: PathBuf,
        /// As JSON, unrounded
        #[arg(long)]
        json: bool,
        /// Print the working of one line: measured lengths, rules, formula, result
        #[arg(long, value_name = "LINE-ID", conflicts_with = "json")]
        why: Option<String>,
        #[command(flatten)]
        files: Files,
    },
    /// What the job promises, work by work: where it is told, its hours, what is ordered, cost, price and check
    Works {
        /// Job file, job folder, or - for standard input
        job: PathBuf,
        /// As JSON
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        files: Files,
    },
    /// The firm's own view: cost, margin, hours. Not for the customer
    #[command(after_help = examples::PRICE)]
    Price {
        /// Job file, job folder, or - for standard input
        job: PathBuf,
        /// As JSON
        #[arg(long)]
        json: bool,
        /// Print the working of one figure: a cost, a sum, a payment, an option
        #[arg(long, value_name = "ID", conflicts_with = "json")]
        why: Option<String>,
        /// Write the firm's own sheet there as private.pdf; it is never made with the other documents
        #[arg(long, value_name = "FOLDER", conflicts_with_all = ["json", "why"])]
        out: Option<PathBuf>,
        #[command(flatten)]
        files: Files,
    },
    /// Write the customer's quote
    #[command(after_help = examples::QUOTE)]
    Quote(One),
    /// Write the order for the merchant, and its CSV
    #[command(after_help = examples::ORDER)]
    Order(OrderFiles),
    /// Write the method statement for the site
    #[command(after_help = examples::METHOD)]
    Method(MethodOf),
    /// The drawings of quote and method statement: what there is, or each as a file of its own
    #[command(after_help = examples::DRAW)]
    Draw {
        #[command(flatten)]
        /// Which job, where to.
        one: One,
        /// Write each as SVG, at the size that it has on paper; else they are only listed
        #[arg(long)]
        svg: bool,
    },
    /// Write all three documents, of one job or of many
    #[command(after_help = examples::MAKE)]
    Make {
        /// Job files, job folders, folders of jobs, or - for standard input
        #[arg(required = true, value_name = "JOB")]
        jobs: Vec<PathBuf>,
        /// Of many jobs make all, also those that have not changed since their documents were made
        #[arg(long)]
        anew: bool,
        #[command(flatten)]
        files: Files,
        #[command(flatten)]
        output: Output,
    },
    /// Make all three documents of a job, and again whenever a file that they are made from is saved
    #[command(after_help = examples::WATCH)]
    Watch(WatchedJob),
    /// Freeze a document under the next letter, with all that it was made from: A, B, …
    #[command(after_help = examples::ISSUE)]
    Issue(Issue),
    /// Write what was issued as a message that your mail program opens ready to be sent, or send it
    #[command(after_help = examples::MAIL)]
    Mail(Mail),
    /// What changed from one revision to another: scope, quantities, money, days
    #[command(after_help = examples::COMPARE)]
    Compare {
        /// Job file or job folder
        job: PathBuf,
        /// The letter of the one
        before: String,
        /// The letter of the other
        after: String,
        #[command(flatten)]
        files: Files,
    },
    /// How every job stands, and what is to be done next, what is due first on top
    #[command(after_help = examples::LIST)]
    List {
        /// Job files, job folders or folders of jobs
        #[arg(default_value = ".", value_name = "FOLDER")]
        jobs: Vec<PathBuf>,
        /// As JSON
        #[arg(long)]
        json: bool,
        /// Only jobs in this state, once for each
        #[arg(long, value_enum)]
        state: Vec<DealState>,
        /// The day by which it is judged; else the day of this machine's clock
        #[arg(long, value_name = "DATE", value_parser = parse_date)]
        today: Option<Date>,
        #[command(flatten)]
        files: Files,
    },
    /// Record that the customer has accepted a quote: from the signed PDF, or by hand
    #[command(after_help = examples::ACCEPT)]
    Accept(Accept),
    /// Record that the customer does not want it
    #[command(after_help = examples::DECLINE)]
    Decline(AnsweredNo),
    /// Record that the customer takes back what was accepted
    #[command(after_help = examples::WITHDRAW)]
    Withdraw(AnsweredNo),
    /// Freeze the invoice for a stage of the accepted job under the next number, or a credit note for one
    #[command(after_help = examples::INVOICE)]
    Invoice(Invoice),
    /// Price what was found on site, and freeze the order for it under a number of its own; record the customer's answer
    #[command(after_help = examples::VARIATION)]
    Variation(Variation),
    /// Record that an invoice was paid, whole or in part, and write the receipt
    #[command(after_help = examples::RECEIPT)]
    Receipt(Receipt),
    /// What was agreed, asked for and paid, and what is open: on the terminal, and as a PDF for the customer
    #[command(after_help = examples::ACCOUNT)]
    Account(AccountAsked),
    /// Hand the finished roof over: completion record, guarantee, care and what was built, frozen under the next number
    #[command(after_help = examples::HANDOVER)]
    Handover(Handover),
    /// What jobs took against the plan, by their records: hours by work, packs; over five jobs and more also what norms they show
    #[command(after_help = examples::ACTUALS)]
    Actuals {
        /// Jobs with a `record.yaml` beside them, or folders of jobs
        #[arg(required = true, value_name = "JOB")]
        jobs: Vec<PathBuf>,
        /// As JSON
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        files: Files,
    },
    /// What stands in the van, left over from earlier jobs; and what a job leaves of it
    #[command(after_help = examples::STOCK)]
    Stock(StockAsked),
    /// Your price book and your merchant's new list
    #[command(subcommand, after_help = examples::PRICES)]
    Prices(Prices),
    /// The words of the documents, for the firm to make its own
    #[command(subcommand)]
    Templates(Templates),
    /// What a key of your files is for, how it is written, its limits; or what a command does
    Help {
        /// A key (`edges.gutter`, `rules.nail_spacing`), a file (`job`, `firm`, `prices`, `stock`, `found`, `record`) or a command; nothing
        /// lists the groups
        #[arg(value_name = "KEY")]
        words: Vec<String>,
        /// Every key of every file on one page, in Markdown
        #[arg(long, conflicts_with = "words")]
        page: bool,
    },
    /// What your shell completes when you press the tab key, as a script for it
    #[command(after_help = examples::COMPLETIONS)]
    Completions {
        /// Which shell
        #[arg(value_enum)]
        shell: clap_complete::Shell,
    },
    /// The manual page, for `man`
    #[command(after_help = examples::MAN)]
    Man,
    /// What this program is built from, and under which licences
    #[command(after_help = examples::LICENCES)]
    Licences,
    /// What a file may say, as JSON Schema (draft 2020-12), for your editor
    Schema {
        /// Which file
        #[arg(value_enum)]
        file: SchemaOf,
    },
}

/// The files that have a schema.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum SchemaOf {
    /// A job file
    Job,
    /// The firm file
    Firm,
    /// A price book
    Prices,
    /// What was found on site
    Found,
    /// What happened on site
    Record,
    /// The stock list
    Stock,
}

/// What to do with a price book.
#[derive(Debug, Subcommand)]
pub enum Prices {
    /// What a merchant's new list changes: what rose and fell, what is new and gone, what it does to open quotes; with --write
    /// the new prices in the price book
    #[command(after_help = examples::PRICES)]
    Update(PricesUpdate),
}

/// A merchant's new list.
#[derive(Debug, Args)]
pub struct PricesUpdate {
    /// The list, as CSV in UTF-8 or as an XLSX workbook
    pub list: PathBuf,
    /// The price book; else the nearest prices.yaml or prices/*.yaml going upward from the folder you are in
    #[arg(long, value_name = "FILE")]
    pub prices: Option<PathBuf>,
    /// The heading over a column that is not plain, once for each: code, description, pack, price, mass; --column mass= says
    /// that there is none. It is remembered with --write
    #[arg(long, value_name = "KEY=HEADING")]
    pub column: Vec<String>,
    /// The day of the list, as 2026-12-01; else today
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub dated: Option<Date>,
    /// Put the new prices into the price book; the book as it was stays beside it
    #[arg(long)]
    pub write: bool,
    /// With --write: though the list is older than the prices of the book
    #[arg(long, requires = "write")]
    pub older: bool,
    /// A price that moved so much that a slip is likely is right, once for each code
    #[arg(long, value_name = "CODE")]
    pub take: Vec<String>,
    /// Ask about what is not sure though no terminal is there; with --write it is asked about at a terminal by itself
    #[arg(long, requires = "write")]
    pub ask: bool,
    /// The folder whose jobs are looked through for open quotes; else the one of the price book
    #[arg(long, value_name = "FOLDER")]
    pub jobs: Option<PathBuf>,
    /// As JSON
    #[arg(long, conflicts_with = "ask")]
    pub json: bool,
}

/// What to do with the words of the documents.
#[derive(Debug, Subcommand)]
pub enum Templates {
    /// Write the built-in templates into a folder; put `templates` beside firm.yaml to use them. Nothing that is there is
    /// overwritten
    Export {
        /// The folder; it is made if need be
        folder: PathBuf,
    },
}

/// A survey form.
#[derive(Debug, Args)]
pub struct SurveyAsked {
    /// For how many roofs there is a page
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=i64::from(survey::MOST_ROOFS)))]
    pub roofs: u8,
    /// Print the name of every question and what can be answered, and write no form
    #[arg(long, conflicts_with = "out")]
    pub questions: bool,
    /// Folder for the form; else the folder you are in. - is standard output
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
}

/// The beginning of a job.
#[derive(Debug, Args)]
pub struct NewJob {
    /// The folder of the job; it is made if need be, and nothing in it is written over. Left out, with --firm FOLDER: the firm
    /// file and a price book are begun there; --prices LIST.csv (or .xlsx) reads a merchant's list into the book
    #[arg(required_unless_present = "firm")]
    pub folder: Option<PathBuf>,
    /// A survey form that was filled in, or the job file or folder of an earlier job
    #[arg(long, value_name = "FILE")]
    pub from: Option<PathBuf>,
    /// Its reference
    #[arg(long)]
    pub reference: Option<String>,
    /// What the job is
    #[arg(long)]
    pub title: Option<String>,
    /// The customer's name
    #[arg(long, value_name = "NAME")]
    pub customer: Option<String>,
    /// The customer's address, its lines parted by commas
    #[arg(long, value_name = "LINES")]
    pub address: Option<String>,
    /// The customer's telephone
    #[arg(long, value_name = "NUMBER")]
    pub phone: Option<String>,
    /// The customer's email
    #[arg(long, value_name = "ADDRESS")]
    pub email: Option<String>,
    /// The address of the work, where it is another
    #[arg(long, value_name = "LINES")]
    pub site: Option<String>,
    /// A rectangle, along the front and up the roof
    #[arg(long, value_name = "5.2x3.4m", conflicts_with = "side")]
    pub rectangle: Option<String>,
    /// A side of the roof with its finish, once for each in their order: "3.1 m drip", "left 45 2.6 m raised"
    #[arg(long, value_name = "SIDE")]
    pub side: Vec<String>,
    /// The finish of a side of a rectangle, once for each: front=drip, back=wall
    #[arg(long, value_name = "SIDE=FINISH", requires = "rectangle")]
    pub edge: Vec<String>,
    /// Any other answer, once for each, by the name that --questions of the command survey prints: "Roof 1: Falls to side=A"
    #[arg(long, value_name = "QUESTION=ANSWER")]
    pub answer: Vec<String>,
    /// With --firm and --prices: the heading over a column of the list that is not plain, once for each: code, description, pack,
    /// price, mass
    #[arg(long, value_name = "KEY=HEADING", requires = "prices")]
    pub column: Vec<String>,
    /// With --firm and --prices: ask about rows that are not sure though no terminal is there
    #[arg(long, requires = "prices")]
    pub ask: bool,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
}

/// One document of one job.
#[derive(Debug, Args)]
pub struct One {
    /// Job file, job folder, or - for standard input
    pub job: PathBuf,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
    #[command(flatten)]
    /// Where to, and of which date.
    pub output: Output,
}

/// The method statement of a job, or a part of it.
#[derive(Debug, Args)]
pub struct MethodOf {
    #[command(flatten)]
    /// Which job, where to.
    pub one: One,
    /// Only the crew's set, as method-crew.pdf
    #[arg(long, conflicts_with_all = ["office", "day"])]
    pub crew: bool,
    /// Only the office's part, as method-office.pdf
    #[arg(long, conflicts_with = "day")]
    pub office: bool,
    /// Only the card of that day of the programme, one page, as day-2.pdf
    #[arg(long, value_name = "DAY", value_parser = parse_place::<u32>)]
    pub day: Option<u32>,
}

/// A job whose files are watched.
#[derive(Debug, Args)]
pub struct WatchedJob {
    /// Job file or job folder
    pub job: PathBuf,
    /// Look at the files every second, and wait for no word of the system: for a drive that says nothing when a file is saved
    #[arg(long)]
    pub poll: bool,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
    #[command(flatten)]
    /// Where to.
    pub output: Output,
}

/// The order of one job.
#[derive(Debug, Args)]
pub struct OrderFiles {
    #[command(flatten)]
    /// Which job, and where to.
    pub one: One,
    /// Also as XML for a merchant whose computer takes orders in UBL 2.1
    #[arg(long)]
    pub ubl: bool,
    /// Only what this variation adds, once it is agreed: its number, or its place in the series
    #[arg(long, value_name = "NUMBER")]
    pub variation: Option<String>,
}

/// What to issue.
#[derive(Debug, Args)]
pub struct Issue {
    /// Job file or job folder; with --check a folder of jobs too
    #[arg(value_name = "JOB", default_value = ".")]
    pub job: PathBuf,
    /// What is issued
    #[arg(value_enum, value_name = "DOCUMENT", required_unless_present = "check")]
    pub document: Option<IssuedKind>,
    /// Look whether everything that was issued is as it was, and make each document again from what it was made from
    #[arg(long, conflicts_with_all = ["document", "again"])]
    pub check: bool,
    /// Issue it though nothing has changed since the last revision
    #[arg(long)]
    pub again: bool,
    /// Of an order: only what this variation adds, once it is agreed: its number, or its place in the series
    #[arg(long, value_name = "NUMBER", conflicts_with = "check")]
    pub variation: Option<String>,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
}

/// What goes by mail.
#[derive(Debug, Args)]
pub struct Mail {
    /// Job file or job folder
    pub job: PathBuf,
    /// What is sent
    #[arg(value_enum, value_name = "DOCUMENT")]
    pub document: MailedKind,
    /// Which revision of a quote or an order; else the last that was issued
    #[arg(long, value_name = "LETTER", conflicts_with = "number")]
    pub revision: Option<String>,
    /// Which invoice, credit note, receipt, statement of account, variation order or handover: its number, or its place in the series; else the last
    #[arg(long, value_name = "NUMBER")]
    pub number: Option<String>,
    /// To this address, and not to the one in the files; may be given several times
    #[arg(long, value_name = "ADDRESS")]
    pub to: Vec<String>,
    /// The day that the message carries, as 2026-12-02; else today
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub today: Option<Date>,
    /// Send it by the mail server of the firm file, and record that
    #[arg(long, conflicts_with = "out")]
    pub send: bool,
    /// With --send: do everything but the sending, and show what would go to whom
    #[arg(long, requires = "send")]
    pub dry_run: bool,
    /// With --send: also to those who have had it, or may have
    #[arg(long, requires = "send")]
    pub again: bool,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
    #[command(flatten)]
    /// Where to.
    pub output: Output,
}

/// What can be sent: the method statement goes to the site on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum MailedKind {
    /// The quote, to the customer
    Quote,
    /// Each order, to its merchant
    Order,
    /// An invoice or a credit note, to the customer
    Invoice,
    /// A receipt, a refund or what takes one back, to the customer
    Receipt,
    /// The account as it stands on that day, to the customer
    Account,
    /// A variation order, to the customer
    Variation,
    /// What was handed over, to the customer
    Handover,
}

impl MailedKind {
    /// As it is typed.
    pub fn word(self) -> &'static str {
        match self {
            MailedKind::Quote => "quote",
            MailedKind::Order => "order",
            MailedKind::Invoice => "invoice",
            MailedKind::Receipt => "receipt",
            MailedKind::Account => "account",
            MailedKind::Variation => "variation",
            MailedKind::Handover => "handover",
        }
    }

    /// The command that freezes one.
    pub fn is_made_by(self) -> &'static str {
        match self {
            MailedKind::Quote => "wetout issue JOB quote",
            MailedKind::Order => "wetout issue JOB order",
            MailedKind::Invoice => "wetout invoice JOB --stage 1",
            MailedKind::Receipt => "wetout receipt JOB 1 --paid 450.00 --on 2026-12-09",
            MailedKind::Account => "wetout mail JOB account",
            MailedKind::Variation => "wetout variation JOB found.yaml",
            MailedKind::Handover => "wetout handover JOB",
        }
    }
}

/// A quote that was accepted.
#[derive(Debug, Args)]
pub struct Accept {
    /// Job file or job folder
    pub job: PathBuf,
    /// The signed quote as it came back, a PDF; else it is recorded by hand
    #[arg(value_name = "SIGNED.pdf")]
    pub signed: Option<PathBuf>,
    /// By hand: the boxes that are ticked, counted from the top of the page “Acceptance”
    #[arg(long, value_name = "1,3", value_delimiter = ',')]
    pub options: Vec<usize>,
    /// On which day it was accepted, as 2026-12-02; else as it is written in the PDF
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub on: Option<Date>,
    /// Who accepts; once for each who signs, where several do; else as it is written in the PDF
    #[arg(long)]
    pub name: Vec<String>,
    /// By hand: which revision; else the last quote that was issued
    #[arg(long, value_name = "LETTER")]
    pub revision: Option<String>,
    /// Record it though something speaks against it, with the reason
    #[arg(long, value_name = "REASON")]
    pub even_so: Option<String>,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
}

/// A quote that was declined, or an acceptance that was withdrawn.
#[derive(Debug, Args)]
pub struct AnsweredNo {
    /// Job file or job folder
    pub job: PathBuf,
    /// On which day, as 2026-12-02
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub on: Date,
    /// Who said so
    #[arg(long)]
    pub name: Option<String>,
    /// Why
    #[arg(long, value_name = "REASON")]
    pub because: Option<String>,
    /// Of an acceptance that is taken back: it is you who cannot do the work, not the customer who cancels
    #[arg(long)]
    pub by_firm: bool,
    /// Which revision was declined; else the last quote that was issued
    #[arg(long, value_name = "LETTER")]
    pub revision: Option<String>,
    /// Record it though something speaks against it, with the reason
    #[arg(long, value_name = "REASON")]
    pub even_so: Option<String>,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
}

/// What is invoiced.
#[derive(Debug, Args)]
pub struct Invoice {
    /// Job file or job folder
    pub job: PathBuf,
    /// Which stage of the accepted price, counted from the first; left out where there is but one
    #[arg(long, value_name = "N", value_parser = parse_place::<usize>)]
    pub stage: Option<usize>,
    /// In place of a stage a variation that was agreed: its number, or its place in the series
    #[arg(long, value_name = "NUMBER", conflicts_with_all = ["stage", "credit"])]
    pub variation: Option<String>,
    /// In place of a stage what the customer has kept back so far
    #[arg(long, conflicts_with_all = ["stage", "variation", "credit"])]
    pub retention: bool,
    /// In place of a stage, once the contract is cancelled: what of the price the customer pays for what was done until then
    #[arg(long, value_name = "AMOUNT", value_parser = parse_paid, conflicts_with_all = ["stage", "variation", "retention", "credit"])]
    pub done: Option<Money>,
    /// Ask for a stage out of its turn, for what was kept back before its day, or for what was done without an express request to
    /// begin early, with the reason
    #[arg(long, value_name = "REASON", conflicts_with_all = ["variation", "credit"])]
    pub even_so: Option<String>,
    /// Credit this invoice, whole, in place of invoicing a stage: its number, or its place in the series
    #[arg(long, value_name = "NUMBER", requires = "because", conflicts_with_all = ["stage", "tax_point", "vat_invoice"])]
    pub credit: Option<String>,
    /// Why it is credited
    #[arg(long, value_name = "REASON", requires = "credit")]
    pub because: Option<String>,
    /// The day of the invoice, as 2027-01-21; else today
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub on: Option<Date>,
    /// The tax point, where it is another day than that of the invoice
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub tax_point: Option<Date>,
    /// Make an invoice for VAT of what is asked for before the work begins: its VAT is then due whether it is paid or not
    #[arg(long)]
    pub vat_invoice: bool,
    /// Write it marked as a draft; it takes no number
    #[arg(long)]
    pub draft: bool,
    /// Also as XML for a customer whose computer takes invoices in UBL 2.1
    #[arg(long, conflicts_with = "draft")]
    pub ubl: bool,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
    #[command(flatten)]
    /// Where a draft goes.
    pub output: Output,
}

/// What was found on site, or the customer's answer to it.
#[derive(Debug, Args)]
pub struct Variation {
    /// Job file or job folder
    pub job: PathBuf,
    /// What was found, a file such as found.yaml (`help found` lists its keys)
    #[arg(value_name = "FOUND.yaml", required_unless_present_any = ["agreed", "refused", "signed"])]
    pub found: Option<PathBuf>,
    /// Record that the customer agrees to this variation: its number, or its place in the series
    #[arg(long, value_name = "NUMBER", requires_all = ["on", "name"], conflicts_with_all = ["found", "draft", "refused"])]
    pub agreed: Option<String>,
    /// Record that the customer does not want this variation
    #[arg(long, value_name = "NUMBER", requires = "on", conflicts_with_all = ["found", "draft"])]
    pub refused: Option<String>,
    /// The signed order as it came back, a PDF: record that the customer agrees to it
    #[arg(long, value_name = "FILE.pdf", conflicts_with_all = ["found", "draft", "agreed", "refused"])]
    pub signed: Option<PathBuf>,
    /// Record an agreement though something speaks against it, with the reason
    #[arg(long, value_name = "REASON", conflicts_with_all = ["found", "refused"])]
    pub even_so: Option<String>,
    /// The day of the variation, or of the answer, as 2027-01-20; a variation is else of today, a signed order of the day in it
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub on: Option<Date>,
    /// Who answers; once for each who signs, where several do; else as it is written in the PDF
    #[arg(long, conflicts_with = "found")]
    pub name: Vec<String>,
    /// Why the customer does not want it
    #[arg(long, value_name = "REASON", requires = "refused")]
    pub because: Option<String>,
    /// Issue it though the very same was issued already
    #[arg(long, requires = "found")]
    pub again: bool,
    /// Write it marked as a draft; it takes no number
    #[arg(long)]
    pub draft: bool,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
    #[command(flatten)]
    /// Where a draft goes.
    pub output: Output,
}

/// A payment, money that was paid back, or a receipt that is taken back.
#[derive(Debug, Args)]
pub struct Receipt {
    /// Job file or job folder
    pub job: PathBuf,
    /// The invoice that is paid: its number, or its place in the series
    #[arg(value_name = "NUMBER", required_unless_present_any = ["back", "cancel"], conflicts_with_all = ["back", "cancel"])]
    pub invoice: Option<String>,
    /// How much was paid, in pounds
    #[arg(long, value_name = "AMOUNT", value_parser = parse_paid, required_unless_present_any = ["back", "cancel"],
          conflicts_with_all = ["back", "cancel"])]
    pub paid: Option<Money>,
    /// In place of a payment: so much of what stands to the customer's credit was paid back
    #[arg(long, value_name = "AMOUNT", value_parser = parse_paid, conflicts_with = "cancel")]
    pub back: Option<Money>,
    /// In place of a payment: take back this receipt or refund, which was recorded wrongly: its number, or its place in the series
    #[arg(long, value_name = "NUMBER", requires = "because")]
    pub cancel: Option<String>,
    /// Why it is taken back, or paid back
    #[arg(long, value_name = "REASON", conflicts_with = "paid")]
    pub because: Option<String>,
    /// On which day the money came or went, or the receipt is taken back, as 2027-01-21
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub on: Date,
    /// On which day the receipt is written, where that is not the day of the payment
    #[arg(long, value_name = "DATE", value_parser = parse_date, conflicts_with_all = ["back", "cancel"])]
    pub dated: Option<Date>,
    /// How it was paid, or paid back
    #[arg(long, value_enum, default_value = "transfer")]
    pub by: PaidBy,
    /// Record it though the same amount was recorded of that day
    #[arg(long)]
    pub again: bool,
    /// Record it though it is more than is left of the price, long after the invoice, or of a day with another rate of VAT, with the
    /// reason
    #[arg(long, value_name = "REASON")]
    pub even_so: Option<String>,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
}

/// How money came.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaidBy {
    /// By bank transfer
    Transfer,
    /// By card
    Card,
    /// In cash
    Cash,
    /// By cheque
    Cheque,
}

impl PaidBy {
    /// As it is printed behind `Paid by`.
    pub fn words(self) -> &'static str {
        match self {
            PaidBy::Transfer => "bank transfer",
            PaidBy::Card => "card",
            PaidBy::Cash => "cash",
            PaidBy::Cheque => "cheque",
        }
    }
}

/// A roof that is handed over.
#[derive(Debug, Args)]
pub struct Handover {
    /// Job file or job folder; what happened on site stands in `record.yaml` beside it
    pub job: PathBuf,
    /// On which day it is handed over, as 2027-01-22; else today
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub on: Option<Date>,
    /// Write it marked as a draft, with lines to fill in by hand for all that the record does not say; it takes no number
    #[arg(long, conflicts_with = "again")]
    pub draft: bool,
    /// Print a record to fill in, with the checks, materials and works of this job
    #[arg(long, conflicts_with_all = ["draft", "again", "on", "out"])]
    pub form: bool,
    /// Hand it over though nothing has changed since the last time
    #[arg(long)]
    pub again: bool,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
    #[command(flatten)]
    /// Where a draft goes.
    pub output: Output,
}

/// A statement of account.
#[derive(Debug, Args)]
pub struct AccountAsked {
    /// Job file or job folder
    pub job: PathBuf,
    /// As JSON, and no PDF
    #[arg(long)]
    pub json: bool,
    /// The day by which it is judged what is overdue; else the day of this machine's clock
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub today: Option<Date>,
    #[command(flatten)]
    /// Firm file and price books.
    pub files: Files,
    #[command(flatten)]
    /// Where to.
    pub output: Output,
}

/// What stands in the van.
#[derive(Debug, Args)]
pub struct StockAsked {
    /// The folder whose stock list is meant: the nearest stock.yaml going upward from it
    #[arg(value_name = "FOLDER", default_value = ".", conflicts_with = "after")]
    pub folder: PathBuf,
    /// The list as it stands once this job is done: without what it takes, with what its packs leave
    #[arg(long, value_name = "JOB", conflicts_with = "json")]
    pub after: Option<PathBuf>,
    /// With --after: put it in the place of the list; the one before it stays beside it
    #[arg(long, requires = "after")]
    pub write: bool,
    /// As JSON
    #[arg(long)]
    pub json: bool,
    /// The day by which it is judged what is past its use-by; else the day of this machine's clock
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub today: Option<Date>,
    #[command(flatten)]
    /// Firm file, price books and stock list.
    pub files: Files,
}

/// How a job stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum DealState {
    /// No quote was issued
    Draft,
    /// A quote was issued, and can still be accepted
    Sent,
    /// A quote was issued, and its day has passed
    Lapsed,
    /// The customer has it done
    Accepted,
    /// The order was issued from what was accepted
    Ordered,
    /// The work has begun, and not all of the price was invoiced
    OnSite,
    /// Some of the price was invoiced
    Invoiced,
    /// The work is done and handed over
    Done,
    /// All of the price was invoiced and paid
    Paid,
    /// The customer does not want it
    Declined,
    /// The customer has taken the acceptance back
    Withdrawn,
}

impl DealState {
    /// As it is printed.
    pub fn word(self) -> &'static str {
        match self {
            DealState::Draft => "draft",
            DealState::Sent => "sent",
            DealState::Lapsed => "lapsed",
            DealState::Accepted => "accepted",
            DealState::Ordered => "ordered",
            DealState::OnSite => "on site",
            DealState::Invoiced => "invoiced",
            DealState::Done => "done",
            DealState::Paid => "paid",
            DealState::Declined => "declined",
            DealState::Withdrawn => "withdrawn",
        }
    }
}

/// A document that can be issued.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum IssuedKind {
    /// The customer's quote
    Quote,
    /// The order for the merchant, and its CSV
    Order,
    /// The method statement for the site
    Method,
}

impl From<IssuedKind> for DocumentKind {
    fn from(paper: IssuedKind) -> DocumentKind {
        match paper {
            IssuedKind::Quote => DocumentKind::Quote,
            IssuedKind::Order => DocumentKind::Order,
            IssuedKind::Method => DocumentKind::Method,
        }
    }
}

/// Files beside the job, and the day it is worked for.
#[derive(Debug, Clone, Default, Args)]
pub struct Files {
    /// Firm file; else the nearest firm.yaml going upward from the job
    #[arg(long, value_name = "FILE")]
    pub firm: Option<PathBuf>,
    /// Price book, once for each; else the nearest prices.yaml or prices/*.yaml going upward from the job
    #[arg(long, value_name = "FILE")]
    pub prices: Vec<PathBuf>,
    /// Stock list of the van; else the nearest stock.yaml going upward from the job
    #[arg(long, value_name = "FILE")]
    pub stock: Option<PathBuf>,
    /// Date of the documents and of their prices, as 2026-11-25; else the job's `prepared`
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub date: Option<Date>,
    /// What stands in the van counts for nothing.
    #[arg(skip)]
    pub without_stock: bool,
}

/// Where documents go.
#[derive(Debug, Clone, Default, Args)]
pub struct Output {
    /// Folder for the documents; else `out` beside the job. For a single document, - is standard output
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
}

/// Which one, counted from 1.
fn parse_place<T: FromStr>(text: &str) -> Result<T, String> {
    text.parse().map_err(|_| "write which one as a number, such as 2".to_owned())
}

fn parse_paid(text: &str) -> Result<Money, String> {
    let plain = text.trim().trim_start_matches('£');
    let is_plain = plain.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let pounds = plain.parse::<Decimal>().ok().filter(|sum| is_plain && sum.scale() <= 2);
    let sum = pounds.ok_or_else(|| {
        // A comma that parts thousands, and nothing else, can be left out.
        let bare = plain.replace(',', "");
        let parted = plain.split(',').skip(1).all(|part| part.split('.').next().unwrap_or_default().len() == 3);
        match bare.parse::<Decimal>().ok().filter(|_| parted && bare != plain) {
            Some(sum) if !bare.starts_with(['-', '+']) => format!("write it without a comma: {sum}"),
            _ => "write the amount in pounds and pence, such as 1475.13".to_owned(),
        }
    })?;
    match limits::PAID.limit.holds(sum) {
        true => Ok(Money::pounds(sum)),
        false => Err(format!("a payment lies {}", limits::PAID.words())),
    }
}

fn parse_date(text: &str) -> Result<Date, String> {
    let date = Date::parse(text, &Iso8601::DATE).map_err(|_| "write the date as year-month-day, such as 2026-11-25")?;
    match limits::YEARS.limit.holds(date.year().into()) {
        true => Ok(date),
        false => Err(format!("the year lies {}", limits::YEARS.words())),
    }
}
