//! Arguments in, exit code out.

use clap::Parser;
use mimalloc::MiMalloc;
use std::process::ExitCode;
use wetout::cli::{Arguments, run};

/// Writing a PDF asks for memory some hundred thousand times, on two threads.
#[global_allocator]
static MEMORY: MiMalloc = MiMalloc;

fn main() -> ExitCode {
    run(Arguments::parse()).into()
}
