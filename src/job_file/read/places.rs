//! One pass over a YAML file that says what every setting is and where it stands: the file is parsed here and nowhere else.
//!
//! Given the text; gives a tree of places (key and value, with their text and by byte) and the problems that only the text shows: a key
//! written twice, a comment that swallows part of a value. It also refuses what a later reader could choke on: deep
//! nesting, several documents, tags, and aliases that multiply. A path such as `roofs[0].edges.back` is followed in the
//! tree step by step as far as it exists, so that a missing setting points to the group that lacks it.

use super::guard::{DEEPEST, LARGEST};
use super::tree::Tree;
use super::unreadable::{odd_space, odd_space_in_key, odd_space_in_value, too_deep, unreadable};
use crate::model::whereabouts::PathStep;
use crate::model::{Problem, SettingPath, Warned, Whereabouts};
use granit_parser::{Event, Parser, ScalarStyle, Span};
use std::ops::Range;
use std::sync::OnceLock;

/// Most settings in one file, aliases counted as often as they are used.
pub(crate) const MOST: u64 = 30_000;
/// What stands in a form for what is still to be written.
pub(crate) const UNFILLED: &str = "…";
/// Most keys written twice, and most swallowed comments, that are told of one file.
const MOST_TOLD: usize = 100;

/// What stands at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum YamlKind {
    /// A single value.
    Text,
    /// Nothing after the key.
    Empty,
    /// A list.
    List,
    /// A group of settings.
    Group,
}

/// One place: a setting or an entry of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
struct YamlNode {
    parent: u32,
    /// The key; `None` for an entry of a list and for the whole file.
    name: Option<String>,
    /// Which entry of its list or group.
    index: u32,
    /// Its key stands in the same group before it: it is found by its index alone, so that its own faults point to it.
    again: bool,
    kind: YamlKind,
    /// What a single value says.
    text: String,
    key: Range<usize>,
    value: Range<usize>,
    children: Vec<u32>,
    /// The place that an alias stands for.
    alias: Option<u32>,
    /// How many places it holds, itself included, aliases counted as what they stand for.
    weight: u64,
    /// How many bytes of text it holds, keys included, aliases counted as what they stand for.
    size: u64,
}

/// Where every setting of a file stands.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Places {
    nodes: Vec<YamlNode>,
    /// The places by parent and name, made when the first path is looked up.
    by_name: OnceLock<Vec<u32>>,
}

impl Places {
    /// Reads the places of a file, with the problems that do not stop the reading.
    ///
    /// # Errors
    /// The one fault that does.
    pub(crate) fn of(text: &str) -> Result<(Places, Vec<Problem>), Box<Problem>> {
        let mut places = Places::default();
        places.nodes.reserve(at_most(text));
        let mut survey = Survey { text, places, open: Vec::new(), anchors: Vec::new(), documents: 0, brought: 0 };
        let options = granit_parser::options! {
            emit_comments: false,
            flow_nesting_limit: DEEPEST,
            block_nesting_limit: DEEPEST,
            disallow_directives: true
        };
        for event in Parser::new_from_str_with_options(text, options) {
            let (event, span) = event.map_err(|e| unreadable(text, &e))?;
            survey.take(event, span)?;
        }
        // A text in which the parser finds no document at all is an empty one.
        if survey.places.nodes.is_empty() {
            survey.places.add(0, None, YamlKind::Empty, (0..0, 0..0));
        }
        let mut problems = survey.twice();
        problems.extend(survey.swallowed());
        Ok((survey.places, problems))
    }

    /// The places of a tree that stands in no file: they have texts and paths, and no bytes.
    ///
    /// # Errors
    /// More settings than a file may hold.
    pub(crate) fn of_tree(tree: &Tree) -> Result<Places, Box<Problem>> {
        let mut places = Places::default();
        places.grow(tree, 0, None)?;
        Ok(places)
    }

    fn grow(&mut self, tree: &Tree, parent: u32, name: Option<&str>) -> Result<(), Box<Problem>> {
        let node = self.nodes.len() as u32;
        if u64::from(node) >= MOST {
            let (fault, cure) = too_many();
            return Err(Box::new(Problem::fault(Whereabouts::WholeFile, fault, cure)));
        }
        let (kind, text) = match tree {
            Tree::Empty => (YamlKind::Empty, String::new()),
            Tree::Text(text) => (YamlKind::Text, text.clone()),
            Tree::List(_) => (YamlKind::List, String::new()),
            Tree::Group(_) => (YamlKind::Group, String::new()),
        };
        self.add(parent, name.map(str::to_owned), kind, (0..0, 0..0));
        self.nodes[node as usize].text = text;
        match tree {
            Tree::Empty | Tree::Text(_) => Ok(()),
            Tree::List(entries) => entries.iter().try_for_each(|entry| self.grow(entry, node, None)),
            Tree::Group(settings) => settings.iter().try_for_each(|(key, value)| self.grow(value, node, Some(key))),
        }
    }

    /// What stands at a place and below it, apart from where it stands.
    pub(crate) fn tree(&self, node: u32) -> Tree {
        let below = || self.children(node).iter();
        match self.kind(node) {
            YamlKind::Empty => Tree::Empty,
            YamlKind::Text => Tree::Text(self.text(node).to_owned()),
            YamlKind::List => Tree::List(below().map(|&entry| self.tree(entry)).collect()),
            YamlKind::Group => {
                let key = |node: u32| self.key(node).unwrap_or_default().to_owned();
                Tree::Group(below().map(|&setting| (key(setting), self.tree(setting))).collect())
            }
        }
    }

    /// Adds a place below another; key and value by byte.
    fn add(&mut self, parent: u32, name: Option<String>, kind: YamlKind, (key, value): (Range<usize>, Range<usize>)) {
        let node = self.nodes.len() as u32;
        let mut index = 0;
        if let Some(above) = self.nodes.get_mut(parent as usize) {
            index = above.children.len() as u32;
            above.children.push(node);
        }
        let (text, children) = (String::new(), Vec::new());
        let size = name.as_ref().map_or(0, |name| name.len() as u64);
        self.nodes.push(YamlNode {
            parent,
            name,
            index,
            kind,
            text,
            key,
            value,
            children,
            alias: None,
            again: false,
            weight: 1,
            size,
        });
    }

    /// Takes out every value that a form leaves to be filled in, every entry of a list in which one stands, and every list or
    /// group of which nothing is left.
    pub(crate) fn leave_unfilled_out(&mut self) {
        let mut empty = vec![false; self.nodes.len()];
        for node in (1..self.nodes.len()).rev() {
            let here = &self.nodes[node];
            empty[node] = match here.kind {
                YamlKind::Text => here.text.starts_with(UNFILLED),
                YamlKind::Empty => false,
                YamlKind::Group if here.name.is_none() => here.children.iter().any(|child| empty[*child as usize]),
                YamlKind::List | YamlKind::Group => {
                    !here.children.is_empty() && here.children.iter().all(|child| empty[*child as usize])
                }
            };
        }
        for node in &mut self.nodes {
            node.children.retain(|child| !empty[*child as usize]);
        }
        self.by_name = OnceLock::new();
    }

    /// The text of a single value, as it was written, quotes and escapes undone; nothing anywhere else.
    pub(crate) fn text(&self, node: u32) -> &str {
        &self.nodes[self.meant(node) as usize].text
    }

    /// What every single value says.
    pub(crate) fn texts(&self) -> impl Iterator<Item = &str> {
        self.nodes.iter().filter(|node| node.kind == YamlKind::Text).map(|node| node.text.as_str())
    }

    /// The places of a list or group, in their order; an alias has those of what it stands for.
    pub(crate) fn children(&self, node: u32) -> &[u32] {
        &self.nodes[self.meant(node) as usize].children
    }

    /// The setting that stands before this one in its group, or the entry before it in its list.
    pub(crate) fn before(&self, node: u32) -> Option<u32> {
        let here = self.nodes.get(node as usize)?;
        self.nodes[here.parent as usize].children.get((here.index as usize).checked_sub(1)?).copied()
    }

    /// The key of a place; `None` for an entry of a list and for the whole file.
    pub(crate) fn key(&self, node: u32) -> Option<&str> {
        self.nodes[node as usize].name.as_deref()
    }

    /// Whether the key of a place stands in the same group before it.
    pub(crate) fn is_again(&self, node: u32) -> bool {
        self.nodes[node as usize].again
    }

    /// What stands at a place; an alias is what it stands for.
    pub(crate) fn kind(&self, node: u32) -> YamlKind {
        self.nodes[self.meant(node) as usize].kind
    }

    /// The path of a place: `roofs[0].edges.back`.
    pub(crate) fn path(&self, node: u32) -> SettingPath {
        let here = &self.nodes[node as usize];
        if node == 0 {
            return SettingPath::default();
        }
        let above = self.path(here.parent);
        match &here.name {
            Some(name) if !here.again => above.key(name.clone()),
            _ => above.entry(here.index as usize),
        }
    }

    /// The key of a place, or what an entry of a list is called.
    pub(crate) fn name(&self, node: u32) -> String {
        let here = &self.nodes[node as usize];
        here.name.clone().unwrap_or_else(|| format!("entry {}", here.index + 1))
    }

    /// Of an entry of a list, the key of the list and which entry it is, from 0.
    pub(crate) fn entry_of(&self, node: u32) -> Option<(&str, u32)> {
        let here = &self.nodes[node as usize];
        let list = self.nodes[here.parent as usize].name.as_deref().filter(|_| here.name.is_none())?;
        Some((list, here.index))
    }

    /// The bytes that a problem points to; `None` where it is about the file as a whole, as a missing setting at the
    /// top is. A fault that opens with the key in backticks is about the key; any other is about the value.
    pub(crate) fn find(&self, path: &SettingPath, fault: &str) -> Option<Range<usize>> {
        if self.nodes.is_empty() {
            return None;
        }
        let (node, whole) = self.nearest(path);
        if node == 0 {
            return None;
        }
        let opening = fault.strip_prefix('`').and_then(|f| f.split_once('`')).map(|(key, _)| key);
        let name = self.nodes[node as usize].name.as_deref();
        // Behind the words that say in which option.
        let unknown = |name: &str| fault.contains(&format!("`{name}` is not a setting of"));
        let about_key = opening.is_some() && opening == name || name.is_some_and(unknown);
        Some(self.span(node, about_key || !whole))
    }

    /// The nearest place that exists, and whether it is the whole path.
    fn nearest(&self, path: &SettingPath) -> (u32, bool) {
        let mut node = 0;
        for step in path.steps() {
            let Some(child) = self.child(self.meant(node), step) else { return (node, false) };
            node = child;
        }
        (node, true)
    }

    /// The setting or the entry that one step leads to.
    fn child(&self, node: u32, step: &PathStep) -> Option<u32> {
        match step {
            PathStep::Key(name) => self.named(node, name),
            PathStep::Entry(n) => {
                let entry = self.nodes[node as usize].children.get(*n)?;
                let found = &self.nodes[*entry as usize];
                (found.name.is_none() || found.again).then_some(*entry)
            }
        }
    }

    /// The first child of that name.
    fn named(&self, node: u32, name: &str) -> Option<u32> {
        let key = |n: u32| (self.nodes[n as usize].parent, self.nodes[n as usize].name.as_deref());
        let index = self.by_name.get_or_init(|| {
            let mut all: Vec<u32> = (1..self.nodes.len() as u32).collect();
            all.sort_by_key(|n| (key(*n), *n));
            all
        });
        let wanted = (node, Some(name));
        let at = index.partition_point(|n| key(*n) < wanted);
        index.get(at).copied().filter(|n| key(*n) == wanted)
    }

    fn span(&self, node: u32, key: bool) -> Range<usize> {
        let here = &self.nodes[node as usize];
        let simple = here.kind == YamlKind::Text || here.alias.is_some();
        if simple && !key {
            return here.value.clone();
        }
        match here.key.is_empty() {
            false => here.key.clone(),
            true if here.children.is_empty() => here.value.start..here.value.start,
            true => self.span(here.children[0], true),
        }
    }

    fn meant(&self, node: u32) -> u32 {
        self.nodes[node as usize].alias.unwrap_or(node)
    }
}

/// So many settings and entries a text hardly exceeds: room for them, of which only what is used is touched, spares the moving of
/// all each time that it runs out.
fn at_most(text: &str) -> usize {
    text.bytes().filter(|byte| matches!(byte, b':' | b',' | b'\n')).count().min(MOST as usize)
}

fn too_many() -> (String, &'static str) {
    (format!("there are more than {MOST} settings in this file"), "keep it shorter")
}

/// A key that waits for its value, and where it stands.
type Key = (String, Range<usize>);

struct Survey<'t> {
    text: &'t str,
    places: Places,
    /// The groups and lists that are open, each with the key that waits for its value.
    open: Vec<(u32, Option<Key>)>,
    /// Anchors by id, ascending.
    anchors: Vec<(usize, u32)>,
    documents: usize,
    /// Bytes of text that aliases have brought in.
    brought: u64,
}

impl Survey<'_> {
    fn take(&mut self, event: Event<'_>, span: Span) -> Result<(), Box<Problem>> {
        let at = span.byte_range().unwrap_or(0..0);
        if event.tag().is_some() {
            return Err(self.refuse(&at, "a tag that begins with `!` is not used here", "put the value in quotes"));
        }
        match event {
            Event::DocumentStart(..) => self.document(&at),
            Event::MappingEnd | Event::SequenceEnd => self.close(at.end),
            Event::Alias(id) => self.alias(id, at),
            Event::Scalar(value, style, anchor, _) => self.scalar(&value, style, anchor, at),
            Event::MappingStart(_, anchor, _) => self.begin(YamlKind::Group, anchor, at),
            Event::SequenceStart(_, anchor, _) => self.begin(YamlKind::List, anchor, at),
            _ => Ok(()),
        }
    }

    fn refuse(&self, at: &Range<usize>, fault: impl Into<String>, cure: &str) -> Box<Problem> {
        Box::new(Problem::fault(Whereabouts::of_byte(self.text, at.start), fault, cure))
    }

    fn document(&mut self, at: &Range<usize>) -> Result<(), Box<Problem>> {
        self.documents += 1;
        match self.documents {
            1 => Ok(()),
            _ => Err(self.refuse(
                at,
                "a second document begins here",
                "keep one job, firm or price book in a file; take `---` out",
            )),
        }
    }

    fn scalar(&mut self, value: &str, style: ScalarStyle, anchor: usize, at: Range<usize>) -> Result<(), Box<Problem>> {
        if let Some((open, waiting @ None)) = self.open.last_mut()
            && self.places.nodes[*open as usize].kind == YamlKind::Group
        {
            // In quotes a sign can be written by its number, which the text of the file does not show.
            if let Some(c) = value.chars().find(|c| c.is_control()) {
                let fault = format!("there is a control character (U+{:04X}) in this key", u32::from(c));
                return Err(self.refuse(&at, fault, "take it out"));
            }
            if let Some(odd) = odd_space_in_key(self.text, at.start) {
                return Err(odd_space(self.text, odd));
            }
            *waiting = Some((value.to_owned(), at));
            return Ok(());
        }
        if style == ScalarStyle::Plain
            && let Some(odd) = odd_space_in_value(self.text, at.start)
        {
            return Err(odd_space(self.text, odd));
        }
        let empty = style == ScalarStyle::Plain && matches!(value, "" | "~" | "null");
        let node = self.place(if empty { YamlKind::Empty } else { YamlKind::Text }, at)?;
        if !empty {
            let here = &mut self.places.nodes[node as usize];
            here.text = value.to_owned();
            here.size += value.len() as u64;
        }
        self.name_anchor(anchor, node);
        Ok(())
    }

    fn begin(&mut self, kind: YamlKind, anchor: usize, at: Range<usize>) -> Result<(), Box<Problem>> {
        if self.open.len() >= DEEPEST {
            let (fault, cure) = too_deep();
            return Err(self.refuse(&at, fault, cure));
        }
        self.plain_key(&at)?;
        let node = self.place(kind, at)?;
        self.name_anchor(anchor, node);
        self.open.push((node, None));
        Ok(())
    }

    fn alias(&mut self, id: usize, at: Range<usize>) -> Result<(), Box<Problem>> {
        self.plain_key(&at)?;
        let meant = self.anchors.binary_search_by_key(&id, |(a, _)| *a).map_or(0, |n| self.anchors[n].1);
        if self.open.iter().any(|(node, _)| *node == meant) {
            return Err(self.refuse(&at, "this reference contains itself", "write the value out"));
        }
        let node = self.place(self.places.kind(meant), at.clone())?;
        self.places.nodes[node as usize].alias = Some(self.places.meant(meant));
        let (weight, size) = (self.places.nodes[meant as usize].weight, self.places.nodes[meant as usize].size);
        let here = &mut self.places.nodes[node as usize];
        (here.weight, here.size) = (weight, here.size + size);
        self.brought = self.brought.saturating_add(size);
        if self.brought > LARGEST as u64 {
            let fault =
                format!("with the references up to here written out, this file says more than {} kB", LARGEST / 1000);
            return Err(self.refuse(&at, fault, "refer to less, or write the value out shorter"));
        }
        match self.places.nodes[node as usize].weight > MOST {
            true => Err(self.refuse(&at, "references that multiply are not read", "write the value out")),
            false => Ok(()),
        }
    }

    /// Refuses a group, list or reference where a key should stand.
    fn plain_key(&self, at: &Range<usize>) -> Result<(), Box<Problem>> {
        match self.open.last() {
            Some((open, None)) if self.places.nodes[*open as usize].kind == YamlKind::Group => {
                Err(self.refuse(at, "a key must be a plain word", "write `name: value`"))
            }
            _ => Ok(()),
        }
    }

    fn place(&mut self, kind: YamlKind, value: Range<usize>) -> Result<u32, Box<Problem>> {
        let node = self.places.nodes.len() as u32;
        if u64::from(node) >= MOST {
            let (fault, cure) = too_many();
            return Err(self.refuse(&value, fault, cure));
        }
        let (parent, waiting) = self.open.last_mut().map_or((0, None), |(open, waiting)| (*open, waiting.take()));
        let (name, key) = waiting.map_or((None, 0..0), |(name, key)| (Some(name), key));
        self.places.add(parent, name, kind, (key, value));
        Ok(node)
    }

    fn close(&mut self, end: usize) -> Result<(), Box<Problem>> {
        let Some((node, _)) = self.open.pop() else { return Ok(()) };
        let nodes = &self.places.nodes;
        let weight =
            nodes[node as usize].children.iter().fold(1_u64, |sum, c| sum.saturating_add(nodes[*c as usize].weight));
        let inside: u64 = nodes[node as usize].children.iter().map(|c| nodes[*c as usize].size).sum();
        let here = &mut self.places.nodes[node as usize];
        (here.weight, here.value.end) = (weight, end);
        here.size += inside;
        let at = here.value.clone();
        match weight > MOST {
            true => Err(self.refuse(&at, "references that multiply are not read", "write the value out")),
            false => Ok(()),
        }
    }

    fn name_anchor(&mut self, anchor: usize, node: u32) {
        if anchor > 0 {
            self.anchors.push((anchor, node));
        }
    }

    /// Keys that stand twice in one group.
    fn twice(&mut self) -> Vec<Problem> {
        let nodes = &self.places.nodes;
        let (mut found, mut repeated) = (Vec::new(), Vec::new());
        for group in nodes.iter().filter(|n| n.kind == YamlKind::Group && n.alias.is_none()) {
            let mut names: Vec<(&str, u32)> =
                group.children.iter().filter_map(|c| Some((nodes[*c as usize].name.as_deref()?, *c))).collect();
            names.sort();
            for pair in names.windows(2).filter(|pair| pair[0].0 == pair[1].0) {
                repeated.push(pair[1].1);
                if found.len() == MOST_TOLD {
                    continue;
                }
                let (first, second) = (&nodes[pair[0].1 as usize], &nodes[pair[1].1 as usize]);
                let place = Whereabouts::of_byte(self.text, first.key.start);
                let cure = format!("keep one of the two: the first is at {place}");
                let fault = format!("`{}` is written twice", pair[0].0);
                found.push(Problem::fault(Whereabouts::of_byte(self.text, second.key.start), fault, cure));
            }
        }
        for node in repeated {
            self.places.nodes[node as usize].again = true;
        }
        found
    }

    /// Values that end where `#` made the rest of the line a comment, as in `client: a #4`.
    fn swallowed(&self) -> Vec<Problem> {
        let values = self
            .places
            .nodes
            .iter()
            .filter(|n| matches!(n.kind, YamlKind::Text | YamlKind::Empty) && n.alias.is_none());
        values.filter_map(|n| self.swallowed_after(n)).take(MOST_TOLD).collect()
    }

    fn swallowed_after(&self, node: &YamlNode) -> Option<Problem> {
        let empty = node.kind == YamlKind::Empty;
        let end = if empty { node.key.end.max(node.value.end) } else { node.value.end };
        let rest = self.text.get(end..)?;
        let rest = if empty { rest.strip_prefix(':').unwrap_or(rest) } else { rest };
        let comment = rest.trim_start_matches([' ', '\t']);
        let said = comment.strip_prefix('#')?;
        if comment.len() == rest.len() || !said.starts_with(|c: char| c.is_alphanumeric()) {
            return None;
        }
        let at = self.text.len() - comment.len();
        let comment: String = comment.lines().next()?.trim_end().chars().take(60).collect();
        let name = node.name.as_deref().unwrap_or("this value");
        let value = self.text.get(node.value.clone()).unwrap_or_default();
        let whole = format!("{value} {comment}");
        let fault = format!("`{comment}` is not read as part of `{name}`: a space and # begin a comment");
        let cure = format!("put the value in quotes, `\"{}\"`, or a space after the # of a comment", whole.trim());
        Some(Problem::warning(Warned::Comment, Whereabouts::of_byte(self.text, at), fault, cure))
    }
}
