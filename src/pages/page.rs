//! Placed pages: every mark with its place, as plain data, and the tree that says what each mark means.
//!
//! Given by the flow; read by the PDF writer and by the golden tests. Points, origin at the top left of the page, y
//! downwards. A mark without an owner is decoration: it is not read aloud.

use super::fonts::{Face, Fonts};
use super::image::Image;
use super::scene::{Ink, Pen, Scene};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Width of A4, pt.
pub const WIDTH: f64 = 595.276;
/// Height of A4, pt.
pub const HEIGHT: f64 = 841.89;

/// A document with everything in its place.
#[derive(Debug, Clone, Default)]
pub struct Paper {
    /// The pages.
    pub pages: Vec<Page>,
    /// What the marks mean; the first node is the document.
    pub nodes: Vec<Node>,
    /// Headings for the outline, in order.
    pub outline: Vec<Entry>,
    /// What is told where: a name, and the node whose words tell it.
    pub tells: Vec<(String, NodeId)>,
    /// What it is set in.
    pub fonts: Fonts,
}

impl Paper {
    /// What is told, by name, each with the first page that tells it, counting from 1.
    pub fn told(&self) -> BTreeMap<&str, usize> {
        let mut first: BTreeMap<NodeId, usize> = BTreeMap::new();
        for (page, number) in self.pages.iter().zip(1..) {
            for mut node in page.marks.iter().filter_map(|mark| mark.owner) {
                // A mark of a word tells for everything that the word stands in.
                while first.insert(node, number.min(first.get(&node).copied().unwrap_or(number))).is_none() && node != 0
                {
                    node = self.nodes[node].parent;
                }
            }
        }
        let mut told: BTreeMap<&str, usize> = BTreeMap::new();
        for (name, node) in &self.tells {
            if let Some(&page) = first.get(node) {
                let known = told.entry(name).or_insert(page);
                *known = page.min(*known);
            }
        }
        told
    }
}

/// A page.
#[derive(Debug, Clone, Default)]
pub struct Page {
    /// Its marks, from back to front, which is also the order in which they are read.
    pub marks: Vec<Placed>,
}

/// Place of a node in [`Paper::nodes`].
pub type NodeId = usize;

/// A mark and what it belongs to.
#[derive(Debug, Clone)]
pub struct Placed {
    /// The node it belongs to; `None` for decoration.
    pub owner: Option<NodeId>,
    /// The mark.
    pub item: Item,
}

impl Placed {
    /// Decoration.
    pub fn bare(item: Item) -> Placed {
        Placed { owner: None, item }
    }
}

/// A mark.
#[derive(Debug, Clone)]
pub enum Item {
    /// Text on one line.
    Text(Text),
    /// A straight line.
    Rule {
        /// One end.
        from: (f64, f64),
        /// The other.
        to: (f64, f64),
        /// The pen.
        pen: Pen,
    },
    /// A rectangle.
    Panel {
        /// Its place and size.
        area: Rectangle,
        /// Fill.
        fill: Option<Ink>,
        /// Outline.
        pen: Option<Pen>,
    },
    /// A drawing.
    Drawing {
        /// Its place and size on the page.
        area: Rectangle,
        /// What its own points are multiplied by.
        scale: f64,
        /// The drawing.
        scene: Arc<Scene>,
        /// Its words, shaped: place of the text mark in the scene, and the text as it stands in the scene.
        texts: Vec<(usize, Text)>,
    },
    /// A picture.
    Picture {
        /// Its place and size on the page.
        area: Rectangle,
        /// The picture.
        image: Arc<Image>,
    },
    /// A field to fill in.
    Field {
        /// Its place and size on the page.
        area: Rectangle,
        /// What is to be written there, or is said by ticking it.
        label: String,
        /// What it takes.
        taking: Taking,
    },
}

/// What a field takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Taking {
    /// A tick, numbered among those of the document.
    Tick,
    /// A tick that is known by its label.
    NamedTick,
    /// A line of text.
    Line,
    /// Several lines of text.
    Lines,
    /// One of a list.
    OneOf(Vec<String>),
}

/// A rectangle: left, top, width and height.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rectangle {
    /// Left.
    pub x: f64,
    /// Top.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

/// Text on one line, in one size and colour.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Where it starts.
    pub x: f64,
    /// Its baseline.
    pub y: f64,
    /// Type size.
    pub size: f64,
    /// Turned anticlockwise about its start, degrees.
    pub turn: f64,
    /// Colour.
    pub ink: Ink,
    /// Its width.
    pub width: f64,
    /// Runs of one face each.
    pub runs: Vec<FaceRun>,
    /// The target, where it is a link.
    pub link: Option<String>,
}

impl Text {
    /// The words alone.
    pub fn words(&self) -> String {
        self.runs.iter().map(|run| run.text.as_str()).collect()
    }
}

/// Text of one face.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FaceRun {
    /// The face.
    pub face: Face,
    /// The text.
    pub text: String,
    /// Where the pen is shifted between two letters: after so many letters, by thousandths of the type size.
    pub shifts: Vec<(usize, i32)>,
}

/// A node of the tree of meaning.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// The node above; the document is its own.
    pub parent: NodeId,
    /// What it is.
    pub role: NodeRole,
}

/// What a node is.
#[derive(Debug, Clone, PartialEq)]
pub enum NodeRole {
    /// The document.
    Document,
    /// Several blocks that belong together.
    Division,
    /// A heading, 1 to 3.
    Heading(u8),
    /// A paragraph.
    Paragraph,
    /// A list.
    List {
        /// Numbered.
        ordered: bool,
    },
    /// An item of a list.
    ListItem,
    /// Its bullet or number.
    Label,
    /// Its words.
    Body,
    /// A table.
    Table,
    /// The row of a table's headings.
    TableHead,
    /// Rows of a table, under a group's heading where it has groups.
    TableBody,
    /// A row.
    TableRow,
    /// A heading cell.
    HeadingCell {
        /// Of its row; otherwise of its column.
        of_row: bool,
        /// Columns that it spans.
        span: usize,
    },
    /// A cell.
    Cell {
        /// The heading cells that speak for it, where the place in the table does not say so: its column's and its group's.
        headers: Vec<NodeId>,
    },
    /// A drawing or picture.
    Figure {
        /// What it shows.
        alt: String,
    },
    /// The words under a drawing.
    Caption,
    /// A link.
    Link {
        /// Its words.
        words: String,
    },
    /// A field to fill in.
    Form {
        /// What is to be written there.
        label: String,
    },
    /// The raised figure that points to a note.
    Reference,
    /// A note at the foot of a page.
    Note,
}

/// A heading in the outline.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// 1 to 3.
    pub level: u8,
    /// Its words.
    pub title: String,
    /// Page, from 0.
    pub page: usize,
    /// Its top on the page.
    pub y: f64,
}

/// Moves a mark down.
pub fn move_down(item: &mut Item, by: f64) {
    match item {
        Item::Text(text) => text.y += by,
        Item::Rule { from, to, .. } => {
            from.1 += by;
            to.1 += by;
        }
        Item::Panel { area, .. }
        | Item::Drawing { area, .. }
        | Item::Picture { area, .. }
        | Item::Field { area, .. } => area.y += by,
    }
}

/// Marks moved down.
pub fn lowered(mut marks: Vec<Placed>, by: f64) -> Vec<Placed> {
    marks.iter_mut().for_each(|mark| move_down(&mut mark.item, by));
    marks
}
