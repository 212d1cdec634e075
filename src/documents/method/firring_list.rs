//! Which joist takes which firring: each size with how many of it, and the numbers of its joists.
//!
//! Given what was worked; gives a table over all roofs, and from where joists are counted. Depths go from the low end to the
//! high one.

use super::super::cells::{cell, group, left, plain, strong, wide};
use super::super::{WholeJob, wording};
use crate::model::{Length, Roof};
use crate::pages::block::{Row, Table};
use crate::takeoff::layout::joist_numbers::number_at;
use crate::takeoff::layout::timber::TimberKind;
use crate::takeoff::layout::{DeckLayout, Firring, RoofLayout, falls, firring_kinds};
use std::collections::BTreeSet;

/// Every size of firring with its joists, in their order; nothing where each joist takes the same.
pub(super) fn table(worked: &WholeJob<'_>) -> Option<Table> {
    let several = worked.job.roofs.len() > 1;
    let rows = firred(worked).flat_map(|(roof, laid)| {
        let name = several.then(|| group(format!("{}, {}", roof.name, joists(roof, laid)), COLUMNS));
        name.into_iter().chain(of_roof(roof, laid))
    });
    let rows: Vec<Row> = rows.collect();
    let columns = vec![left("Firrings"), left("Length, mm"), left("Depth, mm"), wide("On joist", 1)];
    (!rows.is_empty()).then_some(Table { columns, rows, header: true })
}

const COLUMNS: usize = 4;

/// `14 joists`: how many are counted, so that whoever counts them on the roof sees whether he missed one.
fn joists(roof: &Roof, laid: &RoofLayout) -> String {
    let last = |deck: &DeckLayout| deck.joists.iter().map(|(at, _)| number_at(deck, roof.joists.run, *at)).max();
    wording::plural(laid.deck.as_ref().and_then(last).unwrap_or_default(), "joist", "joists")
}

/// `14 joists counted from the left`, or `joists counted from the left (Garage) and from the front (Store)`: from where the joists
/// under firrings are counted; how many stands at the name of each roof where there are several.
pub(super) fn counted(worked: &WholeJob<'_>) -> String {
    let all: Vec<(&str, &str)> =
        firred(worked).map(|(roof, _)| (wording::counted_from(roof.joists.run), roof.name.as_str())).collect();
    let ways = wording::once(all.iter().map(|(way, _)| (*way).to_owned()));
    let with_roofs = |way: &String| {
        let names: Vec<String> = all.iter().filter(|(w, _)| w == way).map(|(_, name)| (*name).to_owned()).collect();
        format!("{way} ({})", wording::list(&names))
    };
    let ways = match ways.as_slice() {
        [one] => one.clone(),
        several => wording::list(&several.iter().map(with_roofs).collect::<Vec<_>>()),
    };
    let mut firred = firred(worked);
    match (firred.next(), firred.next()) {
        (Some((roof, laid)), None) => format!("{} counted {ways}", joists(roof, laid)),
        _ => format!("joists counted {ways}"),
    }
}

/// The roofs on which firrings of several sizes are fixed: where all are alike each joist takes the same.
fn firred<'a>(worked: &WholeJob<'a>) -> impl Iterator<Item = (&'a Roof, &'a RoofLayout)> {
    worked.job.roofs.iter().zip(&worked.take_off.roofs).filter(|(_, laid)| firring_kinds(&laid.firrings).len() > 1)
}

/// Whether there is a list: some roof's firrings are of several sizes.
pub(super) fn is_listed(worked: &WholeJob<'_>) -> bool {
    firred(worked).next().is_some()
}

fn of_roof(roof: &Roof, laid: &RoofLayout) -> Vec<Row> {
    let row = |(size @ [length, low, high], count): ([Length; 3], usize)| {
        let alike = laid.firrings.iter().filter(|f| [f.length, f.low_depth, f.high_depth] == size);
        let depth = if low == high { low.as_mm().to_string() } else { format!("{}–{}", low.as_mm(), high.as_mm()) };
        let cells = [count.to_string(), length.as_mm().to_string(), depth];
        let (packing, on_joists): (Vec<&Firring>, Vec<&Firring>) = alike.partition(|f| f.packs.is_some());
        let on: BTreeSet<usize> = on_joists.into_iter().map(|f| number(roof, laid, f)).collect();
        let first = on.first().copied().unwrap_or(usize::MAX);
        let on = numbers(&on);
        let beside = packing.into_iter().filter_map(|f| f.packs).map(|(hole, kind)| {
            let opening = laid.shape.holes.get(hole).map_or("", |h| h.name.as_str());
            if kind == TimberKind::Side { format!("side, {opening}") } else { format!("trimmer, {opening}") }
        });
        let on: Vec<String> = Some(on).filter(|on| !on.is_empty()).into_iter().chain(wording::once(beside)).collect();
        (first, plain(cells.into_iter().map(cell).chain([strong(on.join("; "))]).collect()))
    };
    let mut rows: Vec<(usize, Row)> = firring_kinds(&laid.firrings).into_iter().rev().map(row).collect();
    rows.sort_by_key(|(first, _)| *first);
    rows.into_iter().map(|(_, row)| row).collect()
}

/// `Joist 1: no firring; packed up 2 mm`: the joists of the list's roofs that take none.
pub(super) fn without(worked: &WholeJob<'_>) -> Vec<String> {
    of_bare_joists(worked, |joist, up| {
        let left = if up > Length::ZERO { format!("; packed up {up}") } else { String::new() };
        Some(format!("{joist}: no firring{left}"))
    })
}

/// `Joist 1 takes packers of 2 mm`: those of them that are packed up.
pub(super) fn packed(worked: &WholeJob<'_>) -> Vec<String> {
    of_bare_joists(worked, |joist, up| (up > Length::ZERO).then(|| format!("{joist} takes packers of {up}")))
}

/// What is said of each joist of the list's roofs that takes no firring, by its name and how far it lies too low.
fn of_bare_joists(worked: &WholeJob<'_>, say: impl Fn(&str, Length) -> Option<String>) -> Vec<String> {
    let several = worked.job.roofs.len() > 1;
    let of = |(roof, laid): (&Roof, &RoofLayout)| -> Vec<String> {
        let name = if several { format!("{}, joist", roof.name) } else { "Joist".to_owned() };
        let bare = falls::without_firring(&laid.shape, roof, worked.rules);
        bare.iter().filter_map(|f| say(&format!("{name} {}", number(roof, laid, f)), f.high_depth)).collect()
    };
    firred(worked).flat_map(of).collect()
}

/// The number of the joist that a firring lies on.
fn number(roof: &Roof, laid: &RoofLayout, firring: &Firring) -> usize {
    laid.deck.as_ref().map_or(0, |deck| number_at(deck, roof.joists.run, firring.from))
}

/// `1 to 4, 7 and 9`: numbers in their order, three and more that follow one another as one.
fn numbers(on: &BTreeSet<usize>) -> String {
    let all: Vec<usize> = on.iter().copied().collect();
    let part = |run: &[usize]| match run {
        [first, _, .., last] => vec![format!("{first} to {last}")],
        few => few.iter().map(usize::to_string).collect(),
    };
    wording::list(&all.chunk_by(|a, b| a + 1 == *b).flat_map(part).collect::<Vec<_>>())
}
