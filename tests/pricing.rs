//! Tests: pricing.
