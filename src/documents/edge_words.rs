//! What quote and method statement say of edges that have more to them than a finish: tiles or slates above, door sills, parapets.
//!
//! Given the edges of a roof as they were surveyed, or its sides as laid out; gives a few words for each, in their order. A
//! sentence round them stands in a template.

use super::drawings::sections;
use crate::model::job::By;
use crate::model::{Cover, Edge, Finish, Flashing, Length, UnderTiles};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::flashings::{Chase, FlashedPlace, WallFlashing, parapets_against};
use crate::takeoff::layout::shape::{CopedWall, RoofShape, Side, SillDetail};

/// `front (5.20 m)`, for each edge of that finish.
pub fn of_finish(shape: &RoofShape, finish: Finish) -> Vec<String> {
    let words = |s: &Side| format!("{} ({})", s.label, super::wording::metres(s.run));
    shape.sides.iter().filter(|s| s.finish == finish).map(words).collect()
}

/// `front and back`: some sides by their names.
pub fn names(sides: &[&Side]) -> String {
    super::wording::list(&sides.iter().map(|s| s.label.clone()).collect::<Vec<_>>())
}

/// `on the left, 1.20 m from the back`, for the middle of each ladder point.
pub fn ladder_points(edges: &[Edge], shape: &RoofShape) -> Vec<String> {
    let stands = |(i, (edge, side)): (usize, (&Edge, &Side))| {
        let middle = super::wording::metres(edge.ladder_point?);
        Some(format!("{}, {middle} from {}", super::wording::at(&side.label), shape.start_of(i)))
    };
    edges.iter().zip(&shape.sides).enumerate().filter_map(stands).collect()
}

/// `4 courses of slates at the back`, for each edge whose tiles or slates somebody lifts.
pub fn lifted<'a>(edges: impl IntoIterator<Item = &'a Edge>, by: By) -> Vec<String> {
    let words = |(edge, tiles): (&Edge, &UnderTiles)| {
        let courses = super::wording::plural(tiles.courses as usize, "course", "courses");
        format!("{courses} of {} at the {}", tiles.covering.words(), edge.label())
    };
    tiled(edges).filter(|(_, tiles)| tiles.by == by).map(words).collect()
}

/// `slates at the back: gauge 200 mm, laminate 300 mm up the slope`, for each edge under tiles or slates.
pub fn gauges<'a>(edges: impl IntoIterator<Item = &'a Edge>) -> Vec<String> {
    let words = |(edge, tiles): (&Edge, &UnderTiles)| {
        let (covering, label) = (tiles.covering.words(), edge.label());
        format!("{covering} at the {label}: gauge {}, laminate {} up the slope", tiles.gauge, tiles.up)
    };
    tiled(edges).map(words).collect()
}

/// `300 mm`, or several where edges differ: how far up the slope the roof is carried.
pub fn up_the_slope<'a>(edges: impl IntoIterator<Item = &'a Edge>) -> Vec<String> {
    super::wording::once(tiled(edges).map(|(_, tiles)| tiles.up.to_string()))
}

fn tiled<'a>(edges: impl IntoIterator<Item = &'a Edge>) -> impl Iterator<Item = (&'a Edge, &'a UnderTiles)> {
    edges.into_iter().filter_map(|e| Some((e, e.under.as_ref()?)))
}

/// `left and right: chase 201 mm above the roof, lead flashing 240 mm wide`, for all flashings that are cut in alike; and the
/// pieces of it that lie over the ends of parapets.
pub fn chases(layout: &RoofLayout, lap: Length) -> Vec<String> {
    let said = |cut: &WallFlashing| (chase(cut) + &over_parapets(cut, layout, lap), cut.name(&layout.shape).to_owned());
    let told = |(words, names): (String, Vec<String>)| format!("{}: {words}", super::wording::list(&names));
    alike(layout.flashings.iter().map(said)).into_iter().map(told).collect()
}

/// `lead flashing 180 mm wide at back`: what is cut in, with what it is cut in at.
pub fn strips(layout: &RoofLayout) -> Vec<String> {
    let said = |cut: &WallFlashing| {
        let wide = cut.sold.map_or_else(String::new, |sold| format!(" {sold} wide"));
        (format!("{}{wide}", cut.kind.words()), cut.name(&layout.shape).to_owned())
    };
    at_places(layout.flashings.iter().map(said))
}

/// `half-round 112 mm at front`: the gutters that hang along drip edges.
pub fn hung_gutters(edges: &[Edge], shape: &RoofShape) -> Vec<String> {
    let drips = edges.iter().zip(&shape.sides).filter(|(_, side)| side.finish == Finish::Drip);
    at_places(drips.filter_map(|(edge, side)| Some((edge.gutter.as_ref()?.words(), side.label.clone()))))
}

/// `half-round 112 mm at front and left`, for what is said of places.
fn at_places(said: impl Iterator<Item = (String, String)>) -> Vec<String> {
    let told = |(words, places): (String, Vec<String>)| format!("{words} at {}", super::wording::list(&places));
    alike(said).into_iter().map(told).collect()
}

/// Words, each once with the names of all that they are said of.
fn alike(said: impl Iterator<Item = (String, String)>) -> Vec<(String, Vec<String>)> {
    let mut alike: Vec<(String, Vec<String>)> = Vec::new();
    for (words, name) in said {
        match alike.iter_mut().find(|(same, _)| *same == words) {
            Some((_, names)) => names.push(name),
            None => alike.push((words, vec![name])),
        }
    }
    alike
}

/// The walls of a roof at which no new flashing is cut in, by their labels.
pub fn unflashed(edges: &[Edge], shape: &RoofShape) -> Vec<String> {
    let bare = edges.iter().zip(&shape.sides).filter(|(edge, _)| edge.flashing == Some(Flashing::None));
    bare.filter(|(_, side)| side.may_be_flashed()).map(|(_, side)| side.label.clone()).collect()
}

/// How high a flashing is cut in, and how wide its strip is.
fn chase(cut: &WallFlashing) -> String {
    let Chase { at, most, surveyed, steps } = cut.chase;
    let high = match (surveyed, cut.chase.is_level(), steps) {
        (true, true, _) => format!("{at} above the roof"),
        (true, false, 0) => format!("{at} above the roof at the top of its fall, {most} at its foot"),
        (true, false, _) => {
            format!("{at} above the roof at the top of its fall, stepped down a course before it is over {most}")
        }
        (false, _, _) => format!("{at} to {most} above the roof"),
    };
    let wide = cut.sold.map_or_else(String::new, |sold| sections::strip_width(sold, cut.width));
    format!("chase {high}, {}{wide}", cut.kind.words())
}

/// `; over the ends of the parapets at left and right a piece 326 mm long each`; nothing where none ends against its wall.
fn over_parapets(cut: &WallFlashing, layout: &RoofLayout, lap: Length) -> String {
    let FlashedPlace::Side(i) = cut.place else { return String::new() };
    let ends = parapets_against(&layout.shape, i);
    let long = |(_, across): &(&str, Length)| (*across + lap).to_string();
    let lengths = super::wording::list(&super::wording::once(ends.iter().map(long)));
    let mut at: Vec<String> = ends.iter().map(|(label, _)| (*label).to_owned()).collect();
    at.sort();
    let at = super::wording::list(&at);
    let high = ", its chase above the laminate that is turned up there";
    match ends.len() {
        0 => String::new(),
        1 => {
            format!("; over the end of the parapet at {at}, once that is covered, one more piece, {lengths} long{high}")
        }
        _ => format!(
            "; over the ends of the parapets at {at}, once those are covered, one more piece each, {lengths} long{high}"
        ),
    }
}

/// `the back (2) (1.80 m wide, 165 mm left)`, for each door sill with such a detail, or with any.
pub fn sills(shape: &RoofShape, detail: Option<SillDetail>) -> Vec<String> {
    let of = |side: &Side| {
        let sill = side.sill.filter(|sill| detail.is_none_or(|wanted| wanted == sill.detail))?;
        let wide = super::wording::metres(side.run);
        Some(format!("{} ({wide} wide, {} under the sill)", side.label, sill.left))
    };
    shape.sides.iter().filter_map(of).collect()
}

/// `right (2.90 m, 262 mm above the roof, 215 mm thick)`, for each wall that the roof is carried over; of those that are alike once,
/// `right and left (each 2.90 m`.
pub fn parapets(shape: &RoofShape) -> Vec<String> {
    let said = |(side, wall): (&Side, CopedWall)| {
        let long = top_length(side, &wall, "along its outer edge");
        (format!("{long}, {} above the roof, {} thick", wall.left, wall.width), side.label.clone())
    };
    let told = |(sizes, at): (String, Vec<String>)| {
        let each = if at.len() > 1 { "each " } else { "" };
        format!("{} ({each}{sizes})", super::wording::list(&at))
    };
    alike(coped(shape).map(said)).into_iter().map(told).collect()
}

/// `right (2.90 m)`, for each of them that is covered so, or in any way, by the firm or by others.
pub fn copings(shape: &RoofShape, cover: Option<Cover>, by: By) -> Vec<String> {
    let wanted = |wall: &CopedWall| wall.by == by && cover.is_none_or(|cover| cover == wall.cover);
    let of = |(side, wall): (&Side, CopedWall)| format!("{} ({})", side.label, top_length(side, &wall, "outside"));
    coped(shape).filter(|(_, wall)| wanted(wall)).map(of).collect()
}

/// `right`, for each wall that the roof is carried over: all of them, or those that are covered so, by the firm or by others.
pub fn coped_names(shape: &RoofShape, cover: Option<Cover>, by: Option<By>) -> Vec<String> {
    let wanted = |wall: &CopedWall| by.is_none_or(|by| by == wall.by) && cover.is_none_or(|cover| cover == wall.cover);
    coped(shape).filter(|(_, wall)| wanted(wall)).map(|(side, _)| side.label.clone()).collect()
}

/// `Each stands 251 mm above the new roof at its highest, is 215 mm thick and 3.236 m long along its outer edge.`, in one sentence
/// for walls that are alike, else one for each.
pub fn parapet_sizes(shape: &RoofShape) -> String {
    let of = |(side, wall): (&Side, CopedWall)| {
        let long = super::wording::metres(wall.long);
        let at = if wall.long == side.run { "" } else { " along its outer edge" };
        let (left, width) = (wall.left, wall.width);
        let sizes =
            format!("stands {left} above the new roof where that is highest, is {width} thick and {long} long{at}.");
        (side.label.clone(), sizes)
    };
    let all: Vec<(String, String)> = coped(shape).map(of).collect();
    match all.as_slice() {
        [] => String::new(),
        [(_, sizes)] => format!("It {sizes}"),
        [(_, first), rest @ ..] if rest.iter().all(|(_, sizes)| sizes == first) => format!("Each {first}"),
        _ => sizes_of_each(shape),
    }
}

/// The same of walls of different sizes, the words once for all of them.
fn sizes_of_each(shape: &RoofShape) -> String {
    let of = |(side, wall): (&Side, CopedWall)| {
        let long = top_length(side, &wall, "along its outer edge");
        format!("{} {}, {} and {long}", side.label, wall.left, wall.width)
    };
    let all: Vec<String> = coped(shape).map(of).collect();
    format!(
        "How high each stands above the new roof where that is highest, how thick and how long it is: {}.",
        all.join("; ")
    )
}

/// `2.90 m`; `3.236 m outside` where its outer edge is not as long as the side of the roof that a plan tells.
fn top_length(side: &Side, wall: &CopedWall, at: &str) -> String {
    let long = super::wording::metres(wall.long);
    if wall.long == side.run { long } else { format!("{long} {at}") }
}

fn coped(shape: &RoofShape) -> impl Iterator<Item = (&Side, CopedWall)> {
    shape.sides.iter().filter_map(|side| Some((side, side.coped?)))
}
