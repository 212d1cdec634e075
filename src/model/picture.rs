//! The bytes of a picture: held, or fetched from where they lie once a document shows them.
//!
//! Given by whoever found the picture; asked by whoever sets it. Photographs of a job are larger than all else that it is made
//! from, and most commands show none: those read none.

use std::fmt::Debug;
use std::sync::Arc;

/// What is wrong with a picture's file, said after its name (`cannot be read: …`), and the cure.
pub type Unfetched = (String, String);

/// Where the bytes of a picture lie.
pub trait PictureStore: Debug + Send + Sync {
    /// Its bytes, or the first so many of them.
    ///
    /// # Errors
    /// Why there are none.
    fn fetch(&self, most: Option<usize>) -> Result<Vec<u8>, Unfetched>;

    /// The SHA-256 (FIPS 180-4) of all its bytes, as they were when they were last fetched whole.
    fn digest(&self) -> Option<[u8; 32]> {
        None
    }
}

/// The bytes of a picture.
#[derive(Debug, Clone)]
pub enum PictureBytes {
    /// They were read.
    Held(Arc<Vec<u8>>),
    /// They are read when they are asked for.
    Stored(Arc<dyn PictureStore>),
}

impl PictureBytes {
    /// All of them.
    ///
    /// # Errors
    /// Why there are none.
    pub fn whole(&self) -> Result<Arc<Vec<u8>>, Unfetched> {
        match self {
            PictureBytes::Held(bytes) => Ok(Arc::clone(bytes)),
            PictureBytes::Stored(store) => store.fetch(None).map(Arc::new),
        }
    }

    /// The first so many of them.
    ///
    /// # Errors
    /// Why there are none.
    pub fn beginning(&self, most: usize) -> Result<Vec<u8>, Unfetched> {
        match self {
            PictureBytes::Held(bytes) => Ok(bytes.get(..most).unwrap_or(bytes).to_vec()),
            PictureBytes::Stored(store) => store.fetch(Some(most)),
        }
    }
}

impl From<Vec<u8>> for PictureBytes {
    fn from(bytes: Vec<u8>) -> PictureBytes {
        PictureBytes::Held(Arc::new(bytes))
    }
}

impl Default for PictureBytes {
    fn default() -> PictureBytes {
        Vec::new().into()
    }
}

impl PartialEq for PictureBytes {
    /// Stored bytes are the same where they lie in the same store.
    fn eq(&self, other: &PictureBytes) -> bool {
        match (self, other) {
            (PictureBytes::Held(a), PictureBytes::Held(b)) => Arc::ptr_eq(a, b) || a == b,
            (PictureBytes::Stored(a), PictureBytes::Stored(b)) => Arc::ptr_eq(a, b),
            _ => false,
        }
    }
}

impl Eq for PictureBytes {}
