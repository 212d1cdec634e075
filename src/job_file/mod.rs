//! Reads the job file, the firm file, the price books and the record of the work, and tells every problem with place, fault and cure.
//!
//! Given paths or text; gives the model and the money terms, or all the problems of all the files at once. The file's
//! types stay in here. A hostile file gets one clear error in well under a second.

mod build;
mod loaded;
mod raw;
mod read;
pub(crate) mod reference;

pub use self::build::accepted::{ChosenParts, accepted};
pub use self::build::repriced::{WrittenArticle, repriced, written_articles};
pub use self::loaded::{
    Failure, Loaded, LoadedBook, LoadedRecord, OfficeFiles, ReadFile, Request, SourceText, Sources, StockFrom,
};
pub(crate) use self::read::find::{firm as nearest_firm, is_same as is_same_file, prices as nearest_prices};
pub use self::read::load::{
    load, load_book, load_found, load_record, load_stock, load_unfilled_record, nearest_stock, office,
};
pub use self::read::render::{counted, fault_named, find_characters, name_of, render, render_each};
pub(crate) use self::read::written::scalar;
pub use crate::model::Photo;
