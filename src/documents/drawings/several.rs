//! Plans of several roofs in one document: at one scale, with one key, and none of them tiny.
//!
//! Given roofs and how one of them is drawn in a space; gives a figure for each.

use super::one_key::{KeyParts, PlanGroup, PlanKey};
use super::plan_scale::{PlanScale, SCALES};
use super::{Space, labels};
use crate::model::Point;
use crate::pages::block::Figure;
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::shape::RoofShape;

/// Draws one plan for each of some things, all at one scale: the largest at which every one fits; one that would be tiny, by its
/// corners, at a scale of its own. The key of all stands under the first that has one.
pub fn at_one_scale<T>(
    all: &[T],
    space: Space,
    corners: impl Fn(&T) -> Vec<Point>,
    key: impl Fn(&T) -> Option<KeyParts>,
    draw: impl Fn(&T, Space) -> Option<Figure>,
) -> Vec<Figure> {
    let group = PlanGroup::of(all, key);
    let plans = |keys: Vec<(f64, PlanKey)>, least: f64| -> Vec<Figure> {
        let at = |one: &T, from: f64, key: PlanKey| draw(one, Space { from, key, ..space });
        let plan = |(one, (from, key)): (&T, (f64, PlanKey))| {
            let mut own = SCALES.into_iter().filter(|of| *of >= from && *of < least);
            let fitting = |of: f64| at(one, of, key).filter(|figure| figure.scene.scale == Some(of));
            own.find_map(fitting).or_else(|| at(one, least, key))
        };
        all.iter().zip(keys).filter_map(plan).collect()
    };
    let drawn = plans(group.keys_at(vec![space.from; all.len()]), space.from);
    let same = space.like(&drawn).from;
    let scales = own_scales(all.iter().map(corners), Space { from: same, ..space });
    if scales.iter().all(|of| *of == same) && drawn.iter().all(|figure| figure.scene.scale == Some(same)) {
        return drawn;
    }
    plans(group.keys_at(scales), same)
}

/// The scales, as 1 to so much, of plans of roofs by their corners: that of the space, or a larger one for those that would be tiny
/// beside one that is not.
pub fn own_scales(roofs: impl IntoIterator<Item = Vec<Point>>, space: Space) -> Vec<f64> {
    let of_all = space.from;
    let lesser = |corners: Vec<Point>| {
        let (low, high) = labels::box_of(&PlanScale { of: 1.0 }.ring(&corners));
        f64::min(high.x - low.x, high.y - low.y)
    };
    let lesser: Vec<f64> = roofs.into_iter().map(lesser).collect();
    let is_tiny = |lesser: f64| lesser < space.least * of_all;
    let all_are = lesser.iter().all(|lesser| is_tiny(*lesser));
    let larger = |lesser: f64| SCALES.into_iter().rev().find(|of| *of < of_all && lesser >= space.legible * of);
    let own = |lesser: f64| if is_tiny(lesser) && !all_are { larger(lesser).unwrap_or(SCALES[0]) } else { of_all };
    lesser.into_iter().map(own).collect()
}

/// The narrowest that a roof is drawn on the crew's plans while there is paper for more, mm.
pub const LEAST_WIDTH: f64 = 60.0;
/// A plan is given so many times its height at most for that.
const ROOMY: [f64; 4] = [1.1, 1.2, 1.3, 1.4];

/// The same for plans of roofs on the crew's sheets: where one of them is tiny or narrow, all have more room if that makes it
/// large enough at the scale of all; only a roof that still is tiny beside a large one has a scale of its own.
pub fn wide_enough(
    roofs: &[RoofLayout],
    space: Space,
    key: impl Fn(&RoofLayout) -> Option<KeyParts>,
    draw: impl Fn(&RoofLayout, Space) -> Option<Figure>,
) -> Vec<Figure> {
    let corners = |roof: &RoofLayout| roof.shape.ring();
    let drawn = at_one_scale(roofs, space, corners, &key, &draw);
    let drawn = match alike(&drawn) && space.like(&drawn).from <= SMALLEST_USUAL {
        true => drawn,
        false => {
            let smallest = space.like(&drawn).from;
            let most = if smallest > SMALLEST_USUAL { smallest / SMALLEST_USUAL } else { MOST_LARGER };
            let larger = SCALES.into_iter().rev().filter(|of| *of < smallest && smallest <= most * of);
            let roomy = |from: f64, wider: f64| Space {
                width: f64::max(space.width, ACROSS.min(wider * space.width)),
                height: wider.min(ROOMY[ROOMY.len() - 1]) * space.height,
                from,
                ..space
            };
            let spaces = larger.flat_map(|from| WIDER.into_iter().map(move |wider| roomy(from, wider)));
            let mut all = spaces.map(|space| at_one_scale(roofs, space, corners, &key, &draw));
            all.find(|figures| alike(figures)).unwrap_or(drawn)
        }
    };
    let wide = |figures: &[Figure]| {
        let space = space.like(figures);
        let of = space.from;
        let scales = own_scales(roofs.iter().map(corners), space);
        roofs.iter().zip(scales).all(|(roof, own)| own < of || across(&roof.shape) >= LEAST_WIDTH * of)
    };
    if wide(&drawn) {
        return drawn;
    }
    let roomy = ROOMY
        .into_iter()
        .map(|times| at_one_scale(roofs, Space { height: times * space.height, ..space }, corners, &key, &draw));
    roomy.into_iter().find(|figures| wide(figures)).unwrap_or(drawn)
}

/// Whether plans are drawn at one scale.
fn alike(figures: &[Figure]) -> bool {
    figures.windows(2).all(|two| two[0].scene.scale == two[1].scene.scale)
}

/// Plans are drawn so much larger at most that none of them needs a scale of its own, each in as little more room as will do, no
/// wider than a page, pt.
const MOST_LARGER: f64 = 1.5;
/// A roof is drawn at a smaller scale than 1 to this only where it does not fit its page at that.
const SMALLEST_USUAL: f64 = 100.0;
const WIDER: [f64; 4] = [1.0, 1.15, 1.3, 2.0];
const ACROSS: f64 = 505.0;

/// How wide a roof is on plan, mm.
pub fn across(shape: &RoofShape) -> f64 {
    across_ring(&shape.ring())
}

/// The same of an outline by its corners.
pub fn across_ring(ring: &[Point]) -> f64 {
    let xs = || ring.iter().map(|p| p.x);
    (xs().max().unwrap_or(0) - xs().min().unwrap_or(0)) as f64
}
