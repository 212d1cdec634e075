//! What the keys mean: from settings as written to the model, the terms and the price books.
//!
//! Given raw settings; gives values, or every problem with its place.

pub mod build_up;
pub mod choices;
pub mod drainage;
pub mod edges;
pub mod firm;
pub mod gutters;
pub mod holes;
pub mod job;
pub mod measured;
pub mod options;
pub mod outline;
pub mod prices;
pub mod quadrilateral;
pub mod roof;
pub mod stages;
pub mod trade;
pub mod walk;
