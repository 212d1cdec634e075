//! Layouts and orders replayed by code that shares nothing with what made them: the pieces are taken from what was
//! bought, cut, laid, and looked at.

pub mod deck;
mod mat;
mod order;
mod trims;
