//! Arguments in, exit code out.

use mimalloc::MiMalloc;
use std::process::ExitCode;
use wetout::cli::started;

/// Writing a PDF asks for memory some hundred thousand times, on two threads.
#[global_allocator]
static MEMORY: MiMalloc = MiMalloc;

fn main() -> ExitCode {
    started().into()
}
