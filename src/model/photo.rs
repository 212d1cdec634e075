//! A photograph of the job.
//!
//! Given by whoever read the file; shown to the householder. The bytes are those of the file: nothing is turned,
//! scaled or packed anew.

use super::firm::Picture;
use std::path::PathBuf;

/// A photograph of the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// The file, which was there when the job was read.
    pub file: PathBuf,
    /// What it shows.
    pub caption: Option<String>,
    /// Its name and its bytes, PNG or JPEG.
    pub picture: Picture,
}
