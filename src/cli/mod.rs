//! The terminal: arguments, progress, printing.
//!
//! Given arguments; gives an exit code. The only layer that prints, asks the clock and knows JSON.
