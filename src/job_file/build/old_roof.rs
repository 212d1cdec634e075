//! A roof whose old laminate stays, from what the file says: its outline, its patches, what is done over the whole.
//!
//! Given the raw roof; gives the roof, and every problem in it. Whether a patch can lie where it is said is judged by the
//! layer that lays it (`takeoff::layout::patches`); where it is asked here, that is told with everything else.

use super::choices::{self, Shelf};
use super::holes::{self, pair, point};
use super::measured::{Measured, too_many};
use super::outline;
use super::roof::RoofSupplies;
use crate::job_file::raw::job::{RawLaminate, RawOldEdge, RawOldRoof, RawPatch};
use crate::job_file::raw::roof_work::{RoofWork, TrimFaces};
use crate::job_file::read::reading::{ByName, List, Slot};
use crate::job_file::read::suggest;
use crate::model::old_roof::{LaminatePatch, OldSide, OldTrim, PatchEdge, Recoat, RecoatKey};
use crate::model::shape::Joints;
use crate::model::{Edge, Finish, Hole, Length, OldRoof, Problem, Rules, SettingPath, limits};
use crate::takeoff::layout::patches;

/// Builds a roof whose laminate stays. `path` is its path in the job file.
pub(crate) fn old_roof(
    raw: RawOldRoof,
    path: &SettingPath,
    stock: RoofSupplies<'_>,
    found: &mut Vec<Problem>,
) -> Option<OldRoof> {
    let RoofSupplies { rules, products, trade, .. } = stock;
    let work = raw.work.given().copied();
    let measured = raw.outline.take().and_then(|o| outline::outline(o, &path.key("outline"), rules, found));
    let edges_said = !raw.edges.is_missing();
    let sides = measured.as_ref().and_then(|m| sides(m, raw.edges, path, found));
    let shape = match (&measured, &sides) {
        (Some(measured), Some(sides)) => super::roof::outline(bare_edges(measured, sides, path), path, found),
        _ => None,
    };
    let openings = holes::holes(raw.holes.take().unwrap_or_default(), shape.as_ref(), path, found);
    found.extend(openings.iter().flatten().filter_map(new_timber));
    found.extend(openings.iter().flatten().filter_map(measured_kerb));
    let laminate = laminate(raw.laminate, work, rules, products, path, found);
    let layers = laminate.map_or(rules.patch_layers, |l| l.1);
    let patches = patches_of(raw.patches, work, (layers, sides.as_deref()), products, path, found);
    let topcoat = raw.topcoat.take().and_then(|t| choices::topcoat(t, products, &trade.surfaces, path, found));
    let recoat = recoat(raw.trims, raw.prepare, work, edges_said, path, found);
    let roof = OldRoof {
        name: raw.name.take()?.0,
        path: path.to_owned(),
        corners: shape?.corners,
        sides: sides?,
        openings: openings?,
        mat: laminate.map_or(0, |l| l.0),
        patches: patches?,
        recoat: recoat?,
        topcoat: topcoat?,
    };
    found.extend(patches::faults(&roof, rules));
    (laminate.is_some() || roof.patches.is_empty()).then_some(roof)
}

/// An opening whose timber is new stands in a roof that is laid anew.
fn new_timber(hole: &Hole) -> Option<Problem> {
    let said = [(hole.timber.kerb, "kerb"), (hole.timber.trimmers, "trimmers")];
    let (_, key) = said.into_iter().find(|(timber, _)| timber.is_some())?;
    let fault = format!("`{}` stands in a laminate that stays: its timber stays too", hole.name);
    Some(Problem::fault(
        hole.path.key(key),
        fault,
        "take it out; where the kerb is rotten, lay the roof anew: `work: new`",
    ))
}

/// The height of an old kerb counts where the roof comes up round it.
fn measured_kerb(hole: &Hole) -> Option<Problem> {
    let fault = format!("`{}` stands in a laminate that stays: the roof does not come up round it", hole.name);
    hole.upstand.map(|_| Problem::fault(hole.path.key("upstand"), fault, "take it out"))
}

/// The measured sides with what stands at each, as far as it is said.
fn sides(
    measured: &Measured,
    raw: Slot<ByName<RawOldEdge>>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<Vec<OldSide>> {
    let path = path.key("edges");
    let bad = raw.is_bad();
    let mut given = raw.take().map(|edges| edges.0).unwrap_or_default();
    let said = !given.is_empty();
    let names: Vec<&str> = measured.sides.iter().map(|s| s.name.as_str()).collect();
    for (name, _) in given.iter().filter(|(name, _)| !names.contains(&name.as_str())).take(50) {
        let fault = format!("`{name}` is not an edge of the outline");
        found.push(Problem::fault(path.key(name.clone()), fault, suggest::cure(name, &names)));
    }
    let mut side = |s: &super::measured::MeasuredSide| {
        let entry = given.iter_mut().find(|(name, _)| *name == s.name).map(|(_, slot)| std::mem::take(slot));
        if entry.is_none() && said {
            let cure = format!("add, for example, `{}: {{finish: raised}}`, or take `edges` out", s.name);
            found.push(Problem::fault(path.clone(), format!("the edge `{}` has no finish", s.name), cure));
        }
        let finish = entry.and_then(Slot::take).and_then(|edge| edge.finish.take());
        OldSide { name: s.name.clone(), length: s.length, finish }
    };
    let sides = measured.sides.iter().map(&mut side).collect();
    (!bad).then_some(sides)
}

/// Edges on which nothing is laid anew, so that the outline and its openings are judged as any roof's are: no new trim lies
/// on another there.
fn bare_edges(measured: &Measured, sides: &[OldSide], path: &SettingPath) -> Vec<(crate::model::Point, Edge)> {
    let bare = |side: &OldSide| Edge {
        name: side.name.clone(),
        stretch: None,
        path: path.keys(["edges"]).key(side.name.clone()),
        length: side.length,
        finish: Finish::Step,
        joints: Joints::default(),
        gutter: None,
        upstand: None,
        flashing: None,
        ladder_point: None,
        overflow: None,
        box_gutter: None,
        sill: None,
        under: None,
        coping: None,
    };
    measured.points().into_iter().zip(sides.iter().map(bare)).collect()
}

/// Mat and layers of the patches; a roof without patches needs none.
fn laminate(
    raw: Slot<RawLaminate>,
    work: Option<RoofWork>,
    rules: &Rules,
    products: Option<Shelf<'_>>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<(u32, u32)> {
    let repairs = work.is_some_and(RoofWork::repairs);
    if raw.is_missing() {
        if repairs {
            let cure = "add, for example, `laminate: {mat: 450, layers: 2}`";
            found.push(Problem::fault(path.key("laminate"), "patches need `laminate`: their mat", cure));
        }
        return None;
    }
    if !repairs && work.is_some() {
        let cure = "take it out, or write `work: repair and topcoat` and give the patches";
        found.push(Problem::fault(path.key("laminate"), "a roof that is only topcoated takes no mat", cure));
        return None;
    }
    let raw = raw.take()?;
    let layers = match raw.layers {
        Slot::Missing => Slot::Given(rules.patch_layers),
        said => said,
    };
    let choice = choices::laminate(RawLaminate { layers, ..raw }, products, path, found)?;
    Some((choice.mat, choice.layers))
}

fn recoat(
    trims: Slot<TrimFaces>,
    prepare: Slot<RecoatKey>,
    work: Option<RoofWork>,
    edges_said: bool,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<Option<Recoat>> {
    if !work?.recoats() {
        for (key, missing) in [("trims", trims.is_missing()), ("prepare", prepare.is_missing())] {
            if !missing {
                let fault = format!("`{key}` is for an old laminate that is topcoated all over, and this one is not");
                let cure = "take it out, or write `work: repair and topcoat`";
                found.push(Problem::fault(path.key(key), fault, cure));
            }
        }
        return Some(None);
    }
    let trims = trims.or_taken(TrimFaces(false), || {
        found.push(Problem::assumed(
            path.key("trims"),
            "whether the faces of the trims are topcoated too is not said: they are left as they are",
            "add `trims: leave`, or `trims: topcoat`",
        ));
    });
    let key = prepare.or_taken(RecoatKey::Wipe, || {
        found.push(Problem::assumed(
            path.key("prepare"),
            "what the new topcoat holds on by is not said: the abraded face is wiped with acetone",
            "add `prepare: wipe`, or `prepare: prime` where the topcoat's data sheet wants a tie coat",
        ));
    });
    if trims.0 && !edges_said {
        let cure =
            "add, for example, `edges: {front: {finish: drip}, back: {finish: wall}, …}`, or write `trims: leave`";
        found.push(Problem::fault(
            path.key("trims"),
            "to topcoat the trims, what stands at each edge must be said",
            cure,
        ));
        return None;
    }
    Some(Some(Recoat { key, trims: trims.0 }))
}

fn patches_of(
    raw: Slot<List<RawPatch>>,
    work: Option<RoofWork>,
    of_roof: (u32, Option<&[OldSide]>),
    products: Option<Shelf<'_>>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<Vec<LaminatePatch>> {
    let place = path.key("patches");
    let missing = raw.is_missing();
    if work.is_some_and(RoofWork::repairs) && (missing || raw.given().is_some_and(Vec::is_empty)) {
        let cure = "add `patches: [{size: [0.6 m, 0.4 m]}]`, each hole as it is cut back to what is sound";
        found.push(Problem::fault(place, "a repair needs `patches`", cure));
        return None;
    }
    if work == Some(RoofWork::Topcoat) && !missing {
        let cure = "write `work: repair and topcoat`, or take `patches` out";
        found.push(Problem::fault(place, "a roof that is only topcoated has no patches", cure));
        return None;
    }
    if missing {
        return Some(Vec::new());
    }
    let list = raw.take()?;
    if too_many(list.len(), limits::PATCHES, &place, found) {
        return None;
    }
    let each = list.into_iter().enumerate();
    let read: Vec<Option<LaminatePatch>> =
        each.map(|(n, raw)| patch(raw.take()?, of_roof, products, &place.entry(n), found)).collect();
    let read: Option<Vec<LaminatePatch>> = read.into_iter().collect();
    found.extend(read.iter().flat_map(|patches| named_alike(patches)));
    read
}

/// Patches of one name: nobody could say which of them an option leaves out.
fn named_alike(patches: &[LaminatePatch]) -> Vec<Problem> {
    let again = |(n, later): (usize, &LaminatePatch)| {
        let name = later.name.as_ref()?;
        let before = patches[..n].iter().position(|p| p.name.as_ref() == Some(name))?;
        let fault = format!("patch {} is called `{name}` too", before + 1);
        Some(Problem::fault(later.path.key("name"), fault, "give each patch a name of its own, or none"))
    };
    patches.iter().enumerate().filter_map(again).collect()
}

fn patch(
    mut raw: RawPatch,
    (layers, sides): (u32, Option<&[OldSide]>),
    products: Option<Shelf<'_>>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<LaminatePatch> {
    let bad = raw.at.is_bad() || raw.deck.is_bad() || raw.at_edge.is_bad() || raw.layers.is_bad();
    let edge = match edge_of(&mut raw, sides, products, path, found) {
        Ok(edge) => edge,
        Err(AtNoEdge) => return None,
    };
    let at = match raw.at {
        Slot::Missing => None,
        said => Some(point(said.take().and_then(|l| pair(l, &path.key("at"), found))?)),
    };
    let area = raw.area.given().copied();
    let (width, depth) = match (raw.size, raw.area) {
        (Slot::Missing, Slot::Missing) => {
            let cure = "add `size: [0.6 m, 0.4 m]`, along the front and up the roof, or `area: 0.3 m2`";
            found.push(Problem::fault(path.key("size"), "a patch needs `size` or `area`", cure));
            None
        }
        (Slot::Given(_), Slot::Given(_)) => {
            found.push(Problem::fault(path.key("area"), "this patch has `size` and `area`", "keep one of the two"));
            None
        }
        (Slot::Given(size), _) => pair(size, &path.key("size"), found),
        (_, Slot::Given(area)) => Some(patches::square_of(area)),
        _ => None,
    }?;
    if at.is_some() && area.is_some() {
        let cure = "give its `size`, or take `at` out";
        found.push(Problem::fault(path.key("at"), "a patch that is known by its area alone has no place", cure));
        return None;
    }
    if area.is_some() && edge.is_some() {
        let fault = "a patch along an edge is as long as that edge is made good";
        let cure = "give its `size`: along the edge, then in from it";
        found.push(Problem::fault(path.key("area"), fault, cure));
        return None;
    }
    let deck = raw.deck.take().map(|text| text.0);
    if let (Some(key), Some(shelf)) = (&deck, products) {
        choices::board_sold(key, shelf, &path.key("deck"), found)?;
    }
    let at_edge = if edge.is_some() { width } else { raw.at_edge.take().unwrap_or(Length::ZERO) };
    let layers = raw.layers.take().unwrap_or(layers);
    let name = raw.name.take().map(|text| text.0);
    (!bad).then(|| LaminatePatch { name, path: path.to_owned(), width, depth, area, at, edge, layers, deck, at_edge })
}

/// What is said of an edge was told as a fault.
struct AtNoEdge;

/// The edge that a patch lies along, where it says one.
fn edge_of(
    raw: &mut RawPatch,
    sides: Option<&[OldSide]>,
    products: Option<Shelf<'_>>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Result<Option<PatchEdge>, AtNoEdge> {
    let (edge, from, trim) =
        (std::mem::take(&mut raw.edge), std::mem::take(&mut raw.from), std::mem::take(&mut raw.trim));
    if edge.is_bad() || from.is_bad() || trim.is_bad() {
        return Err(AtNoEdge);
    }
    let Some(name) = edge.take() else {
        let lost = [("from", from.is_missing()), ("trim", trim.is_missing())].into_iter().find(|(_, missing)| !missing);
        let Some((key, _)) = lost else { return Ok(None) };
        let fault = format!("`{key}` is for a patch along an edge, and this one names none");
        found.push(Problem::fault(path.key(key), fault, "add `edge:` with the name of that edge, or take it out"));
        return Err(AtNoEdge);
    };
    let twice = [("at", raw.at.is_missing()), ("at_edge", raw.at_edge.is_missing())].into_iter().find(|(_, m)| !m);
    if let Some((key, _)) = twice {
        let fault = format!("this patch has `edge` and `{key}`");
        let cure = "take it out: it lies along the edge, from `from` on, as long as the first of `size`";
        found.push(Problem::fault(path.key(key), fault, cure));
        return Err(AtNoEdge);
    }
    // What is wrong with the outline or its edges was told.
    let sides = sides.ok_or(AtNoEdge)?;
    let names: Vec<&str> = sides.iter().map(|s| s.name.as_str()).collect();
    let Some(side) = names.iter().position(|n| *n == name.0) else {
        let fault = format!("`{}` is not an edge of the outline", name.0);
        found.push(Problem::fault(path.key("edge"), fault, suggest::cure(&name.0, &names)));
        return Err(AtNoEdge);
    };
    let Some(finish) = sides[side].finish else {
        let cure = format!("add, for example, `edges: {{{}: {{finish: raised}}, …}}` to the roof", name.0);
        found.push(Problem::fault(path.key("edge"), format!("what stands at `{}` is not said", name.0), cure));
        return Err(AtNoEdge);
    };
    let Some(from) = from.take() else {
        let cure = "add, for example, `from: 0.8 m`, from where the edge starts, walking round anticlockwise";
        found.push(Problem::fault(path.key("edge"), "where along its edge this patch begins is not said", cure));
        return Err(AtNoEdge);
    };
    let trim = trim.take().unwrap_or(OldTrim::Stays);
    if trim != OldTrim::Stays && !matches!(finish, Finish::Drip | Finish::Raised | Finish::Wall) {
        let fault = format!("no trim stands at `{}`, which is finished `{}`", name.0, finish.word());
        found.push(Problem::fault(path.key("trim"), fault, "take `trim` out"));
        return Err(AtNoEdge);
    }
    let unsold = products.is_some_and(|shelf| trim == OldTrim::Renewed && !shelf.sizes.profiles.contains_key(&finish));
    if unsold {
        let fault = format!("no price book sells `trim.{}`", finish.word());
        let cure = "add it to the price book, or write `trim: re-bed`";
        found.push(Problem::fault(path.key("trim"), fault, cure));
        return Err(AtNoEdge);
    }
    Ok(Some(PatchEdge { side, from, finish, trim }))
}
