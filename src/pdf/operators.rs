//! The operators of a page, spelt as they are given (ISO 32000-1, annex A).
//!
//! Given numbers, names and strings of glyphs; gives the bytes of a content stream, an operator a line.

use std::io::Write;

/// The operators of a page so far.
#[derive(Debug, Default)]
pub struct Operators(Vec<u8>);

/// A place of a path; a handle of a curve or a corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PathPoint {
    /// From the left, pt.
    pub x: f32,
    /// From below, pt.
    pub y: f32,
    /// A handle: two of them and a corner make a curve.
    pub handle: bool,
}

/// How a closed path is painted, by the even–odd rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paint {
    /// Its inside.
    Fill,
    /// Its line.
    Stroke,
    /// Both.
    FillStroke,
}

impl Operators {
    /// The content stream.
    pub fn into_bytes(self) -> Vec<u8> {
        self.0
    }

    /// An operator that takes numbers.
    pub fn put(&mut self, numbers: &[f32], operator: &str) {
        self.line();
        for value in numbers {
            number(&mut self.0, *value);
            self.0.push(b' ');
        }
        self.0.extend_from_slice(operator.as_bytes());
    }

    /// An operator that takes a name, and numbers after it.
    pub fn named(&mut self, name: &str, numbers: &[f32], operator: &str) {
        self.line();
        self.name(name);
        for value in numbers {
            self.0.push(b' ');
            number(&mut self.0, *value);
        }
        self.0.push(b' ');
        self.0.extend_from_slice(operator.as_bytes());
    }

    /// Begins marked content of a tag with one property (14.6.2); what its value is has been spelt already.
    pub fn marked(&mut self, tag: &str, key: &str, value: &str) {
        self.line();
        self.name(tag);
        self.0.extend_from_slice(b" <<");
        self.name(key);
        self.0.extend_from_slice(value.as_bytes());
        self.0.extend_from_slice(b">> BDC");
    }

    /// The same for content that has a number (14.7.4.2).
    pub fn marked_as(&mut self, tag: &str, number: i64) {
        let mut value = itoa::Buffer::new();
        self.line();
        self.name(tag);
        self.0.extend_from_slice(b" <</MCID ");
        self.0.extend_from_slice(value.format(number).as_bytes());
        self.0.extend_from_slice(b">> BDC");
    }

    /// The pattern of dashes.
    pub fn dashes(&mut self, pattern: &[f32]) {
        self.line();
        self.0.push(b'[');
        for (place, length) in pattern.iter().enumerate() {
            if place > 0 {
                self.0.push(b' ');
            }
            number(&mut self.0, *length);
        }
        self.0.extend_from_slice(b"] 0 d");
    }

    /// Shows strings, each followed by a shift in thousandths of the type size, which may be nothing.
    pub fn show<'a>(&mut self, parts: impl Iterator<Item = (&'a [u8], i32)>) {
        let mut parts = parts.peekable();
        self.line();
        if let Some((text, _)) = parts.next_if(|&(_, shift)| shift == 0) {
            if parts.peek().is_none() {
                string(&mut self.0, text);
                return self.0.extend_from_slice(b"Tj");
            }
            self.0.push(b'[');
            string(&mut self.0, text);
        } else {
            self.0.push(b'[');
        }
        for (text, shift) in parts {
            if !text.is_empty() {
                string(&mut self.0, text);
            }
            if shift != 0 {
                self.0.extend_from_slice(itoa::Buffer::new().format(shift).as_bytes());
            }
        }
        self.0.extend_from_slice(b"]TJ");
    }

    /// An open line along corners.
    pub fn open_line(&mut self, points: &[PathPoint]) {
        self.path(points);
        self.put(&[], "S");
    }

    /// Closed rings, painted as one.
    pub fn rings(&mut self, rings: &[Vec<PathPoint>], paint: Paint) {
        rings.iter().for_each(|ring| self.path(ring));
        self.put(&[], "h");
        self.put(&[], paint.operator("b*"));
    }

    /// A rectangle: its corner, its width and height.
    pub fn rectangle(&mut self, area: [f32; 4], paint: Paint) {
        self.put(&area, "re");
        self.put(&[], paint.operator("B*"));
    }

    fn path(&mut self, points: &[PathPoint]) {
        let Some((first, mut rest)) = points.split_first() else { return };
        self.put(&[first.x, first.y], "m");
        while let Some(next) = rest.first() {
            rest = match rest {
                [a, b, end, behind @ ..] if a.handle && b.handle => {
                    self.put(&[a.x, a.y, b.x, b.y, end.x, end.y], "c");
                    behind
                }
                _ => {
                    self.put(&[next.x, next.y], "l");
                    &rest[1..]
                }
            };
        }
    }

    fn line(&mut self) {
        if !self.0.is_empty() {
            self.0.push(b'\n');
        }
    }

    /// A name of regular characters alone.
    fn name(&mut self, name: &str) {
        self.0.push(b'/');
        self.0.extend_from_slice(name.as_bytes());
    }
}

impl Paint {
    fn operator(self, both: &'static str) -> &'static str {
        match self {
            Paint::Fill => "f*",
            Paint::Stroke => "S",
            Paint::FillStroke => both,
        }
    }
}

/// Spells a number: as it is printed, only sooner where it is a whole number of hundredths, as nearly all are.
fn number(out: &mut Vec<u8>, value: f32) {
    let hundredths = (f64::from(value) * 100.0).round();
    let exact = (hundredths / 100.0) as f32 == value && hundredths.abs() < 1e6;
    if !exact || (value == 0.0 && value.is_sign_negative()) {
        write!(out, "{value}").expect("writing to memory cannot fail");
        return;
    }
    let hundredths = hundredths as i32;
    if hundredths < 0 {
        out.push(b'-');
    }
    let (whole, part) = (hundredths.unsigned_abs() / 100, (hundredths.unsigned_abs() % 100) as u8);
    out.extend_from_slice(itoa::Buffer::new().format(whole).as_bytes());
    if part > 0 {
        out.extend([b'.', b'0' + part / 10]);
    }
    if part % 10 > 0 {
        out.push(b'0' + part % 10);
    }
}

/// Spells a string (7.3.4.2). Brackets that match stand as they are.
fn string(out: &mut Vec<u8>, text: &[u8]) {
    out.push(b'(');
    let mut open = Vec::new();
    let mut escaped = Vec::new();
    for (place, byte) in text.iter().enumerate() {
        match byte {
            b'(' => open.push(place),
            b')' if open.pop().is_none() => escaped.push(place),
            b'\\' | b'\r' => escaped.push(place),
            _ => {}
        }
    }
    escaped.extend(open);
    if escaped.is_empty() {
        out.extend_from_slice(text);
    } else {
        for (place, &byte) in text.iter().enumerate() {
            if escaped.contains(&place) {
                out.push(b'\\');
            }
            out.push(if byte == b'\r' { b'r' } else { byte });
        }
    }
    out.push(b')');
}
