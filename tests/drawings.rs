//! The words and the drawings: what stands in the three documents, and that nothing on a drawing is lost or covered.

mod fixture;
mod printed;

use crate::cpu_time::CpuTime;
use crate::demo;
use crate::support;
use fixture::{Desk, bare, desk, kitchen, kitchen_with, laid, private, shapes};
use rust_decimal::Decimal;
use std::sync::Arc;
use time::macros::date;
use wetout::documents::drawings::drawing::{Quad, reach, text_box};
use wetout::documents::drawings::roof_plan::Audience;
use wetout::documents::drawings::sections::Build;
use wetout::documents::drawings::{Space, corners, day_chart, deck_plan, mat_plan, roof_plan, sections, trim_plan};
use wetout::documents::views::{OrderView, QuoteView};
use wetout::documents::words::{TEMPLATES, Vocabulary, Words, escape};
use wetout::documents::{DocumentKind, Overrides, WholeJob, csv, make, method, order, quote, site_words, wording};
use wetout::model::job::{Answer, Party};
use wetout::model::{Finish, Flashing, Length, Problem};
use wetout::pages::block::{Block, Document, Span};
use wetout::pages::masthead;
use wetout::pages::scene::{Ink, Mark, Scene, Spot};
use wetout::pricing::{Money, OrderLine};
use wetout::takeoff::layout::Junction;

// ---- Reading a document -------------------------------------------------------------------------------------------

fn words() -> Words {
    Words::new(&Overrides::default()).unwrap()
}

fn quote_of(desk: &Desk) -> Document {
    quote::document(&QuoteView::of(&desk.worked()), &words()).unwrap()
}

fn method_of(desk: &Desk) -> Document {
    method::document(&desk.worked(), &words()).unwrap()
}

/// All that stands in the kitchen's method statement.
pub fn kitchen_sheet() -> String {
    text_of(&method_of(&kitchen()))
}

fn order_of(desk: &Desk) -> (Document, String) {
    let worked = desk.worked();
    let order = &OrderView::all(&worked)[0];
    (order::document(order, &words()).unwrap(), String::from_utf8(csv::of_order(order)).unwrap())
}

/// Everything that can be read in a document, drawings, captions and head included.
pub fn text_of(document: &Document) -> String {
    let mut out = format!("{}\n{}\n{}\n", document.title, document.reference, document.footer);
    document.blocks.iter().for_each(|b| read_block(b, &mut out));
    out
}

fn read_spans(spans: &[Span], out: &mut String) {
    spans.iter().for_each(|s| out.push_str(&s.text));
    out.push('\n');
}

fn read_block(block: &Block, out: &mut String) {
    let all = |blocks: &[Block], out: &mut String| blocks.iter().for_each(|b| read_block(b, out));
    match block {
        Block::Heading { text, .. } | Block::Paragraph(text) => read_spans(text, out),
        Block::List { items, .. } | Block::ListFrom { items, .. } => items.iter().for_each(|i| all(i, out)),
        Block::Table(t) => {
            t.columns.iter().for_each(|c| out.push_str(&format!("{}\n", c.heading)));
            t.rows.iter().flat_map(|r| &r.cells).for_each(|c| read_spans(c, out));
        }
        Block::Figure(f) => {
            out.push_str(&format!("{}\n{}\n", f.caption, f.alt));
            texts(&f.scene).for_each(|t| out.push_str(&format!("{t}\n")));
        }
        Block::Photo { caption, alt, .. } => out.push_str(&format!("{caption}\n{alt}\n")),
        Block::Callout { title, blocks, .. } => {
            out.push_str(&format!("{title}\n"));
            all(blocks, out);
        }
        Block::Columns(columns) | Block::Beside(columns) | Block::Balanced(columns) => {
            columns.iter().for_each(|c| all(c, out))
        }
        Block::Facts(facts) => facts.iter().for_each(|(label, value)| {
            out.push_str(&format!("{label}: "));
            read_spans(value, out);
        }),
        Block::Headline { label, figure, note } => out.push_str(&format!("{label}\n{figure}\n{note}\n")),
        Block::Fields(fields) => fields.iter().for_each(|f| out.push_str(&format!("{}\n", f.label))),
        Block::Days(boxes) => {
            let rows = boxes.rows.iter().map(|row| &row.words);
            boxes.days.iter().chain(rows).for_each(|words| out.push_str(&format!("{words}\n")));
        }
        Block::Ticks(ticks) | Block::Choices(ticks) => ticks.iter().for_each(|t| read_spans(t, out)),
        Block::Keep(blocks)
        | Block::Sheet(blocks)
        | Block::Leaf(blocks)
        | Block::Card(blocks)
        | Block::Small(blocks) => all(blocks, out),
        Block::BoxTable(table) => {
            let headings = std::iter::once(&table.of).chain(table.columns.iter().map(|(heading, _)| heading));
            headings.chain(table.rows.iter().map(|(of, _)| of)).for_each(|words| out.push_str(&format!("{words}\n")));
        }
        Block::PageBreak | Block::Room(_) | Block::Named(_) | Block::Boxes(_) => {}
    }
}

fn texts(scene: &Scene) -> impl Iterator<Item = &str> {
    scene.marks.iter().filter_map(|m| match m {
        Mark::Text { text, .. } => Some(text.as_str()),
        _ => None,
    })
}

// ---- Words --------------------------------------------------------------------------------------------------------

#[test]
fn every_template_is_filled_for_a_full_job_and_for_a_bare_one() {
    for (name, desk) in [("full", kitchen()), ("bare", bare())] {
        for text in [text_of(&quote_of(&desk)), text_of(&method_of(&desk)), text_of(&order_of(&desk).0)] {
            assert!(text.len() > 500, "{name}: {text}");
            assert!(!text.contains("{{") && !text.contains("{%"), "{name}: a template's sign was left in the text");
            assert!(!text.contains("  ·") && !text.contains(" ."), "{name}: a hole where a value was missing:\n{text}");
        }
    }
}

fn own(templates: Vec<(String, String)>) -> Overrides {
    Overrides { templates, ..Overrides::default() }
}

#[test]
fn a_name_that_does_not_exist_is_refused_even_inside_an_if() {
    let order = |text: &str| own(vec![("order.md".into(), text.into())]);
    let desk = kitchen();
    for text in
        ["{% if custommer_name %}x{% endif %}", "{{ custommer_name }}", "{% if not custommer_name %}x{% endif %}"]
    {
        let problems = make(DocumentKind::Order, &desk.worked(), &order(text)).unwrap_err();
        let said = Problem { place: Default::default(), ..problems[0].clone() }.to_string();
        assert_eq!(
            said,
            "your template `order.md` asks for `custommer_name`, which there is not; did you mean `customer_name`?"
        );
    }
}

#[test]
fn every_unknown_name_and_every_unknown_template_is_told_at_once() {
    let two = own(vec![("order.md".into(), "{{ one_thing }}{{ another_thing }}".into())]);
    assert_eq!(make(DocumentKind::Order, &kitchen().worked(), &two).unwrap_err().len(), 2);
    let strange = own(vec![("offer.md".into(), String::new()), ("bill.md".into(), String::new())]);
    let problems = Words::new(&strange).err().unwrap();
    assert_eq!(problems.len(), 2);
    assert!(problems[0].fault.contains("`offer.md`"), "{}", problems[0]);
    assert!(problems[0].cure.contains("`quote.md`"), "{}", problems[0]);
}

#[test]
fn a_template_that_cannot_be_read_is_told_by_its_name() {
    let broken = own(vec![("quote.md".into(), "{% if %}".into())]);
    let problems = Words::new(&broken).err().unwrap();
    assert!(problems[0].fault.starts_with("your template `quote.md` cannot be used"), "{}", problems[0]);
}

#[test]
fn the_firms_own_words_stand_in_for_the_built_in_ones() {
    let only = own(vec![("order.md".into(), "# Only {{ order_number }}".into())]);
    let desk = kitchen();
    let worked = desk.worked();
    let words = Words::new(&only).unwrap();
    let document = order::document(&OrderView::all(&worked)[0], &words).unwrap();
    assert_eq!(document.blocks.len(), 1);
    assert!(text_of(&document).contains("Only 26-041-1"));
}

#[test]
fn templates_do_no_sums() {
    for (name, text) in TEMPLATES {
        for tag in text.split("{{").skip(1).filter_map(|t| t.split("}}").next()) {
            assert!(!tag.contains(['+', '*', '/', '|']), "{name} computes or filters: {tag}");
        }
    }
}

/// Signs that Markdown, HTML, a template or a table could take for something else.
const HOSTILE: &str = r#"1. *A* _B_ `C` [x](y) <b>d</b> # E | F ~~g~~ &amp; \h {{ i }} {% j %} ![k](l) --- === ***"#;

#[test]
fn what_a_user_typed_comes_out_as_it_was_typed() {
    let mut desk = kitchen();
    desk.job.customer = Party { name: HOSTILE.into(), address: vec![HOSTILE.into()], ..Party::default() };
    desk.job.site.address = vec![HOSTILE.into()];
    desk.job.site.access = Some(HOSTILE.into());
    desk.job.delivery.note = Some(HOSTILE.into());
    desk.job.title = HOSTILE.into();
    desk.job.notes = vec![HOSTILE.into()];
    desk.job.exclusions = vec![HOSTILE.into()];
    desk.firm.terms = vec![HOSTILE.into()];
    desk.firm.guarantee = HOSTILE.into();
    desk.job.roofs[0].topcoat.colour = HOSTILE.into();
    let quote = text_of(&quote_of(&desk));
    let expected = 1 + 8;
    assert!(quote.matches(HOSTILE).count() >= expected, "{} times only:\n{quote}", quote.matches(HOSTILE).count());
    for needed in ["Dear ", "Painting", "Topcoat: "] {
        let there = quote.lines().any(|l| l.starts_with(needed) && l.contains(HOSTILE))
            || quote.contains(&format!("{needed}{HOSTILE}"));
        assert!(there || needed == "Painting", "{needed}");
    }
    assert!(text_of(&order_of(&desk).0).matches(HOSTILE).count() >= 3);
    assert!(text_of(&method_of(&desk)).matches(HOSTILE).count() >= 3);
}

#[test]
fn a_text_of_several_lines_or_with_a_leading_sign_starts_no_list_heading_or_page() {
    for typed in
        ["- one", "1) two", "# three", "> four", "    five", "---", "===", "six\n\n- seven", "```box facts\n```"]
    {
        let mut desk = kitchen();
        desk.job.notes = vec![typed.into()];
        let plain = kitchen();
        let count = |d: &Desk| quote_of(d).blocks.len();
        assert_eq!(count(&desk), count(&plain), "{typed:?} made blocks of its own");
        let flat = typed.split_whitespace().collect::<Vec<_>>().join(" ");
        let said = format!("For your job: {flat}");
        assert!(text_of(&quote_of(&desk)).lines().any(|l| l.ends_with(&said)), "{typed:?}");
    }
}

#[test]
fn escaping_leaves_letters_alone_and_puts_a_stroke_before_every_sign() {
    assert_eq!(escape("Siân Ó Dálaigh"), "Siân Ó Dálaigh");
    assert_eq!(escape("  a*b\n c "), r"a\*b c");
    let mut v = Vocabulary::default();
    v.text("b", "x").yes("a", true);
    assert_eq!(v.names().collect::<Vec<_>>(), ["a", "b"]);
}

// ---- What must not, and what must, stand there --------------------------------------------------------------------

#[test]
fn no_figure_of_the_firms_own_stands_in_the_quote_or_in_the_order() {
    let desk = kitchen();
    let (order, csv) = order_of(&desk);
    let private = private(&desk);
    for (what, text) in [("quote", text_of(&quote_of(&desk))), ("order", text_of(&order)), ("CSV", csv)] {
        for figure in &private {
            assert!(!text.contains(figure), "{what} tells {figure}");
        }
        for word in ["margin", "markup", "overhead", "person-hour"] {
            assert!(!text.to_lowercase().contains(word), "{what} speaks of {word}");
        }
    }
    let (order, csv) = order_of(&desk);
    assert!(!text_of(&order).contains('£') && !csv.contains('£'), "an order carries no price");
    assert!(!text_of(&method_of(&desk)).contains('£'), "the site's sheet carries no price");
}

#[test]
fn the_quote_tells_the_price_with_vat_and_all_payments() {
    let desk = kitchen();
    let (p, money) = (&desk.pricing, wording::money);
    let text = text_of(&quote_of(&desk));
    for needed in [
        format!("Total price, VAT included\n{}", money(p.total)).as_str(),
        &format!("VAT at 20% on {}\n{}", money(p.net), money(p.vat[0].vat)),
        &format!("Deposit, when you accept\n{}", money(p.stages[0].amount)),
        &format!("All payments\n{}", money(p.total)),
        "Pay Brackenhall Flat Roofs, reference 26-041",
        "By bank transfer, to the account on our invoice.",
        "Price stands until: 25 December 2026",
        "About 5 working days",
        "Joist, 47 × 150 mm, doubled up\n£29.40 per metre",
    ] {
        assert!(text.contains(needed), "missing: {needed}\n{text}");
    }
    let bare = text_of(&quote_of(&bare()));
    assert!(bare.contains("We are not registered for VAT"), "{bare}");
    assert!(bare.contains("You pay the whole price at once: Deposit, when you accept."), "the only payment is told");
    assert!(!bare.contains("at the rates given") && bare.contains("you agree to in writing first"), "no rates for rot");
    assert!(!bare.contains("VAT included"), "{bare}");
}

#[test]
fn the_quote_says_what_is_left_out_and_what_nobody_answered() {
    let text = text_of(&quote_of(&kitchen()));
    let (_, after) = text.split_once("What is not included").unwrap();
    let (out, _) = after.split_once("What we need from you").unwrap();
    for needed in ["Electrical work", "Painting of the fascia", "Permits and licences", "They are not in the price"] {
        assert!(out.contains(needed), "missing: {needed}\n{out}");
    }
    let (_, open) = out.split_once("They are not in the price").unwrap();
    assert!(open.contains("parking") && open.contains("cutting of render"), "{open}");
    assert!(!text.contains("minimum charge"), "the firm's minimum charge is its own business");
    let others = kitchen_with(&[("flashing: us", "flashing: others")]);
    assert!(text_of(&quote_of(&others)).contains("The cover flashing at the wall: others fit it"));
}

/// Consumer Contracts Regulations 2013 (SI 2013/3134), Schedule 2, paraphrased from memory: each item, and the words in
/// which the quote tells it. What stands in braces is the job's own.
const SCHEDULE_2: [(&str, &str); 25] = [
    ("what is supplied", "What we supply: the work described in this quotation, materials and labour"),
    ("who the trader is", "Who we are: {firm}"),
    ("address, phone and e-mail", "Where we are: {address}. Phone {phone}. E-mail {email}"),
    (
        "where complaints go, and how they are dealt with",
        "Complaints go to the same address, by phone or in writing. We answer within 5",
    ),
    ("total price with taxes", "Total price: {total}, VAT included"),
    ("how what is not known yet is charged", "Rot is charged only as agreed, at the rates given"),
    ("delivery and other charges", "Delivery and other charges: none beyond this price"),
    ("payment", "Payment: as in the section on the price. The first payment is {deposit}"),
    ("when it is done", "When: {when}"),
    ("how long the contract lasts", "How long the contract lasts: until the work is done and paid for"),
    ("deposits and securities", "no other deposit and no other security"),
    ("quality of work and goods", "Your rights as to quality: we must do the work with reasonable care and skill"),
    ("guarantee and help afterwards", "Guarantee and help afterwards: {years} years, from {firm}"),
    ("redress out of court", "Settling a dispute without a court"),
    ("where the right to cancel is told", "Your right to cancel: how long you have"),
    ("right to cancel, its limit", "You may cancel this contract within 14 days, without giving a reason"),
    ("from when the time is counted", "on which the last of them reaches you"),
    ("the law is not settled", "If it matters to you, take advice"),
    ("how to cancel", "How. Tell us in a clear statement: by letter to {firm}, {address}"),
    ("the form", "under your reference {reference}"),
    ("when money comes back", "without undue delay, and within 14 days of your telling us"),
    ("cost of return", "Those not yet built in we fetch at our own cost"),
    ("what an early start costs", "in proportion to the whole of the contract"),
    ("when the right ends", "Once all of the work is done at your request, the right to cancel it ends"),
    ("when there is no right", "When there is no such right"),
];

/// The items of the list that a text does not tell, in the words that were looked for.
fn untold(text: &str, worked: &WholeJob<'_>) -> Vec<String> {
    let party = &worked.firm.party;
    let start = worked.first_day().map(|day| format!("from {}", wording::day_and_date(day)));
    // Where the laminate stays, the guarantee is of what was done alone, and has years of its own.
    let old = worked.job.roofs.is_empty();
    let years = if old { worked.firm.repair_years } else { worked.firm.guarantee_years };
    let own = [
        ("{firm}", party.name.clone()),
        ("{address}", party.address.join(", ")),
        ("{phone}", party.phone.clone().unwrap()),
        ("{email}", party.email.clone().unwrap()),
        ("{total}", wording::money(worked.pricing.total)),
        ("{deposit}", wording::money(worked.pricing.stages[0].amount)),
        ("{when}", start.unwrap_or_else(|| "on a date that we agree with you".into())),
        ("{years}", years.to_string()),
        ("{reference}", worked.job.reference.clone()),
    ];
    let filled = |words: &str| own.iter().fold(words.to_owned(), |words, (name, own)| words.replace(name, own));
    SCHEDULE_2.iter().map(|(_, words)| filled(words)).filter(|words| !text.contains(words)).collect()
}

/// A lean-to, worked, as its quote reads.
fn quote_text(text: &str) -> String {
    let demo = demo::work(&crate::support::asked(text));
    text_of(&quote::document(&QuoteView::of(&demo.worked()), &words()).unwrap())
}

#[test]
fn the_quote_goes_to_the_customers_own_address_and_names_the_site_beside_it() {
    let site = "site: {address: [9 Otherwhere Lane, Othertown, ZZ9 3ZZ]}\n";
    let text =
        crate::support::lean_to("", "", site).replace("Anytown]}", "Anytown], email: a.householder@home.example}");
    let quote = quote_text(&text);
    for words in ["1 Example Street, Anytown", "9 Otherwhere Lane, Othertown, ZZ9 3ZZ", "a.householder@home.example"] {
        assert!(quote.contains(words), "{words}: {quote}");
    }
}

#[test]
fn the_reason_of_a_claimed_rate_of_vat_stands_beside_it() {
    for (rate, reason, words) in [
        ("0 %", "new dwelling", "Why VAT is at 0%: A dwelling that is being built."),
        ("5 %", "empty two years", "Why VAT is at 5%: A dwelling that nobody has lived in for two years or more."),
        ("5 %", "conversion", "Why VAT is at 5%: Work that changes the number of dwellings."),
    ] {
        let claim = format!("quote: {{vat: {{rate: {rate}, reason: {reason}}}}}\n");
        let quote = quote_text(&crate::support::lean_to("", "", &claim));
        assert!(quote.contains(words), "{words}: {quote}");
    }
    assert!(!quote_text(&crate::support::lean_to("", "", "")).contains("Why VAT"));
}

#[test]
fn an_option_tells_what_is_said_and_left_out_otherwise_with_it() {
    let options = "quote: {notes: [Gate key from No 3.], exclusions: [Painting]}\noptions:\n  \
                   - {name: Painted, without: {exclusions: [Painting], notes: [Gate key from No 3.]}}\n  \
                   - {name: Bare, change: {quote: {notes: [Dust below], exclusions: [Skirting, Coving]}}}\n";
    let quote = quote_text(&crate::support::lean_to("", "", options));
    for words in [
        "Painted. No longer left out: Painting. No longer holds: Gate key from No 3.",
        "Bare. Left out then: Skirting; Coving. Then also holds: Dust below.",
    ] {
        assert!(quote.contains(words), "{words}: {quote}");
    }
}

/// Consumer Contracts Regulations 2013, Schedule 3. Part A after its notes for goods and for services (from memory, beside
/// a sister text of the same directive that was read); part B as a trader's page gives it (read), in its order.
const INSTRUCTIONS: [&str; 14] = [
    "within 14 days, without giving a reason",
    "14 days after the day on which you accept",
    "reaches you, or someone whom you name to take them in",
    "in a clear statement",
    "You may use the form below, but need not",
    "It is enough to send it before the time is over",
    "All that you have paid, the usual cost of delivery included",
    "without undue delay",
    "and within 14 days of your telling us",
    "in the way you paid, unless you agree to another, and take no fee",
    "The extra cost of a dearer delivery",
    "fetch at our own cost: have them ready within 14 days",
    "what they have lost in value",
    "in proportion to the whole of the contract",
];
const FORM: [&str; 8] = [
    "To Brackenhall Flat Roofs",
    "I/we give notice that I/we cancel my/our contract",
    "Work: ordered on",
    "Goods: received on",
    "Name",
    "Address",
    "Signature (only if sent on paper)",
    "Date",
];

#[test]
fn the_cancellation_page_holds_every_element_and_the_form_is_in_its_order() {
    let text = text_of(&quote_of(&kitchen()));
    let page = text.split_once("You may cancel this contract").unwrap().1;
    let (instructions, form) = page.split_once("Cancellation form").unwrap();
    for element in INSTRUCTIONS {
        assert!(instructions.contains(element), "missing: {element}");
    }
    let mut rest = form;
    for element in FORM {
        let at = rest.find(element).unwrap_or_else(|| panic!("“{element}” is missing or out of order in\n{form}"));
        rest = &rest[at + element.len()..];
    }
}

/// What a quote says of an edge, a board, a finish and a name, by what they are.
#[test]
fn a_quote_says_what_this_roof_has_and_has_not() {
    let usual = text_of(&quote_of(&kitchen()));
    let other = kitchen_with(&[
        ("front: {finish: drip, gutter: half-round 112 mm}", "front: {finish: drip}"),
        ("board: osb3-18}", "board: osb3-18-square}"),
    ]);
    let other = text_of(&quote_of(&other));
    for (has, has_not) in [
        ("into the gutter (", "drips clear of what is below: there is no gutter"),
        ("Their long edges lock together.", "Their long edges lie on timbers that we set between the joists."),
    ] {
        assert!(usual.contains(has) && !usual.contains(has_not), "{has}");
        assert!(other.contains(has_not) && !other.contains(has), "{has_not}");
    }
    assert!(other.contains("A gutter where none hangs now"));
    // A porch of one board has no joints and no edges that lock.
    let tiny = crate::demo::work(&crate::support::asked(include_str!("big_jobs/tiny-beside-large.yaml")));
    let tiny = crate::falls::words(&tiny, wetout::documents::DocumentKind::Quote);
    assert_eq!(tiny.matches("We lay a new 18 mm board across the joists.").count(), 1, "{tiny}");
    assert!(
        usual.contains("Dear Mrs Ackroyd-Pell,") && usual.contains("Permits and licences for the road or the skip")
    );
    let printed = words();
    for (name, words) in [
        ("balcony", "Where grains are strewn in it grips: walk there in soft shoes"),
        ("parapet", "The roof carried up the walls under a new flashing, and over the low wall"),
        ("parapet", "A box gutter lined in one piece with the roof, with an overflow"),
        ("parapet", "A flashing covers it there too."),
        ("parapet", "New coping stones for those that are broken"),
        ("neighbours", "Thank you for showing us your roofs."),
        ("garage-utility", "What, before VAT"),
        ("bay", "permits and licences for the road;"),
        ("neighbours", "give you 2 new glass-fibre roofs, "),
        ("neighbours", "Sealed round what comes through it (No. 14), on a new kerb"),
    ] {
        let job = demo::work(&demo::request(name));
        let text = text_of(&quote::document(&QuoteView::of(&job.worked()), &printed).unwrap());
        assert!(text.contains(words), "{name}: {words}");
    }
}

/// When the materials of the kitchen come.
const COMES: &str = "delivery: {earliest: 2027-01-28, latest: 2027-01-29";

/// Regulation 36: work begins within the period only on the consumer's express request. Prepared on 25 November 2026,
/// open for 30 days, the period ends at the latest on 8 January 2027.
#[test]
fn a_start_within_the_time_for_cancelling_needs_the_express_request() {
    for (start, within) in [("2027-01-08", true), ("2027-01-11", false), ("2026-12-01", true)] {
        let come = (COMES, "delivery: {earliest: 2026-12-21, latest: 2026-12-22");
        let desk = kitchen_with(&[come, ("start: 2027-02-01", &format!("start: {start}"))]);
        let text = text_of(&quote_of(&desk));
        assert_eq!(text.contains("if you tick that on the page “Acceptance”, else"), within, "{start}");
        assert_eq!(text.contains("without it we start when that time is over"), within, "{start}");
    }
}

/// For the materials the period runs from the day on which the last of them comes: the later of the two is counted to.
#[test]
fn a_start_soon_after_the_materials_come_needs_the_express_request_too() {
    for (latest, over) in [("2027-01-15", None), ("2027-01-29", Some("after 12 February 2027"))] {
        let desk = kitchen_with(&[(COMES, &format!("delivery: {{earliest: 2027-01-13, latest: {latest}"))]);
        let text = text_of(&quote_of(&desk));
        assert_eq!(text.contains("if you tick that on the page “Acceptance”, else"), over.is_some(), "{latest}");
        assert!(over.is_none_or(|over| text.contains(over)), "{latest}");
    }
}

#[test]
fn every_item_of_the_statutory_list_stands_in_the_quote_of_every_demo_job() {
    let desk = kitchen();
    assert_eq!(untold(&text_of(&quote_of(&desk)), &desk.worked()), [""; 0]);
    for name in demo::names() {
        let job = demo::work(&demo::request(&name));
        let text = text_of(&quote::document(&QuoteView::of(&job.worked()), &words()).unwrap());
        assert_eq!(untold(&text, &job.worked()), [""; 0], "{name}");
    }
}

/// So that none is held to be told because its words stand somewhere else too.
#[test]
fn each_item_of_the_statutory_list_is_missed_when_its_line_is_left_out() {
    let desk = kitchen();
    let text = text_of(&quote_of(&desk));
    let mut missed: Vec<String> = Vec::new();
    for left_out in text.lines() {
        let rest: Vec<&str> = text.lines().filter(|line| *line != left_out).collect();
        missed.extend(untold(&rest.join("\n"), &desk.worked()));
    }
    missed.sort();
    missed.dedup();
    assert_eq!(missed.len(), SCHEDULE_2.len(), "{missed:#?}");
}

/// What is expected of a construction phase plan for a small domestic job (Construction (Design and Management)
/// Regulations 2015, regulation 12 and HSE's guidance for small jobs; from memory).
const PHASE_PLAN: [(&str, &str); 32] = [
    ("what and where", "14 Larkspur Close"),
    ("when", "Monday 1 February 2027"),
    ("client and contractor", "Client: Mrs J. Ackroyd-Pell"),
    ("who is in charge", "In charge: Dale Ormsby"),
    ("order of work", "Order of work"),
    ("welfare", "Toilet, washing, drinking water"),
    ("emergency", "999 or 112"),
    ("hospital", "Wexbury General"),
    ("falls", "Falls from the edge"),
    ("services", "find the service cable"),
    ("site rules", "no smoking"),
    ("people told", "I know this sheet"),
    ("how long", "for about 5 days"),
    ("who watches the weather", "watches the weather"),
    ("notice to the regulator", "Notice to HSE"),
    ("edge protection", "How the edges are guarded"),
    ("ladders", "Ladders"),
    ("fragile surfaces", "Rooflights and openings"),
    ("lifting and storing", "Lifting boards, drums and rolls"),
    ("harmful substances", "Resin and topcoat: styrene vapour"),
    ("dust", "Dust from cutting and sanding"),
    ("fire", "Fire: resin, acetone, rags, hot pots"),
    ("protective equipment", "Wear"),
    ("first aid", "First-aid box"),
    ("reporting", "every injury, near miss and spill"),
    ("waste", "where it goes"),
    ("household and neighbours", "Neighbours, children, passers-by, pets"),
    ("working together", "Two firms at once"),
    ("cables", "Overhead and hidden cables, pipes"),
    ("weather", "Wind, rain, thunder"),
    ("dust of the wall", "Dust from chasing mortar and brick"),
    ("what the householder keeps", "Hand what a later roofer needs to the customer"),
];

#[test]
fn the_method_statement_covers_what_a_construction_phase_plan_needs() {
    let text = text_of(&method_of(&kitchen()));
    for (item, words) in PHASE_PLAN {
        assert!(text.contains(words), "{item}: “{words}” is missing");
    }
}

#[test]
fn the_operations_stand_in_the_order_of_the_work_each_with_a_hold_point() {
    let document = method_of(&kitchen());
    let blocks = in_sheets(&document.blocks);
    let headings: Vec<String> = blocks
        .iter()
        .filter_map(|b| match b {
            Block::Heading { level: 2, text } => Some(text.iter().map(|s| s.text.as_str()).collect()),
            _ => None,
        })
        .collect();
    let at = |name: &str| {
        headings.iter().position(|h| h.starts_with(name)).unwrap_or_else(|| panic!("no {name}: {headings:?}"))
    };
    let order =
        ["Strip", "Prepare", "Deck", "Trims", "Bandage", "Laminate", "Topcoat", "Finish", "Mix card", "Emergency"];
    assert!(order.windows(2).all(|w| at(w[0]) < at(w[1])), "{headings:?}");
    let holds = blocks.iter().filter(|b| matches!(b, Block::Callout { title, .. } if title == "Before you start"));
    assert_eq!(holds.count(), 8);
}

/// The blocks of a document, those of its sheets among them.
fn in_sheets(blocks: &[Block]) -> Vec<&Block> {
    let mut all = Vec::new();
    for block in blocks {
        match block {
            Block::Sheet(inner) | Block::Leaf(inner) | Block::Card(inner) | Block::Small(inner) => {
                all.extend(in_sheets(inner))
            }
            other => all.push(other),
        }
    }
    all
}

#[test]
fn the_trims_are_told_in_their_fixing_order() {
    let text = text_of(&method_of(&kitchen()));
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("missing: {words}"));
    assert!(at("Drip along the low edge") < at("Wall fillet along the wall"));
    assert!(at("Wall fillet along the wall") < at("Raised edges, from the low end up"));
    for rule in
        ["150 mm sample of each trim", "One nail in the middle", "120 mm to 150 mm", "Laps 50 mm", "never nailed"]
    {
        at(rule);
    }
}

/// The Flesch–Kincaid grade (Kincaid, Fishburne, Rogers and Chissom, Research Branch Report 8-75, Naval Technical Training
/// Command, 1975; from memory): 0.39 × words a sentence + 11.8 × syllables a word − 15.59. A sentence is what ends in a
/// full stop, question mark, exclamation mark, colon or semicolon, as Flesch counted (*How to Write Plain English*, from
/// memory); a point within a figure or an address ends none.
fn reading_grade(text: &str) -> f64 {
    let ends = |word: &&str| word.trim_end_matches(['”', ')']).ends_with(['.', '?', '!', ':', ';']);
    let sentences = text.split_whitespace().filter(ends).count().max(1) as f64;
    let words: Vec<String> = text
        .split_whitespace()
        .map(|w| w.chars().filter(|c| c.is_alphabetic()).collect::<String>().to_lowercase())
        .filter(|w| !w.is_empty())
        .collect();
    let syllables: usize = words.iter().map(|w| syllables(w)).sum();
    let count = words.len() as f64;
    0.39 * count / sentences + 11.8 * syllables as f64 / count - 15.59
}

/// Groups of vowels, a silent final e left out.
fn syllables(word: &str) -> usize {
    let vowel = |c: char| "aeiouy".contains(c);
    let stem =
        if word.len() > 3 && word.ends_with('e') && !word.ends_with("le") { &word[..word.len() - 1] } else { word };
    let groups = stem.chars().fold((0, false), |(n, before), c| (n + usize::from(vowel(c) && !before), vowel(c)));
    groups.0.max(1)
}

/// The sentences of blocks: paragraphs, lists, callouts and boxes to tick; an item of a list is a sentence of its own.
fn prose(blocks: &[Block]) -> String {
    let ended = |spans: &[Span]| {
        let text: String = spans.iter().map(|s| s.text.as_str()).collect();
        let stop = if text.ends_with(['.', '?', '!', ':', ';']) { "" } else { "." };
        format!("{text}{stop}\n")
    };
    let of = |block: &Block| match block {
        Block::Paragraph(spans) => ended(spans),
        Block::List { items, .. } => items.iter().map(|item| prose(item)).collect(),
        Block::Callout { blocks, .. } | Block::Keep(blocks) => prose(blocks),
        Block::Columns(columns) | Block::Beside(columns) | Block::Balanced(columns) => {
            columns.iter().map(|column| prose(column)).collect()
        }
        Block::Ticks(ticks) | Block::Choices(ticks) => ticks.iter().map(|tick| ended(tick)).collect(),
        _ => String::new(),
    };
    blocks.iter().map(of).collect()
}

#[test]
fn the_prose_of_every_demo_jobs_quote_is_read_at_the_eighth_grade_or_below() {
    for name in demo::names() {
        let job = demo::work(&demo::request(&name));
        let prose = prose(&quote::document(&QuoteView::of(&job.worked()), &words()).unwrap().blocks);
        assert!(prose.contains("This is a quotation") && prose.contains("Neighbours told") && prose.len() > 5000);
        let grade = reading_grade(&prose);
        assert!(grade <= 8.0, "{name}: grade {grade:.1}");
    }
}

/// A sentence whose grade was worked by hand: 6 words in one sentence, 7 syllables.
#[test]
fn the_reading_grade_is_that_of_the_formula() {
    assert!((reading_grade("The cat sat on the water.") - (0.39 * 6.0 + 11.8 * 7.0 / 6.0 - 15.59)).abs() < 1e-9);
    assert!(reading_grade("Notwithstanding contractual liabilities necessitating remuneration") > 12.0);
}

// ---- Order --------------------------------------------------------------------------------------------------------

#[test]
fn an_order_is_held_until_the_asbestos_question_is_settled() {
    let mut desk = kitchen();
    desk.job.asbestos = Answer::NotKnown;
    let (document, csv) = order_of(&desk);
    let text = text_of(&document);
    assert!(text.contains("not to be sent until the survey result is entered"), "{text}");
    assert_eq!(csv.matches("held, do not deliver").count(), desk.pricing.orders[0].lines.len());
    desk.job.asbestos = Answer::Yes;
    assert!(text_of(&order_of(&desk).0).contains("Hold: not to be sent"));
    desk.job.asbestos = Answer::No;
    let (document, csv) = order_of(&desk);
    assert!(!text_of(&document).contains("Hold"));
    assert!(csv.contains("to order") && !csv.contains("held"));
}

#[test]
fn the_order_tells_the_merchant_all_without_a_phone_call() {
    let desk = kitchen();
    let lines = &desk.pricing.orders[0].lines;
    let (weighed, not): (Vec<&OrderLine>, Vec<&OrderLine>) = lines.iter().partition(|l| l.mass.is_some());
    let weight: Decimal = weighed.iter().filter_map(|l| l.mass).map(|m| m.as_kg()).sum();
    let load = format!("at least {} ({} lines without a weight)", wording::kilograms(weight), not.len());
    let text = text_of(&order_of(&desk).0);
    for needed in [
        "Materials order 26-041-1",
        "Account: BRK-0417",
        "When: Thursday 28 to Friday 29 January 2027",
        "Dale Ormsby, 07700 900112",
        "side gate 900 mm wide",
        "Low cable over the drive",
        load.as_str(),
        "longest item 4.80 m",
        "one batch number",
        "sheeted and dry",
        "confirm price and date",
        "organic peroxide",
        "No substitutes, no line left out",
        "flat and full length",
        "catalyst apart",
    ] {
        assert!(text.contains(needed), "missing: {needed}\n{text}");
    }
}

/// `12 of 3400 × 0–85` as count, length, low end and high end, mm.
fn firring(words: &str) -> [i64; 4] {
    let numbers =
        words.replace('\u{a0}', " ").replace(" level", "").replace(" of ", " ").replace(" × ", " ").replace('–', " ");
    let all: Vec<i64> = numbers.split(' ').map(|n| n.parse().unwrap()).collect();
    [all[0], all[1], all[2], *all.last().unwrap()]
}

#[test]
fn the_firrings_of_an_order_are_those_that_make_the_fall() {
    for name in demo::names() {
        let job = demo::work(&demo::request(&name));
        let worked = job.worked();
        let order = &OrderView::all(&worked)[0];
        let csv = String::from_utf8(csv::of_order(order)).unwrap();
        let text = text_of(&order::document(order, &words()).unwrap());
        let rows = parse_csv(csv.trim_start_matches('\u{feff}'));
        let at = |heading: &str| rows[0].iter().position(|h| h == heading).unwrap();
        let cut: Vec<&Vec<String>> = rows[1..].iter().filter(|row| !row[at("cut_to")].is_empty()).collect();
        let measured = job.take_off.lines.iter().filter(|line| line.id == "firring.length");
        let metres: Decimal = measured.map(|line| line.quantity).sum();
        assert_eq!(cut.len(), usize::from(!metres.is_zero()), "{name}");
        for row in cut {
            let kinds: Vec<[i64; 4]> = row[at("cut_to")].split("; ").map(firring).collect();
            let total: i64 = kinds.iter().map(|[count, length, ..]| count * length).sum();
            assert_eq!(Decimal::new(total, 3), metres, "{name}");
            assert!(
                row[at("quantity")].parse::<Decimal>().unwrap() >= metres,
                "{name}: sold by the metre, never short"
            );
            // A fall of 1:40 is 25 mm in a metre (arithmetic), rounded up to whole millimetres at both ends.
            let tapered = kinds.iter().filter(|[_, _, low, high]| low != high);
            for [_, length, low, high] in tapered {
                assert!(((high - low) * 40 - length).abs() <= 40, "{name}: {length} × {low} to {high}");
            }
            assert!(text.replace('\u{a0}', " ").contains(&row[at("cut_to")]), "{name}: {text}");
        }
    }
}

#[test]
fn an_order_asks_only_for_what_is_on_it_and_tells_no_merchant_what_is_left_over() {
    let mut desk = kitchen();
    desk.pricing.orders[0].lines.retain(|l| l.role.to_string().starts_with("fixings"));
    let text = text_of(&order_of(&desk).0);
    for absent in ["one batch number", "sheeted", "flat and full length", "catalyst apart", "Hazardous"] {
        assert!(!text.contains(absent), "nothing on the order is meant by “{absent}”\n{text}");
    }
    // What is left over when the job is done is the firm's own affair.
    let whole = text_of(&order_of(&kitchen()).0);
    assert!(!whole.contains("left over") && !whole.contains("stock to keep"), "{whole}");
}

#[test]
fn a_note_for_the_driver_ends_in_one_full_stop() {
    let mut desk = kitchen();
    desk.job.delivery.note = Some("Ring the bell twice. ".into());
    let text = text_of(&order_of(&desk).0);
    assert!(text.contains("Ring the bell twice. ") && !text.contains(".."), "{text}");
}

/// A reader of RFC 4180 that shares no code with the writer.
fn parse_csv(text: &str) -> Vec<Vec<String>> {
    let mut rows = vec![vec![String::new()]];
    let mut quoted = false;
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let row = rows.last_mut().unwrap();
        match c {
            '"' if quoted && chars.peek() == Some(&'"') => {
                chars.next();
                row.last_mut().unwrap().push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(String::new()),
            '\r' if !quoted && chars.peek() == Some(&'\n') => {
                chars.next();
                rows.push(vec![String::new()]);
            }
            c => row.last_mut().unwrap().push(c),
        }
    }
    rows.pop();
    rows
}

#[test]
fn the_csv_is_read_back_as_it_was_written_and_holds_no_formula() {
    let mut desk = kitchen();
    let line = OrderLine {
        code: "=1+2".into(),
        description: "Board, \"dry\",\nsheeted".into(),
        pack: "@each".into(),
        ..desk.pricing.orders[0].lines[0].clone()
    };
    desk.pricing.orders[0].lines = vec![line];
    let (_, csv) = order_of(&desk);
    let rows = parse_csv(csv.strip_prefix('\u{feff}').expect("the mark by which a spreadsheet knows UTF-8"));
    assert_eq!(rows[0][0], "order", "one mark, and nothing else before the first heading");
    assert_eq!(rows.len(), 2);
    assert_eq!(rows[0].len(), rows[1].len());
    let cell = |name: &str| rows[1][rows[0].iter().position(|h| h == name).unwrap()].as_str();
    assert_eq!(cell("code"), "'=1+2");
    assert_eq!(cell("description"), "Board, \"dry\",\nsheeted");
    assert_eq!(cell("pack"), "'@each");
    assert_eq!(cell("quantity"), desk.pricing.orders[0].lines[0].quantity.to_string());
    assert_eq!(cell("deliver_to"), "14 Larkspur Close, Wexbury, ZZ9 9ZZ");
}

/// Signs that make a spreadsheet take a text for a formula, as OWASP's page "CSV Injection" lists them (read 2026-11).
#[test]
fn no_text_of_a_user_is_a_formula_in_the_csv() {
    let mut desk = kitchen();
    for start in ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", " =", "\u{a0}@", "\t="] {
        let text = format!("{start}HYPERLINK(\"x\")");
        desk.job.reference = text.clone();
        desk.job.site.address = vec![text.clone()];
        let order = &mut desk.pricing.orders[0];
        order.merchant.account = Some(text.clone());
        order.lines.truncate(1);
        let line = &mut order.lines[0];
        (line.code, line.description, line.pack) = (text.clone(), text.clone(), text.clone());
        line.hazard = Some(text.clone());
        let (_, csv) = order_of(&desk);
        let rows = parse_csv(csv.trim_start_matches('\u{feff}'));
        let held = |name: &str| &rows[1][rows[0].iter().position(|h| h == name).unwrap()];
        for column in ["order", "account", "code", "description", "pack", "hazard", "deliver_to"] {
            let (held, shown) = (held(column), held(column).replace('\'', ""));
            assert!(held.starts_with('\'') && shown.starts_with(&text), "{column}: {held:?}");
            // Where a sheet parts cells at a tab, the second is a text too.
            assert!(!start.starts_with('\t') || start.len() == 1 || held.starts_with("'\t'"), "{column}: {held:?}");
        }
    }
}

#[test]
fn optional_lines_stand_apart_and_are_marked_in_the_csv() {
    // Drip and wall fillet of 2.8 m leave hardly anything of their lengths of 3 m.
    let desk = kitchen_with(&[("width: 5.2 m", "width: 2.8 m"), ("at: [1.8 m, 1.1 m]", "at: [0.9 m, 1.1 m]")]);
    let (document, csv) = order_of(&desk);
    let text = text_of(&document);
    let (_, apart) = text.split_once("Only if we say so").unwrap();
    assert!(apart.contains("Wall fillet trim") && apart.contains("Drip trim"));
    let rows = parse_csv(&csv);
    let optional = rows[0].iter().position(|h| h == "optional").unwrap();
    let offered = desk.pricing.orders[0].lines.iter().filter(|l| l.optional).count();
    assert!(offered >= 2);
    assert_eq!(rows.iter().filter(|r| r[optional] == "yes").count(), offered);
}

// ---- Safety -------------------------------------------------------------------------------------------------------

#[test]
fn limits_agree_with_the_molar_masses_and_tell_their_edition() {
    // mg/m³ = ppm × M ÷ 24.055 at 20 °C; molar masses 104.15 and 58.08 (textbook). EH40 rounds to three figures.
    for (what, ppm, molar, printed) in
        [("Styrene", 100.0_f64, 104.15_f64, 430.0_f64), ("Acetone", 500.0, 58.08, 1210.0)]
    {
        let row = wetout::safety::substances::LIMITS.iter().find(|l| l.what.starts_with(what)).unwrap();
        let mass = ppm * molar / 24.055_26;
        assert!((mass - printed).abs() / printed < 0.01, "{what}: {mass}");
        assert_eq!(wetout::facts::filled(row.eight_hours), format!("{ppm} ppm, {printed} mg/m³"));
    }
    assert!(text_of(&method_of(&kitchen())).contains("Check the current edition"));
}

// ---- Drawings -----------------------------------------------------------------------------------------------------

/// A comb of 198 edges and a hall with 96 rooflights, whose every label seeks its place among hundreds: both plans in no more than a few
/// times what it takes to lay the roof out.
#[test]
fn the_plans_of_a_roof_with_hundreds_of_labels_are_drawn_as_soon_as_it_is_laid_out() {
    for roof in [fixture::comb(49), fixture::hall_of(96)] {
        let begun = CpuTime::begin();
        let (laid, plans) = laid(&roof);
        let layout = begun.spent();
        let begun = CpuTime::begin();
        let trims = trim_plan::draw(&plans, &laid, &Default::default(), Space::PAGE).scene;
        let plan = roof_plan::draw(&laid, &roof, Audience::Site, Space::HALF_PAGE).scene;
        let drawn = begun.spent();
        assert!(trims.marks.len() > 800 && plan.marks.len() > 200, "{} {}", trims.marks.len(), plan.marks.len());
        assert!(drawn < 4 * layout, "{}: laid out in {layout:?}, drawn in {drawn:?}", roof.name);
    }
}

/// Every drawing of every shape, with its name.
fn drawings() -> Vec<(String, Arc<Scene>)> {
    let mut all = Vec::new();
    for (name, roof) in shapes() {
        let (laid, plans) = laid(&roof);
        let mut put = |what: &str, scene: Arc<Scene>| all.push((format!("{what} of {name}"), scene));
        put(
            "roof plan for the householder",
            roof_plan::draw(&laid, &roof, Audience::Householder, Space::HALF_PAGE).scene,
        );
        put("roof plan for the site", roof_plan::draw(&laid, &roof, Audience::Site, Space::HALF_PAGE).scene);
        put("trim plan", trim_plan::draw(&plans, &laid, &Default::default(), Space::PAGE).scene);
        put("deck plan", deck_plan::draw(&laid, Space::PAGE).unwrap().scene);
        mat_plan::draw(&laid, None, Space::PAGE).into_iter().for_each(|f| put("mat plan", f.scene));
        let words = support::built_in_words();
        let told = |j: &Junction| site_words::corner(&words, &laid.shape, j);
        corners::draw(&laid, told).unwrap().into_iter().for_each(|c| put("corner", c.figure.scene));
    }
    let desk = kitchen();
    let gutter = desk.job.roofs[0].outline.edges[0].gutter.as_ref();
    for finish in Finish::ALL {
        let build = Build { gutter, flashing: Flashing::Lead, ..Build::new(&desk.rules, Length::mm(18)) };
        all.push((format!("section {}", finish.word()), sections::draw(finish, build).scene));
    }
    all.push(("day chart".into(), day_chart::draw(&desk.programme, Space::HALF_PAGE).unwrap().scene));
    all
}

#[test]
fn a_day_chart_of_many_days_still_says_which_dates_they_are() {
    let desk = kitchen();
    for (many, first) in [(3, "Mon 18 Jan"), (10, "18 Jan"), (16, "18")] {
        let mut programme = desk.programme.clone();
        let day = programme.days[0].clone();
        programme.days = (0..many).map(|_| day.clone()).collect();
        let date = time::Date::from_calendar_date(2027, time::Month::January, 18).unwrap();
        programme.days.iter_mut().for_each(|d| d.date = Some(date));
        let scene = day_chart::draw(&programme, Space::HALF_PAGE).unwrap().scene;
        let said = |m: &&Mark| matches!(m, Mark::Text { text, .. } if text == first);
        assert_eq!(scene.marks.iter().filter(said).count(), many, "{many} days");
        assert!(scene.width <= Space::HALF_PAGE.width && scene.height <= Space::HALF_PAGE.height);
    }
}

/// Of thirty days no column holds a date: weeks have theirs, and no date stands over another.
#[test]
fn a_day_chart_too_narrow_for_dates_says_when_its_weeks_begin() {
    let job = crate::demo::work(&crate::support::asked(include_str!("big_jobs/twelve-roofs.yaml")));
    let (programme, days) = (&job.programme, job.programme.timetable());
    let scene = day_chart::draw_plain(&days, Space::HALF_PAGE).unwrap().scene;
    let weeks = programme.days.chunk_by(|a, b| {
        let week = |day: &wetout::programme::Day| day.date.unwrap().to_iso_week_date();
        (week(a).0, week(a).1) == (week(b).0, week(b).1)
    });
    let firsts: Vec<String> = weeks
        .map(|days| days[0].date.unwrap())
        .map(|date| format!("{} {}", date.day(), &date.month().to_string()[..3]))
        .collect();
    let said: Vec<(&str, f64)> = (scene.marks.iter())
        .filter_map(|m| match m {
            Mark::Text { text, at, .. } if firsts.contains(text) => Some((text.as_str(), at.x)),
            _ => None,
        })
        .collect();
    assert!(programme.days.len() > 20 && firsts.len() > 4, "{firsts:?}");
    assert_eq!(said.iter().map(|(text, _)| *text).collect::<Vec<_>>(), firsts);
    assert!(said.windows(2).all(|w| w[1].1 - w[0].1 > 30.0), "{said:?}");
}

#[test]
fn every_mark_lies_within_its_drawing_and_every_drawing_fits_its_page() {
    for (name, scene) in drawings() {
        // The crew's sheets have narrow margins.
        assert!(scene.width > 20.0 && scene.width <= masthead::WIDE_TEXT.width, "{name}: {} wide", scene.width);
        assert!(scene.height > 20.0 && scene.height <= Space::PAGE.height, "{name}: {} high", scene.height);
        for (s, by) in scene.marks.iter().flat_map(reach) {
            let inside = s.x - by >= -0.01
                && s.y - by >= -0.01
                && s.x + by <= scene.width + 0.01
                && s.y + by <= scene.height + 0.01;
            assert!(inside, "{name}: a mark at {s:?} lies outside {} × {}", scene.width, scene.height);
        }
    }
}

#[test]
fn no_two_texts_of_a_drawing_overlap() {
    // The rows of a hall are hardly higher than the figures in them: their boxes touch and the figures do not.
    for (name, scene) in drawings().into_iter().filter(|(n, _)| n != "deck plan of huge" && n != "mat plan of huge") {
        let boxes: Vec<(&Mark, Quad)> = scene.marks.iter().filter_map(|m| text_box(m).map(|q| (m, q))).collect();
        for (i, (a, qa)) in boxes.iter().enumerate() {
            for (b, qb) in &boxes[i + 1..] {
                assert!(!qa.overlaps(qb), "{name}: {a:?} overlaps {b:?}");
            }
        }
    }
}

/// The slanting strokes that end a dimension line are short; words keep clear of their ends, not only of their ink.
#[test]
fn no_stroke_of_a_dimension_line_stands_on_words() {
    const CLEAR: f64 = 2.2;
    let stroke = |mark: &Mark| match mark {
        Mark::Line { spots, pen } if spots.len() == 2 && pen.width == 0.8 => {
            let (a, b) = (spots[0], spots[1]);
            let long = (a.x - b.x).hypot(a.y - b.y);
            let clear = |from: Spot, end: Spot| Spot {
                x: end.x + (end.x - from.x) / long * CLEAR,
                y: end.y + (end.y - from.y) / long * CLEAR,
            };
            (long < 6.0).then(|| (clear(b, a), clear(a, b)))
        }
        _ => None,
    };
    let mut seen = 0;
    // In the court of a U a label stands between the lines of two edges that face each other.
    for (name, roof) in shapes().into_iter().filter(|(name, _)| *name != "u-shape") {
        let (laid, _) = laid(&roof);
        for space in [Space::HALF_PAGE, Space::THIRD_PAGE, Space::QUARTER_PAGE] {
            let scene = roof_plan::draw(&laid, &roof, Audience::Householder, space).scene;
            let words: Vec<(&Mark, Quad)> = scene.marks.iter().filter_map(|m| text_box(m).map(|q| (m, q))).collect();
            for (a, b) in scene.marks.iter().filter_map(stroke) {
                let on = words.iter().find(|(_, quad)| quad.meets_line(a, b));
                assert!(on.is_none(), "{name}: a stroke stands on {on:?}");
                seen += 1;
            }
        }
    }
    assert!(seen > 100, "{seen}");
}

/// Capitals of 1.8 mm are the least of ISO 3098-1 (from memory); 0.714 of the size in the bundled face (OS/2 sCapHeight).
#[test]
fn no_letter_of_a_drawing_is_too_small_to_read() {
    for (name, scene) in drawings() {
        for mark in &scene.marks {
            let Mark::Text { text, size, .. } = mark else { continue };
            assert!(size * 0.714 * 25.4 / 72.0 >= 1.8, "{name}: “{text}” is {size} pt");
        }
    }
}

#[test]
fn a_corner_stands_in_a_third_of_a_page_without_being_made_smaller() {
    for (name, scene) in drawings().into_iter().filter(|(n, _)| n.starts_with("corner")) {
        assert!(scene.width <= 145.0, "{name}: {} pt wide", scene.width);
    }
}

/// A fillet that runs on under a door sill is one piece over three stretches of wall: it is drawn as long as the drip trim
/// across the roof, which is cut to the same length.
#[test]
fn a_trim_over_several_stretches_is_drawn_as_long_as_it_is() {
    let everything = crate::works::everything();
    let laid = everything.take_off.roofs.iter().find(|r| r.shape.name == "Cold roof").unwrap();
    let scene = trim_plan::draw(&everything.take_off.profiles, laid, &Default::default(), Space::PAGE).scene;
    let longest = |ink: Ink| {
        let wide = |mark: &Mark| match mark {
            Mark::Area { rings, fill, .. } if *fill == Some(ink) => {
                let xs = || rings[0].iter().map(|at| at.x);
                xs().fold(f64::MIN, f64::max) - xs().fold(f64::MAX, f64::min)
            }
            _ => 0.0,
        };
        scene.marks.iter().map(wide).fold(0.0, f64::max)
    };
    let (drip, wall) = (longest(Ink::Black), longest(Ink::Grey(0.45)));
    assert!(drip > 50.0 && (drip - wall).abs() < 3.0, "drip {drip} pt, wall {wall} pt");
}

/// The text that explains a sign, and whether the sign is there.
#[test]
fn a_key_explains_what_is_drawn_and_nothing_else() {
    for (name, roof) in shapes() {
        let (laid, plans) = laid(&roof);
        let runs: Vec<_> = plans.iter().flat_map(|p| p.runs.iter().map(|r| (p.finish, r))).collect();
        let deck = laid.deck.as_ref().unwrap();
        let trims = trim_plan::draw(&plans, &laid, &Default::default(), Space::PAGE).scene;
        let boards = deck_plan::draw(&laid, Space::PAGE).unwrap().scene;
        let mat = mat_plan::draw(&laid, None, Space::PAGE).remove(0).scene;
        let both = deck.pieces.iter().any(|p| p.whole) && deck.pieces.iter().any(|p| !p.whole);
        let drawn = |finish| runs.iter().any(|(f, _)| *f == finish);
        for (scene, words, there) in [
            (&trims, "Black triangle", runs.iter().any(|(_, r)| !r.laps.is_empty())),
            (&trims, "drip black", drawn(Finish::Drip)),
            (&trims, "wall fillet dark grey", drawn(Finish::Wall)),
            (&trims, "raised edge white", drawn(Finish::Raised)),
            (&trims, "kerb fillet light grey", drawn(Finish::Kerb)),
            (&boards, "White: whole", both),
            (&boards, "joist centres", !deck.joists.is_empty()),
            (&boards, "noggins", !deck.noggins.is_empty()),
            (&mat, "Grey bands", laid.mat.pieces.len() > 1),
        ] {
            // A key may go on in its next line.
            let key = texts(scene).collect::<Vec<_>>().join(" ");
            assert_eq!(key.contains(words), there, "{name}: {words}");
        }
    }
}

/// The part of a section that reaches farthest down, up or out: what its sizes are seen by.
fn section(finish: Finish, change: impl FnOnce(&mut Build<'_>)) -> (Scene, String) {
    let desk = kitchen();
    let mut build = Build { flashing: Flashing::Lead, ..Build::new(&desk.rules, Length::mm(18)) };
    change(&mut build);
    let figure = sections::draw(finish, build);
    let scale: f64 = figure.caption.split("1:").nth(1).unwrap().trim_end_matches('.').parse().unwrap();
    let mut scene = Arc::unwrap_or_clone(figure.scene);
    // Back to millimetres on the roof.
    let real = |s: &mut wetout::pages::scene::Spot| {
        (s.x, s.y) = (s.x * scale * 25.4 / 72.0, s.y * scale * 25.4 / 72.0);
    };
    for mark in &mut scene.marks {
        match mark {
            Mark::Line { spots, .. } => spots.iter_mut().for_each(real),
            Mark::Area { rings, .. } => rings.iter_mut().flatten().for_each(real),
            _ => {}
        }
    }
    (scene, figure.alt)
}

/// Heights of the areas of a section, mm.
fn heights(scene: &Scene) -> Vec<i64> {
    let tall = |ring: &Vec<wetout::pages::scene::Spot>| {
        let ys = || ring.iter().map(|s| s.y);
        (ys().fold(f64::MIN, f64::max) - ys().fold(f64::MAX, f64::min)).round() as i64
    };
    scene
        .marks
        .iter()
        .filter_map(|m| if let Mark::Area { rings, .. } = m { rings.first() } else { None })
        .map(tall)
        .collect()
}

/// The lines from the numbers of small pieces to them do not cross, or nobody could tell which is whose.
#[test]
fn no_two_lines_from_the_numbers_of_boards_cross() {
    let mut lines_seen = 0;
    for (name, job) in crate::works::every_job() {
        for layout in &job.take_off.roofs {
            let plans = deck_plan::draw(layout, Space::SIDE_BY_SIDE)
                .into_iter()
                .chain(deck_plan::draw_overlay(layout, Space::SIDE_BY_SIDE));
            for plan in plans {
                let leader = |m: &Mark| match m {
                    Mark::Line { spots, pen } if pen.ink == Ink::Grey(0.2) && pen.width == 0.5 => {
                        Some((spots[0], spots[1]))
                    }
                    _ => None,
                };
                let leaders: Vec<(Spot, Spot)> = plan.scene.marks.iter().filter_map(leader).collect();
                lines_seen += leaders.len();
                for (n, (a, b)) in leaders.iter().enumerate() {
                    for (c, d) in &leaders[..n] {
                        let side =
                            |p: &Spot, q: &Spot, at: &Spot| (q.x - p.x) * (at.y - p.y) - (q.y - p.y) * (at.x - p.x);
                        let crossed = side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0;
                        assert!(!crossed, "{name}: {}", plan.caption);
                    }
                }
            }
        }
    }
    assert!(lines_seen > 3, "{lines_seen}");
}

/// A name longer than there is room for beside its opening stands there in two lines, not under the front of the roof.
#[test]
fn a_long_name_of_an_opening_stands_beside_it_on_the_roof() {
    let text = include_str!("big_jobs/long-names.yaml");
    let job = demo::work(&crate::support::asked(text));
    let (layout, roof) = (&job.take_off.roofs[0], &job.loaded.job.roofs[0]);
    for wide in [262.0, 300.0, 470.0] {
        let scene = roof_plan::draw(layout, roof, Audience::Householder, Space::new(wide, 340.0)).scene;
        let tall = |ring: &Vec<Spot>| {
            let ys = ring.iter().map(|s| s.y);
            (ys.clone().fold(f64::MAX, f64::min), ys.fold(f64::MIN, f64::max))
        };
        let rings =
            scene.marks.iter().filter_map(|m| if let Mark::Area { rings, .. } = m { rings.first() } else { None });
        let (top, foot) = rings.map(tall).max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0))).unwrap();
        let named = |m: &Mark| matches!(m, Mark::Text { text, at, .. } if text.starts_with("Rooflight of three") && at.y > top && at.y < foot);
        assert!(scene.marks.iter().any(named), "{wide}");
    }
}

/// The name of a roof stands clear of the lines of its edges, or it is left to the heading and the caption.
#[test]
fn the_name_of_a_roof_stands_clear_of_its_edges() {
    let (mut named, mut left_out) = (0, 0);
    for (name, job) in crate::works::every_job() {
        for (layout, roof) in job.take_off.roofs.iter().zip(&job.loaded.job.roofs) {
            for of in [75.0, 100.0, 125.0] {
                let space = Space { from: of, ..Space::QUARTER_PAGE };
                let scene = roof_plan::draw(layout, roof, Audience::Householder, space).scene;
                let Some(scale) = scene.scale else { continue };
                let ring = layout.shape.ring();
                let deep = ring.iter().map(|p| p.y).max().unwrap() - ring.iter().map(|p| p.y).min().unwrap();
                let deep = deep as f64 * wetout::documents::drawings::plan_scale::PT_PER_MM / scale;
                let lines = |m: &Mark| match m {
                    Mark::Text { text, size, bold: true, .. }
                        if *size >= 8.0 && layout.shape.name.contains(text.as_str()) =>
                    {
                        Some(*size)
                    }
                    _ => None,
                };
                let sizes: Vec<f64> = scene.marks.iter().filter_map(lines).collect();
                let Some(size) = sizes.first() else {
                    left_out += 1;
                    continue;
                };
                // And the area in a line of its own.
                assert!(deep > 1.25 * size * (sizes.len() + 1) as f64 + 6.0, "{name}, {}: {deep}", layout.shape.name);
                named += 1;
            }
        }
    }
    assert!(named > 20 && left_out > 0, "{named}, {left_out}");
}

/// In a warm roof boards stop 25 mm short of a wall below and above; the insulation between them is laid tight to it.
#[test]
fn the_deck_of_a_warm_roof_is_drawn_short_of_a_wall_and_the_insulation_tight_to_it() {
    let (scene, _) = section(Finish::Wall, |b| b.over = Some((Length::mm(160), Length::mm(18))));
    let ends = |fill: Ink, tall: f64| -> Vec<f64> {
        let end = |m: &Mark| {
            let Mark::Area { rings, fill: Some(ink), .. } = m else { return None };
            let (xs, ys) = (rings[0].iter().map(|s| s.x), rings[0].iter().map(|s| s.y));
            let high = ys.clone().fold(f64::MIN, f64::max) - ys.fold(f64::MAX, f64::min);
            (*ink == fill && (high - tall).abs() < 0.5).then(|| xs.fold(f64::MIN, f64::max))
        };
        scene.marks.iter().filter_map(end).collect()
    };
    let (boards, insulation) = (ends(Ink::Grey(0.8), 18.0), ends(Ink::White, 160.0));
    assert_eq!((boards.len(), insulation.len()), (2, 1));
    assert!(boards.iter().all(|end| (insulation[0] - end - 25.0).abs() < 0.5), "{boards:?} {insulation:?}");
}

#[test]
fn a_section_is_drawn_from_the_sizes_of_the_job() {
    // The wall is drawn 35 mm higher than the upstand and 60 mm below the board.
    for upstand in [100, 157, 300] {
        let (scene, words) = section(Finish::Wall, |b| b.upstand = Some(Length::mm(upstand)));
        assert!(heights(&scene).contains(&(upstand + 35 + 18 + 60)), "{upstand}: {:?}", heights(&scene));
        assert!(words.contains(&format!("{upstand} mm above the roof")), "{words}");
    }
    for insulation in [80, 140] {
        let (scene, words) = section(Finish::Raised, |b| b.over = Some((Length::mm(insulation), Length::mm(22))));
        let tall = heights(&scene);
        assert!(tall.contains(&insulation) && tall.contains(&22) && tall.contains(&18), "{insulation}: {tall:?}");
        assert!(words.contains(&format!("insulation {insulation} mm")), "{words}");
    }
    let thick = heights(&section(Finish::Drip, |b| b.board = Length::mm(25)).0);
    assert!(thick.contains(&25) && !thick.contains(&18), "{thick:?}");
}

#[test]
fn a_gutter_is_drawn_in_its_own_shape_and_size() {
    for (word, size, corners) in
        [("half-round", 112, 25), ("deep", 115, 25), ("square", 150, 4), ("trapezoidal", 120, 4)]
    {
        let gutter = wetout::model::shape::Gutter { shape: word.into(), size: Length::mm(size), detail: None };
        let (scene, _) = section(Finish::Drip, |b| {
            // Lives as long as the test: a section only borrows it.
            b.gutter = Some(Box::leak(Box::new(gutter)));
        });
        let across = |spots: &Vec<wetout::pages::scene::Spot>| {
            let xs = || spots.iter().map(|s| s.x);
            xs().fold(f64::MIN, f64::max) - xs().fold(f64::MAX, f64::min)
        };
        let drawn = |m: &Mark| matches!(m, Mark::Line { spots, .. } if spots.len() == corners && (across(spots) - size as f64).abs() < 0.01);
        assert!(scene.marks.iter().any(drawn), "{word} {size}");
    }
}

#[test]
fn no_line_to_a_part_of_a_section_crosses_another() {
    let side = |p: (f64, f64), q: (f64, f64), r: (f64, f64)| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    // A box gutter's section is drawn from a gutter that is laid.
    for finish in Finish::ALL.into_iter().filter(|f| *f != Finish::Gutter) {
        for over in [None, Some((Length::mm(140), Length::mm(18)))] {
            let (scene, _) = section(finish, |b| b.over = over);
            // From the ringed numbers to their parts.
            let thin = |m: &Mark| match m {
                Mark::Line { spots, pen } if spots.len() == 2 && pen.width == sections::LEADER => {
                    Some(((spots[0].x, spots[0].y), (spots[1].x, spots[1].y)))
                }
                _ => None,
            };
            let lines: Vec<_> = scene.marks.iter().filter_map(thin).collect();
            assert!(lines.len() > 2, "{finish:?}");
            for (i, &(a, b)) in lines.iter().enumerate() {
                for &(c, d) in &lines[i + 1..] {
                    let crossed = side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0;
                    assert!(!crossed, "{finish:?} {over:?}: {a:?} to {b:?} crosses {c:?} to {d:?}");
                }
            }
        }
    }
}

/// The scale bar, measured: its four parts and the figures under it.
#[test]
fn the_bar_is_as_long_as_its_figures_say() {
    for (name, scene) in drawings() {
        let Some(words) = texts(&scene).find(|t| t.contains("Scale 1:")) else { continue };
        let scale: f64 = words.split("1:").nth(1).unwrap().parse().unwrap();
        let at = |text: &str, scene: &Scene| {
            scene.marks.iter().rev().find_map(|m| match m {
                Mark::Text { at, text: t, .. } if t == text => Some(at.x),
                _ => None,
            })
        };
        let figures: Vec<f64> = scene
            .marks
            .iter()
            .rev()
            .filter_map(|m| if let Mark::Text { text, .. } = m { Some(text) } else { None })
            .skip(1)
            .take(3)
            .map(|t| t.parse().unwrap())
            .collect();
        let (last, none) = (figures[0], figures[2]);
        assert_eq!(none, 0.0, "{name}");
        let long = at(&format!("{last}"), &scene).unwrap() - at("0", &scene).unwrap();
        assert!(
            (long * 25.4 / 72.0 * scale / 1000.0 - last).abs() < 1e-6,
            "{name}: {long} pt for {last} m at 1:{scale}"
        );
    }
}

#[test]
fn every_edge_is_named_and_measured_on_the_plan() {
    for (name, roof) in shapes() {
        let (laid, _) = laid(&roof);
        let scene = roof_plan::draw(&laid, &roof, Audience::Site, Space::HALF_PAGE).scene;
        let said: Vec<&str> = texts(&scene).collect();
        for side in &laid.shape.sides {
            let words = format!("{} {}", wording::capital(&side.label), wording::metres(side.run));
            assert!(said.iter().any(|t| t.contains(&words)), "{name}: “{words}” is not on the plan: {said:?}");
        }
        assert!(said.iter().any(|t| t.contains("1:40")), "{name}: no fall");
        assert!(said.iter().any(|t| t.contains("Scale 1:")), "{name}: no scale");
        for hole in &laid.shape.holes {
            let size = roof_plan::hole_size(hole);
            assert!(said.iter().any(|t| t.contains(&size)), "{name}: {} has no size", hole.name);
        }
    }
}

#[test]
fn a_plan_is_true_to_the_scale_that_it_states() {
    for (name, roof) in shapes() {
        let (laid, _) = laid(&roof);
        let scene = roof_plan::draw(&laid, &roof, Audience::Householder, Space::HALF_PAGE).scene;
        let stated: f64 = texts(&scene).find_map(|t| t.split("Scale 1:").nth(1)).unwrap().parse().unwrap();
        let Some(Mark::Area { rings, .. }) = scene.marks.first() else { panic!("{name}: no ground") };
        let xs = || rings[0].iter().map(|s| s.x);
        let drawn = xs().fold(f64::MIN, f64::max) - xs().fold(f64::MAX, f64::min);
        let widest = laid.shape.ring().iter().map(|p| p.x).max().unwrap() as f64;
        assert!((drawn * 25.4 / 72.0 * stated - widest).abs() < 0.01, "{name}: {drawn} pt at 1:{stated}");
    }
}

#[test]
fn every_piece_of_trim_board_and_mat_is_marked_on_its_plan() {
    for (name, roof) in shapes().into_iter().filter(|(n, _)| *n != "huge") {
        let (laid, plans) = laid(&roof);
        let trims = trim_plan::draw(&plans, &laid, &Default::default(), Space::PAGE).scene;
        let said: Vec<&str> = texts(&trims).collect();
        for piece in plans.iter().flat_map(|p| &p.runs).flat_map(|r| &r.pieces) {
            let label = format!("{} {}", piece.mark, piece.length.as_mm());
            assert!(said.iter().any(|t| t.contains(&label)), "{name}: {label} is not on the trim plan: {said:?}");
        }
        // A number is ringed for every corner, those of openings too.
        for number in 1..=trim_plan::numbered(&laid).len() {
            let ringed = trims.marks.windows(2).any(
                |two| matches!(two, [Mark::Circle { .. }, Mark::Text { text, .. }] if *text == number.to_string()),
            );
            assert!(ringed, "{name}: corner {number} has no ring");
        }
        let deck = deck_plan::draw(&laid, Space::PAGE).unwrap().scene;
        let mat = mat_plan::draw(&laid, None, Space::PAGE).remove(0).scene;
        for (what, scene, marks) in [
            ("deck", &deck, laid.deck.as_ref().unwrap().pieces.iter().map(|p| p.mark.clone()).collect::<Vec<_>>()),
            ("mat", &mat, laid.mat.pieces.iter().map(|p| p.mark.clone()).collect()),
        ] {
            for mark in marks {
                let begins = [format!("{mark}: "), format!("{mark} with ")];
                assert!(
                    texts(scene).any(|t| t == mark || begins.iter().any(|b| t.starts_with(b))),
                    "{name}: {mark} is not on the {what} plan"
                );
            }
        }
    }
}

#[test]
fn each_layer_of_mat_has_its_own_drawing() {
    let mut roof = kitchen().job.roofs[0].clone();
    roof.laminate.layers = 2;
    let figures = mat_plan::draw(&laid(&roof).0, None, Space::PAGE);
    assert_eq!(figures.len(), 2);
    assert!(figures[1].caption.contains("layer 2 of 2"), "{}", figures[1].caption);
}

#[test]
fn every_drawing_says_in_words_what_it_shows() {
    for desk in [kitchen(), desk(shapes().into_iter().map(|(_, r)| r).collect())] {
        for document in [quote_of(&desk), method_of(&desk)] {
            let mut count = 0;
            let mut stack: Vec<&Block> = document.blocks.iter().collect();
            while let Some(block) = stack.pop() {
                match block {
                    Block::Figure(f) => {
                        count += 1;
                        assert!(f.alt.len() > 30, "{:?}", f.alt);
                    }
                    Block::Columns(columns) | Block::Beside(columns) | Block::Balanced(columns) => {
                        stack.extend(columns.iter().flatten())
                    }
                    Block::Keep(blocks)
                    | Block::Sheet(blocks)
                    | Block::Leaf(blocks)
                    | Block::Card(blocks)
                    | Block::Small(blocks)
                    | Block::Callout { blocks, .. } => stack.extend(blocks),
                    _ => {}
                }
            }
            assert!(count > 0);
        }
    }
}

// ---- Figures in words ---------------------------------------------------------------------------------------------

#[test]
fn figures_are_written_as_people_write_them() {
    assert_eq!(wording::money(Money::pence(123_450)), "£1,234.50");
    assert_eq!(wording::money(-Money::ZERO), "£0.00");
    assert_eq!(wording::money(Money::pounds(Decimal::new(-4, 3))), "£0.00");
    assert_eq!(wording::money(Money::pounds(Decimal::new(-6, 3))), "−£0.01");
    assert_eq!(wording::money(Money::pence(123_456_789)), "£1,234,567.89");
    assert_eq!(wording::money(Money::pence(5)), "£0.05");
    assert_eq!(wording::money(Money::pence(-99_999)), "−£999.99");
    assert_eq!(wording::money(Money::pounds(Decimal::new(2_675, 3))), "£2.68");
    assert_eq!(wording::metres(Length::mm(5200)), "5.20 m");
    assert_eq!(wording::metres(Length::mm(3415)), "3.415 m");
    assert_eq!(Length::mm(2650).to_string(), "2650 mm");
    assert_eq!(wording::metres_by(Length::mm(1000), Length::mm(805)), "1.00 × 0.805 m");
    assert_eq!(wording::square_metres(Length::mm(5200) * Length::mm(3400)), "17.7 m²");
    assert_eq!(wording::date(date!(2026 - 11 - 25)), "25 November 2026");
    assert_eq!(wording::day_and_date(date!(2027 - 02 - 01)), "Monday 1 February 2027");
    assert_eq!(wording::plural(1, "board", "boards"), "1 board");
    assert_eq!(wording::plural(0, "board", "boards"), "0 boards");
    assert_eq!(wording::kilograms(Decimal::new(41_230, 2)), "412.3 kg");
    let list = |items: &[&str]| wording::list(&items.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>());
    assert_eq!(list(&["a"]), "a");
    assert_eq!(list(&["a", "b", "c"]), "a, b and c");
}

// ---- The whole road -----------------------------------------------------------------------------------------------

#[test]
fn all_three_documents_are_printed_and_every_time_the_same() {
    for desk in [kitchen(), bare(), desk(shapes().into_iter().map(|(_, r)| r).collect())] {
        for kind in [DocumentKind::Quote, DocumentKind::Order, DocumentKind::Method] {
            let print = || make(kind, &desk.worked(), &Overrides::default()).unwrap();
            let files = print();
            assert_eq!(files, print());
            assert!(files.iter().all(|f| f.name.ends_with(".csv") || f.bytes.starts_with(b"%PDF")));
            assert_eq!(files.len(), if kind == DocumentKind::Order { 2 } else { 1 });
        }
    }
}

#[test]
fn several_merchants_give_several_orders_with_numbers_of_their_own() {
    let mut desk = kitchen();
    let second = desk.pricing.orders[0].clone();
    desk.pricing.orders.push(second);
    let files = make(DocumentKind::Order, &desk.worked(), &Overrides::default()).unwrap();
    let names: Vec<&str> = files.iter().map(|f| f.name.as_str()).collect();
    assert_eq!(names, ["order-1.pdf", "order-1.csv", "order-2.pdf", "order-2.csv"]);
    assert!(String::from_utf8_lossy(&files[3].bytes).contains("26-041-2"));
    let orders = OrderView::all(&desk.worked());
    let second = order::document(&orders[1], &words()).unwrap();
    assert!(second.footer.contains("26-041-2"), "the foot says which order it is: {}", second.footer);
}

/// Joists are cut on the first day on which their roof is opened, and what the customer has bought goes in on a day of its own: the
/// householder's chart has a row for each, which the roofs without have not.
#[test]
fn the_chart_of_the_quote_says_when_a_hole_is_cut_and_what_the_customer_bought_goes_in() {
    let rows = |name: &str| {
        let demo = crate::demo::work(&crate::demo::request(name));
        let days: Vec<u32> =
            demo.programme.timetable().days.iter().filter(|d| d.cuts_openings).map(|d| d.number).collect();
        let scene = day_chart::draw_plain(&demo.programme.timetable(), Space::HALF_PAGE).unwrap().scene;
        (texts(&scene).map(str::to_owned).collect::<Vec<_>>(), days)
    };
    let (words, days) = rows("neighbours");
    for row in ["Opening cut, kerb built", "Fit rooflight for No. 14", "Fit the flashing and refit the gutters"] {
        assert_eq!(words.iter().filter(|w| *w == row).count(), 1, "{row}: {words:?}");
    }
    assert_eq!(days, [2]);
    let (words, days) = rows("kitchen-extension");
    assert!(days.is_empty() && !words.iter().any(|w| w.starts_with("Opening cut")), "{words:?}");
}
