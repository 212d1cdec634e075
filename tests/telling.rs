//! How much is printed where: a line that sums up, groups by what is decided next, tables that fold, and files and paths as
//! Windows writes them.

use crate::command::scratch;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A desk with the kitchen's job on it.
fn desk(name: &str) -> PathBuf {
    let desk = scratch(name);
    fs::create_dir_all(desk.join("kitchen")).unwrap();
    for file in ["firm.yaml", "prices.yaml", "logo.png"] {
        fs::copy(Path::new("jobs").join(file), desk.join(file)).unwrap();
    }
    fs::copy("jobs/kitchen-extension/job.yaml", desk.join("kitchen/job.yaml")).unwrap();
    desk
}

fn typed(desk: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_wetout")).args(arguments).current_dir(desk).env_remove("COLUMNS").output().unwrap()
}

fn told(desk: &Path, arguments: &[&str]) -> String {
    let done = typed(desk, arguments);
    assert_eq!(done.status.code(), Some(0), "{arguments:?}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).unwrap()
}

fn change(desk: &Path, from: &str, to: &str) {
    let job = desk.join("kitchen/job.yaml");
    let text = fs::read_to_string(&job).unwrap();
    assert!(text.contains(from), "{from}");
    fs::write(job, text.replacen(from, to, 1)).unwrap();
}

/// Where each of some words stands in a text, which must be in this order.
fn in_order(text: &str, words: &[&str]) {
    let places: Vec<usize> =
        words.iter().map(|w| text.find(w).unwrap_or_else(|| panic!("`{w}` is not told: {text}"))).collect();
    assert!(places.is_sorted(), "{places:?}: {text}");
}

#[test]
fn check_sums_up_and_groups_by_what_is_decided_next() {
    let desk = desk("telling-check");
    change(&desk, "asbestos: no", "asbestos: not known");
    change(&desk, "fall: 1:40", "fall: 1:70");
    change(&desk, "start: 2027-01-18", "start: 2026-12-20");
    change(&desk, "board: osb3-18", "board: osb3-15");
    let job = desk.join("kitchen/job.yaml");
    let prices = desk.join("prices.yaml");
    let boards = fs::read_to_string(&prices).unwrap().replace("osb3-18", "osb3-15");
    fs::write(&prices, boards.replace("thickness: 18 mm", "thickness: 15 mm")).unwrap();
    let spaced = fs::read_to_string(&job).unwrap().replacen("spacing: 400 mm", "spacing: 600 mm", 1);
    fs::write(&job, spaced + "silence: [{warning: fall, because: agreed in writing}]\n").unwrap();
    let said = told(&desk, &["check", "kitchen"]);
    let first = said.lines().next().unwrap();
    assert!(first.starts_with("kitchen/job.yaml: 26-041 Kitchen extension: 1 roof, nothing stops it; "), "{first}");
    assert!(first.contains(" warnings to decide on, 1 warning left as known and "), "{first}");
    in_order(
        &said,
        &[
            "\nBefore anybody goes up there\n",
            "asbestos",
            "\nDecide how it is built\n",
            "`osb3-15` is 15 mm thick, which joists 450 mm apart carry, and these stand 600 mm apart",
            "choose a board of 18 mm or more",
            "\nSettle the days\n",
            "(start)",
            "\nKnown, and left so\n",
            "silenced: a fall of 1:70",
            "\nNot said, and taken so: say what is otherwise\n",
            "assumed: what lies over and under the joists",
            " in kitchen/job.yaml\n",
        ],
    );
    fs::remove_dir_all(desk).unwrap();
}

#[test]
fn take_off_and_price_begin_with_what_is_decided() {
    let desk = desk("telling-tables");
    let takeoff = told(&desk, &["takeoff", "kitchen"]);
    let first = takeoff.lines().next().unwrap();
    assert_eq!(
        first,
        "26-041 Kitchen extension: 1 roof, 16.68 m2, 13 boards, 19.42 m2 of mat; 1 of 4 checks to decide on"
    );
    in_order(
        &takeoff,
        &[
            "\nDecide first: ",
            "weight.dead",
            "\nMain roof: is that what you measured?\n",
            "trim.drip.run",
            "\nMain roof: what it takes\n",
            "deck.boards",
            "\nAll roofs together: what is bought\n",
            "trim.drip.lengths",
            "\nChecks that are met\n",
            "gutter.front ",
        ],
    );
    let price = told(&desk, &["price", "kitchen"]);
    let first = price.lines().next().unwrap();
    assert!(
        first.starts_with("26-041 Kitchen extension: 6290.59 with VAT; of 5242.16 without it 3931.62 is cost and "),
        "{first}"
    );
    assert!(first.ends_with("1310.54 profit (25.00 %); 5 days on site"), "{first}");
    in_order(
        &price,
        &[
            "\nWhat you ask for\n",
            "Price with VAT",
            "option.1",
            "\nWhat it costs you, and what is left when something goes wrong\n",
            "cost.materials",
            "sheet.profit_a_day",
            "\nWho does it, in which time\n",
            "person-hours",
            "\nWhat you order\n",
            "trim-drip-3m",
            "\nhardly used ",
            "\nTogether 11.50",
            "left over, to keep",
        ],
    );
    fs::remove_dir_all(desk).unwrap();
}

/// Four pairs of gloves of fifty: what stands in the van is not named, nor ordered.
#[test]
fn a_pack_that_is_hardly_used_is_named_unless_the_van_has_it() {
    let desk = desk("telling-hardly");
    let told_of = |told: &str| {
        let (_, after) = told.split_once("\nhardly used ")?;
        let (table, rest) = after.split_once("\nTogether ")?;
        let codes = table.lines().skip(2).filter_map(|line| line.split_whitespace().next());
        Some((codes.map(str::to_owned).collect::<Vec<_>>(), rest.split_once(". What")?.0.to_owned()))
    };
    let price = told(&desk, &["price", "kitchen"]);
    // From the order by hand: 14 of 50 screws and 25 of 75 m of bandage are more than a tenth.
    assert_eq!(told_of(&price), Some((vec!["gloves-nitrile-50".to_owned()], "11.50".to_owned())));
    fs::write(desk.join("stock.yaml"), "counted: 2026-11-20\nvan: [{role: gloves, amount: 10}]\n").unwrap();
    assert_eq!(told_of(&told(&desk, &["price", "kitchen"])), None);
    fs::remove_dir_all(desk).unwrap();
}

#[test]
fn a_wide_table_folds_to_the_terminal_and_stays_whole_elsewhere() {
    let desk = desk("telling-folds");
    let narrow = |wide: &str, arguments: &[&str]| {
        let done = Command::new(env!("CARGO_BIN_EXE_wetout"))
            .args(arguments)
            .current_dir(&desk)
            .env("COLUMNS", wide)
            .output()
            .unwrap();
        String::from_utf8(done.stdout).unwrap()
    };
    let words = |text: &str| {
        let mut words: Vec<String> =
            text.split_whitespace().filter(|w| !w.starts_with("--")).map(str::to_owned).collect();
        words.sort();
        words
    };
    for arguments in [["takeoff", "kitchen"], ["price", "kitchen"]] {
        let plain = told(&desk, &arguments);
        let widest = |text: &str| {
            let tables = text.lines().filter(|line| line.contains("  "));
            tables.map(|line| line.chars().count()).max().unwrap()
        };
        assert!(widest(&plain) > 100, "{arguments:?}");
        for wide in [80, 100] {
            let folded = narrow(&wide.to_string(), &arguments);
            assert!(widest(&folded) <= wide, "{arguments:?} {wide}: {folded}");
            assert!(words(&folded) == words(&plain), "{arguments:?} {wide}: every word stays whole");
        }
    }
    fs::remove_dir_all(desk).unwrap();
}

#[test]
fn a_quote_that_lapses_soon_is_told() {
    let desk = desk("telling-lapse");
    told(&desk, &["issue", "kitchen", "quote"]);
    // It is dated 2026-11-25 and stands for 30 days.
    let check =
        |day: &str| told(&desk, &["check", "kitchen", "--date", day]).lines().nth(1).unwrap_or_default().to_owned();
    assert_eq!(check("2026-12-10"), "");
    assert_eq!(
        check("2026-12-23"),
        "the quote that was issued as revision A lapses in 2 days, on 2026-12-25: ask whether they will have it done"
    );
    assert!(check("2026-12-25").contains("revision A lapses today, 2026-12-25: ask"));
    assert!(check("2026-12-26").contains("revision A has lapsed: it stood until 2026-12-25; ask once more"));
    told(&desk, &["decline", "kitchen", "--on", "2026-12-02"]);
    assert_eq!(check("2026-12-23"), "");
    fs::remove_dir_all(desk).unwrap();
}

#[test]
fn files_with_line_ends_of_windows_and_paths_with_backslashes_are_read_as_any_others() {
    let desk = desk("telling-windows");
    change(&desk, "conditions:", "photos:\n  - {file: pictures\\before.png, caption: Before}\nconditions:");
    fs::create_dir(desk.join("kitchen/pictures")).unwrap();
    fs::copy("jobs/logo.png", desk.join("kitchen/pictures/before.png")).unwrap();
    told(&desk, &["make", "kitchen", "--out", "plain"]);
    for file in ["kitchen/job.yaml", "firm.yaml", "prices.yaml"] {
        let text = fs::read_to_string(desk.join(file)).unwrap();
        fs::write(desk.join(file), text.replace('\n', "\r\n")).unwrap();
    }
    fs::create_dir(desk.join("jobs")).unwrap();
    fs::rename(desk.join("kitchen"), desk.join("jobs/kitchen")).unwrap();
    // A path in quotes that ends in a backslash reaches a program of Windows with the last quote behind it.
    for typed in ["jobs\\kitchen\\job.yaml", "jobs\\kitchen", "jobs\\kitchen\"", "jobs/kitchen/"] {
        let out = format!("out-{}", typed.len());
        told(&desk, &["make", typed, "--out", &out]);
        for name in ["quote.pdf", "order.pdf", "order.csv", "method.pdf"] {
            let same =
                fs::read(desk.join("plain").join(name)).unwrap() == fs::read(desk.join(&out).join(name)).unwrap();
            assert!(same, "{typed}: {name}");
        }
    }
    let none = typed(&desk, &["check", "jobs\\bathroom"]);
    assert_eq!(none.status.code(), Some(2));
    assert!(String::from_utf8(none.stderr).unwrap().contains("there is no job at jobs\\bathroom"));
    fs::remove_dir_all(desk).unwrap();
}

#[test]
fn an_hour_that_costs_what_a_day_does_is_doubted() {
    let desk = desk("telling-rates");
    let firm = desk.join("firm.yaml");
    let text = fs::read_to_string(&firm).unwrap();
    fs::write(&firm, text.replacen("hour: 19.00", "hour: 220.00", 1)).unwrap();
    let said = told(&desk, &["check", "kitchen"]);
    in_order(
        &said,
        &[
            "\nBefore the price goes out\n",
            "an hour of Sam Harrow is said to cost 220.00: that is what a day costs (labour)",
            "for somebody who is paid by whole days, write `day: 220.00` in place of `hour`",
        ],
    );
    fs::write(&firm, text.replacen("hour: 19.00", "day: 19.00", 1)).unwrap();
    assert!(told(&desk, &["check", "kitchen"]).contains("write `hour: 19.00` in place of `day`"));
    assert!(!told(&desk, &["check", "kitchen"]).contains("(high-drip)"));
    fs::remove_dir_all(desk).unwrap();
}

/// What holds of many roofs alike is told once, with the roofs, their figures and their lines; nothing that is to be done otherwise is
/// told with it. The JSON keeps each by itself.
#[test]
fn what_is_said_alike_of_several_roofs_or_edges_is_told_once() {
    let desk = desk("telling-together");
    for (job, file) in [("jobs/bay/job.yaml", "bay.yaml"), ("tests/big_jobs/twelve-roofs.yaml", "twelve.yaml")] {
        fs::copy(job, desk.join(file)).unwrap();
    }
    let said = told(&desk, &["check", "twelve.yaml"]);
    for (words, how) in [
        ("no joist lies along", "so for Roofs 2 and 10 (50 mm); Roofs 4 and 12 (350 mm); Roof 5 (500 mm)"),
        (
            "where the crew leaves the roof is not said",
            "Roofs 1, 3, 5, 7, 9 and 11; Roofs 2, 4, 6, 8, 10 and 12 (`right`)",
        ),
        ("laid over several days", "as the method statement says; this holds for Roof"),
        ("what lies over and under the joists is not said", "; this holds for Roofs 1 to 12\n"),
        ("what the sizes were measured to is not said", "; this holds for Roofs 1 to 12\n"),
    ] {
        let lines: Vec<&str> = said.lines().filter(|line| line.contains(words)).collect();
        assert!(matches!(&lines[..], [one] if format!("{one}\n").contains(how)), "{words}: {lines:?}");
    }
    let (_, several_days) = said.split_once("assumed: it is laid over several days").unwrap();
    assert!(!several_days.lines().next().unwrap().contains("over the workshop"), "{several_days}");
    // By hand, at 1:40 on a toe of 6 mm, less a batten of 50: of 4.30 m 64 mm, of 3.06 m 33; of 4.61 m 72 mm, of 3.37 m 41.
    let fascias: Vec<&str> = said.lines().filter(|line| line.contains("the old fascia is taken")).collect();
    for (line, roof, most, so_for) in [
        (0, "`back` and `left` of `Roof 3 over the workshop`", "64 mm", "Roof 7 (33 mm)"),
        (1, "`right` and `left` of `Roof 8 over the workshop`", "72 mm", "Roof 12 (41 mm)"),
    ] {
        let told = format!("{roof} up to {most} of the firrings stand");
        let (_, also) = fascias[line].split_once("; so for ").unwrap_or_else(|| panic!("{fascias:?}"));
        assert!(fascias[line].contains(&told) && also.contains(so_for), "{fascias:?}");
    }
    assert_eq!(fascias.len(), 2, "{fascias:?}");
    // Each of the eleven stands in a line of its own in the file, as the first does.
    let (_, after) = said.split_once("no joist lies along").unwrap();
    let also = after.lines().find(|line| line.contains("note: also at lines ")).unwrap();
    assert_eq!(also.matches(',').count() + 2, 10, "{also}");
    let first = said.lines().next().unwrap();
    let told_of = said.lines().filter(|line| line.starts_with("assumed: ")).count();
    assert!(first.contains(&format!("and {told_of} things that were not said")), "{first}");
    let json = told(&desk, &["takeoff", "twelve.yaml", "--json"]);
    assert_eq!(json.matches("no joist lies along").count(), 11);

    let said = told(&desk, &["check", "bay.yaml"]);
    assert!(said.contains("it is taken down and put back; so for `right bay` and `left bay`\n"), "{said}");
    let said_of = |notice: &str| said.lines().filter(|line| line.contains(notice)).count();
    assert_eq!(said_of("a gutter hangs at"), 1);
    assert_eq!(said_of("is not said"), 2);
}
