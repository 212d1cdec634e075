//! The tree of tags (ISO 32000-1, 14.7 and 14.8.4): which marks are a heading, a cell, a picture, and in which order they are read.
//!
//! Given placed pages, the marks on them and the numbers of what they belong to; gives the tree's elements, spelt. There are so many
//! of them that no other form stands between the node of a page and its bytes.

use super::marks::{Annotation, MarkedContent};
use super::spelt::Spelt;
use super::syntax::{rectangle, spoken};
use crate::pages::page::{Item, NodeId, NodeRole, Paper, Rectangle};
use lopdf::ObjectId;
use std::collections::{BTreeMap, BTreeSet};

/// The tree as it goes into the file.
pub(super) struct TagTree {
    /// Its root.
    pub root: ObjectId,
    /// Root, elements, and the ways back to them.
    pub elements: Spelt,
}

/// The tree of a file's pages and annotations, each thing of it under a new number. Page `n` finds its elements under `n`,
/// annotation `n` under as many as there are pages and `n` more.
pub(super) fn of(
    paper: &Paper,
    contents: &[MarkedContent],
    annotations: &[Annotation],
    (pages, annotation_ids): (&[ObjectId], &[ObjectId]),
    mut new_id: impl FnMut() -> ObjectId,
) -> TagTree {
    let kids = Kids::of(paper, contents, annotations);
    let root = new_id();
    let ids: Vec<ObjectId> = paper.nodes.iter().map(|_| new_id()).collect();
    let named = named_nodes(paper, &kids);
    let branches = Branches { paper, boxes: figure_boxes(paper), kids, ids: &ids, pages, annotation_ids };
    let mut out = Spelt::for_tags(ids.len() + pages.len());
    let parents: Vec<ObjectId> = pages.iter().map(|_| new_id()).collect();
    let [numbers, leaf, names] = [new_id(), new_id(), new_id()];
    out.begin(root);
    out.text("<</Type/StructTreeRoot/K[").reference(ids[0]).text("]/ParentTree ").reference(numbers);
    out.text("/ParentTreeNextKey ").integer((pages.len() + annotations.len()) as i64);
    if !named.is_empty() {
        out.text("/IDTree ").reference(names);
    }
    out.text(">>");
    for node in (0..ids.len()).filter(|&node| branches.kids.kept[node]) {
        out.begin(ids[node]);
        branches.element(&mut out, node, if node == 0 { root } else { ids[paper.nodes[node].parent] });
        if named.contains(&node) {
            out.text("/ID").literal(&node_name(node));
        }
        out.text(">>");
    }
    for (number, &parent) in parents.iter().enumerate() {
        out.begin(parent);
        out.text("[");
        for content in contents.iter().filter(|content| content.page == number) {
            out.gap().reference(ids[content.node]);
        }
        out.text("]");
    }
    out.begin(numbers);
    out.text("<</Nums[");
    let owners = annotations.iter().map(|annotation| ids[annotation.node]);
    for (number, way) in parents.iter().copied().chain(owners).enumerate() {
        out.gap().integer(number as i64).gap().reference(way);
    }
    out.text("]>>");
    name_tree(&mut out, &named, &ids, (leaf, names));
    TagTree { root, elements: out }
}

/// The way from the name of an element to it (ISO 32000-1, table 322).
fn name_tree(out: &mut Spelt, named: &BTreeSet<NodeId>, ids: &[ObjectId], (leaf, root): (ObjectId, ObjectId)) {
    let (Some(&first), Some(&last)) = (named.first(), named.last()) else { return };
    out.begin(leaf);
    out.text("<</Limits[").literal(&node_name(first)).literal(&node_name(last)).text("]/Names[");
    for &node in named {
        out.literal(&node_name(node)).gap().reference(ids[node]);
    }
    out.text("]>>");
    out.begin(root);
    out.text("<</Kids[").reference(leaf).text("]>>");
}

/// What elements are spelt from.
struct Branches<'a> {
    paper: &'a Paper,
    kids: Kids,
    /// Where each figure stands.
    boxes: BTreeMap<NodeId, Rectangle>,
    ids: &'a [ObjectId],
    pages: &'a [ObjectId],
    annotation_ids: &'a [ObjectId],
}

impl Branches<'_> {
    /// An element, all but its end.
    fn element(&self, out: &mut Spelt, node: NodeId, parent: ObjectId) {
        let role = &self.paper.nodes[node].role;
        out.text("<</S/").text(tag(role)).text("/P ").reference(parent);
        let kids = &self.kids.of_node[node];
        let own_page = kids.iter().find_map(|kid| match kid {
            Kid::Content(content) => Some(content.page),
            Kid::Node(_) | Kid::Annotation { .. } => None,
        });
        if let Some(page) = own_page {
            out.text("/Pg ").reference(self.pages[page]);
        }
        // Most elements have one kid, which may stand without an array (ISO 32000-1, table 323).
        match kids.as_slice() {
            [] => {}
            [kid] => {
                out.text("/K");
                self.kid(out, kid, own_page);
            }
            kids => {
                out.text("/K[");
                kids.iter().for_each(|kid| self.kid(out, kid, own_page));
                out.text("]");
            }
        }
        describe(out, role, self.boxes.get(&node));
    }

    fn kid(&self, out: &mut Spelt, kid: &Kid, own_page: Option<usize>) {
        match *kid {
            Kid::Node(node) => out.gap().reference(self.ids[node]),
            Kid::Content(content) if Some(content.page) == own_page => out.gap().integer(content.number),
            Kid::Content(content) => {
                out.text("<</Type/MCR/Pg ").reference(self.pages[content.page]);
                out.text("/MCID ").integer(content.number).text(">>")
            }
            Kid::Annotation { place, page } => {
                out.text("<</Type/OBJR/Obj ").reference(self.annotation_ids[place]);
                out.text("/Pg ").reference(self.pages[page]).text(">>")
            }
        };
    }
}

/// What an element says of itself besides its role.
fn describe(out: &mut Spelt, role: &NodeRole, area: Option<&Rectangle>) {
    match role {
        NodeRole::Figure { alt } => {
            out.text("/Alt").object(&spoken(if alt.trim().is_empty() { "Picture" } else { alt }));
            if let Some(area) = area {
                out.text("/A<</O/Layout/Placement/Block/BBox").object(&rectangle(*area).into()).text(">>");
            }
        }
        NodeRole::HeadingCell { of_row, span } => {
            out.text("/A<</O/Table/Scope/").text(if *of_row { "Row" } else { "Column" });
            if *span > 1 {
                out.text("/ColSpan ").integer(*span as i64);
            }
            out.text(">>");
        }
        NodeRole::Cell { headers } if !headers.is_empty() => {
            out.text("/A<</O/Table/Headers[");
            for &header in headers {
                out.literal(&node_name(header));
            }
            out.text("]>>");
        }
        NodeRole::List { ordered } => {
            let numbering = if *ordered { "Decimal" } else { "Disc" };
            out.text("/A<</O/List/ListNumbering/").text(numbering).text(">>");
        }
        NodeRole::Link { words: text } => {
            out.text("/Alt").object(&spoken(text));
        }
        NodeRole::Form { label } => {
            out.text("/Alt").object(&spoken(label));
        }
        _ => {}
    }
}

/// The tag of a role (ISO 32000-1, 14.8.4).
pub(super) fn tag(role: &NodeRole) -> &'static str {
    match role {
        NodeRole::Document => "Document",
        NodeRole::Division => "Div",
        NodeRole::Heading(1) => "H1",
        NodeRole::Heading(2) => "H2",
        NodeRole::Heading(_) => "H3",
        NodeRole::Paragraph | NodeRole::Caption => "P",
        NodeRole::List { .. } => "L",
        NodeRole::ListItem => "LI",
        NodeRole::Label => "Lbl",
        NodeRole::Body => "LBody",
        NodeRole::Table => "Table",
        NodeRole::TableHead => "THead",
        NodeRole::TableBody => "TBody",
        NodeRole::TableRow => "TR",
        NodeRole::HeadingCell { .. } => "TH",
        NodeRole::Cell { .. } => "TD",
        NodeRole::Figure { .. } => "Figure",
        NodeRole::Link { .. } => "Link",
        NodeRole::Form { .. } => "Form",
        NodeRole::Reference => "Reference",
        NodeRole::Note => "Note",
    }
}

/// The nodes that have a name: notes, and the heading cells that others point to.
fn named_nodes(paper: &Paper, kids: &Kids) -> BTreeSet<NodeId> {
    let kept = || paper.nodes.iter().enumerate().filter(|&(node, _)| kids.kept[node]);
    let pointed = |(node, role): (NodeId, &NodeRole)| match role {
        NodeRole::Note => vec![node],
        NodeRole::Cell { headers } => headers.clone(),
        _ => Vec::new(),
    };
    kept().flat_map(|(node, element)| pointed((node, &element.role))).collect()
}

/// The name of an element. Names stand in the order of the nodes.
fn node_name(node: NodeId) -> String {
    format!("n{node:06}")
}

/// Where each figure stands; the last of its marks counts.
fn figure_boxes(paper: &Paper) -> BTreeMap<NodeId, Rectangle> {
    let marks = paper.pages.iter().flat_map(|page| &page.marks);
    let area = |item: &Item| match item {
        Item::Drawing { area, .. } | Item::Picture { area, .. } => Some(*area),
        Item::Text(_) | Item::Rule { .. } | Item::Panel { .. } | Item::Field { .. } => None,
    };
    marks.filter_map(|mark| Some((mark.owner?, area(&mark.item)?))).collect()
}

#[derive(Debug, Clone, Copy)]
enum Kid {
    Node(NodeId),
    Content(MarkedContent),
    Annotation { place: usize, page: usize },
}

/// What each node holds, in reading order.
struct Kids {
    of_node: Vec<Vec<Kid>>,
    kept: Vec<bool>,
}

impl Kids {
    /// A node stands where the first of its marks stands; an empty cell stands after the cell before it.
    fn of(paper: &Paper, contents: &[MarkedContent], annotations: &[Annotation]) -> Kids {
        let count = paper.nodes.len();
        let mut first = vec![usize::MAX; count];
        for (place, content) in contents.iter().enumerate() {
            first[content.node] = first[content.node].min(place);
        }
        for node in (1..count).rev() {
            let parent = paper.nodes[node].parent;
            first[parent] = first[parent].min(first[node]);
        }
        let filled: Vec<bool> = first.iter().map(|&place| place != usize::MAX).collect();
        let mut kept = vec![true; count];
        let mut last_of: Vec<usize> = vec![0; count];
        let mut placed: Vec<Vec<(usize, Kid)>> = vec![Vec::new(); count];
        for node in 1..count {
            let parent = paper.nodes[node].parent;
            kept[node] = kept[parent]
                && (filled[node]
                    || matches!(paper.nodes[node].role, NodeRole::Form { .. })
                    || (may_be_empty(&paper.nodes[node].role) && filled[table_of(paper, node)]));
            let at = if filled[node] { first[node] } else { last_of[parent] };
            last_of[parent] = at;
            if kept[node] {
                placed[parent].push((at, Kid::Node(node)));
            }
        }
        for (place, &content) in contents.iter().enumerate() {
            placed[content.node].push((place, Kid::Content(content)));
        }
        for (place, annotation) in annotations.iter().enumerate() {
            placed[annotation.node].push((usize::MAX, Kid::Annotation { place, page: annotation.page }));
        }
        let sorted = |mut kids: Vec<(usize, Kid)>| {
            kids.sort_by_key(|&(at, _)| at);
            kids.into_iter().map(|(_, kid)| kid).collect()
        };
        Kids { of_node: placed.into_iter().map(sorted).collect(), kept }
    }
}

/// Whether a node may stand empty in the tree: a table keeps its empty cells.
fn may_be_empty(role: &NodeRole) -> bool {
    use NodeRole::{Body, Cell, HeadingCell, TableBody, TableHead, TableRow};
    matches!(role, TableHead | TableBody | TableRow | Cell { .. } | HeadingCell { .. } | Body)
}

/// The table (or list item) that a cell stands in: an empty one is left out whole.
fn table_of(paper: &Paper, node: NodeId) -> NodeId {
    let mut node = node;
    while node != 0 && may_be_empty(&paper.nodes[node].role) {
        node = paper.nodes[node].parent;
    }
    node
}
