//! Roofs whose laminate stays, replayed: what the patches and the new face take is worked again from the job alone, in
//! floating point and by areas, and held against the pieces, the lines and the packs that were bought.

use super::roofs::Dice;
use std::collections::BTreeMap;
use wetout::model::old_roof::{LaminatePatch, OldTrim};
use wetout::model::{Finish, HoleForm, Job, Length, OldRoof, Products, Rules};
use wetout::pricing::{Order, Pricing};
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::patches::{OldRoofLayout, PatchBoard, PatchLayout};

fn m(length: Length) -> f64 {
    length.as_mm() as f64 / 1000.0
}

fn number(value: rust_decimal::Decimal) -> f64 {
    value.to_string().parse().unwrap()
}

/// Shoelace (Gauss): twice the area is the sum of the cross products of neighbouring corners.
fn area(roof: &OldRoof) -> f64 {
    let c = &roof.corners;
    let cross = |i: usize| {
        let (a, b) = (c[i], c[(i + 1) % c.len()]);
        (a.x * b.y - b.x * a.y) as f64
    };
    let gross = (0..c.len()).map(cross).sum::<f64>() / 2e6;
    let taken = |form: &HoleForm| match form {
        HoleForm::Box { width, depth, .. } => m(*width) * m(*depth),
        HoleForm::Round { diameter, .. } => std::f64::consts::PI * m(*diameter) * m(*diameter) / 4.0,
    };
    gross - roof.openings.iter().map(|o| taken(&o.form)).sum::<f64>()
}

/// How far a length that begins at `from` reaches when it grows by `by` both ways and ends with the roof.
fn grown(from: f64, long: f64, by: f64, most: f64) -> f64 {
    (from + long + by).min(most) - (from - by).max(0.0)
}

/// A patch grown by so much, as far as there is roof. Each roof is a rectangle of its own.
fn on_roof(patch: &LaminatePatch, roof: &OldRoof, by: f64) -> (f64, f64) {
    let far = |of: fn(&wetout::model::Point) -> i64| roof.corners.iter().map(of).max().unwrap() as f64 / 1000.0;
    let (across, up) = (far(|p| p.x), far(|p| p.y));
    let (w, d) = (m(patch.width), m(patch.depth));
    if let Some(edge) = patch.edge {
        let (along, inward) = if edge.side % 2 == 0 { (across, up) } else { (up, across) };
        return (grown(m(edge.from), w, by, along), (d + by).min(inward));
    }
    match patch.at {
        Some(at) => (grown(at.x as f64 / 1000.0, w, by, across), grown(at.y as f64 / 1000.0, d, by, up)),
        None => ((w + 2.0 * by).min(across), (d + 2.0 * by).min(up)),
    }
}

/// Width and depth of a patch's layer: the hole and its lap on every side, and what goes up or over the edge.
fn layer(patch: &LaminatePatch, roof: &OldRoof, n: u32, rules: &Rules) -> (f64, f64) {
    let (w, d) = on_roof(patch, roof, m(rules.patch_lap) + f64::from(n) * m(rules.patch_step));
    (w, d + patch.edge.map_or(0.0, |e| m(rules.mat_return.of(e.finish))))
}

fn ground(patch: &LaminatePatch, roof: &OldRoof, rules: &Rules) -> (f64, f64) {
    let last = f64::from(patch.layers - 1) * m(rules.patch_step);
    on_roof(patch, roof, m(rules.patch_lap) + last + m(rules.patch_ground))
}

/// What is ground of a patch: round its hole, and under its bandage or its mat at an edge.
fn all_ground(patch: &LaminatePatch, roof: &OldRoof, rules: &Rules) -> f64 {
    let (w, d) = ground(patch, roof, rules);
    let strip = (m(patch.at_edge) + 2.0 * m(rules.bandage_lap), m(rules.bandage_trim));
    let besides = match patch.edge {
        Some(edge) => strip.0.max(w) * strip.1.max(m(rules.mat_return.of(edge.finish))),
        None if patch.at_edge > Length::ZERO => strip.0 * strip.1,
        None => 0.0,
    };
    w * d + besides
}

/// What the new face of a roof covers, trims and kerbs as far as they are coated.
fn face(roof: &OldRoof, rules: &Rules) -> f64 {
    let Some(recoat) = roof.recoat else {
        return roof.patches.iter().map(|p| all_ground(p, roof, rules)).sum();
    };
    let girth = |f: Finish| m(rules.topcoat_girth.of(f));
    let sides = roof.sides.iter().filter_map(|s| Some(m(s.length) * girth(s.finish?)));
    let kerbs = roof.openings.iter().map(|o| match o.form {
        HoleForm::Box { width, depth, .. } => 2.0 * (m(width) + m(depth)) * girth(o.finish),
        HoleForm::Round { .. } => 0.0,
    });
    area(roof) + if recoat.trims { sides.chain(kerbs).sum() } else { 0.0 }
}

/// Everything that is wrong with such roofs.
pub fn faults(job: &Job, take_off: &TakeOff, pricing: &Pricing, rules: &Rules, products: &Products) -> Vec<String> {
    let mut found = Vec::new();
    let mut needs: BTreeMap<String, f64> = BTreeMap::new();
    let mut need = |role: String, amount: f64| *needs.entry(role).or_default() += amount;
    let spilt = 1.0 + number(rules.bucket_loss) / 100.0;
    let g = number(rules.glass_fraction);
    for (roof, laid) in job.old_roofs.iter().zip(&take_off.old_roofs) {
        found.extend(
            roof.patches.iter().zip(&laid.patches).flat_map(|(p, l)| patch_faults(p, l, roof, rules, products)),
        );
        found.extend(board_faults(laid, rules, products));
        let glass = f64::from(roof.mat) / 1000.0;
        let mat: f64 =
            roof.patches.iter().flat_map(|p| (0..p.layers).map(|n| layer(p, roof, n, rules))).map(|(w, d)| w * d).sum();
        let holes: f64 = roof.patches.iter().map(|p| m(p.width) * m(p.depth)).sum();
        let joints = |p: &&LaminatePatch| p.deck.is_some();
        let round = |p: &LaminatePatch| 2.0 * (m(p.width) + m(p.depth));
        let strips: f64 = roof.patches.iter().filter(joints).map(round).sum::<f64>() * m(rules.bandage_joint)
            + roof.patches.iter().map(|p| m(p.at_edge)).sum::<f64>() * m(rules.bandage_trim);
        let resin = (mat + strips) * glass * (1.0 - g) / g + holes * number(rules.deck_soak);
        let coat = face(roof, rules) * number(rules.topcoat_rate);
        let flat = if roof.recoat.is_some() { area(roof) } else { face(roof, rules) };
        let grains = roof.topcoat.finish.aggregate.as_ref().map(|a| a.figures(rules));
        let second = grains.map_or(0.0, |f| flat * number(rules.topcoat_rate) * number(f.topcoat) / 100.0);
        need("resin".into(), resin * spilt);
        need(format!("topcoat.{}", roof.topcoat.colour.replace(' ', "-")), (coat + second) * spilt);
        need("catalyst".into(), catalyst(rules, products, (resin + coat + second) * spilt));
        if let Some(figures) = grains {
            need("aggregate.fine".into(), flat * number(figures.rate));
            need("disc.abrasive".into(), (flat / number(rules.disc_abraded)).ceil());
        }
        if !roof.patches.is_empty() {
            let roll = products.mats[&roof.mat].width;
            need(format!("mat.{}", roof.mat), mat / m(roll));
            let grounds: f64 = roof.patches.iter().map(|p| all_ground(p, roof, rules)).sum();
            need("disc.abrasive".into(), (grounds / number(rules.disc_ground)).ceil());
        }
        if let Some(recoat) = roof.recoat {
            need("cleaner".into(), face(roof, rules) * number(rules.cleaner_rate));
            need("acetone".into(), face(roof, rules) * number(rules.wipe_rate));
            need("disc.abrasive".into(), (face(roof, rules) / number(rules.disc_abraded)).ceil());
            if recoat.key == wetout::model::old_roof::RecoatKey::Prime {
                need("primer".into(), face(roof, rules) * number(rules.primer_rate));
            }
        }
        for (patch, edge) in roof.patches.iter().filter_map(|p| Some((p, p.edge?))) {
            if edge.trim == OldTrim::Stays {
                continue;
            }
            // However it is cut: its run and a lap wherever old trim goes on, in whole lengths; nails and dabs along it.
            let side = m(roof.sides[edge.side].length);
            let (from, run) = (m(edge.from), m(patch.width));
            let ends = f64::from(u8::from(from > 0.0)) + f64::from(u8::from(from + run < side - 1e-9));
            if edge.trim == OldTrim::Renewed {
                let finish = edge.finish.word();
                need(format!("trim.{finish}, m"), run + ends * m(rules.trim_lap));
            }
            need("nails.clout".into(), (run / m(rules.nail_spacing)).ceil() + 1.0);
            let dabs = (run / m(rules.dab_spacing)).ceil() + 1.0;
            let bead = dabs * f64::from(rules.dab_rows) * m(rules.dab_bead);
            need("adhesive".into(), bead / m(rules.bead_per_cartridge));
        }
        if let Some(key) = roof.patches.iter().find_map(|p| p.deck.as_ref()) {
            let decks = || roof.patches.iter().filter(joints);
            let board = &products.boards[key];
            let sheets = decks().map(|p| m(p.width) * m(p.depth)).sum::<f64>() / (m(board.length) * m(board.width));
            need(format!("board.{key}"), sheets.ceil());
            need("timber.noggin".into(), decks().map(round).sum());
            let screws = |p: &LaminatePatch| (round(p) / m(rules.batten_fixing)).ceil() + 1.0;
            need("fixings.framing".into(), decks().map(screws).sum());
        }
    }
    let bought = bought(pricing);
    for (role, takes) in needs {
        let has = bought.get(&role).copied().unwrap_or_default();
        // A circle is laid out as a polygon of its own area, rounded to whole millimetres.
        if has + 1e-3 < takes {
            found.push(format!("{role}: {takes} taken, {has} bought"));
        }
    }
    found.extend(new_work(job, take_off));
    found
}

fn catalyst(rules: &Rules, products: &Products, mass: f64) -> f64 {
    mass * number(rules.catalyst_to_order) / 100.0 * 1000.0 / number(products.catalyst_density)
}

/// What the packs of every role hold.
fn bought(pricing: &Pricing) -> BTreeMap<String, f64> {
    let mut has = BTreeMap::new();
    for line in pricing.orders.iter().flat_map(|o: &Order| &o.lines).filter(|l| !l.optional) {
        *has.entry(line.role.to_string()).or_default() += number(line.holds) * line.quantity as f64;
        if let (wetout::model::Role::Trim(finish), Some(long)) = (&line.role, line.size) {
            let metres = m(long) * number(line.holds) * line.quantity as f64;
            *has.entry(format!("trim.{}, m", finish.word())).or_default() += metres;
        }
    }
    has
}

/// The pieces of each layer cover it with their laps, none wider than the roll or longer than two people lay.
fn patch_faults(
    patch: &LaminatePatch,
    laid: &PatchLayout,
    roof: &OldRoof,
    rules: &Rules,
    products: &Products,
) -> Vec<String> {
    let mut found = Vec::new();
    let mut say = |what: String| found.push(format!("{}: {what}", laid.mark));
    let (gw, gd) = ground(patch, roof, rules);
    let size = laid.ground.size;
    if (m(size.0) - gw).abs() > 1e-9 || (m(size.1) - gd).abs() > 1e-9 {
        say(format!("{size:?} is ground, not {gw} × {gd}"));
    }
    for n in 0..patch.layers {
        let (w, d) = layer(patch, roof, n, rules);
        let (long, short) = (w.max(d), w.min(d));
        let pieces: Vec<_> = laid.mat.iter().filter(|p| p.layer == n as usize).collect();
        let Some(one) = pieces.first() else {
            say(format!("layer {n} has no mat"));
            continue;
        };
        let alike = pieces.iter().all(|p| (p.length, p.width) == (one.length, one.width));
        let fits = |pieces: f64, each: f64, lap: f64, reach: f64| pieces * each - (pieces - 1.0) * lap >= reach - 1e-9;
        let counts = (1..=pieces.len()).filter(|k| pieces.len() % k == 0);
        let covers = counts.map(|k| (k as f64, (pieces.len() / k) as f64)).any(|(across, along)| {
            fits(across, m(one.width), m(rules.mat_lap), short)
                && fits(along, m(one.length), m(rules.mat_end_lap), long)
        });
        if !alike || !covers {
            say(format!(
                "layer {n}: {} pieces of {} × {} do not cover {long} × {short}",
                pieces.len(),
                one.length,
                one.width
            ));
        }
        if one.width > products.mats[&roof.mat].width || one.length > rules.mat_longest {
            say(format!("layer {n}: a piece of {} × {} cannot be laid", one.length, one.width));
        }
    }
    let over: f64 = laid.bandage.iter().filter(|b| b.over_joints).map(|b| m(b.length)).sum();
    if patch.deck.is_some() && over + 1e-9 < 2.0 * (m(patch.width) + m(patch.depth)) {
        say(format!("{over} m of bandage do not go round the board let in"));
    }
    found
}

/// The box that a piece takes on its board.
fn on_board(piece: &PatchBoard) -> [i64; 4] {
    let (long, wide) = (piece.length.as_mm(), piece.width.as_mm());
    let (x, y) = if piece.turned { (wide, long) } else { (long, wide) };
    [piece.on_board.x, piece.on_board.y, piece.on_board.x + x, piece.on_board.y + y]
}

/// Every piece lies on its board, and none over another; together they fill the holes.
fn board_faults(laid: &OldRoofLayout, rules: &Rules, products: &Products) -> Vec<String> {
    let mut found = Vec::new();
    let mut placed: Vec<(usize, [i64; 4])> = Vec::new();
    for patch in &laid.patches {
        let Some(deck) = &patch.deck else { continue };
        let board = &products.boards[&deck.board];
        let filled: i64 = deck.pieces.iter().map(|p| p.length.as_mm() * p.width.as_mm()).sum();
        if filled != patch.hole.0.as_mm() * patch.hole.1.as_mm() {
            found.push(format!("{}: the board let in is {filled} mm2", patch.mark));
        }
        for piece in &deck.pieces {
            let [x, y, right, top] = on_board(piece);
            if x < 0 || y < 0 || right > board.length.as_mm() || top > board.width.as_mm() {
                found.push(format!("{}: a piece lies off its board", patch.mark));
            }
            let kerf = rules.board_kerf.as_mm();
            let over = |(n, o): &(usize, [i64; 4])| {
                *n == piece.board && o[0] < right + kerf && x < o[2] + kerf && o[1] < top + kerf && y < o[3] + kerf
            };
            if placed.iter().any(over) {
                found.push(format!("{}: a piece lies over another on board {}", patch.mark, piece.board));
            }
            placed.push((piece.board, [x, y, right, top]));
        }
    }
    found
}

/// Nothing of a new roof on an old laminate.
fn new_work(job: &Job, take_off: &TakeOff) -> Vec<String> {
    let old = |name: &Option<String>| job.old_roofs.iter().any(|r| Some(&r.name) == name.as_ref());
    let lines = take_off.lines.iter().filter(|l| old(&l.roof) && !l.work.is_on_old());
    lines.map(|l| format!("{} is a line of {} on an old laminate", l.id, l.work.key())).collect()
}

// ---- Random jobs -------------------------------------------------------------------------------------------------

/// A job file of one to three roofs whose laminate stays, with any number of patches, placed or not.
pub fn random_file(dice: &mut Dice) -> String {
    let mut text = "reference: 26-968\ntitle: Old laminates\nprepared: 2026-11-25\nasbestos: no\n\
                    customer: {name: A. Householder, address: [1 Example Street, Anytown]}\nroofs:\n"
        .to_owned();
    for i in 0..dice.size(1, 3) {
        text += &random_roof(dice, i);
    }
    text
}

fn random_roof(dice: &mut Dice, i: i64) -> String {
    let (w, d) = (dice.size(700, 12_000), dice.size(600, 8000));
    let work = dice.one_of(&["repair", "topcoat", "repair and topcoat"]);
    let finish = dice.one_of(&["smooth", "slip-resistant"]);
    let colour = dice.one_of(&["dark grey", "light grey", "green"]);
    let mut text = format!(
        "  - name: Roof {i}\n    work: {work}\n    outline: {{rectangle: {{width: {w} mm, depth: {d} mm}}}}\n    \
         edges: {{front: {{finish: drip}}, right: {{finish: raised}}, back: {{finish: wall}}, left: {{finish: raised}}}}\n    \
         topcoat: {{colour: {colour}, finish: {finish}}}\n"
    );
    if work != "repair" {
        let (trims, prepare) = (dice.one_of(&["topcoat", "leave"]), dice.one_of(&["wipe", "prime"]));
        text += &format!("    trims: {trims}\n    prepare: {prepare}\n");
    }
    if work != "topcoat" {
        let (mat, layers) = (dice.one_of(&[300, 450, 600]), dice.size(1, 3));
        text += &format!("    laminate: {{mat: {mat}, layers: {layers}}}\n    patches:\n");
        // Each in a column of its own, so that none lies over another.
        let count = dice.size(1, 4);
        let column = w / count;
        for k in 0..count {
            let (pw, pd) = (dice.size(50, (column - 10).min(5900)), dice.size(50, (d - 20).min(5900)));
            let place = match dice.below(2) {
                0 => String::new(),
                _ => format!("at: [{} mm, {} mm], ", k * column + dice.size(0, column - pw), dice.size(0, d - pd)),
            };
            // Every third lies along the front, whose finish is a drip.
            if dice.below(3) == 0 {
                let from = k * column + dice.size(0, column - pw);
                let trim = dice.one_of(&["", ", trim: re-bed", ", trim: renew"]);
                text += &format!("      - {{edge: front, from: {from} mm, size: [{pw} mm, {pd} mm]{trim}}}\n");
                continue;
            }
            let deck = dice.one_of(&["", ", deck: osb3-18"]);
            let at_edge = dice.one_of(&[0, 0, 50, pw]);
            let own = dice.one_of(&["", ", layers: 1", ", layers: 3"]);
            text += &format!("      - {{{place}size: [{pw} mm, {pd} mm], at_edge: {at_edge} mm{deck}{own}}}\n");
        }
    }
    text
}
