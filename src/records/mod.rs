//! The only code that writes files: whole or not at all.
//!
//! Given finished bytes and a folder; writes each to a temporary file beside its place and renames it.
