//! Tests: tidy.
