//! Every check of a job put together: water, heat, air, weight and fire.
//!
//! Given a job as it is laid out; gives findings in the order in which they are read, and what the installer should
//! know. A check that lacks something says what, and is never left out in silence.

pub mod boards;
pub mod boundary;
pub mod box_gutters;
pub mod brackets;
pub mod catchment;
pub mod cold_roof;
pub mod dead_weight;
pub mod falls;
pub mod fascias;
pub mod finding;
pub mod from_above;
pub mod height;
pub mod levels;
pub mod loads;
pub mod openings;
pub mod outlets;
pub mod parapets;
pub mod rainwater;
pub mod root;
pub mod screws;
pub mod sills;
pub mod starting;
pub mod under_tiles;
pub mod walked_on;
pub mod walls;
pub mod warm_roof;

use self::dead_weight::Laid;
use self::finding::{CAUTION, Finding, Subject, Verdict, flow_words, id_of};
use self::rainwater::{RunOff, WaterFromAbove};
use self::warm_roof::Screws;
use crate::model::build_up::{BuildUp, RoofKind};
use crate::model::gutter::{FlowRate, GutterDetail};
use crate::model::job::By;
use crate::model::shape::{DeckAction, Gutter};
use crate::model::words::{at, within};
use crate::model::{Edge, Job, Level, Problem, Products, Roof, Rules, SettingPath, Warned, Whereabouts};
use crate::takeoff::TakeOff;
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::gutter_runs::{gutter_runs, with_outlet};
use crate::takeoff::layout::over_deck;
use crate::takeoff::quantities::line::Line;
use rust_decimal::Decimal;

/// What the checks found.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Checked {
    /// The findings, roof by roof, then those of the whole job.
    pub findings: Vec<Finding>,
    /// Warnings, each with its cure.
    pub notices: Vec<Problem>,
}

/// Checks a job that is laid out.
pub fn check(job: &Job, take_off: &TakeOff, rules: &Rules, products: &Products) -> Checked {
    let mut out = Checked::default();
    let laid = || job.roofs.iter().zip(&take_off.roofs);
    out.notices.extend(height::notice(job));
    out.notices.extend(starting::notice(job));
    out.notices.extend(laid().flat_map(|(roof, layout)| roof_notices(roof, layout, rules, products)));
    out.notices.extend(fascias::notices(job, take_off, rules, products));
    out.notices.extend(fascias::unpinned(&job.goods, rules, products));
    out.notices.extend(laid().flat_map(|(roof, _)| brackets::taken_to_hang(job, roof)));
    out.notices.extend(warm_roof::taken_as_bare(job));
    out.notices.extend(levels::unsettled(job));
    let flashed_by_us = laid().filter(|(roof, _)| job.flashing_of(roof) == By::Us);
    out.notices.extend(flashed_by_us.flat_map(|(roof, layout)| walls::too_narrow(roof, layout, products)));
    for (roof, layout) in laid() {
        let from = out.findings.len();
        water(roof, layout, rules, &mut out);
        out.findings.extend(walls::check(roof, layout, rules, products));
        out.findings.extend(sills::check(layout, rules));
        out.findings.extend(parapets::check(layout, rules));
        out.findings.extend(openings::low_kerbs(layout, rules));
        if let Some(build_up) = &roof.build_up {
            heat(build_up, (roof, layout), products, rules, &mut out);
            air(build_up, roof, layout, rules, &mut out);
        }
        out.findings.push(weight((roof, layout), take_off, rules, products));
        out.findings.extend(walked_on::check(roof));
        for finding in &mut out.findings[from..] {
            *finding = finding.clone().of_roof(&roof.name);
        }
    }
    // Without a distance the job file's reader has asked for it by name.
    // An old laminate stays what it is: its class is not asked.
    if job.roofs.is_empty() {
        return out;
    }
    if let Ok(finding) = boundary::check(job.boundary, job.roof_class) {
        let cure = "choose a build-up with a certificate of the class wanted, and ask Building Control";
        out.warn_of(Warned::Fire, &finding, ["roof_class"], cure);
        out.findings.push(finding);
    }
    out
}

fn roof_notices(roof: &Roof, laid: &RoofLayout, rules: &Rules, products: &Products) -> Vec<Problem> {
    let board = roof.deck.board.as_ref().and_then(|key| products.boards.get(key));
    let mut notices = falls::low_upstands(&laid.shape, roof, rules, board);
    if let (Some(board), Some(deck)) = (board, &laid.deck) {
        notices.extend(boards::deck_notices((roof, deck), rules, board, products));
        notices.extend(boards::edges_without_joists(roof, &laid.shape, deck));
    }
    notices.extend(falls::tall_firrings(roof, &laid.firrings, rules));
    notices.extend(brackets::notices(roof, rules));
    notices.extend(brackets::raised(roof, laid));
    notices.extend(parapets::levelled(laid, rules));
    notices.extend(parapets::beside_gutters(roof, laid, rules, board));
    notices.extend(openings::notices(roof, laid, rules));
    notices.extend(screws::too_short(roof, rules, products));
    notices.extend(under_tiles::low_tops(roof, rules));
    notices.extend(under_tiles::further_back(roof));
    notices.extend(boards::movement(roof, laid.shape.area, rules));
    notices
}

impl Checked {
    /// Turns a failure into a warning: its first sentence is the fault, what follows the cure.
    fn warn_of(&mut self, warned: Warned, finding: &Finding, place: impl Into<Whereabouts>, cure: &str) {
        if finding.verdict != Verdict::Fail {
            return;
        }
        let (fault, rest) = finding.statement.split_once(". ").unwrap_or((&finding.statement, ""));
        let cure = if rest.is_empty() { cure.to_owned() } else { within(rest.trim_end_matches('.')) };
        self.notices.push(Problem::warning(warned, place, within(fault.trim_end_matches('.')), cure));
    }

    /// Keeps what a check could not do for want of something, as warnings.
    fn keep(&mut self, warned: Warned, problems: Vec<Problem>) {
        let kept = |p: Problem| Problem { level: Level::Warning, warned: p.warned.or(Some(warned)), ..p };
        self.notices.extend(problems.into_iter().map(kept));
    }
}

// ---- Water -------------------------------------------------------------------------------------------------------

fn water(roof: &Roof, layout: &RoofLayout, rules: &Rules, out: &mut Checked) {
    let from = out.findings.len();
    let above = WaterFromAbove { wall: roof.wall_above, pitched: roof.roof_above };
    match rainwater::run_off(&layout.shape, &above, rules) {
        Ok(shares) => {
            for run in gutter_runs(&layout.shape, roof) {
                let of: Vec<&RunOff> =
                    run.iter().filter_map(|side| shares.iter().find(|share| share.side == *side)).collect();
                let outlet = with_outlet(&run, roof);
                match (&of[..], of.iter().find(|share| Some(share.side) == outlet).or(of.first())) {
                    ([one], _) => gutter(one, roof, rules, out),
                    (_, Some(outlet)) => gutter(&rainwater::joined(&of, outlet), roof, rules, out),
                    _ => {}
                }
            }
            shares.iter().for_each(|share| box_gutter(share, roof, layout, rules, out));
        }
        Err(problem) => out.keep(Warned::Rainwater, vec![problem]),
    }
    let (findings, notices) = outlets::check(roof, layout, &above, rules);
    for finding in &findings {
        out.warn_of(
            Warned::Rainwater,
            finding,
            water_place(roof, &finding.id),
            "make the outlet larger, or add another",
        );
    }
    out.findings.extend(findings);
    out.notices.extend(notices);
    let found = &mut out.findings[from..];
    if !found.is_empty() {
        out.notices.extend(from_above::settle(roof, found));
    }
}

/// The setting that a finding of outlets and overflows is about.
fn water_place(roof: &Roof, id: &str) -> SettingPath {
    let overflow = || roof.outline.edges.iter().find(|e| e.overflow.is_some()).map(|e| e.path.key("overflow"));
    let number = id.strip_prefix("outlet.").and_then(|n| n.parse::<usize>().ok()).unwrap_or(1);
    let outlet = || roof.outlets.get(number.saturating_sub(1)).map(|o| o.path.clone());
    let place = if id == "overflow" { overflow() } else { outlet() };
    place.unwrap_or_else(|| roof.path.clone())
}

fn gutter(share: &RunOff, roof: &Roof, rules: &Rules, out: &mut Checked) {
    let edge: Option<&Edge> = roof.outline.edges.get(share.side);
    let Some((edge, given)) = edge.and_then(|e| Some((e, e.gutter.as_ref()?))) else { return };
    let path = edge.path.key("gutter");
    let Some(detail) = detail_of(given, &path, out) else { return };
    match rainwater::check_gutter(share, &detail, rules) {
        Ok(finding) => {
            out.warn_of(Warned::Rainwater, &finding, &path, "give it another outlet, or a larger section");
            if finding.verdict == Verdict::Refer {
                let cure = "set its outlet in the middle, `outlet: {at: middle}`, or give it another, `outlet: {count: 2}`; where its maker says \
                            that it copes, write `silence: [{warning: gutter-figures, because: …}]`";
                let fault = format!("the gutter {} is too long for its depth to be checked here", at(&share.label));
                out.notices.push(Problem::warning(Warned::GutterFigures, path.key("outlet"), fault, cure));
            }
            out.findings.push(finding);
        }
        Err(problems) => {
            out.findings.push(unchecked(share, &problems));
            out.keep(Warned::GutterFigures, problems);
        }
    }
    let Some(outlet) = &detail.outlet else { return };
    let subject = format!("outlet of the gutter {}", at(&share.label));
    let parts = rainwater::parts_by_outlet(&detail);
    let comes = FlowRate::litres_per_second(share.flow.as_litres_per_second() / Decimal::from(parts));
    let mut finding = rainwater::check_outlet(&subject, comes, outlet, Some(&detail), rules);
    finding.id = format!("gutter.{}.outlet", id_of(&share.label));
    out.warn_of(Warned::Rainwater, &finding, path.key("outlet"), "fit a larger outlet, or a second one");
    out.findings.push(finding);
}

fn box_gutter(share: &RunOff, roof: &Roof, layout: &RoofLayout, rules: &Rules, out: &mut Checked) {
    let Some(edge) = roof.outline.edges.get(share.side) else { return };
    let laid = layout.box_gutters.iter().find(|g| g.side == share.side);
    let (Some(gutter), Some(laid)) = (&edge.box_gutter, laid) else { return };
    let found = box_gutters::check(share, edge, gutter, laid, rules);
    for finding in &found.findings {
        out.warn_of(Warned::Rainwater, finding, &gutter.path, "make it wider or deeper, or the outlet larger");
    }
    out.findings.extend(found.findings);
    out.keep(Warned::GutterFigures, found.notices);
}

fn detail_of(gutter: &Gutter, path: &SettingPath, out: &mut Checked) -> Option<GutterDetail> {
    if let Some(detail) = &gutter.detail {
        return Some(detail.clone());
    }
    match rainwater::shape_of(&gutter.shape, path) {
        Ok(shape) => Some(GutterDetail::plain(path, shape, gutter.size)),
        Err(problem) => {
            out.keep(Warned::GutterFigures, vec![problem]);
            None
        }
    }
}

/// A gutter whose capacity cannot be told from what is known of it.
fn unchecked(share: &RunOff, problems: &[Problem]) -> Finding {
    let wants: Vec<&str> = problems.iter().map(|p| p.fault.split(" is needed").next().unwrap_or(&p.fault)).collect();
    Finding {
        id: format!("gutter.{}", id_of(&share.label)),
        kind: Subject::Water,
        roof: None,
        subject: rainwater::gutter_subject(&share.label),
        verdict: Verdict::Refer,
        statement: format!(
            "At the design rain {} comes to the gutter {}. What it carries cannot be told without {}: ask its \
             maker.",
            flow_words(share.flow.as_litres_per_second()),
            at(&share.label),
            wants.join(" and ")
        ),
        design: "Approved Document H3".into(),
        source: rainwater::SOURCE.into(),
        caution: CAUTION,
        working: share.working.clone(),
    }
}

// ---- Heat and air ------------------------------------------------------------------------------------------------

fn heat(
    build_up: &BuildUp,
    (roof, layout): (&Roof, &RoofLayout),
    products: &Products,
    rules: &Rules,
    out: &mut Checked,
) {
    let screws = screws(layout, products);
    out.notices.extend(warm_roof::warnings(build_up));
    match warm_roof::judge(build_up, roof.joists.spacing, screws, rules) {
        Ok(finding) => {
            if finding.verdict == Verdict::Refer && matches!(screws, Screws::Unknown(_)) {
                let fault = "the screws through the insulation are not counted in its U-value";
                let cure = "add their diameter and lambda to the price book: `{role: fixings.overlay, …, diameter: 4.8 mm, lambda: 50 W/mK}`; \
                            carbon steel has 50, austenitic stainless steel 17 (EN ISO 10456, from memory)";
                out.notices.push(Problem::warning(Warned::HeatFigures, build_up.path.key("overlay"), fault, cure));
            }
            let key = if build_up.kind == RoofKind::Warm { "insulation" } else { "joists.between" };
            let cure = "use thicker or better insulation, or agree with Building Control what is possible";
            out.warn_of(Warned::Heat, &finding, build_up.path.key(key), cure);
            out.findings.push(finding);
        }
        Err(problems) => out.keep(Warned::HeatFigures, problems),
    }
    let improvement = build_up.existing.as_ref().map(|existing| warm_roof::improvement(existing, rules));
    out.findings.extend(improvement);
}

/// The screws that the layout puts through the insulation, over the area of the insulation.
fn screws(layout: &RoofLayout, products: &Products) -> Screws {
    let overlay = layout.over.as_ref().and_then(|over| Some((over, over.overlay.as_ref()?)));
    let fixings = overlay.map_or(0, |(over, overlay)| overlay.fixings + over.sawn_screws);
    let area = layout.shape.area.square_metres();
    if fixings == 0 || area.is_zero() {
        return Screws::None;
    }
    let per_m2 = Decimal::from(fixings) / area;
    products.overlay_screw.map_or(Screws::Unknown(per_m2), |screw| Screws::Known(screw, per_m2))
}

fn air(build_up: &BuildUp, roof: &Roof, layout: &RoofLayout, rules: &Rules, out: &mut Checked) {
    let Some(found) = cold_roof::check(build_up, &layout.shape, roof.joists.run, rules) else { return };
    out.warn_of(Warned::Ventilation, &found.finding, &build_up.path, "make room for the air, or offer a warm roof");
    out.notices.extend(found.warnings);
    out.findings.push(found.finding);
}

// ---- Weight ------------------------------------------------------------------------------------------------------

fn weight((roof, layout): (&Roof, &RoofLayout), take_off: &TakeOff, rules: &Rules, products: &Products) -> Finding {
    let new_deck = roof.deck.board.as_ref().filter(|_| roof.deck.action != DeckAction::Keep);
    let deck = new_deck.and_then(|key| products.boards.get(key));
    let overlay = roof.build_up.as_ref().and_then(|b| over_deck::overlay_board(b, products));
    let lines: Vec<&Line> = take_off.lines.iter().filter(|l| l.roof.as_ref() == Some(&roof.name)).collect();
    let (openings, flashings) = (&layout.openings, layout.flashings.as_slice());
    let laid = Laid { roof, lines: &lines, deck, overlay, openings, flashings, products };
    dead_weight::dead_weight(&laid, rules).finding
}
