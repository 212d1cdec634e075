//! What the pages leave to be finished: which marks belong to which node, and which places answer to a click.

use crate::pages::page::{NodeId, Rectangle, Taking};

/// A stretch of marks on a page that belongs to a node.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MarkedContent {
    /// The page, from 0.
    pub page: usize,
    /// Its number on the page.
    pub number: i64,
    /// The node.
    pub node: NodeId,
}

/// A place on a page that answers to a click.
#[derive(Debug, Clone, PartialEq)]
pub struct Annotation {
    /// The page, from 0.
    pub page: usize,
    /// Where.
    pub area: Rectangle,
    /// The node it belongs to.
    pub node: NodeId,
    /// What it does.
    pub target: AnnotationAction,
}

/// What a place does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AnnotationAction {
    /// Opens an address.
    Link(String),
    /// Is filled in.
    Field {
        /// What is to be written there, or is said by ticking it.
        label: String,
        /// What it takes.
        taking: Taking,
    },
}
