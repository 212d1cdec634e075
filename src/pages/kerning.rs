//! Pair kerning, read off a font's own table where a pair is met (OpenType 1.9, GPOS): a face has tens of thousands of pairs, and a
//! document meets some hundred of them.
//!
//! Given the table; gives what is added between two glyphs, in the font's units. A table that ends too early kerns nothing there.

use std::borrow::Cow;

/// The pair kerning of Latin script in its default language.
#[derive(Debug, Default)]
pub struct Kerning {
    table: Cow<'static, [u8]>,
    /// Where the subtables of each lookup begin.
    lookups: Vec<Vec<usize>>,
}

/// Script, script by default, and feature, by name.
const LATIN: &[u8] = b"latn";
const ANY_SCRIPT: &[u8] = b"DFLT";
const KERN: &[u8] = b"kern";
/// Kinds of lookup: positions of pairs, and another kind that lies further away.
const PAIRS: usize = 2;
const FURTHER: usize = 9;

impl Kerning {
    /// Finds the lookups of a table.
    pub fn of(table: Cow<'static, [u8]>) -> Kerning {
        let mut kerning = Kerning { table, lookups: Vec::new() };
        kerning.lookups = kerning.found().unwrap_or_default();
        kerning
    }

    /// Whether no two glyphs are kerned.
    pub fn is_none(&self) -> bool {
        self.lookups.is_empty()
    }

    /// What is added between two glyphs: of the first lookup that speaks of them, its first subtable that does.
    pub fn between(&self, first: u16, second: u16) -> Option<i16> {
        let (first, second) = (usize::from(first), usize::from(second));
        let in_lookup = |subtables: &Vec<usize>| subtables.iter().find_map(|at| self.in_subtable(*at, first, second));
        self.lookups.iter().find_map(in_lookup)
    }

    fn word(&self, at: usize) -> Option<usize> {
        let bytes = self.table.get(at..at + 2)?;
        Some(usize::from(u16::from_be_bytes([bytes[0], bytes[1]])))
    }

    /// A place that a word gives, counted from another.
    fn place(&self, from: usize, at: usize) -> Option<usize> {
        Some(from + self.word(from + at)?)
    }

    /// The place that stands behind a name in a list of names and places, itself counted from where the list begins.
    fn named(&self, list: usize, name: &[u8]) -> Option<usize> {
        let records = (0..self.word(list)?).map(|n| 2 + 6 * n);
        let mut those = records.filter(|at| self.table.get(list + at..list + at + 4) == Some(name));
        self.place(list, those.next()? + 4)
    }

    fn found(&self) -> Option<Vec<Vec<usize>>> {
        let [scripts, features, lookups] = [4, 6, 8].map(|at| self.place(0, at));
        let script = self.named(scripts?, LATIN).or_else(|| self.named(scripts?, ANY_SCRIPT))?;
        let language = match self.word(script)? {
            0 => return None,
            far => script + far,
        };
        let features = features?;
        let numbers = (0..self.word(language + 4)?).map(|n| self.word(language + 6 + 2 * n));
        let records = numbers.map(|number| Some(2 + 6 * number?));
        let is_kern = |at: &usize| self.table.get(features + at..features + at + 4) == Some(KERN);
        let feature = self.place(features, records.flatten().find(is_kern)? + 4)?;
        let indices = (0..self.word(feature + 2)?).filter_map(|n| self.word(feature + 4 + 2 * n));
        Some(indices.filter_map(|index| self.pairs_of(self.place(lookups?, 2 + 2 * index)?)).collect())
    }

    /// The subtables of a lookup; none of one that is of another kind.
    fn pairs_of(&self, lookup: usize) -> Option<Vec<usize>> {
        let kind = self.word(lookup)?;
        let subtables = (0..self.word(lookup + 4)?).map(|n| self.place(lookup, 6 + 2 * n));
        let one = |at: Option<usize>| match kind {
            PAIRS => at,
            FURTHER if self.word(at? + 2)? == PAIRS => Some(at? + (self.word(at? + 4)? << 16) + self.word(at? + 6)?),
            _ => None,
        };
        subtables.map(one).collect()
    }

    fn in_subtable(&self, at: usize, first: usize, second: usize) -> Option<i16> {
        let covered = self.covered(self.place(at, 2)?, first)?;
        let formats = [self.word(at + 4)?, self.word(at + 6)?];
        let long = formats.map(|format| 2 * format.count_ones() as usize);
        let value = match self.word(at)? {
            1 => {
                let pairs = self.place(at, 10 + 2 * covered)?;
                let row = 2 + long[0] + long[1];
                let mut rows = (0..self.word(pairs)?).map(|n| pairs + 2 + row * n);
                rows.find(|row| self.word(*row) == Some(second))? + 2
            }
            2 => {
                let classes = [self.class(self.place(at, 8)?, first), self.class(self.place(at, 10)?, second)];
                let counts = [self.word(at + 12)?, self.word(at + 14)?];
                if classes[0] >= counts[0] || classes[1] >= counts[1] {
                    return None;
                }
                at + 16 + (long[0] + long[1]) * (classes[0] * counts[1] + classes[1])
            }
            _ => return None,
        };
        self.advance(value, formats[0])
    }

    /// What a value adds to the advance of the glyph: it may have the shifts across and up before that.
    fn advance(&self, value: usize, format: usize) -> Option<i16> {
        const SHIFTS: usize = 0b011;
        const ADVANCE: usize = 0b100;
        match format & ADVANCE {
            0 => Some(0),
            _ => Some(self.word(value + 2 * (format & SHIFTS).count_ones() as usize)? as u16 as i16),
        }
    }

    /// The place of a glyph among those that a table covers.
    fn covered(&self, at: usize, glyph: usize) -> Option<usize> {
        match self.word(at)? {
            1 => {
                let glyph_at = |n: usize| self.word(at + 4 + 2 * n);
                let (mut low, mut high) = (0, self.word(at + 2)?);
                while low < high {
                    let middle = (low + high) / 2;
                    match glyph_at(middle)? {
                        found if found == glyph => return Some(middle),
                        found if found < glyph => low = middle + 1,
                        _ => high = middle,
                    }
                }
                None
            }
            2 => {
                let (begins, counted) = self.range(at, glyph)?;
                Some(counted + glyph - begins)
            }
            _ => None,
        }
    }

    /// The class of a glyph; 0 where none is named.
    fn class(&self, at: usize, glyph: usize) -> usize {
        let read = || match self.word(at)? {
            1 => {
                let place = glyph.checked_sub(self.word(at + 2)?)?;
                if place < self.word(at + 4)? { self.word(at + 6 + 2 * place) } else { None }
            }
            2 => Some(self.range(at, glyph)?.1),
            _ => None,
        };
        read().unwrap_or(0)
    }

    /// The first of the ranges of a table in which a glyph lies: where it begins, and what is said of it.
    fn range(&self, at: usize, glyph: usize) -> Option<(usize, usize)> {
        let mut ranges = (0..self.word(at + 2)?).map(|n| at + 4 + 6 * n);
        let lies_in = |range: &usize| {
            let ends = (self.word(*range), self.word(range + 2));
            matches!(ends, (Some(low), Some(high)) if (low..=high).contains(&glyph))
        };
        let range = ranges.find(lies_in)?;
        Some((self.word(range)?, self.word(range + 4)?))
    }
}
