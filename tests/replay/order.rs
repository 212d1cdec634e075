//! Holds the order against the layout: every piece that is laid must come out of what was bought.
//!
//! Counts pieces itself, from the placed pieces, and never reads the take-off's own lines. Boards, trims, corner pieces
//! and collars must be bought to the piece; mat must come whole out of the bought rolls; of what is poured or nailed
//! there must be enough.

use std::collections::{BTreeMap, BTreeSet};
use wetout::cutting::{Demand, RUN_EFFORT, StockLength, cut_stock};
use wetout::model::goods::Supply;
use wetout::model::job::By;
use wetout::model::shape::DeckAction;
use wetout::model::{Edge, Finish, Flashing, HoleForm, Job, Length, Products, Roof, Rules};
use wetout::pricing::{OrderLine, PriceBook, Pricing};
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::timber::TimberKind;
use wetout::takeoff::layout::{RoofLayout, RunPlace, Treatment};

fn number(d: rust_decimal::Decimal) -> f64 {
    d.to_string().parse().unwrap()
}

fn metres(l: Length) -> f64 {
    l.as_mm() as f64 / 1000.0
}

/// The lines that were bought; what is only offered does not count.
fn bought(pricing: &Pricing) -> impl Iterator<Item = &OrderLine> {
    pricing.orders.iter().flat_map(|o| &o.lines).filter(|l| !l.optional)
}

/// A role, and the stock length where it is sold by that.
type What = (String, Option<Length>);

/// What the laid pieces take.
struct Laid {
    /// Counted pieces: so many and no more.
    exactly: BTreeMap<What, f64>,
    /// Measured stuff: at least so much.
    at_least: BTreeMap<What, f64>,
}

impl Laid {
    fn of(job: &Job, take_off: &TakeOff, rules: &Rules, products: &Products) -> Laid {
        let mut laid = Laid { exactly: BTreeMap::new(), at_least: BTreeMap::new() };
        laid.trims(take_off, rules);
        laid.timbers(take_off, rules);
        for (i, roof) in take_off.roofs.iter().enumerate() {
            laid.deck(roof, job.roofs[i].deck.action, rules, products);
            laid.around(roof, rules);
            laid.box_gutters(roof);
            laid.parapets(roof, &take_off.roofs);
            laid.ways_out(&job.roofs[i]);
            if job.flashing_of(&job.roofs[i]) == By::Us {
                laid.chases(&job.roofs[i], roof, job.strip_of(&job.roofs[i]).is_some(), rules);
            }
            let kept = job.roofs[i].deck.action == DeckAction::Keep;
            let joints = if kept && roof.over.is_none() { laid.old_joints(roof, rules) } else { 0.0 };
            let resin = resin(roof, kept, joints, rules);
            let topcoat = topcoat(roof, rules) * (1.0 + number(rules.bucket_loss) / 100.0);
            laid.more("resin", resin);
            laid.more(&format!("topcoat.{}", job.roofs[i].topcoat.colour.replace(' ', "-")), topcoat);
            let dose = number(rules.catalyst_to_order) / 100.0 / number(products.catalyst_density) * 1000.0;
            laid.more("catalyst", (resin + topcoat) * dose);
        }
        laid.spare(take_off, products, rules);
        for goods in &job.goods {
            if let Supply::Bought(role) = &goods.supply {
                let word = role.to_string();
                laid.count(&word, None, goods.count as usize);
                // Pinned at both ends of every length, and so far apart at most between them.
                let long = products.longest.iter().find(|(of, _)| of.to_string() == word).map(|(_, long)| long.as_mm());
                let pinned = word.starts_with("own.fascia") || word.starts_with("own.soffit");
                if let Some(long) = long.filter(|_| pinned) {
                    let places = (long as f64 / rules.fascia_fixing.as_mm() as f64).ceil() as usize + 1;
                    let pins = places * rules.fascia_pins as usize * goods.count as usize;
                    laid.more("fixings.fascia", pins as f64);
                }
            }
        }
        laid
    }

    fn count(&mut self, role: &str, size: Option<Length>, n: usize) {
        if n > 0 {
            *self.exactly.entry((role.into(), size)).or_default() += n as f64;
        }
    }

    fn more(&mut self, role: &str, amount: f64) {
        *self.at_least.entry((role.into(), None)).or_default() += amount;
    }

    fn trims(&mut self, take_off: &TakeOff, rules: &Rules) {
        for plan in &take_off.profiles {
            for bar in &plan.bars {
                self.count(&format!("trim.{}", plan.finish.word()), Some(bar.stock), 1);
            }
            let bonded = |p: &RunPlace| matches!(p, RunPlace::Ladder { .. } | RunPlace::Parapet { .. });
            let nailed = plan.runs.iter().filter(|r| !bonded(&r.place));
            for piece in nailed.flat_map(|r| &r.pieces) {
                let spaces = (piece.length.as_mm() as f64 / rules.nail_spacing.as_mm() as f64).ceil();
                self.more("nails.clout", spaces + 1.0);
            }
        }
    }

    /// Lengths for kerbs and trimmers; hangers; screws along kerbs, in their corners and between timbers that lie side by side.
    fn timbers(&mut self, take_off: &TakeOff, rules: &Rules) {
        for plan in &take_off.timbers {
            for bar in &plan.bars {
                self.count(
                    &format!("sawn.{}x{}", plan.section.thickness.as_mm(), plan.section.width.as_mm()),
                    Some(bar.stock),
                    1,
                );
            }
        }
        let along = |l: Length| (l.as_mm() as f64 / rules.timber_fixing.as_mm() as f64).ceil() + 1.0;
        for of in take_off.roofs.iter().map(|r| &r.openings) {
            of.hangers.iter().for_each(|(&takes, &n)| self.count("hanger", Some(takes), n));
            let hung: usize = of.hangers.values().sum();
            self.more("nails.hanger", hung as f64 * f64::from(rules.hanger_nails));
            let kerbs: f64 = of.of_kerbs(true).map(|k| along(k.length)).sum();
            // Every timber but the first of those side by side, and every doubled joist, lies against another.
            let against = of.of_kerbs(false).filter(|p| {
                let before = of.pieces.iter().take_while(|q| !std::ptr::eq(*q, *p));
                p.kind == TimberKind::Doubling
                    || before.filter(|q| q.kind == p.kind && q.length == p.length).any(|q| {
                        let apart = (p.from.x - q.from.x).abs() + (p.from.y - q.from.y).abs();
                        apart == p.section.thickness.as_mm()
                    })
            });
            let joints: f64 = against.map(|p| 2.0 * along(p.length)).sum();
            self.more("fixings.timber", kerbs + 8.0 * of.kerbs.len() as f64 + joints);
        }
    }

    /// A board of each kind over what is laid; of a kind that only decks are cut from one less where some board is not needed any
    /// further than leaves the longest piece once more.
    fn spare(&mut self, take_off: &TakeOff, products: &Products, rules: &Rules) {
        let decks: Vec<_> = take_off
            .roofs
            .iter()
            .flat_map(|r| [r.deck.as_ref(), r.over.as_ref().and_then(|o| o.overlay.as_ref())])
            .flatten()
            .collect();
        for (what, boards) in &mut self.exactly {
            let Some(key) = what.0.strip_prefix("board.") else { continue };
            let mut reach: BTreeMap<(usize, usize), i64> = BTreeMap::new();
            let mut longest = 0;
            for (i, deck) in decks.iter().enumerate().filter(|(_, deck)| deck.board == key) {
                for piece in &deck.pieces {
                    let to = reach.entry((i, piece.board)).or_default();
                    *to = (*to).max(piece.on_board.x + piece.length.as_mm());
                    longest = longest.max(piece.length.as_mm());
                }
            }
            let rest = reach.values().min().map_or(0, |to| products.boards[key].length.as_mm() - to);
            let again = reach.len() as f64 == *boards && rest >= longest + rules.board_kerf.as_mm();
            *boards += f64::from(rules.spare_boards.saturating_sub(u32::from(again)));
        }
    }

    fn deck(&mut self, roof: &RoofLayout, action: DeckAction, rules: &Rules, products: &Products) {
        let Some(deck) = &roof.deck else { return };
        let mut boards: Vec<usize> = deck.pieces.iter().map(|p| p.board).collect();
        boards.sort_unstable();
        boards.dedup();
        self.count(&format!("board.{}", deck.board), None, boards.len());
        if let Some(over) = roof.over.as_ref().and_then(|o| o.overlay.as_ref()) {
            let mut boards: Vec<usize> = over.pieces.iter().map(|p| p.board).collect();
            boards.sort_unstable();
            boards.dedup();
            self.count(&format!("board.{}", over.board), None, boards.len());
        }
        let over = action == DeckAction::Overlay;
        self.more(if over { "fixings.over-deck" } else { "fixings.deck" }, deck.fixings as f64);
        // Into the old boards and not through them: the longest that is sold.
        let board = products.boards[&deck.board].thickness;
        let holds = |l: &Length| (board + rules.old_deck_bite..=board + rules.old_deck).contains(l);
        let screw = products.old_deck_screws.iter().copied().filter(holds).max();
        if deck.old_deck_fixings > 0 {
            let what = ("fixings.old-deck".to_owned(), screw);
            *self.at_least.entry(what).or_default() += deck.old_deck_fixings as f64;
        }
        self.more("timber.firring", roof.firrings.iter().map(|f| metres(f.length)).sum());
    }

    fn around(&mut self, roof: &RoofLayout, rules: &Rules) {
        use Treatment::{ClosureLeft, ClosureRight, PreformedExternal, PreformedInternal};
        for (role, which) in [
            ("corner.external", PreformedExternal),
            ("corner.internal", PreformedInternal),
            ("closure.left", ClosureLeft),
            ("closure.right", ClosureRight),
        ] {
            self.count(role, None, roof.junctions.iter().filter(|j| j.treatment == which).count());
        }
        for hole in &roof.shape.holes {
            if let HoleForm::Round { diameter, .. } = hole.form {
                self.count("collar.pipe", Some(diameter), 1);
            }
        }
        for piece in &roof.bandage {
            self.more(&format!("bandage.{}", piece.width.as_mm()), metres(piece.length));
        }
        let run = |finish| roof.shape.sides.iter().filter(|s| s.finish == finish).map(|s| metres(s.run)).sum::<f64>();
        let battens = run(Finish::Drip) * f64::from(rules.drip_battens);
        let battens = battens + run(Finish::Raised) * f64::from(rules.raised_battens);
        // Offcuts too short to use are bought too.
        self.more("batten.edge", battens * (1.0 + number(rules.batten_waste) / 100.0));
        // Where no fillet stands under a door, a batten closes the gap of the boards.
        let low = roof.shape.sides.iter().filter(|s| s.finish == Finish::Wall && s.sill.is_some() && !s.has_trim());
        let boarded = roof.deck.is_some() && rules.wall_gap > Length::ZERO;
        self.more("batten.edge", low.map(|s| metres(s.run)).sum::<f64>() * f64::from(u8::from(boarded)));
        if roof.over.is_some() {
            let open = run(Finish::Drip) + run(Finish::Gutter) + run(Finish::Raised);
            self.more("timber.edge", open * (1.0 + number(rules.batten_waste) / 100.0));
        }
        let layers = |finish| match finish {
            Finish::Drip => rules.drip_battens,
            Finish::Raised => rules.raised_battens,
            _ => 0,
        };
        let row = |l: Length, most: Length| (l.as_mm() as f64 / most.as_mm() as f64).ceil() + 1.0;
        let sides = &roof.shape.sides;
        // At a corner one of two battens ends behind the other's layers: either may.
        let behind = |i: usize| rules.batten.thickness * i64::from(layers(sides[i % sides.len()].finish));
        let least = |i: usize| sides[i].run - behind(i + 1) - behind(i + sides.len() - 1);
        let edge = (0..sides.len()).map(|i| row(least(i), rules.batten_fixing) * f64::from(layers(sides[i].finish)));
        let edge: f64 = edge.sum();
        // Over insulation what lies on them hangs on their screws.
        let boarded = roof.over.as_ref().is_some_and(|o| o.overlay.is_some());
        let apart = if boarded { rules.firring_fixing.min(rules.deck_field_fixing) } else { rules.firring_fixing };
        let falls: f64 = roof.firrings.iter().map(|f| row(f.length, apart)).sum();
        let noggins = roof.deck.as_ref().map_or(0, |d| d.noggins.len());
        let bearers: usize = roof.box_gutters.iter().map(|g| g.bearers.len()).sum();
        let set = roof.openings.edge_joists().count();
        let ends = ((noggins + bearers + set) * 2) as f64 * f64::from(rules.noggin_fixing);
        let ledgers: f64 = roof.box_gutters.iter().map(|g| 2.0 * row(g.run, g.joists)).sum();
        let plugs: f64 = roof.box_gutters.iter().map(|g| row(g.run, rules.masonry_fixing)).sum();
        self.more("fixings.framing", edge + falls + ends + ledgers);
        self.more("fixings.masonry", plugs);
    }
}

impl Laid {
    /// What is boarded and bandaged in box gutters; their lining comes out of the rolls below.
    fn box_gutters(&mut self, roof: &RoofLayout) {
        for gutter in &roof.box_gutters {
            let mut boards: Vec<usize> = gutter.boards.iter().map(|b| b.board).collect();
            boards.sort_unstable();
            boards.dedup();
            self.count(&format!("board.{}", gutter.board), None, boards.len());
            self.more("fixings.deck", gutter.fixings as f64);
            self.more("fillet.gutter", gutter.fillets.iter().map(|f| metres(*f)).sum());
            for strip in &gutter.bandage {
                self.more(&format!("bandage.{}", strip.width.as_mm()), metres(strip.length));
            }
        }
    }

    /// Joints of the old boards of a kept deck, m: so many by the square metre.
    fn old_joints(&mut self, roof: &RoofLayout, rules: &Rules) -> f64 {
        let joints = roof.shape.area.as_mm2() as f64 / 1e6 * number(rules.kept_joints);
        self.more(&format!("bandage.{}", rules.bandage_joint.as_mm()), joints);
        joints
    }

    /// The boards that line covered walls, each counted where it is begun.
    fn parapets(&mut self, roof: &RoofLayout, all: &[RoofLayout]) {
        for (n, lining) in roof.parapets.iter().enumerate() {
            let boards: BTreeSet<usize> = lining.boards.iter().map(|b| b.board).collect();
            let earlier = all[..roof.shape.index].iter().flat_map(|roof| &roof.parapets).chain(&roof.parapets[..n]);
            let earlier = earlier.filter(|other| other.board == lining.board).flat_map(|other| &other.boards);
            let begun: BTreeSet<usize> = earlier.map(|b| b.board).collect();
            self.count(&format!("board.{}", lining.board), None, boards.difference(&begun).count());
        }
    }

    /// Cartridges that close the chases along walls and round chimneys: the new one, its pieces lapping one another, and an old one
    /// as long where an old covering comes off.
    fn chases(&mut self, roof: &Roof, laid: &RoofLayout, stripped: bool, rules: &Rules) {
        let (piece, lap) = (metres(rules.flashing_piece), metres(rules.flashing_lap));
        let long = |run: f64, corners: f64| {
            let reach = run + lap * corners;
            reach + lap * (((reach - lap) / (piece - lap)).ceil().max(1.0) - 1.0)
        };
        let cut = |edge: &Edge| {
            edge.flashing.is_some_and(Flashing::is_cut_in) && edge.sill.is_none() && edge.coping.is_none()
        };
        let walls = roof
            .outline
            .edges
            .iter()
            .zip(&laid.shape.sides)
            .filter(|(edge, side)| matches!(side.finish, Finish::Wall | Finish::Gutter) && cut(edge));
        let mut chase: f64 = walls.map(|(_, side)| long(metres(side.run), 0.0)).sum();
        let chimneys = laid.shape.holes.iter().filter(|h| h.finish == Finish::Wall && !h.round);
        for ring in chimneys.filter(|_| roof.chimney_flashing().is_cut_in()).map(|h| &h.ring) {
            let side = |k: usize| {
                let (a, b) = (ring[k], ring[(k + 1) % ring.len()]);
                ((b.x - a.x) as f64).hypot((b.y - a.y) as f64).round() / 1000.0
            };
            chase += (0..ring.len()).map(|k| long(side(k), 1.0)).sum::<f64>();
        }
        let closed = if stripped { chase * 2.0 } else { chase };
        self.more("flashing.sealant", (closed / metres(rules.chase_per_cartridge) - 1e-9).ceil());
    }

    /// Outlets and overflows by their size, as the job has them.
    fn ways_out(&mut self, roof: &Roof) {
        let edges = &roof.outline.edges;
        let in_gutters = edges.iter().filter_map(|e| e.box_gutter.as_ref()).map(|g| g.outlet.size);
        for size in roof.outlets.iter().map(|o| o.size).chain(in_gutters) {
            self.count("outlet.roof", Some(size), 1);
        }
        for overflow in edges.iter().filter_map(|e| e.overflow) {
            self.count("chute.overflow", Some(overflow.width), 1);
        }
    }
}

/// What the lining of a roof's box gutters takes: mat as cut, m², faces of boards, m², and girth by length, m².
fn gutter_areas(roof: &RoofLayout) -> [f64; 3] {
    let gutters = &roof.box_gutters;
    let mats = gutters.iter().flat_map(|g| &g.mat).map(|p| metres(p.length) * metres(p.width));
    let boards = gutters.iter().flat_map(|g| &g.boards).map(|b| metres(b.length) * metres(b.width));
    [mats.sum(), boards.sum(), gutters.iter().map(|g| metres(g.girth) * metres(g.long)).sum()]
}

/// Kilograms of resin that mat, bandage and bare boards take, and what stays in the bucket.
fn resin(roof: &RoofLayout, kept: bool, old_joints: f64, rules: &Rules) -> f64 {
    // What is laid of each piece is held against points on the roof elsewhere.
    let mat: f64 = roof.mat.pieces.iter().map(|p| p.net.as_mm2() as f64 / 1e6).sum();
    let in_gutters = roof.box_gutters.iter().flat_map(|g| &g.bandage).map(|p| metres(p.length) * metres(p.width));
    let bandage: f64 = roof.bandage.iter().map(|p| metres(p.length) * metres(p.width)).chain(in_gutters).sum();
    let bandage = bandage + old_joints * metres(rules.bandage_joint);
    let [lining, faces, _] = gutter_areas(roof);
    let g = number(rules.glass_fraction);
    let wetted = (mat + lining + bandage) * f64::from(roof.mat.weight) / 1000.0 * (1.0 - g) / g;
    let ring = |r: &Vec<wetout::model::Point>| -> f64 {
        (0..r.len()).map(|i| (r[i], r[(i + 1) % r.len()])).map(|(a, b)| (a.x * b.y - b.x * a.y) as f64).sum::<f64>()
            / 2e6
    };
    let boards: f64 = roof.deck.iter().flat_map(|d| &d.pieces).flat_map(|p| &p.rings).map(ring).sum();
    let bare = if kept { roof.shape.area.as_mm2() as f64 / 1e6 } else { boards };
    // Corners of boards lie on whole millimetres, 0.71 mm off at most: what the boards along slanting edges may gain by that
    // is not held against the order.
    let slanting = |ring: &[wetout::model::Point]| -> f64 {
        let next = ring.iter().cycle().skip(1);
        let sides: Vec<(i64, i64)> = ring.iter().zip(next).map(|(a, b)| (a.x - b.x, a.y - b.y)).collect();
        let slants = sides.iter().any(|(x, y)| *x != 0 && *y != 0);
        let round = || sides.iter().map(|(x, y)| (*x as f64).hypot(*y as f64) / 1000.0).sum();
        if slants { round() } else { 0.0 }
    };
    let holes: f64 = roof.shape.holes.iter().map(|h| slanting(&h.ring)).sum();
    let bare = bare - 0.00071 * (slanting(&roof.shape.ring()) + holes);
    let lined = roof.parapets.iter().flat_map(|l| &l.boards).map(|b| metres(b.length) * metres(b.width));
    (wetted + (bare + faces + lined.sum::<f64>()) * number(rules.deck_soak)) * (1.0 + number(rules.bucket_loss) / 100.0)
}

fn topcoat(roof: &RoofLayout, rules: &Rules) -> f64 {
    let girth = |finish| metres(rules.topcoat_girth.of(finish));
    let of_side = |s: &wetout::takeoff::layout::shape::Side| match &s.coped {
        Some(wall) => metres(wall.long) * (metres(s.carried) + girth(Finish::Drip)),
        None => metres(s.run) * girth(s.finish),
    };
    let sides: f64 = roof.shape.sides.iter().map(of_side).sum();
    let round = |r: &Vec<wetout::model::Point>| -> f64 {
        (0..r.len())
            .map(|i| (r[i], r[(i + 1) % r.len()]))
            .map(|(a, b)| ((b.x - a.x) as f64).hypot((b.y - a.y) as f64) / 1000.0)
            .sum()
    };
    let holes: f64 =
        roof.shape.holes.iter().filter(|h| !h.round).map(|h| (round(&h.ring) - 0.004) * girth(h.finish)).sum();
    (roof.shape.area.as_mm2() as f64 / 1e6 + sides + holes + gutter_areas(roof)[2]) * number(rules.topcoat_rate)
}

/// Everything that was bought short, or of which a piece too many was bought (but for a price break that makes more cost
/// less).
pub fn faults(
    job: &Job,
    take_off: &TakeOff,
    pricing: &Pricing,
    books: &[PriceBook],
    rules: &Rules,
    products: &Products,
) -> Vec<String> {
    let mut has: BTreeMap<What, f64> = BTreeMap::new();
    for line in bought(pricing) {
        *has.entry((line.role.to_string(), line.size)).or_default() += number(line.holds) * line.quantity as f64;
    }
    let laid = Laid::of(job, take_off, rules, products);
    let of = |what: &What| has.get(what).copied().unwrap_or_default();
    let named = |what: &What| match what.1 {
        Some(size) => format!("{} of {size}", what.0),
        None => what.0.clone(),
    };
    let mut found = Vec::new();
    // What is measured is held against all that is bought of it, whatever its size.
    let of_any = |role: &str| has.iter().filter(|((sold, _), _)| sold == role).map(|(_, holds)| holds).sum::<f64>();
    for (what, takes) in &laid.at_least {
        if of_any(&what.0) + 1e-6 < *takes {
            found.push(format!("{}: {takes} laid, {} bought", named(what), of_any(&what.0)));
        }
    }
    for (what, takes) in &laid.exactly {
        let breaks =
            books.iter().flat_map(|b| &b.articles).filter(|a| a.role == what.0.as_str()).flat_map(|a| &a.breaks);
        // Of what the van holds a part, a merchant is asked for the rest only: his break counts on his own line.
        let asked_for = |from: f64| {
            let mut lines = bought(pricing).filter(|l| l.role == what.0.as_str() && l.size == what.1);
            lines.any(|l| l.group != "Van" && number(l.holds) * l.quantity as f64 == from)
        };
        let cheaper = breaks.map(|b| b.from as f64).any(|from| from > *takes - (of(what) - from) && asked_for(from));
        if (of(what) - takes).abs() > 1e-9 && !cheaper {
            found.push(format!("{}: {takes} laid, {} bought", named(what), of(what)));
        }
    }
    found.extend(out_of_rolls(take_off, pricing, products));
    found
}

// ---- Mat out of its rolls -----------------------------------------------------------------------------------------

/// Cuts every strip out of the rolls that were bought, each out of one roll and no roll beyond its end.
fn out_of_rolls(take_off: &TakeOff, pricing: &Pricing, products: &Products) -> Vec<String> {
    let mut strips: BTreeMap<u32, Vec<(i64, i64)>> = BTreeMap::new();
    for roof in &take_off.roofs {
        let sizes = roof.mat.pieces.iter().map(|p| (p.length.as_mm(), p.width.as_mm()));
        let lining = roof.box_gutters.iter().flat_map(|g| &g.mat).map(|p| (p.length.as_mm(), p.width.as_mm()));
        strips.entry(roof.mat.weight).or_default().extend(sizes.chain(lining));
    }
    let mut found = Vec::new();
    for (weight, strips) in strips {
        let role = format!("mat.{weight}");
        let mut rolls: Vec<i64> = Vec::new();
        for line in bought(pricing).filter(|l| l.role == role.as_str()) {
            rolls.extend((0..line.quantity).map(|_| (number(line.holds) * 1000.0).round() as i64));
        }
        let width = products.mats.get(&weight).map_or(1000, |m| m.width.as_mm());
        if !come_out(&strips, &rolls, width) {
            found.push(format!("{role}: {} strips do not come out of the rolls bought, {rolls:?}", strips.len()));
        }
    }
    found
}

/// Whether all strips come out of the rolls, tried in some orders: longest first or widest first, into the roll with
/// least left or the first; a narrow strip beside another where one leaves room.
fn come_out(strips: &[(i64, i64)], rolls: &[i64], width: i64) -> bool {
    let mut orders = [strips.to_vec(), strips.to_vec()];
    orders[0].sort_by_key(|&(l, w)| std::cmp::Reverse((l, w)));
    orders[1].sort_by_key(|&(l, w)| std::cmp::Reverse((w > width / 2, l, w)));
    orders.iter().any(|order| {
        [true, false].iter().any(|&tight| fits(order, rolls, width, tight))
            || fill(&stretches(order, width), rolls)
            || planned(&stretches(order, width), rolls)
    })
}

/// The stretches that an order makes of one endless roll.
fn stretches(order: &[(i64, i64)], width: i64) -> Vec<i64> {
    let mut made: Vec<Stretch> = Vec::new();
    for &(l, w) in order {
        if !made.iter_mut().any(|s| beside(s, l, w, width)) {
            made.push(Stretch { length: l, lanes: vec![(w, l)] });
        }
    }
    made.iter().map(|s| s.length).collect()
}

/// Whether the stretches come out of the rolls when each roll in turn is filled as far as it can be: the long rolls
/// first, or the short ones.
fn fill(stretches: &[i64], rolls: &[i64]) -> bool {
    let mut ascending = rolls.to_vec();
    ascending.sort_unstable();
    let descending = ascending.iter().rev().copied().collect();
    [descending, ascending].iter().any(|rolls: &Vec<i64>| {
        let mut left = stretches.to_vec();
        for &roll in rolls {
            for i in fullest(&left, roll) {
                left.remove(i);
            }
        }
        left.is_empty()
    })
}

/// Whether a plan that the cutting solver offers holds: looked through here piece by piece, so that the solver need not
/// be believed. Each stretch must be cut once, from a roll that was bought and that no other pattern takes, and no roll
/// beyond its end.
fn planned(stretches: &[i64], rolls: &[i64]) -> bool {
    let mut sold = rolls.to_vec();
    sold.sort_unstable();
    sold.dedup();
    let demands: Vec<Demand> = stretches.iter().map(|&l| Demand { length: Length::mm(l), count: 1 }).collect();
    let stock: Vec<StockLength> = sold.iter().map(|&l| StockLength { length: Length::mm(l), cost: l as u32 }).collect();
    let Ok(plan) = cut_stock(&demands, &stock, Length::ZERO, RUN_EFFORT) else { return false };
    let (mut rolls_left, mut cut) = (rolls.to_vec(), vec![0; stretches.len()]);
    for pattern in &plan.patterns {
        for _ in 0..pattern.times {
            let used: i64 = pattern.pieces.iter().map(|&(i, n)| stretches[i] * i64::from(n)).sum();
            let Some(at) = rolls_left.iter().position(|&r| r == sold[pattern.stock]) else { return false };
            if used > rolls_left.swap_remove(at) {
                return false;
            }
            pattern.pieces.iter().for_each(|&(i, n)| cut[i] += n);
        }
    }
    cut.iter().all(|&n| n == 1)
}

/// The stretches that fill a roll furthest, by place, last first; of ways as full, one with long stretches (a table of
/// all sums that can be reached, each with the last stretch in it).
fn fullest(left: &[i64], roll: i64) -> Vec<usize> {
    let mut last: Vec<Option<usize>> = vec![None; roll as usize + 1];
    let mut reached = vec![false; roll as usize + 1];
    reached[0] = true;
    for (i, &l) in left.iter().enumerate().filter(|(_, l)| **l <= roll) {
        for sum in (l..=roll).rev() {
            let (sum, before) = (sum as usize, (sum - l) as usize);
            if !reached[sum] && reached[before] {
                (reached[sum], last[sum]) = (true, Some(i));
            }
        }
    }
    let mut chosen = Vec::new();
    let mut at = reached.iter().rposition(|r| *r).expect("nothing is always reached");
    while let Some(i) = last[at] {
        chosen.push(i);
        at -= left[i] as usize;
    }
    chosen
}

/// A stretch of roll: its length and the lanes cut in it, each as width and how far it is used.
struct Stretch {
    length: i64,
    lanes: Vec<(i64, i64)>,
}

fn fits(order: &[(i64, i64)], rolls: &[i64], width: i64, tight: bool) -> bool {
    let mut left = rolls.to_vec();
    let mut stretches: Vec<Stretch> = Vec::new();
    for &(l, w) in order {
        if stretches.iter_mut().any(|s| beside(s, l, w, width)) {
            continue;
        }
        let open = left.iter_mut().filter(|r| **r >= l);
        let Some(roll) = (if tight { open.min() } else { open.into_iter().next() }) else { return false };
        *roll -= l;
        stretches.push(Stretch { length: l, lanes: vec![(w, l)] });
    }
    true
}

fn beside(s: &mut Stretch, l: i64, w: i64, width: i64) -> bool {
    if let Some(lane) = s.lanes.iter_mut().find(|lane| lane.0 >= w && lane.1 + l <= s.length) {
        lane.1 += l;
        return true;
    }
    let taken: i64 = s.lanes.iter().map(|lane| lane.0).sum();
    let room = taken + w <= width && l <= s.length;
    if room {
        s.lanes.push((w, l));
    }
    room
}
