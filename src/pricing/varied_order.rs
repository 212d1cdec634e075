//! What a variation has bought besides: an order of its own, for its goods alone.
//!
//! Given a priced job and the goods; gives the same price with orders for these in the place of its own. What the job's own order
//! leaves over is not counted on: it may be used by then.

use super::order;
use super::private_sheet::Basis;
use super::variation::{FoundOnSite, FoundPart};
use super::{Pricing, VanUse, lifts};
use crate::model::problem::Source;
use crate::model::van::VanStock;
use crate::model::{Length, Problem, Role};
use crate::takeoff::Need;
use crate::takeoff::quantities::line::Share;
use crate::works::WorkKind;
use rust_decimal::Decimal;
use time::Date;

impl FoundOnSite {
    /// Whether it names an article without its size.
    pub fn is_unsized(&self) -> bool {
        let mut parts = self.lines.iter().flat_map(|line| &line.parts);
        parts.any(|part| matches!(part, FoundPart::Article { size: None, .. }))
            || self.lines.iter().flat_map(|line| &line.takes).any(|taken| taken.size.is_none())
    }

    /// The same, where an article without a size has the one in which the job needs it; one that the job needs in several sizes, or
    /// not at all, stays without.
    pub fn sized_by(mut self, needs: &[Need]) -> FoundOnSite {
        let sized = |role: &Role, size: &mut Option<Length>| {
            let mut sizes: Vec<Length> = needs.iter().filter(|n| n.role == *role).filter_map(|n| n.size).collect();
            sizes.sort_unstable();
            sizes.dedup();
            if let ([only], None) = (&sizes[..], &size) {
                *size = Some(*only);
            }
        };
        for line in &mut self.lines {
            for part in &mut line.parts {
                if let FoundPart::Article { role, size, .. } = part {
                    sized(role, size);
                }
            }
            line.takes.iter_mut().for_each(|taken| sized(&taken.role, &mut taken.size));
        }
        self
    }

    /// What of it is bought by role and size: articles, and boards, those of the job where it does not say which; with them the boards
    /// that a rate for boards takes, and what a line says that its rate or its sum takes.
    pub fn goods(&self, board: Option<&str>, rate_boards: u32) -> Vec<Need> {
        let parts = self.lines.iter().flat_map(|line| &line.parts);
        let goods = parts.filter_map(|part| match part {
            FoundPart::Boards { count, board: own } => {
                let board = own.as_deref().or(board)?;
                Some((Role::Board(board.to_owned()), None, Decimal::from(*count)))
            }
            FoundPart::Article { role, size, quantity, .. } => Some((role.clone(), *size, *quantity)),
            FoundPart::Rate { .. }
            | FoundPart::Hours(_)
            | FoundPart::Visits(_)
            | FoundPart::Cost(_)
            | FoundPart::Price(_)
            | FoundPart::Omit(_) => None,
        });
        let need = |(role, size, quantity)| Need {
            role,
            size,
            quantity,
            lines: Vec::new(),
            shares: vec![Share { work: WorkKind::Extras, roof: None, weight: Decimal::ONE }],
            optional: false,
            weighs: None,
        };
        let at_rate = board.filter(|_| rate_boards > 0).map(|key| {
            let boards = Role::Board(key.to_owned());
            (boards, None, Decimal::from(rate_boards))
        });
        let takes = self.lines.iter().flat_map(|line| &line.takes);
        let takes = takes.map(|taken| (taken.role.clone(), taken.size, taken.quantity));
        goods.chain(takes).chain(at_rate).map(need).collect()
    }
}

impl Pricing {
    /// The same price, with orders for other goods, less what stands in the van for them. `until` is the day on which it must
    /// still be fit for use, where that is later than the last of the programme.
    ///
    /// # Errors
    /// Goods that no price book sells, or of which too many packs would be counted out.
    pub fn ordering(
        mut self,
        goods: &[Need],
        van: &VanStock,
        until: Option<Date>,
        basis: Basis<'_>,
    ) -> Result<Pricing, Vec<Problem>> {
        let mut faults: Vec<Problem> = order::unsold(goods, basis.books).iter().map(not_sold).collect();
        faults.extend(order::too_many_packs(goods, basis.books));
        if !faults.is_empty() {
            return Err(faults);
        }
        let bought = order::buy(goods, basis.books);
        (self.orders, self.at_one_merchant, self.van) = (bought.orders, bought.at_one, VanUse::default());
        self.sums.retain(|sum| !["pack.", "van."].iter().any(|of| sum.id.starts_with(of)));
        self.sums.extend(bought.workings);
        self.notices = bought.notices;
        lifts::count_drops(&mut self.orders, basis.job.lift.as_ref());
        self.lifts = lifts::findings(&self.orders, basis.job.lift.as_ref());
        Ok(self.with_van_until(van, Basis { needs: goods, ..basis }, until))
    }
}

fn not_sold(need: &Need) -> Problem {
    let (what, quantity, unit) = (order::named(need), need.quantity.normalize(), need.unit());
    let fault = format!("no price book sells `{what}`, and the variation asks for {quantity} {unit}");
    let cure = format!("add an article with role: {} to a price book", need.role);
    Problem::fault(["articles"], fault, cure).within(Source::Prices(0))
}
