//! What the program is built from: the list that it prints is that of `Cargo.lock`, and every licence on it is one that lets it be
//! given away under its own.

use crate::command::wetout;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// A package of `Cargo.lock`: name, version, and the packages that it needs, as they are written there.
type Locked = (String, String, Vec<String>);

fn read(name: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

fn locked() -> Vec<Locked> {
    let text = read("Cargo.lock");
    let field = |part: &str, key: &str| {
        let line = part.lines().find_map(|line| line.strip_prefix(key)?.strip_prefix(" = "));
        line.map(|value| value.trim_matches('"').to_owned()).unwrap_or_default()
    };
    let needs = |part: &str| {
        let list = part.split_once("dependencies = [").map_or("", |(_, list)| list);
        list.split('"').skip(1).step_by(2).map(str::to_owned).collect()
    };
    text.split("[[package]]").skip(1).map(|p| (field(p, "name"), field(p, "version"), needs(p))).collect()
}

/// The names of the crates that `Cargo.toml` asks for and that are always built in.
fn direct() -> BTreeSet<String> {
    let text = read("Cargo.toml");
    let list = text.split_once("\n[dependencies]\n").unwrap().1.split("\n[").next().unwrap();
    let named = |line: &str| {
        let (name, rest) = line.split_once(" = ")?;
        let package = rest.split_once("package = \"").map(|(_, p)| p.split('"').next().unwrap().to_owned());
        (!rest.contains("optional = true")).then(|| package.unwrap_or_else(|| name.to_owned()))
    };
    list.lines().filter_map(named).collect()
}

#[test]
fn the_list_of_licences_is_that_of_what_is_locked() {
    let all = locked();
    let place = |words: &String| {
        let (name, version) = words.split_once(' ').unwrap_or((words, ""));
        all.iter().position(|p| p.0 == name && (version.is_empty() || p.1 == version)).unwrap()
    };
    let direct = direct();
    assert!(direct.len() > 20 && direct.contains("yaml_serde") && !direct.contains("criterion"), "{direct:?}");
    let own = all.iter().find(|p| p.0 == "wetout").unwrap();
    let mut open: Vec<usize> =
        own.2.iter().filter(|words| direct.contains(words.split(' ').next().unwrap())).map(place).collect();
    assert_eq!(open.len(), direct.len());
    let mut built = BTreeSet::new();
    while let Some(n) = open.pop() {
        if built.insert(format!("{} {}", all[n].0, all[n].1)) {
            open.extend(all[n].2.iter().map(place));
        }
    }
    let listed: BTreeSet<String> =
        read("src/cli/licences.txt").lines().map(|line| line.split_once(": ").unwrap().0.to_owned()).collect();
    let (absent, strange): (Vec<_>, Vec<_>) =
        (built.difference(&listed).collect(), listed.difference(&built).collect());
    assert!(absent.is_empty() && strange.is_empty(), "run .ci/licences --write: {absent:?} {strange:?}");
    let said = String::from_utf8(wetout(&["licences"]).stdout).unwrap();
    assert!(said.contains("under the MIT licence") && said.ends_with(&read("src/cli/licences.txt")));
}

/// Licences under which a library may be built into a program that is given away under another, as long as it is named.
const TAKEN: [&str; 14] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CDLA-Permissive-2.0",
    "IJG",
    "ISC",
    "MIT",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
    "CC0-1.0",
];

/// Whether an expression (SPDX 2.3, annex D) leaves a choice in which every licence is taken.
fn is_taken(expression: &str) -> bool {
    let bare = expression.trim();
    let parts = |word: &str| {
        let (mut depth, mut parts, mut start) = (0, Vec::new(), 0);
        for (at, sign) in bare.char_indices() {
            depth += i32::from(sign == '(') - i32::from(sign == ')');
            if depth == 0 && bare[at..].starts_with(word) {
                parts.push(&bare[start..at]);
                start = at + word.len();
            }
        }
        parts.push(&bare[start..]);
        parts
    };
    match (parts(" OR "), parts(" AND ")) {
        (any, _) if any.len() > 1 => any.into_iter().any(is_taken),
        (_, all) if all.len() > 1 => all.into_iter().all(is_taken),
        _ => match bare.strip_prefix('(').and_then(|inner| inner.strip_suffix(')')) {
            Some(inner) => is_taken(inner),
            None => TAKEN.contains(&bare),
        },
    }
}

#[test]
fn every_library_leaves_a_licence_that_is_taken() {
    let refused: BTreeMap<String, String> = read("src/cli/licences.txt")
        .lines()
        .filter_map(|line| line.split_once(": "))
        .filter(|(_, licence)| !is_taken(licence))
        .map(|(name, licence)| (name.to_owned(), licence.to_owned()))
        .collect();
    assert!(refused.is_empty(), "{refused:?}");
    assert!(is_taken("MIT OR GPL-3.0") && is_taken("(MIT OR GPL-3.0) AND Unicode-3.0"));
    assert!(
        !is_taken("GPL-3.0")
            && !is_taken("MIT AND GPL-3.0")
            && !is_taken("(GPL-3.0 OR AGPL-3.0) AND MIT")
            && !is_taken("")
    );
}
