//! The house rules, read off the source itself: layers look one way, modules say what they are, one file names
//! printpdf, one file prints, one layer writes files, no two files import in a circle, a name stands for one type, and
//! quote and order see no cost and no hour.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// What each layer may use. `cli` may use everything.
const LAYERS: [(&str, &[&str]); 17] = [
    ("geometry", &[]),
    ("facts", &[]),
    ("model", &["geometry", "facts"]),
    ("cutting", &["geometry", "model"]),
    ("works", &["model"]),
    ("takeoff", &["model", "geometry", "cutting", "works"]),
    ("checks", &["model", "geometry", "takeoff", "facts"]),
    ("programme", &["model", "takeoff", "works"]),
    ("safety", &["model", "takeoff", "works", "facts"]),
    ("pricing", &["model", "geometry", "takeoff", "checks", "programme", "works"]),
    ("job_file", &["model", "geometry", "takeoff", "checks", "programme", "pricing", "works"]),
    ("estimate", &["model", "takeoff", "checks", "programme", "pricing"]),
    ("pages", &["model"]),
    ("pdf", &["model", "pages"]),
    (
        "documents",
        &[
            "facts",
            "model",
            "geometry",
            "cutting",
            "works",
            "takeoff",
            "checks",
            "programme",
            "safety",
            "pricing",
            "pages",
            "pdf",
        ],
    ),
    ("records", &["model"]),
    ("survey", &["model", "geometry", "job_file", "pages", "pdf"]),
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every Rust file below a folder, with its path from the root of the project.
fn sources(folder: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![root().join(folder)];
    while let Some(here) = folders.pop() {
        for entry in fs::read_dir(&here).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let name = path.strip_prefix(root()).unwrap().display().to_string();
                found.insert(name, fs::read_to_string(&path).unwrap());
            }
        }
    }
    found
}

// ---- What a file imports -------------------------------------------------------------------------------------------

/// The words and signs of a file's code, without comments and without what stands in quotes.
fn tokens(text: &str) -> Vec<String> {
    let code: Vec<char> = text.chars().collect();
    let at = |i: usize| code.get(i).copied().unwrap_or('\n');
    let mut found: Vec<String> = Vec::new();
    let mut i = 0;
    while i < code.len() {
        match code[i] {
            '/' if at(i + 1) == '/' => i = past(&code, i, "\n"),
            '/' if at(i + 1) == '*' => i = past(&code, i, "*/"),
            'r' if matches!(at(i + 1), '"' | '#') && raw_string(&code, i).is_some() => {
                i = raw_string(&code, i).unwrap();
            }
            '"' => {
                i += 1;
                while i < code.len() && code[i] != '"' {
                    i += if code[i] == '\\' { 2 } else { 1 };
                }
                i += 1;
            }
            '\'' if at(i + 1) == '\\' => i = past(&code, i + 3, "'"),
            '\'' if at(i + 2) == '\'' => i += 3,
            c if c.is_alphanumeric() || c == '_' => {
                let word: String = code[i..].iter().take_while(|c| c.is_alphanumeric() || **c == '_').collect();
                i += word.chars().count();
                found.push(word);
            }
            ':' if at(i + 1) == ':' => {
                found.push("::".into());
                i += 2;
            }
            c => {
                found.extend((!c.is_whitespace()).then(|| c.to_string()));
                i += 1;
            }
        }
    }
    found
}

/// Where the text goes on behind the next `end`.
fn past(code: &[char], from: usize, end: &str) -> usize {
    let end: Vec<char> = end.chars().collect();
    (from..code.len()).find(|&i| code[i..].starts_with(&end)).map_or(code.len(), |i| i + end.len())
}

/// Where a raw string that begins here ends; `None` where it is none (`r#type`).
fn raw_string(code: &[char], from: usize) -> Option<usize> {
    let hashes = code[from + 1..].iter().take_while(|c| **c == '#').count();
    (code.get(from + 1 + hashes) == Some(&'"'))
        .then(|| past(code, from + hashes + 2, &format!("\"{}", "#".repeat(hashes))))
}

/// A path that a file's code names: `["crate", "model", "Job"]`; whether it only hands it on (`pub use`).
#[derive(Debug, PartialEq)]
struct Import {
    path: Vec<String>,
    handed_on: bool,
}

/// Every path of a file's `use` lines, groups taken apart, and every path written in line after `crate`, `super` or `self`.
fn imports(text: &str) -> Vec<Import> {
    let tokens = tokens(text);
    let mut found = Vec::new();
    let mut i = 0;
    while i < tokens.len() {
        let before = i.checked_sub(1).map_or("", |i| &tokens[i]);
        if tokens[i] == "use" && before != "$" {
            let handed_on = before == "pub" || before == ")";
            let (paths, end) = use_tree(&tokens, i + 1);
            found.extend(paths.into_iter().map(|path| Import { path, handed_on }));
            i = end;
        } else if ["crate", "super", "self"].contains(&tokens[i].as_str()) && before != "::" {
            let mut path = vec![tokens[i].clone()];
            while tokens.get(i + 1).is_some_and(|t| t == "::") && tokens.get(i + 2).is_some_and(|t| is_word(t)) {
                path.push(tokens[i + 2].clone());
                i += 2;
            }
            found.extend((path.len() > 1).then_some(Import { path, handed_on: false }));
            i += 1;
        } else {
            i += 1;
        }
    }
    found
}

fn is_word(token: &str) -> bool {
    token.starts_with(|c: char| c.is_alphanumeric() || c == '_')
}

/// The paths of one `use`, and where it ends. `a::{self, b::{c, d as e}}` gives `a`, `a::b::c`, `a::b::d`.
fn use_tree(tokens: &[String], from: usize) -> (Vec<Vec<String>>, usize) {
    let (mut paths, mut outer): (Vec<Vec<String>>, Vec<Vec<String>>) = (Vec::new(), Vec::new());
    let (mut path, mut i): (Vec<String>, usize) = (Vec::new(), from);
    let close = |path: &[String], outer: &[Vec<String>], paths: &mut Vec<Vec<String>>| {
        let base = outer.last().map_or(0, Vec::len);
        if path.len() > base {
            let of_group = base > 0 && path.last().is_some_and(|last| last == "self");
            paths.push(path[..path.len() - usize::from(of_group)].to_vec());
        }
    };
    while i < tokens.len() && tokens[i] != ";" {
        match tokens[i].as_str() {
            "::" => {}
            "as" => i += 1,
            "{" => outer.push(path.clone()),
            "," => {
                close(&path, &outer, &mut paths);
                path = outer.last().cloned().unwrap_or_default();
            }
            "}" => {
                close(&path, &outer, &mut paths);
                path = outer.pop().unwrap_or_default();
                // What stood before the group was taken with each of its members.
                path.truncate(outer.last().map_or(0, Vec::len));
            }
            word => path.push(word.to_owned()),
        }
        i += 1;
    }
    close(&path, &outer, &mut paths);
    (paths, i)
}

/// The module that a file is: `src/takeoff/layout/mod.rs` is `["takeoff", "layout"]`.
fn module_of(file: &str) -> Vec<String> {
    let inside = file.trim_start_matches("src/").trim_end_matches(".rs");
    let mut path: Vec<String> = inside.split('/').map(str::to_owned).collect();
    if ["mod", "lib", "main"].contains(&path[path.len() - 1].as_str()) {
        path.pop();
    }
    path
}

/// An imported path from the root of the crate; `None` where it leads out of the crate.
fn from_root(import: &Import, here: &[String], modules: &BTreeMap<Vec<String>, String>) -> Option<Vec<String>> {
    let path = &import.path;
    let up = path.iter().take_while(|p| *p == "super").count();
    let (base, rest) = match path[0].as_str() {
        "crate" => (&here[..0], &path[1..]),
        "self" => (here, &path[1..]),
        "super" => (&here[..here.len().checked_sub(up)?], &path[up..]),
        child => {
            let mut of_here = here.to_vec();
            of_here.push(child.to_owned());
            return modules.contains_key(&of_here).then(|| [here, path].concat());
        }
    };
    Some([base, rest].concat())
}

/// The file in which an imported path ends: the longest part of it that is a module.
fn file_of<'a>(path: &[String], modules: &'a BTreeMap<Vec<String>, String>) -> Option<&'a String> {
    (0..=path.len()).rev().find_map(|n| modules.get(&path[..n]))
}

/// Every file by its module.
fn modules_of(files: &BTreeMap<String, String>) -> BTreeMap<Vec<String>, String> {
    files.keys().filter(|f| !f.ends_with("main.rs")).map(|f| (module_of(f), f.clone())).collect()
}

/// Which files each file imports from. What a parent only hands on (`mod.rs`: `pub use`) it does not import.
fn imported(files: &BTreeMap<String, String>) -> BTreeMap<String, BTreeSet<String>> {
    let modules = modules_of(files);
    let of_file = |(file, text): (&String, &String)| {
        let here = module_of(file);
        let parent = file.ends_with("mod.rs") || file.ends_with("lib.rs");
        let paths = imports(text).into_iter().filter(|import| !(parent && import.handed_on));
        let paths = paths.filter_map(|import| from_root(&import, &here, &modules));
        let other = paths.filter_map(|path| file_of(&path, &modules).cloned()).filter(|other| other != file);
        (file.clone(), other.collect())
    };
    files.iter().map(of_file).collect()
}

/// Every ring of files, each by its members: whoever can be reached from a file that it can reach itself.
fn circles(imported: &BTreeMap<String, BTreeSet<String>>) -> BTreeSet<Vec<String>> {
    let reach = |from: &String| {
        let mut found: BTreeSet<&String> = BTreeSet::new();
        let mut next: Vec<&String> = imported.get(from).into_iter().flatten().collect();
        while let Some(file) = next.pop() {
            if found.insert(file) {
                next.extend(imported.get(file).into_iter().flatten());
            }
        }
        found
    };
    let reached: BTreeMap<&String, BTreeSet<&String>> = imported.keys().map(|file| (file, reach(file))).collect();
    let ring = |file: &&String| {
        let members = reached[*file].iter().filter(|other| reached.get(**other).is_some_and(|r| r.contains(*file)));
        members.map(|other| (*other).clone()).collect::<Vec<String>>()
    };
    imported.keys().filter(|file| reached[file].contains(file)).map(|file| ring(&file)).collect()
}

fn layer_of(file: &str) -> Option<&str> {
    let inside = file.strip_prefix("src/")?;
    inside.split_once('/').map(|(layer, _)| layer).or(inside.strip_suffix(".rs"))
}

#[test]
fn every_layer_looks_one_way() {
    let known: Vec<&str> = LAYERS.iter().map(|l| l.0).chain(["cli"]).collect();
    let files = sources("src");
    let modules = modules_of(&files);
    let mut faults = BTreeSet::new();
    for (file, text) in &files {
        let Some((layer, allowed)) = LAYERS.iter().find(|(name, _)| layer_of(file) == Some(name)) else {
            continue;
        };
        for path in imports(text).iter().filter_map(|import| from_root(import, &module_of(file), &modules)) {
            let used = path.first().map_or("", String::as_str);
            if known.contains(&used) && used != *layer && !allowed.contains(&used) {
                faults.insert(format!("{file} uses crate::{used}"));
            }
        }
    }
    let faults: Vec<String> = faults.into_iter().collect();
    assert!(faults.is_empty(), "layers look back:\n{}", faults.join("\n"));
}

#[test]
fn no_two_files_import_in_a_circle() {
    let found: Vec<String> = circles(&imported(&sources("src"))).into_iter().map(|ring| ring.join("\n    ")).collect();
    assert!(found.is_empty(), "move what is shared into a file of its own:\n    {}", found.join("\n\n    "));
}

/// Some files of a crate that does not exist.
fn invented(files: &[(&str, &str)]) -> BTreeMap<String, String> {
    files.iter().map(|(file, text)| ((*file).to_owned(), (*text).to_owned())).collect()
}

#[test]
fn the_reader_of_imports_sees_every_way_of_writing_one() {
    let paths = |text: &str| imports(text).into_iter().map(|i| i.path.join("::")).collect::<Vec<String>>();
    assert_eq!(paths("use crate::{a, b::{c, d as e}};"), ["crate::a", "crate::b::c", "crate::b::d"]);
    assert_eq!(paths("use super::{x, y};"), ["super::x", "super::y"]);
    assert_eq!(paths("use self::z::{self, w};"), ["self::z", "self::z::w"]);
    assert_eq!(
        paths("use crate::{\n    a::{b, c},\n    d,\n};\nuse std::fmt;"),
        ["crate::a::b", "crate::a::c", "crate::d", "std::fmt"]
    );
    assert_eq!(
        paths("let x = crate::a::b::make(super::super::c::Two);"),
        ["crate::a::b::make", "super::super::c::Two"]
    );
    assert_eq!(
        paths("fn f(of: &crate::a::B<'_>) { '\"'; self::g('x', \"crate::quoted\") }"),
        ["crate::a::B", "self::g"]
    );
    assert_eq!(paths("// use crate::a;\n/* crate::b */ let s = r#\"crate::c\"#; use d::*;"), ["d::*"]);
    assert!(imports("pub(crate) use self::a::B;")[0].handed_on && !imports("use self::a::B;")[0].handed_on);
    assert_eq!(layer_of("src/takeoff/deck.rs"), Some("takeoff"));
    assert_eq!(layer_of("src/lib.rs"), Some("lib"));
}

#[test]
fn the_finder_of_circles_can_fail() {
    let ring = |files: &[(&str, &str)]| circles(&imported(&invented(files))).into_iter().collect::<Vec<_>>();
    let pair = [("src/a/b.rs", "use super::c::{Two, x};"), ("src/a/c.rs", "fn f() -> crate::a::b::One {}")];
    assert_eq!(ring(&pair), [["src/a/b.rs", "src/a/c.rs"]]);
    let longer = [("src/a.rs", "use crate::{b::X};"), ("src/b.rs", "use super::c;"), ("src/c.rs", "crate::a::g()")];
    assert_eq!(ring(&longer), [["src/a.rs", "src/b.rs", "src/c.rs"]]);
    let parent = [("src/a/mod.rs", "mod b; use self::b::One;"), ("src/a/b.rs", "use super::Two;")];
    assert_eq!(ring(&parent), [["src/a/b.rs", "src/a/mod.rs"]]);
    let handing_on = [("src/a/mod.rs", "mod b; pub use self::b::One;"), ("src/a/b.rs", "use super::Two;")];
    assert!(ring(&handing_on).is_empty());
}

// ---- What the householder and the merchant may see ---------------------------------------------------------------------

/// The files that make the quote and the order, and what each of them may import of the layers that know costs and hours,
/// and of the other documents.
const OUTWARD: [&str; 20] = [
    "quote",
    "quote_foot",
    "order",
    "offers",
    "csv",
    "ubl",
    "letterhead",
    "findings",
    "guarantee",
    "told",
    "edge_words",
    "old_roof_words",
    "kerb_goods",
    "said_once",
    "invoice",
    "receipt",
    "account",
    "variation",
    "ubl_invoice",
    "handover",
];
const MAY_SEE: [&str; 45] = [
    "documents::invoice",
    "documents::ubl",
    "documents::Finished",
    "documents::Overrides",
    "documents::words_and_fonts",
    "pricing::invoicing",
    "pricing::variation::FoundUnit",
    "documents::DocumentKind",
    "documents::cells",
    "documents::csv",
    "documents::drawings",
    "documents::edge_words",
    "documents::findings",
    "documents::guarantee",
    "documents::letterhead",
    "documents::offers",
    "documents::old_roof_words",
    "documents::kerb_goods",
    "documents::said_once",
    "documents::standing",
    "documents::built_edges",
    "documents::views::BuiltView",
    "documents::views::OldRoofView",
    "documents::told",
    "documents::views::OrderView",
    "documents::views::PickLine",
    "documents::views::QuotedPrice",
    "documents::views::QuoteView",
    "documents::quote_foot",
    "documents::views::RoofView",
    "documents::wording",
    "documents::words",
    "pricing::Drops",
    "pricing::Money",
    "pricing::Offer",
    "pricing::OptionPrice",
    "pricing::OptionTotals",
    "pricing::RotRate",
    "pricing::Stage",
    "pricing::options::CombinationTotal",
    "pricing::options::Show",
    "pricing::terms::ExtraKind",
    "programme::calendar",
    "programme::timetable",
    "works",
];

/// What the outward files of these import and may not: a layer that knows costs or hours, a whole job, or more of a model
/// than a view gives.
fn seen_too_much(files: &BTreeMap<String, String>) -> Vec<String> {
    let modules = modules_of(files);
    let closed = ["documents", "pricing", "programme", "estimate", "job_file", "cli", "works"];
    let whole = ["model::Job", "model::Rules", "model::Products", "model::Trade", "model::job::Job", "model::rules"];
    let mut found = Vec::new();
    for name in OUTWARD {
        let file = format!("src/documents/{name}.rs");
        let Some(text) = files.get(&file) else { continue };
        for path in imports(text).iter().filter_map(|import| from_root(import, &module_of(&file), &modules)) {
            let path = path.join("::");
            let is = |known: &str| path == known || path.starts_with(&format!("{known}::"));
            let layer = path.split("::").next().unwrap_or_default();
            if closed.contains(&layer) && !MAY_SEE.iter().any(|m| is(m)) || whole.iter().any(|w| is(w)) {
                found.push(format!("{file} imports {path}"));
            }
        }
    }
    found
}

#[test]
fn quote_and_order_are_given_their_views_and_nothing_that_knows_a_cost_or_an_hour() {
    let files = sources("src");
    assert!(OUTWARD.iter().all(|name| files.contains_key(&format!("src/documents/{name}.rs"))));
    assert_eq!(seen_too_much(&files), [""; 0]);
    // A view that is made anywhere else, or that lets go of what it hides, would be a way round.
    let views = &files["src/documents/views.rs"];
    for hidden in ["access: &'a [(Access, Forced)]", "drawn: &'a Roof"] {
        assert!(views.contains(&format!("\n    {hidden},\n")), "`{hidden}` is private to the views");
    }
    for shown in fields(views) {
        let told = ["Pricing", "Terms", "Programme", "WholeJob", "Job", "Rules", "Order", "OrderLine", "Cost"];
        assert!(!told.contains(&shown.as_str()), "a view shows a whole {shown}");
    }
}

/// The words of the types of every field of a file that another file can see.
fn fields(text: &str) -> Vec<String> {
    let shown =
        text.lines().filter_map(|l| l.strip_prefix("    pub ")?.split_once(": ")).filter(|l| !l.0.contains('('));
    shown.flat_map(|(_, of)| tokens(of)).filter(|word| is_word(word)).collect()
}

#[test]
fn the_finder_of_what_is_seen_too_much_can_fail() {
    let seen = |text: &str| {
        let known = [("src/documents/mod.rs", ""), ("src/documents/views.rs", ""), ("src/pricing/mod.rs", "")];
        seen_too_much(&invented(&[&known[..], &[("src/documents/quote.rs", text)]].concat()))
    };
    for text in [
        "use super::WholeJob;",
        "use super::views::{self, QuoteView};",
        "use super::*;",
        "use crate::pricing::{Money, Pricing};",
        "use crate::pricing;",
        "fn f(p: &crate::programme::Programme) {}",
        "use crate::pricing::terms::Terms;",
        "use crate::model::{Problem, Rules};",
        "use crate::pricing::OrderLine;",
        "use super::private;",
    ] {
        assert_eq!(seen(text).len(), 1, "{text}");
    }
    assert_eq!(
        seen("use super::views::QuoteView; use crate::pricing::{Money, Stage}; use crate::model::Finish;"),
        [""; 0]
    );
    assert_eq!(fields("    pub price: &'a Pricing,\n    own: Terms,\n    pub fn of(job: Job) {}"), ["a", "Pricing"]);
}

// ---- Names ---------------------------------------------------------------------------------------------------------

/// The types that a file defines, and whether another file can see them.
fn types(text: &str) -> Vec<(String, bool)> {
    let tokens = tokens(text);
    let defines = |i: &usize| ["struct", "enum", "trait", "type", "union"].contains(&tokens[*i].as_str());
    let named = (0..tokens.len().saturating_sub(1)).filter(defines).filter(|&i| is_word(&tokens[i + 1]));
    let seen = |i: usize| i > 0 && ["pub", ")"].contains(&tokens[i - 1].as_str());
    named.map(|i| (tokens[i + 1].clone(), seen(i))).collect()
}

/// Names that stand for two things, where one of them can be seen from another file.
fn names_twice(files: &BTreeMap<String, String>) -> Vec<String> {
    let mut homes: BTreeMap<String, Vec<(String, bool)>> = BTreeMap::new();
    for (file, text) in files {
        for (name, seen) in types(text) {
            homes.entry(name).or_default().push((file.clone(), seen));
        }
    }
    homes.retain(|name, homes| !OF_TRAITS.contains(&name.as_str()) && homes.len() > 1 && homes.iter().any(|h| h.1));
    let told = |(name, homes): (String, Vec<(String, bool)>)| {
        format!("{name}: {}", homes.into_iter().map(|h| h.0).collect::<Vec<_>>().join(", "))
    };
    homes.into_iter().map(told).collect()
}

/// Names that the language's own traits ask for.
const OF_TRAITS: [&str; 4] = ["Output", "Value", "Err", "Error"];

#[test]
fn a_name_stands_for_one_type() {
    let twice = names_twice(&sources("src"));
    assert!(twice.is_empty(), "give each its own name:\n{}", twice.join("\n"));
    let files =
        [("src/a.rs", "pub struct Sheet;"), ("src/b.rs", "pub(super) enum Sheet {}"), ("src/c.rs", "type Own = u8;")];
    assert_eq!(names_twice(&invented(&files)), ["Sheet: src/a.rs, src/b.rs"]);
}

#[test]
fn every_module_opens_with_what_it_is() {
    let bare: Vec<String> = ["src", "tests"]
        .iter()
        .flat_map(|folder| sources(folder))
        .filter(|(_, text)| !text.starts_with("//!"))
        .map(|(file, _)| file)
        .collect();
    assert!(bare.is_empty(), "no `//!` at the top of:\n{}", bare.join("\n"));
}

#[test]
fn only_one_file_names_printpdf_one_prints_and_one_layer_writes_files() {
    for (word, home) in [
        ("printpdf::", "src/pdf/writer.rs"),
        ("io::stdout()", "src/cli/terminal.rs"),
        ("io::stderr()", "src/cli/terminal.rs"),
        ("File::create", "src/records/"),
        ("fs::write", "src/records/"),
        ("OffsetDateTime::now", "src/cli/"),
        ("SystemTime::now", "src/cli/"),
        ("HashMap", "nowhere: its order changes from run to run"),
        ("HashSet", "nowhere: its order changes from run to run"),
    ] {
        let strangers: Vec<String> = sources("src")
            .into_iter()
            .filter(|(file, text)| text.contains(word) && !file.starts_with(home))
            .map(|(file, _)| file)
            .collect();
        assert!(strangers.is_empty(), "`{word}` belongs in {home}, and stands in {strangers:?}");
    }
}

#[test]
fn the_model_knows_no_file_format_and_no_money() {
    for (file, text) in sources("src/model") {
        for word in ["serde", "Money", "std::fs", "std::path"] {
            let used = text.lines().any(|l| !l.trim_start().starts_with("//") && l.contains(word));
            assert!(!used, "{file} names {word}");
        }
    }
}

#[test]
fn no_module_is_named_for_nothing_in_particular() {
    for file in sources("src").keys().chain(sources("tests").keys()) {
        let stem = Path::new(file).file_stem().unwrap().to_str().unwrap();
        assert!(!["util", "utils", "helpers", "common", "misc"].contains(&stem), "{file}: name it for what it holds");
    }
}

#[test]
fn the_top_level_holds_what_the_project_says_and_nothing_else() {
    let known = [
        "Cargo.toml",
        "Cargo.lock",
        "LICENSE",
        "README.md",
        "DEVELOPERS.md",
        "src",
        "templates",
        "fonts",
        "tests",
        "jobs",
        "target",
        // Whoever follows the README has jobs of their own there.
        "my-jobs",
    ];
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(name.starts_with('.') || known.contains(&name.as_str()), "{name} does not belong at the top level");
    }
}
