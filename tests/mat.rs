//! Tests: mat.
