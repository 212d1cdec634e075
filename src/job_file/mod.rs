//! Reads the job file, the firm file and the price books, and tells every problem with place, fault and cure.
//!
//! Given paths or text; gives the model and the money terms, or all the problems of all the files at once. The file's
//! types stay in here. A hostile file gets one clear error in well under a second.

mod build;
mod loaded;
mod raw;
mod read;
pub(crate) mod reference;

pub use self::build::accepted::{ChosenParts, accepted};
pub use self::loaded::{Failure, Loaded, ReadFile, Request, SourceText, Sources};
pub use self::read::load::load;
pub use self::read::render::{counted, find_characters, render, render_each};
pub use crate::model::Photo;
