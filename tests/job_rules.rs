//! Rules that one job has of its own: read over the firm's, told, priced, refused where they cannot be.

use crate::command::wetout;
use crate::demo::work;
use crate::support::asked;
use rust_decimal::Decimal;
use wetout::estimate::{Office, rule_costs};
use wetout::job_file::load;
use wetout::model::problem::Source;
use wetout::model::{Level, Problem, Rules};
use wetout::programme::Operation;

const KITCHEN: &str = include_str!("../jobs/kitchen-extension/job.yaml");

fn with_rules(rules: &str) -> String {
    KITCHEN.replace("\nquote:\n", &format!("\nrules: {rules}\nquote:\n"))
}

fn refused(text: &str) -> Vec<Problem> {
    load(&asked(text)).unwrap_err().problems.into_iter().filter(|p| p.level == Level::Fault).collect()
}

#[test]
fn a_rule_of_the_job_stands_in_place_of_the_firms_and_no_other_rule_moves() {
    let loaded =
        load(&asked(&with_rules("{hours_laminate: 0.60 h/m2 a layer, mat_return: {drip: 30 mm}, kerf: 0 mm}")))
            .unwrap();
    let firm = load(&asked(KITCHEN)).unwrap().rules;
    assert_eq!((loaded.rules.hours_laminate, &loaded.firm_rules), (Decimal::new(60, 2), &firm));
    assert_eq!(loaded.own_rules, ["hours_laminate", "mat_return"], "the firm's own value is no rule of the job");
    let mut back = loaded.rules.clone();
    loaded.own_rules.iter().for_each(|name| back.take(name, &firm));
    assert_eq!(back, firm);
    let told: Vec<_> = loaded.notices.iter().filter(|p| p.place.to_string().starts_with("rules.")).collect();
    assert!(told.iter().all(|p| p.level == Level::Assumed && p.source == Source::Job), "{told:?}");
    let words: Vec<&str> = told.iter().map(|p| p.fault.as_str()).collect();
    assert_eq!(
        words,
        [
            "`hours_laminate` is 0.60 h/m2 a layer for this job alone; the firm file says 0.40 h/m2 a layer",
            "`mat_return` is given for this job alone",
        ]
    );
}

/// Every rule is copied and compared by its own name.
#[test]
fn each_rule_is_taken_by_its_name_alone() {
    let firm = load(&asked(KITCHEN)).unwrap().rules;
    let usual = Rules::default();
    let mut own = usual.clone();
    own.hours_deck += Decimal::ONE;
    for (name, ..) in Rules::ABOUT {
        assert_eq!(own.agrees(name, &usual), *name != "hours_deck", "{name}");
        let mut taken = usual.clone();
        taken.take(name, &own);
        assert_eq!(taken == own, *name == "hours_deck", "{name}");
    }
    assert!(own.agrees("no such rule", &firm));
}

#[test]
fn the_job_and_its_options_are_planned_and_priced_by_its_rules() {
    let (usual, own) = (work(&asked(KITCHEN)), work(&asked(&with_rules("{hours_laminate: 0.60 h/m2 a layer}"))));
    let hours = |demo: &crate::demo::Demo| {
        demo.programme.work.iter().find(|w| w.operation == Operation::Laminate).unwrap().hours
    };
    let area = hours(&usual) / usual.loaded.rules.hours_laminate;
    assert!((hours(&own) - area * Decimal::new(60, 2)).abs() < Decimal::new(2, 2), "{}", hours(&own));
    assert!(own.pricing.cost > usual.pricing.cost);
    assert!(own.pricing.options.iter().zip(&usual.pricing.options).all(|(o, u)| o.total > u.total));
    let loaded = &own.loaded;
    let office = Office {
        rules: &loaded.rules,
        products: &loaded.products,
        books: &loaded.books,
        terms: loaded.terms.as_ref().unwrap(),
        holidays: &loaded.firm.as_ref().unwrap().holidays,
    };
    let costs = rule_costs(&loaded.job, &loaded.job_money, (&loaded.own_rules, &loaded.firm_rules), office);
    assert_eq!(costs.len(), 1);
    assert_eq!((costs[0].name, costs[0].by_firms), ("hours_laminate", Some(usual.pricing.cost)));
}

#[test]
fn what_a_job_cannot_have_is_refused_in_its_place() {
    for (rules, place, words) in [
        ("{spare_mat: 900 %}", "rules.spare_mat", "it lies between"),
        ("{spare_matt: 5 %}", "rules.spare_matt", "is not a rule"),
        ("{shortest_piece: 100 mm, trim_lap: 110 mm}", "rules.trim_lap", "as long as the shortest piece"),
        // The firm's laminate is too old after 72 h.
        ("{cure_hours: 72 h}", "rules", "cannot be too old after"),
        ("{trim_lap: 100 mm, shortest_piece: 100 mm}", "rules.trim_lap", "as long as the shortest piece"),
    ] {
        let found = refused(&with_rules(rules));
        let here = |p: &&Problem| p.place.to_string() == place && p.source == Source::Job && p.fault.contains(words);
        assert_eq!(found.iter().filter(here).count(), 1, "{rules}: {found:?}");
    }
    let option = KITCHEN
        .replace("    change: {roofs: {Main roof: {laminate: {mat: 600}}}}", "    change: {rules: {spare_mat: 5 %}}");
    assert!(refused(&option).iter().any(|p| p.fault.contains("cannot change `rules`")));
}

#[test]
fn the_firms_own_sheet_shows_what_each_rule_costs() {
    let folder = crate::command::scratch("job-rules");
    let job = folder.join("job.yaml");
    std::fs::write(&job, with_rules("{hours_laminate: 0.60 h/m2 a layer}")).unwrap();
    let named = [
        "price",
        job.to_str().unwrap(),
        "--why",
        "sheet.rules",
        "--firm",
        "jobs/firm.yaml",
        "--prices",
        "jobs/prices.yaml",
    ];
    let output = wetout(&named);
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    assert!(said.contains("hours_laminate: ") && said.contains("by the firm's rule"), "{said}");
    std::fs::remove_dir_all(&folder).unwrap();
}
