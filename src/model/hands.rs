//! How many hands a piece of work may have: whoever is one of many at the same bench takes none beside its own.
//!
//! Given nothing; says whether the thread that asks may set others to work. What is made is the same either way: a job alone is
//! made by all processors, a job among many by one, so that no more threads run than there are processors.

use std::cell::Cell;

thread_local! {
    static ONE_OF_MANY: Cell<bool> = const { Cell::new(false) };
}

/// Does a work by this thread alone.
pub fn alone<T>(work: impl FnOnce() -> T) -> T {
    let before = ONE_OF_MANY.replace(true);
    let done = work();
    ONE_OF_MANY.set(before);
    done
}

/// Whether this thread may set others to work.
pub fn are_free() -> bool {
    !ONE_OF_MANY.get()
}
