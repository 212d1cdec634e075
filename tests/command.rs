//! Tests: command.
