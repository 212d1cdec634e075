//! What each operation takes: the lines of the take-off, those of all roofs together.
//!
//! Given what was worked; gives texts for the vocabulary, one list for each operation.

use super::super::words::Vocabulary;
use super::super::{WholeJob, wording};
use crate::model::LineId;
use crate::takeoff::quantities::line::{Line, Unit};
use rust_decimal::Decimal;

/// What each operation needs, from the lines of the take-off.
pub(super) fn materials(v: &mut Vocabulary, worked: &WholeJob<'_>) {
    use LineId as Id;
    let laid = || worked.take_off.lines.iter().filter(|l| !l.work.is_on_old());
    let of = |is: fn(LineId) -> bool| amounts(laid().filter(|l| is(l.id)));
    let prepared = |id| {
        matches!(
            id,
            Id::FirringLength
                | Id::DeckNoggins
                | Id::SawnLengths
                | Id::TrimmerHangers
                | Id::HangerNails
                | Id::EdgeJoistFixings
                | Id::TrimmerFixings
                | Id::KerbFixings
        )
    };
    // Edge battens of a warm roof stand beside the board over its insulation.
    let over_insulation =
        |l: &Line| worked.job.roofs.iter().any(|roof| l.roof.as_ref() == Some(&roof.name) && roof.warm().is_some());
    // Outlets of a roof that has none in itself are let into the sole of its box gutter, while the deck is laid.
    let in_itself =
        |l: &Line| worked.job.roofs.iter().any(|r| l.roof.as_ref() == Some(&r.name) && !r.outlets.is_empty());
    let in_box = |l: &Line| l.id == Id::RoofOutlets && !in_itself(l);
    let batten = |l: &Line| l.id == Id::BattenLength;
    let with_battens = |is: fn(LineId) -> bool, late: bool| {
        let there = |l: &Line| over_insulation(l) == late;
        // One kind of screw for firrings, noggins and edge battens: what is carried up is counted together.
        let framing = |l: &&Line| match l.id {
            Id::BattenFixings => there(l),
            Id::FirringFixings | Id::NogginFixings => !late,
            _ => false,
        };
        let screws: Decimal = laid().filter(framing).map(|l| l.quantity).sum();
        let mut list = amounts(laid().filter(|l| is(l.id) || batten(l) && there(l)));
        list.extend((!screws.is_zero()).then(|| format!("Framing screws: {screws}")));
        list
    };
    let battens_late = laid().any(batten) && laid().filter(|l| batten(l)).all(over_insulation);
    v.yes("battens_late", battens_late)
        .yes("preservative", worked.take_off.lines.iter().any(|l| l.id == Id::Preservative))
        .texts("prepare_materials", &with_battens(prepared, false))
        .texts(
            "finish_materials",
            &of(|id| {
                matches!(
                    id,
                    Id::FlashingLength
                        | Id::FlashingLeadFree
                        | Id::FlashingWedges
                        | Id::FlashingSealant
                        | Id::SillSealant
                        | Id::CopingMortar
                        | Id::CopingDpc
                        | Id::CappingLength
                        | Id::CappingBrackets
                        | Id::CappingFixings
                        | Id::CappingEnds
                        | Id::CappingCorners
                        | Id::GutterBrackets
                        | Id::GutterFixings
                        | Id::GutterDownpipe
                        | Id::GutterSockets
                        | Id::GutterClipFixings
                        | Id::TieUnderlay
                        | Id::TieBattens
                        | Id::TieBattenNails
                        | Id::TieNails
                        | Id::TieStraps
                        | Id::TieTiles
                )
            }),
        )
        .texts(
            "deck_materials",
            &amounts(laid().filter(|l| {
                matches!(
                    l.id,
                    Id::DeckBoards
                        | Id::DeckFixings
                        | Id::OldDeckFixings
                        | Id::VentRun
                        | Id::BoxBoards
                        | Id::BoxFixings
                        | Id::BoxBearers
                        | Id::BearerFixings
                        | Id::BoxLedgers
                        | Id::LedgerFixings
                        | Id::LedgerPlugs
                        | Id::BoxFillets
                ) || in_box(l)
            })),
        )
        .texts(
            "insulation_materials",
            &with_battens(
                |id| {
                    matches!(
                        id,
                        Id::VapourArea
                            | Id::VapourTape
                            | Id::InsulationBoards
                            | Id::EdgeTimber
                            | Id::EdgeTimberFixings
                            | Id::OverlayBoards
                            | Id::OverlayFixings
                    )
                },
                true,
            ),
        )
        .texts(
            "trim_materials",
            &amounts(laid().filter(|l| {
                matches!(
                    l.id,
                    Id::TrimLengths(_)
                        | Id::CornerExternal
                        | Id::CornerInternal
                        | Id::ClosureLeft
                        | Id::ClosureRight
                        | Id::NailsClout
                        | Id::AdhesiveDabs
                        | Id::AdhesiveCartridges
                        | Id::SealTemporary
                        | Id::PipeCollars
                        | Id::RoofOutlets
                        | Id::RoofOverflows
                        | Id::OverflowMortar
                        | Id::SillGap
                        | Id::TieBoard
                        | Id::TieFillet
                        | Id::TieFixings
                        | Id::ParapetBoards
                        | Id::ParapetFixings
                        | Id::ParapetPrimer
                        | Id::ParapetMortar
                ) && !in_box(l)
            })),
        )
        .texts(
            "bandage_materials",
            &of(|id| matches!(id, Id::BandageLength(_) | Id::BandageLaps(_) | Id::BandageResin)),
        )
        .texts(
            "laminate_materials",
            &of(|id| matches!(id, Id::MatArea | Id::LaminateResin | Id::SealResin | Id::BoxLining | Id::BoxResin)),
        )
        .texts(
            "topcoat_materials",
            &of(|id| {
                matches!(
                    id,
                    Id::TopcoatMass | Id::SurfaceTopcoat | Id::SurfaceAggregate | Id::SurfaceDiscs | Id::BoxTopcoat
                )
            }),
        );
}

/// `Mat: 21.4 m²` for each thing that the lines name, of all roofs together.
pub(super) fn amounts<'a>(lines: impl Iterator<Item = &'a Line>) -> Vec<String> {
    let mut sums: Vec<(&str, Unit, Decimal)> = Vec::new();
    for line in lines {
        match sums.iter_mut().find(|(item, unit, _)| *item == line.item && *unit == line.unit) {
            Some((.., sum)) => *sum += line.quantity,
            None => sums.push((&line.item, line.unit, line.quantity)),
        }
    }
    sums.into_iter().map(|(item, unit, sum)| amount(item, unit, sum)).collect()
}

fn amount(item: &str, unit: Unit, sum: Decimal) -> String {
    format!("{}:\u{a0}{}", wording::capital(&item.replace("m2", "m²")), wording::quantity(sum, unit, 1))
}
