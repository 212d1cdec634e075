//! Tests: trims.
