//! Arguments in, exit code out.

fn main() {}
