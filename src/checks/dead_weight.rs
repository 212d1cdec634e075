//! What the new roof weighs on its joists.
//!
//! Given a roof's lines and the masses of the price book; gives what stays on each square metre: boards, firrings, noggins,
//! battens, insulation, laminate with its laps and bandage, topcoat, trims and metal. What a book gives no mass for is
//! named, never guessed. No weight is called safe here: whether joists carry it is an engineer's question.

use super::finding::{Finding, Subject, Verdict, figure, formula, measured};
use crate::model::build_up::{InsulationBoard, Thickness};
use crate::model::products::Board;
use crate::model::{Flashing, Length, LineId, Products, Role, Roof, Rules};
use crate::takeoff::layout::flashings::WallFlashing;
use crate::takeoff::layout::timber::{OpeningTimber, OpeningTimbers};
use crate::takeoff::quantities::line::{Line, Step, Unit};
use rust_decimal::Decimal;

/// Standard gravity, m/s² (3rd General Conference on Weights and Measures, 1901).
pub const GRAVITY: Decimal = Decimal::from_parts(980_665, 0, 0, false, 5);

const ENGINEER: &str = "Whether the joists and what carries them can take it is a question for a structural engineer.";

/// A roof as it is weighed.
#[derive(Debug, Clone, Copy)]
pub struct Laid<'a> {
    /// The roof.
    pub roof: &'a Roof,
    /// Its lines.
    pub lines: &'a [&'a Line],
    /// New boards of its deck.
    pub deck: Option<&'a Board>,
    /// Boards over its insulation.
    pub overlay: Option<&'a Board>,
    /// New timber round its openings.
    pub openings: &'a OpeningTimbers,
    /// Its cover flashings.
    pub flashings: &'a [WallFlashing],
    /// Masses of what is sold.
    pub products: &'a Products,
}

/// Dead weight of the new roof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeadWeight {
    /// kg/m².
    pub kg_per_m2: Decimal,
    /// kN/m².
    pub kn_per_m2: Decimal,
    /// What to say of it. Always referred to an engineer.
    pub finding: Finding,
}

/// A line on the scales.
enum Weighed {
    /// How its mass was found, and the mass in kg.
    Mass(String, Decimal),
    /// Nobody says what it weighs.
    Unknown,
    /// It does not stay on the roof, or another line stands for it.
    Not,
}

/// What stays on the roof, on a square metre of it. What is stripped off is not taken from it: it comes off before, and
/// its weight is not known.
pub fn dead_weight(laid: &Laid<'_>, rules: &Rules) -> DeadWeight {
    let area = quantity(laid, LineId::RoofArea).max(Decimal::new(1, 3));
    let mut working = vec![measured("area of the roof", area, Unit::SquareMetre)];
    let (mut total, mut unknown) = (Decimal::ZERO, Vec::new());
    for line in laid.lines {
        match weighed(line, laid, rules) {
            Weighed::Mass(text, kg) => {
                working.push(formula(text, kg, Unit::Kilogram));
                total += kg;
            }
            Weighed::Unknown => unknown.push(line.item.to_lowercase()),
            Weighed::Not => {}
        }
    }
    working.push(formula("all together", total, Unit::Kilogram));
    let each = total / area;
    let text = format!("{} kg ÷ {} m2", figure(total, 2), figure(area, 3));
    working.push(formula(text, each, Unit::KilogramPerSquareMetre));
    let force = each * GRAVITY / Decimal::ONE_THOUSAND;
    let text = format!("{} kg/m2 × 9.80665 m/s2 ÷ 1000", figure(each, 3));
    working.push(formula(text, force, Unit::KilonewtonPerSquareMetre));
    DeadWeight {
        kg_per_m2: each,
        kn_per_m2: force,
        finding: finding(
            (each, force),
            (total, area),
            &unknown,
            (working, laid.lines.iter().any(|l| l.id == LineId::StripArea)),
        ),
    }
}

/// Of a roof no larger than this the whole weight is told: its edges weigh more than its face, and a square metre says little.
const FEW_SQUARE_METRES: Decimal = Decimal::TWO;

fn finding(
    (each, force): (Decimal, Decimal),
    (total, area): (Decimal, Decimal),
    unknown: &[String],
    (working, strips): (Vec<Step>, bool),
) -> Finding {
    let without = match unknown {
        [] => String::new(),
        some => format!(" Not in it, for want of a mass in the price book or a density: {}.", some.join(", ")),
    };
    let weighs = match area <= FEW_SQUARE_METRES {
        true => format!("The new roof weighs about {} kg in all", figure(total, 0)),
        false => {
            format!(
                "On each square metre the new roof weighs about {} kg ({} kN/m2)",
                figure(each, 1),
                figure(force, 3)
            )
        }
    };
    let statement =
        format!("{weighs}{}.{without} {ENGINEER}", if strips { "; what is stripped off is not deducted" } else { "" });
    Finding {
        id: "weight.dead".into(),
        kind: Subject::Weight,
        roof: None,
        subject: "dead weight".into(),
        verdict: Verdict::Refer,
        statement,
        design: "weight of what is laid and stays, without snow, people or stores".into(),
        source: "masses of the price book and of the firm's rules".into(),
        caution: "No structural check. Store nothing heavy in one place on the roof.",
        working,
    }
}

fn quantity(laid: &Laid<'_>, id: LineId) -> Decimal {
    laid.lines.iter().filter(|l| l.id == id).map(|l| l.quantity).sum()
}

fn weighed(line: &Line, laid: &Laid<'_>, rules: &Rules) -> Weighed {
    use LineId as Id;
    let book = |role: Role, size: Option<Length>| by_book(line, laid.products, &role, size);
    let insulation = laid.roof.build_up.as_ref().and_then(|b| b.insulation.as_ref());
    match line.id {
        Id::DeckArea => boards(line, laid.deck, rules),
        Id::OverlayArea => boards(line, laid.overlay, rules),
        Id::InsulationArea => foam(line, insulation),
        Id::BoxBoards => laid.deck.map_or(Weighed::Not, |b| times(line, b.mass_by(rules).as_kg(), &b.key)),
        Id::MatArea | Id::BoxLining => times(line, Decimal::new(laid.roof.laminate.mat.into(), 3), "glass of the mat"),
        Id::LaminateResin
        | Id::BandageResin
        | Id::SealResin
        | Id::BoxResin
        | Id::BoxTopcoat
        | Id::TopcoatMass
        | Id::SurfaceTopcoat
        | Id::FirringMass
        | Id::SurfaceAggregate => Weighed::Mass(line.item.clone(), line.quantity),
        Id::BandageLength(width) => book(Role::Bandage(width), None),
        Id::DeckNoggins => book(Role::Noggin, None),
        Id::KerbTimber => timber(line, laid, laid.openings.of_kerbs(true)),
        Id::TrimmerLength => timber(line, laid, laid.openings.of_kerbs(false)),
        Id::EdgeJoists => timber(line, laid, laid.openings.edge_joists()),
        Id::BattenLength | Id::SillGap => book(Role::EdgeBatten, None),
        Id::EdgeTimber => book(Role::EdgeTimber, insulation.and_then(|i| height(i.sheet.thickness))),
        Id::VapourArea => book(Role::Vapour, None),
        Id::TrimRun(finish) => book(Role::Trim(finish), None),
        Id::CornerExternal => book(Role::CornerExternal, None),
        Id::CornerInternal => book(Role::CornerInternal, None),
        Id::ClosureLeft => book(Role::ClosureLeft, None),
        Id::ClosureRight => book(Role::ClosureRight, None),
        Id::FlashingLength | Id::FlashingLeadFree => flashing(line, laid),
        Id::OverlayFixings => book(Role::OverlayFixings, None),
        Id::NailsClout => book(Role::CloutNails, None),
        Id::TieBoard => book(Role::TieBoard, None),
        _ => Weighed::Not,
    }
}

/// A flashing of one kind: all of it is weighed as the widest strip of it on the roof.
fn flashing(line: &Line, laid: &Laid<'_>) -> Weighed {
    let kind = Flashing::ALL.into_iter().find(|kind| kind.line() == Some(line.id));
    let Some((kind, role)) = kind.and_then(|kind| Some((kind, kind.role()?))) else { return Weighed::Not };
    let widest = laid.flashings.iter().filter(|f| f.kind == kind).filter_map(|f| f.sold).max();
    by_book(line, laid.products, &role, widest)
}

/// New timber of openings: the book's mass of each section.
fn timber<'a>(line: &Line, laid: &Laid<'_>, pieces: impl Iterator<Item = &'a OpeningTimber>) -> Weighed {
    let each = |p: &OpeningTimber| Some(laid.products.mass_of(&Role::Sawn(p.section), None)? * p.length.metres());
    let all: Option<Vec<Decimal>> = pieces.map(each).collect();
    match all {
        Some(all) => Weighed::Mass(line.item.clone(), all.iter().sum()),
        None => Weighed::Unknown,
    }
}

/// A thickness as a size in whole millimetres.
fn height(thickness: Thickness) -> Option<Length> {
    i64::try_from(thickness.as_mm().round()).ok().map(Length::mm)
}

/// So many kilograms for each unit of the line.
fn times(line: &Line, each: Decimal, what: &str) -> Weighed {
    let text = format!("{what}: {} {} × {} kg", figure(line.quantity, 3), line.unit, figure(each, 4));
    Weighed::Mass(text, line.quantity * each)
}

fn by_book(line: &Line, products: &Products, role: &Role, size: Option<Length>) -> Weighed {
    products.mass_of(role, size).map_or(Weighed::Unknown, |each| times(line, each, &line.item))
}

/// Mass of a board: as the price book gives it, else thickness × the rule's density.
fn boards(line: &Line, board: Option<&Board>, rules: &Rules) -> Weighed {
    let Some(board) = board else { return Weighed::Not };
    let each = board.mass_by(rules).as_kg() / (board.length * board.width).square_metres();
    times(line, each, &board.key)
}

fn foam(line: &Line, board: Option<&InsulationBoard>) -> Weighed {
    let Some(board) = board else { return Weighed::Not };
    let each = board.density.map(|density| board.sheet.thickness.metres() * density);
    each.map_or(Weighed::Unknown, |each| times(line, each, &board.sheet.name))
}
