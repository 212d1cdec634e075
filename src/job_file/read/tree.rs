//! What a file says, as a tree of texts apart from where it stands, so that it can be changed and read again.
//!
//! Made from the places of a file and made into places again (`places`); keys stay in the order of the file. A value left
//! empty is not the same as an empty text in quotes.

/// A file, or a part of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Tree {
    /// Nothing after the key.
    Empty,
    /// A single value.
    Text(String),
    /// A list.
    List(Vec<Tree>),
    /// A group of settings.
    Group(Vec<(String, Tree)>),
}

impl Tree {
    /// A setting of a group.
    pub(crate) fn get(&self, key: &str) -> Option<&Tree> {
        let Tree::Group(settings) = self else { return None };
        settings.iter().find(|(k, _)| k == key).map(|(_, v)| v)
    }
}
