//! Whole documents on their pages: jobs that are long, many, small and large stay inside the paper, the demo jobs keep
//! to their number of pages, and what the firm, the photographs and the programme give is really printed.

use super::fixture::{Desk, desk, kitchen, shapes};
use super::{method_of, order_of, quote_of, text_of};
use crate::demo::{self, KINDS};
use crate::documents::{image_of, jpeg};
use crate::typeset;
use std::path::{Path, PathBuf};
use std::process::Command;
use wetout::documents::{DocumentKind, Overrides, describe, wording};
use wetout::model::Photo;
use wetout::model::firm::Picture;
use wetout::model::role::ROLES;
use wetout::pages::block::Document;
use wetout::pages::page::{HEIGHT, Item, Page};
use wetout::pages::setting::Measure;
use wetout::pages::{fitting, masthead};

/// Nothing is printed outside the margins or over something else.
fn check_pages(what: &str, document: &Document) -> usize {
    let paper = fitting::lay_out(document).unwrap();
    for (number, page) in paper.pages.iter().enumerate() {
        stands_inside(&format!("{what}, page {}", number + 1), page, masthead::text_of(document.fitting));
        nothing_on_top_of_anything(&format!("{what}, page {}", number + 1), page);
    }
    paper.pages.len()
}

fn stands_inside(what: &str, page: &Page, text: Measure) {
    for mark in &page.marks {
        let (left, right, top, bottom, said) = match &mark.item {
            Item::Text(t) => (t.x, t.x + t.width, t.y - t.size, t.y, t.words()),
            Item::Drawing { area, .. } => {
                (area.x, area.x + area.width, area.y, area.y + area.height, "a drawing".to_owned())
            }
            Item::Picture { area, image } => {
                (area.x, area.x + area.width, area.y, area.y + area.height, image.name.clone())
            }
            _ => continue,
        };
        assert!(left >= text.x - 0.2, "{what}: “{said}” starts at {left}");
        assert!(right <= text.x + text.width + 3.0, "{what}: “{said}” ends at {right}");
        assert!(top > 20.0 && bottom < HEIGHT - 25.0, "{what}: “{said}” stands from {top} to {bottom}");
    }
}

/// No two lines of words share ground.
fn nothing_on_top_of_anything(what: &str, page: &Page) {
    let lines: Vec<_> =
        page.marks.iter().filter_map(|m| if let Item::Text(t) = &m.item { Some(t) } else { None }).collect();
    for (i, a) in lines.iter().enumerate() {
        for b in &lines[i + 1..] {
            let near = (a.y - b.y).abs() < 0.55 * a.size.min(b.size);
            let shared = (a.x + a.width).min(b.x + b.width) - a.x.max(b.x);
            assert!(!(near && shared > 1.0), "{what}: “{}” stands on “{}”", a.words(), b.words());
        }
    }
}

fn check_all(what: &str, desk: &Desk) {
    check_pages(&format!("{what}, quote"), &quote_of(desk));
    check_pages(&format!("{what}, method"), &method_of(desk));
    check_pages(&format!("{what}, order"), &order_of(desk).0);
}

#[test]
fn an_ordinary_job_stands_inside_its_pages() {
    check_all("kitchen", &kitchen());
}

#[test]
fn long_names_and_addresses_stand_inside_their_pages() {
    let mut desk = kitchen();
    let long = "Wolfeschlegelsteinhausenbergerdorff-Featherstonehaugh-Cholmondeley";
    desk.job.customer.name = format!("The Reverend Doctor {long} and the Honourable Mrs {long}");
    let parts = ["Flat 12b, The Old Maltings at Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogoch", long, long];
    desk.job.site.address = parts.iter().map(|s| (*s).to_owned()).collect();
    desk.job.customer.address = desk.job.site.address.clone();
    desk.job.title =
        format!("Extension, garage, dormer, porch and two bays at the house of {long}, phase two of three");
    desk.job.reference = "26-041-REVISED-AGAIN-AND-AGAIN-AND-AGAIN".into();
    desk.firm.party.name = format!("{long} and Daughters Flat Roofing Contractors of Anytown and District");
    desk.job.site.access = Some(format!("through the side gate of {long}, 900 mm wide, 14 steps down. ").repeat(4));
    check_all("long names", &desk);
}

#[test]
fn a_job_of_twelve_roofs_stands_inside_its_pages() {
    let small = shapes().into_iter().filter(|(name, _)| *name != "huge").map(|(_, roof)| roof);
    let mut roofs: Vec<_> = small.cycle().take(12).collect();
    roofs.iter_mut().enumerate().for_each(|(i, roof)| roof.name = format!("Roof {} over the workshop", i + 1));
    check_all("twelve roofs", &desk(roofs));
}

#[test]
fn an_order_of_one_line_takes_one_page() {
    let mut desk = kitchen();
    desk.pricing.orders[0].lines.truncate(1);
    assert_eq!(check_pages("one line", &order_of(&desk).0), 1);
}

#[test]
fn an_order_of_sixty_lines_stands_inside_its_pages_and_loses_no_line() {
    let mut desk = kitchen();
    let line = desk.pricing.orders[0].lines[0].clone();
    desk.pricing.orders[0].lines = (0..60)
        .map(|i| {
            let mut line = line.clone();
            line.code = format!("long-code-of-a-merchant-{i:02}");
            line.description = "An article whose description says all that there is to be said of it".repeat(1 + i % 3);
            line.pack = format!("box of about {}", 90 + i);
            line
        })
        .collect();
    let document = order_of(&desk).0;
    let pages = check_pages("sixty lines", &document);
    assert!((2..=6).contains(&pages), "{pages} pages");
    let text = fitting::describe(&document).unwrap();
    assert!((0..60).all(|i| text.contains(&format!("long-code-of-a-merchant-{i:02}"))));
}

/// The figure that the picker reads first, the code beside it, and the rule over both.
#[test]
fn a_big_figure_stands_on_the_line_of_its_code_and_clear_of_the_rule_above() {
    let desk = kitchen();
    let paper = fitting::lay_out(&order_of(&desk).0).unwrap();
    let texts_of = |page: &wetout::pages::page::Page| -> Vec<wetout::pages::page::Text> {
        page.marks.iter().filter_map(|m| if let Item::Text(t) = &m.item { Some(t.clone()) } else { None }).collect()
    };
    for line in desk.pricing.orders[0].lines.iter().filter(|l| !l.optional) {
        let has_it = |page: &&wetout::pages::page::Page| texts_of(page).iter().any(|t| t.words() == line.code);
        let page = paper.pages.iter().find(has_it).expect("the code is printed");
        let rules: Vec<f64> = page
            .marks
            .iter()
            .filter_map(|m| if let Item::Rule { from, .. } = &m.item { Some(from.1) } else { None })
            .collect();
        let texts = texts_of(page);
        let code = texts.iter().find(|t| t.words() == line.code).expect("the code is printed");
        let number = line.quantity.to_string();
        let beside = |t: &&wetout::pages::page::Text| t.words() == number && t.size >= code.size;
        let big =
            texts.iter().filter(beside).min_by(|a, b| (a.y - code.y).abs().total_cmp(&(b.y - code.y).abs())).unwrap();
        assert!((big.y - code.y).abs() < 0.01, "{number} stands {} pt off {}", big.y - code.y, line.code);
        // Figures of the bundled face are 0.714 of their size high (its own table OS/2, sCapHeight).
        let top = big.y - 0.714 * big.size;
        let over = rules.iter().filter(|y| **y < big.y).map(|y| top - y).fold(f64::MAX, f64::min);
        assert!(over > 0.17 * big.size, "{number} of {} comes within {over} pt of the rule above it", line.code);
    }
}

/// A plan that states its scale would lie if the page made it smaller; letters would become too small to read.
#[test]
fn no_drawing_of_any_job_is_made_smaller_by_its_page() {
    for (name, job) in typeset::all_jobs() {
        for document in typeset::documents(&job) {
            let pages = fitting::lay_out(&document).unwrap().pages;
            let smaller = pages.iter().flat_map(|page| &page.marks).filter_map(|mark| match &mark.item {
                // A picture that states no scale may lose what nobody sees.
                Item::Drawing { area, scene, .. }
                    if (area.width - scene.width).abs()
                        > if scene.scale.is_some() { 0.01 } else { 0.02 * scene.width } =>
                {
                    Some((scene.scale, scene.width, area.width))
                }
                _ => None,
            });
            let smaller: Vec<_> = smaller.collect();
            assert!(smaller.is_empty(), "{name}: {smaller:?}");
        }
    }
}

/// The number of pages of a document of a demo job.
fn pages(job: &demo::Demo, kind: DocumentKind) -> usize {
    let text = describe(kind, &job.worked(), &Overrides::default()).unwrap();
    let (_, after) = text.split_once("page 1 of ").unwrap();
    after.split_whitespace().next().unwrap().parse().unwrap()
}

#[test]
fn the_order_of_every_demo_job_takes_two_pages_at_most_and_its_quote_seven() {
    for name in demo::names() {
        let job = demo::work(&demo::request(&name));
        assert!(pages(&job, DocumentKind::Order) <= 2, "order of {name}");
        // Another roof has a plan and a list of its own, and a page more for them.
        let most = 7 + job.loaded.job.roofs.len().saturating_sub(1);
        let quote = pages(&job, DocumentKind::Quote);
        assert!(quote <= most, "quote of {name}: {quote} pages");
    }
}

#[test]
fn the_method_statement_of_the_kitchen_takes_no_more_than_twenty_pages() {
    let pages = pages(&demo::work(&demo::request("kitchen-extension")), DocumentKind::Method);
    assert!((10..=20).contains(&pages), "{pages} pages");
}

/// The height of a figure, from its line `figure 58.0 68.0 395.1 × 473.9 Words`, pt.
fn height_of(line: &str) -> f64 {
    let after = line.split_once('×').unwrap().1;
    after.split_whitespace().next().unwrap().parse().unwrap()
}

#[test]
fn no_page_of_a_demo_job_holds_only_a_line_or_two() {
    for name in demo::names() {
        let job = demo::work(&demo::request(&name));
        for kind in KINDS {
            let text = describe(kind, &job.worked(), &Overrides::default()).unwrap();
            for page in text.split("\npage ") {
                let lines = page.lines().skip(1).filter(|l| !l.trim_start().starts_with('—')).count();
                let drawings = page.lines().filter(|l| l.trim_start().starts_with("figure")).map(height_of);
                assert!(lines == 0 || lines > 4 || drawings.sum::<f64>() > 200.0, "{name}, {kind:?}:\n{page}");
            }
        }
    }
}

#[test]
fn no_name_of_a_rule_or_a_role_stands_in_a_document() {
    for name in demo::names() {
        let job = demo::work(&demo::request(&name));
        for kind in [DocumentKind::Quote, DocumentKind::Method] {
            let text = describe(kind, &job.worked(), &Overrides::default()).unwrap();
            let line = text.lines().find(|l| l.contains('_'));
            assert_eq!(line, None, "{name}, {kind:?}");
            for role in ROLES.iter().map(|r| r.word).filter(|r| r.contains('.')) {
                assert!(!text.contains(role), "{name}, {kind:?} speaks of {role}");
            }
        }
    }
}

#[test]
fn the_crew_reads_the_pots_the_weather_and_where_to_stop() {
    let job = demo::work(&demo::request("kitchen-extension"));
    let text = describe(DocumentKind::Method, &job.worked(), &Overrides::default()).unwrap();
    let plan = job.programme.pots.as_ref().unwrap();
    let ml = format!("{} ml", plan.pots[0].catalyst_ml[0].normalize());
    for needed in ["Pots", "Where to stop each day", "Firrings to cut", "Weather: go or stop", ml.as_str(), "Dew point"]
    {
        assert!(text.contains(needed), "missing: {needed}");
    }
    let text = crate::words::told(DocumentKind::Method, &job);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for check in &job.programme.weather.checks {
        assert!(text.to_lowercase().contains(check.measured.words()), "missing: {:?}", check.measured);
    }
}

#[test]
fn a_stage_with_a_day_tells_it() {
    let mut desk = kitchen();
    desk.pricing.stages[0].due = Some(time::macros::date!(2027 - 02 - 02));
    let text = text_of(&quote_of(&desk));
    let deposit = wording::money(desk.pricing.stages[0].amount);
    assert!(text.contains(&format!("Deposit, when you accept\n2 February 2027\n{deposit}")), "{text}");
}

#[test]
fn photographs_stand_in_the_quote_with_their_captions() {
    let mut desk = kitchen();
    let photo = |name: &str, caption: Option<&str>| Photo {
        file: name.to_owned(),
        caption: caption.map(str::to_owned),
        picture: Picture { name: name.into(), bytes: jpeg(3, 6).into(), ..Picture::default() },
    };
    desk.photos = vec![photo("front.jpg", Some("The gutter from below")), photo("back.jpg", None)];
    let document = quote_of(&desk);
    check_pages("photographs", &document);
    let paper = fitting::lay_out(&document).unwrap();
    let marks = paper.pages.iter().flat_map(|p| &p.marks);
    let pictures: Vec<_> = marks.filter(|m| matches!(&m.item, Item::Picture { .. })).collect();
    assert_eq!(pictures.len(), 2);
    assert!(text_of(&document).contains("The gutter from below"));
    assert!(!text_of(&quote_of(&kitchen())).contains("Your roof now"));
}

/// A folder of its own for a test, empty.
fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("wetout-printed-{name}-{}", std::process::id()));
    std::fs::remove_dir_all(&folder).ok();
    std::fs::create_dir_all(folder.join("job")).unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs");
    for file in ["firm.yaml", "prices.yaml", "logo.png"] {
        std::fs::copy(demo.join(file), folder.join(file)).unwrap();
    }
    std::fs::copy(demo.join("bay/job.yaml"), folder.join("job/job.yaml")).unwrap();
    folder
}

fn made(folder: &Path, kind: &str) -> std::process::Output {
    Command::new(env!("CARGO_BIN_EXE_wetout")).args([kind]).arg(folder.join("job")).output().unwrap()
}

#[test]
fn the_firms_own_template_beside_its_file_is_used_and_a_wrong_name_in_it_is_told() {
    let folder = folder("templates");
    std::fs::create_dir(folder.join("templates")).unwrap();
    let template = folder.join("templates/order.md");
    std::fs::write(&template, "# Our own order {{ order_number }}\n\n```table lines\n```\n").unwrap();
    let output = made(&folder, "order");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let pdf = lopdf::Document::load(folder.join("job/out/order.pdf")).unwrap();
    assert!(pdf.extract_text(&[1]).unwrap().replace('\n', " ").contains("Our own order"));
    std::fs::write(&template, "# Order {{ order_numbre }}\n").unwrap();
    let output = made(&folder, "order");
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{told}");
    assert!(told.contains("order_numbre") && told.contains("order_number"), "{told}");
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn the_image_of_a_photograph_beside_the_job_goes_into_the_quote_byte_for_byte() {
    let folder = folder("photo");
    std::fs::write(folder.join("job/roof.jpg"), jpeg(3, 6)).unwrap();
    let job = folder.join("job/job.yaml");
    let text = std::fs::read_to_string(&job).unwrap();
    std::fs::write(&job, format!("{text}\nphotos:\n  - {{file: roof.jpg, caption: The bay from the street}}\n"))
        .unwrap();
    let output = made(&folder, "quote");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let pdf = std::fs::read(folder.join("job/out/quote.pdf")).unwrap();
    let image = image_of(&jpeg(3, 6));
    assert!(pdf.windows(image.len()).any(|window| window == image));
    std::fs::remove_dir_all(&folder).unwrap();
}
