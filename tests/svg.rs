//! The drawings as files of their own: the same words as on the pages, true to scale, and each run's in place of the last's.

use crate::command::{scratch, wetout};
use crate::demo::{self, Demo};
use std::collections::BTreeSet;
use std::fs;
use wetout::documents::Overrides;
use wetout::documents::drawn::{self, DrawnFile};
use wetout::documents::method::{self, MethodPart};
use wetout::documents::quote;
use wetout::documents::views::QuoteView;
use wetout::documents::words::Words;
use wetout::pages::fitting;
use wetout::pages::page::Item;
use wetout::pages::scene::{Mark, Scene};

fn of(job: &str) -> Vec<DrawnFile> {
    drawn::drawings(&demo::work(&demo::request(job)).worked(), &Overrides::default()).unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// What stands between the marks of each element of a name.
fn within(file: &str, element: &str) -> Vec<String> {
    let (open, close) = (format!("<{element}"), format!("</{element}>"));
    let body = |part: &str| part.split_once('>').unwrap().1.split(&close).next().unwrap().to_owned();
    let plain = |s: String| s.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
    file.split(&open).skip(1).map(body).map(plain).map(|s| s.trim().to_owned()).collect()
}

/// An attribute of the first element that has it.
fn attribute(file: &str, name: &str) -> String {
    file.split_once(&format!(" {name}=\"")).unwrap().1.split('"').next().unwrap().to_owned()
}

fn millimetres(file: &str, name: &str) -> f64 {
    attribute(file, name).strip_suffix("mm").unwrap().parse().unwrap()
}

/// The labels of each drawing on the placed pages of quote and method statement.
fn on_paper(job: &Demo) -> BTreeSet<Vec<String>> {
    let words = Words::new(&Overrides::default()).unwrap();
    let quote = quote::document(&QuoteView::of(&job.worked()), &words).unwrap();
    let method = method::part(MethodPart::Whole, &job.worked(), &words).unwrap();
    let labels = |scene: &Scene| {
        let label = |mark: &Mark| if let Mark::Text { text, .. } = mark { Some(text.clone()) } else { None };
        scene.marks.iter().filter_map(label).collect()
    };
    let mut found = BTreeSet::new();
    for document in [quote, method] {
        let paper = fitting::lay_out(&document).unwrap();
        for mark in paper.pages.iter().flat_map(|page| &page.marks) {
            if let Item::Drawing { scene, .. } = &mark.item {
                found.insert(labels(scene));
            }
        }
    }
    found
}

#[test]
fn each_drawing_of_a_page_is_a_file_with_the_same_labels_as_text() {
    for name in demo::names() {
        let job = demo::work(&demo::request(&name));
        let files = drawn::drawings(&job.worked(), &Overrides::default()).unwrap();
        let in_files: BTreeSet<Vec<String>> = files.iter().map(|f| within(&text(&f.bytes), "text")).collect();
        assert!(in_files.len() > 2, "{name}");
        assert_eq!(in_files, on_paper(&job), "{name}");
    }
}

#[test]
fn a_plan_printed_from_its_file_is_true_to_its_scale() {
    // The kitchen's front is 5.20 m long and its sides 3.40 m: at 1 to 50 that is 104 and 68 mm.
    let drawn = of("kitchen-extension");
    let plan =
        drawn.iter().map(|d| text(&d.bytes)).find(|file| within(file, "text").iter().any(|t| t.contains("Scale 1:")));
    let file = plan.unwrap();
    let told = within(&file, "text").into_iter().find_map(|t| t.split("Scale 1:").nth(1)?.trim().parse::<f64>().ok());
    let scale = told.unwrap();
    let view: Vec<f64> = attribute(&file, "viewBox").split(' ').map(|n| n.parse().unwrap()).collect();
    let mm = millimetres(&file, "width") / view[2];
    assert!((mm - 25.4 / 72.0).abs() < 1e-3, "{mm} mm for a point");
    assert!((millimetres(&file, "height") / view[3] - mm).abs() < 1e-3);
    let rings = file.split(" d=\"").skip(1).map(|part| part.split('"').next().unwrap());
    let sides: Vec<f64> = rings
        .flat_map(|ring| {
            let spots: Vec<Vec<f64>> = ring
                .split(['M', 'L', 'z', ' '])
                .filter(|s| !s.is_empty())
                .map(|s| s.split(',').map(|n| n.parse().unwrap()).collect())
                .collect();
            spots.windows(2).map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]) * mm).collect::<Vec<f64>>()
        })
        .collect();
    for side in [5200.0 / scale, 3400.0 / scale] {
        assert!(sides.iter().any(|found| (found - side).abs() < 0.05), "no side of {side} mm: {sides:?}");
    }
}

#[test]
fn names_sort_as_the_drawings_stand_and_say_what_they_show() {
    for job in demo::names() {
        let drawn = of(&job);
        for (i, d) in drawn.iter().enumerate() {
            assert!(d.name.contains(&format!("-{:02}-", i + 1)) && d.name.ends_with(".svg"), "{}", d.name);
            assert!(drawn::is_drawn(&d.name), "{}", d.name);
            assert!(d.name.len() < 90 && d.name.bytes().all(|b| b.is_ascii_alphanumeric() || b"-.".contains(&b)));
        }
        let worked = demo::work(&demo::request(&job));
        let roofs: Vec<&str> = worked.take_off.roofs.iter().map(|roof| roof.shape.name.as_str()).collect();
        let of_a_roof = |d: &&DrawnFile| d.words.contains(" to cut") || d.words.contains(": trims");
        for d in drawn.iter().filter(of_a_roof) {
            // `No. 12` has a full stop that ends no sentence.
            let roof = roofs.iter().find(|roof| d.words.starts_with(**roof)).unwrap_or_else(|| panic!("{}", d.words));
            let word = roof.split(['.', ' ']).next_back().unwrap().to_lowercase();
            assert!(d.name.contains(&format!("-{word}-")), "{}: {roof}", d.name);
        }
        let distinct: BTreeSet<&[u8]> = drawn.iter().map(|d| d.bytes.as_slice()).collect();
        assert_eq!(distinct.len(), drawn.len(), "{job}: a drawing is given twice");
    }
    for other in ["quote.pdf", "method.svg", "quote-plan.svg", "order-01-plan.svg", "method-02-plan.png"] {
        assert!(!drawn::is_drawn(other), "{other}");
    }
}

#[test]
fn drawings_are_listed_first_and_written_where_that_is_asked_for() {
    let out = scratch("svg");
    let folder = out.to_str().unwrap();
    let asked = wetout(&["draw", "jobs/bay", "--out", folder]);
    assert_eq!(asked.status.code(), Some(2));
    assert!(text(&asked.stderr).contains("add --svg"), "{}", text(&asked.stderr));
    let listed = wetout(&["draw", "jobs/bay"]);
    assert!(listed.status.success());
    let count = text(&listed.stdout).lines().count() - 1;
    assert_eq!(fs::read_dir(&out).unwrap().count(), 0);

    fs::write(out.join("method-98-roof-that-was-there-before.svg"), "old").unwrap();
    fs::write(out.join("my-own.svg"), "mine").unwrap();
    let written = wetout(&["draw", "jobs/bay", "--svg", "--out", folder]);
    assert!(written.status.success(), "{}", text(&written.stderr));
    let names: Vec<String> =
        fs::read_dir(&out).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    assert_eq!(names.iter().filter(|n| drawn::is_drawn(n)).count(), count, "{names:?}");
    assert!(!out.join("method-98-roof-that-was-there-before.svg").exists() && out.join("my-own.svg").exists());

    let refused = wetout(&["draw", "jobs/bay", "--svg", "--out", "-"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(text(&refused.stderr).contains("name a folder with --out"));
}
