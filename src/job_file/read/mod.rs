//! Reading: bytes that are fit to be parsed, where each setting stands, what a scalar may be, how a problem is shown.
//!
//! Given a file's text; gives values with their places, or every problem of the file.

pub mod amount;
pub mod find;
pub mod guard;
pub mod load;
pub mod places;
pub mod reading;
pub mod render;
pub mod scalars;
pub mod settings;
pub mod suggest;
pub mod tree;
