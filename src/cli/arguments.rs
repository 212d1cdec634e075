//! What can be typed: the commands and their options.

use super::examples;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;
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
    Order(One),
    /// Write the method statement for the site
    #[command(after_help = examples::METHOD)]
    Method(One),
    /// Write all three documents, of one job or of many
    #[command(after_help = examples::MAKE)]
    Make {
        /// Job files, job folders, folders of jobs, or - for standard input
        #[arg(required = true, value_name = "JOB")]
        jobs: Vec<PathBuf>,
        #[command(flatten)]
        files: Files,
        #[command(flatten)]
        output: Output,
    },
    /// The words of the documents, for the firm to make its own
    #[command(subcommand)]
    Templates(Templates),
    /// What a key of your files is for, how it is written, its limits; or what a command does
    Help {
        /// A key (`edges.gutter`, `rules.nail_spacing`), a file (`job`, `firm`, `prices`) or a command; nothing lists the groups
        #[arg(value_name = "KEY")]
        words: Vec<String>,
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

/// Files beside the job, and the day it is worked for.
#[derive(Debug, Clone, Default, Args)]
pub struct Files {
    /// Firm file; else the nearest firm.yaml going upward from the job
    #[arg(long, value_name = "FILE")]
    pub firm: Option<PathBuf>,
    /// Price book, once for each; else the nearest prices.yaml or prices/*.yaml going upward from the job
    #[arg(long, value_name = "FILE")]
    pub prices: Vec<PathBuf>,
    /// Date of the documents and of their prices, as 2026-11-25; else the job's `prepared`
    #[arg(long, value_name = "DATE", value_parser = parse_date)]
    pub date: Option<Date>,
}

/// Where documents go.
#[derive(Debug, Clone, Default, Args)]
pub struct Output {
    /// Folder for the documents; else `out` beside the job. For a single document, - is standard output
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
}

fn parse_date(text: &str) -> Result<Date, String> {
    Date::parse(text, &Iso8601::DATE).map_err(|_| "write the date as year-month-day, such as 2026-11-25".into())
}
