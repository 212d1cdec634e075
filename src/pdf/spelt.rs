//! Objects spelt as they are made, but for the numbers of what they speak of: those are known only when the file is written.

use super::syntax;
use lopdf::{Object, ObjectId};

/// Objects one after another in one stretch of bytes.
#[derive(Default)]
pub(super) struct Spelt {
    bytes: Vec<u8>,
    /// Where in the bytes a number goes, and whose.
    numbers: Vec<(usize, ObjectId)>,
    /// Each object, where it begins in the bytes and in the numbers.
    begun: Vec<(ObjectId, usize, usize)>,
}

impl Spelt {
    /// With room for so many objects of the tree of tags, which are short.
    pub(super) fn for_tags(count: usize) -> Spelt {
        const EACH: usize = 48;
        Spelt {
            bytes: Vec::with_capacity(EACH * count),
            numbers: Vec::with_capacity(3 * count),
            begun: Vec::with_capacity(count + 8),
        }
    }

    /// Begins an object; what follows until the next belongs to it.
    pub(super) fn begin(&mut self, id: ObjectId) {
        self.begun.push((id, self.bytes.len(), self.numbers.len()));
    }

    /// Adds bytes as they are.
    pub(super) fn text(&mut self, text: &str) -> &mut Spelt {
        self.bytes.extend(text.as_bytes());
        self
    }

    /// Parts what follows from what stands before it, where nothing else does (ISO 32000-1, 7.2.2).
    pub(super) fn gap(&mut self) -> &mut Spelt {
        if self.bytes.last().is_some_and(|last| !b"()<>[]/".contains(last)) {
            self.bytes.push(b' ');
        }
        self
    }

    /// Adds a reference to an object (ISO 32000-1, 7.3.10).
    pub(super) fn reference(&mut self, id: ObjectId) -> &mut Spelt {
        self.numbers.push((self.bytes.len(), id));
        self.text(" 0 R")
    }

    /// Adds a whole number.
    pub(super) fn integer(&mut self, value: i64) -> &mut Spelt {
        syntax::integer(&mut self.bytes, value);
        self
    }

    /// Adds a string of ASCII.
    pub(super) fn literal(&mut self, text: &str) -> &mut Spelt {
        syntax::literal(&mut self.bytes, text.as_bytes());
        self
    }

    /// Adds an object that speaks of no other.
    pub(super) fn object(&mut self, object: &Object) -> &mut Spelt {
        syntax::spell(&mut self.bytes, object, &mut |_| unreachable!("it speaks of no other object"));
        self
    }

    /// Where its objects are found, by the number that they were begun with.
    pub(super) fn places(&self) -> Vec<Option<usize>> {
        let last = self.begun.iter().map(|(id, ..)| id.0).max().map_or(0, |last| last as usize + 1);
        let mut places = vec![None; last];
        for (place, (id, ..)) in self.begun.iter().enumerate() {
            places[id.0 as usize] = Some(place);
        }
        places
    }

    /// Writes the object at a place, with the new number of each that it speaks of.
    pub(super) fn write(&self, place: usize, out: &mut Vec<u8>, number: &mut impl FnMut(ObjectId) -> usize) {
        let (_, mut from, first) = self.begun[place];
        let (end, last) =
            self.begun.get(place + 1).map_or((self.bytes.len(), self.numbers.len()), |&(_, end, last)| (end, last));
        for &(at, id) in &self.numbers[first..last] {
            out.extend(&self.bytes[from..at]);
            syntax::integer(out, number(id) as i64);
            from = at;
        }
        out.extend(&self.bytes[from..end]);
    }
}
