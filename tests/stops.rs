//! Where to stop each day: a crew with a tape finds each line on the roof, what lies between two lines is the area that is
//! told, and no day is left out.

use crate::works::every_job;
use wetout::model::{Area, Length, Point};
use wetout::programme::{Day, Operation, Programme, Stop, plan};
use wetout::takeoff::TakeOff;
use wetout::takeoff::layout::RoofLayout;

/// Places of a ring square to the low edge, or along it from the left, mm from the corner furthest that way; by the scalar
/// product alone, without the frame in which the mat was laid.
fn places(roof: &RoofLayout, ring: &[Point], from_left: bool) -> Vec<f64> {
    let up = roof.shape.uphill;
    let way = if from_left { (up.y, -up.x) } else { (up.x, up.y) };
    let place = |p: &Point| p.x as f64 * way.0 + p.y as f64 * way.1;
    let first = roof.shape.ring().iter().map(place).fold(f64::INFINITY, f64::min);
    ring.iter().map(|p| place(p) - first).collect()
}

fn near(a: f64, length: Length) -> bool {
    (a - length.as_mm() as f64).abs() <= 1.5
}

/// Each end of what a day opens is the edge of a strip of the lowest layer, or of the roof.
fn every_line_is_an_edge(name: &str, roof: &RoofLayout, stop: &Stop) {
    let strips = roof.mat.pieces.iter().filter(|p| p.layer == 0);
    let edges: Vec<f64> = strips.flat_map(|p| places(roof, &p.ring, stop.from_left)).collect();
    for line in stop.opens.iter().flat_map(|(from, to)| [*from, *to]) {
        let of_roof = line == Length::ZERO || line == stop.extent;
        assert!(of_roof || edges.iter().any(|e| near(*e, line)), "{name}: {line} is no strip's edge: {stop:?}");
    }
    let boards = roof.deck.iter().flat_map(|d| &d.pieces).flat_map(|b| places(roof, &b.rings[0], stop.from_left));
    let boards: Vec<f64> = boards.collect();
    for reach in &stop.boards_to {
        assert!(boards.iter().any(|b| near(*b, *reach)), "{name}: no board ends at {reach}: {stop:?}");
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

fn opens(day: &Day, programme: &Programme) -> bool {
    let covers = |o: Operation| matches!(o, Operation::Strip | Operation::Deck | Operation::Laminate);
    day.work.iter().any(|(i, _)| covers(programme.work[*i].operation))
}

/// The days agree with the roofs; gives how many stops were looked at, and how many of them on rectangles.
fn agree(name: &str, take_off: &TakeOff, programme: &Programme) -> (usize, usize) {
    let mut rectangles = 0;
    let stops = &programme.stops;
    for stop in stops {
        let roof = take_off.roofs.iter().find(|r| r.shape.name == stop.roof).unwrap();
        every_line_is_an_edge(name, roof, stop);
        rectangles += usize::from(a_rectangle_is_width_by_length(name, roof, stop));
    }
    if stops.is_empty() {
        return (0, 0);
    }
    for roof in &take_off.roofs {
        let of_roof: Vec<&Stop> = stops.iter().filter(|s| s.roof == roof.shape.name).collect();
        assert_eq!(of_roof.iter().map(|s| s.opened).sum::<Area>(), roof.shape.area, "{name}: {}", roof.shape.name);
        assert!(of_roof.iter().all(|s| s.opened >= Area::ZERO), "{name}: {of_roof:?}");
        let closed: Vec<bool> = of_roof.iter().map(|s| s.whole_roof).collect();
        assert!(closed.iter().rev().skip(1).all(|c| !c) && closed.last() == Some(&true), "{name}: {of_roof:?}");
    }
    for day in programme.days.iter().filter(|day| opens(day, programme)) {
        let told = stops.iter().any(|s| (s.first_day..=s.day).contains(&day.number));
        assert!(told, "{name}: day {} of {} opens roof and is not in the list", day.number, programme.days.len());
    }
    (stops.len(), rectangles)
}

/// Every demo job, big job and job for the sweep, worked by one to four people on days of three lengths: what is told can
/// be found with a tape, areas come to the roofs', and every day that opens some roof is in the list.
#[test]
fn every_stop_is_an_edge_areas_come_to_the_roofs_and_no_day_is_left_out() {
    let (mut looked_at, mut rectangles) = (0, 0);
    for (name, demo) in every_job() {
        let (job, mut rules) = (&demo.loaded.job, demo.loaded.rules.clone());
        let own = agree(&name, &demo.take_off, &demo.programme);
        (looked_at, rectangles) = (looked_at + own.0, rectangles + own.1);
        for (crew, hours) in [(1, 6), (1, 10), (2, 6), (3, 8), (4, 6)] {
            rules.day_hours = hours.into();
            let programme = plan(job, &demo.take_off, &rules, demo.loaded.products.catalyst_density, crew, &[]);
            let told = agree(&format!("{name}, crew of {crew}"), &demo.take_off, &programme);
            (looked_at, rectangles) = (looked_at + told.0, rectangles + told.1);
        }
    }
    assert!(looked_at > 150 && rectangles > 40, "{looked_at} stops, {rectangles} of them on rectangles");
}
