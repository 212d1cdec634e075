//! Reading: bytes that are fit to be parsed, where each setting stands, what a scalar may be, how a problem is shown.
//!
//! Given a file's text; gives values with their places, or every problem of the file.

pub(super) mod amount;
pub(super) mod beside;
pub(super) mod find;
pub(super) mod form;
pub(super) mod guard;
pub(super) mod listed;
pub(super) mod load;
pub(super) mod places;
pub(super) mod price_list;
pub(super) mod reading;
pub(super) mod render;
pub(super) mod scalars;
pub(super) mod settings;
pub(super) mod suggest;
pub(super) mod tree;
pub(super) mod unreadable;
pub(super) mod written;
