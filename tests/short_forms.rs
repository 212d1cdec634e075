//! What a person writes on the first day: short forms that are read as the long ones, and words, units and places that are
//! answered with the cure.

use crate::support::{asked, lean_to};
use rust_decimal::Decimal;
use wetout::job_file::{Request, load};
use wetout::model::{Level, Problem};

/// What is wrong with a job given as text.
fn told(request: &Request) -> Vec<Problem> {
    load(request)
        .err()
        .map(|f| f.problems)
        .unwrap_or_default()
        .into_iter()
        .filter(|p| p.level == Level::Fault)
        .collect()
}

/// The only thing that is wrong, as place, fault and cure.
fn one(text: &str) -> (String, String, String) {
    let found = told(&asked(text));
    assert_eq!(found.len(), 1, "{found:#?}");
    (found[0].place.to_string(), found[0].fault.clone(), found[0].cure.clone())
}

fn job() -> String {
    lean_to("", "", "")
}

#[test]
fn short_forms_say_what_the_long_ones_say() {
    let long = job().replace("asbestos: no\n", "asbestos: no\nsite: {address: same}\n");
    let short = long
        .replace("outline: {rectangle: {width: 6.0 m, depth: 3.0 m}}", "outline: 6.0 m x 3000 mm")
        .replace("front: {finish: drip}", "front: drip")
        .replace("right: {finish: raised}", "right: raised")
        .replace("site: {address: same}", "site: same");
    assert_eq!(short.matches("finish: ").count(), long.matches("finish: ").count() - 2);
    let (long, short) = (load(&asked(&long)).unwrap(), load(&asked(&short)).unwrap());
    assert_eq!(short.job, long.job);
    let (in_line, part) =
        (lean_to(", gutter: half-round 112 mm", "", ""), ", gutter: {shape: half-round, size: 112 mm}");
    let gutter = |text: &str| load(&asked(text)).unwrap().job.roofs[0].outline.edges[0].gutter.clone().unwrap();
    let (short, long) = (gutter(&in_line), gutter(&lean_to(part, "", "")));
    assert_eq!((short.shape, short.size), (long.shape, long.size));
}

#[test]
fn the_short_form_of_an_edge_is_read_at_an_old_laminate_too() {
    let long = include_str!("jobs_for_sweep/old.yaml");
    let short = long.replace("front: {finish: drip}", "front: drip");
    assert_ne!(short, long);
    assert_eq!(load(&asked(&short)).unwrap().job, load(&asked(long)).unwrap().job);
}

#[test]
fn nothing_to_strip_is_said_for_a_whole_job_as_for_a_roof() {
    let bare = job().replace("asbestos: no\n", "asbestos: no\nstrip: nothing\n");
    let loaded = load(&asked(&bare)).unwrap();
    assert!(loaded.job.strip.is_none());
    let (_, _, cure) = one(&bare.replace("strip: nothing", "strip: felt"));
    assert!(cure.contains("{covering: felt, tip: skip}") && cure.contains("`nothing`"), "{cure}");
}

#[test]
fn a_short_form_that_is_wrong_is_told_where_it_stands() {
    let (place, fault, cure) = one(&job().replace("{rectangle: {width: 6.0 m, depth: 3.0 m}}", "6.0 m by 3.0 m"));
    assert_eq!(place, "roofs[0].outline");
    assert!(fault.contains("is not an outline") && cure.contains("`5.2 m x 3.4 m`"), "{fault}: {cure}");
    let (_, fault, _) = one(&job().replace("{rectangle: {width: 6.0 m, depth: 3.0 m}}", "6.0 m x 190 m"));
    assert!(fault.contains("it lies between"), "{fault}");
    let (_, fault, cure) = one(&job().replace("{rectangle: {width: 6.0 m, depth: 3.0 m}}", "6.0 x 3.0"));
    assert!(fault.contains("has no unit") && cure.contains("`6.0 m`"), "{fault}: {cure}");
    let (place, _, cure) = one(&job().replace("right: {finish: raised}", "right: rasied"));
    assert_eq!((place.as_str(), cure.as_str()), ("roofs[0].edges.right", "did you mean `raised`?"));
}

/// What the trade calls an edge, and the finish that it has here.
#[test]
fn a_trade_word_for_an_edge_names_the_finish() {
    for (word, cure) in [
        ("threshold", "`{finish: wall, sill: 150 mm}`"),
        ("door", "`{finish: wall, sill: 150 mm}`"),
        ("eaves", "`drip`"),
        ("verge", "`raised`"),
        ("abutment", "`wall`"),
        ("house wall", "`wall`"),
        ("under slates", "`step`"),
        ("rooflight", "`holes:`"),
    ] {
        let (place, fault, said) =
            one(&job().replace("right: {finish: raised}", &format!("right: {{finish: {word}}}")));
        assert_eq!((place.as_str(), fault), ("roofs[0].edges.right.finish", format!("`{word}` is not a finish")));
        assert!(said.contains(cure), "{word}: {said}");
    }
}

/// One foot is 304.8 mm exactly (international yard and pound agreement of 1959, from memory).
#[test]
fn feet_and_inches_are_turned_into_millimetres() {
    for (written, cures) in [
        ("17 ft", vec!["`5182 mm`"]),
        ("17\u{2019}", vec!["`5182 mm`"]),
        ("\"17' 1\\\"\"", vec!["`5207 mm`"]),
        ("17 ft 1 in", vec!["`5207 mm`"]),
        ("17 feet 1 inch", vec!["`5207 mm`"]),
        ("204 in", vec!["`5182 mm`"]),
        ("17.1 ft", vec!["`5212 mm` if 17.1 ft", "`5207 mm` if 17 ft 1 in"]),
    ] {
        let (place, fault, cure) = one(&job().replace("width: 6.0 m", &format!("width: {written}")));
        assert_eq!(place, "roofs[0].outline.rectangle.width");
        assert!(fault.ends_with("is in feet and inches; this is measured in metres"), "{written}: {fault}");
        assert!(cures.iter().all(|c| cure.contains(c)), "{written}: {cure}");
    }
    let (_, fault, _) = one(&job().replace("width: 6.0 m", "width: 6.0 min"));
    assert!(fault.contains("not a unit"), "{fault}");
}

#[test]
fn a_key_in_the_wrong_place_is_told_where_it_stands() {
    for (line, home) in [
        ("skip_volume: 4 m3", "`money` of the firm file"),
        ("spare_mat: 5 %", "`rules` of the firm file or of the job"),
        ("falls_to: front", "a roof"),
        ("covering: felt", "`under` of an edge and in `strip`"),
        ("articles: []", "the price book, at its left margin"),
        ("margin: 25 %", "`price` of the job and in `money` of the firm file"),
    ] {
        let (_, fault, cure) = one(&job().replace("asbestos: no\n", &format!("asbestos: no\n{line}\n")));
        assert!(fault.ends_with("is not a setting of a job"), "{line}: {fault}");
        assert_eq!(cure, format!("it stands in {home}: move it there, or take it out"), "{line}");
    }
    let (_, _, cure) = one(&job().replace("asbestos: no\n", "asbestos: no\nrofs: []\n"));
    assert_eq!(cure, "did you mean `roofs`?");
}

#[test]
fn another_file_than_was_asked_for_is_known_by_its_keys() {
    let text = |name: &str| std::fs::read_to_string(format!("jobs/{name}.yaml")).unwrap();
    for (name, kind) in [("prices", "a price book"), ("firm", "a firm file")] {
        let (place, fault, _) = one(&text(name));
        assert_eq!((place.as_str(), fault), ("", format!("this is {kind}, not a job")));
    }
    let job = asked(&job());
    for (request, words) in [
        (Request { firm: Some("jobs/prices.yaml".into()), ..job.clone() }, "this is a price book, not a firm file"),
        (Request { prices: vec!["jobs/firm.yaml".into()], ..job.clone() }, "this is a firm file, not a price book"),
        (Request { firm: Some("jobs/kitchen-extension/job.yaml".into()), ..job }, "this is a job, not a firm file"),
    ] {
        let found = told(&request);
        assert!(found.iter().any(|p| p.fault == words), "{words}: {found:?}");
    }
}

#[test]
fn somebody_who_is_paid_by_the_day_needs_no_hour() {
    let firm = std::fs::read_to_string("jobs/firm.yaml").unwrap().replace("  logo: logo.png", "  #");
    let folder = std::env::temp_dir().join(format!("wetout-day-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let with = |people: &str| {
        let (before, rest) = firm.split_once("\npeople:").unwrap();
        let after = rest.split_once("\n\n").unwrap().1;
        let path = folder.join("firm.yaml");
        std::fs::write(&path, format!("{before}\npeople:\n  - {people}\n\n{after}")).unwrap();
        load(&Request { firm: Some(path), ..asked(&job()) })
    };
    let crew = with("{name: A. Roofer, role: installer, day: 220.00}")
        .unwrap_or_else(|f| panic!("{:?}", f.problems))
        .terms
        .unwrap()
        .crew;
    assert_eq!((crew.len(), crew[0].day.unwrap().as_pounds()), (1, Decimal::from(220)));
    let found = with("{name: A. Roofer, role: installer}").unwrap_err().problems;
    assert_eq!(found.iter().filter(|p| p.fault == "nothing says what this person costs").count(), 1, "{found:?}");
    std::fs::remove_dir_all(&folder).unwrap();
}
