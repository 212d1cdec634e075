//! Fire classes by distance from the boundary.

use wetout::checks::boundary::{Note, Permission, check, permission, wanted};
use wetout::checks::finding::Verdict;
use wetout::model::Length;
use wetout::model::fire::RoofClass;

fn at(distance: i64) -> Length {
    Length::mm(distance)
}

/// How the table prints a cell.
fn cell(permission: Permission) -> String {
    match permission {
        Permission::Yes => "yes".into(),
        Permission::No => "no".into(),
        Permission::Subject(notes) => notes
            .iter()
            .map(|n| match n {
                Note::NoTerraceNorLarge => "a",
                Note::SmallParts => "b",
            })
            .collect(),
    }
}

/// Approved Document B volume 1 (2019), Table 12.1: cells from memory, notes as published.
#[test]
fn the_table_is_the_approved_documents() {
    let rows = [
        (RoofClass::B, ["yes", "yes", "yes", "yes"]),
        (RoofClass::C, ["no", "yes", "yes", "yes"]),
        (RoofClass::D, ["no", "ab", "a", "yes"]),
        (RoofClass::E, ["no", "ab", "a", "a"]),
        (RoofClass::F, ["no", "no", "no", "ab"]),
    ];
    for (class, row) in rows {
        for (from, to, expected) in
            [(0, 5_999, row[0]), (6_000, 11_999, row[1]), (12_000, 19_999, row[2]), (20_000, 90_000, row[3])]
        {
            assert_eq!(cell(permission(class, at(from))), expected, "{class} at {from} mm");
            assert_eq!(cell(permission(class, at(to))), expected, "{class} at {to} mm");
        }
    }
}

#[test]
fn a_better_class_is_never_allowed_less_and_distance_never_forbids() {
    let rank = |p: Permission| match p {
        Permission::No => 0,
        Permission::Subject(notes) => 3 - notes.len(),
        Permission::Yes => 3,
    };
    let distances = [0, 6_000, 12_000, 20_000];
    for pair in RoofClass::ALL.windows(2) {
        for d in distances {
            assert!(rank(permission(pair[0], at(d))) >= rank(permission(pair[1], at(d))), "{pair:?} at {d}");
        }
    }
    for class in RoofClass::ALL {
        for d in distances.windows(2) {
            assert!(rank(permission(class, at(d[1]))) >= rank(permission(class, at(d[0]))), "{class} at {d:?}");
        }
    }
}

#[test]
fn close_to_the_boundary_only_the_best_class_will_do() {
    let wants = [
        (1_200, RoofClass::B),
        (5_999, RoofClass::B),
        (6_000, RoofClass::C),
        (12_000, RoofClass::C),
        (20_000, RoofClass::D),
    ];
    for (distance, class) in wants {
        assert_eq!(wanted(at(distance)), class, "{distance} mm");
    }
}

#[test]
fn without_a_certificate_the_answer_is_that_it_is_needed() {
    let finding = check(Some(at(1_200)), None).unwrap();
    assert_eq!(finding.verdict, Verdict::Refer);
    assert_eq!(
        finding.statement,
        "At 1.2 m from the boundary the covering must be of class BROOF(t4) against fire from outside. The maker's test certificate \
         for this build-up on this deck is needed first."
    );
    assert!(finding.source.contains("Table 12.1") && finding.caution.contains("England"));
}

#[test]
fn a_certificate_is_held_against_the_table() {
    let verdict = |distance, class| check(Some(at(distance)), Some(class)).unwrap().verdict;
    assert_eq!(verdict(1_200, RoofClass::B), Verdict::Pass);
    assert_eq!(verdict(1_200, RoofClass::C), Verdict::Fail);
    assert_eq!(verdict(7_000, RoofClass::C), Verdict::Pass);
    assert_eq!(verdict(7_000, RoofClass::D), Verdict::Refer);
    let conditions = check(Some(at(7_000)), Some(RoofClass::D)).unwrap().statement;
    assert!(
        conditions.contains("terraces of three or more houses") && conditions.contains("at most 3 m2 each"),
        "{conditions}"
    );
}

#[test]
fn a_missing_distance_is_asked_for_by_name() {
    let problem = check(None, Some(RoofClass::B)).unwrap_err();
    assert_eq!(
        (problem.place.to_string().as_str(), problem.cure.as_str()),
        ("boundary", "measure from the nearest edge of the roof to the boundary: `boundary: 1.2 m`")
    );
}

// Through a job file.

#[test]
fn the_distance_and_the_class_of_a_job_file_come_to_a_verdict() {
    let of = |job: &str| {
        let (_, laid) = crate::support::laid_out(&crate::support::lean_to("", "", job));
        laid.checked.findings.into_iter().find(|f| f.id == "fire.boundary").map(|f| (f.verdict, f.roof))
    };
    assert_eq!(of(""), None, "without a distance there is nothing to judge");
    assert_eq!(of("boundary: 1.2 m\n"), Some((Verdict::Refer, None)));
    assert_eq!(of("boundary: 1.2 m\nroof_class: B\n"), Some((Verdict::Pass, None)));
    assert_eq!(of("boundary: 1.2 m\nroof_class: C\n"), Some((Verdict::Fail, None)));
    assert_eq!(of("boundary: 6.0 m\nroof_class: CROOF(t4)\n"), Some((Verdict::Pass, None)));
}

/// A certificate that the quote says is wanted is asked of whoever sells the covering, and of the office, until the job has it.
#[test]
fn a_certificate_that_is_wanted_is_asked_for_until_it_is_there() {
    let told = |end: &str| {
        let mut request = crate::demo::request("balcony");
        let text = String::from_utf8(request.bytes).unwrap();
        assert!(text.contains("\nboundary: 1.5 m\n"));
        request.bytes = text.replace("\nboundary: 1.5 m\n", end).into_bytes();
        let demo = crate::demo::work(&request);
        let notices: Vec<String> = demo.loaded.notices.iter().map(|n| n.fault.clone()).collect();
        (crate::one_story::orders(&demo).replace('\n', ""), notices.concat())
    };
    for (end, class) in [
        ("\nboundary: 1.5 m\n", Some("BROOF(t4), for this build-up")),
        ("\nboundary: 7 m\n", Some("CROOF(t4) or better, for this build-up")),
        ("\nboundary: 7 m\nroof_class: C\n", None),
    ] {
        let (order, warnings) = told(end);
        let asked = order.split_once("the maker's certificate of the class in fire, ");
        assert_eq!(asked.is_some(), class.is_some(), "{end}: {order}");
        assert!(class.is_none_or(|class| asked.unwrap().1.starts_with(class)), "{order}");
        assert_eq!(warnings.contains("class of the covering in fire is not said"), class.is_some(), "{warnings}");
    }
}
