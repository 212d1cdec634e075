//! Tests: lines.
