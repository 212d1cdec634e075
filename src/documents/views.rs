//! What each reader may see of a job: the householder's view, which the quote is made from, and the merchant's, which an
//! order is made from.
//!
//! Given a whole job; gives views, and is the only place where they are made. Neither holds a cost, a margin, a rate of
//! pay or an hour, and the merchant's holds no price either: what is not in a view cannot be printed by mistake. A value
//! that knows more than its reader may (a roof's surface brings the firm's own hours) stands here in a private field.

use super::built_edges;
use super::drawings::Space;
use super::drawings::firrings::alike;
use super::drawings::one_key::KeyParts;
use super::drawings::roof_plan::{self, Audience};
use super::drawings::sections;
use super::letterhead::Parties;
use super::whole_job::WholeJob;
use super::wording;
use crate::checks::fascias::Fascias;
use crate::checks::finding::Finding;
use crate::checks::{boundary, levels, starting};
use crate::model::access::Beside;
use crate::model::build_up::MaterialLayer;
use crate::model::goods::Goods;
use crate::model::job::{Answer, By, Delivery, Forced, answer_among};
use crate::model::old_roof::Recoat;
use crate::model::products::BoardEdge;
use crate::model::shape::{DeckAction, Edge, JoistRun, LaminateChoice};
use crate::model::{Access, Finish, Flashing, Length, LineId, Mass, OldRoof, Photo, Point, Role, Roof, RoofFall};
use crate::pages::block::Figure;
use crate::pricing::terms::{PROVISIONAL, Retention};
use crate::pricing::{
    Drops, Money, Offer, OptionPrice, OptionTotals, Order, OrderLine, PriceLine, RotRate, Stage, VatLine,
};
use crate::programme::{SiteWarning, Stop, Timetable};
use crate::takeoff::layout::joist_ends::{JoistEnds, joist_ends};
use crate::takeoff::layout::patches::OldRoofLayout;
use crate::takeoff::layout::{RoofLayout, falls};
use crate::works::Works;
use rust_decimal::Decimal;
use time::Date;

// ---- The householder's ---------------------------------------------------------------------------------------------

/// A job as the householder may see it.
#[derive(Debug, Clone)]
pub struct QuoteView<'a> {
    /// Who writes to whom.
    pub parties: Parties<'a>,
    /// The customer's VAT number.
    pub customer_vat_number: Option<&'a str>,
    /// Who signs besides the customer.
    pub co_signers: &'a [String],
    /// The roofs, in the order of the layout.
    pub roofs: Vec<RoofView<'a>>,
    /// The roofs whose laminate stays.
    pub old_roofs: Vec<OldRoofView<'a>>,
    /// What is promised.
    pub works: &'a Works,
    /// Whether asbestos may be there: the gravest answer of any roof.
    pub asbestos: Answer,
    /// Boards that lie there now stay under some roof.
    pub old_boards_stay: bool,
    /// What the checks found.
    pub findings: &'a [Finding],
    /// What happens on which day.
    pub timetable: Timetable<'a>,
    /// Some of it cannot be closed on the day on which it is opened.
    pub open_overnight: bool,
    /// What is to be paid.
    pub price: QuotedPrice<'a>,
    /// Notes for this job.
    pub notes: &'a [String],
    /// Goods for this job alone.
    pub goods: &'a [Goods],
    /// What this job leaves out.
    pub exclusions: &'a [String],
    /// Until when the customer may cancel, where the first day may lie before that.
    pub early_until: Option<Date>,
    /// Some goods come only once the work has begun.
    pub loads_by_days: bool,
    /// Days the quote stands.
    pub valid_days: u32,
    /// The last of them.
    pub valid_until: Date,
    /// Photographs, in their order.
    pub photos: &'a [Photo],
    /// What the words of a question of access depend on.
    pub beside: Beside<'a>,
    access: &'a [(Access, Forced)],
}

/// One roof as the householder may see it.
#[derive(Debug, Clone, Copy)]
pub struct RoofView<'a> {
    /// Its placed pieces.
    pub layout: &'a RoofLayout,
    /// Its name.
    pub name: &'a str,
    /// How it falls.
    pub fall: RoofFall,
    /// The edge that it falls to.
    pub falls_to: &'a str,
    /// Its edges, as they were surveyed.
    pub edges: &'a [Edge],
    /// What its chimneys are flashed with.
    pub chimney_flashing: Flashing,
    /// Through so many outlets in it water leaves.
    pub outlets: usize,
    /// And through so many overflows once they are blocked.
    pub overflows: usize,
    /// How many of those go through masonry, which an engineer must see before it is cut; a raised edge is timber.
    pub overflows_in_masonry: usize,
    /// Whether those stand in a box gutter, by its sole.
    pub overflows_in_gutter: bool,
    /// What comes off it first.
    pub strip: Option<StripView<'a>>,
    /// Whether asbestos may be there.
    pub asbestos: Answer,
    /// Who cuts its flashing in.
    pub flashing: By,
    /// What is done to the deck.
    pub deck: DeckAction,
    /// Which way its joists run.
    pub joists: JoistRun,
    /// How thick its new boards are.
    pub board: Option<Length>,
    /// Its long edges lock together.
    pub board_locks: bool,
    /// The insulation over its deck.
    pub insulation: Option<&'a MaterialLayer>,
    /// The boards over that.
    pub overlay: Option<&'a MaterialLayer>,
    /// How much higher it becomes, where that is least and where it is most.
    pub raised_by: (Length, Length),
    /// Whether some of its firrings stays bare, at an open edge, above a fascia that ends with the joists.
    pub firrings_bare: bool,
    /// Whether some of its edge timber stays bare above an old fascia.
    pub timber_bare: bool,
    /// The crew leaves it through a door.
    pub by_a_door: bool,
    /// Mat and layers.
    pub laminate: LaminateChoice,
    /// The colour of its topcoat.
    pub colour: &'a str,
    /// How the topcoat is finished, in words.
    pub surface: &'a str,
    /// So many layers of mat at least are laid in a box gutter.
    pub gutter_layers: u32,
    /// Grains are strewn into it.
    pub grains: bool,
    /// For so many hours nobody walks on it then.
    pub walk_on_hours: u32,
    /// Tiles or slates in the price for those that break.
    pub spare_tiles: Decimal,
    /// How far the laminate goes up a kerb.
    pub kerb_return: Length,
    /// The roof below onto which its drip lets the water down, over a wall that it covers.
    pub drips_onto: Option<&'a str>,
    drawn: &'a Roof,
}

/// What comes off, and how it leaves.
#[derive(Debug, Clone, Copy)]
pub struct StripView<'a> {
    /// The old covering.
    pub covering: &'a str,
    /// How it leaves the site.
    pub away: &'a str,
    /// The firm takes it away.
    pub by_firm: bool,
    /// The boards under it come off too.
    pub boards: bool,
    /// The deck is new, and what becomes of old boards is not said.
    pub boards_unsaid: bool,
}

/// What the householder pays.
#[derive(Debug, Clone, Copy)]
pub struct QuotedPrice<'a> {
    /// A provisional sum stands in the total.
    pub provisional: bool,
    /// The lines; they add up to `net`.
    pub lines: &'a [PriceLine],
    /// The same with VAT, where each roof has a line; they add up to `total`.
    pub with_vat: &'a [Money],
    /// Without VAT.
    pub net: Money,
    /// VAT is charged.
    pub charges_vat: bool,
    /// VAT that is not charged, because the customer accounts for it.
    pub vat_by_customer: &'a [VatLine],
    /// VAT by rate.
    pub vat: &'a [VatLine],
    /// Why the rate is not the usual one, where it is not.
    pub reason: Option<&'a str>,
    /// With VAT.
    pub total: Money,
    /// The payments; they add up to `total`.
    pub stages: &'a [Stage],
    /// What the customer keeps back of each.
    pub retention: Option<Retention>,
    /// What the extras that are a part of it are for.
    pub extras: &'a [String],
    /// Extras beside it.
    pub offers: &'a [Offer],
    /// Alternatives of the whole job.
    pub options: &'a [OptionPrice],
    /// What they come to together.
    pub option_totals: &'a OptionTotals,
    /// Rates for rot.
    pub rot_rates: &'a [RotRate],
}

impl<'a> QuoteView<'a> {
    /// The householder's view of a job.
    pub fn of(whole: &WholeJob<'a>) -> QuoteView<'a> {
        let job = whole.job;
        let roofs = whole.take_off.roofs.iter();
        QuoteView {
            parties: whole.parties(),
            roofs: roofs.filter_map(|l| Some(RoofView::of(whole, l, job.roofs.get(l.shape.index)?))).collect(),
            customer_vat_number: job.customer_vat_number.as_deref(),
            old_roofs: OldRoofView::all(whole),
            works: &whole.take_off.works,
            asbestos: job.gravest_asbestos(),
            old_boards_stay: job.old_boards_stay(),
            findings: whole.findings,
            timetable: whole.programme.timetable(),
            open_overnight: whole.programme.warnings.iter().any(SiteWarning::is_open_overnight)
                || whole.programme.stops.iter().any(Stop::divides_roof),
            price: QuotedPrice::of(whole),
            co_signers: &job.co_signers,
            notes: &job.notes,
            goods: &job.goods,
            exclusions: &job.exclusions,
            loads_by_days: whole.loads_by_days(),
            early_until: whole.first_day().and_then(|first| starting::may_end_after(first, whole.goods_come(), job)),
            valid_days: job.valid_days,
            valid_until: job.valid_until(),
            photos: whole.photos,
            beside: job.beside(),
            access: &job.access,
        }
    }

    /// The answer to a question of access.
    pub fn answer(&self, question: Access) -> Forced {
        answer_among(self.access, question)
    }

    /// The edges of all roofs.
    pub fn edges(&self) -> impl Iterator<Item = &'a Edge> + '_ {
        self.roofs.iter().flat_map(|r| r.edges)
    }
}

impl<'a> RoofView<'a> {
    fn of(whole: &WholeJob<'a>, layout: &'a RoofLayout, roof: &'a Roof) -> RoofView<'a> {
        let board = roof.deck.board.as_ref().and_then(|key| whole.products.boards.get(key));
        let over = roof.build_up.as_ref().filter(|_| layout.over.is_some());
        let fascias = Fascias::of((roof, layout), &whole.job.goods, whole.rules, whole.products);
        RoofView {
            layout,
            name: &roof.name,
            fall: roof.fall,
            falls_to: &roof.falls_to,
            edges: &roof.outline.edges,
            chimney_flashing: roof.chimney_flashing(),
            outlets: roof.outlets.len() + roof.outline.edges.iter().filter(|e| e.box_gutter.is_some()).count(),
            overflows_in_masonry: roof
                .outline
                .edges
                .iter()
                .filter(|e| e.overflow.is_some() && e.finish != Finish::Raised)
                .count(),
            overflows_in_gutter: roof.outline.edges.iter().any(|e| e.overflow.is_some() && e.finish == Finish::Gutter),
            overflows: roof.outline.edges.iter().filter(|e| e.overflow.is_some()).count(),
            strip: whole.job.strip_of(roof).map(|s| StripView {
                covering: &s.covering.words,
                away: &s.tip.words,
                by_firm: s.tip.by_firm,
                boards: s.boards_off().is_some(),
                boards_unsaid: whole.job.leaves_boards_unsaid(roof),
            }),
            asbestos: whole.job.asbestos_of(roof),
            flashing: whole.job.flashing_of(roof),
            deck: roof.deck.action,
            joists: roof.joists.run,
            board: board.map(|b| b.thickness),
            board_locks: board.is_some_and(|b| b.edge == BoardEdge::TongueAndGroove),
            insulation: over.and_then(|b| b.insulation.as_ref()).map(|board| &board.sheet),
            overlay: over.and_then(|b| b.overlay.as_ref()),
            raised_by: falls::comes_up(&layout.shape, roof, whole.rules, board),
            firrings_bare: !fascias.bare_firrings().is_empty(),
            timber_bare: !fascias.bare_timber().is_empty(),
            by_a_door: layout.shape.is_left_by_a_door(),
            laminate: roof.laminate,
            colour: &roof.topcoat.colour,
            surface: &roof.topcoat.finish.words,
            grains: roof.topcoat.finish.aggregate.is_some(),
            gutter_layers: whole.rules.gutter_layers.max(roof.laminate.layers),
            walk_on_hours: whole.rules.walk_on_hours,
            spare_tiles: spare_tiles(whole, roof),
            kerb_return: whole.rules.mat_return.kerb,
            drips_onto: levels::levels(whole.job)
                .into_iter()
                .find(|pair| pair.is_settled() && pair.upper.name == roof.name)
                .map(|pair| pair.lower.name.as_str()),
            drawn: roof,
        }
    }

    /// `140 mm of rigid foam`: the insulation over its deck.
    pub fn insulation_in_words(&self) -> Option<String> {
        self.insulation.map(|sheet| format!("{} of {}", wording::thickness(sheet), sheet.name))
    }

    /// The sides at which its joists end.
    pub fn joist_ends(&self) -> JoistEnds<'a> {
        joist_ends(&self.layout.shape, self.drawn.joists.run)
    }

    /// What the key of its plan says.
    pub fn key(&self) -> KeyParts {
        roof_plan::key(self.layout, self.drawn)
    }

    /// The corners of its plan.
    pub fn corners(&self) -> Vec<Point> {
        self.layout.shape.ring()
    }

    /// Its plan, for the householder.
    pub fn plan(&self, space: Space) -> Figure {
        roof_plan::draw(self.layout, self.drawn, Audience::Householder, space)
    }
}

/// A roof whose laminate stays, as the householder may see it.
#[derive(Debug, Clone, Copy)]
pub struct OldRoofView<'a> {
    /// Its patches, as laid.
    pub layout: &'a OldRoofLayout,
    /// Its name.
    pub name: &'a str,
    /// What is done over the whole.
    pub recoat: Option<Recoat>,
    /// How thick the board is that is let in.
    pub board: Option<Length>,
    /// How far a patch laps over sound laminate at least.
    pub lap: Length,
    /// The colour of its topcoat.
    pub colour: &'a str,
    /// How the topcoat is finished, in words.
    pub surface: &'a str,
    /// Grains are strewn into it.
    pub grains: bool,
    /// For so many hours nobody walks on it then.
    pub walk_on_hours: u32,
}

impl<'a> OldRoofView<'a> {
    /// Those of a job, in their order.
    pub fn all(whole: &WholeJob<'a>) -> Vec<OldRoofView<'a>> {
        let roofs = whole.job.old_roofs.iter().zip(&whole.take_off.old_roofs);
        roofs.map(|(roof, layout)| OldRoofView::of(whole, roof, layout)).collect()
    }

    fn of(whole: &WholeJob<'a>, roof: &'a OldRoof, layout: &'a OldRoofLayout) -> OldRoofView<'a> {
        let key = roof.patches.iter().find_map(|p| p.deck.as_ref());
        OldRoofView {
            layout,
            name: &roof.name,
            recoat: roof.recoat,
            board: key.and_then(|key| whole.products.boards.get(key)).map(|b| b.thickness),
            lap: whole.rules.patch_lap,
            colour: &roof.topcoat.colour,
            surface: &roof.topcoat.finish.words,
            grains: roof.topcoat.finish.aggregate.is_some(),
            walk_on_hours: whole.rules.walk_on_hours,
        }
    }
}

/// What was built, as the householder may see it once it is done.
#[derive(Debug, Clone)]
pub struct BuiltView<'a> {
    /// The roofs that were laid anew.
    pub roofs: Vec<RoofView<'a>>,
    /// The roofs whose laminate stays.
    pub old_roofs: Vec<OldRoofView<'a>>,
    /// What was promised.
    pub works: &'a Works,
    /// What the checks found.
    pub findings: &'a [Finding],
    /// Goods for this job alone.
    pub goods: &'a [Goods],
    /// What the extras that are a part of the price are for.
    pub extras: &'a [String],
    /// A section of each edge.
    pub sections: Vec<Figure>,
}

impl<'a> BuiltView<'a> {
    /// Of a job.
    pub fn of(whole: &WholeJob<'a>) -> BuiltView<'a> {
        let roofs = whole.take_off.roofs.iter();
        BuiltView {
            roofs: roofs.filter_map(|l| Some(RoofView::of(whole, l, whole.job.roofs.get(l.shape.index)?))).collect(),
            old_roofs: OldRoofView::all(whole),
            works: &whole.take_off.works,
            findings: whole.findings,
            goods: &whole.job.goods,
            extras: &whole.pricing.extras,
            sections: built_edges::edge_sections(whole, sections::AT_HOME),
        }
    }
}

/// New tiles or slates that a roof's price holds.
fn spare_tiles(whole: &WholeJob<'_>, roof: &Roof) -> Decimal {
    let lines = whole.take_off.lines.iter().filter(|l| l.id == LineId::TieTiles && l.roof.as_ref() == Some(&roof.name));
    lines.map(|l| l.quantity).sum()
}

impl<'a> QuotedPrice<'a> {
    fn of(whole: &WholeJob<'a>) -> QuotedPrice<'a> {
        let pricing = whole.pricing;
        QuotedPrice {
            provisional: pricing.lines.iter().any(|line| line.label.ends_with(PROVISIONAL)),
            lines: &pricing.lines,
            with_vat: &pricing.with_vat,
            net: pricing.net,
            charges_vat: whole.terms.vat.registered && !whole.job.reverse_charge,
            vat_by_customer: &pricing.vat_by_customer,
            vat: &pricing.vat,
            reason: pricing.vat_reason.as_deref(),
            total: pricing.total,
            stages: &pricing.stages,
            retention: pricing.retention,
            extras: &pricing.extras,
            offers: &pricing.offers,
            options: &pricing.options,
            option_totals: &pricing.option_totals,
            rot_rates: &pricing.rot_rates,
        }
    }
}

// ---- The merchant's ------------------------------------------------------------------------------------------------

/// One merchant's order as the merchant may see it, with its number.
#[derive(Debug, Clone)]
pub struct OrderView<'a> {
    /// Who writes, and where the goods go to.
    pub parties: Parties<'a>,
    /// The job's reference and a number, one for each merchant: `26-041-1`. Letters are for what was issued.
    pub number: String,
    /// The merchant's name.
    pub merchant: &'a str,
    /// The firm's account there.
    pub account: Option<&'a str>,
    /// Whether asbestos may be there.
    pub asbestos: Answer,
    /// The lines, in the order of the picker's walk.
    pub lines: Vec<PickLine<'a>>,
    /// In how many drops it comes.
    pub drops: Drops,
    /// In which of them, counted from 1, so many packs of each line come; empty where there is one, or nobody knows.
    pub by_drop: Vec<Vec<(usize, u32)>>,
    /// The day on site that wants the first goods of each drop, with its date; empty where all are wanted on one.
    pub drop_days: Vec<(u32, Option<Date>)>,
    /// What is taken at once.
    pub payload: Option<Mass>,
    /// The class in fire that a certificate is asked for, where the job has none: of whoever sells the topcoat.
    pub class_in_fire: Option<String>,
    /// Mass of all that has one.
    pub mass: Mass,
    /// Lines that give no mass.
    pub lines_without_mass: usize,
    /// The longest item.
    pub longest: Option<Length>,
    /// When it is to come.
    pub delivery: Delivery,
    /// The variation for whose goods alone it is.
    pub varied: Option<&'a str>,
    /// How one gets there.
    pub access: Option<&'a str>,
    /// The colours of the roofs, in their order.
    pub colours: Vec<&'a str>,
    /// How many boards of each kind of its deck boards are to spare.
    pub spare_boards: u32,
    /// The kinds of which there are some to spare, where not all have them.
    pub spare_kinds: Vec<String>,
    /// To what sizes its firrings are cut, mm: length, low depth, high depth, with how many; none where it has none.
    pub firrings: Vec<([i64; 3], usize)>,
}

/// One line of an order, without its price.
#[derive(Debug, Clone, Copy)]
pub struct PickLine<'a> {
    /// Group on the picker's walk.
    pub group: &'static str,
    /// The role that it serves.
    pub role: &'a Role,
    /// The size, where the role comes in sizes.
    pub size: Option<Length>,
    /// The merchant's own code.
    pub code: &'a str,
    /// The merchant's own description.
    pub description: &'a str,
    /// The pack.
    pub pack: &'a str,
    /// How many packs.
    pub quantity: u64,
    /// Mass of the line, where it is known.
    pub mass: Option<Mass>,
    /// Longest dimension of a pack, where it is known.
    pub longest: Option<Length>,
    /// Hazard words.
    pub hazard: Option<&'a str>,
    /// Offered, not needed.
    pub optional: bool,
}

impl<'a> OrderView<'a> {
    /// The orders of a job, a number each.
    pub fn all(whole: &WholeJob<'a>) -> Vec<OrderView<'a>> {
        let orders = whole.pricing.orders.iter().enumerate();
        orders.map(|(i, order)| OrderView::of(whole, order, i + 1)).collect()
    }

    fn of(whole: &WholeJob<'a>, order: &'a Order, n: usize) -> OrderView<'a> {
        let (job, merchant) = (whole.job, &order.merchant);
        let loads = whole.loads(order);
        let drop_days = loads.as_ref().map(|loads| whole.load_days(loads)).unwrap_or_default();
        let mut view = OrderView {
            parties: whole.parties(),
            number: format!("{}-{n}", whole.varied.unwrap_or(&job.reference)),
            merchant: &merchant.name,
            account: merchant.account.as_deref(),
            asbestos: job.gravest_asbestos(),
            lines: order.lines.iter().map(PickLine::of).collect(),
            drops: order.drops,
            by_drop: loads.map(|loads| loads.of_lines).unwrap_or_default(),
            drop_days,
            payload: job.lift.as_ref().and_then(|lift| lift.payload),
            class_in_fire: None,
            mass: order.mass,
            lines_without_mass: order.lines_without_mass,
            longest: order.longest,
            delivery: job.delivery.clone(),
            varied: whole.varied,
            access: job.site.access.as_deref(),
            colours: job.topcoats().map(|t| t.colour.as_str()).collect(),
            spare_boards: if whole.varied.is_none() { whole.spare_boards() } else { 0 },
            spare_kinds: whole.spare_board_kinds(),
            firrings: Vec::new(),
        };
        if whole.varied.is_some() {
            // It comes while the work goes on: the days that suited the first delivery are over.
            (view.delivery.earliest, view.delivery.latest, view.parties.first_day) = (None, None, None);
            view.drop_days.clear();
        } else if view.has(|role| matches!(role, Role::Topcoat(_))) {
            view.class_in_fire = boundary::asked_for(job);
        }
        if whole.varied.is_none() && view.has(|role| *role == Role::Firring) {
            view.firrings = alike(whole.take_off.roofs.iter().flat_map(|roof| &roof.firrings));
            // They come as they are cut, not as long as they could be.
            let cut = view.firrings.iter().map(|([length, ..], _)| Length::mm(*length)).max();
            let others = order.lines.iter().filter(|l| !l.optional && l.role != Role::Firring);
            view.longest = others.filter_map(|l| l.longest).chain(cut).max();
        }
        view
    }

    /// Not to be sent: asbestos is there, or nobody knows.
    pub fn held(&self) -> bool {
        self.asbestos != Answer::No
    }

    /// The lines that are ordered, those that are only offered left out.
    pub fn needed(&self) -> impl Iterator<Item = &PickLine<'a>> {
        self.lines.iter().filter(|l| !l.optional)
    }

    /// Whether something with such a role is ordered.
    pub fn has(&self, is: impl Fn(&Role) -> bool) -> bool {
        self.needed().any(|l| is(l.role))
    }

    /// To what sizes a line's goods are cut for this job: `12 of 3400 × 0–85`, `2 of 1100 × 28 level`, mm, length and depth
    /// from the low end to the high end, the longest first; none where they are taken as they are sold.
    pub fn cut_to(&self, line: &PickLine<'_>) -> Vec<String> {
        if *line.role == Role::Firring { self.firring_sizes() } else { Vec::new() }
    }

    /// To what sizes the firrings are cut.
    pub fn firring_sizes(&self) -> Vec<String> {
        let words = |([length, low, high], count): &([i64; 3], usize)| match low == high {
            true => format!("{count} of {length} × {high} level"),
            false => format!("{count} of {length} × {low}–{high}"),
        };
        self.firrings.iter().map(words).collect()
    }
}

impl<'a> PickLine<'a> {
    fn of(line: &'a OrderLine) -> PickLine<'a> {
        PickLine {
            group: line.group,
            role: &line.role,
            size: line.size,
            code: &line.code,
            description: &line.description,
            pack: &line.pack,
            quantity: line.quantity,
            mass: line.mass,
            longest: line.longest,
            hazard: line.hazard.as_deref(),
            optional: line.optional,
        }
    }
}
