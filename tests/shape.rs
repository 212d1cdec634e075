//! Tests: shape.
