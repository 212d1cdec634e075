//! The firm's own words: exported, found, checked in their place, and never changed by what a user typed.

use crate::command::scratch;
use crate::cpu_time::CpuTime;
use crate::demo::{self, Demo};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::Duration;
use wetout::documents::views::{OrderView, QuoteView};
use wetout::documents::words::{TEMPLATES, Words, escape};
use wetout::documents::{DocumentKind, Overrides, describe, make, order, quote};
use wetout::model::Problem;
use wetout::model::problem::Source;
use wetout::pages::block::{Block, Span};
use wetout::pages::markdown;

fn wetout(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wetout"));
    command.args(arguments).current_dir(env!("CARGO_MANIFEST_DIR")).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A folder with the demo firm, its price book and the dormer job.
pub fn firm_folder(name: &str) -> PathBuf {
    let folder = scratch(name);
    let jobs = Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs");
    for file in ["firm.yaml", "prices.yaml", "logo.png"] {
        fs::copy(jobs.join(file), folder.join(file)).unwrap();
    }
    fs::copy(jobs.join("dormer/job.yaml"), folder.join("job.yaml")).unwrap();
    folder
}

fn run(folder: &Path, command: &str) -> Output {
    wetout(&[command, folder.join("job.yaml").to_str().unwrap()])
}

// Export.

#[test]
fn every_built_in_template_is_exported_as_it_is() {
    let folder = scratch("export").join("templates");
    let done = wetout(&["templates", "export", folder.to_str().unwrap()]);
    assert_eq!((done.status.code(), text(&done.stderr)), (Some(0), String::new()));
    for (name, words) in TEMPLATES {
        assert_eq!(&fs::read_to_string(folder.join(name)).unwrap(), words);
        assert!(text(&done.stdout).contains(&format!("wrote {}", folder.join(name).display())));
    }
    assert_eq!(fs::read_dir(&folder).unwrap().count(), TEMPLATES.len());
}

#[test]
fn an_export_never_writes_over_what_is_there_and_says_so() {
    let folder = scratch("export-again");
    fs::write(folder.join("quote.md"), "mine").unwrap();
    let done = wetout(&["templates", "export", folder.to_str().unwrap()]);
    assert_eq!(done.status.code(), Some(0));
    assert_eq!(fs::read_to_string(folder.join("quote.md")).unwrap(), "mine");
    assert!(text(&done.stdout).contains(&format!("left as it is {}", folder.join("quote.md").display())));
    assert!(folder.join("order.md").is_file());
}

#[test]
fn an_export_into_a_file_is_refused() {
    let file = scratch("export-file").join("templates");
    fs::write(&file, "").unwrap();
    let done = wetout(&["templates", "export", file.to_str().unwrap()]);
    assert_eq!(done.status.code(), Some(3));
    assert!(text(&done.stderr).contains("a file stands where a folder is needed"), "{}", text(&done.stderr));
}

#[test]
fn the_exported_templates_give_the_same_documents_as_the_built_in_ones() {
    let folder = firm_folder("export-same");
    assert_eq!(run(&folder, "make").status.code(), Some(0));
    let built_in = fs::read(folder.join("out/quote.pdf")).unwrap();
    wetout(&["templates", "export", folder.join("templates").to_str().unwrap()]);
    assert_eq!(run(&folder, "make").status.code(), Some(0));
    assert!(fs::read(folder.join("out/quote.pdf")).unwrap() == built_in);
}

// Overrides.

fn with_templates(name: &str, templates: &[(&str, &str)]) -> PathBuf {
    let folder = firm_folder(name);
    fs::create_dir(folder.join("templates")).unwrap();
    templates.iter().for_each(|(name, words)| fs::write(folder.join("templates").join(name), words).unwrap());
    folder
}

#[test]
fn the_firms_templates_are_found_next_to_the_firm_file() {
    let folder =
        with_templates("own-order", &[("order.md", "\u{feff}# Our own order {{ order_number }}\r\n\r\nPlease.\r\n")]);
    let done = run(&folder, "order");
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let pdf = lopdf::Document::load(folder.join("out/order.pdf")).unwrap();
    let printed = pdf.extract_text(&[1]).unwrap();
    assert!(printed.contains("Our own order") && printed.contains("Please."), "{printed}");
}

const FAULTY: [(&str, &str); 4] = [
    (
        "quote.md",
        "# Hello\n\nDear {{ custommer_name }},\n{% if nothing_of_this_name %}x{% endif %}\n\n```table pricess\n```\n",
    ),
    ("quote-roof.md", "A roof.\n{{ roof_nam }}\n"),
    ("order.md", "# Order\n\n{% if held %}\n"),
    ("metod.md", "x"),
];

#[test]
fn every_fault_of_every_template_is_told_at_once_with_its_line_and_nothing_is_written() {
    let mut words = FAULTY.to_vec();
    words.remove(2);
    words.remove(2);
    let folder = with_templates("faulty", &words);
    for command in ["make", "check"] {
        let done = run(&folder, command);
        assert_eq!(done.status.code(), Some(1));
        let said = text(&done.stderr);
        for (place, fault, cure) in [
            ("quote.md:3:9", "asks for `custommer_name`", "did you mean `customer_name`?"),
            ("quote.md:4:7", "asks for `nothing_of_this_name`", "use one of the names"),
            ("quote.md:6:4", "asks for `table pricess`", "write `table prices`"),
            ("quote-roof.md:2:4", "asks for `roof_nam`", "did you mean `roof_name`?"),
        ] {
            assert!(
                said.contains(place) && said.contains(fault) && said.contains(cure),
                "{place} {fault} {cure}:\n{said}"
            );
        }
        assert!(said.contains("custommer_name }},"), "the line is shown:\n{said}");
        assert!(said.contains("3 problems in") && said.contains("1 problem in"), "{said}");
        assert!(!folder.join("out").exists());
    }
}

#[test]
fn a_template_that_cannot_be_read_is_told_with_line_and_column_and_a_strange_name_with_the_nearest() {
    let folder = with_templates("unreadable", &FAULTY[2..]);
    let done = run(&folder, "make");
    assert_eq!(done.status.code(), Some(1));
    let said = text(&done.stderr);
    assert!(said.contains("order.md:4:1") || said.contains("order.md:3:"), "{said}");
    assert!(said.contains("your template `order.md` cannot be used"), "{said}");
    assert!(
        said.contains("no document uses a template called `metod.md`") && said.contains("did you mean `method.md`?")
    );
    assert!(!folder.join("out").exists());
}

#[test]
fn a_filter_or_a_template_that_there_is_not_is_told_in_its_place() {
    let words = "one\n{{ order_number | shout }}\n{% include \"foot.md\" %}\n";
    let folder = with_templates("strange-signs", &[("order.md", words)]);
    let said = text(&run(&folder, "make").stderr);
    assert!(said.contains("order.md:2:19") && said.contains("the filter `shout`"), "{said}");
    assert!(said.contains("order.md:3:13") && said.contains("the template `foot.md`"), "{said}");
}

#[test]
fn a_template_that_fails_while_it_is_filled_is_told_in_its_place() {
    let folder = with_templates("unfilled", &[("order.md", "one\n\n{{ order_number.of.it }}\n")]);
    let done = run(&folder, "order");
    let said = text(&done.stderr);
    assert_eq!(done.status.code(), Some(1), "{said}");
    assert!(said.contains("order.md:3:17") && said.contains("cannot be filled here"), "{said}");
}

#[test]
fn a_template_that_is_no_text_is_told() {
    let folder = with_templates("bytes", &[]);
    fs::write(folder.join("templates/order.md"), [0xff, 0xfe, 0x41]).unwrap();
    fs::write(folder.join("templates/notes.txt"), "no template").unwrap();
    let done = run(&folder, "make");
    assert_eq!(done.status.code(), Some(1));
    let said = text(&done.stderr);
    assert!(said.contains("templates/order.md") && said.contains("not text in UTF-8"), "{said}");
}

#[test]
fn a_name_in_prose_or_in_quotation_marks_is_not_taken_for_its_place() {
    let words = "custommer_name in prose {{ \"custommer_name\" }}\n{{ x.custommer_name }}{{ custommer_name }}";
    let own = Overrides { templates: vec![("order.md".into(), words.into())], ..Overrides::default() };
    let demo = demo::work(&demo::request("dormer"));
    let problems = make(DocumentKind::Order, &demo.worked(), &own).unwrap_err();
    let place =
        |name: &str| problems.iter().find(|p| p.fault.contains(name)).map(|p| (p.source, p.place.to_string())).unwrap();
    assert_eq!(place("`custommer_name`"), (Source::Own(0), "line 2, column 26".into()));
    assert_eq!(place("`x`"), (Source::Own(0), "line 2, column 4".into()));
}

#[test]
fn a_fenced_block_that_there_is_not_is_found_by_its_whole_name() {
    let words = "```table stages\n```\n\n  ~~~ table stage\n  ~~~\n";
    let own = Overrides { templates: vec![("quote.md".into(), words.into())], ..Overrides::default() };
    let demo = demo::work(&demo::request("dormer"));
    let problems = make(DocumentKind::Quote, &demo.worked(), &own).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(problems[0].place.to_string(), "line 4, column 7");
}

#[test]
fn a_fault_of_a_filled_in_template_is_told_in_that_template() {
    let own = Overrides {
        templates: vec![
            ("quote.md".into(), "{% include \"statutory.md\" %}".into()),
            ("statutory.md".into(), "\n{{ totl }}".into()),
        ],
        ..Overrides::default()
    };
    let demo = demo::work(&demo::request("dormer"));
    let problems: Vec<Problem> = make(DocumentKind::Quote, &demo.worked(), &own).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!((problems[0].source, problems[0].place.to_string().as_str()), (Source::Own(1), "line 2, column 4"));
    assert!(problems[0].fault.starts_with("your template `statutory.md` asks for `totl`"), "{}", problems[0].fault);
}

#[test]
fn a_template_that_gives_text_without_end_is_a_problem() {
    let loops = |n: usize| format!("{}x{}", "{% for line in needs %}".repeat(n), "{% endfor %}".repeat(n));
    let own = Overrides { templates: vec![("quote.md".into(), loops(30))], ..Overrides::default() };
    let demo = demo::work(&demo::request("dormer"));
    let problems: Vec<Problem> = make(DocumentKind::Quote, &demo.worked(), &own).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(
        problems[0].fault,
        "your template `quote.md` has loops inside loops that come to more than 1 million steps"
    );
    assert!(problems[0].place.to_string().contains("line 1") && problems[0].cure.contains("take a loop out"));
    let long = |n: usize| loops(n).replace('x', &"many words ".repeat(50));
    let own = Overrides { templates: vec![("quote.md".into(), long(9))], ..Overrides::default() };
    let problems: Vec<Problem> = make(DocumentKind::Quote, &demo.worked(), &own).unwrap_err();
    assert_eq!(problems[0].fault, "your template `quote.md` gives a text of more than 2 MB");
    let own = Overrides { templates: vec![("quote.md".into(), loops(6))], ..Overrides::default() };
    assert!(make(DocumentKind::Quote, &demo.worked(), &own).is_ok(), "729 of them are no harm");
}

/// Each sign is read once, whatever signs are not there, and of very many faults the first are told.
#[test]
fn a_template_of_a_megabyte_is_read_in_no_time() {
    let signs = "{{ firm }} ".repeat(60_000);
    let faults = "{{ firm ~ firm }}\n".repeat(50_000);
    let names = format!("{{{{ firm{} }}}}", " or firm".repeat(40_000));
    for text in [signs, faults, names.clone(), names.replace(" }}", "")] {
        let own = Overrides { templates: vec![("quote.md".into(), text)], ..Overrides::default() };
        let begun = CpuTime::begin();
        let told = Words::new(&own).map_or_else(|problems| problems.len(), |_| 0);
        assert!(told <= 100, "{told}");
        assert!(begun.spent() < Duration::from_secs(5), "{:?}", begun.spent());
    }
    // A name in quotation marks counts for nothing, however often it stands there.
    let unknown = format!("{{% if firm == \"{}\" and nothing_such %}}{{% endif %}}", "nothing_such ".repeat(40_000));
    let begun = CpuTime::begin();
    let place = wetout::pages::template_place::of_name(&unknown, "nothing_such").unwrap();
    assert!(begun.spent() < Duration::from_secs(5), "{:?}", begun.spent());
    assert_eq!(place.to_string(), format!("line 1, column {}", unknown.find("nothing_such %}").unwrap() + 1));
}

/// Ways to work without end or to grow without end, and whatever else a template of ours has no use for.
#[test]
fn a_template_fills_in_asks_and_walks_and_does_nothing_else() {
    let beyond = [
        ("{% for i in range(end=100000) %}{% endfor %}", "i in range(end=100000)"),
        ("{% for a, b in payment %}{% endfor %}", "a, b in payment"),
        ("{% set x = 1 %}", "set"),
        ("{% set x %}{{ firm }}{{ firm }}{% endset %}", "set"),
        ("{{ firm ~ firm }}", "~"),
        ("{{ firm | upper }}", "|"),
        ("{{ firm|replace(from=\"a\", to=firm) }}", "|replace(from=\"a\","),
        ("{{ 2 ** 40 }}", "**"),
        ("{{ payment[0] }}", "[0]"),
        ("{{ [firm, firm] }}", "[firm,"),
        ("{% raw %}{% endraw %}", "raw"),
        ("{% block a %}{% endblock %}", "block"),
        ("{{ now() }}", "()"),
    ];
    let demo = demo::work(&demo::request("dormer"));
    for (words, sign) in beyond {
        let own =
            Overrides { templates: vec![("quote.md".into(), format!("Words.\n{words}"))], ..Overrides::default() };
        let problems: Vec<Problem> = make(DocumentKind::Quote, &demo.worked(), &own).unwrap_err();
        let said = problems.iter().find(|p| p.fault.contains(&format!("says `{sign}` here")));
        let unknown = problems.iter().find(|p| p.fault.contains("which there is not"));
        let told = said.or(unknown).unwrap_or_else(|| panic!("{words}: {problems:?}"));
        assert!(told.place.to_string().contains("line 2") && !told.cure.is_empty(), "{words}: {told:?}");
    }
    let within = "Words. {{- firm_name -}} {%- if firm_name and (not payment or firm_name != \"}} | ~\") -%} a \
                  {%- elif firm_name is defined -%} b {%- else -%} c {%- endif -%} {# set x ~ | #} \
                  {% for line in payment %}{% if not loop.last %}{{ line }}{% endif %}{% endfor %}";
    let own = Overrides { templates: vec![("quote.md".into(), within.into())], ..Overrides::default() };
    let faults = make(DocumentKind::Quote, &demo.worked(), &own).err();
    let faults: Vec<Problem> = faults.unwrap_or_default();
    assert!(faults.iter().all(|p| p.fault.contains("asks for `firm_name`")), "{faults:?}");
}

#[test]
fn a_template_that_is_empty_or_gives_nothing_or_too_much_is_refused_in_its_file() {
    let cases = [
        ("", "this template is empty"),
        (" \r\n\n", "this template is empty"),
        ("{# nothing #}", "gives no words at all"),
        (&"a\n\n".repeat(30_000), "gives more than 25000 paragraphs"),
        ("{% include \"quote.md\" %}", "cannot be used"),
    ];
    for (n, (words, said)) in cases.into_iter().enumerate() {
        let folder = with_templates(&format!("nothing-{n}"), &[("quote.md", words)]);
        let done = run(&folder, "quote");
        let told = text(&done.stderr);
        assert_eq!(done.status.code(), Some(1), "{told}");
        assert!(told.contains(said) && told.contains("templates/quote.md") && told.contains("= help:"), "{told}");
        assert!(!folder.join("out").exists());
    }
}

/// Of each document what it is made for: the price, the codes, the points at which work stops.
#[test]
fn a_document_in_own_words_that_leaves_out_what_it_is_for_is_made_with_a_warning() {
    let cases = [
        ("quote", "quote.md", "# Hello\n", "the quote leaves out the total price, £"),
        ("order", "order.md", "# Goods\n\nPlease.\n", "codes of what is ordered, the first `"),
        (
            "method",
            "method-crew.md",
            "# Work\n\nAs usual.\n",
            "the method statement leaves out every point at which work stops",
        ),
    ];
    for (document, template, words, said) in cases {
        let folder = with_templates(&format!("left-out-{document}"), &[(template, words)]);
        for command in [document, "make", "check"] {
            let done = run(&folder, command);
            let told = format!("{}{}", text(&done.stdout), text(&done.stderr));
            assert_eq!(done.status.code(), Some(0), "{told}");
            assert_eq!(told.matches(said).count(), 1, "{command}: {told}");
            assert!(told.contains(&format!("made with your own `{template}`")) && told.contains("help:"), "{told}");
        }
        let other = if document == "quote" { "order" } else { "quote" };
        assert!(!text(&run(&folder, other).stderr).contains("leaves out"), "{document} alone");
        let issued = wetout(&["issue", folder.to_str().unwrap(), document]);
        let told = text(&issued.stderr);
        assert!(issued.status.code() == Some(0) && told.contains(said), "{told}");
    }
}

/// Nor is anything missing where the price stands in a headline, in bold, or in all the words that are built in.
#[test]
fn own_words_that_say_what_they_are_for_bring_no_warning() {
    let all = TEMPLATES.iter().map(|(name, words)| ((*name).to_owned(), (*words).to_owned()));
    let own = Overrides { templates: all.collect(), ..Overrides::default() };
    for name in demo::names() {
        let demo = demo::work(&demo::request(&name));
        for kind in [DocumentKind::Quote, DocumentKind::Order, DocumentKind::Method] {
            let made = wetout::documents::make_and_look(kind, &demo.worked(), &own).unwrap();
            assert_eq!(made.left_out, Vec::new(), "{name}");
        }
    }
    for words in ["## {{ total }}\n", "So **{{ total }}** in all.\n", "- all\n  - {{ total }}, VAT included\n"] {
        let folder = with_templates("price-alone", &[("quote.md", words)]);
        let done = run(&folder, "quote");
        assert!(done.status.code() == Some(0) && !text(&done.stderr).contains("leaves out"), "{}", text(&done.stderr));
        fs::remove_dir_all(&folder).unwrap();
    }
}

// What a user typed.

/// Texts that mean something to Markdown, to a template, to HTML or to the program's own fences.
const HOSTILE: [&str; 24] = [
    "*stars* and **more**",
    "_under_ __lines__",
    "# a heading",
    "a | b | tall",
    "<b>bold</b> <script>x</script>",
    "back\\slash\\",
    "{{ total }} {% if x %}",
    "- bullet at start",
    "+ plus at start",
    "1. number at start",
    "1) bracket at start",
    "> quoted",
    "```figure roof-plan-1",
    "~~~table prices",
    "    four spaces before",
    "---",
    "===",
    "[a link](page.html) ![picture](x.png)",
    "[^1] footnote",
    "[^1]: its text",
    "&amp; &lt; &#42; &copy;",
    "https://a.example <https://b.example>",
    "line one\nline two\n\n# after an empty line\r\nlast",
    "`code` ``more`` ' \" $ ~ ^ : ; ! ? @ % = / , .",
];

/// The text as one paragraph shows it: white space as single spaces.
fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn words_of(blocks: &[Block]) -> Vec<Span> {
    match blocks {
        [Block::Paragraph(spans)] => spans.clone(),
        other => panic!("not one paragraph: {other:?}"),
    }
}

#[test]
fn whatever_a_user_typed_comes_out_of_markdown_as_it_went_in() {
    for hostile in HOSTILE {
        let read = markdown::blocks(&escape(hostile), &Default::default()).unwrap();
        assert_eq!(words_of(&read), [Span::plain(plain(hostile))], "{hostile:?}");
    }
}

#[test]
fn whatever_a_user_typed_stays_in_its_place_in_a_list_in_bold_in_a_title_and_in_a_field() {
    for hostile in HOSTILE {
        let typed = escape(hostile);
        let page = format!(
            "# {typed}\n\n- {typed}\n- two\n\nFor **{typed}**.\n\n```fields\n{typed} | 6\n```\n\n```note T\n{typed}\n```\n"
        );
        let read = markdown::blocks(&page, &Default::default()).unwrap_or_else(|f| panic!("{hostile:?}: {f:?}"));
        let [
            Block::Heading { text, .. },
            Block::List { items, .. },
            Block::Paragraph(bold),
            Block::Fields(fields),
            Block::Callout { blocks, .. },
        ] = read.as_slice()
        else {
            panic!("{hostile:?} gave {read:?}")
        };
        let expected = plain(hostile);
        assert_eq!(text, &[Span::plain(expected.as_str())], "heading");
        assert_eq!(words_of(&items[0]), [Span::plain(expected.as_str())], "item");
        assert_eq!(bold[1], Span::bold(expected.as_str()), "bold");
        assert_eq!((fields[0].label.as_str(), fields[0].twelfths), (expected.as_str(), 6), "field");
        assert_eq!(words_of(blocks), [Span::plain(expected.as_str())], "inside a note");
    }
}

#[test]
fn a_text_that_ends_in_a_wide_or_unbroken_space_does_not_spoil_the_bold_around_it() {
    for typed in ["A. Householder\u{a0}", "\u{2003}A. Householder", "\u{a0}A. Householder \u{3000}"] {
        let read = markdown::blocks(&format!("For **{}**.", escape(typed)), &Default::default()).unwrap();
        assert_eq!(words_of(&read)[1], Span::bold("A. Householder"), "{typed:?}");
    }
}

/// A demo job in which every free text is hostile.
fn hostile_demo(hostile: &str) -> Demo {
    let mut demo = demo::work(&demo::request("kitchen-extension"));
    let job = &mut demo.loaded.job;
    let mark = |text: &mut String| *text = hostile.to_owned();
    mark(&mut job.title);
    mark(&mut job.customer.name);
    job.customer.address.iter_mut().for_each(mark);
    job.site.address.iter_mut().for_each(mark);
    job.notes = vec![hostile.to_owned(), "second note".into()];
    job.exclusions = vec![hostile.to_owned()];
    job.site.access = Some(hostile.to_owned());
    job.site.hospital = Some(hostile.to_owned());
    job.delivery.note = Some(hostile.to_owned());
    let firm = demo.loaded.firm.as_mut().unwrap();
    mark(&mut firm.party.name);
    firm.terms = vec![hostile.to_owned(), "second term".into()];
    firm.needs = vec![hostile.to_owned()];
    firm.insurance = Some(hostile.to_owned());
    demo
}

/// Headings, lists, tables, boxes … of some blocks and of all blocks within them, in order.
fn skeleton(blocks: &[Block]) -> Vec<String> {
    let mut found = Vec::new();
    for block in blocks {
        match block {
            Block::Heading { level, .. } => found.push(format!("heading {level}")),
            Block::List { items, .. } | Block::ListFrom { items, .. } => {
                found.push(format!("list of {}", items.len()));
                items.iter().for_each(|item| found.extend(skeleton(item)));
            }
            Block::Callout { blocks, .. }
            | Block::Keep(blocks)
            | Block::Sheet(blocks)
            | Block::Leaf(blocks)
            | Block::Card(blocks)
            | Block::Small(blocks) => {
                found.push("box".into());
                found.extend(skeleton(blocks));
            }
            Block::Columns(columns) | Block::Beside(columns) | Block::Balanced(columns) => {
                columns.iter().for_each(|column| found.extend(skeleton(column)))
            }
            Block::Paragraph(spans) => {
                // An address that opens itself is one whoever typed it; it hides nothing.
                let hides = |s: &Span| s.link.as_ref().is_some_and(|target| !target.ends_with(s.text.trim_start()));
                let mut styles = spans.iter().map(|s| (s.bold, s.italic, hides(s))).collect::<Vec<_>>();
                styles.dedup();
                found.push(format!("paragraph {styles:?}"));
            }
            Block::Fields(fields) => found.push(format!("{} fields", fields.len())),
            Block::Ticks(ticks) | Block::Choices(ticks) => found.push(format!("{} ticks", ticks.len())),
            other => found.push(format!("{:?}", std::mem::discriminant(other))),
        }
    }
    found
}

#[test]
fn no_text_that_a_user_typed_changes_how_a_document_is_built() {
    let words = Words::new(&Overrides::default()).unwrap();
    let built = |demo: &Demo| {
        let worked = demo.worked();
        let order = order::document(&OrderView::all(&worked)[0], &words).unwrap();
        let quote = quote::document(&QuoteView::of(&worked), &words).unwrap();
        let method = wetout::documents::method::document(&worked, &words).unwrap();
        [quote.blocks, order.blocks, method.blocks].map(|blocks| skeleton(&blocks))
    };
    for hostile in HOSTILE {
        // As long, since how long a name is may tell where the drawing of page one stands.
        let tame: String = hostile.chars().map(|c| if c.is_whitespace() { c } else { 'n' }).collect();
        let tame = tame.split('\n').map(str::trim_end).filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n");
        let now = built(&hostile_demo(hostile));
        for (was, is) in built(&hostile_demo(&tame)).iter().zip(now) {
            assert_eq!(*was, is, "{hostile:?}");
        }
    }
}

#[test]
fn a_start_on_a_saturday_is_printed_as_the_monday_on_which_the_crew_comes() {
    let mut request = demo::request("kitchen-extension");
    let text = String::from_utf8(request.bytes).unwrap();
    request.bytes = text.replace("start: 2027-01-18", "start: 2027-01-16").into_bytes();
    let demo = demo::work(&request);
    for kind in [DocumentKind::Method, DocumentKind::Quote] {
        let told = describe(kind, &demo.worked(), &Overrides::default()).unwrap();
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains("Monday 18 January 2027"), "{kind:?}");
        assert!(!told.contains("Saturday 16 January 2027"), "{kind:?}");
    }
}

#[test]
fn a_note_on_the_mat_that_does_not_hold_for_every_roof_names_its_roof() {
    let mut request = demo::request("kitchen-extension");
    let text = String::from_utf8(request.bytes).unwrap();
    let roof = &text[text.find("  - name: Main roof").unwrap()..text.find("strip: {").unwrap()];
    let porch = roof.replace("Main roof", "Porch").replace("way_off: left", "way_off: front");
    request.bytes = text.replace(roof, &format!("{roof}{porch}")).into_bytes();
    let demo = demo::work(&request);
    let told = describe(DocumentKind::Method, &demo.worked(), &Overrides::default()).unwrap();
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("Porch: Strips run up the fall"), "{told}");
    assert!(told.contains("Main roof: Strips lie along the low edge"), "{told}");
}

#[test]
fn what_a_user_typed_is_printed_as_it_was_typed() {
    for hostile in HOSTILE {
        let demo = hostile_demo(hostile);
        for kind in demo::KINDS {
            let told = describe(kind, &demo.worked(), &Overrides::default()).unwrap();
            let squeezed: String = told.chars().filter(|c| !c.is_whitespace()).collect();
            let wanted: String = hostile.chars().filter(|c| !c.is_whitespace()).collect();
            let first: String = wanted.chars().take(12).collect();
            assert!(squeezed.contains(&first), "{kind:?} does not show {hostile:?}");
        }
    }
}
