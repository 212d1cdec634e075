//! A price book as it is written: every key, none of the meaning.

use super::job::Lines;
use crate::job_file::read::price_list::{COLUMNS, Headings};
use crate::job_file::read::reading::{At, List, Slot, setting};
use crate::job_file::read::scalars::{Density, Holds, PrintedText, choice};
use crate::job_file::read::settings::settings;
use crate::model::build_up::{Conductivity, Thickness};
use crate::model::products::BoardEdge;
use crate::model::{Length, Mass};
use crate::pricing::Money;
use time::Date;

settings! {
    /// The whole file.
    pub(crate) struct RawPrices = "a price book" {
        merchant: RawMerchant, needed "{name: …, delivery: 45.00}";
        dated: Date, needed "2026-11-02";
        list: RawPriceList;
        articles: List<RawArticle>, needed "[{role: resin, code: …, …}]";
    }
}

settings! {
    /// The merchant's own list, and what it calls its columns.
    pub(crate) struct RawPriceList = "`list`" or list_short as PrintedText {
        file: PrintedText, needed "example-merchant.csv";
        role: PrintedText;
        code: PrintedText;
        description: PrintedText;
        pack: PrintedText;
        holds: PrintedText;
        price: PrintedText;
        mass: PrintedText;
        size: PrintedText;
        length: PrintedText;
        width: PrintedText;
        thickness: PrintedText;
        longest: PrintedText;
        hazard: PrintedText;
    }
}

/// `list: example-merchant.csv`: its columns are headed by the keys of an article.
fn list_short(at: At<'_>) -> Slot<RawPriceList> {
    Slot::Given(RawPriceList { file: setting(at), ..RawPriceList::default() })
}

impl RawPriceList {
    /// What the list calls each of the columns that it can have.
    pub(crate) fn headings(&self) -> Headings {
        let said = [
            &self.role,
            &self.code,
            &self.description,
            &self.pack,
            &self.holds,
            &self.price,
            &self.mass,
            &self.size,
            &self.length,
            &self.width,
            &self.thickness,
            &self.longest,
            &self.hazard,
        ];
        std::array::from_fn(|n| said[n].given().map_or_else(|| COLUMNS[n].to_owned(), |heading| heading.0.clone()))
    }
}

settings! {
    /// Who sells.
    pub(crate) struct RawMerchant = "`merchant`" {
        name: PrintedText, needed "Example Merchant";
        address: Lines;
        phone: PrintedText;
        email: PrintedText;
        account: PrintedText;
        delivery: Money, needed "45.00", within DELIVERY;
        free_delivery_from: Money, within FREE_FROM;
        preferred: Money, within PREFERRED;
        lead_days: u32, within LEAD_DAYS;
    }
}

settings! {
    /// One article.
    pub(crate) struct RawArticle = "an article" {
        role: PrintedText, needed "resin";
        code: PrintedText, needed "the merchant's own code";
        description: PrintedText, needed "laminating resin";
        pack: PrintedText, needed "20 kg drum";
        holds: Holds, needed "20 kg", within HOLDS;
        price: Money, within PRICE;
        mass: Mass, within PACK_MASS;
        longest: Length, within PACK_SIZE;
        hazard: PrintedText;
        size: Length, within PACK_SIZE;
        length: Length, within PACK_SIZE;
        width: Length, within PACK_SIZE;
        thickness: Length, within PACK_SIZE;
        edge: BoardEdge;
        flange: Length, within FLANGE;
        leg: Length, within LEG;
        density: Density;
        lambda: Conductivity, within LAMBDA;
        diameter: Thickness, within SCREW;
        least: u32, within LEAST_PACKS;
        breaks: List<RawBreak>;
    }
}

settings! {
    /// A lower price from so many packs on.
    pub(crate) struct RawBreak = "a price break" {
        from: u32, needed "10", within BREAK_FROM;
        price: Money, needed "11.20", within PRICE;
    }
}

choice! {
    BoardEdge = "how boards meet" { "tongued" => BoardEdge::TongueAndGroove, "square" => BoardEdge::Square }
}
