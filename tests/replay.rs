//! Layouts and orders replayed by code that shares nothing with what made them: the pieces are taken from what was
//! bought, cut, laid, and looked at.

mod bandage;
pub mod deck;
mod edges;
mod falls;
pub mod gutters;
pub mod job;
mod marks;
mod mat;
mod noggins;
pub mod old_roofs;
mod openings;
mod order;
mod parapets;
mod permuted;
pub mod roofs;
mod trapped;
mod trims;
pub mod van;
pub mod workings;
