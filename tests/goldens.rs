//! Tests: goldens.
