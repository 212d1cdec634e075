//! Boards and what is left of them: which rectangle a piece is cut from, and what remains.
//!
//! Given pieces as rectangles with the edges that must be factory-made; gives each its place on a board. Every cut goes
//! right across: first across the board, then along it. A tongued board is never turned, so a strip ripped off keeps
//! only the tongue or only the groove and serves only where that edge alone is wanted.

/// What the boards are like, mm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct BoardSize {
    /// Along the board.
    pub length: i64,
    /// Across it.
    pub width: i64,
    /// Tongued and grooved: long edges matter.
    pub tongued: bool,
    /// What the saw takes at each cut.
    pub kerf: i64,
    /// Offcuts shorter than this serve no piece of this deck and are not kept.
    pub least: i64,
    /// Offcuts from this length serve anywhere.
    pub useful: i64,
}

/// A piece as it must be cut: a rectangle, and which long edges must be the factory's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct BoardDemand {
    /// Along the board.
    pub length: i64,
    /// Across the board.
    pub width: i64,
    /// The edge laid first meets another board.
    pub first_edge: bool,
    /// The edge laid last meets another board.
    pub last_edge: bool,
    /// An end meets another board on a joist, where it may be a saw's width short: the joist bears it all the same.
    pub on_joist: bool,
    /// Cuts that shape the piece beyond its rectangle: splays and notches.
    pub shaping: u32,
}

/// A rectangle of board that is still free.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct FreeRectangle {
    pub length: i64,
    pub width: i64,
    pub first_edge: bool,
    pub last_edge: bool,
    /// Which board, where along and where across.
    pub board: u32,
    pub x: i64,
    pub y: i64,
}

/// Where a piece was cut: board, along, across.
pub(crate) type BoardCut = (u32, i64, i64);

/// Boards opened so far, what is left of them, and the cuts made.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct OpenedBoards {
    /// Free rectangles, ascending.
    pub items: Vec<FreeRectangle>,
    pub boards: u32,
    pub cuts: u32,
}

/// Most offcuts that are kept in mind at once; the smallest is forgotten first.
const MOST_ITEMS: usize = 16;

impl OpenedBoards {
    /// Cuts a piece: from the offcut that loses least by it, else from a new board. `thrifty` opens a board rather than
    /// spoil a useful offcut. Also says whether a useful offcut was spoilt.
    pub(super) fn cut(&mut self, d: &BoardDemand, size: &BoardSize, thrifty: bool) -> (BoardCut, bool) {
        let full = d.width == size.width && d.length > size.length - size.least;
        let fitting = (0..self.items.len()).filter(|&i| !full && size.fits(&self.items[i], d));
        match fitting.map(|i| (size.loss(&self.items[i], d), i)).min() {
            Some((loss, i)) if !thrifty || loss.0 <= 0 => {
                let item = self.items.remove(i);
                (self.cut_from(item, d, size), loss.0 > 0)
            }
            _ => {
                let item = size.whole(self.boards);
                self.boards += 1;
                (self.cut_from(item, d, size), false)
            }
        }
    }

    fn cut_from(&mut self, item: FreeRectangle, d: &BoardDemand, size: &BoardSize) -> BoardCut {
        self.cuts += d.shaping + u32::from(item.length > d.length) + u32::from(item.width > d.width);
        let (rest, strip, at_y) = split(&item, d, size);
        self.keep(rest, size);
        self.keep(strip, size);
        (item.board, item.x, at_y)
    }

    fn keep(&mut self, item: FreeRectangle, size: &BoardSize) {
        if item.length < size.least || item.width <= 0 {
            return;
        }
        let place = self.items.partition_point(|i| i < &item);
        self.items.insert(place, item);
        if self.items.len() > MOST_ITEMS {
            self.items.remove(0);
        }
    }

    /// What the offcuts may yet be worth, mm².
    pub(super) fn worth(&self, size: &BoardSize) -> i64 {
        self.items.iter().map(|i| size.worth(i)).sum()
    }
}

/// What is left of the length, what is left of the width, and how far across the board the piece lies.
fn split(item: &FreeRectangle, d: &BoardDemand, size: &BoardSize) -> (FreeRectangle, FreeRectangle, i64) {
    let along = d.length + size.kerf_after(d);
    let rest = FreeRectangle { length: item.length - along, x: item.x + along, ..*item };
    let beside = item.width - d.width;
    let left = beside - size.kerf;
    // A piece that wants neither edge leaves the strip the edge that the offcut still has.
    let at_last = d.last_edge && !d.first_edge || !d.first_edge && item.first_edge && !item.last_edge;
    let strip = FreeRectangle { length: d.length, width: left, ..*item };
    if at_last {
        (rest, FreeRectangle { last_edge: !size.tongued, ..strip }, item.y + beside)
    } else {
        (rest, FreeRectangle { first_edge: !size.tongued, y: item.y + d.width + size.kerf, ..strip }, item.y)
    }
}

impl BoardSize {
    /// A board as it is bought.
    fn whole(&self, board: u32) -> FreeRectangle {
        let (length, width) = (self.length, self.width);
        FreeRectangle { length, width, first_edge: true, last_edge: true, board, x: 0, y: 0 }
    }

    /// What the saw takes beyond a piece's length.
    pub(super) fn kerf_after(&self, d: &BoardDemand) -> i64 {
        if d.on_joist { 0 } else { self.kerf }
    }

    fn fits(&self, item: &FreeRectangle, d: &BoardDemand) -> bool {
        let edges = (item.first_edge || !d.first_edge) && (item.last_edge || !d.last_edge);
        // With both edges wanted the piece is as wide as the board.
        item.length >= d.length && item.width >= d.width && (edges || !self.tongued)
    }

    /// What is spoilt by cutting the piece from this offcut, mm²; then how much longer the offcut is.
    fn loss(&self, item: &FreeRectangle, d: &BoardDemand) -> (i64, i64) {
        let (rest, strip, _) = split(item, d, self);
        let spoilt = self.worth(item) - self.worth(&rest) - self.worth(&strip) - d.length * d.width;
        (spoilt, item.length - d.length)
    }

    /// What an offcut may yet be worth. Strips that a tongued deck can hardly use count for little.
    fn worth(&self, item: &FreeRectangle) -> i64 {
        let area = item.length.max(0) * item.width.max(0);
        let whole = item.width == self.width;
        match () {
            () if item.length < self.least || area == 0 => 0,
            () if whole && item.length >= self.useful => area,
            () if whole || !self.tongued => area / 2,
            () => area / 8,
        }
    }
}
