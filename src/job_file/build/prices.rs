//! Price books and the sizes of what they sell.
//!
//! Given raw price books; gives books for pricing and sizes for the take-off. An article without a price still gives
//! its size. A kind of thing that no book sells keeps its usual size, so that a take-off never waits for a price.

use super::email;
use super::measured::too_many;
use super::packs;
use crate::job_file::raw::prices::{RawArticle, RawBreak, RawMerchant, RawPrices};
use crate::job_file::read::listed::{self, ListedArticle};
use crate::job_file::read::reading::Slot;
use crate::job_file::read::suggest;
use crate::model::limits::{self, Number};
use crate::model::problem::Source;
use crate::model::products::{Board, MatRoll, Profile, Screw, Slab, Stock};
use crate::model::role::ROLES;
use crate::model::{Finish, Length, Level, Problem, Products, Role, Section, SettingPath, Warned};
use crate::pricing::book::PriceBreak;
use crate::pricing::{Article, Merchant, Money, PriceBook};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::{BTreeMap, BTreeSet};
use time::{Date, Duration};

/// What the books sell, by size, while it is gathered.
#[derive(Debug, Clone, Default)]
pub(crate) struct SizesSold {
    boards: Vec<Board>,
    trims: Vec<(Finish, Stock, Option<Length>)>,
    mats: Vec<MatRoll>,
    /// Rolls of mat that are too short for a strip: the weight, and that the article is left out.
    short_rolls: Vec<(u32, Problem)>,
    bandages: Vec<(u32, Length)>,
    slabs: Vec<Slab>,
    screws: Vec<Option<Screw>>,
    old_deck_screws: Vec<Length>,
    /// Of every screw through insulation its length, where its article says one.
    overlay_screws: Vec<Option<Length>>,
    sheets: Vec<(Length, Length)>,
    /// Of every article for flashings its width, where it says one.
    strips: BTreeMap<Role, Vec<Option<Length>>>,
    sawn: BTreeMap<Section, Vec<Stock>>,
    /// Of every article for edges the length of its pieces, unless they are cut to any.
    lengths: BTreeMap<Role, Vec<Option<Length>>>,
    /// Of every article for noggins the length of its pieces, unless they are cut to any.
    noggins: Vec<Option<Stock>>,
    masses: BTreeMap<(Role, Option<Length>), Decimal>,
    /// The longest piece of every article of a role.
    longest: BTreeMap<Role, Vec<Option<Length>>>,
    external: Option<Length>,
    internal: Option<Length>,
    roles: Vec<Role>,
    density: Option<Decimal>,
}

/// Which price book is built, for which job.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BookFile<'a> {
    /// The file's name.
    pub(crate) file: &'a str,
    /// Its place among the price books.
    pub(crate) at: usize,
    /// The date of the job.
    pub(crate) prepared: Option<Date>,
}

/// Builds one book, with the articles of its list, and gathers its sizes.
pub(crate) fn book(
    raw: RawPrices,
    listed: Vec<ListedArticle>,
    BookFile { file, at, prepared }: BookFile<'_>,
    sold: &mut SizesSold,
    found: &mut Vec<Problem>,
) -> Option<PriceBook> {
    let mut here = Vec::new();
    if let Slot::Given(merchant) = &raw.merchant {
        here.extend(email::unlikely(&merchant.email, ["merchant", "email"].into()));
    }
    let merchant = raw.merchant.take().and_then(merchant);
    let dated = raw.dated.take();
    if let (Some(dated), Some(prepared)) = (dated, prepared) {
        ahead(dated, prepared, &mut here);
    }
    let mut codes: BTreeMap<String, usize> = BTreeMap::new();
    let mut articles = Vec::new();
    let mut written = raw.articles.take().unwrap_or_default();
    if too_many(written.len(), limits::ARTICLES, ["articles"], &mut here) {
        written.clear();
    }
    let known_short = sold.short_rolls.len();
    for (n, raw) in written.into_iter().enumerate() {
        let path = SettingPath::from(["articles"]).entry(n);
        let Some(raw) = raw.take() else { continue };
        if let Some(code) = raw.code.given() {
            match codes.get(&code.0) {
                Some(first) => here.push(Problem::fault(
                    path.key("code"),
                    format!("the code `{}` stands twice in this price book", code.0),
                    format!("article {} has it already: give each article its own code", first + 1),
                )),
                None => drop(codes.insert(code.0.clone(), n)),
            }
        }
        articles.extend(article(raw, &path, sold, &mut here));
    }
    found.extend(here.into_iter().map(|p| p.within(Source::Prices(at))));
    sold.short_rolls[known_short..].iter_mut().for_each(|(_, left_out)| left_out.source = Source::Prices(at));
    for ListedArticle { line, raw } in listed {
        let mut of_line = Vec::new();
        let known_short = sold.short_rolls.len();
        articles.extend(article(raw, &SettingPath::from(["articles"]), sold, &mut of_line));
        found.extend(of_line.into_iter().map(|p| listed::at(line, p).within(Source::List(at))));
        for (_, left_out) in &mut sold.short_rolls[known_short..] {
            *left_out = listed::at(line, left_out.clone()).within(Source::List(at));
        }
    }
    let file = file.to_owned();
    Some(PriceBook { file, merchant: merchant?, dated: dated?, articles, index: Default::default() })
}

fn merchant(raw: RawMerchant) -> Option<Merchant> {
    Some(Merchant {
        name: raw.name.take()?.0,
        address: raw.address.take().map(|l| l.0).unwrap_or_default(),
        phone: raw.phone.take().map(|t| t.0),
        email: raw.email.take().map(|t| t.0),
        account: raw.account.take().map(|t| t.0),
        delivery: raw.delivery.take()?,
        free_delivery_from: raw.free_delivery_from.take(),
        preferred: raw.preferred.take(),
        lead_days: raw.lead_days.take(),
    })
}

/// A book may be a little newer than the job that it is read for; a year ahead of it, its date is wrong.
fn ahead(dated: Date, prepared: Date, found: &mut Vec<Problem>) {
    let fault = format!("these prices are dated {dated}, after the job, which was prepared on {prepared}");
    if dated > prepared.saturating_add(Duration::days(366)) {
        found.push(Problem::fault(["dated"], fault, "check the year"));
    } else if dated > prepared {
        found.push(Problem::warning(
            Warned::OldPrices,
            ["dated"],
            fault,
            "check that the prices hold for this job, or bring `prepared` up to date",
        ));
    }
}

fn article(raw: RawArticle, path: &SettingPath, sold: &mut SizesSold, found: &mut Vec<Problem>) -> Option<Article> {
    let role = role(&raw.role.given()?.0, path, found)?;
    let unit = role.unit();
    let holds = raw.holds.given().and_then(|h| {
        let fits = h.unit.is_empty() || h.unit == unit.to_string();
        if !fits {
            let fault = format!("a pack of `{role}` holds so many {unit}, not {}", h.unit);
            found.push(Problem::fault(
                path.key("holds"),
                fault,
                format!("write, for example, `holds: {} {unit}`", h.amount),
            ));
        }
        let whole = unit != crate::takeoff::Unit::Each || h.amount.fract().is_zero();
        if !whole {
            let fault = format!("a pack of `{role}` holds {} pieces: nobody sells a part of one", h.amount.normalize());
            found.push(Problem::fault(path.key("holds"), fault, "write a whole number, such as `holds: 1`"));
        }
        (fits && whole).then_some(h.amount)
    });
    if let (Some(holds), Some(pack)) = (holds, raw.pack.given()) {
        found.extend(packs::contradicted(&pack.0, (holds, unit), raw.mass.given().copied(), path));
    }
    if let (Role::Mat(weight), Some(metres)) = (&role, holds)
        && let Some(left_out) = short_roll(metres, path)
    {
        sold.short_rolls.push((*weight, left_out));
        return None;
    }
    let size = sizes(&raw, &role, holds, path, sold, found);
    if role.facts().sized
        && size.is_none()
        && !matches!(role, Role::Trim(_) | Role::Sawn(_) | Role::NightSheet)
        && raw.size.is_missing()
    {
        found.push(Problem::fault(
            path.key("size"),
            format!("`{role}` comes in sizes, and this article does not say which"),
            format!("add its `size`: {}", role.facts().about),
        ));
    }
    sold.roles.push(role.clone());
    sold.weigh(&raw, &role, size, holds);
    sold.longest.entry(role.clone()).or_default().push(raw.longest.given().copied());
    let price = price(&raw, path, found);
    Some(Article {
        role,
        size,
        code: raw.code.take()?.0,
        description: raw.description.take()?.0,
        pack: raw.pack.take()?.0,
        holds: holds?,
        price: price?,
        mass: raw.mass.take(),
        longest: raw.longest.take(),
        hazard: raw.hazard.take().map(|t| t.0),
        least: raw.least.take().map(u64::from),
        breaks: raw
            .breaks
            .take()
            .filter(|b| !too_many(b.len(), limits::BREAKS, path.key("breaks"), found))
            .unwrap_or_default()
            .into_iter()
            .filter_map(price_break)
            .collect(),
    })
}

/// The role of a word of the price book, or of the stock list.
pub(super) fn role(word: &str, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Role> {
    let role = Role::parse(word);
    let numbered = match role {
        Some(Role::Mat(n)) => Some((limits::MAT, n)),
        Some(Role::Bandage(n)) => Some((limits::BANDAGE_WIDTH, n)),
        _ => None,
    };
    let beyond = numbered.filter(|(limits, n)| !limits.limit.holds((*n).into()));
    if role.is_some() && beyond.is_none() {
        return role;
    }
    let families = [("bandage.", "75"), ("mat.", "450")];
    let known: Vec<&str> = ROLES.iter().map(|r| r.word).collect();
    let family_of = families.into_iter().find(|(head, _)| word.starts_with(head));
    let (fault, cure) = match (beyond, family_of, suggest::nearest(word, &known)) {
        (Some((limits, _)), Some((head, example)), _) => (
            format!("`{word}` is not a role: {} lies {}", limits.what, limits.words()),
            format!("write, for example, `{head}{example}`"),
        ),
        (_, Some((head, example)), _) => (
            format!("`{word}` is not a role: a number stands after the point"),
            format!("write, for example, `{head}{example}`"),
        ),
        (_, None, Some(near)) => (format!("`{word}` is not a role"), format!("did you mean `{near}`?")),
        (_, None, None) => (
            format!("`{word}` is not a role"),
            format!("the roles are {}", suggest::words(&family(word, &known), "and")),
        ),
    };
    found.push(Problem::fault(path.key("role"), fault, cure));
    None
}

fn price_break(raw: Slot<RawBreak>) -> Option<PriceBreak> {
    let raw = raw.take()?;
    Some(PriceBreak { from: u64::from(raw.from.take()?), price: raw.price.take()? })
}

/// The roles of the same family, or all of them.
fn family<'a>(role: &str, known: &[&'a str]) -> Vec<&'a str> {
    let head = role.split('.').next().unwrap_or(role);
    let same: Vec<&str> = known.iter().filter(|k| k.split_once('.').is_some_and(|(h, _)| h == head)).copied().collect();
    if same.is_empty() { known.to_vec() } else { same }
}

fn price(raw: &RawArticle, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Money> {
    let path = path.key("price");
    if raw.price.is_missing() {
        let fault = "this article has no price: its size is used, but it cannot be bought from this book";
        found.push(Problem::assumed(path, fault, "add, for example, `price: 12.10`"));
        return None;
    }
    let price = *raw.price.given()?;
    Some(price)
}

/// Gathers the sizes that the layout needs; gives the size by which the article is asked for.
fn sizes(
    raw: &RawArticle,
    role: &Role,
    holds: Option<Decimal>,
    path: &SettingPath,
    sold: &mut SizesSold,
    found: &mut Vec<Problem>,
) -> Option<Length> {
    match role {
        Role::Trim(finish) => return trim(raw, *finish, path, sold, found),
        Role::Board(key) => {
            sold.boards.extend(board(raw, key, path, found));
            return None;
        }
        Role::Insulation(key) => {
            sold.slabs.extend(slab(raw, key, path, found));
            return None;
        }
        Role::Mat(weight) => {
            mat(raw, *weight, holds, path, sold, found);
            return None;
        }
        Role::Sawn(section) => return sawn(raw, *section, path, sold, found),
        Role::Noggin => {
            let stock = in_lengths(raw, holds);
            sold.noggins.push(stock);
            return stock.map(|s| s.length);
        }
        Role::EdgeBatten | Role::EdgeTimber => {
            let stock = in_lengths(raw, holds);
            sold.lengths.entry(role.clone()).or_default().push(stock.map(|s| s.length));
        }
        Role::NightSheet => return sheet(raw, path, sold, found),
        Role::FlashingLead | Role::FlashingLeadFree => {
            sold.strips.entry(role.clone()).or_default().push(raw.size.given().copied());
        }
        Role::Bandage(width) => bandage(*width, holds, path, sold, found),
        Role::CornerExternal => sold.external = sold.external.or(raw.leg.given().copied()),
        Role::CornerInternal => sold.internal = sold.internal.or(raw.leg.given().copied()),
        Role::OverlayFixings => {
            sold.screws.push(screw(raw));
            sold.overlay_screws.push(raw.size.given().copied());
        }
        Role::OldDeckFixings => sold.old_deck_screws.extend(raw.size.given()),
        Role::Catalyst => density(raw, path, sold, found),
        _ => {}
    }
    raw.size.given().copied()
}

/// The catalyst's density, by which grams become millilitres: that of the first article which gives one.
fn density(raw: &RawArticle, path: &SettingPath, sold: &mut SizesSold, found: &mut Vec<Problem>) {
    let path = path.key("density");
    if raw.density.is_missing() && sold.density.is_none() {
        found.push(Problem::assumed(
            path,
            format!(
                "the density of this catalyst is not given: {} g/ml is taken",
                Products::default().catalyst_density
            ),
            "add it from the data sheet, such as `density: 1.15 g/ml`: millilitres are worked out from it",
        ));
        return;
    }
    let Some(given) = raw.density.given().map(|d| d.0) else { return };
    if given <= Decimal::ONE {
        let fault = format!(
            "a catalyst density of {} g/ml is not that of a peroxide catalyst, which is heavier than water",
            given.normalize()
        );
        found.push(Problem::fault(
            path,
            fault,
            "write the density of the catalyst's data sheet, usually 1.10 to 1.18 g/ml",
        ));
        return;
    }
    match sold.density {
        Some(first) if first != given => found.push(Problem::fault(
            path,
            format!(
                "this catalyst weighs {} g/ml, another in the price books {} g/ml: one mix card cannot serve both",
                given.normalize(),
                first.normalize()
            ),
            "keep the catalyst that the firm uses, with its own density",
        )),
        _ => sold.density = Some(given),
    }
}

/// What the heat meets in a screw; `None` where its book does not say.
fn screw(raw: &RawArticle) -> Option<Screw> {
    Some(Screw { diameter: *raw.diameter.given()?, conductivity: *raw.lambda.given()? })
}

/// Each length of sheet once, with the narrowest that is sold of it: whichever is bought covers as much.
fn narrowest(mut sheets: Vec<(Length, Length)>) -> Vec<(Length, Length)> {
    sheets.sort_unstable();
    sheets.dedup_by_key(|(long, _)| *long);
    sheets
}

/// The one that lets the most heat through, whichever is bought; `None` where one is not known.
fn worst_screw(screws: &[Option<Screw>]) -> Option<Screw> {
    let heat = |s: &Screw| s.conductivity.as_w_per_mk() * s.diameter.as_mm() * s.diameter.as_mm();
    let known: Vec<Screw> = screws.iter().copied().collect::<Option<_>>()?;
    known.into_iter().max_by_key(heat)
}

/// A size without which the article cannot be laid out.
fn needed(
    slot: &Slot<Length>,
    limits: Number,
    (key, example): (&'static str, &str),
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<Length> {
    match slot {
        Slot::Given(l) if limits.limit.holds(l.as_mm().into()) => Some(*l),
        Slot::Given(l) => {
            let fault = format!("`{key}` is {l}; it lies {}", limits.words());
            let cure = format!("check the figure and its unit; {} is, for example, `{key}: {example}`", limits.what);
            found.push(Problem::fault(path.key(key), fault, cure));
            None
        }
        Slot::Bad => None,
        _ => {
            let fault = format!("an article of this role needs `{key}`");
            found.push(Problem::fault(path.key(key), fault, format!("add, for example, `{key}: {example}`")));
            None
        }
    }
}

fn trim(
    raw: &RawArticle,
    finish: Finish,
    path: &SettingPath,
    sold: &mut SizesSold,
    found: &mut Vec<Problem>,
) -> Option<Length> {
    let slot = if raw.length.is_missing() { &raw.size } else { &raw.length };
    let length = needed(slot, limits::TRIM_LENGTH, ("length", "3.0 m"), path, found)?;
    let pence = raw.price.given().and_then(|p| (p.as_pounds() * Decimal::ONE_HUNDRED).to_u64());
    sold.trims.push((finish, Stock { length, pence }, raw.flange.given().copied()));
    Some(length)
}

/// Structural timber, which is asked for by its length.
fn sawn(
    raw: &RawArticle,
    section: Section,
    path: &SettingPath,
    sold: &mut SizesSold,
    found: &mut Vec<Problem>,
) -> Option<Length> {
    let length = needed(&raw.length, limits::TIMBER_LENGTH, ("length", "4.8 m"), path, found)?;
    let pence = raw.price.given().and_then(|p| (p.as_pounds() * Decimal::ONE_HUNDRED).to_u64());
    sold.sawn.entry(section).or_default().push(Stock { length, pence });
    Some(length)
}

/// The length of a pack's pieces, and what one costs; `None` where a pack does not hold a whole number of its longest piece:
/// then it is cut to any length.
fn in_lengths(raw: &RawArticle, holds: Option<Decimal>) -> Option<Stock> {
    let length = *raw.longest.given()?;
    let pieces = holds?.checked_div(length.metres()).filter(|n| n.fract().is_zero() && !n.is_zero())?;
    let pence = raw.price.given().and_then(|p| (p.as_pounds() * Decimal::ONE_HUNDRED / pieces).ceil().to_u64());
    Some(Stock { length, pence })
}

/// A sheet, which is asked for by its longer side.
fn sheet(raw: &RawArticle, path: &SettingPath, sold: &mut SizesSold, found: &mut Vec<Problem>) -> Option<Length> {
    let length = needed(&raw.length, limits::SHEET, ("length", "8 m"), path, found);
    let width = needed(&raw.width, limits::SHEET, ("width", "6 m"), path, found);
    let (length, width) = (length?, width?);
    let (long, wide) = (length.max(width), length.min(width));
    sold.sheets.push((long, wide));
    Some(long)
}

fn board(raw: &RawArticle, key: &str, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Board> {
    let length = needed(&raw.length, limits::BOARD_LENGTH, ("length", "2400 mm"), path, found);
    let width = needed(&raw.width, limits::BOARD_WIDTH, ("width", "590 mm"), path, found);
    let thickness = needed(&raw.thickness, limits::BOARD_THICKNESS, ("thickness", "18 mm"), path, found);
    if raw.edge.is_missing() {
        let cure = "add `edge: tongued`, or `edge: square`";
        found.push(Problem::fault(path.key("edge"), "an article of this role needs `edge`", cure));
    }
    Some(Board {
        key: key.to_owned(),
        length: length?,
        width: width?,
        thickness: thickness?,
        edge: *raw.edge.given()?,
        mass: raw.mass.given().copied(),
    })
}

fn slab(raw: &RawArticle, key: &str, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Slab> {
    let length = needed(&raw.length, limits::SLAB_LENGTH, ("length", "2400 mm"), path, found);
    let width = needed(&raw.width, limits::SLAB_WIDTH, ("width", "1200 mm"), path, found);
    let thickness = needed(&raw.thickness, limits::INSULATION, ("thickness", "120 mm"), path, found);
    let conductivity = raw.lambda.given().copied();
    Some(Slab { key: key.to_owned(), length: length?, width: width?, thickness: thickness?, conductivity })
}

fn mat(
    raw: &RawArticle,
    weight: u32,
    holds: Option<Decimal>,
    path: &SettingPath,
    sold: &mut SizesSold,
    found: &mut Vec<Problem>,
) -> Option<()> {
    let width = needed(&raw.width, limits::MAT_WIDTH, ("width", "1000 mm"), path, found);
    let roll = roll(holds?, limits::MAT_ROLL, path, found)?;
    let width = width?;
    match sold.mats.iter_mut().find(|m| m.weight == weight) {
        Some(mat) if mat.width != width => {
            let fault =
                format!("mat of {weight} g/m² is sold {} wide and {width} wide: the layout takes one width", mat.width);
            found.push(Problem::fault(path.key("width"), fault, "keep one width of each mat in the price books"));
        }
        Some(mat) => mat.rolls.push(roll),
        None => sold.mats.push(MatRoll { weight, width, rolls: vec![roll] }),
    }
    Some(())
}

/// That a roll of mat is left out, where it is shorter than any strip may be.
fn short_roll(metres: Decimal, path: &SettingPath) -> Option<Problem> {
    let least = limits::MAT_ROLL.limit.least / Decimal::ONE_THOUSAND;
    (metres < least).then(|| {
        let fault = format!("`holds` is {} m: a roll of mat of less than {least} m is left out", metres.normalize());
        let cure = format!("{}: take the article out, or correct its metres", limits::MAT_ROLL.why);
        Problem::warning(Warned::Pack, path.key("holds"), fault, cure)
    })
}

/// The roll's length; a pack of a metre or less is cut off a longer roll.
fn bandage(width: u32, holds: Option<Decimal>, path: &SettingPath, sold: &mut SizesSold, found: &mut Vec<Problem>) {
    let roll = holds.and_then(|h| roll(h, limits::BANDAGE_ROLL, path, found));
    sold.bandages.extend(roll.filter(|r| *r > Length::mm(1000)).map(|r| (width, r)));
}

/// The length of a roll that holds so many metres.
fn roll(metres: Decimal, limits: Number, path: &SettingPath, found: &mut Vec<Problem>) -> Option<Length> {
    let mm = metres * Decimal::ONE_THOUSAND;
    if !limits.limit.holds(mm) {
        let fault = format!("`holds` is {} m; it lies {}", metres.normalize(), limits.words());
        found.push(Problem::fault(path.key("holds"), fault, "write the metres on one roll, such as `33 m`"));
        return None;
    }
    mm.to_i64().map(Length::mm)
}

impl SizesSold {
    /// The rolls of mat that are left out; where a mat has no other roll, that is a fault.
    pub(crate) fn left_out(&mut self) -> Vec<Problem> {
        let least = limits::MAT_ROLL.limit.least / Decimal::ONE_THOUSAND;
        let told = |(weight, left_out): (u32, Problem)| match self.mats.iter().any(|mat| mat.weight == weight) {
            true => left_out,
            false => {
                let fault = format!("{}, and there is no longer roll of mat of {weight} g/m²", left_out.fault);
                let cure = format!("add one of {least} m or more: {}", limits::MAT_ROLL.why);
                Problem { level: Level::Fault, warned: None, fault, cure, ..left_out }
            }
        };
        std::mem::take(&mut self.short_rolls).into_iter().map(told).collect()
    }

    /// Keeps what a unit of a role weighs: of several articles the heaviest. A pack's own weight counts as its goods'.
    fn weigh(&mut self, raw: &RawArticle, role: &Role, size: Option<Length>, holds: Option<Decimal>) {
        let (Some(mass), Some(holds)) = (raw.mass.given(), holds.filter(|h| *h > Decimal::ZERO)) else { return };
        let trim = matches!(role, Role::Trim(_) | Role::Sawn(_));
        let length = size.filter(|l| trim && *l > Length::ZERO).map_or(Decimal::ONE, Length::metres);
        let kept = self.masses.entry((role.clone(), size.filter(|_| !trim))).or_default();
        *kept = (*kept).max(mass.as_kg() / holds / length);
    }

    /// The sizes for the layout: what is sold, and the usual sizes of what is not.
    pub(crate) fn products(mut self) -> Products {
        let mut products = Products::default();
        if !self.boards.is_empty() {
            self.boards.reverse();
            products.boards = self.boards.into_iter().map(|b| (b.key.clone(), b)).collect();
        }
        self.slabs.reverse();
        products.insulation = self.slabs.into_iter().map(|s| (s.key.clone(), s)).collect();
        products.sawn = std::mem::take(&mut self.sawn).into_iter().map(|(s, stock)| (s, cheapest(stock))).collect();
        let noggins: Option<Vec<Stock>> = std::mem::take(&mut self.noggins).into_iter().collect();
        products.noggins = noggins.filter(|stock| !stock.is_empty()).map(cheapest);
        products.masses = std::mem::take(&mut self.masses);
        let longest = std::mem::take(&mut self.longest).into_iter();
        let of_all =
            |articles: Vec<Option<Length>>| articles.into_iter().collect::<Option<Vec<Length>>>()?.into_iter().max();
        products.longest = longest.filter_map(|(role, articles)| Some((role, of_all(articles)?))).collect();
        let same = |articles: &[Option<Length>]| articles.windows(2).all(|pair| pair[0] == pair[1]);
        let lengths = std::mem::take(&mut self.lengths).into_iter();
        products.one_length =
            lengths.filter_map(|(role, of)| Some((role, (*of.first()?).filter(|_| same(&of))?))).collect();
        products.overlay_screw = worst_screw(&self.screws);
        self.old_deck_screws.sort_unstable();
        products.old_deck_screws = std::mem::take(&mut self.old_deck_screws);
        // One that does not say how long it is fits any size that is asked for.
        let lengths: Option<BTreeSet<Length>> = std::mem::take(&mut self.overlay_screws).into_iter().collect();
        products.overlay_screws = lengths.unwrap_or_default().into_iter().collect();
        if !self.sheets.is_empty() {
            products.sheets = narrowest(self.sheets);
        }
        for (role, widths) in std::mem::take(&mut self.strips) {
            let widths: BTreeSet<Length> = widths.into_iter().flatten().collect();
            products.strips.insert(role, widths.into_iter().collect());
        }
        for finish in Finish::ALL {
            let all = || self.trims.iter().filter(|t| t.0 == finish);
            if all().next().is_some() {
                let flange = all().find_map(|t| t.2);
                products
                    .profiles
                    .insert(finish, Profile { finish, stock: cheapest(all().map(|t| t.1).collect()), flange });
            }
        }
        if !self.mats.is_empty() {
            products.mats = self.mats.into_iter().map(|m| (m.weight, sorted(m))).collect();
        }
        if !self.roles.is_empty() {
            products.closures = [Role::ClosureLeft, Role::ClosureRight].iter().all(|c| self.roles.contains(c));
        }
        for (width, roll) in self.bandages {
            let rolls = products.bandages.entry(width).or_default();
            rolls.push(roll);
            rolls.sort_unstable();
            rolls.dedup();
        }
        products.corner_external_leg = self.external.unwrap_or(products.corner_external_leg);
        products.corner_internal_leg = self.internal.unwrap_or(products.corner_internal_leg);
        products.catalyst_density = self.density.unwrap_or(products.catalyst_density);
        products.colours = colours(&self.roles);
        products
    }
}

/// Each stock length once, with its lowest price.
fn cheapest(mut stock: Vec<Stock>) -> Vec<Stock> {
    stock.sort_by_key(|s| (s.length, s.pence.is_none(), s.pence));
    stock.dedup_by_key(|s| s.length);
    stock
}

fn sorted(mut mat: MatRoll) -> MatRoll {
    mat.rolls.sort_unstable();
    mat.rolls.dedup();
    mat
}

/// `topcoat.dark-grey` is sold in `dark grey`.
fn colours(roles: &[Role]) -> Vec<String> {
    let mut all: Vec<String> =
        roles.iter().filter_map(|r| if let Role::Topcoat(c) = r { Some(c.replace('-', " ")) } else { None }).collect();
    all.sort_unstable();
    all.dedup();
    all
}
