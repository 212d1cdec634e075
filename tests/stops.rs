//! Where to stop each day: a crew with a tape finds each line on the roof, what lies between two lines is the area that is
//! told, and no day is left out; every strip of every layer is laid on one of them, and a caution names the same strips.

use crate::works::every_job;
use rust_decimal::Decimal;
use wetout::model::{Area, Length, LineId, Point, Role, Rules};
use wetout::programme::{Day, LayerStrips, Operation, Programme, SiteWarning, Stop, plan};
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::{OuterEdge, RoofLayout, RunPlace};
use wetout::works::WorkKind;

/// Places of a ring square to the low edge, or along it from the left, mm from the corner furthest that way; by the scalar
/// product alone, without the frame in which the mat was laid.
pub fn places(roof: &RoofLayout, ring: &[Point], from_left: bool) -> Vec<f64> {
    let up = roof.shape.uphill;
    let way = if from_left { (up.y, -up.x) } else { (up.x, up.y) };
    let place = |p: &Point| p.x as f64 * way.0 + p.y as f64 * way.1;
    let first = roof.shape.ring().iter().map(place).fold(f64::INFINITY, f64::min);
    ring.iter().map(|p| place(p) - first).collect()
}

fn near(a: f64, length: Length) -> bool {
    (a - length.as_mm() as f64).abs() <= 1.5
}

/// From where to where each board goes, of the deck and of what lies over insulation.
fn boards(roof: &RoofLayout, from_left: bool) -> Vec<(f64, f64)> {
    let decks = roof.deck.iter().chain(roof.over.as_ref().and_then(|over| over.overlay.as_ref()));
    let span = |ring: &[Point]| {
        let places = places(roof, ring, from_left);
        (places.iter().copied().fold(f64::INFINITY, f64::min), places.iter().copied().fold(f64::NEG_INFINITY, f64::max))
    };
    decks.flat_map(|deck| &deck.pieces).map(|board| span(&board.rings[0])).collect()
}

/// Where all that is closed lies side by side from the start on, the furthest board of the deck that crosses its line is told: what lies
/// over insulation is sawn off there.
/// Gives on how many days one that lies over insulation goes further than the deck's.
fn the_furthest_board_is_told(name: &str, roof: &RoofLayout, of_roof: &[&Stop]) -> usize {
    let (mut closed, mut upper) = (Length::ZERO, 0);
    for stop in of_roof.iter().filter(|stop| !stop.whole_roof) {
        let [(from, to)] = stop.opens[..] else { return upper };
        if from != closed {
            return upper;
        }
        closed = to;
        let line = to.as_mm() as f64;
        let crosses = |b: &&(f64, f64)| b.0 < line - 2.0 && b.1 > line + 2.0;
        let furthest = |boards: &[(f64, f64)]| boards.iter().filter(crosses).map(|b| b.1).fold(line, f64::max);
        let all = boards(roof, stop.from_left);
        let of_deck = roof.deck.as_ref().map_or(0, |deck| deck.pieces.len());
        if furthest(&all[..of_deck]) > line {
            let told = stop.boards_to.iter().any(|to| near(furthest(&all[..of_deck]), *to));
            assert!(told, "{name}: a board goes on to {}: {stop:?}", furthest(&all));
        }
        upper += usize::from(furthest(&all) > furthest(&all[..of_deck]) + 2.0);
    }
    upper
}

/// Each end of what a day opens is the edge of a strip of the lowest layer, or of the roof.
fn every_line_is_an_edge(name: &str, roof: &RoofLayout, stop: &Stop) {
    let strips = roof.mat.pieces.iter().filter(|p| p.layer == 0);
    let edges: Vec<f64> = strips.flat_map(|p| places(roof, &p.ring, stop.from_left)).collect();
    for line in stop.opens.iter().flat_map(|(from, to)| [*from, *to]) {
        let of_roof = line == Length::ZERO || line == stop.extent;
        assert!(of_roof || edges.iter().any(|e| near(*e, line)), "{name}: {line} is no strip's edge: {stop:?}");
    }
    let boards = boards(roof, stop.from_left);
    for reach in &stop.boards_to {
        let ends = boards.iter().any(|(low, high)| near(*low, *reach) || near(*high, *reach));
        assert!(ends, "{name}: no board ends at {reach}: {stop:?}");
    }
    let bare = |to: &Length| stop.opens.iter().all(|(a, b)| to < a || b < to);
    assert!(stop.boards_to.iter().all(bare), "{name}: a board that lies under mat is told as bare: {stop:?}");
}

/// On a rectangle the area is its width times what a tape measures between the lines.
fn a_rectangle_is_width_by_length(name: &str, roof: &RoofLayout, stop: &Stop) -> bool {
    let ring = roof.shape.ring();
    let along = places(roof, &ring, !stop.from_left);
    let width = along.iter().fold(0.0_f64, |w, p| w.max(*p)).round() as i64;
    let whole = Area::mm2(width * stop.extent.as_mm());
    if ring.len() != 4 || whole != roof.shape.area {
        return false;
    }
    let opens: Area = stop.opens.iter().map(|(from, to)| (*to - *from) * Length::mm(width)).sum();
    assert_eq!(stop.opened, opens, "{name}: {stop:?}");
    true
}

/// From where to where the outer edge of a parapet goes that stands outside a side; sides go anticlockwise.
fn outer_edge(roof: &RoofLayout, side: usize) -> (Point, Point) {
    let at = &roof.shape.sides[side];
    let wall = at.coped.unwrap();
    let (x, y) = ((at.to.x - at.from.x) as f64, (at.to.y - at.from.y) as f64);
    let (x, y) = (x / x.hypot(y), y / x.hypot(y));
    let moved = |p: Point, on: Length| {
        let (on, out) = (on.as_mm() as f64, wall.width.as_mm() as f64);
        Point::new((p.x as f64 + x * on + y * out).round() as i64, (p.y as f64 + y * on - x * out).round() as i64)
    };
    (moved(at.from, -wall.longer[0]), moved(at.to, wall.longer[1]))
}

/// Where all that is closed lies side by side from the start on, what crosses its line is told, by the scalar product alone:
/// trims along the edges and round openings, the outer trims and the linings of parapets. Gives on how many days there are such.
fn the_trims_past_a_line_are_told(name: &str, take_off: &TakeOff, of: usize, of_roof: &[&Stop]) -> usize {
    let (roof, mut closed, mut found) = (&take_off.roofs[of], Length::ZERO, 0);
    for stop in of_roof.iter().filter(|stop| !stop.whole_roof) {
        let [(from, to)] = stop.opens[..] else { return found };
        if from != closed {
            return found;
        }
        closed = to;
        let mut crossing = Vec::new();
        for run in take_off.profiles.iter().flat_map(|plan| &plan.runs) {
            let (a, b) = match run.place {
                RunPlace::Side { roof: on, side } if on == of => {
                    (roof.shape.sides[side].from, roof.shape.sides[side].to)
                }
                RunPlace::Hole { roof: on, hole, side } if on == of => {
                    let ring = &roof.shape.holes[hole].ring;
                    (ring[side], ring[(side + 1) % ring.len()])
                }
                RunPlace::Parapet { roof: on, side, part: OuterEdge::Along } if on == of => outer_edge(roof, side),
                _ => continue,
            };
            let ends = places(roof, &[a, b], stop.from_left);
            let (at, slope) = (ends[0], (ends[1] - ends[0]) / ((b.x - a.x) as f64).hypot((b.y - a.y) as f64));
            for piece in &run.pieces {
                let start = (run.leg + piece.at).as_mm() as f64;
                let (a, b) = (at + slope * start, at + slope * (start + piece.length.as_mm() as f64));
                let line = to.as_mm() as f64;
                if a.min(b) < line - 3.0 && a.max(b) > line + 3.0 {
                    crossing.push(piece.mark.clone());
                }
            }
        }
        for lining in &roof.parapets {
            let side = &roof.shape.sides[lining.side];
            for board in &lining.boards {
                let (a, b) = if board.top { outer_edge(roof, lining.side) } else { (side.from, side.to) };
                let ends = places(roof, &[a, b], stop.from_left);
                let slope = (ends[1] - ends[0]) / ((b.x - a.x) as f64).hypot((b.y - a.y) as f64);
                let start = board.at.as_mm() as f64;
                let (a, b) = (ends[0] + slope * start, ends[0] + slope * (start + board.length.as_mm() as f64));
                let line = to.as_mm() as f64;
                if a.min(b) < line - 3.0 && a.max(b) > line + 3.0 {
                    crossing.push(board.mark.clone());
                }
            }
        }
        let cuts = &take_off.edge_cuts[of];
        for (timber, told) in [(&cuts.battens, &stop.battens_past), (&cuts.timber, &stop.timber_past)] {
            for run in &timber.runs {
                let side = &roof.shape.sides[run.side];
                let ends = places(roof, &[side.from, side.to], stop.from_left);
                let (long, line) = (side.run.as_mm() as f64, to.as_mm() as f64);
                let mut at = run.at.as_mm() as f64;
                let crosses = run.pieces.iter().any(|piece| {
                    let (start, end) = (at, at + piece.length.as_mm() as f64);
                    at = end;
                    let [a, b] = [start, end].map(|at| ends[0] + (ends[1] - ends[0]) * at / long);
                    a.min(b) < line - 3.0 && a.max(b) > line + 3.0
                });
                assert!(!crosses || told.contains(&run.side), "{name}: {} goes past: {stop:?}", side.label);
                if crosses {
                    crossing.push(side.label.clone());
                }
            }
        }
        let timbers =
            |sides: &[usize]| sides.iter().map(|side| roof.shape.sides[*side].label.clone()).collect::<Vec<_>>();
        let told = [&stop.trims_past, &stop.parapets_past, &timbers(&stop.battens_past), &timbers(&stop.timber_past)];
        let told: Vec<&String> = told.into_iter().flatten().collect();
        assert!(crossing.iter().all(|mark| told.contains(&mark)), "{name}: {crossing:?} go past: {stop:?}");
        found += usize::from(!crossing.is_empty());
    }
    found
}

/// Nobody works on a day on what is all on roofs that are not opened that day, but for what rounding leaves over, and for tops of
/// parapets that are levelled before anything else.
fn hours_lie_where_their_roof_is_opened(name: &str, programme: &Programme) {
    for day in &programme.days {
        let open: Vec<&str> = programme
            .stops
            .iter()
            .filter(|s| (s.first_day..=s.day).contains(&day.number))
            .map(|s| s.roof.as_str())
            .collect();
        for (i, hours) in day.work.iter().filter(|(_, hours)| *hours > Decimal::new(5, 2)) {
            let work = &programme.work[*i];
            let there = work.parts.iter().any(|p| p.roof.as_deref().is_none_or(|roof| open.contains(&roof)));
            let covers = work.operation <= Operation::Laminate && !open.is_empty() && !work.levels_tops();
            assert!(!covers || there, "{name}, day {}: {hours} h of {} on no roof of {open:?}", day.number, work.label);
        }
    }
}

/// The marks of the pieces that strips are made of: all of a strip that is named by its number.
fn marks_of(roof: &RoofLayout, strips: &LayerStrips) -> Vec<String> {
    let of_layer = || roof.mat.pieces.iter().filter(|p| p.layer == strips.layer).map(|p| p.mark.clone());
    let number = |mark: &String| mark.trim_end_matches(|c: char| c.is_ascii_lowercase()).to_owned();
    let meant = |name: &String| of_layer().filter(|mark| mark == name || number(mark) == *name).collect::<Vec<_>>();
    strips.names.iter().flat_map(meant).collect()
}

/// What the stops of a roof lay, and what its days lay, is each piece of every layer once. Gives how many lie on others.
fn every_strip_is_laid_once(name: &str, roof: &RoofLayout, of_roof: &[&Stop], days: &[Day]) -> usize {
    let sorted = |mut marks: Vec<String>| {
        marks.sort();
        marks
    };
    let all = sorted(roof.mat.pieces.iter().map(|p| p.mark.clone()).collect());
    let linings: Vec<String> = roof.box_gutters.iter().flat_map(|g| &g.mat).map(|p| p.mark.clone()).collect();
    let of_stops = of_roof.iter().flat_map(|stop| &stop.strips).flat_map(|strips| marks_of(roof, strips));
    assert_eq!(sorted(of_stops.collect()), all, "{name}: {of_roof:?}");
    let of_days = days.iter().flat_map(|day| &day.strips).filter(|s| s.roof == roof.shape.name);
    let with_linings = sorted([all, linings.clone()].concat());
    assert_eq!(sorted(of_days.map(|s| s.mark.clone()).collect()), with_linings, "{name}: {days:?}");
    for stop in of_roof {
        let of_day = days[stop.day as usize - 1].strips.iter().filter(|s| s.roof == roof.shape.name);
        let of_day = of_day.filter(|s| !linings.contains(&s.mark));
        let told = stop.strips.iter().flat_map(|strips| marks_of(roof, strips)).collect();
        assert_eq!(sorted(of_day.map(|s| s.mark.clone()).collect()), sorted(told), "{name}: {stop:?}");
    }
    roof.mat.pieces.iter().filter(|p| p.layer > 0).count()
}

/// Each stop of several days is told as one that stays open, with its days and strips, and no other is. Gives how many.
fn what_stays_open_is_told_as_it_stops(name: &str, programme: &Programme) -> usize {
    let open = |w: &SiteWarning| match w {
        SiteWarning::StaysOpen { first_day, day, roof, strips } => {
            Some((*first_day, *day, roof.clone(), strips.clone()))
        }
        _ => None,
    };
    let told: Vec<_> = programme.warnings.iter().filter_map(open).collect();
    let stops = programme.stops.iter().filter(|stop| stop.first_day < stop.day);
    let stops: Vec<_> = stops.map(|s| (s.first_day, s.day, s.roof.clone(), s.strips.clone())).collect();
    assert_eq!(told, stops, "{name}");
    told.len()
}

/// Copings that come off for tops to be levelled open no roof.
fn opens(day: &Day, programme: &Programme) -> bool {
    let covers = |o: Operation| matches!(o, Operation::Strip | Operation::Deck | Operation::Laminate);
    day.work.iter().map(|(i, _)| &programme.work[*i]).any(|w| covers(w.operation) && !w.levels_tops())
}

/// The days agree with the roofs; gives how many stops were looked at, how many of them on rectangles, on how many boards
/// over insulation go furthest, how many pieces of mat lie on others, on how many trims go past the line, and how many stops stay open.
fn agree(name: &str, take_off: &TakeOff, programme: &Programme) -> [usize; 6] {
    let (mut rectangles, mut upper, mut further, mut past) = (0, 0, 0, 0);
    let stops = &programme.stops;
    for stop in stops {
        let roof = take_off.roofs.iter().find(|r| r.shape.name == stop.roof).unwrap();
        every_line_is_an_edge(name, roof, stop);
        rectangles += usize::from(a_rectangle_is_width_by_length(name, roof, stop));
    }
    if stops.is_empty() {
        return [0; 6];
    }
    hours_lie_where_their_roof_is_opened(name, programme);
    for (i, roof) in take_off.roofs.iter().enumerate() {
        let of_roof: Vec<&Stop> = stops.iter().filter(|s| s.roof == roof.shape.name).collect();
        upper += the_furthest_board_is_told(name, roof, &of_roof);
        past += the_trims_past_a_line_are_told(name, take_off, i, &of_roof);
        further += every_strip_is_laid_once(name, roof, &of_roof, &programme.days);
        assert_eq!(of_roof.iter().map(|s| s.opened).sum::<Area>(), roof.shape.area, "{name}: {}", roof.shape.name);
        assert!(of_roof.iter().all(|s| s.opened >= Area::ZERO), "{name}: {of_roof:?}");
        let closed: Vec<bool> = of_roof.iter().map(|s| s.whole_roof).collect();
        assert!(closed.iter().rev().skip(1).all(|c| !c) && closed.last() == Some(&true), "{name}: {of_roof:?}");
    }
    for day in programme.days.iter().filter(|day| opens(day, programme)) {
        let told = stops.iter().any(|s| (s.first_day..=s.day).contains(&day.number));
        assert!(told, "{name}: day {} of {} opens roof and is not in the list", day.number, programme.days.len());
    }
    [stops.len(), rectangles, upper, further, past, what_stays_open_is_told_as_it_stops(name, programme)]
}

/// Every demo job, big job and job for the sweep, worked by one to four people on days of three lengths: what is told can
/// be found with a tape, areas come to the roofs', every day that opens some roof is in the list, and so is every strip.
#[test]
fn every_stop_is_an_edge_areas_come_to_the_roofs_and_no_day_or_strip_is_left_out() {
    let mut sums = [0; 6];
    let mut add = |of_job: [usize; 6]| sums.iter_mut().zip(of_job).for_each(|(sum, of_job)| *sum += of_job);
    for (name, demo) in every_job() {
        let (job, mut rules) = (&demo.loaded.job, demo.loaded.rules.clone());
        add(agree(&name, &demo.take_off, &demo.programme));
        for (crew, hours) in [(1, 6), (1, 10), (2, 6), (3, 8), (4, 6)] {
            rules.day_hours = hours.into();
            let programme = plan(job, &demo.take_off, &rules, demo.loaded.products.catalyst_density, crew, &[]);
            add(agree(&format!("{name}, crew of {crew}"), &demo.take_off, &programme));
        }
    }
    let [looked_at, rectangles, upper, further, past, stay_open] = sums;
    assert!(looked_at > 150 && rectangles > 40, "{looked_at} stops, {rectangles} of them on rectangles");
    assert!(past > 20, "{past} days on which trims go past the line");
    assert!(upper > 0, "boards over insulation never go further than the deck's");
    assert!(further > 20 && stay_open > 20, "{further} pieces of further layers, {stay_open} stops that stay open");
}

/// Battens and edge timber that a day leaves whole past its line are named by their sides, and so is what is done with them.
#[test]
fn what_goes_on_along_an_edge_is_told_with_its_trims() {
    for (name, along, words) in [
        ("kitchen-extension", "battens (", "Trims and battens that go on past it stay whole"),
        ("garage-utility", "edge timber (", "Trims, battens and edge timber that go on past it stay whole"),
    ] {
        let job = crate::demo::work(&crate::demo::request(name));
        let method = crate::falls::words(&job, wetout::documents::DocumentKind::Method);
        for stop in job.programme.stops.iter().filter(|stop| !stop.battens_past.is_empty()) {
            let roof = job.take_off.roofs.iter().find(|roof| roof.shape.name == stop.roof).unwrap();
            let sides: Vec<&str> = stop.battens_past.iter().map(|i| roof.shape.sides[*i].label.as_str()).collect();
            // Sides that battens and edge timber share are named once.
            let alike = stop.battens_past == stop.timber_past;
            let along = format!("{} ({})", if alike { "battens and edge timber" } else { "battens" }, sides.join(", "));
            assert!(method.contains(&along), "{name}: {along}: {method}");
        }
        assert!(method.contains(along) && method.contains(words), "{name}: {method}");
    }
}

/// A parapet's trims and lining are longer than what a day opens: they are told, and how far the copings are off for them.
#[test]
fn what_goes_on_along_a_parapet_is_told_with_its_copings() {
    let demo = crate::demo::work(&crate::demo::request("parapet"));
    let stops = &demo.programme.stops;
    let past: Vec<&String> = stops.iter().flat_map(|s| &s.parapets_past).collect();
    assert!(past.iter().any(|m| m.starts_with('D')) && past.iter().any(|m| m.starts_with('L')), "{stops:?}");
}

/// Both layers of a day's strips are laid on that day: the words ask for no wait that no day has.
#[test]
fn a_second_layer_is_laid_wet_on_wet_where_it_can_be_reached() {
    let job = crate::demo::work(&crate::demo::request("balcony"));
    assert!(job.programme.stops.iter().all(|stop| stop.strips.len() == 2));
    let method = crate::falls::words(&job, wetout::documents::DocumentKind::Method);
    let told = "Next layer wet on wet, reached from bare deck, a ladder or boards; else once the one below is hard";
    assert!(method.contains(told), "{method}");
}

/// A line that crosses an opening is told with its name, and no opening is named that lies further than 150 mm from it.
#[test]
fn an_opening_at_which_a_day_stops_is_told() {
    let (mut crossed, mut named) = (0, 0);
    for (name, demo) in every_job() {
        for roof in &demo.take_off.roofs {
            let mut closed = Length::ZERO;
            for stop in demo.programme.stops.iter().filter(|s| s.roof == roof.shape.name && !s.box_gutters) {
                let [(from, to)] = stop.opens[..] else { break };
                if from != closed || stop.whole_roof {
                    break;
                }
                closed = to;
                let line = to.as_mm() as f64;
                for hole in &roof.shape.holes {
                    let lies = places(roof, &hole.ring, stop.from_left);
                    let low = lies.iter().copied().fold(f64::INFINITY, f64::min);
                    let high = lies.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                    let is_told = stop.openings.contains(&hole.name);
                    assert!(
                        is_told || line < low + 2.0 || high - 2.0 < line,
                        "{name}: {} at {line}: {stop:?}",
                        hole.name
                    );
                    assert!(!is_told || (low - 152.0 < line && line < high + 152.0), "{name}: {stop:?}");
                    crossed += usize::from(low < line && line < high);
                    named += usize::from(is_told);
                }
            }
        }
    }
    assert!(crossed > 0 && named > crossed, "{crossed} {named}");
}

/// Of a roof a day's strip, firrings and deck take as much of its hours as of its boards begin on what is opened that day: no board
/// that goes on past the line is stripped and laid in the hours of another day. What lies over the deck is sawn off at the line, so that
/// its hours are as much of them as of the roof is closed.
#[test]
fn a_day_has_the_hours_of_every_board_that_begins_on_it() {
    let (mut further, mut insulated) = (0, 0);
    for (name, demo) in every_job() {
        let programme = &demo.programme;
        let [roof] = &demo.take_off.roofs[..] else { continue };
        let [stop, ..] = &programme.stops[..] else { continue };
        let [(Length::ZERO, to)] = stop.opens[..] else { continue };
        if stop.whole_roof || stop.first_day != stop.day {
            continue;
        }
        let line = to.as_mm() as f64;
        let pieces: Vec<_> = roof.deck.iter().flat_map(|deck| &deck.pieces).collect();
        let area = |begins: bool| -> Decimal {
            // The deck's come first of all boards.
            let all = pieces.iter().zip(boards(roof, stop.from_left));
            let some = all.filter(|(_, span)| !begins || span.0 < line - 2.0);
            some.map(|(piece, _)| (piece.length * piece.width).square_metres()).sum()
        };
        for (index, labour) in programme.work.iter().enumerate().filter(|(_, w)| w.operation == Operation::Deck) {
            let on_box_gutter = labour.parts.iter().any(|part| part.work == WorkKind::GutterBoards);
            let spent: Decimal =
                programme.days[stop.day as usize - 1].work.iter().filter(|(i, _)| *i == index).map(|(_, h)| *h).sum();
            let due = labour.hours * area(true) / area(false);
            let apart = (spent - due).abs();
            assert!(on_box_gutter || apart < Decimal::new(2, 2), "{name}: {spent} h for {due}");
            further += usize::from(stop.boards_to.iter().any(|to| to.as_mm() as f64 > line + 500.0));
        }
        for (index, labour) in programme.work.iter().enumerate().filter(|(_, w)| w.operation == Operation::Insulate) {
            for stop in programme.stops.iter().filter(|stop| stop.first_day == stop.day && !stop.box_gutters) {
                let spent: Decimal = programme.days[stop.day as usize - 1]
                    .work
                    .iter()
                    .filter(|(i, _)| *i == index)
                    .map(|(_, h)| *h)
                    .sum();
                let due = labour.hours * stop.opened.square_metres() / roof.shape.area.square_metres();
                assert!((spent - due).abs() < Decimal::new(2, 2), "{name}, day {}: {spent} h for {due}", stop.day);
                insulated += 1;
            }
        }
    }
    assert!(further > 0 && insulated > 2, "{further} {insulated}");
}

/// Screws on so much of a joist.
fn screws_on(rules: &Rules, long: f64) -> f64 {
    (long / rules.deck_field_fixing.as_mm() as f64).ceil() + 1.0
}

/// The boards over insulation that a day's line saws through are screwed on both sides of the cut: counted piece by piece and joist by
/// joist on rectangles, ordered with the others, in the U-value, and told to the crew.
#[test]
fn boards_over_insulation_are_screwed_on_both_sides_of_a_days_line() {
    let mut sawn = 0;
    for (name, demo) in every_job() {
        let (rules, programme) = (&demo.loaded.rules, &demo.programme);
        let mut all = Decimal::ZERO;
        for roof in &demo.take_off.roofs {
            let Some((over, overlay)) = roof.over.as_ref().and_then(|over| Some((over, over.overlay.as_ref()?))) else {
                continue;
            };
            let line = demo
                .take_off
                .lines
                .iter()
                .find(|l| l.id == LineId::OverlayFixings && l.roof.as_ref() == Some(&roof.shape.name));
            all += line.unwrap().quantity;
            assert_eq!(line.unwrap().quantity, Decimal::from(overlay.fixings + over.sawn_screws), "{name}");
            let of_roof = || programme.stops.iter().filter(|s| s.roof == roof.shape.name && !s.box_gutters);
            let is_plain = overlay.pieces.iter().all(|piece| piece.rings.len() == 1 && piece.rings[0].len() == 4);
            if !is_plain || of_roof().any(|s| s.opens.len() != 1) {
                continue;
            }
            let mut expected = 0.0;
            for stop in of_roof().filter(|s| !s.whole_roof) {
                let (from, to) = stop.opens[0];
                let line = if to == stop.extent { from } else { to }.as_mm() as f64;
                for piece in &overlay.pieces {
                    let along = places(roof, &piece.rings[0], stop.from_left);
                    let across = places(roof, &piece.rings[0], !stop.from_left);
                    let span = |all: &[f64]| {
                        all.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(*p), b.max(*p)))
                    };
                    let ((low, high), (left, right)) = (span(&along), span(&across));
                    if line <= low || high <= line {
                        continue;
                    }
                    let joists: Vec<(f64, f64, f64, f64)> = overlay
                        .joists
                        .iter()
                        .map(|&(a, b)| {
                            let (u, v) =
                                (places(roof, &[a, b], stop.from_left), places(roof, &[a, b], !stop.from_left));
                            (u[0], u[1], v[0], v[1])
                        })
                        .collect();
                    let crosses = joists.iter().all(|j| (j.0 - j.1).abs() > 100.0);
                    if crosses {
                        let under = joists.iter().filter(|j| left < j.2 && j.2 < right).count();
                        expected += under as f64
                            * (screws_on(rules, line - low) + screws_on(rules, high - line)
                                - screws_on(rules, high - low));
                    } else {
                        let ends = |u: &f64| low - 2.0 < *u && *u < high + 2.0;
                        let away = |u: &f64| (u - line).abs();
                        let nearest = joists.iter().map(|j| j.0).filter(ends);
                        let nearest = nearest.min_by(|a, b| away(a).total_cmp(&away(b)));
                        let inside = nearest.is_some_and(|u| low + 2.0 < u && u < high - 2.0);
                        expected += if inside { screws_on(rules, right - left) } else { 0.0 };
                    }
                }
            }
            assert!((expected - over.sawn_screws as f64).abs() < 0.5, "{name}: {expected} {}", over.sawn_screws);
            if over.sawn_screws > 0 {
                sawn += 1;
                let [_, method] = crate::edges::documents(&demo);
                assert!(method.contains(&format!(": {} screws more, which are ordered", over.sawn_screws)), "{name}");
            }
        }
        let need = demo.take_off.needs.iter().find(|n| n.role == Role::OverlayFixings);
        assert_eq!(need.map_or(Decimal::ZERO, |n| n.quantity), all, "{name}");
    }
    assert!(sawn > 0);
}

/// A roof that is left half done over days on which nobody works says until when, and that somebody must look after its sheet.
#[test]
fn a_roof_that_lies_under_its_sheet_over_a_weekend_says_so() {
    let (_, twelve) = every_job().into_iter().find(|(name, _)| name.contains("twelve")).unwrap();
    let programme = &twelve.programme;
    let date = |number: u32| programme.days[number as usize - 1].date.unwrap();
    let mut open = 0;
    for stop in programme.stops.iter().filter(|s| !s.whole_roof && !s.box_gutters) {
        let next = programme.stops.iter().find(|n| n.roof == stop.roof && n.first_day > stop.day).unwrap();
        // Work on other roofs, or a coat, between is no day off.
        let is_off = |day: &u32| (date(day + 1) - date(*day)).whole_days() > 1;
        open += (stop.first_day..next.first_day).filter(is_off).count();
    }
    let text = crate::falls::words(&twelve, wetout::documents::DocumentKind::Method);
    assert_eq!(text.matches("agree who looks after that").count(), open);
    assert!(open > 0);
}
