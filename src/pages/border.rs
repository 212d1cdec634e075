//! The border to libraries that read what somebody else has made: pictures and fonts.
//!
//! Given a reading of foreign bytes; gives what came of it, or nothing where the library gave up on them by panicking. Nothing
//! is printed then: whoever asked tells which file it was. What crosses back is a whole value or none, so that nothing half
//! done is left behind.

use std::cell::Cell;
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;

/// What is wrong with a picture, and the cure.
pub(super) type PictureFault = (&'static str, &'static str);

thread_local! {
    static FOREIGN: Cell<bool> = const { Cell::new(false) };
}

/// Reads foreign bytes; `None` where the library panicked.
pub fn reading<T>(read: impl FnOnce() -> T) -> Option<T> {
    static HOOKED: Once = Once::new();
    HOOKED.call_once(|| {
        let usual = panic::take_hook();
        panic::set_hook(Box::new(move |panic| {
            if !FOREIGN.get() {
                usual(panic);
            }
        }));
    });
    let before = FOREIGN.replace(true);
    let done = panic::catch_unwind(AssertUnwindSafe(read));
    FOREIGN.set(before);
    done.ok()
}
