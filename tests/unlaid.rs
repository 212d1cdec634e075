//! What is said of documents without laying them on pages is what their pages say.

use crate::demo::{self, Demo};
use crate::works::every_job;
use std::collections::BTreeSet;
use wetout::documents::{self, DocumentKind, Overrides, WholeJob, unlaid};
use wetout::model::firm::Picture;
use wetout::model::picture::PictureBytes;
use wetout::pages::fonts::{COMMON, Fonts, Style};

const KINDS: [DocumentKind; 3] = [DocumentKind::Quote, DocumentKind::Order, DocumentKind::Method];

fn own() -> Overrides {
    Overrides::default()
}

fn is_plain(job: &Demo) -> bool {
    unlaid::is_plain(&job.worked(), &own(), job.loaded.sources.texts())
}

#[test]
fn every_job_tells_without_pages_what_its_pages_tell() {
    let (mut plain, mut told) = (Vec::new(), 0);
    for (name, job) in every_job() {
        if is_plain(&job) {
            plain.push(name.clone());
        }
        for kind in KINDS {
            let without = unlaid::told(kind, &job.worked()).unwrap();
            let pages: BTreeSet<String> = documents::told(kind, &job.worked(), &own()).unwrap().into_keys().collect();
            assert_eq!(without, pages, "{name} {kind:?}");
            told += pages.len();
        }
    }
    assert!(told > 300, "{told} works told");
    // All but fields of roofs are looked at without their pages.
    let names = demo::names();
    assert!(names.iter().all(|name| plain.contains(name)), "{plain:?} of {names:?}");
}

#[test]
fn what_might_not_be_printed_is_laid_on_pages() {
    let job = demo::work(&demo::request("bay"));
    let of = |read: &str| unlaid::is_plain(&job.worked(), &own(), [read]);
    // Found in the faces themselves, where they are not taken for known.
    for sign in COMMON {
        for style in [(false, false), (true, false), (false, true)].map(|(bold, italic)| Style { bold, italic }) {
            let drawn = if sign == '\u{a0}' { ' ' } else { sign };
            assert!(Fonts::default().glyph(style, drawn).is_some(), "{sign:?} {style:?}");
        }
    }
    // In a face each; in capitals too; at the ends of lines as two systems write them.
    for read in ["title: Bay, 5 m²", "name: O’Brien, Zoë – “Straße” ½ × 3 °C", "a: 1\r\nb: 2\r\n"] {
        assert!(of(read), "{read}");
    }
    // In no face; a letter and its accent; signs that are not shown; by its number; a tab; a control character.
    for read in ["屋", "e\u{301}", "a\u{200d}b", "\"\\u5c4b\"", "a\tb", "\u{7}"] {
        assert!(!of(read), "{read:?}");
    }
    let words = Overrides { templates: vec![("quote.md".into(), "Words".into())], fonts: Vec::new() };
    assert!(!unlaid::is_plain(&job.worked(), &words, ["a: 1"]));
}

#[test]
fn a_picture_that_cannot_be_shown_is_told_without_pages_as_on_pages() {
    let job = demo::work(&demo::request("bay"));
    let whole = job.loaded.firm.clone().unwrap();
    let broken = |bytes: &[u8]| Picture {
        name: "logo.png".into(),
        bytes: PictureBytes::Held(bytes.to_vec().into()),
        ..whole.logo.clone().unwrap()
    };
    let of = |logo: Picture| {
        let firm = wetout::model::Firm { logo: Some(logo), ..whole.clone() };
        let worked = WholeJob { firm: &firm, ..job.worked() };
        let without = unlaid::told(DocumentKind::Quote, &worked).unwrap_err();
        (without, documents::make(DocumentKind::Quote, &worked, &own()).unwrap_err())
    };
    for bytes in [b"no picture".as_slice(), b"\x89PNG\r\n\x1a\nbroken", &[0xff, 0xd8, 0xff, 0xe0, 0, 1]] {
        let (without, on_pages) = of(broken(bytes));
        assert_eq!(without, on_pages);
        assert_eq!(without.len(), 1);
    }
}
