//! Tests: replay.
