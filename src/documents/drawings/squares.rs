//! What lies on a sheet, by the squares of paper that it touches: a large plan has thousands of lines and hundreds of words.
//!
//! Given things and their squares; gives those of one square in the order in which they came. Only the columns that are used
//! are there, and of each only from its first used square to its last.

use crate::pages::scene::Spot;

/// Things by the squares that they touch.
#[derive(Debug, Clone)]
pub(super) struct Squares<T>(SquareRow<SquareRow<Vec<T>>>);

impl<T> Default for Squares<T> {
    fn default() -> Squares<T> {
        Squares(SquareRow::default())
    }
}

impl<T> Squares<T> {
    /// Puts a thing into a square: column and row.
    pub(super) fn put(&mut self, (column, row): (i32, i32), thing: T) {
        self.0.grown_to(column).grown_to(row).push(thing);
    }

    /// What lies in a square.
    pub(super) fn at(&self, (column, row): (i32, i32)) -> &[T] {
        self.0.get(column).and_then(|column| column.get(row)).map_or(&[], Vec::as_slice)
    }
}

/// Neighbours in a row from some number on, which may be less than none.
#[derive(Debug, Clone)]
struct SquareRow<T> {
    first: i32,
    all: Vec<T>,
}

impl<T> Default for SquareRow<T> {
    fn default() -> SquareRow<T> {
        SquareRow { first: 0, all: Vec::new() }
    }
}

impl<T: Default> SquareRow<T> {
    /// The one at a place, with all between it and those that were there.
    fn grown_to(&mut self, place: i32) -> &mut T {
        if self.all.is_empty() {
            self.first = place;
        }
        if place < self.first {
            let before = self.first.abs_diff(place) as usize;
            self.all.splice(0..0, std::iter::repeat_with(T::default).take(before));
            self.first = place;
        }
        let at = self.first.abs_diff(place) as usize;
        if at >= self.all.len() {
            self.all.resize_with(at + 1, T::default);
        }
        &mut self.all[at]
    }
}

impl<T> SquareRow<T> {
    fn get(&self, place: i32) -> Option<&T> {
        usize::try_from(place.checked_sub(self.first)?).ok().and_then(|at| self.all.get(at))
    }
}

/// The squares with such a side, by column and row, that a level box touches.
pub(super) fn level_squares(low: Spot, high: Spot, side: f64) -> impl Iterator<Item = (i32, i32)> + use<> {
    let (left, right) = (square_of(low.x, side), square_of(high.x, side));
    let (top, foot) = (square_of(low.y, side), square_of(high.y, side));
    (left..=right).flat_map(move |x| (top..=foot).map(move |y| (x, y)))
}

/// In which row or column of squares a place lies.
fn square_of(at: f64, side: f64) -> i32 {
    let squares = at / side;
    // Rounded towards zero, which is quicker than downwards.
    let near = squares as i32;
    if f64::from(near) > squares { near - 1 } else { near }
}
