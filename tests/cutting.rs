//! Tests: cutting.
