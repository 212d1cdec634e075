//! Safety and legal facts: each beside a record of its own with its source, none written twice, none bare in a text.

use std::collections::BTreeSet;
use wetout::documents::words::TEMPLATES;
use wetout::facts::{ALL_FACTS, ALL_SOURCES, FACTS, filled, named};
use wetout::model::lift::{FilterColumn, close_lift};
use wetout::safety::hazards::WRITTEN;
use wetout::safety::response::FIRST_AID;
use wetout::safety::substances::{LIMITS, PROTECTION};
use wetout::safety::waste::WASTES;

/// Facts as they were recorded from their sources, each group under its source: name, value.
const RECORDED: &[(&str, &str)] = &[
    // HSE, Work at height FAQs (read): handrails at least 950 mm, gaps at most 470 mm, a toe board of 100 mm would do.
    ("guard_rail", "950 mm"),
    ("guard_gap", "470 mm"),
    ("toe_board", "100 mm"),
    // Work at Height Regulations 2005, regulation 12(4) (from memory): a platform of 2 m and over, every 7 days.
    ("scaffold_looked_at", "7 days"),
    // BS EN 1004-1:2020, scope (from memory): 12 m indoors, 8 m outdoors.
    ("tower_outdoors", "8 m"),
    // A safety adviser's page on ladders (read): 1 m out for 4 m up, 75°. HSE and Ladder Association (from memory): 1 m over.
    ("ladder_out", "1 m"),
    ("ladder_up", "4 m"),
    ("ladder_over", "1 m"),
    // HSE on asbestos (from memory): buildings from before the year 2000.
    ("asbestos_year", "2000"),
    // gov.uk (from memory): both numbers reach the emergency services.
    ("emergency_number", "999"),
    ("emergency_number_too", "112"),
    // ICSC 1028 (read): several minutes. NHS on acid and chemical burns (from memory): at least 20 minutes.
    ("eye_rinse", "20 minutes"),
    ("skin_rinse", "20 minutes"),
    // A maker's table of filters after HSE's HSG53 (read): A above 65 °C, AX at or below, single use. Styrene boils at
    // 145 °C, acetone at 56 °C (ICSC 0073, 0087).
    ("mask_styrene", "A"),
    ("mask_acetone", "AX"),
    // HSE on dust in construction (from memory).
    ("mask_dust", "FFP3"),
    // EH40/2005, fourth edition 2020: ppm of styrene and nuisance dust read on HSE's page on plastics, the rest from memory.
    ("air_long", "8 hours"),
    ("air_short", "15 minutes"),
    ("air_styrene_day", "100 ppm, 430 mg/m³"),
    ("air_styrene_short", "250 ppm, 1080 mg/m³"),
    ("air_acetone_day", "500 ppm, 1210 mg/m³"),
    ("air_acetone_short", "1500 ppm, 3620 mg/m³"),
    ("air_peroxide_short", "0.2 ppm, 1.5 mg/m³"),
    ("air_isocyanate_day", "0.02 mg/m³"),
    ("air_isocyanate_short", "0.07 mg/m³"),
    ("air_softwood_day", "5 mg/m³"),
    ("air_silica_day", "0.1 mg/m³"),
    ("air_nuisance_day", "10 mg/m³"),
    // HSE's circular OC 273/20 on COSHH (read): regulation 11 is health surveillance.
    ("health_checks", "regulation 11"),
    // Management of Health and Safety at Work Regulations 1999 (from memory).
    ("expectant_mothers", "regulation 16"),
    // HSE leaflet INDG143 (from memory).
    ("lift_men", "25 kg"),
    ("lift_women", "16 kg"),
    ("lift_rate", "30 lifts an hour"),
    // HSE on electric tools (from memory): centre-tapped to earth.
    ("tool_voltage", "110 V"),
    // CDM 2015, regulation 6, as a CDM adviser's page gives it (read).
    ("notice_days", "30 working days"),
    ("notice_workers", "20 workers"),
    ("notice_person_days", "500 person-days"),
    // RIDDOR 2013, as two councils' pages give it (read).
    ("report_days", "7 days"),
    ("report_within", "15 days"),
    ("report_grave", "10 days"),
    // List of Wastes: chapter 17 read in a table of the same codes, chapters 08, 14, 15 and 16 from memory.
    ("code_resin", "08 04 09*"),
    ("code_catalyst", "16 09 03*"),
    ("code_plastic", "17 02 03"),
    ("code_empties", "15 01 10*"),
    ("code_rags", "15 02 02*"),
    ("code_wash_water", "16 10 01*"),
    ("code_acetone", "14 06 03*"),
    ("code_wood", "17 02 01"),
    ("code_treated_wood", "17 02 04*"),
    ("code_insulation", "17 06 04"),
    ("code_asbestos", "17 06 05*"),
    ("code_asbestos_insulation", "17 06 01*"),
    ("code_bitumen", "17 03 02"),
    ("code_coal_tar", "17 03 01*"),
    ("code_lead", "17 04 03"),
    ("code_rubble", "17 01 07"),
    ("code_zinc", "17 04 04"),
    ("code_copper", "17 04 01"),
    ("code_mixed_metal", "17 04 07"),
    // Natural Resources Wales and a council on waste carriers (read): builders carrying their own building waste.
    ("carrier_tier", "upper tier"),
    // Common practice, no source.
    ("stir_time", "2 minutes"),
    ("log_every", "2 hours"),
    ("keep_off", "2 days"),
    ("answer_days", "5 working days"),
    // Consumer Contracts Regulations 2013: the period read on a trading standards page, regulations 31 and 35 from memory.
    ("information_list", "Schedule 2"),
    ("cancel_days", "14 days"),
    ("refund_days", "14 days"),
    ("return_days", "14 days"),
    ("untold_months", "12 months"),
    // HMRC manual VATREVCON37100 (read): "VAT Act 1994 Section 55A applies".
    ("reverse_charge_section", "Section 55A"),
    // An accountants' page on requests for payment (read): an invoice for VAT within 30 days of the tax point; regulation 13(5)
    // itself from memory.
    ("vat_invoice_days", "30 days"),
    // Approved Document B, volume 1, 2019, Table 12.1: distances from memory, notes read.
    ("boundary_near", "6 m"),
    ("boundary_mid", "12 m"),
    ("boundary_far", "20 m"),
    ("large_building", "1500 m3"),
    ("small_part", "3 m2"),
    ("part_spacing", "1500 mm"),
    // Approved Document L, volume 1, 2021 (from memory).
    ("improve_roof", "50%"),
    // Party Wall etc. Act 1996, section 3 (from memory): notice of work on a party structure two months ahead.
    ("party_wall_notice", "2 months"),
    ("improve_envelope", "25%"),
    ("pays_within", "15 years"),
];

#[test]
fn every_fact_is_what_was_recorded_from_its_source() {
    let told: Vec<(&str, &str)> = ALL_FACTS.iter().map(|f| (f.name, f.value)).collect();
    for fact in &told {
        assert!(RECORDED.contains(fact), "{fact:?} is not what was recorded");
    }
    assert_eq!(told.len(), RECORDED.len(), "each fact once, and none recorded in vain");
    let names: BTreeSet<&str> = ALL_FACTS.iter().map(|f| f.name).chain(ALL_SOURCES.iter().map(|s| s.name)).collect();
    assert_eq!(names.len(), ALL_FACTS.len() + ALL_SOURCES.len(), "two share a name");
}

/// A source is printed with its edition: a year, or a revision. What is no document has none.
#[test]
fn every_source_tells_its_edition() {
    let none = ["emergency_calls", "guide_electric", "practice", "practice_office", "guide_first_aid"];
    for source in ALL_SOURCES {
        let year = source.title.split(|c: char| !c.is_ascii_digit()).any(|n| n.len() == 4 && n > "1990");
        assert_eq!(year, !none.contains(&source.name), "{}", source.title);
    }
}

#[test]
fn the_filters_and_the_facts_of_lifting_are_one() {
    assert_eq!(FACTS.lift_men.number(), close_lift(FilterColumn::Men).as_kg());
    assert_eq!(FACTS.lift_women.number(), close_lift(FilterColumn::Women).as_kg());
}

// ---- No figure of its own -------------------------------------------------------------------------------------------

/// What stands in a template besides its words: `{{ … }}`, `{% … %}`, fences and the columns of fields.
fn words_of(template: &str) -> String {
    let mut out = String::new();
    for line in template.lines() {
        let fence = line.trim_start().starts_with("```");
        let field = line.split_once(" | ").is_some_and(|(_, rest)| rest.starts_with(|c: char| c.is_ascii_digit()));
        let numbered = line.strip_prefix("1. ").unwrap_or(line);
        if !fence {
            out.push_str(if field { line.split_once(" | ").unwrap().0 } else { numbered });
            out.push('\n');
        }
    }
    without(&without(&out, "{{", "}}"), "{%", "%}")
}

fn without(text: &str, open: &str, close: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(open) {
        out.push_str(before);
        rest = after.split_once(close).unwrap().1;
    }
    out + rest
}

/// Figures, and numbers in words before a unit: `14`, `seven days`.
fn bare_figures(text: &str) -> Vec<String> {
    const NUMBERS: [&str; 14] = [
        "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "twelve", "fifteen", "twenty",
        "thirty",
    ];
    const UNITS: [&str; 9] = ["day", "week", "month", "year", "hour", "minute", "metre", "working", "full"];
    let words: Vec<String> = text.split_whitespace().map(|w| w.to_lowercase()).collect();
    let spelt = words.windows(2).filter(|w| {
        let number = w[0].trim_matches(|c: char| !c.is_alphanumeric());
        NUMBERS.contains(&number) && UNITS.iter().any(|unit| w[1].starts_with(unit))
    });
    let digits = words.iter().filter(|w| w.contains(|c: char| c.is_ascii_digit())).cloned();
    digits.chain(spelt.map(|w| w.join(" "))).collect()
}

#[test]
fn the_templates_of_safety_and_law_hold_no_figure_of_their_own() {
    assert_eq!(bare_figures(&words_of("1. Rinse {{ x }} for seven days, 15 m\nName | 7\n")), ["15", "seven days,"]);
    for (name, text) in TEMPLATES
        .iter()
        .filter(|(name, _)| ["method-cards.md", "method-office.md", "statutory.md", "cancelling.md"].contains(name))
    {
        // The first aid's kit and the person-days of the mix card are words; nothing else may pass.
        assert_eq!(bare_figures(&words_of(text)), Vec::<String>::new(), "{name}: put it into src/facts.rs");
    }
}

/// Regulations are named by number within a source; that is its address, not a figure.
#[test]
fn the_tables_of_safety_hold_no_figure_of_their_own() {
    let controls = |text: &str| {
        let lines = text.lines().filter(|l| !l.trim_start().starts_with(['#']) && !l.contains("source:"));
        lines.collect::<Vec<_>>().join("\n")
    };
    let mut texts = vec![("hazards.yaml".to_owned(), controls(WRITTEN))];
    texts.extend(FIRST_AID.iter().map(|(what, how)| ((*what).to_owned(), format!("{what} {how}"))));
    texts.extend(PROTECTION.iter().map(|(_, when, wear)| ((*when).to_owned(), format!("{when} {wear}"))));
    texts.extend(WASTES.iter().map(|w| (w.what.to_owned(), format!("{} {} {}", w.what, w.code, w.how))));
    texts.extend(LIMITS.iter().map(|l| (l.what.to_owned(), format!("{} {}", l.eight_hours, l.fifteen_minutes))));
    for (what, text) in texts {
        let bare = bare_figures(&without(&text, "{", "}"));
        assert_eq!(bare, Vec::<String>::new(), "{what}: put it into src/facts.rs");
        for name in text.split('{').skip(1).filter_map(|part| part.split_once('}')).map(|part| part.0) {
            assert_ne!(filled(&format!("{{{name}}}")), format!("{{{name}}}"), "{what} asks for `{name}`");
        }
    }
}

/// A fact that nobody tells is none: each name stands in a template, a table, or a file of the source.
#[test]
fn every_fact_is_told_somewhere() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let files = [
        "src/safety/hazards.yaml",
        "src/safety/response.rs",
        "src/safety/substances.rs",
        "src/safety/waste.rs",
        "src/model/covering.rs",
        "src/documents/method/crew.rs",
        "src/documents/method/office.rs",
        "src/documents/quote.rs",
        "src/checks/boundary.rs",
        "src/checks/height.rs",
        "src/checks/loads.rs",
        "src/checks/warm_roof.rs",
        "src/checks/starting.rs",
        "src/cli/issued/receipt.rs",
    ];
    let read = |file: &&str| std::fs::read_to_string(root.join(file)).unwrap_or_default();
    let mut all: String = files.iter().map(read).collect();
    all.extend(TEMPLATES.iter().map(|(_, text)| *text));
    let untold: Vec<&str> = ALL_FACTS.iter().map(|f| f.name).filter(|name| !all.contains(name)).collect();
    assert_eq!(untold, Vec::<&str>::new());
    assert!(named("guard_rail").is_some() && named("nothing").is_none());
}

// ---- What the sheets say --------------------------------------------------------------------------------------------

/// HSE on the substances (ICSC 0073, 1028; COSHH 2002; CDM 2015, regulations 5 and 7; Resuscitation Council UK): what each
/// sheet must say, in the words that stand on it.
#[test]
fn the_site_reads_what_to_do_in_words_that_are_right() {
    let kitchen = crate::drawings::kitchen_sheet();
    for words in [
        "Begin CPR at once",
        "Do not make them vomit or eat",
        "nothing of it down a drain",
        "Never sweep this dust dry",
        "gas filter type A",
        "filter type AX, used once",
        "regulation 11 of COSHH",
        "pregnant or nursing",
        "17 02 04*",
        "17 04 03",
        "upper tier",
        "principal contractor",
        "principal designer",
        "EH40/2005, fourth edition 2020. Check the current edition",
        "Check the current editions.",
        "NHS advice on chemical burns; the data sheet comes first",
    ] {
        assert!(kitchen.contains(words), "the kitchen's sheet lacks “{words}”");
    }
    // How a figure is known is told in the list of facts; the crew reads what to do about it.
    assert!(!kitchen.contains("from memory"));
    assert!(!kitchen.contains("Swallowed Rinse") && !kitchen.contains("or 111"), "swallowed is an emergency");
}
