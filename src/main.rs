//! Arguments in, exit code out.

use clap::Parser;
use std::process::ExitCode;
use wetout::cli::{Arguments, run};

fn main() -> ExitCode {
    run(Arguments::parse()).into()
}
