//! How much heat a roof lets through, and whether that meets the limit.
//!
//! Given a build-up; gives its U-value by EN ISO 6946 (combined method where timber bridges the insulation) and a
//! verdict against the limits for England. The figure is compared before it is rounded, and both are shown: 0.1639 is
//! worse than 0.16 although it is reported as 0.16. Nothing in here changes the VAT of the work.

use super::finding::{CAUTION, Finding, Subject, Verdict, figure, formula};
use crate::facts::FACTS;
use crate::model::build_up::{BuildUp, Conductivity, JoistDetail, MaterialLayer, RoofKind, ThermalWork, Thickness};
pub use crate::model::build_up::{Existing, Transmittance};
use crate::model::products::Screw;
use crate::model::shape::{DeckAction, LaminateChoice};
use crate::model::{Job, Length, Problem, Roof, Rules, SettingPath, Warned};
use crate::takeoff::quantities::line::{Step, Unit};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// Surface resistance inside, heat going up (EN ISO 6946, from memory), m²K/W.
pub const INSIDE: Decimal = Decimal::from_parts(10, 0, 0, false, 2);
/// Surface resistance outside (EN ISO 6946, from memory), m²K/W.
pub const OUTSIDE: Decimal = Decimal::from_parts(4, 0, 0, false, 2);
/// Surface resistance on the cold side of a well ventilated void: as inside (EN ISO 6946, from memory), m²K/W.
pub const OUTSIDE_VENTED: Decimal = INSIDE;

/// One layer as heat meets it: its resistance beside the timber and through the timber, m²K/W. The two are the same
/// where no timber bridges it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Course {
    /// What it is.
    pub name: String,
    /// Resistance beside the timber.
    pub clear: Decimal,
    /// Resistance through the timber.
    pub timber: Decimal,
    /// How the resistance was found: `12.5 mm ÷ 0.21 W/mK`.
    pub reason: String,
}

impl Course {
    /// A layer that no timber bridges.
    pub fn whole(name: impl Into<String>, resistance: Decimal, reason: impl Into<String>) -> Course {
        Course { name: name.into(), clear: resistance, timber: resistance, reason: reason.into() }
    }

    /// A layer of one material throughout.
    pub fn of_sheet(sheet: &MaterialLayer) -> Course {
        let resistance = resistance(sheet.thickness, sheet.conductivity);
        Course::whole(&sheet.name, resistance, quotient(sheet.thickness, sheet.conductivity))
    }

    /// A layer that timber bridges.
    pub fn bridged(sheet: &MaterialLayer, timber: Conductivity) -> Course {
        let through = resistance(sheet.thickness, timber);
        Course { timber: through, ..Course::of_sheet(sheet) }
    }
}

/// Layers from the room outwards, with the surfaces at both ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stack {
    /// Surface resistance inside, m²K/W.
    pub inside: Decimal,
    /// The layers.
    pub courses: Vec<Course>,
    /// Surface resistance outside, m²K/W.
    pub outside: Decimal,
    /// Share of the area that is timber: at least 0, less than 1.
    pub timber: Decimal,
}

/// What the combined method gives, m²K/W.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Combined {
    /// Upper limit of the resistance: heat goes straight through each section.
    pub upper: Decimal,
    /// Lower limit: heat spreads evenly at each layer.
    pub lower: Decimal,
    /// The mean of the two.
    pub total: Decimal,
    /// Its reciprocal.
    pub transmittance: Transmittance,
    /// Upper over lower: the method holds below 1.5.
    pub ratio: Decimal,
    /// The working.
    pub working: Vec<Step>,
}

impl Combined {
    /// Whether the method holds (EN ISO 6946: upper over lower below 1.5, from memory).
    pub fn holds(&self) -> bool {
        self.ratio < Decimal::new(15, 1)
    }
}

/// The combined method of EN ISO 6946 for two sections, timber and the rest, m²K/W. Without timber both limits are
/// the sum of the layers.
pub fn combine(stack: &Stack) -> Combined {
    let clear_share = Decimal::ONE - stack.timber;
    let ends = stack.inside + stack.outside;
    let beside: Decimal = ends + stack.courses.iter().map(|c| c.clear).sum::<Decimal>();
    let through: Decimal = ends + stack.courses.iter().map(|c| c.timber).sum::<Decimal>();
    let parallel =
        |a: Decimal, b: Decimal| if a == b { a } else { Decimal::ONE / (clear_share / a + stack.timber / b) };
    let upper = parallel(beside, through);
    let lower = ends + stack.courses.iter().map(|c| parallel(c.clear, c.timber)).sum::<Decimal>();
    let total = (upper + lower) / Decimal::TWO;
    let transmittance = Transmittance::new(Decimal::ONE / total);
    let mut working = courses_working(stack);
    working.extend(limits_working(stack, [beside, through], [upper, lower], total));
    let text = format!("U = 1 ÷ {}", figure(total, 4));
    working.push(formula(text, transmittance.as_w_per_m2k(), Unit::ThermalTransmittance));
    let how = "as reported: two significant figures, halves up".to_owned();
    working.push(Step::Rounded { how, result: transmittance.reported(), unit: Unit::ThermalTransmittance });
    Combined { upper, lower, total, transmittance, ratio: upper / lower, working }
}

fn courses_working(stack: &Stack) -> Vec<Step> {
    let mut steps = vec![formula("surface inside (EN ISO 6946)", stack.inside, Unit::ThermalResistance)];
    for course in &stack.courses {
        let text = format!("{}: {}", course.name, course.reason);
        steps.push(formula(text, course.clear, Unit::ThermalResistance));
        if course.timber != course.clear {
            let text = format!("{}, where timber takes its place", course.name);
            steps.push(formula(text, course.timber, Unit::ThermalResistance));
        }
    }
    steps.push(formula("surface outside (EN ISO 6946)", stack.outside, Unit::ThermalResistance));
    steps
}

fn limits_working(stack: &Stack, sections: [Decimal; 2], limits: [Decimal; 2], total: Decimal) -> Vec<Step> {
    let [beside, through] = sections.map(|r| figure(r, 4));
    let resistance = Unit::ThermalResistance;
    if sections[0] == sections[1] || stack.timber.is_zero() {
        return vec![formula("sum of the layers", total, resistance)];
    }
    let timber = stack.timber.normalize();
    let upper = format!("upper limit: 1 ÷ ((1 − {timber}) ÷ {beside} + {timber} ÷ {through}) (EN ISO 6946)");
    vec![
        formula("sum of the layers beside the timber", sections[0], resistance),
        formula("sum of the layers through the timber", sections[1], resistance),
        formula(upper, limits[0], resistance),
        formula("lower limit: sum of the layers, each averaged over timber and rest", limits[1], resistance),
        formula("upper ÷ lower: the method holds below 1.5", limits[0] / limits[1], Unit::Factor),
        formula("mean of the two limits", total, resistance),
    ]
}

/// R = d ÷ λ, m²K/W.
fn resistance(thickness: Thickness, conductivity: Conductivity) -> Decimal {
    thickness.metres() / conductivity.as_w_per_mk()
}

fn quotient(thickness: Thickness, conductivity: Conductivity) -> String {
    format!("{} mm ÷ {} W/mK", thickness.as_mm().normalize(), conductivity.as_w_per_mk().normalize())
}

/// Resistance of a closed air layer, heat going up (EN ISO 6946, table, from memory): straight lines between its
/// rows; the last row holds for anything thicker, up to 300 mm.
pub fn air_layer(thickness: Length) -> Decimal {
    const TABLE: [(i64, i64); 6] = [(0, 0), (5, 11), (7, 13), (10, 15), (15, 16), (300, 16)];
    let mm = thickness.as_mm().clamp(0, 300);
    let next = TABLE.iter().position(|(t, _)| mm <= *t).unwrap_or(TABLE.len() - 1).max(1);
    let ((t0, r0), (t1, r1)) = (TABLE[next - 1], TABLE[next]);
    Decimal::new(r0, 2) + Decimal::new((r1 - r0) * (mm - t0), 2) / Decimal::from(t1 - t0)
}

/// The laminate as a layer, t = w/3.072 × (2.56/ψ − 1.36) mm, w the glass in kg/m² and ψ its share by mass
/// (ISO 12215-5, from memory). Its part in a U-value is under 0.3 %.
pub fn laminate_sheet(laminate: LaminateChoice, rules: &Rules) -> MaterialLayer {
    let glass = Decimal::new(i64::from(laminate.mat * laminate.layers), 3);
    let (density, constant) = (Decimal::new(256, 2), Decimal::new(136, 2));
    let thickness = glass / Decimal::new(3072, 3) * (density / rules.glass_fraction - constant);
    MaterialLayer {
        name: "laminate".into(),
        thickness: Thickness::mm(thickness.round_dp(3).normalize()),
        conductivity: Conductivity::LAMINATE,
    }
}

/// The layers of a build-up on joists at this spacing.
///
/// # Errors
/// A warm roof without insulation above the deck, a cold one without any between the joists, insulation deeper than
/// the joists, a share of timber that cannot be: all at once.
pub fn stack(build_up: &BuildUp, spacing: Length) -> Result<Stack, Vec<Problem>> {
    let timber = timber_share(&build_up.joists, spacing);
    let faults: Vec<Problem> = layer_faults(build_up.kind, build_up.insulation.is_some(), &build_up.path)
        .into_iter()
        .chain(between_fault(build_up.kind, Some(&build_up.joists), &build_up.path))
        .chain(joist_faults(&build_up.joists, spacing, &build_up.path))
        .collect();
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut courses: Vec<Course> = build_up.ceiling.iter().map(Course::of_sheet).collect();
    courses.extend(between_courses(build_up));
    let outside = match build_up.kind {
        RoofKind::Cold => OUTSIDE_VENTED,
        RoofKind::Warm => {
            let insulation = build_up.insulation.as_ref().map(|i| &i.sheet);
            let above = [Some(&build_up.deck), insulation, build_up.overlay.as_ref(), Some(&build_up.covering)];
            courses.extend(above.into_iter().flatten().map(Course::of_sheet));
            OUTSIDE
        }
    };
    Ok(Stack { inside: INSIDE, courses, outside, timber })
}

/// Share of timber: as given, else breadth ÷ spacing.
fn timber_share(joists: &JoistDetail, spacing: Length) -> Decimal {
    let geometric = || Decimal::from(joists.breadth.as_mm()) / Decimal::from(spacing.as_mm().max(1));
    joists.fraction.unwrap_or_else(geometric)
}

/// A warm roof without insulation over its deck. `path` is that of the build-up.
pub fn layer_faults(kind: RoofKind, has_insulation: bool, path: &SettingPath) -> Option<Problem> {
    (kind == RoofKind::Warm && !has_insulation).then(|| {
        Problem::fault(
            path.key("insulation"),
            "a warm roof has its insulation above the deck, and none is given",
            "name the board, or write `kind: cold`",
        )
    })
}

/// A cold roof without insulation between its joists; `None` for joists stands for those that could not be read.
pub fn between_fault(kind: RoofKind, joists: Option<&JoistDetail>, path: &SettingPath) -> Option<Problem> {
    (kind == RoofKind::Cold && joists.is_some_and(|j| j.between.is_none())).then(|| {
        Problem::fault(
            path.keys(["joists", "between"]),
            "a cold roof has its insulation between the joists, and none is given",
            "give its thickness and conductivity",
        )
    })
}

/// Insulation deeper than the joists, and a share of timber that cannot be.
pub fn joist_faults(joists: &JoistDetail, spacing: Length, path: &SettingPath) -> Vec<Problem> {
    let depth = Thickness::from(joists.depth);
    let deep = joists.between.as_ref().filter(|s| s.thickness > depth && joists.depth > Length::ZERO).map(|sheet| {
        Problem::fault(
            path.keys(["joists", "between"]),
            format!("{} mm of insulation do not fit between joists {} deep", sheet.thickness.as_mm(), joists.depth),
            "give the thickness that is really there, or the joists' real depth",
        )
    });
    let share = (!(Decimal::ZERO..Decimal::ONE).contains(&timber_share(joists, spacing))).then(|| {
        Problem::fault(
            path.keys(["joists", "fraction"]),
            "the share of timber must be at least 0 and less than 1",
            "leave it out to have breadth ÷ spacing taken, or write, for example, `fraction: 0.12`",
        )
    });
    deep.into_iter().chain(share).collect()
}

/// What lies between the joists. A closed void without insulation counts as air alone: the timber in it would
/// insulate a little better, so that leaving it out is on the safe side.
fn between_courses(build_up: &BuildUp) -> Vec<Course> {
    let (joists, vented) = (&build_up.joists, build_up.kind == RoofKind::Cold);
    let Some(sheet) = &joists.between else {
        let air = air_layer(joists.depth);
        return vec![Course::whole("closed void", air, "closed air layer, heat going up (EN ISO 6946)")];
    };
    let mut courses = vec![Course::bridged(sheet, joists.conductivity)];
    let left = Thickness::from(joists.depth).as_mm() - sheet.thickness.as_mm();
    if left > Decimal::ZERO && !vented {
        let left = Thickness::mm(left);
        let air = air_layer(Length::mm(left.as_mm().to_i64().unwrap_or(0)));
        let through = resistance(left, joists.conductivity);
        courses.push(Course { timber: through, ..Course::whole("void over the insulation", air, "closed air layer") });
    }
    courses
}

/// The limit that the work is judged by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HeatLimit {
    /// Worst U-value.
    pub worst: Transmittance,
    /// What it is for.
    pub what: &'static str,
}

/// Where the limits come from.
pub const LIMITS_SOURCE: &str = "Approved Document L, volume 1, 2021 edition (England, in force 15 June 2022), and BS EN ISO 6946:2017, from memory";

/// The limit for this kind of work (Approved Document L volume 1, 2021, from memory: 0.15 new, 0.16 renovated flat
/// roof).
pub fn limit(work: ThermalWork, rules: &Rules) -> HeatLimit {
    match work {
        ThermalWork::NewElement => {
            HeatLimit { worst: Transmittance::new(rules.u_new_element), what: "a new roof on an existing dwelling" }
        }
        ThermalWork::Renovated => {
            HeatLimit { worst: Transmittance::new(rules.u_renovated), what: "a renovated flat roof" }
        }
    }
}

/// What goes through the insulation to hold it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screws {
    /// Nothing does.
    None,
    /// So many to a square metre, of this kind.
    Known(Screw, Decimal),
    /// So many to a square metre, and no price book says how thick they are and of what metal.
    Unknown(Decimal),
}

/// What screws add to a U-value, W/m²K: ΔU = α λ A n ÷ d × (R₁ ÷ R)², with α = 0.8 where they go right through the
/// insulation, A their section, n their number on a square metre, d and R₁ the insulation's thickness and resistance, R
/// that of all layers (EN ISO 6946:2017, annex F, from memory). The standard lets it be left out under 3 % of U; it is
/// always counted here.
pub fn screw_correction(screw: Screw, per_m2: Decimal, insulation: &MaterialLayer, total: Decimal) -> Decimal {
    let diameter = screw.diameter.metres();
    let section = Decimal::new(3_141_592_653_590, 12) * diameter * diameter / Decimal::from(4);
    let ratio = resistance(insulation.thickness, insulation.conductivity) / total;
    let straight = ALPHA * screw.conductivity.as_w_per_mk() * section * per_m2 / insulation.thickness.metres();
    straight * ratio * ratio
}

const ALPHA: Decimal = Decimal::from_parts(8, 0, 0, false, 1);

/// The U-value with the screws in it, where they are known; else without them.
fn with_screws(build_up: &BuildUp, combined: &Combined, screws: Screws, working: &mut Vec<Step>) -> Transmittance {
    let (Screws::Known(screw, per_m2), Some(board)) = (screws, &build_up.insulation) else {
        return combined.transmittance;
    };
    let added = screw_correction(screw, per_m2, &board.sheet, combined.total);
    let text = format!(
        "screws: 0.8 × {} W/mK × π × ({} mm)² ÷ 4 × {} a m2 ÷ {} mm × (R of the insulation ÷ R)² (EN ISO 6946, annex F)",
        screw.conductivity.as_w_per_mk().normalize(),
        screw.diameter.as_mm().normalize(),
        figure(per_m2, 2),
        board.sheet.thickness.as_mm().normalize()
    );
    working.push(formula(text, added, Unit::ThermalTransmittance));
    let with = Transmittance::new(combined.transmittance.as_w_per_m2k() + added);
    working.push(formula("U with the screws", with.as_w_per_m2k(), Unit::ThermalTransmittance));
    let how = "as reported: two significant figures, halves up".to_owned();
    working.push(Step::Rounded { how, result: with.reported(), unit: Unit::ThermalTransmittance });
    with
}

/// Judges a build-up against the limit for its work. Screws of which nothing is known leave the answer open, unless it
/// fails without them.
///
/// # Errors
/// Those of [`stack`].
pub fn judge(build_up: &BuildUp, spacing: Length, screws: Screws, rules: &Rules) -> Result<Finding, Vec<Problem>> {
    let combined = combine(&stack(build_up, spacing)?);
    let limit = limit(build_up.work, rules);
    let mut working = combined.working.clone();
    let u = with_screws(build_up, &combined, screws, &mut working);
    let worst = limit.worst.as_w_per_m2k();
    let meets = u <= limit.worst;
    let open = !combined.holds() || meets && matches!(screws, Screws::Unknown(_));
    let verdict = if open { Verdict::Refer } else { Verdict::of(meets) };
    let mut statement = format!(
        "U-value {} W/m2K before rounding, {} as reported; the limit for {} is {}: {}.",
        figure(u.as_w_per_m2k(), 4),
        u.reported(),
        limit.what,
        worst.normalize(),
        comparison(u, limit.worst)
    );
    match verdict {
        Verdict::Refer if !combined.holds() => {
            statement.push_str(" The timber bridges too much for this method: have it calculated in detail.")
        }
        Verdict::Refer => statement.push_str(UNKNOWN_SCREWS),
        Verdict::Fail => statement.extend(thicker(build_up, spacing, screws, limit.worst)),
        Verdict::Pass => {}
    }
    if let Screws::Unknown(per_m2) = screws {
        working.push(formula("screws through the insulation, a m2, not counted", per_m2, Unit::Each));
    }
    working.push(Step::Note("insulation under a roof that is covered anew does not change the VAT of the work".into()));
    Ok(Finding {
        id: "heat.u".into(),
        kind: Subject::Heat,
        roof: None,
        subject: "heat through the roof".into(),
        verdict,
        statement,
        design: format!(
            "U-value no worse than {} W/m2K for {}, compared before rounding",
            worst.normalize(),
            limit.what
        ),
        source: LIMITS_SOURCE.into(),
        caution: CAUTION,
        working,
    })
}

const UNKNOWN_SCREWS: &str = " The screws through the insulation are not in it: their diameter and metal are not known, \
                              and they can add a third or more.";

fn comparison(u: Transmittance, worst: Transmittance) -> &'static str {
    match (u <= worst, u.reported() <= worst.as_w_per_m2k()) {
        (true, _) => "it meets the limit",
        (false, true) => "it meets the limit only once rounded, which is not counted as meeting it",
        (false, false) => "it does not meet the limit",
    }
}

/// The thickness of the same insulation that would meet the limit, in steps of 10 mm from what is there.
fn thicker(build_up: &BuildUp, spacing: Length, screws: Screws, worst: Transmittance) -> Option<String> {
    let board = build_up.insulation.as_ref()?;
    let try_with = |extra: i64| {
        let mut tried = build_up.clone();
        let thickness = board.sheet.thickness.as_mm() + Decimal::from(extra);
        tried.insulation.as_mut()?.sheet.thickness = Thickness::mm(thickness);
        let combined = combine(&stack(&tried, spacing).ok()?);
        let u = with_screws(&tried, &combined, screws, &mut Vec::new());
        (u <= worst).then_some(thickness.normalize())
    };
    let enough = (1..=40).find_map(|step| try_with(step * 10))?;
    Some(format!(" {enough} mm of the same insulation would."))
}

/// What to watch in a warm roof that is no fault of its figures.
pub fn warnings(build_up: &BuildUp) -> Vec<Problem> {
    let warm = build_up.kind == RoofKind::Warm;
    let mut found = Vec::new();
    if warm && build_up.vapour.is_none() {
        found.push(Problem::warning(
            Warned::Vapour,
            build_up.path.key("vapour"),
            "a warm roof without a vapour layer under its insulation takes up moisture from the rooms",
            "give the roll: `vapour: {roll_width: 2 m, roll_length: 25 m}`",
        ));
    }
    if warm && build_up.joists.between.is_some() {
        found.push(Problem::warning(
            Warned::Vapour,
            build_up.path.keys(["joists", "between"]),
            "insulation between the joists makes the vapour layer colder, and water may condense under it",
            "take the old insulation out, or have the condensation risk worked out (BS 5250)",
        ));
    }
    found
}

/// What is taken of each warm roof of which nothing is stripped and whose boards stay: that they are bare. An old covering that stays
/// under the insulation is not laid out: whether it is dry, and stuck all over, is seen only when it is cut open.
pub fn taken_as_bare(job: &Job) -> Vec<Problem> {
    let warm = |roof: &&Roof| roof.build_up.as_ref().is_some_and(|b| b.kind == RoofKind::Warm);
    let stays = |roof: &&Roof| roof.deck.action == DeckAction::Keep && job.strip_of(roof).is_none();
    let taken = |roof: &Roof| {
        Problem::assumed(
            roof.path.key("strip"),
            format!(
                "nothing is stripped from `{}`: its boards are taken to be bare, since no warm roof is laid out here over an old \
                 covering that stays",
                roof.name
            ),
            "where one lies there let it come off: `strip: {covering: felt, tip: skip}`",
        )
    };
    job.roofs.iter().filter(warm).filter(stays).map(taken).collect()
}

/// Whether an existing roof is to be improved along with the work: over half of it, or over a quarter of the
/// envelope, is renovated and it is worse than the threshold (Approved Document L volume 1, 2021, from memory).
pub fn improvement(existing: &Existing, rules: &Rules) -> Finding {
    let triggered = existing.of_roof > FACTS.improve_roof.number()
        || existing.of_envelope.is_some_and(|share| share > FACTS.improve_envelope.number());
    let poor = existing.transmittance.as_w_per_m2k() > rules.u_threshold;
    let now = figure(existing.transmittance.as_w_per_m2k(), 4);
    let (verdict, statement) = match (triggered, poor) {
        (true, true) => (
            Verdict::Refer,
            format!(
                "The roof lets through {now} W/m2K, worse than {}: it is to be improved to {}, as far as that can be \
                 done and pays for itself within {}. Agree it with Building Control.",
                rules.u_threshold, rules.u_renovated, FACTS.pays_within
            ),
        ),
        (true, false) => (Verdict::Pass, format!("The roof lets through {now} W/m2K: it need not be improved.")),
        (false, _) => (Verdict::Pass, "Too little of the roof is renovated for it to have to be improved.".to_owned()),
    };
    Finding {
        id: "heat.improvement".into(),
        kind: Subject::Heat,
        roof: None,
        subject: "improving the existing roof".into(),
        verdict,
        statement,
        design: format!("threshold {} W/m2K", rules.u_threshold),
        source: LIMITS_SOURCE.into(),
        caution: CAUTION,
        working: vec![formula(
            "U-value of the roof as it is",
            existing.transmittance.as_w_per_m2k(),
            Unit::ThermalTransmittance,
        )],
    }
}
