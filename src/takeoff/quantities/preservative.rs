//! Preservative for the cut ends of treated timber.
//!
//! Given all that is bought; gives one line over the job, by the metres of timber among it, and its need. What lies under
//! tiles is cut by whoever lays them, and is not counted. Its cost is shared by those metres.

use super::line::{Line, Need, Share, Step, Unit};
use super::working::{formula, line, measured, number, rule};
use crate::model::{LineId, Role, Rules};
use rust_decimal::Decimal;

/// The line and the need; nothing where no timber is bought.
pub fn lines(needs: &[Need], rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    let timber: Vec<(&Need, Decimal)> = needs.iter().filter_map(|n| Some((n, metres(n)?))).collect();
    let all: Decimal = timber.iter().map(|(_, metres)| metres).sum();
    let Some(work) = timber.iter().flat_map(|(need, _)| &need.shares).map(|s| s.work).next() else {
        return (Vec::new(), Vec::new());
    };
    let lines: Vec<Line> = line(
        (LineId::Preservative, work),
        "Preservative for cut ends",
        None,
        Unit::Litre,
        working(&timber, all, rules),
    )
    .into_iter()
    .collect();
    let need = Need::of(Role::Preservative, &lines.iter().collect::<Vec<_>>());
    let shares = timber.iter().flat_map(|(need, metres)| by_metres(need, *metres)).collect();
    (lines, need.map(|need| need.shared(shares)).into_iter().collect())
}

/// The metres of a need of treated timber; of any other none.
fn metres(need: &Need) -> Option<Decimal> {
    match need.role {
        Role::Firring | Role::EdgeBatten | Role::Noggin | Role::EdgeTimber => Some(need.quantity),
        Role::Sawn(_) => need.size.map(|length| length.metres() * need.quantity),
        _ => None,
    }
}

/// The shares of a need, weighed by its metres.
fn by_metres(need: &Need, metres: Decimal) -> Vec<Share> {
    let all: Decimal = need.shares.iter().map(|s| s.weight).sum();
    let of = |s: &Share| Share { weight: s.weight * metres / all, ..s.clone() };
    need.shares.iter().filter(|_| !all.is_zero()).map(of).collect()
}

fn working(timber: &[(&Need, Decimal)], all: Decimal, rules: &Rules) -> Vec<Step> {
    let each = rules.preservative_per.normalize();
    let mut steps: Vec<Step> =
        timber.iter().map(|(need, metres)| measured(need.role.to_string(), *metres, Unit::Metre)).collect();
    steps.extend([
        rule("preservative_per", format!("{each} m of timber per litre")),
        formula(format!("{} ÷ {each} m/l", number(all, Unit::Metre)), all / each, Unit::Litre),
    ]);
    steps
}
