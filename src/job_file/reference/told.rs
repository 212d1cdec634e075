//! What is told of a key beside what the reader knows of it: what it is for, what it changes, what is taken without it.
//!
//! Given nothing; gives the form of the tables in this folder. A table names every key of its group or does not compile.

/// What is told of one key. Units, limits, choices and what is needed are never here: the reader's own tables have them.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Told {
    /// The key.
    pub key: &'static str,
    /// What it is for, in one sentence.
    pub purpose: &'static str,
    /// What it changes.
    pub changes: &'static str,
    /// What is taken where it is left out; nothing where it is needed.
    pub without: &'static str,
    /// An example; nothing where the reader's own will do.
    pub example: &'static str,
}

/// Tables of what is told of the keys of each group: `key: "purpose", "changes", "without", "example";`. `refuses` lists the
/// keys that the reader knows only to say where they belong.
macro_rules! explain {
    ($($group:ident $(refuses [$($refused:ident),*])? {
        $($key:ident: $purpose:literal, $changes:literal, $without:literal, $example:literal;)*
    })*) => {
        /// What is told of the keys of a group, by the name of its type.
        pub(super) fn of(group: &str) -> Option<&'static [Told]> {
            $({
                /// Names every key of the group, so that none can be forgotten and none told of that there is not.
                fn _every_key(group: &$group) {
                    let $group { $($key: _,)* $($($refused: _,)*)? } = group;
                }
            })*
            match group {
                $(stringify!($group) => Some(&[$(Told {
                    key: stringify!($key),
                    purpose: $purpose,
                    changes: $changes,
                    without: $without,
                    example: $example,
                }),*]),)*
                _ => None,
            }
        }
    };
}

pub(super) use explain;
