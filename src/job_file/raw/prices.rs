//! A price book as it is written: every key, none of the meaning.

use super::job::Lines;
use crate::job_file::read::reading::{List, Word, Wrong, settings};
use crate::job_file::read::scalars::{Density, Holds, PrintedText, choose};
use crate::model::build_up::Conductivity;
use crate::model::products::BoardEdge;
use crate::model::{Length, Mass};
use crate::pricing::Money;
use time::Date;

settings! {
    /// The whole file.
    pub struct RawPrices = "a price book" {
        merchant: RawMerchant, needed "{name: …, delivery: 45.00}";
        dated: Date, needed "2026-11-02";
        articles: List<RawArticle>, needed "[{role: resin, code: …, …}]";
    }
}

settings! {
    /// Who sells.
    pub struct RawMerchant = "`merchant`" {
        name: PrintedText, needed "Example Merchant";
        address: Lines;
        phone: PrintedText;
        email: PrintedText;
        account: PrintedText;
        delivery: Money, needed "45.00";
        free_delivery_from: Money;
        preferred: Money;
        lead_days: u32;
    }
}

settings! {
    /// One article.
    pub struct RawArticle = "an article" {
        role: PrintedText, needed "resin";
        code: PrintedText, needed "the merchant's own code";
        description: PrintedText, needed "laminating resin";
        pack: PrintedText, needed "20 kg drum";
        holds: Holds, needed "20 kg";
        price: Money;
        mass: Mass;
        longest: Length;
        hazard: PrintedText;
        size: Length;
        length: Length;
        width: Length;
        thickness: Length;
        edge: BoardEdge;
        flange: Length;
        leg: Length;
        density: Density;
        lambda: Conductivity;
        least: u32;
        breaks: List<RawBreak>;
    }
}

settings! {
    /// A lower price from so many packs on.
    pub struct RawBreak = "a price break" {
        from: u32, needed "10";
        price: Money, needed "11.20";
    }
}

impl Word for BoardEdge {
    const WHAT: &'static str = "how boards meet";
    fn parse(text: &str) -> Result<BoardEdge, Wrong> {
        choose(text, BoardEdge::WHAT, &[("tongued", BoardEdge::TongueAndGroove), ("square", BoardEdge::Square)])
    }
}
