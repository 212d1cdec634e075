//! What a job says for all its roofs, or a roof for itself: what comes off, asbestos, who flashes, the weather.
//!
//! Given the raw answers and where they stand; gives them, each old covering and way to tip as an entry with figures. A
//! roof that says nothing has the job's answer: nothing is taken here.

use super::trade;
use crate::job_file::raw::job::{RawConditions, RawOwnStrip, RawRoof, RawStrip};
use crate::model::as_found::{Answer, Conditions, OldBoards, OwnStrip, RoofOwn, Strip};
use crate::model::shape::DeckAction;
use crate::model::{Covering, Problem, Roof, SettingPath, Trade, Warned};

/// What to do where asbestos may be.
pub(crate) const SURVEY_FIRST: &str =
    "have it surveyed before anything is ordered or disturbed, then write `asbestos: yes` or `asbestos: no`";

/// What a roof says of itself.
pub(crate) fn own(raw: &mut RawRoof, trade: &Trade, path: &SettingPath, found: &mut Vec<Problem>) -> RoofOwn {
    let asbestos = std::mem::take(&mut raw.asbestos).take();
    if asbestos == Some(Answer::NotKnown) {
        let fault = "whether there is asbestos on this roof is not known: it counts as yes";
        found.push(Problem::warning(Warned::Asbestos, path.key("asbestos"), fault, SURVEY_FIRST));
    }
    let strip = std::mem::take(&mut raw.strip).take().and_then(|raw| match raw {
        RawOwnStrip::Nothing => Some(OwnStrip::Nothing),
        RawOwnStrip::Strip(raw) => {
            strip(raw, trade, &path.key("strip"), found).map(|strip| OwnStrip::Strip(Box::new(strip)))
        }
    });
    let conditions = std::mem::take(&mut raw.conditions).take();
    RoofOwn {
        strip,
        asbestos,
        flashing: std::mem::take(&mut raw.flashing).take(),
        conditions: conditions.map(conditions_of_roof),
    }
}

/// What comes off and how it leaves, each a word that has figures.
pub(crate) fn strip(raw: RawStrip, trade: &Trade, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Strip> {
    let is_none = |word: &str| ["none", "nothing", "no"].contains(&word);
    if let Some(word) = raw.covering.given().filter(|word| is_none(&word.0)) {
        let fault = format!("`{}` is not an old covering", word.0);
        found.push(Problem::fault(
            path.key("covering"),
            fault,
            "where nothing comes off, write `strip: nothing`, on one roof or for the whole job",
        ));
        return None;
    }
    let covering = raw.covering.take().and_then(|word| {
        let list = ("an old covering", "coverings");
        trade::named(&word.0, &trade.coverings, list, path.key("covering"), found)
    });
    let tip = raw
        .tip
        .take()
        .and_then(|word| trade::named(&word.0, &trade.tips, ("a way to take it away", "tips"), path.key("tip"), found));
    Some(Strip { covering: covering?, tip: tip?, boards: raw.boards.take() })
}

/// Gives each new deck the thickness of the old boards that are lifted for it, and holds what is said of them against what
/// becomes of each deck. `of_job` is what comes off where a roof says nothing of its own.
pub(crate) fn old_boards(roofs: &mut [Roof], of_job: Option<&Strip>, found: &mut Vec<Problem>) {
    let mut unsaid: Vec<(SettingPath, &Covering)> = Vec::new();
    for roof in roofs {
        let (path, strip) = match &roof.own.strip {
            Some(OwnStrip::Nothing) => continue,
            Some(OwnStrip::Strip(own)) => (roof.path.key("strip"), Some(&**own)),
            None => (["strip"].into(), of_job),
        };
        let Some(strip) = strip else { continue };
        roof.deck.lifted = strip.boards_off().filter(|_| roof.deck.action == DeckAction::New);
        match (strip.boards, roof.deck.action) {
            (None, DeckAction::New) if unsaid.iter().all(|(told, _)| *told != path) => {
                unsaid.push((path, &strip.covering))
            }
            (Some(OldBoards::Lifted(_)), DeckAction::Keep | DeckAction::Overlay) => {
                let fault = format!("the deck of {} stays: its boards cannot be lifted", roof.name);
                let cure = "take `boards` out, or write `deck: {action: new}`; where only some roofs get a new deck, give \
                            each a `strip` of its own";
                found.push(Problem::fault(path.key("boards"), fault, cure));
            }
            _ => {}
        }
    }
    for (path, covering) in unsaid {
        let cure = "add `boards: 18 mm` (how thick they are) under `strip` where they are lifted, or `boards: none` where the joists \
                    stand bare; where they stay under the new ones, write `deck: {action: overlay, …}`";
        let path = path.key("boards");
        found.push(if covering.on_boards {
            let fault = format!(
                "the deck is new, and the old {} lies on boards of which nothing is said: to lift and tip them is not priced",
                covering.words
            );
            Problem::warning(Warned::OldBoards, path, fault, cure)
        } else {
            let fault = "the deck is new, and what becomes of the old boards is not said: they are taken not to be there, and to \
                         lift and tip them is not priced";
            Problem::assumed(path, fault, cure)
        });
    }
}

/// Tells of box gutters that may be there now on a roof of which nothing comes off. `of_job` is what comes off where a roof
/// says nothing of its own.
pub(crate) fn old_gutters(roofs: &[Roof], of_job: Option<&Strip>, found: &mut Vec<Problem>) {
    for roof in roofs {
        let strips = roof.own.strip.as_ref().map_or(of_job.is_some(), |own| matches!(own, OwnStrip::Strip(_)));
        for edge in roof.outline.edges.iter().filter(|edge| !strips && edge.has_old_gutter()) {
            let fault = format!(
                "nothing comes off {}, and whether an old box gutter comes out at `{}` is not said: to take it out is not priced",
                roof.name,
                edge.label()
            );
            let cure = "write `new: yes` in `box_gutter` where none was there; else say what comes off under `strip`: its lining \
                        and boards go with that";
            found.push(Problem::assumed(edge.path.keys(["box_gutter", "new"]), fault, cure));
        }
    }
}

/// The weather as it is said for all roofs.
pub(crate) fn conditions(raw: RawConditions, path: &SettingPath, found: &mut Vec<Problem>) -> Conditions {
    if raw.surface.is_missing() && raw.air.given().is_some() && raw.humidity.given().is_some() {
        found.push(Problem::assumed(
            path.key("surface"),
            "the temperature of the surface is not said: whether it is far enough above the dew point stays open",
            "measure the roof itself and add, for example, `surface: 9 C`",
        ));
    }
    conditions_of_roof(raw)
}

/// The weather as a roof says it: what is left out is the job's.
fn conditions_of_roof(raw: RawConditions) -> Conditions {
    Conditions {
        air: raw.air.take().map(|c| c.0),
        humidity: raw.humidity.take().map(|p| p.0),
        surface: raw.surface.take().map(|c| c.0),
        night_low: raw.night_low.take().map(|c| c.0),
        moisture: raw.moisture.take().map(|p| p.0),
        dry_hours: raw.dry_hours.take().map(|h| h.0),
    }
}
