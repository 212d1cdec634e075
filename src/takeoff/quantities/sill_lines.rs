//! The lines of the door sills over a roof.
//!
//! Given a roof as laid out; gives their run, the sealant that closes the joint under them, and the batten in the gap of the
//! deck where no fillet bridges it. Laminate, bandage and
//! topcoat under a sill are counted with the others'; a flashing stops at it, and takes no line here.

use super::line::{Line, Need, Step, Unit};
use super::working::{formula, line, measured, number, result, rounded_up, rule, sum};
use crate::model::{LineId, Role, Rules};
use crate::takeoff::layout::RoofLayout;
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// The lines of a roof's door sills; none where it has none.
pub fn sill_lines(layout: &RoofLayout, rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    let name = Some(layout.shape.name.as_str());
    let of = |id, item: &str, unit, working| line((id, WorkKind::DoorSill), item, name, unit, working);
    let run = run(layout);
    let sealant = of(LineId::SillSealant, "Sealant under door sills", Unit::Each, sealant(result(&run), rules));
    let need = sealant.as_ref().and_then(|l| Need::of(Role::SillSealant, &[l]));
    let run = of(LineId::SillRun, "Door sills", Unit::Metre, run);
    let gap = of(LineId::SillGap, "Batten in the gap under door sills", Unit::Metre, gap(layout, rules));
    let batten = gap.as_ref().and_then(|l| Need::of(Role::EdgeBatten, &[l]));
    (run.into_iter().chain(gap).chain(sealant).collect(), batten.into_iter().chain(need).collect())
}

/// Wet bandage does not bridge the gap of the deck: a batten closes it, ripped to it.
fn gap(layout: &RoofLayout, rules: &Rules) -> Vec<Step> {
    let gaps: Vec<_> = layout.sill_gaps(rules).collect();
    let mut steps = vec![rule("wall_gap", rules.wall_gap)];
    steps.extend(gaps.iter().map(|s| measured(format!("no fillet under {}", s.label), s.run.metres(), Unit::Metre)));
    steps.push(sum("", &gaps.iter().map(|s| s.run.metres()).collect::<Vec<_>>(), Unit::Metre));
    if gaps.is_empty() { Vec::new() } else { steps }
}

fn run(layout: &RoofLayout) -> Vec<Step> {
    let sides = layout.shape.sides.iter().filter(|s| s.sill.is_some());
    let mut steps: Vec<Step> =
        sides.clone().map(|s| measured(format!("sill at {}", s.label), s.run.metres(), Unit::Metre)).collect();
    steps.push(sum("", &sides.map(|s| s.run.metres()).collect::<Vec<_>>(), Unit::Metre));
    steps
}

/// A bead under the sill's edge and one at the top of the laminate behind it.
fn sealant(run: Decimal, rules: &Rules) -> Vec<Step> {
    let each = rules.chase_per_cartridge.metres();
    if run.is_zero() {
        return Vec::new();
    }
    let beads = run * Decimal::TWO;
    vec![
        formula(format!("two beads: {} × 2", number(run, Unit::Metre)), beads, Unit::Metre),
        rule("chase_per_cartridge", rules.chase_per_cartridge),
        formula(format!("{} ÷ {}", number(beads, Unit::Metre), number(each, Unit::Metre)), beads / each, Unit::Each),
        rounded_up("whole cartridges", beads / each, Unit::Each),
    ]
}
