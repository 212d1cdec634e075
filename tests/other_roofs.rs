//! What quote, order and method statement say fits this roof: no step, exclusion or promise of another one.

use crate::demo::Demo;
use crate::drawings::text_of;
use crate::typeset::{all_jobs, documents};
use std::collections::BTreeSet;
use wetout::documents::views::QuoteView;
use wetout::documents::words::Words;
use wetout::documents::{Overrides, method, quote};
use wetout::model::Access;
use wetout::model::job::Forced;
use wetout::model::shape::DeckAction;
use wetout::takeoff::layout::BandageOver;
use wetout::works::WorkKind;

fn quote_of(job: &Demo) -> String {
    let words = Words::new(&Overrides::default()).unwrap();
    text_of(&quote::document(&QuoteView::of(&job.worked()), &words).unwrap())
}

fn method_of(job: &Demo) -> String {
    let words = Words::new(&Overrides::default()).unwrap();
    text_of(&method::document(&job.worked(), &words).unwrap())
}

/// Whether words stand in each job's text exactly where something holds of the job; both must occur.
fn stands_where(text: fn(&Demo) -> String, words: &str, holds: impl Fn(&Demo) -> bool) {
    let mut seen = BTreeSet::new();
    for (name, job) in all_jobs() {
        let (stands, should) = (text(&job).contains(words), holds(&job));
        assert_eq!(stands, should, "{name}: {words:?}");
        seen.insert(should);
    }
    assert_eq!(seen.len(), 2, "{words:?} tells no job from another");
}

fn has(job: &Demo, kind: WorkKind) -> bool {
    job.take_off.works.has(kind)
}

fn deck(job: &Demo, action: DeckAction) -> bool {
    job.loaded.job.roofs.iter().any(|roof| roof.deck.action == action)
}

fn stripped_to(job: &Demo, joists: bool) -> bool {
    let of = &job.loaded.job;
    of.roofs.iter().any(|r| of.strip_of(r).is_some() && (r.deck.action == DeckAction::New) == joists)
}

#[test]
fn boards_are_laid_by_steps_only_where_boards_are_laid() {
    let lays = |job: &Demo| deck(job, DeckAction::New) || deck(job, DeckAction::Overlay);
    stands_where(method_of, "Long side across the joists", lays);
    stands_where(method_of, "Boards dry and the right way up", lays);
    stands_where(method_of, "Two end joints in line", lays);
    let joints = |job: &Demo| {
        let lines = &job.take_off.roofs;
        lines.iter().flat_map(|r| &r.bandage).any(|b| b.covers == BandageOver::BoardJoint)
    };
    stands_where(method_of, "bandage over every board joint", joints);
}

#[test]
fn who_strips_walks_on_joists_only_where_they_lie_bare() {
    stands_where(method_of, "Walk on the joists only", |job| stripped_to(job, true));
    stands_where(method_of, "Look at every joist", |job| stripped_to(job, true));
    stands_where(method_of, "only where the old boards are sound", |job| {
        stripped_to(job, false) && !stripped_to(job, true)
    });
}

#[test]
fn what_is_back_at_the_end_was_there() {
    stands_where(method_of, "aerials back", |job| has(job, WorkKind::Aerials));
    let any = |job: &Demo| [WorkKind::GutterOn, WorkKind::Flashing, WorkKind::Aerials].into_iter().any(|k| has(job, k));
    for (name, job) in all_jobs() {
        let text = method_of(&job);
        assert!(any(&job) || !text.to_lowercase().contains("flashing back"), "{name}");
        assert_eq!(
            text.contains("Gutter and flashing back"),
            has(&job, WorkKind::GutterOn) && has(&job, WorkKind::Flashing) && !has(&job, WorkKind::Aerials),
            "{name}"
        );
    }
}

#[test]
fn nothing_stripped_is_spoken_of_where_nothing_is() {
    let strips = |job: &Demo| !job.loaded.job.strips().is_empty();
    stands_where(method_of, "what is stripped off is not deducted", strips);
    stands_where(quote_of, "What is under an old roof", strips);
    stands_where(quote_of, "until the old roof is off", strips);
    stands_where(quote_of, "Taking off an old covering", |job| {
        let of = &job.loaded.job;
        of.roofs.iter().any(|roof| of.strip_of(roof).is_none())
    });
}

#[test]
fn what_is_priced_is_not_excluded() {
    for (name, job) in all_jobs() {
        let text = quote_of(&job);
        let (_, excluded) = text.split_once("What is not included").unwrap();
        let (excluded, _) = excluded.split_once("What we need from you").unwrap();
        let answer = job.loaded.job.answer(Access::Aerials);
        let priced = matches!(answer, Forced::Yes | Forced::Sum);
        assert!(!(priced && excluded.to_lowercase().contains("aerials")), "{name}: {excluded}");
        assert!(!excluded.contains("Structural alterations, "), "{name}");
    }
}

#[test]
fn a_business_gets_no_pages_for_consumers() {
    for words in
        ["Your right to cancel", "Cancellation form", "What the law says we must tell you", "my right to cancel"]
    {
        stands_where(quote_of, words, |job| !job.loaded.job.reverse_charge);
    }
}

#[test]
fn a_provisional_sum_in_the_price_is_explained() {
    stands_where(quote_of, "but for the provisional sum in it", |job| {
        job.pricing.lines.iter().any(|line| line.label.contains("provisional"))
    });
}

#[test]
fn customers_read_of_what_is_published_alone() {
    for (name, job) in all_jobs() {
        assert!(!quote_of(&job).to_lowercase().contains("from memory"), "{name}");
    }
}

#[test]
fn an_order_names_the_day_before_work_begins() {
    let mut named = 0;
    for (name, job) in all_jobs() {
        for document in documents(&job) {
            let text = text_of(&document);
            assert!(!text.contains("the working day before"), "{name}");
            named += usize::from(text.contains("Friday 5 March 2027"));
        }
    }
    assert!(named > 0, "the bay begins on Monday 8 March 2027");
}
