//! The pager: stacks pieces on pages.
//!
//! Given pieces and where a page begins and ends; gives pages of placed marks and the outline. What is tied together
//! moves to the next page together, unless no page could hold it; a drawing that does not fit waits for the next page
//! while the text that follows fills this one.

use super::page::{Entry, Item, Page, Placed, lowered};
use super::piece::{Piece, SheetKind, Surround, Tie, as_decoration};
use super::scene::{Ink, Pen};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::rc::Rc;

/// Where text begins and ends on the pages.
#[derive(Debug, Clone, Copy)]
pub struct TextBounds {
    /// Top of the text on the first page.
    pub first_top: f64,
    /// Top on the others.
    pub top: f64,
    /// Bottom on every page.
    pub bottom: f64,
}

/// Pages and the outline.
#[derive(Debug, Default)]
pub struct Paged {
    /// The pages.
    pub pages: Vec<Page>,
    /// The outline.
    pub outline: Vec<Entry>,
    /// Where the last page's marks end.
    pub end: f64,
    /// Pages after the first that end when only little stands on them, and a first one that ends long before its foot.
    pub stubs: usize,
}

/// Stacks pieces on as many pages as they need; at least one. `feet` are the notes, each of which stands at the foot of
/// each page on which it is pointed to; where it was read before, it is decoration.
pub fn paginate(pieces: Vec<Piece>, feet: Vec<Piece>, body: TextBounds) -> Paged {
    let mut pager = Pager::new(body, Rc::new(feet));
    let mut waiting: VecDeque<Vec<Piece>> = VecDeque::new();
    pager.stack(pieces.into(), Tie::Leaf, &mut waiting);
    pager.next_page_with(&mut waiting, false);
    pager.finish()
}

/// Where something ends: after so many pages, there, and with so much space wanted below it; nothing may stand on that page yet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PlaceReached {
    /// Pages that are full.
    pub pages: usize,
    /// The place on the page after them.
    pub y: f64,
    /// Space wanted below it.
    pub below: f64,
    /// Nothing stands on it.
    pub blank: bool,
}

impl PlaceReached {
    /// How many pages have something on them, from that on which it began.
    pub(super) fn taken(self) -> usize {
        self.pages + usize::from(!self.blank)
    }
}

impl Pager {
    /// Where nothing stands yet.
    pub(super) fn begins(&self) -> PlaceReached {
        PlaceReached { pages: 0, y: self.body.first_top, below: 0.0, blank: true }
    }

    /// Where the text of a page begins.
    pub(super) const fn top(&self) -> f64 {
        self.body.top
    }

    /// Height of the text on a page.
    pub(super) fn height(&self) -> f64 {
        self.body.bottom - self.body.top
    }

    /// Where pieces would end that are put after what ends there, and whether an operation among them lies on one leaf; all its
    /// marks aside. They go on with what is `held`.
    pub(super) fn after(
        &self,
        at: PlaceReached,
        pieces: &[Piece],
        held: &[Rc<Surround>],
        next: &mut Option<PlaceReached>,
    ) -> (PlaceReached, bool) {
        let new = self.new_like();
        let begun = held.iter().map(|surround| surround.number).collect();
        let held = held.iter().filter(|_| !at.blank);
        let open = held.map(|surround| Open { surround: Rc::clone(surround), top: at.y, under: 0 }).collect();
        let mut pager = Pager { before: at.pages, y: at.y, below: at.below, blank: at.blank, begun, open, ..new };
        if pieces.first().is_some_and(|piece| piece.new_page) && !at.blank {
            pager.next_page();
        }
        let mut rest = pieces.to_vec();
        pager.make_room(&mut rest);
        if kind_of(&rest) == Some(SheetKind::Operation) && !pager.fits(&rest) {
            let tried = pager.tried(&rest, next);
            let turned = pager.pages.len() + usize::from(!tried.here && !pager.blank);
            return (PlaceReached { pages: at.pages + turned + tried.ends.pages, ..tried.ends }, tried.on_one_leaf);
        }
        let mut waiting = VecDeque::new();
        pager.stack(rest.into(), Tie::Leaf, &mut waiting);
        pager.next_page_with(&mut waiting, false);
        pager.close_down_to(0);
        (PlaceReached { pages: at.pages + pager.pages.len(), ..pager.reached() }, true)
    }

    /// What is stacked together; of an operation that no leaf holds its words with as many of its drawings as one holds, and each
    /// other drawing and list by itself.
    pub(super) fn leaves_of(&self, pieces: Vec<Piece>) -> Vec<Vec<Piece>> {
        let head = self.blank_page();
        if kind_of(&pieces) != Some(SheetKind::Operation) || head.over_the_leaf(&pieces, Tie::Part).taken() <= ON_A_LEAF
        {
            return vec![pieces];
        }
        let has_words = is_tied(&pieces, Tie::Part);
        let mut rest: VecDeque<Piece> = pieces.into();
        let mut leaves: Vec<Vec<Piece>> = Vec::new();
        while let Some(part) = next_chunk(&mut rest, Tie::Part) {
            let holds = |leaf: &Vec<Piece>| {
                has_words && head.over_the_leaf(leaf.iter().chain(&part), Tie::Part).taken() <= ON_A_LEAF
            };
            match leaves.as_mut_slice() {
                [first] if holds(first) => first.extend(part),
                _ => leaves.push(part),
            }
        }
        for last in leaves.iter_mut().filter_map(|leaf| leaf.last_mut()) {
            last.tie = Tie::Free;
        }
        leaves
    }

    fn reached(&self) -> PlaceReached {
        PlaceReached { pages: self.pages.len(), y: self.y, below: self.below, blank: self.blank }
    }
}

/// Pieces up to the first tie that is weaker than `tie`, or up to a new page.
pub(super) fn next_chunk(rest: &mut VecDeque<Piece>, tie: Tie) -> Option<Vec<Piece>> {
    let held = first_of(rest.make_contiguous(), tie);
    let chunk: Vec<Piece> = rest.drain(..held).collect();
    (!chunk.is_empty()).then_some(chunk)
}

/// How many pieces [`next_chunk`] would take first.
fn first_of(pieces: &[Piece], tie: Tie) -> usize {
    let ends = |place: &usize| pieces[*place].tie < tie || pieces.get(place + 1).is_some_and(|next| next.new_page);
    (0..pieces.len()).find(ends).map_or(pieces.len(), |place| place + 1)
}

/// Whether some of its pieces but the last hold on no more firmly than that.
fn is_tied(chunk: &[Piece], tie: Tie) -> bool {
    chunk.split_last().is_some_and(|(_, held)| held.iter().any(|piece| piece.tie == tie))
}

/// A drawing never moves behind the next heading, nor behind a boxed block: a hold point stays after its drawing.
fn is_barrier(chunk: &[Piece]) -> bool {
    let boxed = |surround: &Rc<Surround>| surround.frame.is_some_and(|frame| frame.pen.is_some());
    chunk.iter().any(|piece| piece.entry.is_some() || piece.within.iter().any(boxed))
}

/// What begins with these pieces.
pub(super) fn kind_of(chunk: &[Piece]) -> Option<SheetKind> {
    let first = chunk.iter().find(|piece| piece.room == 0.0);
    first.and_then(|piece| piece.begins.as_ref()).map(|whole| whole.kind)
}

/// Where the pages end of sheets that are longer than one, by what of a sheet decides that and whether it begins on a front: while
/// orders are tried, the same sheet begins a page many times.
#[derive(Default)]
struct SheetEnds(RefCell<BTreeMap<(Vec<u64>, usize), f64>>);

/// What decides how pieces are stacked that begin a page, where some of what they stand in has begun before it.
fn measures_of(pieces: &[Piece], begun: &BTreeSet<usize>) -> Vec<u64> {
    let mut all = Vec::with_capacity(8 * pieces.len());
    for piece in pieces {
        let Piece { height, above, below, room, tie, within, floats, new_page, notes, entry, begins, .. } = piece;
        all.extend([height, above, below, room].map(|length| length.to_bits()));
        let kind = begins.as_ref().map_or(0, |begun| 1 + begun.kind as u64);
        let signs = [*floats, *new_page, entry.is_some()].map(u64::from);
        all.push(*tie as u64 | kind << 8 | signs[0] << 16 | signs[1] << 17 | signs[2] << 18);
        all.extend([within.len() as u64, notes.len() as u64]);
        all.extend(within.iter().map(|of| 2 * of.number as u64 + u64::from(begun.contains(&of.number))));
        all.extend(notes.iter().map(|note| *note as u64));
    }
    all
}

struct Open {
    surround: Rc<Surround>,
    top: f64,
    /// Place among the page's marks where its frame goes.
    under: usize,
}

/// A leaf has a front and a back.
const ON_A_LEAF: usize = 2;
/// A page on which less than this part of the text's height is used is a stub.
const STUB: f64 = 0.22;
/// A first page of several on which less of it stands is one too: it looks as if there were no more.
const FIRST: f64 = 0.75;
/// An operation begins on a page of which less than this part is used, wherever it ends.
const NEARLY_EMPTY: f64 = 0.4;
/// An operation is begun on a page of which at least this part is free, and goes on over the leaf.
const BEGUN: f64 = 0.18;
/// How many times a page may end a twenty-fifth of its height sooner, to leave no stub.
const SHORTER: i32 = 6;

/// Where an operation would stand.
#[derive(Clone, Copy)]
struct LeafPlace {
    /// Whether it begins on what is left of the page.
    here: bool,
    /// Whether it stands on one leaf, its front and its back.
    on_one_leaf: bool,
    /// How firmly its parts hold together there.
    parted_at: Tie,
    /// Where it ends, in pages on from that on which it begins.
    ends: PlaceReached,
}

/// Puts pieces on pages.
pub(super) struct Pager {
    /// How many pages come before those of this pager.
    before: usize,
    body: TextBounds,
    stubs: usize,
    feet: Rc<Vec<Piece>>,
    ends: Rc<SheetEnds>,
    /// Notes at the foot of this page, and of all before.
    here: BTreeSet<usize>,
    told: BTreeSet<usize>,
    pages: Vec<Page>,
    page: Page,
    y: f64,
    /// Space that the last piece wants below it.
    below: f64,
    /// Nothing stands on the page yet.
    blank: bool,
    open: Vec<Open>,
    begun: BTreeSet<usize>,
    outline: Vec<Entry>,
}

impl Pager {
    pub(super) fn new(body: TextBounds, feet: Rc<Vec<Piece>>) -> Pager {
        Pager {
            before: 0,
            body,
            stubs: 0,
            feet,
            ends: Rc::default(),
            here: BTreeSet::new(),
            told: BTreeSet::new(),
            pages: Vec::new(),
            page: Page::default(),
            y: body.first_top,
            below: 0.0,
            blank: true,
            open: Vec::new(),
            begun: BTreeSet::new(),
            outline: Vec::new(),
        }
    }

    /// Another one for the same pages.
    fn new_like(&self) -> Pager {
        Pager { ends: Rc::clone(&self.ends), ..Pager::new(self.body, Rc::clone(&self.feet)) }
    }

    /// Stacks pieces, those together that are tied at least so firmly.
    fn stack(&mut self, mut rest: VecDeque<Piece>, tie: Tie, waiting: &mut VecDeque<Vec<Piece>>) {
        while let Some(mut chunk) = next_chunk(&mut rest, tie) {
            let must_turn = chunk[0].new_page;
            if must_turn || (!waiting.is_empty() && is_barrier(&chunk)) {
                self.next_page_with(waiting, must_turn);
            }
            if must_turn && chunk.len() == 1 {
                continue;
            }
            self.make_room(&mut chunk);
            if !chunk.is_empty() {
                self.put_chunk(chunk, waiting);
            }
        }
    }

    /// Stacks a sheet that is longer than a page: its pages end a little sooner where its last would be a stub.
    fn stack_in_parts(&mut self, sheet: Vec<Piece>, waiting: &mut VecDeque<Vec<Piece>>) {
        let body = self.body;
        let head = self.blank_page();
        let tried = (measures_of(&sheet, &head.begun), head.before % ON_A_LEAF);
        let known = self.ends.0.borrow().get(&tried).copied();
        self.body.bottom = known.unwrap_or_else(|| {
            let end = self.last_line_of(&sheet);
            self.ends.0.borrow_mut().insert(tried, end);
            end
        });
        self.stack(sheet.into(), Tie::Wish, waiting);
        self.body = body;
    }

    /// Where the pages of a sheet end that is longer than one.
    fn last_line_of(&self, sheet: &[Piece]) -> f64 {
        let TextBounds { top, bottom, .. } = self.body;
        let whole = self.parted(sheet, bottom);
        if whole.stubs == 0 {
            return bottom;
        }
        let good = |paged: Paged| paged.stubs == 0 && paged.pages.len() == whole.pages.len();
        let mut sooner = (1..=SHORTER).map(|n| bottom - f64::from(n) * 0.04 * (bottom - top));
        sooner.find(|end| good(self.parted(sheet, *end))).unwrap_or(bottom)
    }

    /// How a sheet that begins a page is parted when its pages end there.
    fn parted(&self, sheet: &[Piece], bottom: f64) -> Paged {
        let mut pager = self.blank_page();
        pager.body.bottom = bottom;
        let mut waiting = VecDeque::new();
        pager.stack(sheet.iter().map(Piece::bare).collect(), Tie::Wish, &mut waiting);
        pager.next_page_with(&mut waiting, false);
        pager.finish()
    }

    /// Puts a chunk here, lets it wait for the next page, or finds the page that holds it.
    fn put_chunk(&mut self, chunk: Vec<Piece>, waiting: &mut VecDeque<Vec<Piece>>) {
        let in_turn = waiting.is_empty() || !chunk[0].floats;
        if in_turn && self.fits(&chunk) {
            self.put_all(chunk);
        } else if chunk.len() == 1 && chunk[0].floats && chunk[0].within.is_empty() && !self.blank {
            waiting.push_back(chunk);
        } else {
            self.put_where_it_fits(chunk, waiting);
        }
    }

    fn fits(&self, chunk: &[Piece]) -> bool {
        let notes: BTreeSet<usize> = chunk.iter().flat_map(|piece| &piece.notes).chain(&self.here).copied().collect();
        self.end_of(chunk) <= self.body.bottom - self.foot_height(&notes) + 0.01
    }

    /// What these notes take from a page, the rule above them included.
    fn foot_height(&self, notes: &BTreeSet<usize>) -> f64 {
        let lines: f64 = notes.iter().filter_map(|note| self.feet.get(*note)).map(|foot| foot.height).sum();
        if lines > 0.0 { lines + FOOT_GAP } else { 0.0 }
    }

    /// Sets the notes of this page at its foot, under a short rule.
    fn put_notes(&mut self) {
        let notes = std::mem::take(&mut self.here);
        let height = self.foot_height(&notes);
        let mut y = self.body.bottom - height + FOOT_GAP;
        let feet = Rc::clone(&self.feet);
        for (place, (note, foot)) in notes.iter().filter_map(|note| Some((*note, feet.get(*note)?))).enumerate() {
            if let (0, Some(x)) = (place, left_of(foot)) {
                let pen = Pen { ink: Ink::Grey(0.5), width: 0.5, dash: None };
                let rule = Item::Rule { from: (x, y - 4.0), to: (x + 60.0, y - 4.0), pen };
                self.page.marks.push(Placed::bare(rule));
            }
            let read_before = !self.told.insert(note);
            let marks = if read_before {
                as_decoration(std::slice::from_ref(foot)).remove(0).marks
            } else {
                foot.marks.clone()
            };
            self.page.marks.extend(lowered(marks, y));
            y += foot.height;
        }
    }

    /// Where the page would end after these pieces, with their frames closed.
    fn end_of(&self, chunk: &[Piece]) -> f64 {
        let mut y = self.y;
        let mut below = self.below;
        let mut blank = self.blank;
        let mut open: Vec<usize> = self.open.iter().map(|open| open.surround.number).collect();
        let mut paddings: Vec<f64> = self.open.iter().map(|open| padding(&open.surround)).collect();
        for piece in chunk {
            let kept = shared(&open, piece);
            y += paddings.drain(kept..).sum::<f64>();
            open.truncate(kept);
            if !blank {
                y += below.max(piece.above);
            }
            for surround in &piece.within[kept..] {
                y += padding(surround);
                if self.begun.contains(&surround.number) {
                    y += surround.repeated.iter().map(|piece| piece.height + piece.below).sum::<f64>();
                }
                open.push(surround.number);
                paddings.push(padding(surround));
            }
            y += piece.height;
            below = piece.below;
            blank = false;
        }
        y + paddings.iter().sum::<f64>()
    }

    /// Turns the page where a chunk begins by asking for more room than is left, and takes the question away.
    fn make_room(&mut self, chunk: &mut Vec<Piece>) {
        let asked = chunk.iter().map(|piece| piece.room).fold(0.0, f64::max);
        if !self.blank && self.body.bottom - self.foot_height(&self.here) - self.y < asked {
            self.next_page();
        } else if asked > 0.0 && !self.blank && !self.pages.is_empty() {
            // What should have ended on the page before stands at the head of this one.
            self.stubs += 1;
        }
        chunk.retain(|piece| piece.room == 0.0);
    }

    fn put_all(&mut self, chunk: Vec<Piece>) {
        chunk.into_iter().for_each(|piece| self.put(piece));
    }

    /// Puts a piece at the pen, opening and closing frames as it needs.
    fn put(&mut self, piece: Piece) {
        let open: Vec<usize> = self.open.iter().map(|open| open.surround.number).collect();
        let kept = shared(&open, &piece);
        self.close_down_to(kept);
        if !self.blank {
            self.y += self.below.max(piece.above);
        }
        for surround in piece.within[kept..].iter().cloned() {
            self.open_frame(surround);
        }
        if let Some((level, title)) = piece.entry {
            self.outline.push(Entry { level, title, page: self.pages.len(), y: self.y });
        }
        self.place(piece.marks);
        self.here.extend(piece.notes);
        self.y += piece.height;
        self.below = piece.below;
        self.blank = false;
    }

    fn place(&mut self, marks: Vec<Placed>) {
        self.page.marks.extend(lowered(marks, self.y));
    }

    fn open_frame(&mut self, surround: Rc<Surround>) {
        let under = self.page.marks.len();
        self.open.push(Open { top: self.y, under, surround: Rc::clone(&surround) });
        self.y += padding(&surround);
        if !self.begun.insert(surround.number) {
            for piece in &surround.repeated {
                self.place(piece.marks.clone());
                self.y += piece.height + piece.below;
            }
        }
    }

    fn close_down_to(&mut self, kept: usize) {
        while self.open.len() > kept {
            let Some(open) = self.open.pop() else { return };
            self.y += padding(&open.surround);
            if let Some(frame) = &open.surround.frame {
                let marks = frame.marks(open.top, self.y);
                self.page.marks.splice(open.under..open.under, marks);
            }
        }
    }

    fn next_page(&mut self) {
        let (used, page) = (self.y - self.body.first_top, self.body.bottom - self.body.first_top);
        if self.pages.is_empty() && !self.blank && used < FIRST * page {
            self.stubs += 1;
        }
        self.end_page();
        self.y = self.body.top;
        self.below = 0.0;
        self.blank = true;
    }

    fn end_page(&mut self) {
        self.close_down_to(0);
        self.count_stub();
        self.put_notes();
        self.pages.push(std::mem::take(&mut self.page));
    }

    fn count_stub(&mut self) {
        let used = self.y - self.body.top;
        if !self.pages.is_empty() && !self.blank && used < STUB * (self.body.bottom - self.body.top) {
            self.stubs += 1;
        }
    }

    /// Ends the page where drawings wait (or where it must end), and places them at the head of the next.
    fn next_page_with(&mut self, waiting: &mut VecDeque<Vec<Piece>>, must: bool) {
        if !self.blank && (must || !waiting.is_empty()) {
            self.next_page();
        }
        let had_any = !waiting.is_empty();
        while let Some(figure) = waiting.pop_front() {
            if !self.fits(&figure) && !self.blank {
                self.next_page();
            }
            self.put_all(figure);
        }
        if must && had_any {
            self.next_page();
        }
    }

    /// Puts a chunk that does not fit here: on the next page, or, where no page can hold it, in its firmer parts; a
    /// sheet in parts starts a page.
    fn put_where_it_fits(&mut self, chunk: Vec<Piece>, waiting: &mut VecDeque<Vec<Piece>>) {
        if kind_of(&chunk) == Some(SheetKind::Operation) {
            self.put_leaf(chunk, waiting);
            return;
        }
        if is_tied(&chunk, Tie::Part) && waiting.is_empty() && self.may_begin(&chunk) {
            self.stack(chunk.into(), Tie::Wish, waiting);
            return;
        }
        if self.fits_a_blank_page(&chunk) {
            self.turn_for(&chunk, waiting);
            self.put_all(chunk);
            return;
        }
        if is_tied(&chunk, Tie::Sheet) || is_tied(&chunk, Tie::Part) {
            self.turn_for(&chunk, waiting);
            self.stack_in_parts(chunk, waiting);
            return;
        }
        let mut rest: VecDeque<Piece> = chunk.into();
        while let Some(part) = next_chunk(&mut rest, Tie::Firm) {
            if self.fits(&part) {
                self.put_all(part);
            } else if self.fits_a_blank_page(&part) {
                self.turn_for(&part, waiting);
                self.put_all(part);
            } else {
                self.put_one_by_one(part, waiting);
            }
        }
    }

    /// Puts an operation that does not fit here whole.
    fn put_leaf(&mut self, mut leaf: Vec<Piece>, waiting: &mut VecDeque<Vec<Piece>>) {
        if !waiting.is_empty() {
            self.turn_for(&leaf, waiting);
            if self.fits(&leaf) {
                return self.put_all(leaf);
            }
        }
        let tried = self.tried(&leaf, &mut None);
        if !tried.here {
            self.turn_for(&leaf, waiting);
        }
        match self.fits(&leaf) {
            true => self.put_all(leaf),
            false => {
                // Its parts are put as they fit.
                leaf.iter_mut().for_each(|piece| piece.begins = None);
                self.stack(leaf.into(), tried.parted_at, waiting);
            }
        }
    }

    /// Where an operation stands that does not fit here whole: here where this is the front of a leaf and it ends on its back; on the
    /// next page where it lies on one leaf there. Where it can do neither, it is begun here where it ends on the next page, where it takes
    /// more than two wherever it begins, or where the page would stay nearly empty. Where it ends at the head of a page is asked once.
    fn tried(&self, leaf: &[Piece], next: &mut Option<PlaceReached>) -> LeafPlace {
        let is_front = (self.before + self.pages.len()).is_multiple_of(2);
        let parted_at = if self.may_begin(leaf) { Tie::Wish } else { Tie::Part };
        let ends = self.over_the_leaf(leaf, parted_at);
        let here = LeafPlace {
            here: true,
            on_one_leaf: ends.taken() == 1 || is_front && ends.taken() == ON_A_LEAF,
            parted_at,
            ends,
        };
        if self.blank || here.on_one_leaf {
            return here;
        }
        let ends = *next.get_or_insert_with(|| self.blank_page().over_the_leaf(leaf, Tie::Part));
        let there = LeafPlace { here: false, on_one_leaf: true, parted_at: Tie::Part, ends };
        if ends.taken() == 1 || ends.taken() == ON_A_LEAF && !is_front {
            return there;
        }
        let nearly_empty = self.y - self.body.top < NEARLY_EMPTY * (self.body.bottom - self.body.top);
        let begun = here.ends.taken() <= ON_A_LEAF || ends.taken() > ON_A_LEAF || nearly_empty;
        LeafPlace { on_one_leaf: false, ..if begun { here } else { there } }
    }

    /// Whether the sheet of an operation is begun here: much of the page is free, what leads up to the steps fits, and its
    /// signature stands on the next page, or it takes more than two pages wherever it begins.
    fn may_begin(&self, leaf: &[Piece]) -> bool {
        let free = self.body.bottom - self.foot_height(&self.here) - self.y;
        if self.blank || free < BEGUN * (self.body.bottom - self.body.top) {
            return false;
        }
        let sheet = &leaf[..first_of(leaf, Tie::Part)];
        let begins = self.fits(&sheet[..first_of(sheet, Tie::Wish)]);
        let pages = |pager: &Pager| pager.over_the_leaf(sheet, Tie::Wish).taken();
        begins && !self.fits(sheet) && (pages(self) <= ON_A_LEAF || pages(&self.blank_page()) > ON_A_LEAF)
    }

    /// Where an operation ends when it begins here, on what is left of this page: how many pages on from this.
    fn over_the_leaf<'a>(&self, leaf: impl IntoIterator<Item = &'a Piece>, tie: Tie) -> PlaceReached {
        let mut pager = self.here();
        let mut waiting = VecDeque::new();
        let parts = leaf.into_iter().map(|piece| Piece { begins: None, ..piece.bare() });
        pager.stack(parts.collect(), tie, &mut waiting);
        pager.next_page_with(&mut waiting, false);
        pager.close_down_to(0);
        pager.reached()
    }

    /// A pager at this place of the page, to which all that is told is told, without what stands there.
    fn here(&self) -> Pager {
        let closed: f64 = self.open.iter().map(|open| padding(&open.surround)).sum();
        let before = self.before + self.pages.len();
        let here = Pager { before, y: self.y + closed, below: self.below, blank: self.blank, ..self.blank_page() };
        Pager { here: self.here.clone(), ..here }
    }

    fn put_one_by_one(&mut self, part: Vec<Piece>, waiting: &mut VecDeque<Vec<Piece>>) {
        for piece in part {
            let single = std::slice::from_ref(&piece);
            if !self.fits(single) && !self.blank {
                self.turn_for(single, waiting);
            }
            self.put(piece);
        }
    }

    fn turn_for(&mut self, chunk: &[Piece], waiting: &mut VecDeque<Vec<Piece>>) {
        if !self.blank {
            self.next_page();
        }
        self.next_page_with(waiting, false);
        if !self.fits(chunk) && !self.blank {
            self.next_page();
        }
    }

    /// Whether a page of its own would hold these pieces.
    fn fits_a_blank_page(&self, chunk: &[Piece]) -> bool {
        self.blank_page().fits(chunk)
    }

    /// A pager at the head of a page, to which all that is told is told.
    fn blank_page(&self) -> Pager {
        let new = self.new_like();
        let before = self.before + self.pages.len() + usize::from(!self.blank);
        Pager { before, begun: self.begun.clone(), told: self.told.clone(), y: self.body.top, ..new }
    }

    fn finish(mut self) -> Paged {
        self.close_down_to(0);
        let end = self.y;
        if !self.blank || self.pages.is_empty() {
            self.end_page();
        }
        Paged { pages: self.pages, outline: self.outline, end, stubs: self.stubs }
    }
}

/// Space between the text and the notes, pt; the rule stands in it.
const FOOT_GAP: f64 = 14.0;

/// The left edge of a piece's words.
fn left_of(piece: &Piece) -> Option<f64> {
    piece.marks.iter().find_map(|mark| match &mark.item {
        Item::Text(text) => Some(text.x),
        _ => None,
    })
}

/// How many of the open frames a piece stands in.
fn shared(open: &[usize], piece: &Piece) -> usize {
    open.iter().zip(&piece.within).take_while(|(number, surround)| **number == surround.number).count()
}

fn padding(surround: &Surround) -> f64 {
    surround.frame.map_or(0.0, |frame| frame.padding)
}
