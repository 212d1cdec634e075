//! The warnings that a job silences.
//!
//! Given the entries of `silence`; gives them with their places. One warning is silenced once: two reasons would be two
//! opinions.

use super::measured::too_many;
use crate::job_file::raw::job::RawSilence;
use crate::job_file::read::reading::{List, Slot};
use crate::model::silence::{Silence, Silences};
use crate::model::{Problem, SettingPath, Warned, limits};

/// What is silenced.
pub(crate) fn silences(raw: List<RawSilence>, found: &mut Vec<Problem>) -> Silences {
    if too_many(raw.len(), limits::SILENCES, ["silence"], found) {
        return Silences::default();
    }
    let mut silences: Vec<Silence> = Vec::new();
    for (n, raw) in raw.into_iter().enumerate() {
        let path = SettingPath::from(["silence"]).entry(n).key("warning");
        let Some((warned, because)) = said(raw) else { continue };
        if silences.iter().any(|s| s.warned == warned) {
            let fault = format!("`{}` is silenced twice", warned.name());
            found.push(Problem::fault(path, fault, "keep one of the two, with its reason"));
            continue;
        }
        silences.push(Silence { warned, because, path });
    }
    Silences(silences)
}

fn said(raw: Slot<RawSilence>) -> Option<(Warned, String)> {
    let raw = raw.take()?;
    Some((raw.warning.take()?, raw.because.take()?.0))
}
