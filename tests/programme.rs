//! Tests: programme.
