//! The words for what the engine found out: every case says something, a firm says it in its own way, and a mistake in
//! a firm's words is told in its file.

use crate::support::{built_in_words, unescaped};
use crate::works::every_job;
use rust_decimal::Decimal;
use time::macros::date;
use wetout::documents::words::Words;
use wetout::documents::{DocumentKind, Overrides, describe, site_words};
use wetout::model::Length;
use wetout::programme::mix::Outside;
use wetout::programme::weather::{Check, WeatherReading, WeatherReason, WeatherVerdict};
use wetout::programme::{LayerStrips, SiteWarning, gel::GelBasis};
use wetout::takeoff::layout::{MatNote, WhyUpTheFall};

/// A sentence or a phrase: something stands there, and no gap, no sign and no name that was not filled in.
fn reads_well(told: &str) {
    let gaps = ["  ", " .", " ,", "{", "}", " :", "()", "\\"];
    assert!(told.len() > 5 && gaps.iter().all(|gap| !told.contains(gap)), "“{told}”");
    assert!(!told.starts_with(' ') && !told.ends_with(' '), "“{told}”");
}

/// The corners, cuts and notes of every demo job, big job and job for the sweep, as the engine makes them.
#[test]
fn every_corner_cut_and_note_of_every_job_is_told() {
    let words = built_in_words();
    let (mut corners, mut cuts, mut notes) = (0, 0, 0);
    for (name, demo) in every_job() {
        for roof in &demo.take_off.roofs {
            for junction in &roof.junctions {
                let told = site_words::plain(&site_words::corner(&words, &roof.shape, junction).unwrap());
                reads_well(&told);
                assert!(told.ends_with('.'), "{name}: “{told}”");
                corners += 1;
            }
            for note in &roof.mat.notes {
                reads_well(&unescaped(&site_words::mat_note(&words, note).unwrap()));
                notes += 1;
            }
        }
        let pieces = demo.take_off.profiles.iter().flat_map(|p| &p.runs).flat_map(|r| &r.pieces);
        for cut in pieces.flat_map(|p| [&p.start_cut, &p.end_cut]) {
            let told = site_words::plain(&site_words::cut(&words, cut).unwrap());
            reads_well(&told);
            assert!(!told.ends_with('.'), "{name}: “{told}”");
            cuts += 1;
        }
        for warning in &demo.programme.warnings {
            reads_well(&unescaped(&site_words::warning(&words, warning).unwrap()));
        }
    }
    assert!(corners > 50 && cuts > 50 && notes > 30, "{corners} corners, {cuts} cuts, {notes} notes");
}

/// What no job of ours brings is told as well.
#[test]
fn every_note_warning_and_reason_that_there_is_has_words_of_its_own() {
    let words = built_in_words();
    let (mm, text, d) = (Length::mm, |s: &str| s.to_owned(), Decimal::from);
    let notes = [
        MatNote::AlongLowEdge { way_off: text("back"), lap: mm(50) },
        MatNote::OneStrip { way_off: text("front") },
        MatNote::UpTheFall { way_off: text("front"), why: WhyUpTheFall::AtLowEdge, lap: mm(50) },
        MatNote::UpTheFall { way_off: text("right"), why: WhyUpTheFall::CutOff, lap: mm(50) },
        MatNote::UpTheFall { way_off: text("right"), why: WhyUpTheFall::Squeezed, lap: mm(50) },
        MatNote::UpTheFall { way_off: text("right"), why: WhyUpTheFall::Tucked, lap: mm(50) },
        MatNote::NarrowerForStrips { by: mm(100), least: mm(300) },
        MatNote::NarrowerToLeave { by: mm(100) },
        MatNote::NarrowerOffJoints { by: mm(100), offset: mm(100) },
        MatNote::NearJoints { strips: vec![1], offset: mm(100) },
        MatNote::NearJoints { strips: vec![1, 3], offset: mm(100) },
        MatNote::FurtherLayers,
        MatNote::InnerCorner,
        MatNote::Upstand,
        MatNote::Tucked { mark: text("2a") },
        MatNote::Squeezed { mark: text("2a") },
        MatNote::CutOff { mark: text("2a"), way_off: text("back") },
        MatNote::Together { mark: text("3"), with: text("2") },
        MatNote::Narrow { marks: vec![text("3")], least: mm(300) },
        MatNote::Narrow { marks: vec![text("3"), text("6")], least: mm(300) },
        MatNote::Rolls { rolls: 1, needed: mm(8000), fewest: 1, strips: 4 },
        MatNote::Rolls { rolls: 1, needed: mm(900), fewest: 1, strips: 1 },
        MatNote::Rolls { rolls: 3, needed: mm(8000), fewest: 3, strips: 4 },
        MatNote::Rolls { rolls: 4, needed: mm(8000), fewest: 3, strips: 4 },
        MatNote::Metres { bought: mm(24_000), needed: mm(21_280), fewest: mm(24_000), strips: 9 },
        MatNote::Metres { bought: mm(24_000), needed: mm(900), fewest: mm(24_000), strips: 1 },
        MatNote::Metres { bought: mm(32_000), needed: mm(21_280), fewest: mm(24_000), strips: 9 },
    ];
    distinct(notes.iter().map(|n| site_words::mat_note(&words, n).unwrap()));
    let check = |measured, reason| Check {
        roofs: Vec::new(),
        measured,
        stated: None,
        limit: String::new(),
        verdict: WeatherVerdict::Stop,
        reason,
    };
    let (limit, above, dew_point, margin, least) = (d(5), Decimal::ONE, d(7), d(3), d(10));
    use WeatherReading::{Air, Dry, Humidity, Moisture, Night, Surface};
    let mut checks: Vec<Check> =
        [Air, Night, Humidity, Moisture, Dry].map(|m| check(m, WeatherReason::NotStated)).to_vec();
    checks.extend([Air, Night, Humidity, Moisture, Dry].map(|m| check(m, WeatherReason::Within)));
    checks.extend([Air, Night, Dry].map(|m| check(m, WeatherReason::Under { limit })));
    checks.extend([Air, Humidity, Moisture].map(|m| check(m, WeatherReason::Over { limit })));
    checks.extend([
        check(Air, WeatherReason::Cool { limit }),
        check(Humidity, WeatherReason::NoSuchHumidity),
        check(Surface, WeatherReason::NoDewPoint),
        check(Surface, WeatherReason::SurfaceNotStated { least: limit }),
        check(Surface, WeatherReason::NearDewPoint { above, dew_point, margin, least }),
        check(Surface, WeatherReason::NearDewPoint { above: -above, dew_point, margin, least }),
        check(Surface, WeatherReason::AboveDewPoint { above, dew_point }),
        check(Surface, WeatherReason::NeverNear { dew_point, margin }),
        check(Surface, WeatherReason::NearBelow { dew_point, margin, least, air: d(12) }),
        check(Surface, WeatherReason::NearAllDay { dew_point, margin, least }),
        check(Humidity, WeatherReason::DampBelow { air: d(9), limit: d(85) }),
        check(Air, WeatherReason::PartOfDay { from: Some(d(5)), to: None }),
        check(Air, WeatherReason::PartOfDay { from: None, to: Some(d(30)) }),
        check(Air, WeatherReason::PartOfDay { from: Some(d(5)), to: Some(d(30)) }),
    ]);
    distinct(checks.iter().map(|c| site_words::weather_reason(&words, c).unwrap()));
    // What the limits beside it say is not said again on a card.
    let on_card: Vec<Option<String>> = checks.iter().map(|c| site_words::weather_on_card(&words, c).unwrap()).collect();
    let is_cool = |c: &Check| matches!(c.reason, WeatherReason::Cool { .. });
    assert!(checks.iter().zip(&on_card).all(|(c, told)| told.is_none() == is_cool(c)), "{on_card:#?}");
    distinct(on_card.into_iter().flatten());
    let strips = |layer, names: &[&str]| LayerStrips { layer, names: names.iter().map(|name| text(name)).collect() };
    let warnings = [
        SiteWarning::Weather(check(Air, WeatherReason::Under { limit })),
        SiteWarning::NoDose(Outside { from: d(5), to: d(30), at: d(31) }),
        SiteWarning::OpenOvernight,
        SiteWarning::StaysOpen {
            first_day: 1,
            day: 2,
            roof: text("Porch"),
            strips: vec![strips(0, &["1"]), strips(1, &["3", "4a"])],
        },
        SiteWarning::StaysOpen { first_day: 1, day: 2, roof: text("Porch"), strips: Vec::new() },
        SiteWarning::SecondVisit { day: 4, below: d(15), last: false },
        SiteWarning::SecondVisit { day: 4, below: d(15), last: true },
        SiteWarning::StartMoved { from: date!(2027 - 01 - 30), to: date!(2027 - 02 - 01) },
        SiteWarning::StaleLaminate { hours: d(144), most: d(72), days: vec![1] },
    ];
    distinct(warnings.iter().map(|w| site_words::warning(&words, w).unwrap()));
    let bases = [GelBasis::RuleOfThumb { at_20: d(15), dose: d(2) }, GelBasis::DataSheet, GelBasis::NearestPoint];
    distinct(bases.iter().map(|b| site_words::gel_basis(&words, *b).unwrap()));
}

fn distinct(told: impl Iterator<Item = String>) {
    let mut seen = Vec::new();
    for words in told.map(|t| unescaped(&t)) {
        reads_well(&words);
        assert!(!seen.contains(&words), "twice: “{words}”");
        seen.push(words);
    }
}

/// A firm that has its own words for a corner, a cut, a mat and a warning reads them and none of ours.
#[test]
fn a_firm_replaces_the_words_of_the_site() {
    let demo = crate::demo::work(&crate::demo::request("kitchen-extension"));
    let own = |name: &str, words: &str| (name.to_owned(), words.to_owned());
    let templates = vec![
        own("corner.md", "Corner words {% if closure %}for {{ drip_edge }}{% endif %}"),
        own("cut.md", "end words"),
        own("mat-note.md", "Mat words"),
        own("site-warning.md", "Warning words"),
        own("weather-reason.md", "weather words"),
        own("gel-basis.md", "gel words"),
    ];
    let own = Overrides { templates, ..Overrides::default() };
    let page = describe(DocumentKind::Method, &demo.worked(), &own).unwrap();
    for ours in ["Corner words for front", "end words", "Mat words", "Warning words", "weather words", "gel words"] {
        assert!(page.contains(ours), "{ours} is not on the sheet");
    }
    for theirs in
        ["closure over the drip trim", "flush with the roof's edge", "Strips lie along", "dew point of", "halving for"]
    {
        assert!(!page.contains(theirs), "{theirs} is still on the sheet");
    }
}

#[test]
fn what_is_wrong_with_the_words_of_the_site_is_told_in_their_file() {
    let demo = crate::demo::work(&crate::demo::request("kitchen-extension"));
    let told = |name: &str, words: &str| -> Vec<String> {
        let own = Overrides { templates: vec![(name.to_owned(), words.to_owned())], ..Overrides::default() };
        let problems = describe(DocumentKind::Method, &demo.worked(), &own).unwrap_err();
        problems.iter().map(ToString::to_string).collect()
    };
    assert_eq!(
        told("corner.md", "Cut {{ drip_egde }}."),
        [
            "line 1, column 8: your template `corner.md` asks for `drip_egde`, which there is not; did you mean `drip_edge`?"
        ]
    );
    assert_eq!(
        told("cut.md", "one\n\ntwo"),
        [
            "your template `cut.md` gives more than one paragraph of running text; write the sentences of each case one after \
             the other: no list, no heading, no empty line"
        ]
    );
    assert!(told("mat-note.md", "{{ mrak }}")[0].contains("did you mean `mark`?"));
    assert!(
        Words::new(&Overrides { templates: vec![("corners.md".into(), String::new())], ..Overrides::default() })
            .is_err()
    );
}
