//! Whether a box gutter carries the rain that comes to it, and what happens once its outlet is blocked.
//!
//! Given the run-off of its edge and the gutter as laid; gives findings of its section, its outlet and its overflow, with
//! what could not be judged. It is judged as a level rectangular gutter of the depth at its shallow end less a freeboard, by
//! the formula of every other gutter; its fall is a reserve that is not counted. The rain that falls into it is its own.

use super::finding::{CAUTION, Finding, Subject, Verdict, figure, flow_words, formula, id_of, measured};
use super::outlets::overflow_capacity;
use super::rainwater::{self, RunOff, SOURCE};
use crate::model::gutter::{FlowRate, GutterDetail, GutterShape, OutletDetail, OutletPlace};
use crate::model::shape::{BoxGutter, Overflow};
use crate::model::words::at;
use crate::model::{Area, Edge, Length, Problem, Rules, Warned};
use crate::takeoff::layout::box_gutter::BoxGutterLayout;
use crate::takeoff::quantities::line::{Step, Unit};
use rust_decimal::Decimal;

/// What came of it.
pub(super) struct BoxChecked {
    pub(super) findings: Vec<Finding>,
    pub(super) notices: Vec<Problem>,
}

/// How much of a box gutter's depth stays dry (BS EN 12056-3, from memory): 25 mm of a depth under 85 mm, three tenths up
/// to 250 mm, 75 mm of more.
pub fn freeboard(depth: Length) -> Length {
    match depth.as_mm() {
        ..85 => Length::mm(25),
        d @ 85..=250 => Length::mm((d * 3 + 9) / 10),
        _ => Length::mm(75),
    }
}

/// Checks one box gutter.
pub(super) fn check(
    share: &RunOff,
    edge: &Edge,
    gutter: &BoxGutter,
    laid: &BoxGutterLayout,
    rules: &Rules,
) -> BoxChecked {
    let (mut findings, mut notices) = (Vec::new(), Vec::new());
    let comes = with_own_rain(share, laid, rules);
    let detail = detail(gutter, laid);
    match rainwater::check_gutter(&comes, &detail, rules) {
        Ok(finding) => findings.push(in_own_words(finding, laid)),
        Err(problems) => {
            findings.push(super::unchecked(&comes, &problems));
            notices.extend(problems);
        }
    }
    let outlet = &gutter.outlet;
    // No deeper than to where water begins to leave by the overflow.
    let most = edge.overflow.map(|form| sill(form, laid));
    let head = outlet.head.map(|head| most.map_or(head, |most| head.min(most)));
    let of = OutletDetail { diameter: outlet.size, head, strainer: outlet.strainer };
    let subject = format!("outlet of the gutter {}", at(&share.label));
    let found = rainwater::check_outlet(&subject, comes.flow, &of, None, rules);
    findings.push(Finding { id: format!("gutter.{}.outlet", id_of(&share.label)), ..found });
    findings.push(match edge.overflow {
        Some(form) => overflow(&comes, form, laid, rules),
        None => {
            let fault = format!("the box gutter at `{}` has one outlet and no overflow", edge.label());
            let cure =
                "add to the edge, for example, `overflow: {at: 1.0 m, width: 200 mm, height: 75 mm, above: 30 mm}`";
            notices.push(Problem::warning(Warned::Overflow, edge.path.key("overflow"), fault, cure));
            no_overflow(&comes, laid, rules)
        }
    });
    BoxChecked { findings, notices }
}

/// What comes off the roof, and what falls into the gutter itself.
fn with_own_rain(share: &RunOff, laid: &BoxGutterLayout, rules: &Rules) -> RunOff {
    let own = laid.run * laid.width;
    let flow = share.flow.as_litres_per_second() + own.square_metres() * rules.design_rain;
    let mut working = share.working.clone();
    working.push(measured("the gutter's own plan area", own.square_metres(), Unit::SquareMetre));
    let text = format!(
        "{} l/s + {} m2 × {} l/s/m2",
        figure(share.flow.as_litres_per_second(), 4),
        figure(own.square_metres(), 3),
        rules.design_rain
    );
    working.push(formula(text, flow, Unit::LitrePerSecond));
    RunOff {
        plan: share.plan + own,
        effective: share.effective + own.square_metres(),
        flow: FlowRate::litres_per_second(flow),
        working,
        ..share.clone()
    }
}

/// The gutter as its formula wants it: the longer of its two ways, at the depth of its shallow end.
fn detail(gutter: &BoxGutter, laid: &BoxGutterLayout) -> GutterDetail {
    let water = water(laid);
    GutterDetail {
        area: Some(Area::mm2(laid.width.as_mm() * water.as_mm())),
        depth: Some(water),
        length: Some(laid.outlet_at.max(laid.run - laid.outlet_at)),
        outlet_place: OutletPlace::End,
        depth_factor: gutter.depth_factor,
        shape_factor: Some(Decimal::ONE),
        ..GutterDetail::plain(gutter.path.clone(), GutterShape::Rectangular, laid.width)
    }
}

/// How deep the water may stand at the shallow end.
fn water(laid: &BoxGutterLayout) -> Length {
    laid.shallow() - freeboard(laid.shallow())
}

/// A cure that fits a gutter that is built, not bought.
fn in_own_words(finding: Finding, laid: &BoxGutterLayout) -> Finding {
    let longer = laid.outlet_at.max(laid.run - laid.outlet_at);
    // It is worked as a gutter that ends at its outlet; where it goes on beyond, the words say which way that is.
    let finding = match longer < laid.run {
        true => {
            let way = format!("along its longer way to the outlet, {} m", figure(longer.metres(), 2));
            Finding { statement: finding.statement.replacen("with its outlet at one end", &way, 1), ..finding }
        }
        false => finding,
    };
    let first = finding.statement.split_inclusive(". ").next().unwrap_or_default().trim_end().to_owned();
    let statement = match finding.verdict {
        Verdict::Pass => finding.statement,
        _ => format!("{first} Build it wider or deeper, or set its outlet nearer to the middle."),
    };
    Finding { statement, ..finding }
}

/// How high an overflow's sill lies above the sole at the outlet.
fn sill(form: Overflow, laid: &BoxGutterLayout) -> Length {
    laid.deep() - laid.depth_at(form.at) + form.above
}

fn overflow(comes: &RunOff, form: Overflow, laid: &BoxGutterLayout, rules: &Rules) -> Finding {
    let needed = comes.flow.as_litres_per_second();
    let takes = |head: Length| overflow_capacity(form.width, head).as_litres_per_second();
    let head = (0..=form.height.as_mm()).map(Length::mm).find(|&h| takes(h) >= needed);
    let sill = sill(form, laid);
    let shown = head.unwrap_or(form.height);
    let working = vec![
        measured("its sill above the sole at the outlet", sill.as_mm().into(), Unit::Millimetre),
        formula(
            format!("{} × {}^1.5 ÷ 24000 (BS EN 12056-3: weir)", form.width.as_mm(), shown.as_mm()),
            takes(shown),
            Unit::LitrePerSecond,
        ),
    ];
    let (whole, deep) = (flow_words(needed), laid.deep());
    let (verdict, statement) = match head.map(|h| sill + h) {
        None => {
            let most = flow_words(takes(form.height));
            let text = format!(
                "With the gutter's outlet blocked {whole} comes to the overflow {}, and filled to its top it \
                 takes {most}. Make it wider.",
                at(&comes.label)
            );
            (Verdict::Fail, text)
        }
        Some(level) if level > deep => {
            let text = format!(
                "With the gutter's outlet blocked the water stands {level} deep at it before the overflow {} takes \
                 {whole}, and the roof's edge is {deep} above the gutter's bottom there: it runs back onto the roof. Set the \
                 overflow lower, make it wider, or the gutter deeper.",
                at(&comes.label)
            );
            (Verdict::Fail, text)
        }
        Some(level) => {
            let text = format!(
                "With its outlet blocked the overflow of the gutter {} takes {whole} once the water stands {level} \
                 deep at the outlet; the roof's edge is {deep} above the gutter's bottom there.",
                at(&comes.label)
            );
            (Verdict::Pass, text)
        }
    };
    finding(comes, verdict, statement, working, rules)
}

fn no_overflow(comes: &RunOff, laid: &BoxGutterLayout, rules: &Rules) -> Finding {
    let statement = format!(
        "The gutter {} has one outlet and no overflow. With it blocked the water would stand {} deep and run back \
         onto the roof.",
        at(&comes.label),
        laid.deep()
    );
    finding(comes, Verdict::Refer, statement, Vec::new(), rules)
}

fn finding(comes: &RunOff, verdict: Verdict, statement: String, working: Vec<Step>, rules: &Rules) -> Finding {
    Finding {
        id: format!("gutter.{}.overflow", id_of(&comes.label)),
        kind: Subject::Water,
        roof: None,
        subject: format!("overflow of the gutter {}", at(&comes.label)),
        verdict,
        statement,
        design: rainwater::design_words(rules),
        source: SOURCE.into(),
        caution: CAUTION,
        working,
    }
}
