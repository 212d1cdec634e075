//! Tables: column widths from what the cells hold, rows as pieces, headings repeated on each page.
//!
//! Given a table and a width; gives pieces. A row is never cut where a page can hold it; a row taller than a page is
//! cut between its lines.

use super::block::{Align, Column, Row, RowKind, Span, Table};
use super::flow::Flow;
use super::page::{Item, NodeId, NodeRole, Placed, Rectangle, lowered};
use super::piece::{BoxFrame, Piece, Tie, as_decoration, tie_together};
use super::scene::{Ink, Pen};
use super::setting::{GREY, HAIR, Measure, Setting, baseline, space};
use super::text::{Fit, Look, Shaped, TextLine};

/// The pieces of a table.
pub fn pieces(flow: &mut Flow, table: &Table, measure: Measure, parent: NodeId) -> Vec<Piece> {
    if table.columns.is_empty() || (table.rows.is_empty() && !table.header) {
        return Vec::new();
    }
    let node = flow.node(parent, NodeRole::Table);
    let headings = headings_of(table);
    let shaped = Shapes::of(flow, table, headings.as_deref());
    let grid = Grid::new(flow, table, &shaped, measure);
    let mut headers = Headers { columns: Vec::new(), group: None, grouped: table.rows.iter().any(Row::is_group) };
    let head = headings.map(|spans| head_row(flow, &grid, &spans, &shaped.headings, node, &mut headers));
    let head = head.unwrap_or_default();
    let repeated = as_decoration(&head);
    let mut pieces = flow.framed(None, repeated, |flow| {
        let mut pieces: Vec<Piece> = Vec::new();
        for mut piece in head {
            piece.within = flow.piece(0.0, Vec::new()).within;
            piece.tie = Tie::Firm;
            pieces.push(piece);
        }
        let rows: Vec<(&Row, &Vec<Shaped>)> = table.rows.iter().zip(&shaped.rows).collect();
        for rows in rows.chunk_by(|_, (next, _)| !next.is_group()) {
            let body = flow.node(node, NodeRole::TableBody);
            // The name of a group stands again at the head of each page that the group goes on to.
            let name = rows.first().filter(|(first, _)| first.is_group() && rows.len() > 1);
            let name = name.map(|(first, shapes)| group_again(flow, &grid, first, shapes)).unwrap_or_default();
            let of_group = flow.framed(None, name, |flow| {
                let mut of_group = Vec::new();
                for (row, shapes) in rows {
                    if row.kind == RowKind::Total
                        && of_group.is_empty()
                        && let Some(before) = pieces.last_mut()
                    {
                        before.tie = before.tie.max(Tie::Firm);
                    }
                    add_row(flow, &grid, row, shapes, body, &mut headers, &mut of_group);
                }
                of_group
            });
            pieces.extend(of_group);
        }
        pieces
    });
    hold_rows(&mut pieces, table.rows.len());
    if let Some(last) = pieces.last_mut() {
        last.tie = Tie::Free;
    }
    space(&mut pieces, 0.7 * flow.size, 1.0 * flow.size);
    pieces
}

/// Rows of a table this short stay on one page.
const SHORT: usize = 9;

/// A short table stays together; of a longer one, no row is left alone at the foot or the head of a page.
fn hold_rows(pieces: &mut [Piece], rows: usize) {
    if rows <= SHORT {
        tie_together(pieces, Tie::Wish);
    }
    let count = pieces.len();
    if rows > 3 && count > 3 {
        pieces[count - 2].tie = pieces[count - 2].tie.max(Tie::Firm);
        let first = count.saturating_sub(rows);
        pieces[first].tie = pieces[first].tie.max(Tie::Firm);
    }
}

fn headings_of(table: &Table) -> Option<Vec<Vec<Span>>> {
    let any = table.header && table.columns.iter().any(|column| !column.heading.trim().is_empty());
    any.then(|| table.columns.iter().map(|column| vec![Span::plain(column.heading.as_str())]).collect())
}

struct Shapes {
    headings: Vec<Shaped>,
    rows: Vec<Vec<Shaped>>,
}

impl Shapes {
    fn of(flow: &mut Flow, table: &Table, headings: Option<&[Vec<Span>]>) -> Shapes {
        let headings = headings.unwrap_or_default().iter();
        Shapes {
            headings: headings.map(|spans| flow.shaped(spans, true)).collect(),
            rows: table.rows.iter().map(|row| shape_row(flow, row)).collect(),
        }
    }
}

fn shape_row(flow: &mut Flow, row: &Row) -> Vec<Shaped> {
    let bold = !matches!(row.kind, RowKind::Plain | RowKind::GoesOn | RowKind::ToFill);
    row.cells.iter().map(|spans| flow.shaped(spans, bold)).collect()
}

/// The columns in their places.
struct Grid {
    /// Left edge and width of each column, padding included.
    columns: Vec<(f64, f64, Align)>,
    /// Of each column of figures, the room that its decimal points and what follows them take, pt.
    after_points: Vec<f64>,
    /// How far the words of a row stand below its middle, so that large figures keep clear of the rule above them.
    down: f64,
    /// Size of each column's cells as a share of the table's.
    scales: Vec<f64>,
    x: f64,
    width: f64,
    size: f64,
    padding: f64,
}

/// Share of the text size at which tables are set.
const TABLE_SIZE: f64 = 0.93;
/// The air over and under a row where a document is set close, as a share of what it is else.
const CLOSE_ROWS: f64 = 0.5;
/// The height of what a hand writes in, pt: 8 mm.
pub(super) const HAND: f64 = 22.7;
/// The least air over and under the words beside such a box, as a share of the size.
const IN_POCKET: f64 = 0.15;

impl Grid {
    fn new(flow: &Flow, table: &Table, shaped: &Shapes, measure: Measure) -> Grid {
        // Large type that is set close is read at arm's length, in tables as in words.
        let is_large = flow.pocket || flow.close && flow.size > 11.0;
        let share = if is_large { 1.0 } else { TABLE_SIZE };
        let size = (flow.size * share).max(f64::min(flow.size, 7.5));
        let padding = 0.5 * size;
        let mut wishes: Vec<Wish> =
            (0..table.columns.len()).map(|place| Wish::of(place, table, shaped, size, padding)).collect();
        let written: Vec<usize> = (0..wishes.len()).filter(|place| is_written_in(table, *place)).collect();
        if written.len() as f64 * TO_WRITE_IN <= measure.width / 2.0 {
            written.into_iter().for_each(|place| wishes[place].keep(TO_WRITE_IN));
        }
        let mut widths = share_out(&wishes, measure.width);
        let scales: Vec<f64> = table.columns.iter().map(scale).collect();
        Cells { table, shaped, sizes: scales.iter().map(|scale| scale * size).collect(), padding }
            .trade(&mut widths, &wishes);
        let mut at = measure.x;
        let mut columns = Vec::new();
        for (column, &width) in table.columns.iter().zip(&widths) {
            columns.push((at, width, column.align));
            at += width;
        }
        let after_points = (0..columns.len()).map(|place| after_point(place, table, shaped, size * scales[place]));
        let after_points = after_points.collect();
        let down = if scales.iter().any(|s| *s > 1.0) { LARGE_DOWN * size } else { 0.0 };
        Grid { columns, after_points, down, scales, x: measure.x, width: at - measure.x, size, padding }
    }

    fn setting(&self, flow: &Flow, bold: bool) -> Setting {
        let leading = match self.size {
            _ if flow.close => 1.22,
            size if size < 8.0 => 1.22,
            size if (9.0..10.0).contains(&size) => 1.32,
            _ => 1.27,
        };
        Setting { size: self.size, leading, bold, ..flow.running() }
    }
}

/// How far a row with large figures stands below its middle, as a share of the size.
const LARGE_DOWN: f64 = 0.1;

/// Size of a column's cells as a share of the table's.
fn scale(column: &Column) -> f64 {
    if column.big { 1.17 } else { 1.0 }
}

/// The room that the points and decimals of a column's figures take where some have them and others not, pt; else nothing.
fn after_point(place: usize, table: &Table, shaped: &Shapes, size: f64) -> f64 {
    let figures = table.columns[place].align == Align::Right;
    let rows = table.rows.iter().zip(&shaped.rows).filter(|(row, _)| figures && row.kind != RowKind::Group);
    let tails = rows.filter_map(|(_, shapes)| shapes.get(place)?.after_point(size));
    tails.fold(0.0, f64::max)
}

/// What a column takes at least that a hand writes initials and a time in, where others are printed, pt: 20 mm.
const TO_WRITE_IN: f64 = 57.0;

/// Whether a column of rows to fill in is left blank.
fn is_written_in(table: &Table, place: usize) -> bool {
    let blank = |row: &Row| {
        let cell = row.cells.get(place);
        cell.is_some_and(|cell| cell.iter().all(|span| span.text.chars().all(char::is_whitespace)))
    };
    let mut rows = table.rows.iter().filter(|row| row.kind == RowKind::ToFill).peekable();
    rows.peek().is_some() && rows.all(blank)
}

/// What a column asks for, pt, padding included.
#[derive(Debug, Clone, Copy)]
struct Wish {
    natural: f64,
    least: f64,
    /// What the longest word of the heading takes: never less.
    heading: f64,
    stretch: f64,
}

impl Wish {
    /// The same, and no narrower than so.
    fn keep(&mut self, width: f64) {
        (self.natural, self.least) = (self.natural.max(width), self.least.max(width));
        self.heading = self.heading.max(width);
    }

    fn of(place: usize, table: &Table, shaped: &Shapes, size: f64, padding: f64) -> Wish {
        let spanned = |row: &&(&Row, &Vec<Shaped>)| row.0.kind != RowKind::Group;
        let rows: Vec<(&Row, &Vec<Shaped>)> = table.rows.iter().zip(&shaped.rows).collect();
        let own = size * scale(&table.columns[place]);
        let cells = rows.iter().filter(spanned).filter_map(|(_, cells)| cells.get(place)).map(|cell| (cell, own));
        let cells: Vec<(&Shaped, f64)> =
            shaped.headings.get(place).map(|heading| (heading, size)).into_iter().chain(cells).collect();
        let widest =
            |measure: &dyn Fn(&Shaped, f64) -> f64| cells.iter().map(|(c, size)| measure(c, *size)).fold(0.0, f64::max);
        let around = 2.0 * padding + 0.05;
        // Where rows wait to be filled in by hand, words give way to the hand: they may take two lines.
        let by_hand = table.columns[place].stretch > 0 && table.rows.iter().any(|row| row.kind == RowKind::ToFill);
        let after_points = after_point(place, table, shaped, own);
        let before = |(text, size): &(&Shaped, f64)| Some(text.natural_width(*size) - text.after_point(*size)?);
        let before_points = cells.iter().filter_map(before).fold(0.0, f64::max);
        let least = widest(&|text, size| text.longest_word(size)).min(size * 12.0);
        let natural = match shaped.headings.get(place).filter(|_| by_hand) {
            Some(heading) => heading.natural_width(size).max(least),
            None => widest(&|text, size| text.natural_width(size)),
        };
        Wish {
            natural: natural.max(before_points + after_points) + around,
            least: least + around,
            heading: shaped.headings.get(place).map_or(0.0, |heading| heading.longest_word(size)) + around,
            stretch: f64::from(table.columns[place].stretch),
        }
    }
}

/// Widths that add up to no more than `whole`: stretching columns take what is over, and give way first.
fn share_out(wishes: &[Wish], whole: f64) -> Vec<f64> {
    let mut widths: Vec<f64> = wishes.iter().map(|wish| wish.natural).collect();
    let over = whole - widths.iter().sum::<f64>();
    let stretch: f64 = wishes.iter().map(|wish| wish.stretch).sum();
    if over >= 0.0 {
        if stretch > 0.0 {
            widths.iter_mut().zip(wishes).for_each(|(width, wish)| *width += over * wish.stretch / stretch);
        }
        return widths;
    }
    let giving = |wish: &Wish| stretch == 0.0 || wish.stretch > 0.0;
    shrink(&mut widths, wishes, whole, giving);
    if widths.iter().sum::<f64>() > whole + 0.01 {
        shrink(&mut widths, wishes, whole, |_| true);
    }
    let sum: f64 = widths.iter().sum();
    let headings: f64 = wishes.iter().map(|wish| wish.heading).sum();
    if sum > whole && headings < whole {
        let share = (whole - headings) / (sum - headings);
        widths.iter_mut().zip(wishes).for_each(|(width, wish)| *width = wish.heading + (*width - wish.heading) * share);
    } else if sum > whole {
        widths.iter_mut().for_each(|width| *width *= whole / sum);
    }
    widths
}

/// Takes width from the columns that give way, the widest first, down to their longest words.
fn shrink(widths: &mut [f64], wishes: &[Wish], whole: f64, giving: impl Fn(&Wish) -> bool) {
    let fixed: f64 = widths.iter().zip(wishes).filter(|(_, wish)| !giving(wish)).map(|(width, _)| width).sum();
    let room = whole - fixed;
    let at_level = |level: f64, wish: &Wish| {
        let share = level * if wish.stretch > 0.0 { wish.stretch } else { 1.0 };
        share.max(wish.least).min(wish.natural)
    };
    let (mut low, mut high) = (0.0, whole);
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        let sum: f64 = wishes.iter().filter(|wish| giving(wish)).map(|wish| at_level(middle, wish)).sum();
        if sum > room { high = middle } else { low = middle }
    }
    for (width, wish) in widths.iter_mut().zip(wishes).filter(|(_, wish)| giving(wish)) {
        *width = at_level(low, wish);
    }
}

/// The cells of a table whose columns trade width.
struct Cells<'a> {
    table: &'a Table,
    shaped: &'a Shapes,
    /// Type size of each column, pt.
    sizes: Vec<f64>,
    padding: f64,
}

/// In so many steps a column gives away what it has above its longest word.
const STEPS: u32 = 8;

impl Cells<'_> {
    /// Takes width from one column for another as long as the table then has fewer lines. Figures give nothing away, nor
    /// does what is set large to be read whole.
    fn trade(&self, widths: &mut [f64], wishes: &[Wish]) {
        let wraps = |place: usize, widths: &[f64]| widths[place] + 0.01 < wishes[place].natural;
        if !(0..widths.len()).any(|place| wraps(place, widths)) {
            return;
        }
        let mut heights: Vec<Vec<usize>> = (0..widths.len()).map(|place| self.heights(place, widths[place])).collect();
        let mut least = lines_of(&heights);
        let spare = |giver: usize, widths: &[f64]| {
            let column = &self.table.columns[giver];
            let gives = !column.big && column.align != Align::Right;
            if gives { widths[giver] - wishes[giver].least } else { 0.0 }
        };
        for taker in (0..widths.len()).filter(|&place| wraps(place, widths)).collect::<Vec<_>>() {
            // With all that the others could give: where that makes no line less, nothing that they give does.
            let all: f64 = (0..widths.len()).filter(|&g| g != taker).map(|g| spare(g, widths).max(0.0)).sum();
            if self.lines_with(&heights, taker, widths[taker] + all) >= least {
                continue;
            }
            for giver in 0..widths.len() {
                let spare = spare(giver, widths);
                if giver == taker || spare < 1.0 || self.lines_with(&heights, taker, widths[taker] + spare) >= least {
                    continue;
                }
                let before = (widths[giver], widths[taker]);
                for step in 1..=STEPS {
                    let given = spare * f64::from(step) / f64::from(STEPS);
                    let (less, more) = (before.0 - given, before.1 + given);
                    let kept = [giver, taker].map(|place| heights[place].clone());
                    (heights[giver], heights[taker]) = (self.heights(giver, less), self.heights(taker, more));
                    let lines = lines_of(&heights);
                    if lines < least {
                        (widths[giver], widths[taker], least) = (less, more, lines);
                    } else {
                        [heights[giver], heights[taker]] = kept;
                    }
                }
            }
        }
    }

    /// The lines of the table with one of its columns in another width.
    fn lines_with(&self, heights: &[Vec<usize>], place: usize, width: f64) -> usize {
        let mut heights = heights.to_vec();
        heights[place] = self.heights(place, width);
        lines_of(&heights)
    }

    /// How many lines each row has in a column of a width, padding included.
    fn heights(&self, place: usize, width: f64) -> Vec<usize> {
        let inside = (width - 2.0 * self.padding).max(1.0);
        let rows = self.table.rows.iter().zip(&self.shaped.rows).filter(|(row, _)| row.kind != RowKind::Group);
        let cell = |cells: &Vec<Shaped>| {
            let cell = cells.get(place);
            cell.map_or(0, |cell| cell.line_count(self.sizes[place], inside))
        };
        rows.map(|(_, cells)| cell(cells)).collect()
    }
}

/// The lines of a table whose columns' cells have so many.
fn lines_of(heights: &[Vec<usize>]) -> usize {
    let rows = heights.first().map_or(0, Vec::len);
    (0..rows).map(|row| heights.iter().map(|column| column[row]).max().unwrap_or(0)).sum()
}

/// The heading cells that speak for the cells below them.
struct Headers {
    /// Of each column.
    columns: Vec<NodeId>,
    /// Of the group that the row stands in.
    group: Option<NodeId>,
    /// Whether the table has groups: only then must a cell say whom it hears.
    grouped: bool,
}

impl Headers {
    fn of(&self, column: usize) -> Vec<NodeId> {
        let heard = self.columns.get(column).copied().into_iter().chain(self.group);
        heard.filter(|_| self.grouped).collect()
    }
}

fn head_row(
    flow: &mut Flow,
    grid: &Grid,
    spans: &[Vec<Span>],
    shapes: &[Shaped],
    table: NodeId,
    headers: &mut Headers,
) -> Vec<Piece> {
    let head = flow.node(table, NodeRole::TableHead);
    let row = flow.node(head, NodeRole::TableRow);
    let setting = Setting { ink: Ink::Accent, fit: Fit::Balanced, ..grid.setting(flow, true) };
    let mut cells = Vec::new();
    for ((spans, shaped), &(x, width, align)) in spans.iter().zip(shapes).zip(&grid.columns) {
        let node = flow.node(row, NodeRole::HeadingCell { of_row: false, span: 1 });
        headers.columns.push(node);
        cells.push(set_cell(flow, spans, shaped, setting, (x, width, align), (grid.padding, 0.0), node));
    }
    let padding = 0.32 * grid.size;
    let lines = cells.iter().map(Vec::len).max().unwrap_or(0);
    let height = lines as f64 * setting.size * setting.leading + 2.0 * padding;
    let mut marks = Vec::new();
    for cell in cells {
        let top = height - padding - cell.len() as f64 * setting.size * setting.leading;
        marks.extend(lowered(cell.into_iter().flatten().collect(), top));
    }
    marks.insert(0, rule(grid, height, Pen { ink: Ink::Accent, width: 1.0, dash: None }));
    vec![flow.piece(height, marks)]
}

/// The lines of a cell, each with its marks, the first line's top at 0.
fn set_cell(
    flow: &mut Flow,
    spans: &[Span],
    shaped: &Shaped,
    setting: Setting,
    (x, width, align): (f64, f64, Align),
    (padding, after_points): (f64, f64),
    node: NodeId,
) -> Vec<Vec<Placed>> {
    let inside = (width - 2.0 * padding).max(1.0);
    // A figure ends where its decimals end, so that the points of a column stand under one another.
    let short = match (align, shaped.after_point(setting.size)) {
        (Align::Right, Some(tail)) if tail < after_points => after_points - tail,
        _ => 0.0,
    };
    let left = |line: &TextLine| {
        let free = (inside - f64::from(line.width) * setting.size / 1000.0).max(0.0);
        x + padding
            + free
                * match align {
                    Align::Left => 0.0,
                    Align::Centre => 0.5,
                    Align::Right => 1.0,
                }
            - if free >= short { short } else { 0.0 }
    };
    let lines = shaped.lines(setting.size, inside, setting.fit);
    if flow.measuring {
        return vec![Vec::new(); lines.len()];
    }
    let owners = flow.owners(spans, Some(node));
    let links: Vec<Option<String>> = spans.iter().map(|span| span.link.clone()).collect();
    let look = Look { size: setting.size, ink: setting.ink, owners: &owners, links: &links };
    let height = setting.size * setting.leading;
    let place = |(number, line): (usize, &TextLine)| {
        shaped.place(*line, look, left(line), baseline(setting) + number as f64 * height)
    };
    lines.iter().enumerate().map(place).collect()
}

fn rule(grid: &Grid, y: f64, pen: Pen) -> Placed {
    Placed::bare(Item::Rule { from: (grid.x, y), to: (grid.x + grid.width, y), pen })
}

fn add_row(
    flow: &mut Flow,
    grid: &Grid,
    row: &Row,
    shapes: &[Shaped],
    body: NodeId,
    headers: &mut Headers,
    pieces: &mut Vec<Piece>,
) {
    let node = flow.node(body, NodeRole::TableRow);
    let setting = grid.setting(flow, !matches!(row.kind, RowKind::Plain | RowKind::GoesOn));
    let mut cells = Vec::new();
    for (place, &column) in grid.columns.iter().enumerate() {
        let (Some(spans), Some(shaped)) = (row.cells.get(place), shapes.get(place)) else { continue };
        if row.kind == RowKind::Group && place > 0 {
            break;
        }
        let (role, column) = cell_role(grid, row.kind, headers.of(place), column);
        let cell = flow.node(node, role);
        if row.is_group() {
            headers.group = Some(cell);
        }
        let own = if row.kind == RowKind::Group { setting } else { enlarged(setting, grid.scales[place]) };
        let around = (grid.padding, grid.after_points[place]);
        let lines = set_cell(flow, spans, shaped, own, column, around, cell);
        let up = baseline(setting) - baseline(own);
        cells.push(lines.into_iter().map(|line| lowered(line, up)).collect());
    }
    if row.kind != RowKind::Group {
        (cells.len()..grid.columns.len()).for_each(|place| {
            flow.node(node, NodeRole::Cell { headers: headers.of(place) });
        });
    }
    let mut parts = row_parts(flow, grid, row.kind, cells, setting);
    if let Some(first) = parts.first_mut() {
        first.notes = flow.notes_of(row.cells.iter().flatten());
    }
    let tie = match row.kind {
        RowKind::Total => Tie::Firm,
        RowKind::GoesOn => Tie::Wish,
        _ => Tie::Free,
    };
    if let Some(before) = pieces.last_mut() {
        before.tie = before.tie.max(tie);
    }
    if row.kind == RowKind::Group
        && let Some(last) = parts.last_mut()
    {
        last.tie = Tie::Firm;
    }
    pieces.extend(parts);
}

/// The row of a group's name as a mark without meaning, for the pages on which the group goes on.
fn group_again(flow: &mut Flow, grid: &Grid, row: &Row, shapes: &[Shaped]) -> Vec<Piece> {
    let (Some(spans), Some(shaped)) = (row.cells.first(), shapes.first()) else { return Vec::new() };
    let (nodes, setting) = (flow.nodes.len(), grid.setting(flow, true));
    let column = (grid.x, grid.width, Align::Left);
    let lines = set_cell(flow, spans, shaped, setting, column, (grid.padding, 0.0), 0);
    flow.forget_from(nodes);
    as_decoration(&row_parts(flow, grid, row.kind, vec![lines], setting))
}

/// The same lines in another size: the row keeps its height.
fn enlarged(setting: Setting, scale: f64) -> Setting {
    Setting { size: setting.size * scale, leading: setting.leading / scale, ..setting }
}

fn cell_role(
    grid: &Grid,
    kind: RowKind,
    headers: Vec<NodeId>,
    column: (f64, f64, Align),
) -> (NodeRole, (f64, f64, Align)) {
    match kind {
        RowKind::Group => {
            let role = NodeRole::HeadingCell { of_row: false, span: grid.columns.len() };
            (role, (grid.x, grid.width, Align::Left))
        }
        RowKind::Plain | RowKind::GoesOn | RowKind::Total | RowKind::Marked | RowKind::ToFill => {
            (NodeRole::Cell { headers }, column)
        }
    }
}

/// A row as one piece, or, where no page could hold it, as several, cut between lines.
fn row_parts(
    flow: &Flow,
    grid: &Grid,
    kind: RowKind,
    mut cells: Vec<Vec<Vec<Placed>>>,
    setting: Setting,
) -> Vec<Piece> {
    let line_height = setting.size * setting.leading;
    let count = cells.iter().map(Vec::len).max().unwrap_or(0).max(1);
    let padding = match kind {
        RowKind::ToFill if flow.pocket => ((HAND - count as f64 * line_height) / 2.0).max(IN_POCKET * grid.size),
        _ => row_padding(kind, grid.size) * if flow.close { CLOSE_ROWS } else { 1.0 },
    };
    let a_page = (((flow.tallest() - 2.0 * padding) * 0.9 / line_height) as usize).max(1);
    let mut parts = Vec::new();
    for start in (0..count).step_by(a_page) {
        let end = (start + a_page).min(count);
        let height = (end - start) as f64 * line_height + 2.0 * padding;
        let down = if kind == RowKind::Group { 0.0 } else { grid.down };
        let shift = padding + down - start as f64 * line_height;
        let mut marks = ground(grid, kind, height, end == count, start == 0);
        for cell in &mut cells {
            let lines = cell.drain(..cell.len().min(end - start)).flatten().collect();
            marks.extend(lowered(lines, shift));
        }
        parts.push(flow.piece(height, marks));
    }
    parts
}

/// Air above and below a row's words: less in a long list of small type, and in large type, which needs less.
fn row_padding(kind: RowKind, size: f64) -> f64 {
    let share = match kind {
        RowKind::ToFill => 0.55,
        RowKind::Group if size < 9.0 => 0.2,
        _ if size < 9.0 => 0.15,
        RowKind::Group if size < 10.0 => 0.42,
        _ if size < 10.0 => 0.34,
        _ => 0.26,
    };
    share * size
}

/// What stands behind and under a row.
fn ground(grid: &Grid, kind: RowKind, height: f64, last: bool, first: bool) -> Vec<Placed> {
    let area = Rectangle { x: grid.x, y: 0.0, width: grid.width, height };
    let panel = |fill| Placed::bare(Item::Panel { area, fill: Some(fill), pen: None });
    let strong = Pen { ink: Ink::Grey(0.2), width: 0.9, dash: None };
    let mut marks = match kind {
        RowKind::Plain | RowKind::GoesOn => Vec::new(),
        RowKind::Group => vec![panel(Ink::Grey(0.94))],
        RowKind::Total if first => vec![rule(grid, 0.0, strong)],
        RowKind::Total => Vec::new(),
        RowKind::ToFill => grid.columns.iter().skip(1).map(|(x, ..)| upright(*x, height)).collect(),
        RowKind::Marked => {
            let bar = Rectangle { width: 0.22 * grid.size, ..area };
            vec![
                panel(Ink::AccentTint(0.88)),
                Placed::bare(Item::Panel { area: bar, fill: Some(Ink::Accent), pen: None }),
            ]
        }
    };
    if last && kind != RowKind::Total {
        marks.push(rule(grid, height, if kind == RowKind::ToFill { TO_FILL } else { HAIR }));
    }
    marks
}

/// Lines to write on are seen in poor light.
const TO_FILL: Pen = Pen { ink: Ink::Grey(0.4), width: 0.8, dash: None };

fn upright(x: f64, height: f64) -> Placed {
    Placed::bare(Item::Rule { from: (x, 0.0), to: (x, height), pen: TO_FILL })
}

/// Label and value pairs in a tinted panel, tagged as a table with a heading cell in each row.
pub fn facts(flow: &mut Flow, facts: &[(String, Vec<Span>)], measure: Measure, parent: NodeId) -> Vec<Piece> {
    if facts.is_empty() {
        return Vec::new();
    }
    let size = flow.size;
    let node = flow.node(parent, NodeRole::Table);
    let body = flow.node(node, NodeRole::TableBody);
    let leading = if flow.close { flow.running().leading } else { 1.36 };
    let running = Setting { leading, ..flow.running() };
    let label_setting = Setting { ink: GREY, ..running };
    let labels: Vec<Vec<Span>> = facts.iter().map(|(label, _)| vec![Span::plain(label.as_str())]).collect();
    let shaped: Vec<Shaped> = labels.iter().map(|spans| flow.shaped(spans, false)).collect();
    let widest = shaped.iter().map(|label| label.natural_width(size)).fold(0.0, f64::max);
    let label_width = (widest + 1.6 * size).min(measure.width * 0.38);
    let inner = Measure { x: measure.x + 1.1 * size, width: (measure.width - 2.2 * size).max(1.0) };
    let frame = BoxFrame {
        x: measure.x,
        width: measure.width,
        padding: if flow.close { 0.45 } else { 0.7 } * size,
        fill: Some(Ink::Grey(0.96)),
        pen: None,
        bar: None,
    };
    let mut pieces = flow.framed(Some(frame), Vec::new(), |flow| {
        let mut rows = Vec::new();
        for ((label, shaped), (_, value)) in labels.iter().zip(&shaped).zip(facts) {
            let row = flow.node(body, NodeRole::TableRow);
            let head = flow.node(row, NodeRole::HeadingCell { of_row: true, span: 1 });
            let column = (inner.x, label_width, Align::Left);
            let left = set_cell(flow, label, shaped, label_setting, column, (0.0, 0.0), head);
            let cell = flow.node(row, NodeRole::Cell { headers: Vec::new() });
            let shaped = flow.shaped(value, false);
            let column = (inner.x + label_width, inner.width - label_width, Align::Left);
            let right = set_cell(flow, value, &shaped, running, column, (0.0, 0.0), cell);
            let mut parts = fact_parts(flow, left, right, running);
            if let Some(first) = parts.first_mut() {
                first.notes = flow.notes_of(value);
            }
            rows.extend(parts);
        }
        rows
    });
    tie_together(&mut pieces, Tie::Wish);
    space(&mut pieces, 0.9 * size, 1.0 * size);
    pieces
}

/// A pair as pieces of a line each.
fn fact_parts(flow: &Flow, left: Vec<Vec<Placed>>, right: Vec<Vec<Placed>>, setting: Setting) -> Vec<Piece> {
    let height = setting.size * setting.leading;
    let count = left.len().max(right.len()).max(1);
    let line = |cell: &[Vec<Placed>], number: usize| {
        lowered(cell.get(number).cloned().unwrap_or_default(), -(number as f64) * height)
    };
    let part = |number: usize| {
        let marks = line(&left, number).into_iter().chain(line(&right, number)).collect();
        flow.piece(height, marks)
    };
    let mut parts: Vec<Piece> = (0..count).map(part).collect();
    tie_together(&mut parts, Tie::Wish);
    space(&mut parts, 0.12 * setting.size, 0.12 * setting.size);
    parts
}
