//! Tests: deck.
