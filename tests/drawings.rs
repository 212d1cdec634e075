//! Tests: drawings.
