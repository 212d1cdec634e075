//! What is said of several roofs, once for all of them.
//!
//! Given the words of each roof, filled from a template; gives the items of all their lists as one, each with the names of the roofs
//! that it is said of, and a table of what differs from roof to roof in items that several share: what stands behind the colon in
//! their titles. Only what cannot be told so stays a roof's own, with its plan. Few roofs are told each by itself, but for what is
//! the same for all of them; what is explained at one of them is pointed to at the next.

use super::wording;

/// Of no more roofs than these each is told by itself, beside its plan, but for items that are the same for all.
pub const FEW_ROOFS: usize = 3;
/// What begins an item of a list.
const ITEM: &str = "- ";
/// Words of a roof begin beside its plan.
const BESIDE: &str = "````beside ";
/// A table has no more columns than these for what differs: narrower ones cannot be read.
const MOST_COLUMNS: usize = 5;
/// Of more plans beside one another each names its edges by their side and length, and shows by its lines what stands there: a
/// table need not say it again, and the key of all stands once.
pub const FEW_PLANS: usize = 3;
/// The works of which a plan shows at which edges they are done, and how long these are.
const AT_EDGES: [&str; 6] = ["drip_trim", "raised_trim", "wall_fillet", "parapet", "tie_in", "gutter_boards"];

/// The words of some roofs.
pub struct SaidOnce {
    /// What is said of them, as one list; empty where each is told by itself.
    pub alike: String,
    /// What each has besides.
    pub roofs: Vec<RoofWords>,
    /// What differs in what several share.
    pub table: Option<DifferingTable>,
    /// Whether the plans alone tell which edges each has, and how long these are.
    pub edges_drawn: bool,
}

/// What one roof has besides what is told in the list.
pub enum RoofWords {
    /// Its heading, its plan and its items.
    Told(String),
    /// Nothing but its plan, by the name of its place.
    Plan(String),
}

/// A row for each roof: its name, its area and what it has of each heading, as text that nothing is escaped in.
pub struct DifferingTable {
    /// What differs.
    pub headings: Vec<String>,
    /// Name, area, and what stands under each heading.
    pub rows: Vec<[Vec<String>; 2]>,
}

impl DifferingTable {
    /// What all that stands in a column ends with, behind a comma, stands in its heading instead: `Topcoat, smooth`.
    fn name_what_all_have(&mut self) {
        for (place, heading) in self.headings.iter_mut().enumerate() {
            let last = self.rows[0][1][place].rsplit_once(", ").map(|(_, last)| last.to_owned());
            let Some(end) = last.map(|last| format!(", {last}")) else { continue };
            if self.rows.iter().all(|[_, own]| own[place].ends_with(&end)) {
                let cells = self.rows.iter_mut().map(|[_, own]| &mut own[place]);
                cells.for_each(|cell| cell.truncate(cell.len() - end.len()));
                heading.push_str(&end);
            }
        }
    }
}

/// An item of the list of one roof: `` - `work drip_trim` **Drip edge: front (5.20 m).** Rain runs off here … ``.
#[derive(Clone)]
struct ToldItem<'a> {
    marks: Vec<&'a str>,
    head: &'a str,
    /// What its title says of this roof.
    own: &'a str,
    rest: &'a str,
}

/// The same item of one or more roofs.
struct SaidLine<'a> {
    marks: Vec<&'a str>,
    head: &'a str,
    rest: &'a str,
    /// Of which roofs, and what the title says of each.
    of: Vec<(usize, &'a str)>,
}

/// What is said of some roofs.
pub fn of(roofs: &[String]) -> SaidOnce {
    let as_it_is = || SaidOnce {
        alike: String::new(),
        roofs: roofs.iter().map(|roof| RoofWords::Told(roof.clone())).collect(),
        table: None,
        edges_drawn: false,
    };
    let titled: Option<Vec<(&str, &str)>> = roofs.iter().map(|roof| titled(roof)).collect();
    let Some(titled) = titled else { return as_it_is() };
    if roofs.len() <= FEW_ROOFS {
        return of_few(roofs, &titled.iter().map(|(name, _)| *name).collect::<Vec<_>>());
    }
    let mut all: Vec<SaidLine<'_>> = Vec::new();
    for (roof, words) in roofs.iter().enumerate() {
        gather(&mut all, roof, words);
    }
    let names = wording::without_what_all_say(&titled.iter().map(|(name, _)| *name).collect::<Vec<_>>());
    let roofs: Vec<RoofWords> = roofs.iter().map(|roof| own_words(roof)).collect();
    let edges_drawn = roofs.iter().filter(|roof| matches!(roof, RoofWords::Plan(_))).count() > FEW_PLANS;
    let columns = columns(&all, edges_drawn);
    let untold = |said: &SaidLine<'_>| columns.contains(&said.head) || edges_drawn && said.is_at_edges();
    let alike: Vec<String> = all.iter().map(|said| said.line(&names, untold(said))).collect();
    let row = |(roof, (_, area)): (usize, &(&str, &str))| {
        let under = |head: &&str| {
            let own = all.iter().filter(|said| said.head == *head).flat_map(|said| &said.of);
            let own: Vec<&str> = own.filter(|(of, _)| *of == roof).map(|(_, own)| *own).collect();
            if own.is_empty() { "–".to_owned() } else { wording::capital(&as_text(&own.join("; "))) }
        };
        [vec![as_text(&names[roof]), as_text(area)], columns.iter().map(under).collect()]
    };
    let table = (!columns.is_empty()).then(|| {
        let headings = columns.iter().map(|head| as_text(head)).collect();
        let mut table = DifferingTable { headings, rows: titled.iter().enumerate().map(row).collect() };
        table.name_what_all_have();
        table
    });
    SaidOnce { alike: alike.join("\n"), roofs, table, edges_drawn }
}

/// What is said of a few roofs: first the items that are word for word the same for all, then each roof by itself, in which what a
/// roof before it explains in the same words is not explained again.
fn of_few(roofs: &[String], names: &[&str]) -> SaidOnce {
    let of_each: Vec<Vec<ToldItem<'_>>> =
        roofs.iter().map(|roof| items(roof).filter_map(|(_, item)| item).collect()).collect();
    let of_all = |item: &ToldItem<'_>| roofs.len() > 1 && of_each.iter().all(|of| of.iter().any(|of| of.says(item)));
    let alike: Vec<&ToldItem<'_>> = of_each.first().into_iter().flatten().filter(|item| of_all(item)).collect();
    let alike = if alike.len() < LEAST_ALIKE { Vec::new() } else { alike };
    let once = |item: &ToldItem<'_>| {
        let said = of_each.iter().flatten().filter(|of| of.says(item));
        let mut marks: Vec<&str> = Vec::new();
        for mark in said.flat_map(|of| &of.marks) {
            if !marks.contains(mark) {
                marks.push(mark);
            }
        }
        titled_item(&marks, &item.title(), item.rest)
    };
    let mut explained: Vec<(&str, &str, &str)> = Vec::new();
    let mut own_words = Vec::new();
    for (roof, &name) in roofs.iter().zip(names) {
        let mut lines = Vec::new();
        for (line, item) in items(roof) {
            let Some(item) = item else {
                lines.push(line.to_owned());
                continue;
            };
            if alike.iter().any(|of| of.says(&item)) {
                continue;
            }
            let before = explained.iter().find(|(head, rest, _)| *head == item.head && *rest == item.rest);
            let pointed = before.map(|(.., first)| format!(" As on {first}."));
            match pointed.filter(|words| words.len() < item.rest.len() / 2) {
                Some(rest) => lines.push(item.pointed_at(&rest)),
                None => {
                    explained.push((item.head, item.rest, name));
                    lines.push(line.to_owned());
                }
            }
        }
        own_words.push(RoofWords::Told(lines.join("\n")));
    }
    let alike: Vec<String> = alike.into_iter().map(once).collect();
    SaidOnce { alike: alike.join("\n"), roofs: own_words, table: None, edges_drawn: false }
}

/// So many items that are the same for all of a few roofs stand before them; fewer are not worth a list of their own.
const LEAST_ALIKE: usize = 2;

/// The marks of works among some words.
fn marks_in(words: &str) -> Vec<&str> {
    words.split('`').skip(1).step_by(2).filter(|mark| mark.starts_with("work ")).collect()
}

/// Name and area of a roof, by its heading.
fn titled(roof: &str) -> Option<(&str, &str)> {
    roof.lines().find_map(|line| line.strip_prefix("### "))?.rsplit_once(", ")
}

/// The items of one roof among those of the roofs before it: each where it is said already, else behind the one before it.
fn gather<'a>(all: &mut Vec<SaidLine<'a>>, roof: usize, words: &'a str) {
    let mut after = 0;
    for ToldItem { marks, head, own, rest } in items(words).filter_map(|(_, item)| item) {
        let known = all.iter().position(|said| said.head == head && said.rest == rest);
        let place = known.unwrap_or_else(|| {
            // Two ways of one work stand together.
            let like = all.iter().skip(after).rposition(|said| said.head == head);
            let place = like.map_or(after, |like| after + like + 1);
            all.insert(place, SaidLine { marks: Vec::new(), head, rest, of: Vec::new() });
            place
        });
        let said = &mut all[place];
        said.of.push((roof, own));
        let new: Vec<&str> = marks.into_iter().filter(|mark| !said.marks.contains(mark)).collect();
        said.marks.extend(new);
        after = place + 1;
    }
}

/// The headings of what differs in what is said of several roofs and is not drawn: those of most roofs, in the order of the items.
fn columns<'a>(all: &[SaidLine<'a>], edges_drawn: bool) -> Vec<&'a str> {
    let mut heads: Vec<(&str, usize)> = Vec::new();
    let drawn = |said: &SaidLine<'_>| edges_drawn && said.is_at_edges();
    for said in all.iter().filter(|said| said.of.len() > 1 && said.differs() && !drawn(said)) {
        match heads.iter_mut().find(|(head, _)| *head == said.head) {
            Some((_, roofs)) => *roofs += said.of.len(),
            None => heads.push((said.head, said.of.len())),
        }
    }
    let mut most: Vec<usize> = heads.iter().map(|(_, roofs)| *roofs).collect();
    most.sort_unstable_by(|a, b| b.cmp(a));
    let least = most.get(MOST_COLUMNS - 1).copied().unwrap_or(0);
    heads.into_iter().filter(|(_, roofs)| *roofs >= least).map(|(head, _)| head).take(MOST_COLUMNS).collect()
}

impl SaidLine<'_> {
    /// Whether its title says more of one roof than of another.
    fn differs(&self) -> bool {
        self.of.windows(2).any(|two| two[0].1 != two[1].1)
    }

    /// Whether its title names edges of a roof with their lengths.
    fn is_at_edges(&self) -> bool {
        let works = self.marks.iter().filter_map(|mark| mark.strip_prefix("work "));
        works.into_iter().any(|work| AT_EDGES.contains(&work))
    }

    /// The item as it stands once: with the names of its roofs where it is not said of all, and with what its title says of them
    /// unless that is told elsewhere.
    fn line(&self, names: &[String], told_elsewhere: bool) -> String {
        let (own, whose) = (self.of[0].1, whose(&self.of, names));
        let title = match (told_elsewhere, self.differs()) {
            (true, _) => format!("{}{whose}", self.head),
            (false, false) if own.is_empty() => format!("{}{whose}", self.head),
            (false, false) => format!("{}{whose}: {own}", self.head),
            (false, true) => {
                let each: Vec<String> = self.of.iter().map(|(roof, own)| format!("{}: {own}", names[*roof])).collect();
                format!("{} ({})", self.head, each.join("; "))
            }
        };
        titled_item(&self.marks, &title, self.rest)
    }
}

/// An item with its marks, under its title.
fn titled_item(marks: &[&str], title: &str, rest: &str) -> String {
    let marks: String = marks.iter().map(|mark| format!("`{mark}` ")).collect();
    format!("{ITEM}{marks}**{title}.**{rest}")
}

impl ToldItem<'_> {
    /// Whether another says the same.
    fn says(&self, other: &ToldItem<'_>) -> bool {
        (self.head, self.own, self.rest) == (other.head, other.own, other.rest)
    }

    /// The same item, with the marks of what it says, and these words instead of those behind its title.
    fn pointed_at(&self, rest: &str) -> String {
        titled_item(&[self.marks.clone(), marks_in(self.rest)].concat(), &self.title(), rest)
    }

    fn title(&self) -> String {
        if self.own.is_empty() { self.head.to_owned() } else { format!("{}: {}", self.head, self.own) }
    }
}

/// ` (Porch and Bay)`, ` (all but Bay)`, or nothing where it is said of all.
fn whose(of: &[(usize, &str)], names: &[String]) -> String {
    let said: Vec<String> = of.iter().map(|(roof, _)| names[*roof].clone()).collect();
    wording::those_of(&said, names).map_or_else(String::new, |names| format!(" ({names})"))
}

/// What a roof has besides what is told in the list.
fn own_words(roof: &str) -> RoofWords {
    let kept: Vec<&str> = items(roof).filter(|(_, item)| item.is_none()).map(|(line, _)| line).collect();
    let plan = roof.lines().find_map(|line| line.strip_prefix(BESIDE));
    match plan.filter(|_| !kept.iter().any(|line| line.starts_with(ITEM))) {
        Some(plan) => RoofWords::Plan(plan.trim().to_owned()),
        None => RoofWords::Told(kept.join("\n")),
    }
}

/// Every line, with the item that it is: none where a further line belongs to it.
fn items(roof: &str) -> impl Iterator<Item = (&str, Option<ToldItem<'_>>)> {
    let next = roof.lines().skip(1).chain([""]);
    let ends = |line: &str| line.trim().is_empty() || line.starts_with(ITEM) || line.starts_with("```");
    roof.lines().zip(next).map(move |(line, next)| (line, item(line).filter(|_| ends(next))))
}

fn item(line: &str) -> Option<ToldItem<'_>> {
    let mut words = line.strip_prefix(ITEM)?.trim_start();
    let mut marks = Vec::new();
    while let Some(marked) = words.strip_prefix('`') {
        let (mark, after) = marked.split_once('`')?;
        marks.push(mark);
        words = after.trim_start();
    }
    let (title, rest) = words.strip_prefix("**")?.split_once("**")?;
    let title = title.strip_suffix('.').unwrap_or(title);
    // A colon that came in with a value is escaped.
    let parted = title.split_once(": ").filter(|(head, _)| !head.ends_with('\\'));
    let (head, own) = parted.unwrap_or((title, ""));
    Some(ToldItem { marks, head, own, rest })
}

/// Words of Markdown as plain text: without the backslash before a sign that is escaped.
fn as_text(words: &str) -> String {
    let mut text = String::new();
    let mut letters = words.chars().peekable();
    while let Some(letter) = letters.next() {
        let escapes = letter == '\\' && letters.peek().is_some_and(char::is_ascii_punctuation);
        text.extend(if escapes { letters.next() } else { Some(letter) });
    }
    text
}
