//! What jobs took against the plan, and the norms that they show: figures worked by hand, the interval held against another count and
//! against draws whose median is known, and the firm file left as it is.

use crate::issued::{desk_of, done, refused};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use wetout::model::Rules;
use wetout::programme::actuals::{FEWEST_JOBS, NormSeen, proposed, ranks};

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn change(file: &Path, changes: &[(&str, &str)]) {
    let mut text = fs::read_to_string(file).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    fs::write(file, text).unwrap();
}

fn of<'a>(list: &'a Value, key: &str, name: &str) -> &'a Value {
    list.as_array().unwrap().iter().find(|one| one[key] == name).unwrap_or_else(|| panic!("no {name} in {list}"))
}

// ---- One job --------------------------------------------------------------------------------------------------------------

#[test]
fn the_kitchen_is_compared_with_what_was_accepted() {
    let desk = desk_of("actuals-kitchen", "kitchen-extension");
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor"]);
    // What the firm plans with from now on is no part of what was planned then.
    change(&desk.join("firm.yaml"), &[("hours_strip: 0.15 h/m2", "hours_strip: 0.40 h/m2")]);
    let taken = json(&done(&desk, &["actuals", "JOB", "--json"]));
    assert_eq!((&taken["plan"], &taken["finished"]), (&"as accepted, revision A".into(), &"2027-01-22".into()));
    // 5.2 m by 3.4 m less a rooflight of a square metre: 16.68 m², at 0.15 h.
    let strip = of(&taken["hours"], "work", "strip");
    assert_eq!((strip["planned"].as_f64(), strip["spent"].as_f64()), (Some(2.502), Some(3.5)));
    let norm = of(&taken["norms"], "rule", "hours_strip");
    assert_eq!((norm["planned"].as_f64(), norm["seen"].as_f64()), (Some(0.15), Some(0.2098)), "3.5 h / 16.68 m²");
    // The old boards lie where the felt lay: 0.12 h/m².
    let boards = of(&taken["hours"], "work", "strip_boards");
    assert_eq!((boards["planned"].as_f64(), boards["spent"].as_f64()), (Some(2.0016), Some(2.25)));
    let norm = of(&taken["norms"], "rule", "hours_strip_boards");
    assert_eq!((norm["planned"].as_f64(), norm["seen"].as_f64()), (Some(0.12), Some(0.1349)), "2.25 h / 16.68 m²");
    // Drip 5.2 m, wall 5.2 m, two verges of 3.4 m: 17.2 m in 1 h, 0.75 h and 1 h. The kerb's hours come of two norms.
    let norm = of(&taken["norms"], "rule", "hours_trim");
    assert_eq!(norm["seen"].as_f64(), Some(0.1599), "2.75 h / 17.2 m");
    assert!(taken["norms"].as_array().unwrap().iter().all(|norm| norm["rule"] != "hours_kerb"), "{}", taken["norms"]);
    let resin = of(&taken["packs"], "code", "resin-laminating-20kg");
    assert_eq!((resin["ordered"].as_u64(), resin["used"].as_f64()), (Some(2), Some(1.75)));
    let said = done(&desk, &["actuals", "JOB"]);
    for words in [
        "26-041 Kitchen extension, finished on 2027-01-22; the plan is the job as accepted, revision A",
        "strip the old covering",
        "+1.00  +40 %",
        "all that was recorded",
        "the record does not say what was used",
        "One job says little: from 5 jobs on",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert!(!said.contains("not recorded") && !said.contains("more than was ordered"), "{said}");
}

/// The merchant has a new code by the day of the order: the order's codes count, not the quote's.
#[test]
fn packs_are_written_down_by_the_codes_of_the_order_that_was_issued() {
    let desk = desk_of("actuals-codes", "kitchen-extension");
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor"]);
    change(&desk.join("prices.yaml"), &[("code: resin-laminating-20kg,", "code: resin-drum-20kg,")]);
    assert!(done(&desk, &["handover", "JOB", "--form"]).contains("  resin-laminating-20kg: … # 2 × 20 kg drum"));
    done(&desk, &["issue", "JOB", "order"]);
    let form = done(&desk, &["handover", "JOB", "--form"]);
    assert!(
        form.contains("  resin-drum-20kg: … # 2 × 20 kg drum") && !form.contains("resin-laminating-20kg"),
        "{form}"
    );
    assert!(refused(&desk, &["actuals", "JOB"], 1).contains("nothing of the code `resin-laminating-20kg` was ordered"));
    change(&desk.join("k/record.yaml"), &[("resin-laminating-20kg:", "resin-drum-20kg:")]);
    let taken = json(&done(&desk, &["actuals", "JOB", "--json"]));
    let resin = of(&taken["packs"], "code", "resin-drum-20kg");
    assert_eq!((resin["ordered"].as_u64(), resin["used"].as_f64()), (Some(2), Some(1.75)));
}

#[test]
fn a_job_that_was_not_accepted_is_compared_as_it_stands_and_what_was_not_recorded_is_not_compared() {
    let desk = desk_of("actuals-as-it-stands", "kitchen-extension");
    change(
        &desk.join("k/record.yaml"),
        &[("  strip: 3.5 h\n", ""), ("resin-laminating-20kg: 1.75", "resin-laminating-20kg: 3")],
    );
    let said = done(&desk, &["actuals", "JOB"]);
    for words in ["the plan is the job as the job file stands", "not recorded", "more than was ordered", "−1"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let taken = json(&done(&desk, &["actuals", "JOB", "--json"]));
    assert!(of(&taken["hours"], "work", "strip")["spent"].is_null());
    assert!(taken["norms"].as_array().unwrap().iter().all(|norm| norm["rule"] != "hours_strip"));
}

#[test]
fn what_cannot_be_compared_is_told_with_its_cure() {
    let desk = desk_of("actuals-wrong", "kitchen-extension");
    let record = desk.join("k/record.yaml");
    change(&record, &[("  resin-laminating-20kg:", "  resin-laminating-20k:")]);
    let said = refused(&desk, &["actuals", "JOB"], 1);
    assert!(said.contains("nothing of the code `resin-laminating-20k` was ordered"), "{said}");
    assert!(said.contains("did you mean `resin-laminating-20kg`?") && said.contains("record.yaml:"), "{said}");
    change(&record, &[("  resin-laminating-20k:", "  zz:"), ("  strip: 3.5 h", "  strip: 3.5 h\n  recoat: 2 h")]);
    let said = refused(&desk, &["actuals", "JOB"], 1);
    assert!(
        said.contains("`recoat` is no work of this job") && said.contains("prints the codes of the order"),
        "{said}"
    );
    fs::remove_file(&record).unwrap();
    let said = refused(&desk, &["actuals", "JOB"], 2);
    assert!(said.contains("record.yaml: `wetout handover JOB --form` prints one to fill in"), "{said}");
}

/// Hours by a covering's own figure say nothing of the firm's rule.
#[test]
fn a_figure_of_the_jobs_own_is_no_norm_of_the_firm() {
    let desk = desk_of("actuals-own", "kitchen-extension");
    change(&desk.join("k/job.yaml"), &[("strip: {covering: felt,", "strip: {covering: clay tiles,")]);
    let taken = json(&done(&desk, &["actuals", "JOB", "--json"]));
    assert_eq!(of(&taken["hours"], "work", "strip")["planned"].as_f64(), Some(6.672), "0.40 h for each of 16.68 m²");
    assert!(taken["norms"].as_array().unwrap().iter().all(|norm| norm["rule"] != "hours_strip"), "{}", taken["norms"]);
}

// ---- Several jobs ---------------------------------------------------------------------------------------------------------

/// So many kitchens, each with other hours to strip; nothing else of them differs.
fn kitchens(name: &str, hours: &[&str]) -> (PathBuf, PathBuf) {
    let desk = desk_of(name, "kitchen-extension");
    let many = desk.join("many");
    for (n, spent) in hours.iter().enumerate() {
        let folder = many.join(format!("job-{n}"));
        fs::create_dir_all(&folder).unwrap();
        for file in ["job.yaml", "record.yaml"] {
            fs::copy(desk.join("k").join(file), folder.join(file)).unwrap();
        }
        change(&folder.join("record.yaml"), &[("strip: 3.5 h", &format!("strip: {spent} h"))]);
    }
    (desk, many)
}

#[test]
fn from_five_jobs_on_norms_are_proposed_and_the_firm_file_stays_as_it_is() {
    let (desk, many) = kitchens("actuals-many", &["4", "3.5", "6", "3.8", "4.2", "5"]);
    let before = fs::read(desk.join("firm.yaml")).unwrap();
    let place = many.to_str().unwrap();
    let told = json(&done(&desk, &["actuals", place, "--json"]));
    assert_eq!(told["jobs"].as_array().unwrap().len(), 6);
    let strip = of(&told["norms"], "rule", "hours_strip");
    // Sorted 3.5, 3.8, 4, 4.2, 5, 6 h of 16.68 m²: the median is 4.1 h; of six, the least and the most hold it to 1 - 2/64.
    let figures = ["present", "median", "low", "high", "coverage_percent"].map(|key| strip[key].as_f64().unwrap());
    assert_eq!(figures, [0.15, 0.2458, 0.2098, 0.3597, 96.8]);
    assert_eq!((strip["jobs"].as_u64(), strip["differs"].as_bool()), (Some(6), Some(true)));
    // All six took the same for bandage: the present norm differs from it all the same.
    assert_eq!(of(&told["norms"], "rule", "hours_bandage")["low"], of(&told["norms"], "rule", "hours_bandage")["high"]);
    let said = done(&desk, &["actuals", place]);
    assert!(said.contains("6 jobs with a record; hours are compared"), "{said}");
    let line = "  hours_strip: 0.25 h/m2 # median of 6 jobs, 96.8 % from 0.21 to 0.36\n";
    assert!(said.contains(line), "{said}");
    assert_eq!(fs::read(desk.join("firm.yaml")).unwrap(), before);
    // The lines can be taken over as they stand.
    let lines: Vec<&str> = said.lines().filter(|line| line.starts_with("  hours_")).collect();
    let text = String::from_utf8(before).unwrap();
    let kept: Vec<&str> =
        text.lines().filter(|line| !lines.iter().any(|new| line.starts_with(new.split(':').next().unwrap()))).collect();
    fs::write(desk.join("firm.yaml"), format!("{}\n{}\n", kept.join("\n"), lines.join("\n"))).unwrap();
    done(&desk, &["check", "JOB"]);
    let price = json(&done(&desk, &["price", "JOB", "--json"]));
    assert!(price["total"].as_str().unwrap() > "6290.59", "{}", price["total"]);
}

#[test]
fn nothing_is_proposed_from_fewer_and_a_job_with_a_fault_stops_no_other() {
    let (desk, many) = kitchens("actuals-few", &["4", "3.5", "6", "3.8"]);
    let place = many.to_str().unwrap();
    let told = json(&done(&desk, &["actuals", place, "--json"]));
    assert_eq!((told["jobs"].as_array().unwrap().len(), told["norms"].as_array().unwrap().len()), (4, 0));
    let said = done(&desk, &["actuals", place]);
    assert!(said.contains("No norm is proposed: none was seen on 5 jobs or more."), "{said}");
    fs::remove_file(many.join("job-0/record.yaml")).unwrap();
    fs::write(many.join("job-1/record.yaml"), "hours: {strip: 3}\n").unwrap();
    let output = crate::issued::run(&desk, &["actuals", place]);
    let (said, faults) = (crate::issued::text(&output.stdout), crate::issued::text(&output.stderr));
    assert_eq!(output.status.code(), Some(1));
    assert!(said.contains("2 jobs with a record, 1 without"), "{said}");
    assert!(faults.contains("`3` has no unit") && faults.contains("job-1/record.yaml:1"), "{faults}");
}

// ---- The interval ---------------------------------------------------------------------------------------------------------

/// Counted another way: every way in which `n` jobs can lie under or over the median, one by one, for as many as can be walked;
/// and by the triangle of Pascal beyond.
#[test]
fn the_interval_holds_the_median_as_often_as_it_says() {
    for n in FEWEST_JOBS..=16 {
        let (rank, coverage) = ranks(n).unwrap();
        let holds = |rank: usize| {
            let inside = |under: u32| (rank..=n - rank).contains(&(under as usize));
            (0..1_u32 << n).filter(|way| inside(way.count_ones())).count() as f64 / f64::from(1_u32 << n) * 100.0
        };
        let stated = coverage.to_f64().unwrap();
        assert!((0.0..0.1).contains(&(holds(rank) - stated)), "{n}: {stated} is not {}", holds(rank));
        assert!(stated >= 90.0 && (rank == n / 2 || holds(rank + 1) < 90.0), "{n}: rank {rank} is not the innermost");
    }
    // Of 20 and 25 the 6th and the 8th from either end hold the median to 95.9 % and 95.7 %, of 10 the 2nd to 97.9 %: tables of
    // the sign test (from memory).
    for (n, rank, coverage) in [(10, 2, 978), (20, 6, 958), (25, 8, 956)] {
        let (found, stated) = ranks(n).unwrap();
        assert!(found >= rank, "{n}: {found}");
        if found == rank {
            assert_eq!(stated, Decimal::new(coverage, 1), "{n}");
        }
    }
    assert_eq!((ranks(FEWEST_JOBS - 1), ranks(5), ranks(101)), (None, Some((1, Decimal::new(937, 1))), None));
    assert!(ranks(100).is_some_and(|(rank, coverage)| rank > 35 && coverage >= Decimal::from(90)));
}

/// Whatever the spread: of hours that are spread askew, most near their least and some far over it, the interval holds the true
/// median as often as it says, and the median itself lies as often over it as under.
#[test]
fn the_interval_needs_no_even_spread() {
    let mut seed = 20_270_121_u64;
    // A linear congruential generator with Knuth's constants for MMIX.
    let mut draw = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((seed >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    };
    let (tries, n) = (4000, 9);
    let (mut held, mut under) = (0, 0);
    let truth = Decimal::new(6931, 4); // ln 2, the median of the exponential spread of mean one
    for _ in 0..tries {
        let seen = |value: f64| NormSeen {
            rule: "hours_deck",
            per: "h/m2",
            planned: Decimal::new(30, 2),
            seen: Decimal::from_f64_retain(-value.ln()).unwrap().round_dp(12),
        };
        let jobs: Vec<Vec<NormSeen>> = (0..n).map(|_| vec![seen(draw())]).collect();
        let found = proposed(&jobs, &Rules::default());
        assert_eq!((found.len(), found[0].jobs, found[0].present), (1, n, Decimal::new(30, 2)));
        held += usize::from(found[0].low <= truth && truth <= found[0].high);
        under += usize::from(found[0].median < truth);
    }
    let stated = ranks(n).unwrap().1.to_f64().unwrap() / 100.0;
    // Three standard errors of so many tries.
    let error = 3.0 * (stated * (1.0 - stated) / f64::from(tries)).sqrt();
    assert!((held as f64 / f64::from(tries) - stated).abs() < error + 0.001, "{held} of {tries}, {stated}");
    assert!((under as f64 / f64::from(tries) - 0.5).abs() < 0.03, "{under} of {tries}");
}
