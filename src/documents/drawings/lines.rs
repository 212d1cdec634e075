//! How each edge is drawn, and the key that says so.
//!
//! Given an edge on paper and what it is; draws a line that can be told from the others in black and white: drip with
//! drops hanging outwards, raised as a double line, wall as a hatched band, a wall that the roof is carried over as a band
//! of stones, a door as a gap in the wall, kerb as a thick and a thin line, step in dashes, a box gutter as a trough.

use super::drawing::{Drawing, Way, apart, dashes, go, pen, spot, text_units};
use crate::model::Finish;
use crate::pages::scene::{Anchor, Ink, Spot};
use crate::pages::unparted;
use crate::takeoff::layout::shape::Side;
use std::borrow::Cow;

/// How far the drawing of an edge reaches outwards, pt.
pub const REACH: f64 = 7.0;

/// How far beyond an edge the far side of a box gutter is drawn, pt.
pub const TROUGH: f64 = 6.0;

/// What an edge is drawn as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EdgeSign {
    /// By its finish.
    Of(Finish),
    /// A wall that the roof is carried over.
    LowWall,
    /// A wall in which a door opens.
    Door,
}

impl EdgeSign {
    /// That of a side of a roof.
    pub fn of(side: &Side) -> EdgeSign {
        match (side.coped, side.sill) {
            (Some(_), _) => EdgeSign::LowWall,
            (None, Some(_)) => EdgeSign::Door,
            (None, None) => EdgeSign::Of(side.finish),
        }
    }
}

/// Draws an edge from `a` to `b`, the roof on its left.
pub fn edge(sheet: &mut Drawing, a: Spot, b: Spot, sign: EdgeSign) {
    match sign {
        EdgeSign::Of(Finish::Drip) => drip(sheet, a, b),
        EdgeSign::Of(Finish::Raised) => raised(sheet, a, b),
        EdgeSign::Of(Finish::Wall) => wall(sheet, a, b),
        EdgeSign::Of(Finish::Kerb) => kerb(sheet, a, b),
        EdgeSign::Of(Finish::Step) => sheet.line(&[a, b], dashes(Ink::Black, 1.8, 7.0, 3.0)),
        EdgeSign::Of(Finish::Gutter) => gutter(sheet, a, b),
        EdgeSign::LowWall => low_wall(sheet, a, b),
        EdgeSign::Door => door(sheet, a, b),
    }
}

fn drip(sheet: &mut Drawing, a: Spot, b: Spot) {
    let (along, out) = ways(a, b);
    sheet.line(&[a, b], pen(Ink::Black, 1.5));
    let drops = ((apart(a, b) / 9.0).floor() as usize).max(1);
    let pitch = apart(a, b) / drops as f64;
    for i in 0..drops {
        let foot = go(a, along, pitch * (i as f64 + 0.5));
        sheet.tip(go(foot, out, 5.0), out, 4.2, Ink::Black);
    }
}

fn raised(sheet: &mut Drawing, a: Spot, b: Spot) {
    let (_, out) = ways(a, b);
    sheet.line(&[a, b], pen(Ink::Black, 1.1));
    sheet.line(&[go(a, out, 2.8), go(b, out, 2.8)], pen(Ink::Black, 1.1));
}

fn wall(sheet: &mut Drawing, a: Spot, b: Spot) {
    let (along, out) = ways(a, b);
    let band = vec![a, b, go(b, out, 6.0), go(a, out, 6.0)];
    sheet.area(vec![band], Some(Ink::Grey(0.88)), None);
    let strokes = ((apart(a, b) / 4.5).floor() as usize).max(1);
    let pitch = apart(a, b) / strokes as f64;
    for i in 0..strokes {
        let foot = go(a, along, pitch * i as f64);
        sheet.line(&[foot, go(go(foot, along, pitch.min(4.5)), out, 6.0)], pen(Ink::Grey(0.25), 0.5));
    }
    sheet.line(&[a, b], pen(Ink::Black, 1.8));
}

/// The top of a wall: a band of stones, each some 16 pt long.
fn low_wall(sheet: &mut Drawing, a: Spot, b: Spot) {
    let (along, out) = ways(a, b);
    let band = vec![a, b, go(b, out, 6.0), go(a, out, 6.0)];
    sheet.area(vec![band], Some(Ink::Grey(0.88)), Some(pen(Ink::Black, 0.8)));
    let stones = ((apart(a, b) / 16.0).round() as usize).max(1);
    let pitch = apart(a, b) / stones as f64;
    for i in 1..stones {
        let foot = go(a, along, pitch * i as f64);
        sheet.line(&[foot, go(foot, out, 6.0)], pen(Ink::Black, 0.5));
    }
    sheet.line(&[a, b], pen(Ink::Black, 1.8));
}

/// A gap in the wall's band: its jambs, and the sill between them.
fn door(sheet: &mut Drawing, a: Spot, b: Spot) {
    let (_, out) = ways(a, b);
    for jamb in [a, b] {
        sheet.line(&[jamb, go(jamb, out, 6.0)], pen(Ink::Black, 1.2));
    }
    for far in [0.0, 2.4] {
        sheet.line(&[go(a, out, far), go(b, out, far)], pen(Ink::Black, 0.6));
    }
}

fn kerb(sheet: &mut Drawing, a: Spot, b: Spot) {
    let (along, out) = ways(a, b);
    sheet.line(&[a, b], pen(Ink::Black, 1.6));
    let (from, to) = (go(a, along, -2.4), go(b, along, 2.4));
    sheet.line(&[go(from, out, 2.4), go(to, out, 2.4)], pen(Ink::Black, 0.5));
}

/// A trough: the lip, its far side, and short strokes across that lean the way of the walk.
fn gutter(sheet: &mut Drawing, a: Spot, b: Spot) {
    let (along, out) = ways(a, b);
    sheet.line(&[a, b], pen(Ink::Black, 1.1));
    sheet.line(&[go(a, out, TROUGH), go(b, out, TROUGH)], pen(Ink::Black, 1.8));
    let strokes = ((apart(a, b) / 14.0).floor() as usize).max(1);
    let pitch = apart(a, b) / strokes as f64;
    for i in 0..strokes {
        let foot = go(a, along, pitch * (i as f64 + 0.5));
        sheet.line(&[go(foot, out, 1.5), go(foot, out, 4.5)], pen(Ink::Black, 0.7));
    }
}

fn ways(a: Spot, b: Spot) -> (Way, Way) {
    let along = Way::between(a, b);
    (along, along.right())
}

/// What the householder calls an edge.
pub const fn plain_words(sign: EdgeSign) -> &'static str {
    match sign {
        EdgeSign::Of(Finish::Drip) => "drip edge",
        EdgeSign::Of(Finish::Raised) => "raised edge",
        EdgeSign::Of(Finish::Wall) => "against the wall",
        EdgeSign::Of(Finish::Kerb) => "kerb",
        EdgeSign::Of(Finish::Step) => "carried up under the roof above",
        EdgeSign::Of(Finish::Gutter) => "box gutter",
        EdgeSign::LowWall => "over the low wall",
        EdgeSign::Door => "under the door",
    }
}

/// What the key says of an edge.
pub const fn key_words(sign: EdgeSign) -> &'static str {
    match sign {
        EdgeSign::Of(Finish::Drip) => "drip edge: rain runs off",
        EdgeSign::Of(Finish::Raised) => "raised edge: holds rain back",
        EdgeSign::Of(Finish::Wall) => "wall",
        EdgeSign::Of(Finish::Kerb) => "kerb",
        EdgeSign::Of(Finish::Step) => "carried up under the roof above",
        EdgeSign::Of(Finish::Gutter) => "box gutter beyond this edge",
        EdgeSign::LowWall => "low wall: carried over its top",
        EdgeSign::Door => "door",
    }
}

/// Size of the words of a key, pt.
pub const NOTE: f64 = 8.0;

/// The key: a sample of each kind of edge with its words, then lines of text, in rows no wider than `width`. Its top left is at
/// `at`; gives the spot below it.
pub fn key(sheet: &mut Drawing, at: Spot, width: f64, signs: &[EdgeSign], notes: &[String]) -> Spot {
    let mut pencil = at;
    for sign in signs {
        let wide = 26.0 + super::drawing::text_width(key_words(*sign), NOTE) + 12.0;
        pencil = next_row(pencil, at.x, width, wide);
        edge(sheet, spot(pencil.x, pencil.y + 2.0), spot(pencil.x + 20.0, pencil.y + 2.0), *sign);
        sheet.words(spot(pencil.x + 25.0, pencil.y + 5.5), key_words(*sign), NOTE, false, Anchor::Start);
        pencil.x += wide;
    }
    if pencil.x > at.x {
        pencil = spot(at.x, pencil.y + 14.0);
    }
    for note in notes {
        for line in folded(note, width, NOTE) {
            sheet.words(spot(at.x, pencil.y + 5.5), &line, NOTE, false, Anchor::Start);
            pencil.y += 10.5;
        }
    }
    pencil
}

fn next_row(pencil: Spot, left: f64, width: f64, wide: f64) -> Spot {
    if pencil.x > left && pencil.x + wide > left + width { spot(left, pencil.y + 14.0) } else { pencil }
}

/// A text broken between words into lines no wider than `width`; a word that is too long stands alone.
pub fn folded(text: &str, width: f64, size: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    // How long the last of them is, in thousandths of the size.
    let mut long = 0.0;
    let mut words = text.split_whitespace().peekable();
    while let Some(word) = words.next() {
        // A figure keeps its unit.
        let mut word = Cow::Borrowed(word);
        while let Some(after) = words.next_if(|after| unparted::stay(&word, after)) {
            word = Cow::Owned(format!("{word} {after}"));
        }
        let more = text_units(&word);
        let longer = long + text_units(" ") + more;
        match lines.last_mut() {
            Some(line) if longer * size / 1000.0 <= width => {
                line.push(' ');
                line.push_str(&word);
                long = longer;
            }
            _ => {
                lines.push(word.into_owned());
                long = more;
            }
        }
    }
    lines
}
