//! A photograph of the job.
//!
//! Given by whoever found the file; shown to the householder. Its bytes are read when a document shows it: what is too large for
//! its place on paper is scaled down at once.

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
