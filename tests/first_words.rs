//! What the program says before any job is typed: what to do first, help with examples, completions, the manual page; and how
//! much it says besides what was asked for. `README.md` is followed from top to bottom as whoever installs it follows it.

use crate::command::{scratch, wetout};
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn said(arguments: &[&str]) -> String {
    let done = wetout(arguments);
    assert_eq!((done.status.code(), text(&done.stderr)), (Some(0), String::new()), "{arguments:?}");
    text(&done.stdout)
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The demo jobs in a folder of their own, in which documents may be written.
fn copy_of_jobs(name: &str) -> std::path::PathBuf {
    fn copy(from: &Path, to: &Path) {
        fs::create_dir_all(to).unwrap();
        for entry in fs::read_dir(from).unwrap() {
            let path = entry.unwrap().path();
            let there = to.join(path.file_name().unwrap());
            match path.is_dir() {
                true if path.ends_with("out") => {}
                true => copy(&path, &there),
                false => drop(fs::copy(&path, &there).unwrap()),
            }
        }
    }
    let folder = scratch(name);
    copy(Path::new("jobs"), &folder.join("jobs"));
    folder
}

fn typed(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_wetout")).args(arguments).current_dir(folder).output().unwrap()
}

const COMMANDS: [&str; 32] = [
    "survey",
    "new",
    "check",
    "licences",
    "takeoff",
    "works",
    "price",
    "quote",
    "order",
    "method",
    "draw",
    "make",
    "watch",
    "issue",
    "accept",
    "withdraw",
    "decline",
    "list",
    "compare",
    "mail",
    "invoice",
    "receipt",
    "account",
    "variation",
    "handover",
    "actuals",
    "stock",
    "prices",
    "templates",
    "help",
    "completions",
    "man",
];

/// The commands of a text, without what a shell does with their output and without the words behind them.
fn commands(text: &str) -> Vec<Vec<String>> {
    let after = |line: &str| line.find("wetout ").map(|at| line[at..].to_owned());
    let lines = text.lines().filter(|l| l.starts_with("  ")).filter_map(after);
    lines
        .map(|line| line.split("  ").next().unwrap_or_default().split(" >").next().unwrap_or_default().to_owned())
        .map(|line| words(&line).into_iter().skip(1).collect())
        .collect()
}

/// The words of a command as a shell parts them: what stands between quotes is one.
fn words(line: &str) -> Vec<String> {
    let mut quoted = false;
    let parts = line.trim().split(|c: char| {
        quoted ^= c == '"';
        c.is_whitespace() && !quoted
    });
    parts.map(|word| word.replace('"', "")).collect()
}

#[test]
fn alone_it_says_what_to_do_first() {
    let first = said(&[]);
    assert!(first.contains("What to do first:") && first.contains("wetout help edges") && first.lines().count() < 15);
    assert_eq!(commands(&first).len(), 5, "{first}");
}

#[test]
fn every_command_of_the_examples_can_be_typed() {
    let mut texts = vec![said(&[]), said(&["--help"])];
    texts.extend(COMMANDS.map(|command| said(&["help", command])));
    let folder = copy_of_jobs("examples");
    // What is invoiced was accepted before.
    let accept = ["accept", "jobs/bay", "--on", "2026-12-02", "--name", "A. Householder"];
    for words in [&["issue", "jobs/bay", "quote"][..], &accept] {
        let done = typed(&folder, words);
        assert_eq!(done.status.code(), Some(0), "{words:?}: {}", text(&done.stderr));
    }
    // Quotes that were sent already, one of them twice; what is said of a signed PDF is tried where there is one.
    let job = folder.join("jobs/kitchen-extension/job.yaml");
    let sent_twice = fs::read_to_string(&job).unwrap();
    for (text, name) in
        [(sent_twice.replace("valid_days: 30", "valid_days: 20"), "kitchen-extension"), (sent_twice, "dormer")]
    {
        fs::write(&job, text).unwrap();
        let sent = typed(&folder, &["issue", &format!("jobs/{name}"), "quote"]);
        assert_eq!(sent.status.code(), Some(0), "{name}: {sent:?}");
    }
    let mut tried = 0;
    for command in texts.iter().flat_map(|text| commands(text)) {
        if command.iter().any(|word| {
            word.contains("my-jobs") || word.starts_with('[') || word.starts_with('<') || word == "signed.pdf"
        }) {
            continue;
        }
        let words: Vec<&str> = command.iter().map(String::as_str).collect();
        let done = typed(&folder, &words);
        assert_eq!(done.status.code(), Some(0), "{command:?}: {}", text(&done.stderr));
        tried += 1;
    }
    assert!(tried >= 24, "{tried}");
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_shell_completes_every_command_and_the_manual_names_it() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = said(&["completions", shell]);
        let absent: Vec<&&str> = COMMANDS.iter().filter(|command| !script.contains(**command)).collect();
        assert!(absent.is_empty(), "{shell}: {absent:?}");
    }
    let page = said(&["man"]);
    assert!(page.contains(".TH wetout 1") && page.contains(".SH DESCRIPTION"), "{}", &page[..400.min(page.len())]);
    let absent: Vec<&&str> =
        COMMANDS.iter().filter(|command| !page.contains(&format!("wetout\\-{command}(1)"))).collect();
    assert!(absent.is_empty(), "{absent:?}");
    let done = wetout(&["completions", "tortoise"]);
    assert_eq!(done.status.code(), Some(2));
    assert!(text(&done.stderr).contains("possible values: bash"));
}

#[test]
fn it_says_as_much_as_is_wanted() {
    let folder = copy_of_jobs("loudness");
    // The balcony has a warning.
    let usual = typed(&folder, &["quote", "jobs/balcony"]);
    assert!(text(&usual.stdout).contains("quote.pdf") && text(&usual.stderr).contains("warning: "));
    let quiet = typed(&folder, &["quote", "jobs/balcony", "--quiet"]);
    assert_eq!(
        (quiet.status.code(), text(&quiet.stdout), text(&quiet.stderr)),
        (Some(0), String::new(), String::new())
    );
    let verbose = text(&typed(&folder, &["quote", "jobs/balcony", "-v"]).stderr);
    assert!(
        verbose
            .starts_with("read jobs/balcony/job.yaml with firm file jobs/firm.yaml and price book jobs/prices.yaml\n"),
        "{verbose}"
    );
    assert!(verbose.contains("warning: ") && verbose.contains("assumed: "), "{verbose}");
    let both = typed(&folder, &["quote", "jobs/balcony", "-q", "-v"]);
    assert_eq!(both.status.code(), Some(2));
    // What was asked for and what is wrong is told all the same.
    assert!(text(&typed(&folder, &["takeoff", "jobs/bay", "-q"]).stdout).lines().count() > 10);
    fs::write(folder.join("jobs/bay/job.yaml"), "title: Bay\n").unwrap();
    let wrong = typed(&folder, &["make", "jobs/bay", "-q"]);
    assert!(wrong.status.code() == Some(1) && text(&wrong.stderr).contains("problem: "));
    fs::remove_dir_all(folder).unwrap();
}

/// The blocks of `README.md` with their languages, in order.
fn readme_blocks() -> Vec<(String, String)> {
    let text = fs::read_to_string("README.md").unwrap();
    let mut parts = text.split("\n```");
    parts.next();
    // Between two fences stands a block, then the text behind it.
    let blocks: Vec<&str> = parts.step_by(2).collect();
    let one = |block: &&str| block.split_once('\n').map(|(language, text)| (language.to_owned(), format!("{text}\n")));
    blocks.iter().map(|block| one(block).unwrap()).collect()
}

/// What of a block of commands is typed here: not what builds the program, what waits for a person, or what goes to a mail server.
fn typed_here(block: &str) -> String {
    let stays = |line: &&str| {
        let built = ["cargo ", "rustup ", "read ", "wetout watch "].iter().any(|begin| line.starts_with(begin));
        // A form that somebody has filled in is not there.
        let filled = line.contains("filled.pdf") || line.contains("my-jobs/smith");
        !built && !filled && (!line.contains(" --send") || line.contains(" --dry-run"))
    };
    block.lines().filter(stays).map(|line| format!("{line}\n")).collect()
}

#[test]
fn the_readme_is_followed_from_top_to_bottom() {
    let desk = copy_of_jobs("readme");
    let program = Path::new(env!("CARGO_BIN_EXE_wetout")).parent().unwrap();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    let mut tried = 0;
    for (language, text) in readme_blocks() {
        match language.as_str() {
            "sh" => {
                let script = typed_here(&text);
                tried += script.lines().count();
                let done = Command::new("sh")
                    .args(["-e", "-c", &script])
                    .current_dir(&desk)
                    .env("PATH", &path)
                    .output()
                    .unwrap();
                assert_eq!(done.status.code(), Some(0), "{script}{}{}", text_of(&done.stdout), text_of(&done.stderr));
            }
            "yaml" if text.starts_with("reference:") => fs::write(desk.join("my-jobs/porch/job.yaml"), text).unwrap(),
            "yaml" | "text" => {}
            other => panic!("`{other}` is no language of a block of README.md"),
        }
    }
    assert!(tried >= 18, "{tried}");
    // What the commands promise is there.
    for file in ["out/quote.pdf", "issued/26-101-A/quote.pdf", "issued/26-101-invoice-1", "issued/26-101-receipt-1"] {
        assert!(desk.join("my-jobs/porch").join(file).exists(), "{file}");
    }
    fs::remove_dir_all(desk).unwrap();
}

fn text_of(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// A text in parts that begin at lines with a key at this depth, each with its key.
fn by_key(text: &str, depth: usize) -> Vec<(String, String)> {
    let mut parts: Vec<(String, String)> = Vec::new();
    for line in text.lines() {
        let key = line
            .get(depth..)
            .filter(|rest| line[..depth].trim().is_empty() && rest.starts_with(|c: char| c.is_ascii_lowercase()));
        match key.and_then(|rest| rest.split_once(':')) {
            Some((key, _)) => parts.push((key.to_owned(), format!("{line}\n"))),
            None if parts.is_empty() => parts.push((String::new(), format!("{line}\n"))),
            None => parts.last_mut().unwrap().1 += &format!("{line}\n"),
        }
    }
    parts
}

/// A text in which some keys of a depth are those of another one.
fn with_keys(base: &str, other: &str, depth: usize) -> String {
    let other = by_key(other, depth);
    let stays = |key: &str| other.iter().all(|(mine, _)| mine != key);
    let kept: String = by_key(base, depth).into_iter().filter(|(key, _)| stays(key)).map(|part| part.1).collect();
    kept + &other.into_iter().map(|part| part.1).collect::<String>()
}

/// A job with other keys in its only roof.
fn with_roof_keys(job: &str, keys: &str) -> String {
    let of_job = by_key(job, 0);
    let roof = |part: &str| {
        let (head, body) = part.split_at(part.find("    outline").unwrap());
        head.to_owned() + &with_keys(body, keys, 4)
    };
    of_job.into_iter().map(|(key, part)| if key == "roofs" { roof(&part) } else { part }).collect()
}

#[test]
fn every_block_of_a_file_in_the_readme_is_accepted_in_its_place() {
    let desk = copy_of_jobs("readme-blocks");
    fs::copy("jobs/logo.png", desk.join("jobs/before.jpg")).unwrap();
    let firm = fs::read_to_string("jobs/firm.yaml").unwrap();
    let blocks: Vec<String> = readme_blocks().into_iter().filter(|b| b.0 == "yaml").map(|b| b.1).collect();
    let base = blocks.iter().find(|text| text.starts_with("reference:")).unwrap().clone();
    let indented = |text: &str| text.lines().map(|line| format!("    {line}\n")).collect::<String>();
    let mut tried = std::collections::BTreeSet::new();
    for text in &blocks {
        let key = text.split(':').next().unwrap();
        tried.insert(key.to_owned());
        // What stands in a file of its own.
        match key {
            "found" => {
                wetout::job_file::load_found("found.yaml".into(), text.as_bytes()).map(drop).unwrap();
                continue;
            }
            "finished" => {
                fs::write(desk.join("record.yaml"), text.replace("photos:", "# photos:")).unwrap();
                wetout::job_file::load_record(&desk.join("record.yaml")).map(drop).unwrap();
                continue;
            }
            "counted" => {
                fs::write(desk.join("stock.yaml"), text).unwrap();
                wetout::job_file::load_stock(&desk.join("stock.yaml")).map(drop).unwrap();
                continue;
            }
            // It names a merchant's list that is not here.
            "list" => continue,
            _ => {}
        }
        let (job, firm) = match key {
            "coverings" | "mail" => (base.clone(), with_keys(&firm, text, 0)),
            "outline" => {
                let edges =
                    "edges: {front: drip, side: raised, back: raised, house: {finish: wall, upstand: 240 mm}}\n";
                (with_roof_keys(&base, &indented(&format!("{text}{edges}"))), firm.clone())
            }
            // What a roof says for itself, the rest of it left out.
            "roofs" if !text.contains("outline") => {
                let own: String = text.lines().skip(2).map(|line| format!("{line}\n")).collect();
                (with_roof_keys(&base, &own), firm.clone())
            }
            // Nothing is stripped where the old laminate stays.
            _ if text.contains("    work: ") => {
                let kept = by_key(&base, 0).into_iter().filter(|(key, _)| key != "strip");
                (with_keys(&kept.map(|part| part.1).collect::<String>(), text, 0), firm.clone())
            }
            _ => (with_keys(&base, text, 0), firm.clone()),
        };
        fs::write(desk.join("jobs/firm.yaml"), firm).unwrap();
        fs::write(desk.join("jobs/block.yaml"), &job).unwrap();
        let done = typed(&desk, &["check", "jobs/block.yaml"]);
        assert_eq!(done.status.code(), Some(0), "{job}\n{}", text_of(&done.stderr));
    }
    assert!(tried.len() >= 9, "{tried:?}");
    fs::remove_dir_all(desk).unwrap();
}

#[test]
fn the_pictures_of_the_readme_are_there_and_small() {
    let text = fs::read_to_string("README.md").unwrap();
    let named =
        text.split("](").skip(1).filter_map(|rest| rest.split(')').next()).filter(|name| name.ends_with(".png"));
    let pictures: Vec<&str> = named.collect();
    assert!(pictures.len() >= 4, "{pictures:?}");
    for picture in pictures {
        let bytes = fs::read(picture).unwrap();
        // A PNG whose colours are a palette (type 3).
        assert!(bytes.starts_with(b"\x89PNG") && bytes[25] == 3 && bytes.len() < 60_000, "{picture}: {}", bytes.len());
    }
    // Places of its own that it points to.
    let anchor = |heading: &str| {
        let plain = heading.to_lowercase().replace([',', '.', '“', '”', '`', '?'], "");
        plain.replace(' ', "-")
    };
    let headings: Vec<String> = text
        .lines()
        .filter_map(|l| l.trim_start_matches('#').strip_prefix(' ').filter(|_| l.starts_with('#')))
        .map(anchor)
        .collect();
    for to in text.split("](#").skip(1).filter_map(|rest| rest.split(')').next()) {
        assert!(headings.iter().any(|heading| heading == to), "no heading `{to}`");
    }
}

#[test]
fn a_word_that_is_a_part_of_a_key_finds_it_before_what_is_only_spelt_alike() {
    let said = |word: &str| {
        let done = wetout(&["help", word]);
        String::from_utf8([done.stdout, done.stderr].concat()).unwrap()
    };
    // An edge has its own name, beside the side of that name that gives a shape its length.
    for word in ["front", "edges.front", "roofs.edges.left"] {
        let told = said(word);
        assert!(
            told.contains("roofs.edges (job file)\n  What stands at each edge, by the edge's name."),
            "{word}: {told}"
        );
        assert_eq!(told.contains("roofs.outline.quadrilateral.front"), word == "front", "{told}");
    }
    let told = said("rot");
    assert!(told.contains("near it: `wetout help money.rot_rates`"), "{told}");
}
