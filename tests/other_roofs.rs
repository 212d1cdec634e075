//! What quote, order and method statement say fits this roof: no step, exclusion or promise of another one.

use crate::demo::Demo;
use crate::drawings::text_of;
use crate::typeset::{all_jobs, documents};
use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use wetout::documents::views::QuoteView;
use wetout::documents::words::Words;
use wetout::documents::{Overrides, method, quote};
use wetout::model::job::Forced;
use wetout::model::shape::{DeckAction, JoistRun};
use wetout::model::{Access, Finish, LineId, Role, Roof};
use wetout::takeoff::layout::joist_ends::joist_ends;
use wetout::takeoff::layout::{BandageOver, RoofLayout};
use wetout::works::WorkKind;

fn quote_of(job: &Demo) -> String {
    let words = Words::new(&Overrides::default()).unwrap();
    text_of(&quote::document(&QuoteView::of(&job.worked()), &words).unwrap())
}

fn method_of(job: &Demo) -> String {
    let words = Words::new(&Overrides::default()).unwrap();
    text_of(&method::document(&job.worked(), &words).unwrap())
}

/// What a document says, and of which job.
type Told = Vec<(String, Demo, String)>;

thread_local! {
    /// The jobs with what each kind of document says of them: a test asks of one many times.
    static TOLD: [OnceCell<Rc<Told>>; 2] = const { [OnceCell::new(), OnceCell::new()] };
}

fn told(text: fn(&Demo) -> String, place: usize) -> Rc<Told> {
    let all = || {
        let with_text = |(name, job): (String, Demo)| {
            let told = text(&job);
            (name, job, told)
        };
        Rc::new(all_jobs().into_iter().map(with_text).collect())
    };
    TOLD.with(|told| told[place].get_or_init(all).clone())
}

/// Whether words stand in each job's quote exactly where something holds of the job; both must occur.
fn quoted_where(words: &str, holds: impl Fn(&Demo) -> bool) {
    stands_in(&told(quote_of, 0), words, holds);
}

/// The same of its method statement.
fn method_where(words: &str, holds: impl Fn(&Demo) -> bool) {
    stands_in(&told(method_of, 1), words, holds);
}

fn stands_in(told: &Told, words: &str, holds: impl Fn(&Demo) -> bool) {
    let mut seen = BTreeSet::new();
    for (name, job, text) in told {
        let should = holds(job);
        assert_eq!(text.contains(words), should, "{name}: {words:?}");
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
    method_where("Long side across the joists", lays);
    method_where("Boards dry and the right way up", lays);
    let joints = |job: &Demo| {
        let lines = &job.take_off.roofs;
        lines.iter().flat_map(|r| &r.bandage).any(|b| b.covers == BandageOver::BoardJoint)
    };
    let insulated = |job: &Demo| job.take_off.roofs.iter().any(|r| r.over.is_some());
    // Boards as long as their rows meet along their sides alone.
    let end_joints = |job: &Demo| {
        let decks = job.take_off.roofs.iter().filter_map(|r| r.deck.as_ref());
        decks.flat_map(|deck| &deck.joints).any(|joint| joint.end_joint)
    };
    method_where("Two end joints in line", |job| lays(job) && (end_joints(job) || insulated(job)));
    let old = |job: &Demo| job.loaded.job.roofs.iter().any(is_laminated_on_old_boards);
    method_where("bandage over every board joint", |job| joints(job) || old(job));
    method_where("over every board joint of the old deck", |job| old(job) && !joints(job));
    method_where("those of the deck that stays too", |job| old(job) && joints(job));
    method_where("Its joints raked clean and measured", old);
}

#[test]
fn who_strips_walks_on_joists_only_where_they_lie_bare() {
    method_where("Walk on the joists only", |job| stripped_to(job, true));
    method_where("Look at every joist", |job| stripped_to(job, true));
    method_where("only where the old boards are sound", |job| stripped_to(job, false) && !stripped_to(job, true));
}

fn is_laminated_on_old_boards(roof: &Roof) -> bool {
    roof.deck.action == DeckAction::Keep && roof.build_up.as_ref().is_none_or(|built| built.overlay.is_none())
}

/// The roofs of a job with what was laid out for them.
fn roofs(job: &Demo) -> impl Iterator<Item = (&Roof, &RoofLayout)> {
    job.loaded.job.roofs.iter().zip(&job.take_off.roofs)
}

#[test]
fn joists_are_judged_only_where_they_are_seen() {
    let bare = |job: &Demo| deck(job, DeckAction::New);
    method_where("A straight edge rocks on no joist", bare);
    method_where("tops in one plane, falling to the low edge", bare);
    method_where("sound, dry and fixed", bare);
    method_where("Every joist end that lies bare seen and prodded", |job| stripped_to(job, true));
    method_where("Every old board that stays trodden", |job| stripped_to(job, false));
    method_where("Ends in the wall looked at", |job| {
        let new = roofs(job).filter(|(roof, _)| roof.deck.action == DeckAction::New);
        let mut shut = new.flat_map(|(roof, laid)| joist_ends(&laid.shape, roof.joists.run).shut);
        shut.any(|side| side.finish == Finish::Wall)
    });
    let stays = |job: &Demo| deck(job, DeckAction::Keep) || deck(job, DeckAction::Overlay);
    method_where("no board gives underfoot", stays);
    method_where("found, by its lines of nails", |job| deck(job, DeckAction::Overlay));
    let falls = |job: &Demo, new: bool| {
        let kept = |(roof, laid): (&Roof, &RoofLayout)| {
            (roof.deck.action == DeckAction::New) == new
                && job.take_off.works.has_on(WorkKind::KeepFalls, laid.shape.index)
        };
        roofs(job).any(kept)
    };
    method_where("Measure it on every joist", |job| falls(job, true));
    method_where("old deck at both sides and at every pace", |job| falls(job, false));
    quoted_where("We look at the joists and tell", |job| stripped_to(job, true));
}

/// Vents at the open ends alone, in quote and method statement, where the check finds no second way out.
#[test]
fn vents_are_where_the_check_of_the_air_found_a_way() {
    let shut = |job: &Demo| job.findings.iter().any(|f| f.statement.contains("no second way out"));
    method_where("the air has no second way out there. Ring", shut);
    quoted_where("where the air has no second way out: see", shut);
    for (name, job, text) in told(quote_of, 0).iter() {
        assert!(!(shut(job) && text.contains("vents at both ends of the joists")), "{name}");
    }
    for (name, job, text) in told(method_of, 1).iter() {
        assert!(!(shut(job) && text.contains("with a clear way over the insulation")), "{name}");
    }
}

#[test]
fn boards_are_handled_only_where_boards_come() {
    let come = |n: &wetout::takeoff::Need| !n.optional && matches!(n.role, Role::Board(_) | Role::Insulation(_));
    method_where("Boards flat on bearers", |job| job.take_off.needs.iter().any(come));
    method_where("Open the worst place first. Strip from a sound edge", |job| {
        has(job, WorkKind::Strip) || has(job, WorkKind::StripBoards)
    });
    use WorkKind as W;
    let lifting = [W::StripBoards, W::NewDeck, W::OverlayDeck, W::Insulation, W::PatchDeck, W::Parapet];
    method_where("never carry one up a ladder", |job| lifting.into_iter().any(|kind| has(job, kind)));
    method_where("strip, deck and cover", |job| {
        has(job, W::Strip) && (deck(job, DeckAction::New) || deck(job, DeckAction::Overlay))
    });
}

/// What hangs under an edge, what is cut at a wall, what stands on a kerb: each is spoken of where it is.
#[test]
fn gutters_render_and_hatches_are_spoken_of_where_they_are() {
    let edges = |job: &Demo, is: fn(&wetout::model::Edge) -> bool| {
        job.loaded.job.roofs.iter().flat_map(|r| &r.outline.edges).any(is)
    };
    let old = |job: &Demo| !job.loaded.job.old_roofs.is_empty();
    quoted_where("Keep gutters and outlets clear", |job| {
        let outlets = job.loaded.job.roofs.iter().any(|r| !r.outlets.is_empty());
        old(job) || outlets || edges(job, |e| e.gutter.is_some() || e.box_gutter.is_some())
    });
    method_where("no gutter here: water drops clear", |job| {
        edges(job, |e| e.finish == Finish::Drip && e.gutter.is_none())
    });
    let walls = |job: &Demo| {
        let chimney = job.take_off.roofs.iter().flat_map(|r| &r.shape.holes).any(|h| h.finish == Finish::Wall);
        chimney || edges(job, |e| matches!(e.finish, Finish::Wall | Finish::Gutter))
    };
    let open = |job: &Demo| !matches!(job.loaded.job.answer(Access::RenderCutting), Forced::Yes | Forced::Sum);
    for (name, job, text) in told(quote_of, 0).iter() {
        // Whose price holds it says so there.
        let says = text.contains("utting of render for the flashing");
        assert!(!open(job) || says == walls(job), "{name}");
    }
    let all = told(quote_of, 0);
    assert!([true, false].iter().all(|is| all.iter().any(|(_, job, _)| open(job) && walls(job) == *is)));
    let kerbs = |job: &Demo| job.take_off.roofs.iter().any(|r| !r.built_openings(true).is_empty());
    let named = |job: &Demo| job.loaded.job.goods.iter().any(|g| g.item.to_lowercase().contains("rooflight"));
    quoted_where("What stands on the new kerb, ", |job| kerbs(job) && !named(job));
    quoted_where("itself on site before we start", |job| kerbs(job) && !named(job));
    method_where("Check it against the hatch of Wedge (from the customer)", |job| job.loaded.job.title == "Wedge");
}

/// A joist across the fall takes a level firring of its own depth: 1 in 80 of how far up the roof it lies, so that of two
/// joists the one with the higher number takes the deeper. Each joist of a roof that is firred stands in the list but those
/// that are on the low line or want less than the thinnest.
#[test]
fn every_firring_is_listed_with_the_joists_that_take_it() {
    let wedge = crate::demo::work(&crate::support::asked(include_str!("jobs_for_sweep/wedge.yaml")));
    let level = wedge.take_off.roofs.iter().find(|r| r.shape.name == "Level").unwrap();
    assert_eq!(wedge.loaded.job.roofs[level.shape.index].joists.run, JoistRun::LeftToRight);
    let mut deepest: BTreeMap<i64, i64> = BTreeMap::new();
    for firring in &level.firrings {
        deepest.insert(firring.from.y, firring.low_depth.as_mm());
    }
    // Joists every 400 mm from the low edge, the last at 2.85 m: 0, 400 … 2800, 2850.
    let depths: Vec<i64> = deepest.values().copied().collect();
    assert!(depths.is_sorted(), "{depths:?}");
    let text = method_of(&wedge);
    assert!(text.contains("joists counted from the left (Wedge) and from the front (Level)"), "{text}");
    let row = |cells: [&str; 4]| text.contains(&format!("{}\n", cells.join("\n")));
    for cells in LEVEL_ROWS {
        assert!(row(cells), "{cells:?} in {text}");
    }
    // Where all are alike, each joist takes the same.
    let sizes = |r: &RoofLayout| {
        r.firrings.iter().map(|f| [f.length, f.low_depth, f.high_depth]).collect::<BTreeSet<_>>().len()
    };
    method_where("Which joist takes which", |job| job.take_off.roofs.iter().any(|r| sizes(r) > 1));
}

/// By hand, joists 400 mm apart from the low edge, the last at 2.85 m: 10 mm at 0.8 m and 5 mm more on each; 35 and 36 mm at 2.8 and
/// 2.85 m, cut as one size. Each of 6.2 m is in two parts.
const LEVEL_ROWS: [[&str; 4]; 6] = [
    ["4", "3100", "36", "8 and 9"],
    ["2", "3100", "30", "7"],
    ["2", "3100", "25", "6"],
    ["2", "3100", "20", "5"],
    ["2", "3100", "15", "4"],
    ["2", "3100", "10", "3"],
];

#[test]
fn a_flashing_of_either_kind_is_among_what_the_finish_takes() {
    let line = |job: &Demo, id: LineId| job.take_off.lines.iter().any(|l| l.id == id);
    method_where("Lead-free flashing:", |job| line(job, LineId::FlashingLeadFree));
    method_where("Lead flashing:", |job| line(job, LineId::FlashingLength));
}

#[test]
fn what_is_back_at_the_end_was_there() {
    method_where("aerials back", |job| has(job, WorkKind::Aerials));
    for (name, job) in all_jobs() {
        let text = method_of(&job).to_lowercase();
        // A flashing is new: it is in, and nothing of it comes back.
        assert_eq!(text.contains("new flashing in"), has(&job, WorkKind::Flashing), "{name}");
        assert!(!text.contains("flashing back"), "{name}");
        let alone = |kind| has(&job, kind) && !has(&job, WorkKind::Aerials);
        assert_eq!(text.contains("gutter back"), alone(WorkKind::GutterOn), "{name}");
    }
}

#[test]
fn nothing_stripped_is_spoken_of_where_nothing_is() {
    let strips = |job: &Demo| !job.loaded.job.strips().is_empty();
    method_where("what is stripped off is not deducted", strips);
    quoted_where("Rot shows only when the old roof is off", strips);
    quoted_where("until the old roof is off", strips);
    quoted_where("Taking off an old covering", |job| {
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
    for words in ["Your right to cancel", "Cancellation form", "What the law says we must tell you"] {
        quoted_where(words, |job| !job.loaded.job.reverse_charge);
    }
    // Several households sign together.
    let several = |job: &Demo| !job.loaded.job.co_signers.is_empty();
    quoted_where("my right to cancel", |job| !job.loaded.job.reverse_charge && !several(job));
}

#[test]
fn a_provisional_sum_in_the_price_is_explained() {
    quoted_where("but for the provisional sum in it", |job| {
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
