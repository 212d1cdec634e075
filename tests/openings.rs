//! New kerbs and trimmed openings, against pieces worked out by hand.

use crate::demo::{Demo, request, work, worked};
use crate::edges::documents;
use crate::support::{asked, laid_out, lean_to, mm};
use std::collections::BTreeMap;
use wetout::checks::check;
use wetout::documents::DocumentKind;
use wetout::documents::drawings::Space;
use wetout::documents::drawings::roof_plan::{self, Audience};
use wetout::documents::drawings::sections::{self, Build};
use wetout::job_file::load;
use wetout::model::{Finish, Length, LineId, Role, Rules, Section, Warned};
use wetout::pages::block::Figure;
use wetout::pages::scene::{Ink, Mark};
use wetout::takeoff::layout::timber::TimberKind;
use wetout::takeoff::take_off;

fn neighbours() -> Demo {
    work(&request("neighbours"))
}

/// The rooflight of No. 14 lies from 1200 to 2100 across joists at 400 mm and from 900 to 1800 along them, on a roof 2700 deep. It
/// begins on a joist and ends 300 mm before one. So trimmers hang between the joists at 1200 and 2400, 1200 less the breadth of
/// one joist: 1153; the right side takes two timbers between the trimmers, 900 less two thicknesses: 806; the left one against
/// the joist, which alone would bear half of the kerb; the joists at 1200 and 2400 are doubled, 2700 and 100 of bearing in the
/// wall at the back, none past the drip edge: 2800. Two joists are cut, at 1600 and 2000: four ends.
#[test]
fn an_opening_is_trimmed_as_worked_out_by_hand() {
    let demo = neighbours();
    let of = &demo.take_off.roofs[1].openings;
    let lengths =
        |kind: TimberKind| -> Vec<Length> { of.pieces.iter().filter(|p| p.kind == kind).map(|p| p.length).collect() };
    assert_eq!(lengths(TimberKind::Trimmer), [mm(1153); 4]);
    assert_eq!(lengths(TimberKind::Side), [mm(806); 3]);
    assert_eq!(lengths(TimberKind::Doubling), [mm(2800); 2]);
    assert_eq!(lengths(TimberKind::Kerb), [mm(900), mm(900), mm(806), mm(806)]);
    // Two pairs of trimmers and one of sides, and a side alone, each with two ends; four ends of joists.
    assert_eq!(of.hangers, BTreeMap::from([(mm(47), 6), (mm(94), 6)]));
    let places: Vec<i64> = of.pieces.iter().filter(|p| p.kind == TimberKind::Doubling).map(|p| p.from.x).collect();
    assert_eq!(places, [1153, 2447], "on the far side of each joist");
}

/// The joist at 1200 is 47 mm thick and the kerb at 1200 too: 23.5 mm of joist lie under it, and as much of its firring, 900 to 1800
/// mm up, is in the way. An old kerb that stands so, from 1.8 to 2.8 m with a joist at 2.8 m, takes the same of its firring.
#[test]
fn a_firring_is_ripped_where_a_kerb_stands_on_its_joist() {
    let method = |bytes: Vec<u8>, job: &str| {
        let demo = work(&wetout::job_file::Request { bytes, ..request(job) });
        crate::falls::words(&demo, DocumentKind::Method)
    };
    let new = method(request("neighbours").bytes, "neighbours");
    assert!(
        new.contains("24 mm off the one on joist 4, 900 to 1800 mm from the front (rooflight of No. 14)."),
        "{new}"
    );
    assert!(new.contains("they stand inside it by 24 mm (rooflight of No. 14)."), "{new}");
    // Over the kerb's top goes laminate: what guards the hole until then lies below it.
    assert!(new.contains("the opening is boarded over inside the kerb, below its top"), "{new}");
    let kitchen = request("kitchen-extension").bytes;
    let old = method(kitchen.clone(), "kitchen-extension");
    let text = String::from_utf8(kitchen).unwrap();
    assert!(text.contains("at: [1.8 m, 1.1 m]"));
    let clear = method(text.replace("at: [1.8 m, 1.1 m]", "at: [1.7 m, 1.1 m]").into_bytes(), "kitchen-extension");
    assert!(old.contains("24 mm off the one on joist 8, 1100 to 2100 mm from the front"), "{old}");
    assert!(!clear.contains("never on a firring"), "{clear}");
}

/// At 1:40 the firring is 45 mm where the opening is highest, 1800 up, and 6 mm of toe; the board has 18: 69 under the finished roof
/// and 150 over it. Timber that is as good as that deep is taken as it is sold.
#[test]
fn a_kerb_is_ripped_to_what_stands_above_the_finished_roof_unless_that_is_next_to_nothing() {
    let job = |rules: &str| {
        let mut asked = request("neighbours");
        let text = String::from_utf8(asked.bytes).unwrap();
        asked.bytes = format!("{text}{rules}").into_bytes();
        work(&asked)
    };
    for (rules, deep, said) in
        [("", 220, "on edge, as sold, 220 mm."), ("\nrules: {kerb_rip: 0 mm}\n", 219, "on edge, ripped to 219 mm.")]
    {
        let demo = job(rules);
        assert_eq!(demo.take_off.roofs[1].openings.kerbs, [(0, mm(deep))]);
        let pages = crate::falls::words(&demo, DocumentKind::Method);
        assert!(pages.contains(said), "{said}");
    }
}

/// The boards lie 6 mm of toe and the fall above the trimmers, which hang level with the joists: over the one below the opening,
/// 876 up, 22 and 6; over the one above, 1824 up, 46 and 6. At the side, between 947 and 1753, it rises from 24 and 6 to 44 and 6.
/// On the left a joist lies under the edge. What packs them up is ordered and listed with the other firrings, and drawn.
#[test]
fn timber_under_the_boards_round_an_opening_is_packed_up_to_them() {
    let demo = neighbours();
    let roof = &demo.take_off.roofs[1];
    let all = roof.firrings.iter().filter(|f| f.packs.is_some());
    let sizes: Vec<_> = all.map(|f| [f.length, f.low_depth, f.high_depth].map(Length::as_mm)).collect();
    assert_eq!(sizes, [[1153, 28, 28], [1153, 52, 52], [806, 30, 50]]);
    let line = demo.take_off.lines.iter().find(|l| l.id == LineId::FirringLength).unwrap();
    let metres: Length = roof.firrings.iter().map(|f| f.length).sum();
    assert_eq!(line.quantity, metres.metres());
    let pages = crate::falls::words(&demo, DocumentKind::Method).split_whitespace().collect::<Vec<_>>().join(" ");
    for said in ["trimmer, rooflight", "side, rooflight", "packing on the trimmer"] {
        assert!(pages.contains(said), "{said}");
    }
}

/// 4 × 1153 + 3 × 806 + 2 × 2800 = 12,630 mm out of 3.6 m at 12.10 and 4.8 m at 16.10. Two lengths of 4.8 m hold 2800, 1153 and 806
/// each, 4759 mm; two trimmers and a side are left, 3112 mm, for one of 3.6 m.
#[test]
fn timber_is_bought_in_lengths_that_hold_every_piece() {
    let demo = neighbours();
    let bought = |depth: i64, length: i64| {
        let role = Role::Sawn(Section { thickness: mm(47), width: mm(depth) });
        let needs = demo.take_off.needs.iter().filter(|n| n.role == role && n.size == Some(mm(length)));
        needs.map(|n| n.quantity.to_string()).collect::<Vec<_>>().join(" ")
    };
    assert_eq!((bought(147, 3600), bought(147, 4800)), ("1".into(), "2".into()));
    assert_eq!((bought(220, 3600), bought(220, 4800)), ("1".into(), String::new()));
}

/// The rooflight's size and kerb, as the job gives them.
const SIZE: &str = "size: [0.9 m, 0.9 m], finish: kerb,\n         kerb: 47 × 220 mm";

/// What cannot be built is refused with the measure that would do.
#[test]
fn a_kerb_too_low_and_trimmers_that_hang_on_nothing_are_refused() {
    let with = |changes: &[(&str, &str)]| {
        let mut asked = request("neighbours");
        let mut text = String::from_utf8(asked.bytes).unwrap();
        for (from, to) in changes {
            assert!(text.contains(from), "{from}");
            text = text.replace(from, to);
        }
        asked.bytes = text.into_bytes();
        match load(&asked) {
            Err(failure) => failure.problems,
            Ok(loaded) => take_off(&loaded.job, &loaded.rules, &loaded.products).err().unwrap_or_default(),
        }
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("\n")
    };
    let refused = |from: &str, to: &str| with(&[(from, to)]);
    let kerb = "kerb: 47 × 220 mm, trimmers";
    // What is sold, where it is deep enough: the shallowest.
    assert!(
        refused(kerb, "kerb: 47 × 195 mm, trimmers").contains("write `kerb: 47 × 220 mm`: 219 mm of depth are wanted")
    );
    assert!(refused(kerb, "kerb: new, trimmers").contains("does not say which timber"));
    assert!(refused(kerb, "kerb: 470 × 220 mm, trimmers").contains("the thickness of a kerb or a joist"));
    let light = "at: [1.2 m, 0.9 m], size: [0.9 m, 0.9 m]";
    // Without one along the edge the last of the joists lies 3.2 m from the left, and such a light ends at 3.3 m.
    let without_last = (", last: 3.38 m", "");
    let wide = with(&[without_last, (light, "at: [0.3 m, 0.9 m], size: [3.0 m, 0.9 m]")]);
    assert!(wide.contains("no joist runs past it on both sides"), "{wide}");
    // A figure that was slipped leaves no light within the kerb: 100 mm less 2 × 47 mm are 6 mm.
    let narrow = refused(light, "at: [1.2 m, 0.9 m], size: [0.9 m, 100 mm]");
    assert!(narrow.contains("of 100 mm, the new kerb leaves 6 mm clear"), "{narrow}");
    let stays = refused(SIZE, &SIZE.replace("0.9 m],", "0.09 m],").replace("47 × 220 mm", "existing"));
    assert!(stays.contains("no wider than the two trimmers"), "{stays}");
    // Deeper than any timber: what can be written is said, and no depth that is refused in its turn.
    let steep = with(&[("fall: 1:40", "fall: 1:7"), ("upstand: 270 mm", "upstand: 900 mm")]);
    assert!(steep.contains("which no single one is: write `kerb: existing`"), "{steep}");
    let kept = refused("deck: {action: new, board: osb3-18}", "deck: {action: keep}");
    assert!(kept.contains("under a deck that stays"), "{kept}");
}

/// The garage was measured to the fascia; its front is a drip edge with two layers of 25 mm outside that, the house side a wall. The
/// sizes on its plan are to the battens, and so are the places of what stands in it: 3.6 m up and 50 mm.
#[test]
fn an_opening_is_measured_from_the_corner_from_which_the_sizes_count() {
    let demo = work(&request("garage-utility"));
    let (layout, roof) = (&demo.take_off.roofs[0], &demo.loaded.job.roofs[0]);
    for reader in [Audience::Householder, Audience::Site] {
        let scene = roof_plan::draw(layout, roof, reader, Space::HALF_PAGE).scene;
        let words = scene.marks.iter().filter_map(|mark| match mark {
            Mark::Text { text, .. } => Some(text.as_str()),
            _ => None,
        });
        let said = words.collect::<Vec<_>>().join(" ");
        assert!(said.contains("3.40 m to the right of and 3.65 m up from the front left corner"), "{said}");
        assert!(said.contains("its middle 0.60 m to the right of and 5.25 m up"), "{said}");
        assert!(said.contains("All sizes are to the outside of the edge battens"), "{said}");
    }
}

/// Joists lie every 400 mm from the front of the garage: its pipe, 5.20 m up, stands on one; 200 mm further down it stands clear
/// of both.
#[test]
fn a_pipe_that_lands_on_a_joist_is_told_to_the_office() {
    let warned = |at: &str| -> Vec<String> {
        let mut asked = request("garage-utility");
        let text = String::from_utf8(asked.bytes).unwrap();
        asked.bytes = text.replace("at: [0.6 m, 5.2 m]", at).into_bytes();
        let loaded = load(&asked).unwrap();
        let take_off = take_off(&loaded.job, &loaded.rules, &loaded.products).unwrap();
        let notices = check(&loaded.job, &take_off, &loaded.rules, &loaded.products).notices;
        notices.into_iter().filter(|n| n.warned == Some(Warned::PipeOnJoist)).map(|n| n.fault).collect()
    };
    assert_eq!(warned("at: [0.6 m, 5.2 m]"), ["`soil pipe` lands on a joist"]);
    assert_eq!(warned("at: [0.6 m, 5.0 m]"), [""; 0]);
}

/// In a warm roof the fascia ends where the edge timber begins: none is ordered that goes up it.
#[test]
fn the_fascia_of_a_warm_roof_ends_under_its_edge_timber() {
    let rules = Rules::default();
    let build = Build { over: Some((mm(160), mm(18))), ..Build::new(&rules, mm(18)) };
    for finish in [Finish::Drip, Finish::Raised] {
        let Figure { scene, .. } = sections::draw(finish, build);
        let block = |grey: Ink, wide: f64| {
            let of = |mark: &Mark| match mark {
                Mark::Area { rings, fill: Some(ink), .. } if *ink == grey && rings[0].len() == 4 => {
                    let ring = &rings[0];
                    let k = 72.0 / 25.4 / scene.scale.unwrap();
                    ((ring[1].x - ring[0].x).abs() - wide * k).abs().lt(&0.1).then_some((ring[0].y, ring[2].y))
                }
                _ => None,
            };
            scene.marks.iter().find_map(of).unwrap()
        };
        let (fascia, timber) = (block(Ink::White, 18.0), block(Ink::Grey(0.85), 47.0));
        let (top, foot) = (fascia.0.min(fascia.1), timber.0.max(timber.1));
        assert!((top - foot).abs() < 0.1, "{finish:?}: the fascia ends at {top}, the timber at {foot}");
    }
}

/// An old kerb can be measured before a sheet is lifted; the householder is given the figure, and whose cost a higher one is.
/// Firrings 122 mm deep at its upper end, deck 18 mm, insulation 160 mm and a board of 18 mm, less the old boards of 18 mm that are
/// lifted: the roof comes up 300 mm, and 150 mm are to stand above it.
#[test]
fn an_old_kerb_is_measured_before_the_roof_is_opened() {
    let job = work(&request("garage-utility"));
    let method = crate::falls::words(&job, DocumentKind::Method);
    let least = "Old kerbs, from the old roof up to the frame, at least: rooflight 450 mm (the roof comes up 300 mm)";
    let kerb = method.find(least).unwrap();
    assert!(kerb < method.find("Open a test piece").unwrap(), "{method}");
    let quote = crate::falls::words(&job, DocumentKind::Quote);
    let told =
        "For that it must stand at least 450 mm above the present roof; making a lower one higher is not in the price.";
    assert!(quote.contains(told), "{quote}");
}

/// A deck that stays is cut for no opening: whether one is there is asked, and what a new one wants is said.
#[test]
fn a_new_opening_in_a_deck_that_stays_is_asked_about() {
    let job = |hole: &str, outlet: &str| {
        let roof = format!(
            "    holes: [{{name: hatch, at: [2.0 m, 0.6 m], size: [0.9 m, 0.9 m], finish: kerb, kerb: 47 × 220 mm{hole}}}]\n{outlet}"
        );
        lean_to("", &roof, "").replace("{action: new, board", "{action: overlay, board")
    };
    let told = |hole: &str| {
        let (_, laid) = laid_out(&job(hole, ""));
        laid.notices().map(ToString::to_string).filter(|n| n.contains("a deck that stays")).collect::<Vec<_>>()
    };
    let [asked_for] = &told("")[..] else { panic!("{:?}", told("")) };
    assert!(
        asked_for.contains("holes[0].trimmers") && asked_for.contains("nothing is laid, priced or told for cutting it")
    );
    assert!(told(", trimmers: existing").is_empty());
    let new = load(&asked(&job(", trimmers: 47 × 147 mm", ""))).unwrap();
    let refused = worked(new).map(|_| ()).unwrap_err();
    assert!(refused.iter().any(|p| p.cure.contains("the old boards lifted")), "{refused:?}");
    let outlet = work(&asked(&job(", trimmers: existing", "    outlet: {at: [4.0 m, 0.3 m], size: 75 mm}\n")));
    let [_, method] = documents(&outlet);
    assert!(method.contains("where the old deck stays the hole goes on through its boards"), "{method}");
}
