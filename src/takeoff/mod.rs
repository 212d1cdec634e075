//! The take-off: the roof laid out piece by piece, and what that needs.
//!
//! Given a job, the firm's rules and the sizes of what is sold; gives every board, trim, bandage and strip with its
//! place, the lines of the take-off with their workings, and the needs that the order must cover. It never multiplies
//! an area by a rate where a piece can be placed, and it knows no price and no file.

mod extent;
pub mod layout;
pub mod quantities;

pub use self::quantities::line::{Line, Need, Step, Unit};

use self::layout::edge_cuts::{self, RoofEdgeCuts};
use self::layout::junctions::mitre_allowance;
use self::layout::noggins::{self, NogginPlan};
use self::layout::patches::OldRoofLayout;
use self::layout::shape::RoofShape;
use self::layout::timber::{OpeningTimbers, TimberPlan};
use self::layout::trims::TrimJob;
use self::layout::{
    bandage, blocking, box_gutter, deck, falls, flashings, junctions, lap_order, marks, mat, openings, over_deck,
    parapets, patches, shape, sills, trims,
};
use self::quantities::line::pool;
use self::quantities::{
    bandage_lines, box_gutter_lines, deck_lines, fall_lines, goods_lines, mat_lines, noggin_lines, old_roof_lines,
    opening_lines, over_deck_lines, parapet_lines, preservative, resin, sill_lines, spare_lines, sundries, tie_lines,
    trim_lines, vent_lines,
};
use crate::model::shape::DeckAction;
use crate::model::{Finish, Job, Length, LineId, OldRoof, Problem, Products, Role, Roof, Rules};
use crate::works::{self, WorkKind, Works};
use layout::{DeckLayout, Junction, MatLayout, OverDeck, ProfilePlan, RoofLayout};

/// Everything that the layout gives.
#[derive(Debug, Clone, PartialEq)]
pub struct TakeOff {
    /// The roofs, in the job's order.
    pub roofs: Vec<RoofLayout>,
    /// The roofs whose laminate stays, in the job's order.
    pub old_roofs: Vec<OldRoofLayout>,
    /// The trims, a profile each, over all roofs; in the order in which trims are fixed.
    pub profiles: Vec<ProfilePlan>,
    /// What new timber round openings is cut from, over all roofs.
    pub timbers: Vec<TimberPlan>,
    /// What noggins are cut from, over all roofs; nothing where their timber is sold cut to any length.
    pub noggins: Option<NogginPlan>,
    /// What edge battens and edge timber are cut from, roof by roof.
    pub edge_cuts: Vec<RoofEdgeCuts>,
    /// What the job promises, with what the layout found.
    pub works: Works,
    /// The lines, in the order of the work.
    pub lines: Vec<Line>,
    /// What must be bought.
    pub needs: Vec<Need>,
    /// What the layout itself warns of; what is judged on it stands in `checks`.
    pub notices: Vec<Problem>,
}

impl TakeOff {
    /// Whether the job cannot be done without goods of a role.
    pub fn must_have(&self, role: &Role) -> bool {
        self.needs.iter().any(|n| n.role == *role && !n.optional)
    }

    /// With what the days of the work add: boards over insulation are sawn through at the lines at which the days of their roof end,
    /// counted on its tape, and screwed on both sides of the cut.
    pub fn sawn_at(
        mut self,
        job: &Job,
        lines: impl Fn(&str) -> Vec<Length>,
        (rules, products): (&Rules, &Products),
    ) -> TakeOff {
        for (roof, layout) in job.roofs.iter().zip(&mut self.roofs) {
            let sawn = deck::sawn::screws_at(layout, roof, &lines(&roof.name), rules);
            let Some(over) = layout.over.as_mut().filter(|_| sawn > 0) else { continue };
            over.sawn_screws = sawn;
            let Some(overlay) = &over.overlay else { continue };
            let screws = over_deck_lines::fixings(&layout.shape, (roof, overlay), sawn, (rules, products));
            let is_it = |line: &&mut Line| line.id == screws.id && line.roof == screws.roof;
            if let Some(line) = self.lines.iter_mut().find(is_it) {
                *line = screws;
            }
        }
        // Roofs whose screws are as long share a need.
        let screw_on = |line: &Line| {
            let roof = job.roofs.iter().find(|roof| line.roof.as_ref() == Some(&roof.name))?;
            over_deck_lines::screw_of(roof, (rules, products))
        };
        for need in self.needs.iter_mut().filter(|need| need.role == Role::OverlayFixings) {
            let screws = self.lines.iter().filter(|l| l.id == LineId::OverlayFixings && screw_on(l) == need.size);
            if let Some(more) = Need::of(Role::OverlayFixings, &screws.collect::<Vec<_>>()) {
                *need = more.sized(need.size);
            }
        }
        self
    }
}

/// Lays out a job.
///
/// # Errors
/// Every fault that stops a layout, all at once: place, fault, cure.
pub fn take_off(job: &Job, rules: &Rules, products: &Products) -> Result<TakeOff, Vec<Problem>> {
    take_off_beside(None, job, rules, products)
}

/// The same, beside a job that was laid out by the same rules and products: of a roof that differs from its roof in
/// nothing that boards know of, the deck is taken over, and of one that differs in nothing that the mat lies on, the mat.
///
/// # Errors
/// As [`take_off`].
pub fn take_off_beside(
    laid: Option<(&Job, &TakeOff)>,
    job: &Job,
    rules: &Rules,
    products: &Products,
) -> Result<TakeOff, Vec<Problem>> {
    let (roofs, works) = (&job.roofs, works::of(job));
    let shapes = all(roofs.iter().enumerate().map(|(i, roof)| shape_of(roof, i, rules, products)))?;
    let too_large = extent::faults(&shapes, roofs, rules, products);
    if !too_large.is_empty() {
        return Err(too_large);
    }
    let junctions =
        all(shapes.iter().zip(roofs).map(|(shape, roof)| junctions::junctions(shape, roof, products, rules)));
    let twins = twins(roofs);
    let mut decks: Vec<OrProblems<Option<DeckLayout>>> = Vec::new();
    for ((shape, roof), twin) in shapes.iter().zip(roofs).zip(&twins) {
        let twins = || twin.and_then(|twin| decks[twin].as_ref().ok()).cloned();
        let known = deck_beside(laid, shape, roof).map(|deck| Some(deck.clone())).or_else(twins);
        decks.push(known.map_or_else(|| deck_of(shape, roof, rules, products), Ok));
    }
    let decks = all(decks.into_iter());
    let wind_from = job.wind_from.as_deref();
    let trims = trims::plan_trims(&TrimJob { shapes: &shapes, roofs, wind_from, rules, products });
    let openings = all(shapes.iter().zip(roofs).map(|(shape, roof)| openings::timbers(shape, roof, rules, products)))
        .and_then(|of: Vec<OpeningTimbers>| Ok((openings::plans(&of, roofs, rules, products)?, of)));
    let (junctions, decks, (mut profiles, mut notices)) = all_three(junctions, decks, trims)?;
    let (timbers, openings) = openings?;
    let parts = shapes.into_iter().zip(junctions).zip(decks).zip(openings).zip(roofs).zip(twins);
    let mut layouts: Vec<OrProblems<RoofLayout>> = Vec::new();
    for (((((shape, junctions), deck), openings), roof), twin) in parts {
        let before = laid.and_then(|(job, take_off)| job.roofs.get(shape.index).zip(take_off.roofs.get(shape.index)));
        let twin = twin.and_then(|twin| layouts[twin].as_ref().ok());
        let parts = RoofParts { shape, junctions, deck, openings, before, twin };
        layouts.push(lay_roof(parts, roof, &profiles, rules, products, &mut notices));
    }
    let mut laid = all(layouts.into_iter())?;
    lap_order::lap_as_laid(&mut profiles, &laid);
    let mut old_roofs = lay_old_roofs(job, rules, products);
    marks::number(&mut laid, &mut old_roofs);
    parapets::saw(&mut laid, rules, products);
    let noggins = noggins::plan(&laid, &old_roofs, rules, products.noggins.as_deref().unwrap_or_default());
    let edge_cuts = edge_cuts::plan(roofs, &laid, rules, products);
    let plans = (profiles.as_slice(), timbers.as_slice(), noggins.as_ref(), edge_cuts.as_slice());
    let (lines, needs) = lines(job, &works, (&laid, &old_roofs), plans, rules, products);
    let works = works.with_found(found(&lines, &laid));
    let needs = pool(needs);
    Ok(TakeOff { roofs: laid, old_roofs, profiles, timbers, noggins, edge_cuts, works, lines, needs, notices })
}

/// What keeps the options of a job from being laid out, all of them together.
pub(crate) fn too_many_options(jobs: &[&Job], rules: &Rules, products: &Products) -> Option<Problem> {
    // A roof that has no shape is told when its option is laid out.
    let shape = |(i, roof): (usize, &Roof)| shape_of(roof, i, rules, products).ok();
    let shapes = |job: &&Job| job.roofs.iter().enumerate().map(shape).collect::<Option<Vec<RoofShape>>>();
    let all: Vec<(Vec<RoofShape>, &Job)> = jobs.iter().filter_map(|job| Some((shapes(job)?, *job))).collect();
    extent::of_options(&all, rules, products)
}

/// The shape of a roof, with the door sills that stand over it.
fn shape_of(roof: &Roof, index: usize, rules: &Rules, products: &Products) -> OrProblems<RoofShape> {
    let mut shape = shape::lay_out(roof, index, rules)?;
    shape.edge_joists = deck::edge_joists::edge_joists(&shape, roof, rules);
    let board = roof.deck.board.as_ref().and_then(|key| products.boards.get(key));
    let mut problems = sills::place(&mut shape, roof, board, rules);
    problems.extend(sills::walls_without_room(&shape, roof, board, rules));
    problems.extend(parapets::place(&mut shape, roof, rules, products));
    if problems.is_empty() { Ok(shape) } else { Err(problems) }
}

/// All results, or the problems of all that failed.
fn all<T>(results: impl Iterator<Item = Result<T, Vec<Problem>>>) -> Result<Vec<T>, Vec<Problem>> {
    let (mut good, mut problems) = (Vec::new(), Vec::new());
    for result in results {
        match result {
            Ok(value) => good.push(value),
            Err(more) => problems.extend(more),
        }
    }
    if problems.is_empty() { Ok(good) } else { Err(problems) }
}

type OrProblems<T> = Result<T, Vec<Problem>>;

/// All three, or the problems of each that failed.
fn all_three<A, B, C>(a: OrProblems<A>, b: OrProblems<B>, c: OrProblems<C>) -> OrProblems<(A, B, C)> {
    match (a, b, c) {
        (Ok(a), Ok(b), Ok(c)) => Ok((a, b, c)),
        (a, b, c) => Err([a.err(), b.err(), c.err()].into_iter().flatten().flatten().collect()),
    }
}

/// The deck of the same roof in a job that was laid out, where this one differs in what lies over the boards alone.
fn deck_beside<'a>(laid: Option<(&Job, &'a TakeOff)>, shape: &RoofShape, roof: &Roof) -> Option<&'a DeckLayout> {
    let (job, take_off) = laid?;
    let (before, layout) = (job.roofs.get(shape.index)?, take_off.roofs.get(shape.index)?);
    let over = Roof { laminate: roof.laminate, topcoat: roof.topcoat.clone(), ..before.clone() };
    if layout.shape == *shape && over == *roof { layout.deck.as_ref() } else { None }
}

fn deck_of(shape: &RoofShape, roof: &Roof, rules: &Rules, products: &Products) -> OrProblems<Option<DeckLayout>> {
    let (Some(key), true) = (&roof.deck.board, roof.deck.action != DeckAction::Keep) else {
        return Ok(None);
    };
    match products.boards.get(key) {
        Some(board) => {
            let mut deck = deck::lay_deck(shape, roof, rules, board)?;
            if let Some(longest) = products.longest_of(&Role::Noggin) {
                deck::jointed(&mut deck, longest).map_err(|length| vec![noggin_too_long(roof, length, longest)])?;
            }
            let blocks = blocking::blocking(shape, roof, rules, &deck.joists, &deck.noggins);
            deck.blocks = blocks.len();
            deck.noggins.extend(blocks);
            if deck.boards > 0 { Ok(Some(deck)) } else { Err(vec![no_board(roof)]) }
        }
        None => Err(vec![Problem::fault(
            roof.path.keys(["deck", "board"]),
            format!("no price book says how large the board {key} is"),
            format!("add an article with `role: board.{key}` and its length, width and thickness"),
        )]),
    }
}

/// A noggin that is longer than what is sold, and that nothing bears where it would be jointed.
fn noggin_too_long(roof: &Roof, length: Length, longest: Length) -> Problem {
    Problem::fault(
        roof.path.key("joists"),
        format!(
            "an edge of the deck takes a noggin of {length}, the longest sold is {longest}, and no joist lies beside it"
        ),
        "say where the last joist lies (`last:`), set a joist along that edge, or add a longer article to the price book",
    )
}

/// A roof that its gaps eat up.
fn no_board(roof: &Roof) -> Problem {
    Problem::fault(
        roof.path.key("outline"),
        format!("no board lies on `{}`: its gaps at walls and pipes leave no deck", roof.name),
        "check the lengths of the outline and their units, and `wall_gap` and `pipe_gap` in the firm's rules",
    )
}

/// What is already laid of one roof.
struct RoofParts<'a> {
    shape: RoofShape,
    junctions: Vec<Junction>,
    deck: Option<DeckLayout>,
    openings: OpeningTimbers,
    /// The roof in the job beside which this one is laid out.
    before: Option<(&'a Roof, &'a RoofLayout)>,
    /// A roof of this job that is the same but for its name, laid out before it.
    twin: Option<&'a RoofLayout>,
}

/// Of each roof the first before it that is the same but for its name.
fn twins(roofs: &[Roof]) -> Vec<Option<usize>> {
    let mut unlike: Vec<usize> = Vec::new();
    let twin = |(place, roof): (usize, &Roof)| {
        let twin = unlike.iter().copied().find(|before| roof.is_twin_of(&roofs[*before]));
        unlike.extend(twin.is_none().then_some(place));
        twin
    };
    roofs.iter().enumerate().map(twin).collect()
}

/// What the mat of a roof lies on.
fn under_mat<'a>(over: Option<&'a OverDeck>, deck: Option<&'a DeckLayout>) -> Option<&'a DeckLayout> {
    over.and_then(|over| over.overlay.as_ref()).or(deck)
}

/// The mat of the same roof in a job that was laid out, where it is as heavy, of as many layers and on the same boards.
fn mat_beside<'a>(
    before: Option<(&Roof, &'a RoofLayout)>,
    shape: &RoofShape,
    roof: &Roof,
    under: Option<&DeckLayout>,
) -> Option<&'a MatLayout> {
    let (before, layout) = before?;
    let same = before.laminate == roof.laminate && layout.shape == *shape;
    (same && under_mat(layout.over.as_ref(), layout.deck.as_ref()) == under).then_some(&layout.mat)
}

fn lay_roof(
    parts: RoofParts<'_>,
    roof: &Roof,
    profiles: &[ProfilePlan],
    rules: &Rules,
    products: &Products,
    notices: &mut Vec<Problem>,
) -> OrProblems<RoofLayout> {
    let RoofParts { mut shape, junctions, deck, openings, before, twin } = parts;
    for kept in &openings.kept {
        if let Some(hole) = shape.holes.get_mut(kept.hole) {
            hole.carried = kept.carried(hole.carried);
        }
    }
    let board = roof.deck.board.as_ref().and_then(|key| products.boards.get(key));
    let roll = mat_lines::roll_of(products, roof.laminate.mat);
    let over = match twin {
        Some(twin) => twin.over.clone(),
        None => over_deck::lay(&shape, roof, deck.as_ref(), rules, products)?,
    };
    let under_mat = under_mat(over.as_ref(), deck.as_ref());
    let (mat, more) = match twin.map(|twin| &twin.mat).or_else(|| mat_beside(before, &shape, roof, under_mat)) {
        Some(known) => (known.clone(), mat::warnings(known, &shape)),
        None => mat::lay_mat(&shape, roof, under_mat, rules, &roll)?,
    };
    notices.extend(more);
    let box_gutters = box_gutter::lay(&shape, roof, rules, products, &roll)?;
    let parapets = parapets::linings(&shape, roof, products);
    let mut bandage = bandage::lay_bandage(&shape, under_mat, profiles, &junctions, rules, products);
    bandage.extend(parapets::bandage(&shape, &parapets, mitre_allowance(Finish::Drip, products, rules), rules));
    let mut firrings = falls::firrings(&shape, roof, rules, products.longest_of(&Role::Firring));
    firrings.extend(falls::packing(&shape, roof, rules, &openings));
    Ok(RoofLayout {
        box_gutters,
        parapets,
        flashings: flashings::flashings(roof, &shape, rules, products),
        heights: falls::heights(&shape, roof),
        deck_rise: falls::deck_rise(roof, board),
        gutters_raised: falls::gutters_raised(&shape, roof, rules, board),
        firrings,
        bandage,
        old_boards: over_deck::old_boards(&shape, roof),
        shape,
        deck,
        openings,
        over,
        junctions,
        mat,
    })
}

/// The roofs whose laminate stays. What is wrong with their patches was told when the job was read.
fn lay_old_roofs(job: &Job, rules: &Rules, products: &Products) -> Vec<OldRoofLayout> {
    let lay = |(i, roof)| {
        let roof: &OldRoof = roof;
        patches::lay_out(roof, i, rules, products, &mat_lines::roll_of(products, roof.mat))
    };
    job.old_roofs.iter().enumerate().map(lay).collect()
}

/// The lines, in the order of the work, and what they need bought.
fn lines(
    job: &Job,
    works: &Works,
    (laid, old): (&[RoofLayout], &[OldRoofLayout]),
    (profiles, timbers, noggins, edge_cuts): (&[ProfilePlan], &[TimberPlan], Option<&NogginPlan>, &[RoofEdgeCuts]),
    rules: &Rules,
    products: &Products,
) -> (Vec<Line>, Vec<Need>) {
    let roofs = &job.roofs;
    let patched = old_roof_lines::lines(&job.old_roofs, old, rules, &products.sheets);
    let (mut lines, mut needs) = (Vec::new(), Vec::new());
    let mut take = |(more, wanted): (Vec<Line>, Vec<Need>)| {
        lines.extend(more);
        needs.extend(wanted);
    };
    for ((roof, l), cuts) in roofs.iter().zip(laid).zip(edge_cuts) {
        take(opening_lines::opening_lines(l, rules));
        take(fall_lines::fall_lines(&l.shape, roof, (rules, products), &l.firrings));
        let board = roof.deck.board.as_ref().and_then(|key| products.boards.get(key));
        if let (Some(board), Some(deck)) = (board, &l.deck) {
            take(deck_lines::deck_lines(&l.shape, roof, rules, board, deck, products));
        }
        if let Some(over) = &l.over {
            take(over_deck_lines::lines(&l.shape, roof, over, &cuts.timber, (rules, products)));
        }
        take(vent_lines::vent_lines(roof, &l.shape, rules));
        take(box_gutter_lines::boarding(roof, l, rules));
        take(parapet_lines::lining_lines(l, rules, products));
    }
    take(opening_lines::bought_lines(timbers, laid, rules));
    let bought = noggin_lines::bought_lines(noggins, lines.iter().chain(&patched.0), rules);
    lines.extend(bought.0);
    needs.extend(bought.1);
    let (spare, wanted) = spare_lines::spare_boards(&needs, laid, &products.boards, rules);
    lines.extend(spare);
    needs.extend(wanted);
    let mut take = |(more, wanted): (Vec<Line>, Vec<Need>)| {
        lines.extend(more);
        needs.extend(wanted);
    };
    let shapes: Vec<RoofShape> = laid.iter().map(|l| l.shape.clone()).collect();
    let junctions: Vec<Vec<Junction>> = laid.iter().map(|l| l.junctions.clone()).collect();
    let gaps: Vec<Length> = laid.iter().flat_map(|l| l.sill_gaps(rules)).map(|s| s.run).collect();
    take(trim_lines::trim_lines(&shapes, profiles, &junctions, &gaps, rules, products));
    take(bandage_lines::lines(laid, &patched.0, rules, products));
    roofs.iter().zip(laid).for_each(|(roof, l)| take(tie_lines::tie_lines(roof, l, rules)));
    laid.iter().for_each(|l| take(sill_lines::sill_lines(l, rules)));
    laid.iter().for_each(|l| take(parapet_lines::parapet_lines(l, profiles, rules)));
    let mats = mat_lines::lines(laid, (old, &patched.0), rules, products);
    let wet = resin::lines(roofs, laid, (&mats.0, &patched.0), rules, products);
    let before = [mats.0.as_slice(), &patched.0, wet.0.as_slice()].concat();
    let sundries = sundries::lines(roofs, (laid, edge_cuts), works, &before, rules, products);
    take(patched);
    take(mats);
    take(wet);
    take(sundries);
    take(goods_lines::lines(job, rules, products));
    let (brushed, wanted) = preservative::lines(&needs, rules);
    lines.extend(brushed);
    needs.extend(wanted);
    (lines, needs)
}

/// The works that lines were made for, with their roofs.
fn found<'a>(lines: &'a [Line], laid: &'a [RoofLayout]) -> impl Iterator<Item = (WorkKind, usize)> + 'a {
    let roof = |name: &String| laid.iter().find(|l| l.shape.name == *name).map(|l| l.shape.index);
    lines.iter().filter_map(move |l| Some((l.work, roof(l.roof.as_ref()?)?)))
}
