//! A group of settings as a struct: its keys, which of them it needs, and the limits of its numbers.
//!
//! Given the keys with their types; gives a struct that reads itself. A key that is nearly one that is known counts as
//! that one, wrongly written, and not as missing too.

/// Defines a group of settings: a struct of [`Slot`]s that reads itself and tells unknown and missing keys.
///
/// ```text
/// settings! {
///     /// An old covering.
///     pub struct RawStrip = "`strip`" {
///         covering: Text, needed "felt";
///         tip: Text;
///         layers: u32, within LAYERS;
///     }
/// }
/// ```
/// `within` names the limits of a number, in [`crate::model::limits`].
macro_rules! settings {
    ($(#[$about:meta])* pub struct $name:ident = $what:literal {
        $($(#[$doc:meta])* $field:ident: $type:ty $(, needed $example:literal)? $(, within $limit:ident)?;)*
    }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Default)]
        #[allow(missing_docs, reason = "each field is the key of the file with the same name")]
        pub struct $name {
            $($(#[$doc])* pub $field: $crate::job_file::read::reading::Slot<$type>,)*
        }

        impl $name {
            const KEYS: &'static [&'static str] = &[$(stringify!($field)),*];
        }

        impl $crate::job_file::read::reading::FromFile for $name {
            fn read<'de, D: serde::de::Deserializer<'de>>(
                at: $crate::job_file::read::reading::At<'_>,
                from: D,
            ) -> Result<$crate::job_file::read::reading::Slot<Self>, D::Error> {
                use $crate::job_file::read::reading::{At, Slot, skip};

                struct Keys<'a>(At<'a>);

                impl<'de> serde::de::Visitor<'de> for Keys<'_> {
                    type Value = $name;

                    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                        f.write_str($what)
                    }

                    fn visit_map<A: serde::de::MapAccess<'de>>(self, mut map: A) -> Result<$name, A::Error> {
                        let mut read = $name::default();
                        let mut n = 0;
                        while let Some(key) = map.next_key::<String>()? {
                            let at = self.0.child(n);
                            n += 1;
                            match key.as_str() {
                                $(stringify!($field) => {
                                    read.$field = map.next_value_seed($crate::job_file::read::settings::seed!(at $(, $limit)?))?;
                                })*
                                _ => {
                                    let meant = at.unknown(&key, $what, $name::KEYS);
                                    match meant.as_deref() {
                                        $(Some(stringify!($field)) if read.$field.is_missing() => read.$field = Slot::Bad,)*
                                        _ => {}
                                    }
                                    map.next_value::<serde::de::IgnoredAny>()?;
                                }
                            }
                        }
                        $($(if read.$field.is_missing() {
                            self.0.lacks(stringify!($field), $what, $example);
                            read.$field = Slot::Bad;
                        })?)*
                        Ok(read)
                    }
                }

                if !at.expects($crate::job_file::read::places::YamlKind::Group, $what) {
                    return skip(from);
                }
                from.deserialize_map(Keys(at)).map(Slot::Given)
            }
        }
    };
}

pub(crate) use settings;

/// What reads a setting: within limits, where it has them.
macro_rules! seed {
    ($at:expr) => {
        $crate::job_file::read::reading::Seed::at($at)
    };
    ($at:expr, $limit:ident) => {
        $crate::job_file::read::amount::Within::at($at, &$crate::model::limits::$limit)
    };
}

pub(crate) use seed;
