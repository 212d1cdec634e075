//! `wetout` turns one measured job file into three documents for a glass-fibre flat roof:
//! a quote for the householder, an order for the merchant, a method statement for the site.
//!
//! ```text
//! job file ─┐
//! firm file ─┼─> model ─> take-off ─> programme ─> pricing ─> documents ─> PDF, CSV
//! price book ┘             (layout)    (time)       (money)    (words, drawings, pages)
//! ```
//!
//! One direction, never back. Each arrow is one function from one plain value to the next.
//! `tests/tidy.rs` reads the `use crate::` lines and fails when a layer looks back.

pub mod checks;
pub mod cli;
pub mod cutting;
pub mod documents;
pub mod estimate;
pub mod facts;
pub mod geometry;
pub mod job_file;
pub mod model;
pub mod pages;
pub mod pdf;
pub mod pricing;
pub mod programme;
pub mod records;
pub mod safety;
pub mod survey;
pub mod takeoff;
pub mod works;
