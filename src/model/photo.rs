//! A photograph of the job.
//!
//! Given by whoever read the file; shown to the householder. The bytes are those of the file: what is too large for its
//! place on paper is scaled down when that place is known.

use super::firm::Picture;

/// A photograph of the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// The file's name as the job names it; the file was there when the job was read.
    pub file: String,
    /// What it shows.
    pub caption: Option<String>,
    /// Its name and its bytes, PNG or JPEG.
    pub picture: Picture,
}
