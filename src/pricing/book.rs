//! A merchant's price book: what is sold, by role, with codes, packs, prices, sizes and weights.
//!
//! Given by the price-book file; codes come from there and from nowhere else.

use super::money::Money;
use crate::model::{Length, Mass, Role};
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::sync::OnceLock;
use time::Date;

/// Who sells.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Merchant {
    /// Name.
    pub name: String,
    /// Address, a line each.
    pub address: Vec<String>,
    /// Telephone.
    pub phone: Option<String>,
    /// E-mail.
    pub email: Option<String>,
    /// The firm's account there.
    pub account: Option<String>,
    /// What delivery costs.
    pub delivery: Money,
    /// Orders from this sum are delivered free.
    pub free_delivery_from: Option<Money>,
    /// The firm would rather buy here: each other merchant is used only where it saves more than this.
    pub preferred: Option<Money>,
    /// Days from order to delivery, where the merchant says.
    pub lead_days: Option<u32>,
}

impl Merchant {
    /// What delivery of goods worth `goods` costs.
    pub fn delivery_of(&self, goods: Money) -> Money {
        match self.free_delivery_from {
            Some(from) if goods >= from => Money::ZERO,
            _ => self.delivery,
        }
    }
}

/// A lower price from so many packs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PriceBreak {
    /// From this many packs.
    pub from: u64,
    /// Each pack costs this, without VAT.
    pub price: Money,
}

/// What an article says in place of a danger where its data sheet names none.
pub(super) const NO_HAZARD: &str = "none";

/// One article: one code, one pack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Article {
    /// The role that it serves.
    pub role: Role,
    /// Its size, where the role comes in sizes (stock length of a trim).
    pub size: Option<Length>,
    /// The merchant's code.
    pub code: String,
    /// The merchant's description.
    pub description: String,
    /// The pack in words: `20 kg drum`.
    pub pack: String,
    /// What a pack holds, in the role's unit.
    pub holds: Decimal,
    /// Price of a pack without VAT.
    pub price: Money,
    /// Mass of a pack.
    pub mass: Option<Mass>,
    /// Longest dimension of a pack.
    pub longest: Option<Length>,
    /// Hazard words, or `none` where its data sheet names none.
    pub hazard: Option<String>,
    /// Fewest packs sold at once; one where it is not said.
    pub least: Option<u64>,
    /// Lower prices from so many packs on, in any order; the price of all packs, not only of those beyond.
    pub breaks: Vec<PriceBreak>,
}

impl Article {
    /// Price of each pack where `n` are bought.
    pub fn price_of(&self, n: u64) -> Money {
        let reached = self.breaks.iter().filter(|b| n >= b.from).max_by_key(|b| b.from);
        reached.map_or(self.price, |b| b.price)
    }

    /// Whether it is the same thing as another of its code, or unlike it in price or pack.
    fn repeats(&self, other: &Article) -> bool {
        let same_thing = (&other.role, other.size) == (&self.role, self.size);
        same_thing || (other.price, &other.pack) != (self.price, &self.pack)
    }
}

/// A price book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PriceBook {
    /// File name, for messages.
    pub file: String,
    /// Who sells.
    pub merchant: Merchant,
    /// The date of its prices.
    pub dated: Date,
    /// What is sold.
    pub articles: Vec<Article>,
    /// Where in it what is found.
    pub index: BookIndex,
}

impl PriceBook {
    /// The articles of a role, in their order.
    pub fn of_role<'a>(&'a self, role: &Role) -> impl Iterator<Item = &'a Article> + use<'a> {
        let places = self.index.of(&self.articles).by_role.get(role);
        places.into_iter().flatten().filter_map(|&place| self.articles.get(place))
    }

    /// The articles whose code stands before them for the same thing or at another price: each with the first such. One article
    /// may serve two roles.
    pub fn twice(&self) -> &[(usize, usize)] {
        &self.index.of(&self.articles).twice
    }
}

/// Where in a price book what is found: made when it is first asked for, and once for all that is priced by the book. A copy, whose
/// articles may be changed, makes its own.
#[derive(Debug, Default)]
pub struct BookIndex(OnceLock<ArticlePlaces>);

#[derive(Debug, Default)]
struct ArticlePlaces {
    by_role: BTreeMap<Role, Vec<usize>>,
    twice: Vec<(usize, usize)>,
}

impl BookIndex {
    fn of(&self, articles: &[Article]) -> &ArticlePlaces {
        self.0.get_or_init(|| {
            let mut places = ArticlePlaces::default();
            let mut by_code: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
            for (n, article) in articles.iter().enumerate() {
                places.by_role.entry(article.role.clone()).or_default().push(n);
                let before = by_code.entry(&article.code).or_default();
                let first = before.iter().find(|&&o| articles.get(o).is_some_and(|o| article.repeats(o)));
                places.twice.extend(first.map(|&first| (n, first)));
                before.push(n);
            }
            places
        })
    }
}

impl Clone for BookIndex {
    fn clone(&self) -> BookIndex {
        BookIndex::default()
    }
}

impl PartialEq for BookIndex {
    fn eq(&self, _: &BookIndex) -> bool {
        true
    }
}

impl Eq for BookIndex {}
