//! The words that a job may use and that stand for figures: looked up, and added to by the firm.
//!
//! Given a word of the job, or the firm's own lists; gives the entry, or the problem with the nearest word that is
//! known. Case and plural are forgiven by suggestion only: a word that is nearly known is never taken for it in silence.

use crate::job_file::raw::firm::{RawCovering, RawFirm, RawSurface, RawTip};
use crate::job_file::read::reading::Slot;
use crate::job_file::read::suggest;
use crate::model::Role;
use crate::model::covering::OldWaste;
use crate::model::surface::{Aggregate, Figures, SMOOTH};
use crate::model::trade::{self, Keyed};
use crate::model::words::capital;
use crate::model::{Covering, Mass, Problem, SettingPath, Surface, Tipping, Trade};
use crate::pricing::terms::Load;

/// Looks a word of the job up. `what` it should be, and `list` where a firm adds its own.
pub(crate) fn named<T: Keyed + Clone>(
    word: &str,
    known: &[T],
    (what, list): (&str, &str),
    path: impl Into<SettingPath>,
    found: &mut Vec<Problem>,
) -> Option<T> {
    let entry = trade::find(known, word).cloned();
    if entry.is_none() {
        let keys: Vec<&str> = known.iter().map(Keyed::key).collect();
        let cure = match suggest::nearest(word, &keys) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("write {}, or add your own to `{list}` in the firm file", suggest::words(&keys, "or")),
        };
        let word: String = word.chars().take(60).collect();
        found.push(Problem::fault(path.into(), format!("`{word}` is not {what}"), cure));
    }
    entry
}

/// What the firm adds to the words of the trade, and what its own loads cost.
pub(crate) fn of_firm(raw: &mut RawFirm, found: &mut Vec<Problem>) -> (Trade, Vec<Load>) {
    let (mut trade, mut loads) = (Trade::default(), Vec::new());
    each(std::mem::take(&mut raw.coverings), "coverings", found, |raw, _, _| {
        let entry = covering(raw)?;
        let key = entry.key.clone();
        trade::put(&mut trade.coverings, entry);
        Some(key)
    });
    each(std::mem::take(&mut raw.tips), "tips", found, |raw, (n, _), _| {
        let (entry, load) = tip(raw, n)?;
        let key = entry.key.clone();
        trade::put(&mut trade.tips, entry);
        loads.push(load);
        Some(key)
    });
    each(std::mem::take(&mut raw.surfaces), "surfaces", found, |raw, (_, path), found| {
        let entry = surface(raw, path, found)?;
        let key = entry.key.clone();
        trade::put(&mut trade.surfaces, entry);
        Some(key)
    });
    (trade, loads)
}

/// Reads every entry of a list; a key that stands twice is refused.
fn each<R>(
    list: Slot<Vec<Slot<R>>>,
    name: &'static str,
    found: &mut Vec<Problem>,
    mut read: impl FnMut(R, (usize, &SettingPath), &mut Vec<Problem>) -> Option<String>,
) {
    let mut keys: Vec<String> = Vec::new();
    for (n, raw) in list.take().unwrap_or_default().into_iter().enumerate() {
        let path = SettingPath::from([name]).entry(n);
        let Some(key) = raw.take().and_then(|raw| read(raw, (n, &path), found)) else { continue };
        if keys.contains(&key) {
            let fault = format!("`{key}` stands twice in `{name}`");
            found.push(Problem::fault(path.key("key"), fault, "give each entry its own key"));
        }
        keys.push(key);
    }
}

fn covering(raw: RawCovering) -> Option<Covering> {
    let words = raw.words.take();
    let waste = raw.waste.take().and_then(|w| Some((w.code.take()?.0, w.how.take()?.0)));
    let volume = raw.volume.take().map(|v| v.0);
    let mass = raw.mass.take().map(|m| m.0);
    let hours = raw.hours.take().map(|h| h.0);
    let (words, (code, how)) = (words?.0, waste?);
    let what = capital(&format!("old {words}"));
    Some(Covering {
        key: raw.key.take()?.0,
        words,
        volume: volume?,
        mass: Mass::kg(mass?),
        hours: Some(hours?),
        on_boards: false,
        waste: OldWaste { what, code, how },
        own: true,
    })
}

fn tip(raw: RawTip, n: usize) -> Option<(Tipping, Load)> {
    let holds = raw.holds.take().map(|v| v.0);
    let bears = raw.bears.take();
    let loads = raw.loads.take().map(|l| l.0);
    let key = raw.key.take()?.0;
    let load = Load::of_list(n, &key, raw.cost.take()?, holds?, bears);
    let load_words = (raw.load.take()?.0, loads?);
    Some((Tipping { key, words: raw.words.take()?.0, crew: raw.crew.take()?.0, load: load_words, by_firm: true }, load))
}

fn surface(raw: RawSurface, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Surface> {
    let role = raw.role.take().map(|t| t.0);
    let rate = raw.rate.take().map(|r| r.0);
    let topcoat = raw.topcoat.take().map(|p| p.0);
    let hours = raw.hours.take().map(|h| h.0);
    let sold = role.as_deref().and_then(Role::parse).filter(|r| matches!(r, Role::Aggregate(_)));
    if let (Some(role), None) = (&role, &sold) {
        let fault = format!("`{role}` is not the role of an aggregate");
        let cure = "write, for example, `role: aggregate.coarse`, as an article of your price book has it";
        found.push(Problem::fault(path.key("role"), fault, cure));
    }
    let key = raw.key.take()?.0;
    if key == SMOOTH {
        let cure = "give your surface a key of its own: `smooth` is one coat without aggregate";
        found.push(Problem::fault(path.key("key"), "`smooth` has no figures that could be replaced", cure));
    }
    let own = Some(Figures { rate: rate?, topcoat: topcoat?, hours: hours? });
    let aggregate = Aggregate { role: sold?, grade: raw.grade.take()?.0, own };
    Some(Surface { key, words: raw.words.take()?.0, aggregate: Some(aggregate) })
}
