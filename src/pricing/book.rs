//! A merchant's price book: what is sold, by role, with codes, packs, prices, sizes and weights.
//!
//! Given by the price-book file; codes come from there and from nowhere else.

use super::money::Money;
use crate::model::{Length, Mass};
use rust_decimal::Decimal;
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
}

/// One article: one code, one pack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Article {
    /// The role that it serves.
    pub role: String,
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
    /// Hazard words.
    pub hazard: Option<String>,
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
}
