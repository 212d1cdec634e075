//! The keys of the files, as they are read, before anything is made of them.
//!
//! Given a file; gives every setting that could be read, each on its own. What a setting means stands in `build`.

pub(super) mod checks;
pub(super) mod firm;
pub(super) mod found;
pub(super) mod homes;
pub(super) mod job;
pub(super) mod prices;
pub(super) mod record;
pub(super) mod retention;
pub(super) mod roof_work;
pub(super) mod rules;
pub(super) mod stock;
