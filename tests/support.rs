//! Tests: support.
