//! The lines of box gutters: boards, fixings, ledgers, bearers and fillets, the lining, its resin and its topcoat.
//!
//! Given the gutters as laid; gives lines for each roof and the needs of what is boarded. Mat, resin and topcoat of the
//! lining are bought with the roof's own: their needs are made where those are. Bandage is counted with the roof's.

use super::line::{Line, Need, Step, Unit};
use super::noggin_lines;
use super::working::{count, formula, line, measured, number, rule, sawn, sum};
use crate::model::{Length, LineId, Role, Roof, Rules};
use crate::takeoff::layout::RoofLayout;
use crate::takeoff::layout::box_gutter::{BoxGutterLayout, GutterMat};
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// The boarding of a roof's box gutters, and what it needs bought; nothing where it has none.
pub fn boarding(roof: &Roof, layout: &RoofLayout, rules: &Rules) -> (Vec<Line>, Vec<Need>) {
    let all = &layout.box_gutters;
    let name = Some(roof.name.as_str());
    let of = |id: LineId, item: &str, unit, working| line((id, WorkKind::GutterBoards), item, name, unit, working);
    let run = of(LineId::BoxRun, "Box gutter", Unit::Metre, runs(all, layout));
    let boards = of(LineId::BoxBoards, "Boards for the box gutter", Unit::Each, boards(all, rules));
    let fixings = of(LineId::BoxFixings, "Fixings for the box gutter", Unit::Each, fixings(all, rules));
    let bearers = of(LineId::BoxBearers, "Bearers under the box gutter", Unit::Metre, bearers(all, rules));
    let ends = noggin_lines::end_screws("bearers", all.iter().map(|g| g.bearers.len()).sum(), rules);
    let screws = of(LineId::BearerFixings, "Screws for those bearers", Unit::Each, ends);
    let ledgers = of(LineId::BoxLedgers, "Ledgers under those bearers", Unit::Metre, ledgers(all));
    let ledger_screws =
        of(LineId::LedgerFixings, "Screws for the ledger on the joists", Unit::Each, ledger_screws(all));
    let plugs =
        of(LineId::LedgerPlugs, "Screws and plugs for the ledger on the parapet", Unit::Each, plugs(all, rules));
    let fillets = of(LineId::BoxFillets, "Fillets in the box gutter", Unit::Metre, fillets(all, rules));
    let need = |role: Role, line: &Option<Line>| Need::of(role, &[line.as_ref()?]);
    let board = all.first().map(|g| Role::Board(g.board.clone()));
    let needs = [
        board.and_then(|role| need(role, &boards)),
        need(Role::DeckFixings, &fixings),
        need(Role::FramingFixings, &screws),
        need(Role::FramingFixings, &ledger_screws),
        need(Role::MasonryFixings, &plugs),
        need(Role::GutterFillet, &fillets),
    ];
    let lines =
        [run, boards, fixings, bearers, screws, ledgers, ledger_screws, plugs, fillets].into_iter().flatten().collect();
    (lines, needs.into_iter().flatten().collect())
}

/// The lining of a roof's box gutters as cut.
pub fn lining(layout: &RoofLayout) -> Option<Line> {
    let mut steps = Vec::new();
    let mut areas = Vec::new();
    for gutter in &layout.box_gutters {
        steps.push(measured("girth where it is deepest", gutter.girth.metres(), Unit::Metre));
        steps.push(measured("length, both ends turned up", gutter.long.metres(), Unit::Metre));
        for piece in &gutter.mat {
            let area = area_of(piece);
            let (l, w) = (piece.length.metres(), piece.width.metres());
            let over = if piece.over.is_some() { " over the top of a wall" } else { "" };
            let text = format!("{}{over}: {} × {}", piece.mark, number(l, Unit::Metre), number(w, Unit::Metre));
            steps.push(formula(text, area, Unit::SquareMetre));
            areas.push(area);
        }
    }
    steps.push(sum("all pieces as cut", &areas, Unit::SquareMetre));
    let name = Some(layout.shape.name.as_str());
    line((LineId::BoxLining, WorkKind::GutterLining), "Mat in the box gutter", name, Unit::SquareMetre, steps)
}

fn area_of(piece: &GutterMat) -> Decimal {
    piece.length.metres() * piece.width.metres()
}

fn runs(all: &[BoxGutterLayout], layout: &RoofLayout) -> Vec<Step> {
    let label = |g: &BoxGutterLayout| layout.shape.sides.get(g.side).map_or_else(String::new, |s| s.label.clone());
    let mut steps: Vec<Step> =
        all.iter().map(|g| measured(format!("{} run", label(g)), g.run.metres(), Unit::Metre)).collect();
    steps.push(sum("", &all.iter().map(|g| g.run.metres()).collect::<Vec<_>>(), Unit::Metre));
    steps
}

fn boards(all: &[BoxGutterLayout], rules: &Rules) -> Vec<Step> {
    let mut steps = vec![rule("board_kerf", rules.board_kerf)];
    for gutter in all {
        for b in &gutter.boards {
            let text = format!("{}, {}: {} × {}", b.mark, b.part.word(), b.length.as_mm(), b.width);
            steps.push(measured(text, Decimal::ONE, Unit::Each));
        }
        steps.push(sawn("these", &gutter.proof));
    }
    let bought: Vec<Decimal> = all.iter().map(|g| count(g.bought)).collect();
    steps.push(sum("boards that they are cut from", &bought, Unit::Each));
    steps
}

fn fixings(all: &[BoxGutterLayout], rules: &Rules) -> Vec<Step> {
    let each: Vec<Decimal> = all.iter().map(|g| count(g.fixings)).collect();
    vec![
        rule("deck_edge_fixing", rules.deck_edge_fixing),
        Step::Note("along both edges of each board: length ÷ spacing rounded up, plus one".into()),
        sum("", &each, Unit::Each),
    ]
}

fn bearers(all: &[BoxGutterLayout], rules: &Rules) -> Vec<Step> {
    let mut steps = vec![rule("gutter_bearer", rules.gutter_bearer)];
    let lengths: Vec<Decimal> = all.iter().flat_map(|g| g.bearers.iter().map(|_| g.bearer.metres())).collect();
    steps.push(Step::Note("each as long as the sole is wide and its two sides are thick".into()));
    steps.push(measured("bearers across the gutter", count(lengths.len()), Unit::Each));
    steps.push(sum("", &lengths, Unit::Metre));
    steps
}

/// One on the joists' ends, one on the parapet.
fn ledgers(all: &[BoxGutterLayout]) -> Vec<Step> {
    let lengths: Vec<Decimal> = all.iter().flat_map(|g| [g.run.metres(); 2]).collect();
    vec![Step::Note("one on the joists’ ends, one on the parapet".into()), sum("", &lengths, Unit::Metre)]
}

/// Two in the end of each joist, and as close where the joists run along it.
fn ledger_screws(all: &[BoxGutterLayout]) -> Vec<Step> {
    let mut steps: Vec<Step> = all.iter().map(|g| measured("joists apart", g.joists.metres(), Unit::Metre)).collect();
    let each: Vec<Decimal> = all.iter().map(|g| Decimal::TWO * Decimal::from(g.run.places(g.joists))).collect();
    steps.push(Step::Note("two at each: length ÷ spacing rounded up, plus one".into()));
    steps.push(sum("", &each, Unit::Each));
    steps
}

fn plugs(all: &[BoxGutterLayout], rules: &Rules) -> Vec<Step> {
    let each: Vec<Decimal> = all.iter().map(|g| Decimal::from(g.run.places(rules.masonry_fixing))).collect();
    vec![
        rule("masonry_fixing", rules.masonry_fixing),
        Step::Note("length ÷ spacing rounded up, plus one".into()),
        sum("", &each, Unit::Each),
    ]
}

fn fillets(all: &[BoxGutterLayout], rules: &Rules) -> Vec<Step> {
    let mut lengths: Vec<Length> = all.iter().flat_map(|g| g.fillets.iter().copied()).collect();
    lengths.sort_by(|a, b| b.cmp(a));
    vec![
        rule("gutter_fillet", rules.gutter_fillet),
        Step::Note("in every inner corner, each longer by twice its size for the mitres".into()),
        sum("", &lengths.iter().map(|l| l.metres()).collect::<Vec<_>>(), Unit::Metre),
    ]
}
