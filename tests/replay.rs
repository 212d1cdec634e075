//! Layouts replayed by code that shares nothing with what made them: the pieces are taken from their boards, laid, and
//! looked at.

pub mod deck;
