//! What a job promises is done, bought and paid for, and nothing else is: each work has the faces that its table
//! promises, each norm moves a price, each size is bought in its own size. [`sweep`] turns every rule, role and choice.

#![allow(clippy::print_stdout, reason = "what moves what is told where it is asked for with --nocapture")]

mod sweep;

use crate::demo::{self, Demo};
use crate::falls::words;
use crate::replay::{self, roofs};
use crate::support::{asked, lean_to, mm};
use rust_decimal::Decimal;
use std::collections::BTreeSet;
use wetout::documents::DocumentKind;
use wetout::estimate::LaidOut;
use wetout::model::role::ROLES;
use wetout::model::{Role, Rules};
use wetout::pricing::{Article, Pricing, price};
use wetout::programme::{Programme, plan};
use wetout::takeoff::TakeOff;
use wetout::takeoff::quantities::line::Share;
use wetout::works::{Operation, Place, Work, WorkFace, WorkKind};

// ---- The jobs that are looked at ------------------------------------------------------------------------------------

/// A job with every work that there is, worked.
pub fn everything() -> Demo {
    demo::work(&asked(include_str!("jobs_for_sweep/everything.yaml")))
}

/// The demo jobs, the long, many and tiny ones, and the one with every work; each with its name.
pub fn every_job() -> Vec<(String, Demo)> {
    let mut jobs: Vec<(String, Demo)> =
        demo::names().into_iter().map(|n| (n.clone(), demo::work(&demo::request(&n)))).collect();
    for folder in ["tests/big_jobs", "tests/jobs_for_sweep"] {
        let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
        files.sort();
        for file in files.into_iter().filter(|f| f.extension().is_some_and(|e| e == "yaml")) {
            let text = std::fs::read_to_string(&file).unwrap();
            jobs.push((file.display().to_string(), demo::work(&asked(&text))));
        }
    }
    jobs
}

// ---- Every work has its faces, and nothing else exists --------------------------------------------------------------

/// The name of the roof on which a work is done.
fn roof_of(work: &Work, take_off: &TakeOff) -> Option<String> {
    match work.place {
        Place::OldRoof(i) => Some(take_off.old_roofs[i].name.clone()),
        place => place.roof().map(|i| take_off.roofs[i].shape.name.clone()),
    }
}

/// Whether a role is one of the words of a face: the word itself, or a family by its head.
fn is_among(role: &Role, words: &[&str]) -> bool {
    let role = role.to_string();
    words.iter().any(|word| role == *word || word.ends_with('.') && role.starts_with(word))
}

/// What a work that the firm does lacks, by the table of its faces, and what it has though the table says that it has
/// none.
fn lacks(work: &Work, take_off: &TakeOff, programme: &Programme) -> Vec<String> {
    let (kind, roof) = (work.kind, roof_of(work, take_off));
    let here = |of: &Option<String>| *of == roof || work.place == Place::Job;
    let mut found = Vec::new();
    let mut say = |what: &str| found.push(format!("{} on {roof:?}: {what}", kind.key()));
    let spent: Decimal = (programme.work.iter().flat_map(|w| &w.parts))
        .filter(|p| p.work == kind && here(&p.roof))
        .map(|p| p.hours)
        .sum();
    match kind.faces().hours {
        WorkFace::Has(norms) => {
            let counted = |l: &&wetout::takeoff::Line| {
                l.work_of(kind) && here(&l.roof) && l.quantity > Decimal::ZERO && norms.iter().any(|n| (n.of)(l.id))
            };
            if !take_off.lines.iter().any(|l| counted(&l)) {
                say("no line gives its hours");
            }
            if spent <= Decimal::ZERO {
                say("it takes no hours");
            }
        }
        // Of goods the job's own lines say how long they take: `goods` looks at those hours.
        WorkFace::Not(why) if spent > Decimal::ZERO && kind != WorkKind::OwnGoods => {
            say(&format!("it takes {spent} h, though {why}"))
        }
        WorkFace::Not(_) => {}
    }
    let bought: Vec<&Role> = (take_off.needs.iter())
        .filter(|n| !n.optional && n.shares.iter().any(|s| s.work == kind && here(&s.roof) && s.weight > Decimal::ZERO))
        .map(|n| &n.role)
        .collect();
    match kind.faces().order {
        WorkFace::Has(words) => {
            if !bought.iter().any(|role| is_among(role, words)) {
                say(&format!("nothing of {words:?} is bought for it"));
            }
            for role in bought.iter().filter(|role| !is_among(role, words)) {
                say(&format!("{role} is bought for it, which is not among {words:?}"));
            }
        }
        WorkFace::Not(why) => bought.iter().for_each(|role| say(&format!("{role} is bought for it, though {why}"))),
    }
    found
}

/// What belongs to no work that the firm does there.
fn without_work(take_off: &TakeOff, programme: &Programme) -> Vec<String> {
    let roofs = &take_off.roofs;
    let done = |kind: WorkKind, roof: &Option<String>| match roof {
        Some(name) => {
            roofs.iter().any(|r| r.shape.name == *name && take_off.works.has_on(kind, r.shape.index))
                || take_off.old_roofs.iter().any(|r| r.name == *name && take_off.works.has_on_old(kind, r.index))
        }
        None => take_off.works.has(kind),
    };
    let mut found = Vec::new();
    for line in take_off.lines.iter().filter(|l| !done(l.work, &l.roof)) {
        found.push(format!("the line {} on {:?} is of {}, which is not done", line.id, line.roof, line.work.key()));
    }
    for need in &take_off.needs {
        if need.shares.is_empty() || need.shares.iter().all(|s| s.weight <= Decimal::ZERO) {
            found.push(format!("{} is bought for nothing", need.role));
        }
        for Share { work, roof, .. } in need.shares.iter().filter(|s| !done(s.work, &s.roof)) {
            found.push(format!("{} is bought for {} on {roof:?}, which is not done", need.role, work.key()));
        }
    }
    for part in programme.work.iter().flat_map(|w| &w.parts).filter(|p| !done(p.work, &p.roof)) {
        found.push(format!("{} h are spent on {} on {:?}, which is not done", part.hours, part.work.key(), part.roof));
    }
    found
}

fn faults(take_off: &TakeOff, programme: &Programme) -> Vec<String> {
    let mut found: Vec<String> = take_off.works.ours().flat_map(|w| lacks(w, take_off, programme)).collect();
    found.extend(without_work(take_off, programme));
    found
}

#[test]
fn every_work_of_every_job_has_its_faces_and_nothing_is_without_a_work() {
    let mut wrong = Vec::new();
    for (name, demo) in every_job() {
        wrong.extend(faults(&demo.take_off, &demo.programme).into_iter().map(|f| format!("{name}: {f}")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn random_jobs_have_the_faces_of_their_works_and_nothing_else() {
    let count = roofs::count(40);
    let demo = demo::work(&demo::request("kitchen-extension"));
    let replayed = |seed: u64| match replay::job::laid_at_random(seed, &demo) {
        Some((take_off, programme)) => faults(&take_off, &programme),
        None => Vec::new(),
    };
    roofs::assert_none_wrong(&roofs::wrong(1..count + 1, replayed), count);
}

/// So that no kind of work is promised in the table and met by no test.
#[test]
fn the_job_with_everything_has_every_work_that_there_is() {
    let done: BTreeSet<WorkKind> = every_job().iter().flat_map(|(_, d)| d.take_off.works.kinds()).collect();
    let missed: Vec<&str> = WorkKind::ALL.iter().filter(|k| !done.contains(k)).map(|k| k.key()).collect();
    assert_eq!(missed, [""; 0]);
}

/// A sound job is spoilt in one way at a time, and each way is named.
#[test]
fn a_face_that_is_missing_and_a_line_without_a_work_are_seen() {
    let sound = everything();
    let see = |spoil: &dyn Fn(&mut TakeOff, &mut Programme)| {
        let (mut take_off, mut programme) = (sound.take_off.clone(), sound.programme.clone());
        spoil(&mut take_off, &mut programme);
        faults(&take_off, &programme).join("\n")
    };
    assert_eq!(see(&|_, _| ()), "");
    let lines = see(&|t, _| t.lines.retain(|l| l.id != "gutter.length"));
    assert!(lines.contains("gutter_on") && lines.contains("no line gives its hours"), "{lines}");
    let hours = see(&|_, p| p.work.iter_mut().for_each(|w| w.parts.retain(|p| p.work != WorkKind::PipeCollar)));
    assert!(hours.contains("pipe_collar") && hours.contains("it takes no hours"), "{hours}");
    let needs = see(&|t, _| t.needs.retain(|n| n.role != "vapour" && n.role != "tape.vapour"));
    assert!(needs.contains("vapour_layer") && needs.contains("is bought for it"), "{needs}");
    let line = see(&|t, _| t.lines.iter_mut().find(|l| l.id == "gutter.length").unwrap().work = WorkKind::KeepDeck);
    assert!(line.contains("the line gutter.length") && line.contains("is of keep_deck"), "{line}");
    let share = see(&|t, _| t.needs.iter_mut().for_each(|n| n.shares.clear()));
    assert!(share.contains("is bought for nothing"), "{share}");
    let part = see(&|_, p| p.work[0].parts[0].work = WorkKind::KeepDeck);
    assert!(part.contains("h are spent on keep_deck"), "{part}");
}

// ---- Every norm moves a price ---------------------------------------------------------------------------------------

/// Every norm of the table by its rule, with the works that it gives hours.
type OfLine = fn(wetout::model::LineId) -> bool;

fn norms() -> Vec<(&'static str, Vec<(WorkKind, OfLine)>)> {
    let mut norms: Vec<(&str, Vec<(WorkKind, OfLine)>)> = Vec::new();
    for kind in WorkKind::ALL {
        for norm in kind.faces().hours.get().unwrap_or_default() {
            match norms.iter_mut().find(|(rule, _)| *rule == norm.rule) {
                Some((_, kinds)) => kinds.push((*kind, norm.of)),
                None => norms.push((norm.rule, vec![(*kind, norm.of)])),
            }
        }
    }
    norms
}

/// A job planned and priced again by other rules.
fn priced_by(demo: &Demo, rules: &Rules) -> (Programme, Pricing) {
    let loaded = &demo.loaded;
    let (terms, density) = (loaded.terms.as_ref().unwrap(), loaded.products.catalyst_density);
    let holidays = &loaded.firm.as_ref().unwrap().holidays;
    let programme = plan(&loaded.job, &demo.take_off, rules, density, terms.crew.len() as u32, holidays);
    let needs = &demo.take_off.needs;
    let pricing = price(&loaded.job, rules, needs, &programme, &loaded.books, terms, &loaded.job_money).unwrap();
    (programme, pricing)
}

#[test]
#[allow(clippy::print_stdout, reason = "which price each norm moves is read with --nocapture")]
fn every_norm_raised_tenfold_raises_the_price_of_every_job_that_has_its_work() {
    let jobs = every_job();
    let norms = norms();
    for (rule, kinds) in &norms {
        let mut moved = Vec::new();
        for (name, demo) in &jobs {
            let mut rules = demo.loaded.rules.clone();
            *sweep::norm(&mut rules, rule) *= Decimal::TEN;
            let ((long, dear), (short, cheap)) = (priced_by(demo, &rules), priced_by(demo, &demo.loaded.rules));
            let has_line = |of: &OfLine| demo.take_off.lines.iter().any(|l| of(l.id) && l.quantity > Decimal::ZERO);
            let has = kinds.iter().any(|(k, of)| demo.take_off.works.has(*k) && has_line(of));
            let worked = |p: &Programme| p.work.iter().map(|w| w.hours).sum::<Decimal>();
            assert_eq!(worked(&long) > worked(&short), has, "{name}: {rule} moves {} h", worked(&short));
            if dear.total > cheap.total {
                moved.push(name.as_str());
            }
        }
        println!("{rule}: {}", moved.join(", "));
        assert!(!moved.is_empty(), "{rule} moves no price");
    }
    let named = Rules::ABOUT.iter().map(|r| r.0).filter(|n| n.starts_with("hours_") && *n != "hours_setup");
    let unused: Vec<&str> = named.filter(|n| norms.iter().all(|(rule, _)| rule != n)).collect();
    assert_eq!(unused, [""; 0], "a norm that no work uses");
}

// ---- Sizes ----------------------------------------------------------------------------------------------------------

/// What is ordered of a role, as codes with their sizes.
fn ordered(pricing: &Pricing, role: &str) -> Vec<(String, Option<wetout::model::Length>)> {
    let lines = pricing.orders.iter().flat_map(|o| &o.lines).filter(|l| l.role == role && !l.optional);
    lines.map(|l| (l.code.clone(), l.size)).collect()
}

/// The code and the size of the one article of a role in the demo price book that is of that size.
fn sold(role: &str, size: i64) -> (String, Option<wetout::model::Length>) {
    let loaded = wetout::job_file::load(&asked(&lean_to("", "", ""))).unwrap();
    let of = |a: &&Article| a.role == role && a.size == Some(mm(size));
    let found: Vec<&Article> = loaded.books[0].articles.iter().filter(of).collect();
    assert_eq!(found.len(), 1, "{role} of {size} mm");
    (found[0].code.clone(), found[0].size)
}

#[test]
fn a_gutter_never_orders_the_brackets_of_another_size() {
    for size in [76, 100, 112] {
        let text = lean_to(&format!(", gutter: half-round {size} mm"), "", "");
        let pricing = demo::work(&asked(&text)).pricing;
        assert_eq!(ordered(&pricing, "bracket.gutter"), [sold("bracket.gutter", size)]);
    }
    // Two gutters of two sizes on one job are two lines of the order.
    let two = everything();
    let sizes: Vec<_> = ordered(&two.pricing, "bracket.gutter");
    assert_eq!(sizes.len(), 3, "{sizes:?}");
    assert!([76, 100, 112].iter().all(|size| sizes.contains(&sold("bracket.gutter", *size))), "{sizes:?}");
}

#[test]
fn a_gutter_that_comes_up_with_its_roof_has_its_downpipe_lengthened() {
    let warm = "    build_up:\n      kind: warm\n      work: renovated\n      \
                ceiling: [{name: plasterboard, thickness: 12.5 mm, lambda: 0.21 W/mK}]\n      \
                joists: {breadth: 47 mm, depth: 170 mm}\n      vapour: {roll_width: 2 m, roll_length: 25 m}\n      \
                insulation: {board: pir-160, name: rigid foam}\n      overlay: osb3-18\n";
    let of = |roof: &str, job: &str| demo::work(&asked(&lean_to(", gutter: half-round 112 mm", roof, job)));
    let pipes =
        |demo: &Demo| (ordered(&demo.pricing, "downpipe").len(), ordered(&demo.pricing, "downpipe.socket").len());
    let (flat, raised) = (of("", ""), of(warm, ""));
    // A toe of 6 mm and the new board alone are within what a pipe gives.
    assert_eq!((pipes(&flat), pipes(&raised)), ((0, 0), (1, 1)));
    assert_eq!(pipes(&of(warm, "rules: {downpipe_slack: 300 mm}\n")), (0, 0));
    let [(0, by)] = raised.take_off.roofs[0].gutters_raised[..] else { panic!("one gutter") };
    assert_eq!(by, mm(6 + 18 + 160 + 18));
    let quantity = |id: &str| raised.take_off.lines.iter().find(|l| l.id == id).map(|l| l.quantity);
    assert_eq!(quantity("gutter.downpipe"), Some(by.metres()));
    let last = |demo: &Demo| {
        let hours = demo.programme.work.iter().filter(|w| w.operation == Operation::Finish).map(|w| w.hours);
        hours.sum::<Decimal>()
    };
    let without = of(warm, "rules: {hours_downpipe: 0 h each}\n");
    assert_eq!(last(&raised) - last(&without), raised.loaded.rules.hours_downpipe);
    // 5.0 m of gutter hangs on six brackets, two screws in each; one clip, with two into plugs.
    let each = |id: &str| quantity(id).map(|n| n.to_string());
    assert_eq!(each("gutter.fixings"), quantity("gutter.brackets").map(|n| (n * Decimal::TWO).to_string()));
    assert_eq!(each("gutter.clip.fixings").as_deref(), Some("2"));
    assert_eq!(
        (ordered(&raised.pricing, "fixings.bracket").len(), ordered(&raised.pricing, "fixings.masonry").len()),
        (1, 1)
    );
    assert_eq!(
        (ordered(&flat.pricing, "fixings.bracket").len(), ordered(&flat.pricing, "fixings.masonry").len()),
        (1, 0)
    );
    let told = words(&raised, DocumentKind::Method);
    assert!(told.contains("Screws for gutter brackets") && told.contains("clip with 2 screws into plugs"), "{told}");
    assert!(words(&raised, DocumentKind::Quote).contains("lengthen its downpipe"));
    assert!(words(&raised, DocumentKind::Method).contains("front 202 mm. Lengthen each downpipe"));
    assert!(!words(&flat, DocumentKind::Method).contains("Lengthen each downpipe"));
}

/// Where treated timber is bought its cut ends are brushed: told, listed among the tools and on the order; elsewhere none of it. A
/// litre does 200 m: the timber is worked again from the order's needs.
#[test]
fn preservative_is_bought_and_told_where_treated_timber_is_cut() {
    let (mut with, mut without) = (0, 0);
    for (name, job) in every_job() {
        let metres: Decimal = (job.take_off.needs.iter())
            .filter_map(|n| match n.role.to_string().as_str() {
                "timber.firring" | "batten.edge" | "timber.noggin" | "timber.edge" => Some(n.quantity),
                sawn if sawn.starts_with("sawn.") => Some(n.quantity * n.size?.metres()),
                _ => None,
            })
            .sum();
        let line = job.take_off.lines.iter().find(|l| l.id == "preservative").map(|l| l.quantity);
        let brushed = metres > Decimal::ZERO;
        assert_eq!(line, brushed.then(|| metres / job.loaded.rules.preservative_per), "{name}");
        let told = words(&job, DocumentKind::Method);
        assert_eq!(
            ["treated timber preserved", "brushed with preservative"].iter().any(|words| told.contains(words)),
            brushed,
            "{name}"
        );
        assert_eq!(told.contains("preservative and brush"), brushed, "{name}");
        *(if brushed { &mut with } else { &mut without }) += 1;
    }
    assert!(with > 5, "{with} {without}");
}

/// Between the first coat and the one over the aggregate all of the flat is abraded: 18 m2, a disc for each 6.
#[test]
fn a_coat_that_is_abraded_for_aggregate_orders_its_discs() {
    let text = lean_to("", "", "").replace("finish: smooth}", "finish: slip-resistant}");
    let discs = |text: &str| {
        let demo = demo::work(&asked(text));
        let line = demo.take_off.lines.iter().find(|l| l.id == "surface.discs").map(|l| l.quantity);
        (line, ordered(&demo.pricing, "disc.abrasive").len())
    };
    assert_eq!(discs(&text), (Some(Decimal::from(3)), 1));
    assert_eq!(discs(&format!("{text}rules: {{disc_abraded: 20 m2}}\n")).0, Some(Decimal::ONE));
    assert_eq!(discs(&lean_to("", "", "")), (None, 0));
}

/// What a job is told where it is priced with the demo book; the book changed first.
fn told(text: &str, change: impl Fn(&mut Vec<Article>)) -> Result<Pricing, Vec<String>> {
    let (loaded, LaidOut { take_off, .. }) = crate::support::laid_out(text);
    let mut books = loaded.books.clone();
    change(&mut books[0].articles);
    let terms = loaded.terms.as_ref().unwrap();
    let programme = plan(&loaded.job, &take_off, &loaded.rules, loaded.products.catalyst_density, 2, &[]);
    price(&loaded.job, &loaded.rules, &take_off.needs, &programme, &books, terms, &loaded.job_money)
        .map_err(|problems| problems.iter().map(ToString::to_string).collect())
}

/// The same article, in another size.
fn in_size(articles: &mut Vec<Article>, role: &str, size: i64) {
    let like = articles.iter().find(|a| a.role == role).unwrap().clone();
    articles.push(Article { size: Some(mm(size)), code: format!("{}-in-{size}", like.code), ..like });
}

/// A lean-to with something in it of a size that the demo price book does not sell, what it is, and what it is sold in.
fn unsold() -> [(String, &'static str, i64, &'static str, &'static str); 3] {
    let pipe = "    holes: [{name: soil pipe, at: [3.0 m, 1.5 m], round: 160 mm}]\n";
    let outlet = "    outlet: {at: [3.0 m, 0.3 m], size: 110 mm}\n";
    [
        (lean_to("", pipe, ""), "collar.pipe", 160, "110 mm", "holes[0].round"),
        (lean_to("", outlet, ""), "outlet.roof", 110, "75 mm", "outlet.size"),
        (
            lean_to(", gutter: half-round 150 mm", "", ""),
            "bracket.gutter",
            150,
            "76 mm, 100 mm and 112 mm",
            "edges.front.gutter",
        ),
    ]
}

#[test]
fn what_is_needed_in_a_size_that_nobody_sells_is_refused_with_its_size_and_is_bought_where_it_is_sold() {
    for (text, role, size, other, place) in unsold() {
        let refused = told(&text, |_| ()).unwrap_err();
        assert_eq!(refused.len(), 1, "{refused:?}");
        assert!(refused[0].contains(&format!("does not sell `{role}, {size} mm`")), "{refused:?}");
        // The job gives the size: it is told there, where a slip would be.
        assert!(refused[0].starts_with(&format!("roofs[0].{place}: ")), "{refused:?}");
        assert!(refused[0].contains(&format!("it is sold in {other}")), "{refused:?}");
        assert!(refused[0].contains(&format!("add an article with role: {role}, size: {size} mm")), "{refused:?}");
        let bought = told(&text, |articles| in_size(articles, role, size)).unwrap();
        let lines = ordered(&bought, role);
        assert_eq!(lines.len(), 1, "{lines:?}");
        assert_eq!(lines[0].1, Some(mm(size)));
        assert!(lines[0].0.ends_with(&format!("-in-{size}")), "{lines:?}");
    }
}

#[test]
fn every_need_of_a_sized_role_says_its_size_and_no_other_need_does() {
    for (name, demo) in every_job() {
        // Noggins say how long they are where their timber is sold in lengths, flashings how wide where they are sold in widths,
        // screws through insulation how long where the price book says so.
        let at_will = |role: &Role| {
            matches!(role, Role::Noggin | Role::FlashingLead | Role::FlashingLeadFree | Role::OverlayFixings)
        };
        for need in demo.take_off.needs.iter().filter(|n| !at_will(&n.role)) {
            let facts = need.role.facts();
            assert_eq!(need.size.is_some(), facts.sized, "{name}: {}", need.role);
            assert!(ROLES.contains(facts));
        }
    }
}

/// What a step is done with is in the van: by what the job has.
#[test]
fn the_tools_of_a_step_follow_what_the_job_has() {
    let method = |name: &str| words(&demo::work(&demo::request(name)), DocumentKind::Method);
    let (parapet, dormer, kitchen) = (method("parapet"), method("dormer"), method("kitchen-extension"));
    for tool in ["masonry saw with extraction, lifting straps", "masonry drill and bit, level, brush, trowel, bucket"] {
        assert!(parapet.contains(tool) && !kitchen.contains(tool), "{tool}: {parapet}");
    }
    assert!(
        dormer.contains("Tools. Saw, driver, tape") && dormer.contains("No screw or nail head stands up"),
        "{dormer}"
    );
    assert!(kitchen.contains("Tools. Saw, nailer or driver") && kitchen.contains("No nail head stands up"));
    assert!(
        method("patch-and-coat").contains("For the new board: saw, drill and driver, hammer, preservative and brush.")
    );
    // What is lifted out of the way goes before anything else; what comes off is told among the waste.
    assert!(dormer.find("Aerials, dishes down first") < dormer.find("Open a test piece"), "{dormer}");
    assert!(dormer.contains("Broken tiles or slates") && !kitchen.contains("Broken tiles or slates"));
    assert!(dormer.contains("Old underlay, 17 03 02") && !kitchen.contains("Old underlay, "));
    // By van: no skip stands there.
    assert!(!dormer.contains("Skip") && kitchen.contains("Skip or tip"), "{dormer}");
    assert!(!method("bay").contains("from the old roof"));
}
