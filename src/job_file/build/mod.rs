//! What the keys mean: from settings as written to the model, the terms and the price books.
//!
//! Given raw settings; gives values, or every problem with its place.

pub(super) mod accepted;
pub(super) mod as_found;
pub(super) mod build_up;
pub(super) mod choices;
pub(super) mod coping;
pub(super) mod drainage;
pub(super) mod edges;
pub(super) mod email;
pub(super) mod falls;
pub(super) mod firm;
pub(super) mod found;
pub(super) mod goods;
pub(super) mod gutters;
pub(super) mod holes;
pub(super) mod job;
pub(super) mod measured;
pub(super) mod old_roof;
pub(super) mod options;
pub(super) mod outline;
mod packs;
pub(super) mod price;
pub(super) mod prices;
pub(super) mod quadrilateral;
pub(super) mod record;
pub(super) mod repriced;
pub(super) mod roof;
pub(super) mod silence;
pub(super) mod stages;
pub(super) mod stock;
pub(super) mod ties;
pub(super) mod together;
pub(super) mod trade;
pub(super) mod under;
pub(super) mod walk;
