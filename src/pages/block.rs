//! Blocks: what a document says, before it is laid on pages.
//!
//! Given by Markdown (prose only) and by the views (tables, figures, boxes); read by the page engine. No coordinates.

use super::scene::Scene;
use crate::model::firm::{Accent, Picture};
use std::sync::Arc;

/// A whole document before layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// Title for the window and the first heading.
    pub title: String,
    /// Author: the firm's name.
    pub author: String,
    /// Subject, a phrase.
    pub subject: String,
    /// Date, for metadata.
    pub date: time::Date,
    /// Printed at the head of every page: reference and revision.
    pub reference: String,
    /// What is filled in by hand at the head of every page but the first, in place of the reference: which job the page
    /// belongs to; may be empty.
    pub by_hand: String,
    /// Printed at the foot of every page, left of `page x of y`.
    pub footer: String,
    /// Printed at the foot of every page before its number, and told on the first: a draft, or which revision; may be empty.
    pub standing: String,
    /// Letterhead on the first page.
    pub letterhead: Letterhead,
    /// The one accent colour.
    pub accent: Accent,
    /// Size of running text, in points (the site's sheet is set larger).
    pub text_size: f64,
    /// In which other sizes it may be set.
    pub fitting: Fitting,
    /// The content.
    pub blocks: Vec<Block>,
    /// Files attached: the order's CSV.
    pub attachments: Vec<Attachment>,
    /// How it may be set closer, where it takes more pages than it should.
    pub closer: Option<Closer>,
}

impl Document {
    /// The same with other blocks, nothing attached and no closer setting.
    #[must_use]
    pub fn with_blocks(&self, blocks: Vec<Block>) -> Document {
        Document {
            title: self.title.clone(),
            author: self.author.clone(),
            subject: self.subject.clone(),
            date: self.date,
            reference: self.reference.clone(),
            by_hand: self.by_hand.clone(),
            footer: self.footer.clone(),
            standing: self.standing.clone(),
            letterhead: self.letterhead.clone(),
            accent: self.accent,
            text_size: self.text_size,
            fitting: self.fitting,
            blocks,
            attachments: Vec::new(),
            closer: None,
        }
    }
}

/// A closer setting of a document that should stand on so many pages, the part that asks for more than half a page (`room 63`
/// before its heading) on pages of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Closer {
    /// The pages that it should stand on.
    pub pages: usize,
    /// The smallest size of running text that is taken for that, pt.
    pub least: f64,
    /// Its content with the drawings at a smaller scale, where they have one.
    pub blocks: Option<Vec<Block>>,
    /// In which setting it was found to stand there, where that was sought in its fonts before it is made.
    pub found: Option<CloserSetting>,
}

/// How a document is set closer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CloserSetting {
    /// By the place of its kind among those in which its blocks can be set.
    pub(super) kind: usize,
    /// In so many steps of smaller type.
    pub(super) step: usize,
}

/// In which sizes of type a document may be set besides its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fitting {
    /// A little smaller, where that saves a page with a line or two on it.
    AsSet,
    /// A list that should stand on one page: smaller for that, down to this size of running text, pt. Its head is set
    /// close.
    OnePageFrom(f64),
    /// In none, and set close: what is read at arm's length is alike on every page.
    OneSize,
    /// The same, and what is read at a desk in a lesser size ([`super::lesser`]).
    TwoSizes,
    /// A card that should stand on one page, set close: smaller for that, down to this size of running text, pt.
    CardFrom(f64),
    /// The same for a card that is carried in a pocket: besides, its head is a line, its margins are those of a printer, and its tables
    /// and the words at its lines are as large as its text.
    PocketCardFrom(f64),
}

impl Fitting {
    /// Whether the head is set close.
    pub fn is_close(self) -> bool {
        matches!(self, Fitting::OnePageFrom(_) | Fitting::CardFrom(_) | Fitting::PocketCardFrom(_))
    }

    /// Whether lines, tables and lines to write on stand close, between narrow margins.
    pub fn is_for_the_site(self) -> bool {
        let is_set_close = matches!(self, Fitting::OneSize | Fitting::CardFrom(_));
        is_set_close || self.has_two_sizes() || self.is_for_the_pocket()
    }

    /// Whether what is read at a desk has a lesser size.
    pub fn has_two_sizes(self) -> bool {
        self == Fitting::TwoSizes
    }

    /// Whether it is carried in a pocket.
    pub fn is_for_the_pocket(self) -> bool {
        matches!(self, Fitting::PocketCardFrom(_))
    }
}

/// The firm at the head of the first page.
#[derive(Debug, Clone, PartialEq)]
pub struct Letterhead {
    /// The logo, if there is one.
    pub logo: Option<Picture>,
    /// Name.
    pub name: String,
    /// Lines under it.
    pub lines: Vec<String>,
}

/// A file inside the PDF.
#[derive(Debug, Clone, PartialEq)]
pub struct Attachment {
    /// File name.
    pub name: String,
    /// MIME type.
    pub mime: String,
    /// What it is.
    pub description: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// A piece of running text in one style.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Span {
    /// The text.
    pub text: String,
    /// Bold.
    pub bold: bool,
    /// Italic.
    pub italic: bool,
    /// A link's target.
    pub link: Option<String>,
    /// A source or remark for the foot of the page. A small raised figure stands in place of the text.
    pub note: Vec<Span>,
    /// What is told here, by the name under which it is looked for on the pages ([`super::page::Paper::told`]).
    pub tells: Vec<String>,
}

impl Span {
    /// The mark of a note.
    pub fn note(words: Vec<Span>) -> Span {
        Span { note: words, ..Span::default() }
    }

    /// Plain text.
    pub fn plain(text: impl Into<String>) -> Span {
        Span { text: text.into(), ..Span::default() }
    }

    /// Bold text.
    pub fn bold(text: impl Into<String>) -> Span {
        Span { text: text.into(), bold: true, ..Span::default() }
    }
}

/// One block.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading, level 1 to 3. Never left alone at the foot of a page.
    Heading {
        /// 1 to 3.
        level: u8,
        /// Its words.
        text: Vec<Span>,
    },
    /// A paragraph.
    Paragraph(Vec<Span>),
    /// A list; items may nest.
    List {
        /// Numbered or not.
        ordered: bool,
        /// Items, blocks each.
        items: Vec<Vec<Block>>,
    },
    /// A numbered list that goes on from an earlier one.
    ListFrom {
        /// Number of its first item.
        first: usize,
        /// Items, blocks each.
        items: Vec<Vec<Block>>,
    },
    /// A table.
    Table(Table),
    /// A drawing.
    Figure(Figure),
    /// A picture from a file (PNG or JPEG).
    Photo {
        /// The picture.
        picture: Picture,
        /// Its caption.
        caption: String,
        /// Alternative text.
        alt: String,
    },
    /// A box that stands out.
    Callout {
        /// How it stands out.
        tone: Tone,
        /// Its heading.
        title: String,
        /// What it says.
        blocks: Vec<Block>,
    },
    /// Columns side by side, kept on one page.
    Columns(Vec<Vec<Block>>),
    /// Words, and on their right the drawings that the last part holds: the words go on below them over the whole width.
    Beside(Vec<Vec<Block>>),
    /// Matters that follow each other in two columns, the left one filled first, parted where that takes the least height.
    Balanced(Vec<Vec<Block>>),
    /// Label and value pairs in a panel: `For`, `At`, `Date`.
    Facts(Vec<(String, Vec<Span>)>),
    /// A big figure with its label: the price on page one.
    Headline {
        /// `Total price, VAT included`.
        label: String,
        /// `£4,812.00`.
        figure: String,
        /// Smaller text below.
        note: String,
    },
    /// Lines to fill in by hand, a label each: name, date, signature.
    Fields(Vec<Field>),
    /// A box for each day and each thing that is written down on it: initials, what was measured.
    Days(DayBoxes),
    /// Boxes of a form, side by side in rows, each with its words in it.
    Boxes(Vec<FormBox>),
    /// A table of a form: a row for each thing that is asked about, a column for each question.
    BoxTable(BoxTable),
    /// Boxes to tick, each with its words: hold points and checks.
    Ticks(Vec<Vec<Span>>),
    /// The same, to be ticked on a screen too: what somebody chooses or says before signing.
    Choices(Vec<Vec<Span>>),
    /// A new page.
    PageBreak,
    /// A new page, unless at least so many per cent of this one are still free.
    Room(u8),
    /// Blocks that stay on one page where they fit on one.
    Keep(Vec<Block>),
    /// What is read at one go, an operation from its heading to its signature: whole on a page where it fits on one; a
    /// longer one starts a page and is parted before its lesser headings.
    Sheet(Vec<Block>),
    /// An operation with its drawings: where it can, on one page or on two that follow each other, its sheets whole.
    Leaf(Vec<Block>),
    /// A sheet that is pinned up or carried and hangs on no work: it stands in its place, or before an operation that lies on one leaf
    /// then.
    Card(Vec<Block>),
    /// What is read at a desk: in the lesser of the document's two sizes of running text.
    Small(Vec<Block>),
    /// The name of the card or the operation of which it is the first block: a card should come before the first operation of its name.
    Named(String),
}

impl Block {
    /// The same block with other spans in its running text, its lists and its tables; headings stay.
    #[must_use]
    pub fn with_spans(self, change: &impl Fn(Vec<Span>) -> Vec<Span>) -> Block {
        let all = |blocks: Vec<Block>| blocks.into_iter().map(|block| block.with_spans(change)).collect();
        let lines = |lines: Vec<Vec<Span>>| lines.into_iter().map(change).collect();
        match self {
            Block::Paragraph(spans) => Block::Paragraph(change(spans)),
            Block::List { ordered, items } => Block::List { ordered, items: items.into_iter().map(all).collect() },
            Block::ListFrom { first, items } => Block::ListFrom { first, items: items.into_iter().map(all).collect() },
            Block::Callout { tone, title, blocks } => Block::Callout { tone, title, blocks: all(blocks) },
            Block::Columns(columns) => Block::Columns(columns.into_iter().map(all).collect()),
            Block::Beside(parts) => Block::Beside(parts.into_iter().map(all).collect()),
            Block::Balanced(matters) => Block::Balanced(matters.into_iter().map(all).collect()),
            Block::Facts(facts) => {
                Block::Facts(facts.into_iter().map(|(label, value)| (label, change(value))).collect())
            }
            Block::Ticks(ticks) => Block::Ticks(lines(ticks)),
            Block::Choices(choices) => Block::Choices(lines(choices)),
            Block::Keep(blocks) => Block::Keep(all(blocks)),
            Block::Sheet(blocks) => Block::Sheet(all(blocks)),
            Block::Leaf(blocks) => Block::Leaf(all(blocks)),
            Block::Card(blocks) => Block::Card(all(blocks)),
            Block::Small(blocks) => Block::Small(all(blocks)),
            Block::Table(mut table) => {
                for cell in table.rows.iter_mut().flat_map(|row| &mut row.cells) {
                    *cell = change(std::mem::take(cell));
                }
                Block::Table(table)
            }
            Block::Heading { .. }
            | Block::Figure(_)
            | Block::Photo { .. }
            | Block::Headline { .. }
            | Block::Fields(_)
            | Block::Days(_)
            | Block::PageBreak
            | Block::Room(_)
            | Block::Named(_)
            | Block::Boxes(_)
            | Block::BoxTable(_) => self,
        }
    }

    /// The blocks that stand in it: of an item, a column or a box each.
    pub fn within(&self) -> Vec<&[Block]> {
        match self {
            Block::List { items, .. }
            | Block::ListFrom { items, .. }
            | Block::Columns(items)
            | Block::Beside(items)
            | Block::Balanced(items) => items.iter().map(Vec::as_slice).collect(),
            Block::Callout { blocks, .. }
            | Block::Keep(blocks)
            | Block::Sheet(blocks)
            | Block::Leaf(blocks)
            | Block::Card(blocks)
            | Block::Small(blocks) => vec![blocks],
            _ => Vec::new(),
        }
    }

    /// How much there is to set: blocks, those within them, rows of tables, and drawings by how much is drawn.
    pub fn parts_of(blocks: &[Block]) -> usize {
        let of_all = |all: &[Vec<Block>]| all.iter().map(|one| 1 + Block::parts_of(one)).sum::<usize>();
        let of_one = |block: &Block| match block {
            Block::List { items, .. }
            | Block::ListFrom { items, .. }
            | Block::Columns(items)
            | Block::Beside(items)
            | Block::Balanced(items) => of_all(items),
            Block::Table(table) => table.rows.len(),
            Block::Figure(figure) => 10 + figure.scene.marks.len() / 10,
            Block::Facts(facts) => facts.len(),
            Block::Fields(fields) => fields.len(),
            Block::Days(boxes) => boxes.rows.len(),
            Block::Ticks(ticks) | Block::Choices(ticks) => ticks.len(),
            Block::Callout { blocks, .. }
            | Block::Keep(blocks)
            | Block::Sheet(blocks)
            | Block::Leaf(blocks)
            | Block::Card(blocks)
            | Block::Small(blocks) => Block::parts_of(blocks),
            _ => 0,
        };
        blocks.iter().map(|block| 1 + of_one(block)).sum()
    }
}

/// A line or box to fill in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// What is to be written there.
    pub label: String,
    /// Part of the row that it takes: all fields of a row add up to 12.
    pub twelfths: u8,
    /// How much room it has.
    pub room: FieldRoom,
}

/// The room of a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FieldRoom {
    /// A line.
    Line,
    /// A box for several lines.
    Tall,
    /// A box for a signature, which is written by hand.
    Signature,
}

/// What is written down on each of several days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayBoxes {
    /// The days, as they are headed.
    pub days: Vec<String>,
    /// What is written down on each.
    pub rows: Vec<DayRow>,
}

/// One thing that is written down on each of several days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayRow {
    /// What it is.
    pub words: String,
    /// Whether it is signed for, by hand alone.
    pub signed: bool,
}

/// A box of a form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormBox {
    /// What is asked, as it is printed in the box.
    pub label: String,
    /// Part of the row that it takes: all boxes of a row add up to 12.
    pub twelfths: u8,
    /// How many lines of writing it has room for.
    pub lines: u8,
    /// What is filled in.
    pub filling: FormFilling,
}

/// What is filled into a place of a form. A field's name says what is asked, and of what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FormFilling {
    /// Nothing: the place is greyed.
    Nothing,
    /// Something that is written by hand alone, such as a signature.
    Hand,
    /// Words, in the field of this name.
    Words(String),
    /// One of a list, in the field of this name.
    OneOf {
        /// The field's name.
        name: String,
        /// What can be taken.
        choices: Vec<String>,
    },
    /// Boxes to tick side by side.
    Ticks(Vec<FormTick>),
}

/// A box to tick on a form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormTick {
    /// The word beside it; may be empty where a column's heading says it.
    pub word: String,
    /// The name of its field.
    pub name: String,
}

/// A table of a form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoxTable {
    /// The heading of the column that names the rows.
    pub of: String,
    /// The share of the width that it takes; the others say theirs.
    pub share: u16,
    /// The other columns: their headings and shares.
    pub columns: Vec<(String, u16)>,
    /// The rows: what each is called, and as many places as there are columns.
    pub rows: Vec<(String, Vec<FormFilling>)>,
}

/// How a box stands out. Never by colour alone: each tone has its own word or sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// Something to know.
    Note,
    /// Stop until it is done: a hold point.
    Hold,
    /// A danger.
    Caution,
}

/// A drawing with its words.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Figure {
    /// The drawing, already at its size on paper.
    pub scene: Arc<Scene>,
    /// Caption under it.
    pub caption: String,
    /// Alternative text: what it shows, for those who cannot see it.
    pub alt: String,
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows; each has as many cells as there are columns.
    pub rows: Vec<Row>,
    /// Headings repeated on each page; an empty heading row is left out.
    pub header: bool,
}

/// One column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its heading.
    pub heading: String,
    /// How its cells stand.
    pub align: Align,
    /// Share of the width it wants when content asks for more than there is; 0 keeps its natural width.
    pub stretch: u8,
    /// Set large: what is read at arm's length.
    pub big: bool,
}

/// How a cell stands in its column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Ranged left.
    Left,
    /// Ranged right, figures under figures.
    Right,
    /// Centred.
    Centre,
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its cells.
    pub cells: Vec<Vec<Span>>,
    /// What kind of row.
    pub kind: RowKind,
}

impl Row {
    /// Whether it is the heading of the rows below it.
    pub(super) fn is_group(&self) -> bool {
        self.kind == RowKind::Group
    }
}

/// What kind of row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowKind {
    /// A row.
    Plain,
    /// A row that goes on with what the row before began: kept with it where the page has room for both.
    GoesOn,
    /// A heading inside the table: the first cell spans it; kept with the next row.
    Group,
    /// A total: ruled off and bold; kept with the row before.
    Total,
    /// Marked out: today's row of the mix card.
    Marked,
    /// Empty, to be written in by hand with gloves on: tall, ruled between its columns.
    ToFill,
}
