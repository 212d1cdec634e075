//! Whether the outlets in a roof take its rain, whether it falls to them, and what happens once they are blocked.
//!
//! Given a roof as laid out with its outlets and overflows; gives a finding for each outlet, one for the overflows, and
//! warnings of water that stands. Each outlet takes the rain of what lies nearest to it across the fall: on a roof that
//! runs level along its low side nothing else sends the water one way. The overflow takes the whole of it.

use super::catchment;
use super::finding::{CAUTION, Finding, Subject, Verdict, figure, flow_words, formula, id_of, measured};
use super::rainwater::{self, SOURCE, WaterFromAbove};
use super::root::square_root;
use crate::geometry::segment::distance;
use crate::model::gutter::{FlowRate, OutletDetail};
use crate::model::shape::{Outlet, Overflow};
use crate::model::words::at;
use crate::model::{Area, Finish, Length, Point, Problem, Roof, Rules, Warned};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::shape::{Direction, RoofShape, Side};
use crate::takeoff::quantities::line::{Step, Unit};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// What a rectangular opening takes as a weir, l/s: `L h^1.5 ÷ 24000`, its clear width L and the water over its sill h
/// in mm (BS EN 12056-3, from memory). The theory of a broad-crested weir gives `L h^1.5 ÷ 18550`.
pub fn overflow_capacity(width: Length, head: Length) -> FlowRate {
    let h = Decimal::from(head.as_mm().max(0));
    FlowRate::litres_per_second(Decimal::from(width.as_mm()) * h * square_root(h) / Decimal::from(24_000))
}

/// The findings and the warnings of a roof's outlets and overflows; nothing where it has neither.
pub(super) fn check(
    roof: &Roof,
    layout: &RoofLayout,
    above: &WaterFromAbove,
    rules: &Rules,
) -> (Vec<Finding>, Vec<Problem>) {
    let shape = &layout.shape;
    let (mut findings, mut notices) = (Vec::new(), Vec::new());
    // A pitch that the table does not cover has been told with the drips.
    let Ok((flow, working)) = rainwater::whole_run_off(shape, above, rules) else { return (findings, notices) };
    let overflows = Opening::all(roof, shape);
    let mut outlets = each_outlet(roof, shape, flow, &working, rules);
    if holds_water(roof, shape) {
        notices.extend(never_reached(roof, shape, &overflows, rules));
        left_below(roof, shape, &mut outlets, rules);
    }
    findings.extend(outlets);
    if !overflows.is_empty() {
        findings.push(overflow(roof, shape, flow, &working, &overflows, rules));
    }
    if holds_water(roof, shape) {
        for (finding, notice) in level_sides(roof, shape, rules) {
            findings.push(finding);
            notices.push(notice);
        }
        notices.extend(stands_below(roof, shape, rules));
        if overflows.is_empty() {
            let finding = no_overflow(roof, shape, rules);
            let cure = "add an overflow to the edge at the low side: `overflow: {at: 1.0 m, width: 200 mm, height: \
                        75 mm, above: 30 mm}`";
            let fault = "nothing but its outlets lets the water off this roof, and it has no overflow for the day \
                         that they are blocked";
            notices.push(Problem::warning(Warned::Overflow, roof.path.key("edges"), fault, cure));
            findings.push(finding);
        }
    }
    (findings, notices)
}

/// Whether water stays on the roof once its outlets are blocked: a low side that is no drip, or no drip at all.
fn holds_water(roof: &Roof, shape: &RoofShape) -> bool {
    let drip = Finish::drains;
    let held = shape.low_sides.iter().any(|&i| !drip(shape.sides[i].finish));
    !roof.outlets.is_empty() && (held || !shape.sides.iter().any(|s| drip(s.finish)))
}

// ---- Outlets -----------------------------------------------------------------------------------------------------

fn each_outlet(roof: &Roof, shape: &RoofShape, flow: FlowRate, working: &[Step], rules: &Rules) -> Vec<Finding> {
    let places: Vec<Point> = roof.outlets.iter().map(|o| o.at).collect();
    let shares = catchment::nearest(shape, &places);
    let whole: Area = shares.iter().copied().sum();
    let drip = roof.outline.edges.iter().any(|e| e.finish.drains());
    let several = roof.outlets.len() > 1;
    let one = |(n, (outlet, share)): (usize, (&Outlet, &Area))| {
        let subject = if several { format!("outlet {}", n + 1) } else { "outlet".to_owned() };
        let mut working = working.to_vec();
        if drip {
            working.push(Step::Note("what runs off over a drip edge is not taken off".into()));
        }
        let mut comes = flow;
        if several {
            let (own, all) = (share.square_metres(), whole.square_metres());
            let part = flow.as_litres_per_second() * own / all;
            working.push(measured("plan area nearest to it across the fall", own, Unit::SquareMetre));
            let text = format!(
                "{} l/s × {} m2 ÷ {} m2",
                figure(flow.as_litres_per_second(), 4),
                figure(own, 3),
                figure(all, 3)
            );
            working.push(formula(text, part, Unit::LitrePerSecond));
            comes = FlowRate::litres_per_second(part);
        }
        let detail = OutletDetail { diameter: outlet.size, head: outlet.head, strainer: outlet.strainer };
        let mut finding = rainwater::check_outlet(&subject, comes, &detail, None, rules);
        working.append(&mut finding.working);
        Finding { id: id_of(&subject).replace('-', "."), working, ..finding }
    };
    roof.outlets.iter().zip(&shares).enumerate().map(one).collect()
}

/// The low sides along which nothing falls to an outlet, where the way to it is long enough to tell.
fn level_sides(roof: &Roof, shape: &RoofShape, rules: &Rules) -> Vec<(Finding, Problem)> {
    let told = |&i: &usize| {
        let side = &shape.sides[i];
        let to_outlet = |p: Point| roof.outlets.iter().map(|o| distance(p, o.at)).min().unwrap_or_default();
        let furthest = furthest_level(side.from, side.to, &to_outlet);
        let rise = Length::mm((Decimal::from(furthest.as_mm()) / rules.least_fall).round().to_i64().unwrap_or(0));
        (!side.finish.drains() && rise > rules.pond_depth).then(|| {
            let fault = format!(
                "nothing falls along `{}` to an outlet, which is up to {} m away: water stands there",
                side.label,
                figure(furthest.metres(), 1)
            );
            let cure = format!(
                "add another entry under `outlets`, let the roof fall to a drip, or lay tapered pieces to the outlet \
                 ({rise} thick at the far end gives 1:{}): put them under `extras` or `order_lines`, then write \
                 `silence: [{{warning: standing-water, because: tapered pieces to the outlet}}]`",
                rules.least_fall.normalize()
            );
            let problem = Problem::warning(Warned::StandingWater, side.path.clone(), fault, cure);
            (level_side(side, furthest, rules), problem)
        })
    };
    shape.low_sides.iter().filter_map(told).collect()
}

/// How the id of such a finding begins.
const LEVEL_SIDE: &str = "level.";

/// Whether a finding is of a low side along which nothing falls to an outlet.
pub(crate) fn is_of_level_side(finding: &Finding) -> bool {
    finding.id.starts_with(LEVEL_SIDE)
}

/// What is told of such a side to those who read the documents.
fn level_side(side: &Side, furthest: Length, rules: &Rules) -> Finding {
    let away = figure(furthest.metres(), 1);
    Finding {
        id: format!("{LEVEL_SIDE}{}", id_of(&side.label)),
        kind: Subject::Water,
        roof: None,
        subject: format!("fall along {}", side.label),
        verdict: Verdict::Refer,
        statement: format!(
            "The roof falls to {} and runs level along it, up to {away} m to the outlet: after rain water may stand \
             there, unless tapered pieces lead it to the outlet.",
            side.label
        ),
        design: format!("at least 1:{} is left everywhere", rules.least_fall.normalize()),
        source: "BS 6229, from memory".into(),
        caution: CAUTION,
        working: vec![measured("furthest from an outlet", furthest.metres(), Unit::Metre)],
    }
}

/// How far the point of a side that is furthest from every outlet is from the nearest, looked for each 50 mm.
fn furthest_level(from: Point, to: Point, to_outlet: &dyn Fn(Point) -> Length) -> Length {
    let steps = (distance(from, to).as_mm() / 50).max(1);
    let at = |k: i64| Point::new(from.x + (to.x - from.x) * k / steps, from.y + (to.y - from.y) * k / steps);
    (0..=steps).map(|k| to_outlet(at(k))).max().unwrap_or_default()
}

/// The lowest outlet, the first of those that stand level: its place in the list, and how high it stands above the low line.
fn lowest_outlet(roof: &Roof, shape: &RoofShape) -> Option<(usize, Length)> {
    let all = roof.outlets.iter().map(|o| rise(roof, shape, o.at)).enumerate();
    all.min_by_key(|(_, rise)| *rise)
}

/// An outlet that stands above where the water leaves the roof: none ever comes to it. With the lowest, all of them do.
fn never_reached(roof: &Roof, shape: &RoofShape, overflows: &[Opening], rules: &Rules) -> Option<Problem> {
    let (lowest, deep) = lowest_outlet(roof, shape)?;
    let through = overflows.iter().map(|o| (format!("through the overflow {}", at(&o.label)), o.sill));
    let over = lowest_top(roof, shape, rules).map(|(place, top)| (format!("over the laminate {place}"), top));
    let (way, leaves) = through.chain(over).min_by_key(|(_, height)| *height)?;
    (deep >= leaves).then(|| {
        Problem::fault(
            roof.outlets[lowest].path.key("at"),
            format!(
                "no water comes to the outlet: it stands {deep} above the low side, and at {leaves} the water runs off {way}"
            ),
            "set it at the low side; `at` is along the front, then up the roof: are the two figures swapped?",
        )
    })
}

/// The outlet that water stands below is not well, whatever it takes: whoever reads of it reads how deep.
fn left_below(roof: &Roof, shape: &RoofShape, outlets: &mut [Finding], rules: &Rules) {
    let Some((lowest, deep)) = lowest_outlet(roof, shape).filter(|(_, deep)| *deep > rules.pond_depth) else { return };
    let Some(finding) = outlets.get_mut(lowest) else { return };
    if finding.verdict == Verdict::Pass {
        finding.verdict = Verdict::Refer;
    }
    finding.statement.push_str(&format!(" It stands up the fall: below it up to {deep} of water stay on the roof."));
}

/// Outlets that stand so far up the fall that water stands below the lowest of them.
fn stands_below(roof: &Roof, shape: &RoofShape, rules: &Rules) -> Option<Problem> {
    let (lowest, deep) = lowest_outlet(roof, shape)?;
    (deep > rules.pond_depth).then(|| {
        Problem::warning(
            Warned::StandingWater,
            roof.outlets[lowest].path.key("at"),
            format!("the outlet stands up the fall: below it {deep} of water stay on the roof"),
            "set it at the low side, or fill the roof below it with tapered pieces",
        )
    })
}

/// How high a place lies above the low line, by the fall; nothing where that is there and was not measured.
fn rise(roof: &Roof, shape: &RoofShape, at: Point) -> Length {
    let up = shape.up_from_low(at);
    let run = roof.fall.known().and_then(|f| f.run.to_f64()).filter(|r| *r > 0.0).unwrap_or(f64::INFINITY);
    Length::mm((up / run).round() as i64)
}

// ---- Overflows ---------------------------------------------------------------------------------------------------

/// An overflow with the height of its sill above the low line.
struct Opening {
    label: String,
    form: Overflow,
    sill: Length,
    finish: Finish,
}

impl Opening {
    fn all(roof: &Roof, shape: &RoofShape) -> Vec<Opening> {
        let one = |(i, edge): (usize, &crate::model::Edge)| {
            let (form, side) = (edge.overflow.filter(|_| edge.finish != Finish::Gutter)?, shape.sides.get(i)?);
            let along = Direction::along(side.from, side.to);
            let by = form.at.as_mm() as f64;
            let (x, y) = (side.from.x as f64 + along.x * by, side.from.y as f64 + along.y * by);
            let at = Point::new(x.round() as i64, y.round() as i64);
            let sill = rise(roof, shape, at) + form.above;
            Some(Opening { label: side.label.clone(), form, sill, finish: edge.finish })
        };
        roof.outline.edges.iter().enumerate().filter_map(one).collect()
    }

    /// How far its top stands over the edge that it goes through: a raised one ends there, a wall goes on.
    fn over_its_edge(&self, rules: &Rules) -> Option<(Length, Length)> {
        let (head, top) = (self.form.above + self.form.height, rules.mat_return.of(self.finish));
        (self.finish == Finish::Raised && head > top).then_some((head, top))
    }

    /// What it takes while the water stands so high above the low line: more than the opening's height is not counted.
    fn takes(&self, level: Length) -> Decimal {
        let head = (level - self.sill).max(Length::ZERO).min(self.form.height);
        overflow_capacity(self.form.width, head).as_litres_per_second()
    }
}

/// The lowest place at which water would leave over what stands round the roof, above the low line: an edge or a kerb
/// by its name, and how high the laminate goes there.
fn lowest_top(roof: &Roof, shape: &RoofShape, rules: &Rules) -> Option<(String, Length)> {
    let up = |finish: Finish| rules.mat_return.of(finish);
    let sides = shape.sides.iter().filter(|s| !s.finish.drains());
    let top = |s: &Side| {
        let ends = [rise(roof, shape, s.from), rise(roof, shape, s.to)];
        match s.coped {
            // The top of a wall that the roof is carried over is level: it was measured where the roof stands highest.
            Some(wall) => ends[0].max(ends[1]) + wall.left,
            None => ends[0].min(ends[1]) + up(s.finish),
        }
    };
    let edges = sides.map(|s| (at(&s.label), top(s)));
    let holes = shape.holes.iter().filter(|h| !h.round).filter_map(|h| {
        let low = h.ring.iter().map(|&p| rise(roof, shape, p)).min()?;
        Some((at(&h.name), low + up(h.finish)))
    });
    edges.chain(holes).min_by_key(|(_, top)| *top)
}

fn overflow(
    roof: &Roof,
    shape: &RoofShape,
    flow: FlowRate,
    working: &[Step],
    openings: &[Opening],
    rules: &Rules,
) -> Finding {
    let needed = flow.as_litres_per_second();
    let full = openings.iter().map(|o| o.sill + o.form.height).max().unwrap_or_default();
    let taken = |level: Length| openings.iter().map(|o| o.takes(level)).sum::<Decimal>();
    let level = (0..=full.as_mm()).map(Length::mm).find(|&l| taken(l) >= needed);
    let top = lowest_top(roof, shape, rules);
    let sill = openings.iter().map(|o| o.sill).min().unwrap_or_default();
    let mut working = working.to_vec();
    for o in openings {
        working.push(measured(format!("overflow at {}, clear width", o.label), mm(o.form.width), Unit::Millimetre));
        working.push(measured("its sill above the low line", mm(o.sill), Unit::Millimetre));
        let head = (level.unwrap_or(full) - o.sill).max(Length::ZERO).min(o.form.height);
        let text = format!("{} × {}^1.5 ÷ 24000 (BS EN 12056-3: weir)", o.form.width.as_mm(), head.as_mm());
        working.push(formula(text, o.takes(level.unwrap_or(full)), Unit::LitrePerSecond));
    }
    let whole = flow_words(needed);
    let over = openings.iter().find_map(|o| Some((o, o.over_its_edge(rules)?)));
    let (verdict, statement) = match (over, level, top) {
        (Some((o, (head, top))), ..) => {
            let cure = match top - o.form.above {
                room if room > Length::ZERO => format!("Make it no more than {room} high, and wider for that"),
                _ => "Set its sill lower".to_owned(),
            };
            let text = format!(
                "The top of the overflow {} lies {head} above the roof, and the raised edge there ends at {top}. {cure}.",
                at(&o.label)
            );
            (Verdict::Fail, text)
        }
        (None, None, _) => {
            let most = flow_words(taken(full));
            let text = format!(
                "With every outlet blocked {whole} comes to the overflow, and filled to its top it takes {most} \
                 l/s. Make it wider, or add another."
            );
            (Verdict::Fail, text)
        }
        (None, Some(level), Some((name, top))) if level > top => {
            let text = format!(
                "With every outlet blocked the water stands {level} deep at the low side before the overflow takes \
                 {whole}, and {name} the laminate ends at {top}. Set the overflow lower, make it wider, or \
                 carry the roof up higher there."
            );
            (Verdict::Fail, text)
        }
        (None, Some(level), _) => {
            let text = format!(
                "With every outlet blocked the overflow takes {whole} once the water stands {level} deep at the \
                 low side, which weighs {} kg on each m2 there; it begins to run at {sill}. An engineer says whether \
                 the roof bears it.",
                level.as_mm()
            );
            (Verdict::Pass, text)
        }
    };
    finding(verdict, statement, working, rules)
}

fn mm(length: Length) -> Decimal {
    length.as_mm().into()
}

fn no_overflow(roof: &Roof, shape: &RoofShape, rules: &Rules) -> Finding {
    let spills = lowest_top(roof, shape, rules).map_or_else(String::new, |(name, top)| {
        format!(
            " With them blocked the water would stand {top} deep at the low side, {} kg on each m2, before it leaves \
             over the laminate {name}.",
            top.as_mm()
        )
    });
    let statement = format!("Nothing but its outlets lets the water off this roof, and it has no overflow.{spills}");
    finding(Verdict::Refer, statement, Vec::new(), rules)
}

fn finding(verdict: Verdict, statement: String, working: Vec<Step>, rules: &Rules) -> Finding {
    Finding {
        id: "overflow".into(),
        kind: Subject::Water,
        roof: None,
        subject: "overflow".into(),
        verdict,
        statement,
        design: rainwater::design_words(rules),
        source: SOURCE.into(),
        caution: CAUTION,
        working,
    }
}
