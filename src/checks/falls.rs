//! Whether the fall is steep enough, and the upstand at walls high enough once the deck is built up.
//!
//! Given a roof and its shape; gives warnings. A firring is as deep at a wall as the roof is high there, with its toe, and
//! takes that much off the upstand.

use crate::model::products::Board;
use crate::model::{Finish, Problem, Roof, RoofFall, Rules, SettingPath, Warned};
use crate::takeoff::layout::Firring;
use crate::takeoff::layout::falls::{built_up_words, upstand_left};
use crate::takeoff::layout::shape::RoofShape;
use rust_decimal::Decimal;

/// The steepest pitch that BS 6229 still calls a flat roof is 10 degrees (from memory): 1 in 5.67.
const STEEPEST: (i64, u32) = (567, 2);

/// Warns of a fall that is too flat, or too steep to be one of a flat roof. One that is to be made is held to what must be
/// designed for, so that enough is left of it; one that is there, as it was measured, to what must be left. Asked when the
/// job is read, so that it is told with everything else that is wrong there. `path` is that of the roof.
pub fn steepness(fall: RoofFall, rules: &Rules, path: &SettingPath) -> Option<Problem> {
    let known = fall.known()?;
    let warn = |fault: String, cure: &str| Some(Problem::warning(Warned::Fall, path.key("fall"), fault, cure));
    if known.run < Decimal::new(STEEPEST.0, STEEPEST.1) {
        return warn(
            format!(
                "a fall of {known} is steeper than 10 degrees: that is no flat roof, and lengths are taken on plan"
            ),
            "check the figure: 1:40 is usual",
        );
    }
    let (least, design) = (rules.least_fall.normalize(), rules.design_fall.normalize());
    match fall {
        RoofFall::There(_) if known.run > least => warn(
            format!("the fall that is there, {known}, is flatter than 1:{least}"),
            "water will stand (BS 6229): make a fall with firrings under a new deck, or agree in writing that it stays",
        ),
        RoofFall::Firred(..) | RoofFall::InJoists(_) if known.run > least => warn(
            format!("a fall of {known} is flatter than 1:{least}"),
            "design for 1:40, so that 1:80 is left after building tolerance and sag (BS 6229); water will stand otherwise",
        ),
        RoofFall::Firred(..) | RoofFall::InJoists(_) if known.run > design => warn(
            format!(
                "a fall of {known} is flatter than 1:{design}: tolerance and sag may leave less than 1:{least} of it"
            ),
            "design for 1:40 (BS 6229), or have the joists checked for sag by whoever answers for them",
        ),
        _ => None,
    }
}

/// Warns of firrings so deep that they are held upright by blocking: a price by the metre may not hold for them.
pub fn tall_firrings(roof: &Roof, firrings: &[Firring], rules: &Rules) -> Option<Problem> {
    let tall = rules.firring_block;
    let deepest = firrings.iter().map(|f| f.high_depth.max(f.low_depth)).max().filter(|deepest| *deepest > tall)?;
    let fault = format!(
        "the deepest firring is {deepest}, over {tall}: blocking is laid between those, and a merchant may price so deep a one higher"
    );
    let cure = "ask the merchant, and give the price book's article its price; or plan a lower fall within BS 6229";
    Some(Problem::warning(Warned::Fall, roof.path.key("fall"), fault, cure))
}

/// Warns of every upstand at a wall that is too low once the deck is built up. `board` is the new board, or the one laid
/// over the old deck.
pub fn low_upstands(shape: &RoofShape, roof: &Roof, rules: &Rules, board: Option<&Board>) -> Vec<Problem> {
    let walls = (0..shape.sides.len()).filter(|&i| shape.sides[i].finish == Finish::Wall);
    walls.filter_map(|i| low_upstand(shape, roof, rules, board, i)).collect()
}

fn low_upstand(shape: &RoofShape, roof: &Roof, rules: &Rules, board: Option<&Board>, i: usize) -> Option<Problem> {
    let (side, surveyed) = (&shape.sides[i], roof.outline.edges.get(i)?.upstand?);
    let left = upstand_left(shape, roof, rules, board, i)?;
    let built_up = built_up_words(shape, roof, rules, board, i);
    let least = rules.least_upstand;
    let (path, what, cure) = match (side.coped, side.sill) {
        (Some(_), _) => (
            side.path.keys(["coping", "wall_height"]),
            "of the wall that the roof is carried over there is left",
            "build up less there or have the wall raised; else the customer must know and agree in writing: the quote says it",
        ),
        (None, None) => (
            side.path.key("upstand"),
            "the upstand comes to",
            "lower the fall within BS 6229, raise the door or the flashing, or agree in writing how the wall is kept dry",
        ),
        (None, Some(_)) => (
            side.path.key("sill"),
            "under the door sill there is left",
            "build up less there or have the sill raised; else the customer must know and agree in writing: the quote says it",
        ),
    };
    (left < least).then(|| {
        let fault = format!(
            "at the {} {what} {left} ({surveyed} surveyed{built_up}); BS 6229 asks for {least} above the finished roof",
            side.label
        );
        Problem::warning(Warned::Upstand, path, fault, cure)
    })
}
