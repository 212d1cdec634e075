//! Layouts replayed by code that shares nothing with what made them: the pieces are taken from their boards, laid, and
//! looked at.

mod deck;
//! Plans replayed by code that shares nothing with the code that made them.
mod mat;
