//! A merchant's own price list, tens of thousands of lines long, beside its price book.

use crate::command::{scratch, wetout};
use crate::cpu_time::CpuTime;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::Duration;
use wetout::job_file::{Loaded, Request, load, render};
use wetout::model::problem::Source;

const HEADINGS: &str = "{file: list.csv, code: Product code, description: Product, pack: Unit, holds: Content, \
                        price: Trade price, role: Use}";

/// The demo firm and its bay window; the price book without its prices, which stand in a list of so many lines.
fn listed(name: &str, lines: usize) -> PathBuf {
    let folder = scratch(name);
    let jobs = Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs");
    for file in ["firm.yaml", "logo.png"] {
        fs::copy(jobs.join(file), folder.join(file)).unwrap();
    }
    fs::create_dir(folder.join("bay")).unwrap();
    fs::copy(jobs.join("bay/job.yaml"), folder.join("bay/job.yaml")).unwrap();
    let mut table = "Product code,Product,Unit,Trade price,Use,Content\n".to_owned();
    let mut book = String::new();
    let mut sold = 0;
    for line in fs::read_to_string(jobs.join("prices.yaml")).unwrap().lines() {
        let (Some((head, rest)), Some((_, code))) = (line.split_once(" price: "), line.split_once(" code: ")) else {
            writeln!(book, "{line}").unwrap();
            continue;
        };
        let (price, rest) = rest.split_once([',', '}']).unwrap();
        let rest = if rest.is_empty() { "}" } else { rest };
        writeln!(book, "{}{rest}", if rest == "}" { head.trim_end_matches(',') } else { head }).unwrap();
        // Among goods that nobody asks for, some with a role of the family that a job names.
        for _ in 0..lines / 140 {
            sold += 1;
            let role = if sold % 2 == 0 { format!("own.thing-{sold}") } else { String::new() };
            writeln!(table, "Z-{sold},\"Thing, no. {sold}, \"\"large\"\"\",each,\"1,0{:02}.50\",{role},1", sold % 100)
                .unwrap();
        }
        let code = code.split([',', '}']).next().unwrap().trim_matches('"');
        writeln!(table, "{code},as the merchant calls it,pack,£{price},,").unwrap();
    }
    for _ in table.lines().count()..=lines {
        sold += 1;
        writeln!(table, "Z-{sold},Thing,each,2.00,,1").unwrap();
    }
    fs::write(folder.join("list.csv"), table).unwrap();
    fs::write(folder.join("prices.yaml"), book.replacen("articles:", &format!("list: {HEADINGS}\narticles:"), 1))
        .unwrap();
    folder
}

fn request(folder: &Path) -> Request {
    let job = folder.join("bay/job.yaml");
    Request { name: "job.yaml".into(), bytes: fs::read(job).unwrap(), folder: folder.join("bay"), ..Request::default() }
}

fn read(folder: &Path) -> Loaded {
    load(&request(folder)).unwrap_or_else(|f| panic!("{}", render(&f.problems, &f.sources, false)))
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_wetout")).args(arguments).current_dir(folder).output().unwrap()
}

#[test]
fn fifty_thousand_lines_give_the_prices_of_the_book_s_articles_in_no_time() {
    let folder = listed("list-long", 50_000);
    assert!(fs::read_to_string(folder.join("list.csv")).unwrap().lines().count() > 50_000);
    let begun = CpuTime::begin();
    let loaded = read(&folder);
    let spent = begun.spent();
    let most = if cfg!(debug_assertions) { 3000 } else { 150 };
    assert!(spent < Duration::from_millis(most), "{spent:?}");
    // The second job of a run finds the list gone through.
    let begun = CpuTime::begin();
    read(&folder);
    assert!(begun.spent() < spent, "{:?} after {spent:?}", begun.spent());
    let demo = Request { folder: "jobs/bay".into(), ..request(&folder) };
    let demo = load(&demo).unwrap();
    assert_eq!(loaded.books[0].articles, demo.books[0].articles);
    assert_eq!(loaded.products, demo.products);
    let priced = |folder: &str, place: &Path| {
        let done =
            Command::new(env!("CARGO_BIN_EXE_wetout")).args(["price", folder]).current_dir(place).output().unwrap();
        assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
        done.stdout
    };
    assert_eq!(priced("bay", &folder), priced("jobs/bay", Path::new(env!("CARGO_MANIFEST_DIR"))));
}

#[test]
fn a_line_with_a_role_is_an_article_and_one_of_a_job_s_own_goods_where_the_job_names_it() {
    let folder = listed("list-roles", 600);
    let before = read(&folder).books[0].articles.len();
    let job = fs::read_to_string(folder.join("bay/job.yaml")).unwrap();
    fs::write(
        folder.join("bay/job.yaml"),
        format!("{}\norder_lines: [{{item: large thing, article: own.thing-44, count: 2}}]\n", job.trim_end()),
    )
    .unwrap();
    let mut table = fs::read_to_string(folder.join("list.csv")).unwrap();
    table.push_str("R-9,Resin in a small tin,tin,\"£9.80\",resin,1 kg\n");
    fs::write(folder.join("list.csv"), &table).unwrap();
    let loaded = read(&folder);
    let articles = &loaded.books[0].articles;
    assert_eq!(articles.len(), before + 2);
    let own = articles.iter().find(|a| a.role == "own.thing-44").unwrap();
    assert_eq!((own.code.as_str(), own.price.to_string().as_str()), ("Z-44", "1044.50"));
    assert_eq!(own.description, "Thing, no. 44, \"large\"");
    let tin = articles.iter().find(|a| a.code == "R-9").unwrap();
    assert!(tin.role == "resin" && tin.holds == 1.into() && tin.price.to_string() == "9.80");
    let priced = run(&folder, &["price", "bay", "--json"]);
    assert!(String::from_utf8(priced.stdout).unwrap().contains("Z-44"));
    // Other signs part cells too, and headings are read in large letters and small.
    let unquoted: String = table.lines().filter(|line| !line.contains('"')).map(|line| format!("{line}\n")).collect();
    let other = format!("{unquoted}R-9,Resin,tin,9.80,resin,1 kg\n").replace(',', ";");
    fs::write(folder.join("list.csv"), other.replace("Product code", "PRODUCT CODE")).unwrap();
    let again = read(&folder);
    assert!(again.books[0].articles.iter().any(|a| a.code == "R-9"));
    // A line that says too little is told in its place.
    fs::write(folder.join("list.csv"), format!("{table}R-10,Resin,,7.00,resin,\n")).unwrap();
    let failure = load(&request(&folder)).unwrap_err();
    let told = render(&failure.problems, &failure.sources, false);
    let line = table.lines().count() + 1;
    assert!(failure.problems.iter().all(|p| p.source == Source::List(0)), "{told}");
    assert!(
        told.contains(&format!("list.csv:{line}:1")) && told.contains("`pack`") && told.contains("`holds`"),
        "{told}"
    );
}

#[test]
fn what_is_wrong_with_a_list_is_told_with_its_line_and_cure() {
    let folder = listed("list-wrong", 300);
    let table = fs::read_to_string(folder.join("list.csv")).unwrap();
    let book = fs::read_to_string(folder.join("prices.yaml")).unwrap();
    let code = "fascia-white-225-5m";
    let line = table.lines().position(|l| l.starts_with(code)).unwrap() + 1;
    let told = |table: &[u8], book: &str| {
        fs::write(folder.join("list.csv"), table).unwrap();
        fs::write(folder.join("prices.yaml"), book).unwrap();
        match load(&request(&folder)) {
            Ok(loaded) => render(&loaded.notices, &loaded.sources, false),
            Err(failure) => render(&failure.problems, &failure.sources, false),
        }
    };
    let plain = |table: &str| told(table.as_bytes(), &book);
    let has = |said: String, words: &[&str]| {
        for word in words {
            assert!(said.contains(word), "{word}: {said}");
        }
    };
    let twice = format!("{table}{code},again,pack,£99.00,,\n");
    has(plain(&twice), &["list.csv:", "stands here and in line", "each with another price", "ask the merchant"]);
    let odd = table.replace("£41.50", "on request");
    has(plain(&odd), &[&format!("list.csv:{line}:1"), "`on request` is not an amount of money"]);
    let gone = table.replace(&format!("{code},"), "other,");
    has(plain(&gone), &["the list list.csv has no code `fascia-white-225-5m`", "cannot be bought"]);
    has(plain(&table.replace("Trade price", "Net")), &["no column of this list is headed `Trade price`", "net"]);
    has(
        told(b"Product code,Trade price\na,\xa31.00\n", &book),
        &["is not UTF-8 text from its line 2 on", "CSV in UTF-8"],
    );
    has(plain(""), &["there is no line of headings"]);
    let outside = book.replace("file: list.csv", "file: ../list.csv");
    has(told(table.as_bytes(), &outside), &["`../list.csv` lies outside", "prices.yaml:"]);
    let missing = book.replace("file: list.csv", "file: no.csv");
    has(told(table.as_bytes(), &missing), &["the list `no.csv` cannot be read", "check its name"]);
    let long = format!("{}{}", "Product code,Product,Unit,Trade price,Use,Content\n", "a,b,c,1.00,,\n".repeat(100_001));
    has(plain(&long), &["more than 100000 lines in this list"]);
    let wide = format!("{table}a{}\n", ",".repeat(200));
    let last = table.lines().count() + 1;
    has(plain(&wide), &[&format!("list.csv:{last}:1"), "more than 200 columns in this line", "keep the columns"]);
    has(plain(&",".repeat(15_000_000)), &["list.csv:1:1", "more than 200 columns in this line"]);
    let endless = format!("{table}\"{}", "a, b\n".repeat(500));
    has(plain(&endless), &[&format!("list.csv:{last}:1"), "more than 2000 letters", "close the quote"]);
    let quoted = format!("{table}\"12\"\" board{}\",{}\n", ",".repeat(300), ",".repeat(150));
    assert!(!plain(&quoted).contains("columns in this line"));
    fs::File::create(folder.join("list.csv")).unwrap().set_len(21_000_000).unwrap();
    let failure = load(&request(&folder)).unwrap_err();
    assert!(failure.problems[0].fault.contains("more than 20 MB of a merchant's list"), "{:?}", failure.problems);
}

#[test]
fn a_list_is_kept_with_what_is_issued_and_a_changed_one_makes_jobs_anew() {
    let folder = listed("list-kept", 400);
    fs::create_dir(folder.join("other")).unwrap();
    fs::copy(folder.join("bay/job.yaml"), folder.join("other/job.yaml")).unwrap();
    for wanted in ["2 of 2 jobs made", "0 of 2 jobs made; 2 as they were"] {
        let done = run(&folder, &["make", "."]);
        assert!(String::from_utf8_lossy(&done.stdout).contains(wanted), "{}", String::from_utf8_lossy(&done.stdout));
    }
    let issued = run(&folder, &["issue", "bay", "quote"]);
    assert_eq!(issued.status.code(), Some(0), "{}", String::from_utf8_lossy(&issued.stderr));
    let table = fs::read_to_string(folder.join("list.csv")).unwrap();
    fs::write(folder.join("list.csv"), table.replace("£41.50", "£42.50")).unwrap();
    let done = run(&folder, &["make", "."]);
    assert!(String::from_utf8_lossy(&done.stdout).contains("2 of 2 jobs made"));
    let checked = run(&folder, &["issue", "--check", "bay"]);
    assert_eq!(checked.status.code(), Some(0), "{}", String::from_utf8_lossy(&checked.stdout));
}

#[cfg(target_os = "linux")]
#[test]
fn a_price_by_a_long_list_takes_little_memory() {
    let folder = listed("list-memory", 50_000);
    // Within so much address space it would end if it held many copies.
    let mut bound = Command::new("sh");
    bound.args(["-c", "ulimit -d 100000; exec \"$@\"", "sh", env!("CARGO_BIN_EXE_wetout"), "price", "bay"]);
    let done = bound.current_dir(&folder).output().unwrap();
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
}

#[test]
fn twenty_merchants_are_read_and_more_are_not() {
    let folder = listed("list-twenty", 300);
    let book = fs::read_to_string(folder.join("prices.yaml")).unwrap();
    let table = fs::read_to_string(folder.join("list.csv")).unwrap();
    fs::create_dir(folder.join("prices")).unwrap();
    fs::remove_file(folder.join("prices.yaml")).unwrap();
    let merchant = |n: usize| {
        let own = book.replace("file: list.csv", &format!("file: list-{n}.csv"));
        let own =
            own.replace("name: Coldharbour Roofing Supplies (invented)", &format!("name: Merchant {n} (invented)"));
        fs::write(folder.join(format!("prices/{n:02}.yaml")), own).unwrap();
        fs::write(folder.join(format!("prices/list-{n}.csv")), &table).unwrap();
    };
    (0..20).for_each(merchant);
    let begun = CpuTime::begin();
    assert_eq!(read(&folder).books.len(), 20);
    assert!(begun.spent() < Duration::from_secs(20), "{:?}", begun.spent());
    let done = run(&folder, &["price", "bay"]);
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    merchant(20);
    let failure = load(&request(&folder)).unwrap_err();
    assert!(failure.problems[0].fault.contains("there are 21 price books: more than 20 are not read"));
    assert_eq!(wetout(&["help", "list.price"]).status.code(), Some(0));
}

/// An order is counted by what a pack holds: a nought too many there is an order short by ten, whatever the pack is called.
#[test]
fn a_pack_that_is_called_otherwise_than_what_it_holds_is_told() {
    let folder = crate::issued::desk("packs");
    let book = std::fs::read_to_string(folder.join("prices.yaml")).unwrap();
    let told = |book: &str| -> Vec<String> {
        std::fs::write(folder.join("prices.yaml"), book).unwrap();
        let out = crate::issued::run(&folder, &["check", "JOB"]);
        let all = format!("{}{}", String::from_utf8_lossy(&out.stdout), String::from_utf8_lossy(&out.stderr));
        all.lines().filter(|line| line.contains("(pack)")).map(str::to_owned).collect()
    };
    assert_eq!(told(&book), [""; 0]);
    for (right, wrong, words) in [
        (
            "pack: 5 kg tin, holds: 5 kg, price: 27.50",
            "pack: 5 kg tin, holds: 50 kg, price: 27.50",
            "holds 50 kg and weighs 5.5 kg",
        ),
        (
            "pack: roll of 33 m, holds: 33 m",
            "pack: roll of 33 m, holds: 330 m",
            "called “roll of 33 m” and holds 330 m",
        ),
        ("pack: box of 500, holds: 500", "pack: box of 500, holds: 5000", "called “box of 500” and holds 5000"),
        (
            "pack: roll of 75 m, holds: 75 m, price: 13.90",
            "pack: roll of 75m, holds: 7.5 m, price: 13.90",
            "holds 7.5 m",
        ),
    ] {
        assert!(book.contains(right), "{right}");
        let all = told(&book.replacen(right, wrong, 1));
        assert!(matches!(all.as_slice(), [one] if one.contains(words)), "{wrong}: {all:?}");
    }
    for same in [
        "pack: 2 × 2.5 kg tins, holds: 5 kg, price: 27.50",
        "pack: 2 x 2.5 kg, holds: 5 kg, price: 27.50",
        "pack: 5000 g tin, holds: 5 kg, price: 27.50",
        "pack: tin, holds: 5 kg, price: 27.50",
        "pack: tin of about 5.2 kg, holds: 5 kg, price: 27.50",
    ] {
        assert_eq!(told(&book.replacen("pack: 5 kg tin, holds: 5 kg, price: 27.50", same, 1)), [""; 0], "{same}");
    }
}
