//! A group of settings as a struct: its keys, which of them it needs, and the limits of its numbers.
//!
//! Given the keys with their types; gives a struct that reads itself. A key that is nearly one that is known counts as
//! that one, wrongly written, and not as missing too.

/// Defines a group of settings: a struct of [`Slot`](super::reading::Slot)s that reads itself and tells unknown and missing keys.
///
/// ```text
/// settings! {
///     /// An old covering.
///     pub(crate) struct RawStrip = "`strip`" {
///         covering: Text, needed "felt";
///         tip: Text;
///         layers: u32, within LAYERS;
///     }
/// }
/// ```
/// `within` names the limits of a number, in [`crate::model::limits`]. `or short as Type` after the name gives what reads the group
/// where one value stands in its place, and how that is written: `front: drip`.
macro_rules! settings {
    ($(#[$about:meta])* pub(crate) struct $name:ident = $what:literal $(or $short:path as $short_form:ty)? {
        $($(#[$doc:meta])* $field:ident: $type:ty $(, needed $example:literal)? $(, within $limit:ident)?;)*
    }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Default)]
        #[allow(missing_docs, reason = "each field is the key of the file with the same name")]
        pub(crate) struct $name {
            $($(#[$doc])* pub $field: $crate::job_file::read::reading::Slot<$type>,)*
        }

        impl $name {
            pub(crate) const KEYS: &'static [&'static str] = &[$(stringify!($field)),*];
        }

        impl $crate::job_file::read::form::Formed for $name {
            fn form() -> $crate::job_file::read::form::Form {
                use $crate::job_file::read::form::{Form, Formed, GroupForm, KeyForm, limit_of};

                #[allow(unused_mut, unused_assignments, reason = "not every group has a short form")]
                let mut short = None;
                $(short = Some(Box::new(<$short_form as Formed>::form()));)?
                let keys = vec![$(KeyForm {
                    key: stringify!($field),
                    form: <$type as Formed>::form(),
                    needed: [$($example)?].first().copied(),
                    limit: limit_of!($($limit)?),
                }),*];
                Form::Group(Box::new(GroupForm { name: stringify!($name), keys, short }))
            }
        }

        impl $crate::job_file::read::reading::FromFile for $name {
            fn read(at: $crate::job_file::read::reading::At<'_>) -> $crate::job_file::read::reading::Slot<Self> {
                use $crate::job_file::read::reading::Slot;

                $(if at.kind() == $crate::job_file::read::places::YamlKind::Text {
                    return $short(at);
                })?
                if !at.expects_settings($name::KEYS) {
                    return Slot::Bad;
                }
                let mut read = $name::default();
                for here in at.entries() {
                    match here.key() {
                        $(stringify!($field) => {
                            let setting = $crate::job_file::read::settings::read_setting!(here $(, $limit)?);
                            // Of a key that is written twice the first counts, to which faults of its meaning point.
                            if !here.is_again() {
                                read.$field = setting;
                            }
                        })*
                        key => match here.unknown(key, $what, $name::KEYS).as_deref() {
                            $(Some(stringify!($field)) if read.$field.is_missing() => read.$field = Slot::Bad,)*
                            _ => {}
                        },
                    }
                }
                $($(if read.$field.is_missing() {
                    at.lacks(stringify!($field), $what, $example);
                    read.$field = Slot::Bad;
                })?)*
                Slot::Given(read)
            }
        }
    };
}

pub(crate) use settings;

/// Reads a setting: within limits, where it has them.
macro_rules! read_setting {
    ($at:expr) => {
        $crate::job_file::read::reading::setting($at)
    };
    ($at:expr, $limit:ident) => {
        $crate::job_file::read::amount::setting_within($at, &$crate::model::limits::$limit)
    };
}

pub(crate) use read_setting;
