//! What plans and sections show of the job: each roof, each joist, each line where it is.

use crate::clashes;
use crate::demo::{Demo, request, work};
use crate::support::asked;
use wetout::documents::DocumentKind;
use wetout::pages::block::{Block, Figure, Table};
use wetout::pages::fitting;
use wetout::pages::page::Item;
use wetout::pages::scene::{Ink, Mark, Spot};

fn twelve() -> Demo {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/big_jobs/twelve-roofs.yaml");
    work(&asked(&std::fs::read_to_string(path).unwrap()))
}

fn method_figures(job: &Demo) -> Vec<Figure> {
    let [_, (_, method)] = clashes::documents(job);
    clashes::figures(&method).into_iter().cloned().collect()
}

fn of_deck(job: &Demo) -> Figure {
    method_figures(job).into_iter().find(|f| f.alt.starts_with("Deck of ")).unwrap()
}

fn texts(figure: &Figure) -> Vec<(String, f64)> {
    let text = |m: &Mark| match m {
        Mark::Text { text, turn, .. } => Some((text.clone(), *turn)),
        _ => None,
    };
    figure.scene.marks.iter().filter_map(text).collect()
}

/// The least of twelve roofs is no reason for a scale of its own where all have room at the next larger one.
#[test]
fn the_trim_plans_of_twelve_roofs_are_drawn_at_one_scale() {
    let plans = method_figures(&twelve());
    let scales = plans.iter().filter(|f| f.caption.contains(": trims.")).map(|f| f.scene.scale);
    assert_eq!(scales.collect::<Vec<_>>(), [Some(100.0); 12]);
}

/// On site every roof is drawn with its layers; two that are alike share a drawing that names both.
#[test]
fn on_site_each_roof_is_drawn_back() {
    let job = twelve();
    let back = |job: &Demo| -> Vec<String> {
        method_figures(job).into_iter().filter(|f| f.alt.contains("layers drawn back")).map(|f| f.caption).collect()
    };
    let captions = back(&job);
    for roof in &job.take_off.roofs {
        let own =
            |caption: &&String| **caption == roof.shape.name || caption.starts_with(&format!("{},", roof.shape.name));
        assert_eq!(captions.iter().filter(own).count(), 1, "{}", roof.shape.name);
    }
    let text = String::from_utf8(request("kitchen-extension").bytes).unwrap();
    let (before, rest) = text.split_once("roofs:\n").unwrap();
    let end = rest.find("\n\n").unwrap();
    let second = rest[..end].replacen("name: ", "name: Second ", 1);
    let both = work(&asked(&format!("{before}roofs:\n{}\n{second}{}", &rest[..end], &rest[end..])));
    let names: Vec<&str> = both.take_off.roofs.iter().map(|r| r.shape.name.as_str()).collect();
    let [caption] = <[String; 1]>::try_from(back(&both)).unwrap();
    assert!(caption.starts_with(&format!("{} and {}, their layers", names[0], names[1])), "{caption}");
}

/// The overflow lies in the far side of the box gutter, which is drawn 6 pt beyond its lip, and its arrow ends before the line of
/// sizes, 14 pt beyond. The section at the outlet shows the outlet.
#[test]
fn an_overflow_is_drawn_through_the_far_side_of_its_gutter() {
    let job = work(&request("parapet"));
    let figures = method_figures(&job);
    let plan = figures.iter().find(|f| f.alt.starts_with("Plan of ")).unwrap();
    let line = |is: fn(&wetout::pages::scene::Pen) -> bool| {
        plan.scene.marks.iter().filter_map(move |m| match m {
            Mark::Line { spots, pen } if is(pen) && spots[0].y == spots[1].y => Some(spots[0].y),
            _ => None,
        })
    };
    let gap = line(|pen| pen.ink == Ink::White && pen.width == 4.0).next().unwrap();
    assert!(line(|pen| pen.width == 1.8).any(|y| (y - gap).abs() < 0.01), "{gap}");
    let tips = plan.scene.marks.iter().filter_map(|m| match m {
        Mark::Area { rings, fill: Some(Ink::Black), pen: None } if rings[0].len() == 3 => Some(rings[0][0].y),
        _ => None,
    });
    let reached = tips.filter(|y| *y > gap).fold(gap, f64::max);
    assert!(reached > gap + 1.0 && reached < gap + 8.0, "{gap} to {reached}");
    let section = figures.iter().find(|f| f.alt.starts_with("Section through a box gutter")).unwrap();
    assert!(section.alt.contains("outlet 75 mm across"), "{}", section.alt);
}

/// Sizes of a roof whose laminate stays are told as those of any other: a line along each edge, a stroke at both ends.
#[test]
fn the_plan_of_a_roof_that_stays_has_dimension_lines() {
    let figures = method_figures(&work(&request("patch-and-coat")));
    let plan = figures.iter().find(|f| f.alt.starts_with("Plan of ")).unwrap();
    let count = |width: f64, ink: Ink| {
        let is = |m: &&Mark| matches!(m, Mark::Line { spots, pen } if spots.len() == 2 && pen.width == width && pen.ink == ink);
        plan.scene.marks.iter().filter(is).count()
    };
    // Four edges: a line and two short ones to it, and two strokes, each.
    assert_eq!((count(0.4, Ink::Grey(0.35)), count(0.8, Ink::Black)), (12, 8));
}

/// What the steps bandage is drawn and named: over the gutter's lip and in its two corners, one dashed line each. Under coping stones
/// the mortar that levels the top is drawn as well as that of the bed.
#[test]
fn a_box_gutter_and_a_parapet_show_every_part_that_the_steps_make() {
    let figures = method_figures(&work(&request("parapet")));
    let section = |title: &str| figures.iter().find(|f| f.alt.starts_with(title)).unwrap();
    let gutter = section("Section through a box gutter");
    assert!(
        gutter.alt.contains("bandage 150 mm: in both corners under the lining, over the lip with the deck"),
        "{}",
        gutter.alt
    );
    assert!(gutter.alt.contains("side board, its top flush with the deck"), "{}", gutter.alt);
    let dashed = gutter.scene.marks.iter().filter(|m| matches!(m, Mark::Line { pen, .. } if pen.dash.is_some()));
    assert_eq!(dashed.count(), 3);
    let stones = section("Section over a parapet under coping stones");
    let mortar = stones.scene.marks.iter().filter(|m| matches!(m, Mark::Area { fill: Some(Ink::Grey(0.7)), .. }));
    assert_eq!(mortar.count(), 2);
}

/// Joists and noggins lie under the boards: no line of theirs is drawn over a board's. What is too narrow for a level number has an
/// upright one.
#[test]
fn the_lines_of_boards_are_drawn_over_what_lies_under_them() {
    let job = work(&request("garage-utility"));
    let deck = of_deck(&job);
    let place = |is: &dyn Fn(&Mark) -> bool| deck.scene.marks.iter().rposition(is).unwrap();
    let joist = place(&|m| matches!(m, Mark::Line { pen, .. } if pen.dash.is_some()));
    let bar = place(&|m| matches!(m, Mark::Area { fill: Some(Ink::Grey(0.35)), .. }));
    let lines = |m: &&Mark| matches!(m, Mark::Area { fill: None, pen: Some(pen), .. } if pen.width == 0.8);
    let over = deck.scene.marks[joist.max(bar)..].iter().filter(lines).count();
    assert_eq!(over, job.take_off.roofs[0].deck.as_ref().unwrap().pieces.len());
    let overlay = method_figures(&job).into_iter().find(|f| f.alt.starts_with("Board over the insulation")).unwrap();
    let upright = texts(&overlay).into_iter().filter(|(words, turn)| *turn == 90.0 && words.starts_with('T'));
    assert_eq!(upright.map(|(words, _)| words).collect::<Vec<_>>(), ["T20", "T21", "T27"]);
}

/// Of a board that is cut aslant the rectangle round it is no size that anybody cuts: the list says how it tapers.
#[test]
fn no_board_that_is_cut_aslant_is_named_by_the_rectangle_round_it() {
    let sized = |name: &str| texts(&of_deck(&work(&request(name)))).iter().filter(|(w, _)| w.contains(" × ")).count();
    assert_eq!((sized("dormer"), sized("bay"), sized("parapet")), (0, 0, 10));
}

/// The bay is 2673 wide at its wall, its joists at whole spacings from the front's left corner: the seventh would be 36 mm long in
/// the corner of the wall. It is no joist, takes no firring and has no number.
#[test]
fn a_stump_in_a_pointed_corner_is_no_joist() {
    let job = work(&request("bay"));
    let deck = job.take_off.roofs[0].deck.as_ref().unwrap();
    assert_eq!((deck.joists.len(), job.take_off.roofs[0].firrings.len()), (6, 6));
    let drawn = of_deck(&job);
    let joists = drawn.scene.marks.iter().filter(|m| matches!(m, Mark::Line { pen, .. } if pen.dash.is_some()));
    assert_eq!(joists.count(), 6);
}

/// The kitchen's joists lie at 0, 400 … 5200: the first and the last on its sides. Each is seen, inside the outline, and the list says
/// how many there are.
#[test]
fn a_joist_that_lies_at_an_edge_is_drawn_inside_it_and_counted() {
    let job = work(&request("kitchen-extension"));
    let drawn = of_deck(&job);
    let across = |spots: &[Spot]| spots.iter().map(|s| s.x).fold((f64::MAX, f64::MIN), |b, x| (b.0.min(x), b.1.max(x)));
    let outline = drawn.scene.marks.iter().find_map(|m| match m {
        Mark::Area { rings, pen: Some(pen), .. } if pen.width == 1.5 => Some(across(&rings[0])),
        _ => None,
    });
    let (left, right) = outline.unwrap();
    let joists: Vec<(f64, f64)> = drawn
        .scene
        .marks
        .iter()
        .filter_map(|m| match m {
            Mark::Line { spots, pen } if pen.dash.is_some() => Some(across(spots)),
            _ => None,
        })
        .collect();
    // One that is cut by an opening is drawn in parts.
    let lines: std::collections::BTreeSet<i64> = joists.iter().map(|(x, _)| (x * 100.0).round() as i64).collect();
    assert_eq!(lines.len(), 14);
    assert!(joists.iter().all(|(least, most)| *least > left + 1.5 && *most < right - 1.5), "{left} {right} {joists:?}");
    let method = crate::falls::words(&job, DocumentKind::Method);
    assert!(method.contains("Which joist takes which: 14 joists counted from the left"), "{method}");
}

/// The step says that a kerb stands on the joist, and what lies beside it ends at its face: so it is drawn, an old kerb too.
#[test]
fn an_old_kerb_is_drawn_on_timber_of_its_own() {
    let figures = method_figures(&work(&request("kitchen-extension")));
    let kerb = figures.iter().find(|f| f.alt.starts_with("Section at a kerb.")).unwrap();
    assert!(kerb.alt.contains("joist or trimmer under the kerb"), "{}", kerb.alt);
    let reach = |ink: f64| {
        let of = |m: &Mark| match m {
            Mark::Area { rings, fill: Some(Ink::Grey(grey)), .. } if *grey == ink => {
                let ys = || rings[0].iter().map(|s| s.y);
                Some((ys().fold(f64::MAX, f64::min), ys().fold(f64::MIN, f64::max)))
            }
            _ => None,
        };
        kerb.scene.marks.iter().find_map(of).unwrap()
    };
    assert_eq!(reach(0.85).1, reach(0.9).0, "its foot is the top of what it stands on");
}

/// A flashing is cut in a bed joint: one of those that are drawn meets its chase.
#[test]
fn the_chase_of_a_section_lies_in_a_bed_joint() {
    for name in ["kitchen-extension", "bay", "garage-utility"] {
        let figures = method_figures(&work(&request(name)));
        let wall = figures.iter().find(|f| f.alt.starts_with("Section at a wall")).unwrap();
        let lines = |ink: f64, width: f64| -> Vec<&Vec<Spot>> {
            let of =
                |m: &'_ Mark| matches!(m, Mark::Line { pen, .. } if pen.ink == Ink::Grey(ink) && pen.width == width);
            wall.scene
                .marks
                .iter()
                .filter(|m| of(m))
                .filter_map(|m| match m {
                    Mark::Line { spots, .. } => Some(spots),
                    _ => None,
                })
                .collect()
        };
        let [lead] = lines(0.25, 2.4)[..] else { panic!("{name}") };
        let in_chase = |joint: &&Vec<Spot>| (lead[0].y.min(lead[1].y)..=lead[0].y.max(lead[1].y)).contains(&joint[0].y);
        assert_eq!(lines(0.55, 0.5).into_iter().filter(in_chase).count(), 1, "{name}");
    }
}

/// A form of many rows begins on the page of the words that lead up to it; the list of cuts stands next to the plan of trims.
#[test]
fn a_long_form_fills_the_page_on_which_it_is_led_up_to() {
    let job = twelve();
    let [_, (_, method)] = clashes::documents(&job);
    let paper = fitting::lay_out(&method).unwrap();
    let words = |page: &wetout::pages::page::Page| -> String {
        let text = |item: &Item| match item {
            Item::Text(text) => Some(text.words()),
            _ => None,
        };
        page.marks.iter().filter_map(|m| text(&m.item)).collect::<Vec<_>>().join(" ")
    };
    let pages: Vec<String> = paper.pages.iter().map(words).collect();
    let page_of = |words: &str| pages.iter().position(|page| page.contains(words)).unwrap();
    let (led_up, form) = (page_of("String along each edge"), page_of("Measured again, before trims are cut"));
    assert!(form <= led_up + 1 && pages[form].contains("Signed"), "{led_up} {form}");
    assert!(
        form == led_up || ["Roof 1 over", "Roof 12 over"].iter().all(|row| pages[form].contains(row)),
        "in one piece"
    );
    let all = crate::falls::words(&work(&request("garage-utility")), DocumentKind::Method);
    let place = |words: &str| all.find(words).unwrap();
    assert!(place("Cut on the ground") < place("Numbers as on the trim plan"));
    assert!(place("Where each trim goes") < place("Cut on the ground"));
}

/// By hand: at 1:40 the yard lies 2600 ÷ 40 = 65 up, the back 5975 ÷ 40, rounded up, 150. A roof that keeps its old deck is built
/// otherwise than one with a new one. The rooflight of the kitchen stands on joists under firrings 1100 and 2100 up, 6 of toe.
#[test]
fn a_section_tells_the_firrings_of_every_edge_that_it_stands_for() {
    let sections = |name: &str, title: &str| -> Vec<String> {
        let figures = method_figures(&work(&request(name)));
        figures.into_iter().filter(|f| f.alt.starts_with(title)).map(|f| f.alt).collect()
    };
    let [raised] = <[String; 1]>::try_from(sections("garage-utility", "Section at a raised edge.")).unwrap();
    let each = "firring: 65 to 150 mm at utility side; 0 to 65 mm at garage side; 150 mm at back";
    assert!(raised.contains(each), "{raised}");
    let [drip] = <[String; 1]>::try_from(sections("garage-utility", "Section at a drip edge.")).unwrap();
    assert!(drip.contains("firring: 65 mm at yard; none at front"), "{drip}");
    for title in ["Section at a drip edge", "Section at a raised edge", "Section at a wall"] {
        let [one, other] = <[String; 2]>::try_from(sections("neighbours", title)).unwrap();
        assert!(one.starts_with(&format!("{title} (No. 12).")), "{one}");
        assert!(other.starts_with(&format!("{title} (No. 14).")), "{other}");
    }
    let [kerb] = <[String; 1]>::try_from(sections("kitchen-extension", "Section at a kerb.")).unwrap();
    assert!(kerb.contains("firring, 34 to 59 mm round it"), "{kerb}");
}

/// Between boards and joists lie firrings: a section shows them as deep as they are along its edge.
#[test]
fn a_section_shows_the_firrings_at_the_depth_of_its_edge() {
    let section = |name: &str, title: &str| {
        let figures = method_figures(&work(&request(name)));
        figures.into_iter().find(|f| f.alt.starts_with(title)).unwrap()
    };
    let wall = section("kitchen-extension", "Section at a wall");
    assert!(wall.alt.contains("firring, 91 mm here"), "{}", wall.alt);
    assert!(section("bay", "Section at a wall").alt.contains("firring, 22 mm here"));
    // As deep on paper, at the scale of the section.
    let deep = 91.0 * 72.0 / 25.4 / wall.scene.scale.unwrap();
    let is_firring = |m: &&Mark| match m {
        Mark::Area { rings, fill: Some(Ink::Grey(grey)), .. } if *grey == 0.88 => {
            let ys = || rings[0].iter().map(|s| s.y);
            let tall = ys().fold(f64::NEG_INFINITY, f64::max) - ys().fold(f64::INFINITY, f64::min);
            (tall - deep).abs() < 0.01
        }
        _ => false,
    };
    assert_eq!(wall.scene.marks.iter().filter(is_firring).count(), 1);
    assert!(!section("dormer", "Section at a drip edge").alt.contains("firring"), "none where an old deck stays");
}

fn tables<'a>(blocks: &'a [Block], found: &mut Vec<&'a Table>) {
    for block in blocks {
        match block {
            Block::Table(table) => found.push(table),
            Block::Keep(inner)
            | Block::Sheet(inner)
            | Block::Leaf(inner)
            | Block::Card(inner)
            | Block::Small(inner) => tables(inner, found),
            Block::Columns(columns) | Block::Balanced(columns) => columns.iter().for_each(|c| tables(c, found)),
            _ => {}
        }
    }
}

/// A long list stands in several tables of three parts, none of which goes on over a page: each is read down its own columns.
#[test]
fn a_long_list_in_three_parts_is_read_in_its_order_on_every_page() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/big_jobs/tiny-beside-large.yaml");
    let [_, (_, method)] = clashes::documents(&work(&asked(&std::fs::read_to_string(path).unwrap())));
    let mut found = Vec::new();
    tables(&method.blocks, &mut found);
    let parts = |table: &&&Table| {
        let first = |n: usize| table.columns.get(n).map(|c| c.heading.as_str());
        table.columns.len().is_multiple_of(3)
            && matches!(first(0), Some("Strip" | "Piece"))
            && first(0) == first(table.columns.len() / 3)
    };
    let rows: Vec<usize> = found.iter().filter(parts).map(|table| table.rows.len()).collect();
    assert!(rows.len() > 1 && rows.iter().all(|rows| *rows <= 9), "{rows:?}");
}

/// Roofs whose corners are alike have one set of drawings, under the names of all.
#[test]
fn corners_that_are_alike_are_drawn_once() {
    let all = crate::falls::words(&twelve(), DocumentKind::Method).split_whitespace().collect::<Vec<_>>().join(" ");
    let names = |first: usize| -> String {
        let all: Vec<String> = (0..6).map(|n| (first + 2 * n).to_string()).collect();
        format!("Roofs {} and {}", all[..5].join(", "), all[5])
    };
    for first in [1, 2] {
        // Sentences name them too, with a colon behind.
        let said = all.matches(&format!("{}:", names(first))).count();
        assert_eq!(all.matches(&names(first)).count() - said, 1, "{}", names(first));
    }
}

/// Timber round an opening lies under the boards: it has no whole line, which would be read as a joint, and a board's number stands in
/// the middle of its board, over it.
#[test]
fn timber_under_boards_has_no_line_of_a_board() {
    let job = work(&request("neighbours"));
    let deck = method_figures(&job).into_iter().find(|f| f.alt.starts_with("Deck of No. 14")).unwrap();
    let timbers = deck.scene.marks.iter().filter_map(|mark| match mark {
        Mark::Area { fill: Some(Ink::Grey(tone)), pen, .. } if *tone == 0.75 => Some(*pen),
        _ => None,
    });
    let timbers: Vec<_> = timbers.collect();
    assert!(timbers.len() >= 4, "{timbers:?}");
    assert!(timbers.iter().all(|pen| pen.is_none_or(|pen| pen.dash.is_some())), "{timbers:?}");
}

/// A noggin is screwed to joists at both ends. Along an edge without a joist there is none to screw it to: the plan shows where one is
/// wanted, and no bar to fix.
#[test]
fn an_edge_without_a_joist_shows_no_noggin_along_it() {
    let bars = |joists: &str| {
        let text = crate::support::lean_to("", "", "");
        let text = text.replace("width: 6.0 m", "width: 5.75 m").replace("spacing: 400 mm", joists);
        let job = work(&asked(&text));
        let deck = of_deck(&job);
        let open =
            |m: &&Mark| matches!(m, Mark::Area { fill: Some(Ink::White), pen: Some(pen), .. } if pen.dash.is_some());
        let dark = |m: &&Mark| matches!(m, Mark::Area { fill: Some(Ink::Grey(tone)), .. } if *tone == 0.35);
        let count = |is: &dyn Fn(&&Mark) -> bool| deck.scene.marks.iter().filter(is).count();
        let told = texts(&deck).iter().any(|(words, _)| words.starts_with("Open bars: no joist lies there"));
        (count(&open), count(&dark) + count(&open) == job.take_off.roofs[0].deck.as_ref().unwrap().noggins.len(), told)
    };
    assert_eq!(bars("spacing: 400 mm"), (1, true, true));
    assert_eq!(bars("spacing: 400 mm, last: 5.73 m"), (0, true, false));
}

/// Names of edges that stand upright read upwards on every plan, those a degree out of square too.
#[test]
fn names_of_edges_out_of_square_read_upwards() {
    let mut upright = 0;
    for figure in method_figures(&work(&request("neighbours"))) {
        for (words, turn) in texts(&figure) {
            assert!(turn > -80.0, "{words:?} reads downwards, {turn}: {}", figure.alt);
            upright += usize::from(turn > 80.0);
        }
    }
    assert!(upright > 10, "{upright}");
}

/// The upper piece of a lap is laid to a mark: the list says where its end lies, not the middle of the lap.
#[test]
fn the_end_of_the_upper_piece_of_each_lap_is_told() {
    let mut seen = 0;
    for name in ["kitchen-extension", "neighbours", "garage-utility", "balcony"] {
        let job = work(&request(name));
        let method = crate::edges::documents(&job)[1].clone();
        for run in job.take_off.profiles.iter().flat_map(|plan| &plan.runs) {
            for lap in &run.laps {
                let half = wetout::model::Length::mm(lap.length.as_mm() / 2);
                let end = match lap.over {
                    wetout::takeoff::layout::LapOver::Later => lap.at - half,
                    wetout::takeoff::layout::LapOver::Earlier => lap.at + half,
                };
                let told = format!("{} from ", end + run.leg);
                assert!(method.contains(&told), "{name}: {told}, of {}", run.label);
                seen += 1;
            }
        }
    }
    assert!(seen > 5, "{seen}");
}

/// Of a deck only the pieces that are cut are listed and told by their sizes: of a whole board its number is enough.
#[test]
fn only_cut_boards_are_listed_and_sized() {
    let job = work(&request("garage-utility"));
    let deck = of_deck(&job);
    let pieces = &job.take_off.roofs[0].deck.as_ref().unwrap().pieces;
    let (whole, cut): (Vec<_>, Vec<_>) = pieces.iter().partition(|piece| piece.whole);
    let size = |p: &wetout::takeoff::layout::BoardPiece| format!("{} × {}", p.length.as_mm(), p.width.as_mm());
    let sizes: Vec<String> = texts(&deck).into_iter().map(|(words, _)| words).filter(|w| w.contains(" × ")).collect();
    assert!(!whole.is_empty() && !cut.is_empty());
    assert!(!sizes.iter().any(|words| words.ends_with(&size(whole[0]))), "{sizes:?}");
    let method = crate::edges::documents(&job)[1].clone();
    assert!(method.contains("Not listed: whole, each a board of its own."), "{method}");
}

/// Of several roofs what is cut is drawn roof by roof, and the layers after it or before it: no drawing of the one stands between two
/// of the other. Small drawings of the layers of many roofs stand with their plans.
#[test]
fn firrings_and_layers_of_several_roofs_stand_apart() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/big_jobs/tiny-beside-large.yaml");
    let two = work(&asked(&std::fs::read_to_string(path).unwrap()));
    let places = |job: &Demo, is: &dyn Fn(&Figure) -> bool| -> Vec<usize> {
        let figures = method_figures(job);
        figures.iter().enumerate().filter(|(_, figure)| is(figure)).map(|(n, _)| n).collect()
    };
    let firring = |figure: &Figure| figure.alt.starts_with("Firrings of ");
    let layers = |figure: &Figure| figure.alt.contains("layers drawn back");
    let (cut, back) = (places(&two, &firring), places(&two, &layers));
    assert!(cut.len() > 1 && back.len() > 1 && cut.last() < back.first(), "{cut:?} {back:?}");
    let many = twelve();
    let (cut, back) = (places(&many, &firring), places(&many, &layers));
    assert!(!cut.is_empty() && !back.is_empty() && back.last() < cut.first(), "{cut:?} {back:?}");
}

/// The edges of the garage's warm roof are told once: what stops flush, and what is sawn off behind the fascia.
#[test]
fn a_warm_roof_has_one_order_for_its_edges() {
    let method = crate::edges::documents(&work(&request("garage-utility")))[1].clone();
    let sawn = "Warm roof, drip and raised edges: saw deck and firrings off behind the fascia, which goes up past them";
    assert_eq!((method.matches(sawn).count(), method.matches("saw deck and firrings").count()), (1, 1), "{method}");
    let flush = "Stop 10 mm short of pipes. Flush at openings.";
    assert_eq!((method.matches(flush).count(), method.matches("Flush at").count()), (1, 1), "{method}");
}
