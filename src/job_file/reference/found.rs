//! What is told of the keys of the file of what was found on site.

use super::told::{Told, explain};
use crate::job_file::raw::found::{RawFound, RawTaken, RawThing};

explain! {
    RawFound {
        found: "What was found on site, a thing an entry, each with what it takes.", "the variation order", "", "";
        days: "Working days that it adds on site.", "the expected finish", "the hours, shared by the crew, over what is left of the last day", "1";
        note: "What the customer is told of it besides.", "the variation order", "nothing", "Found when the felt came off by the chimney.";
    }
    RawThing {
        what: "What was found or is wanted, in words that the customer understands.", "the variation order, the invoice", "", "";
        rate: "A rate that the accepted quote names for rot: its own words; with `quantity`.", "the price", "it is priced by the other keys", "joist replaced or doubled";
        article: "What is bought for it: a role of the price book; with `quantity`. Whole packs are charged.", "the price", "nothing is bought by its role", "flashing.lead";
        size: "The size of the article, where it comes in sizes.", "which article is bought", "that in which the job's own layout has it; needed where that has several or none", "150 mm";
        quantity: "How much of the rate or of the article, in its unit.", "the price", "needed with `rate` and `article`", "2.4 m";
        boards: "How many deck boards are bought and laid, with the hours that the norm gives for them.", "the price, the days", "none", "3";
        board: "Which board.", "the price", "that of the job's deck", "osb3-18";
        hours: "Hours of one person: two people for three hours are 6.", "the price, the days", "none", "6";
        visits: "Days on which the crew comes besides: travel, setting up and clearing.", "the price", "none", "1";
        cost: "What somebody else charges you for it, without VAT; overhead and margin go on top.", "the price", "nothing", "45.00";
        price: "What you sell it for, without VAT.", "the price", "it is worked out", "120.00";
        omit: "What no longer has to be paid, without VAT, because it is left out.", "the price", "nothing", "85.00";
        takes: "What it takes of the price book, where its price is in the rate or the sum already: ordered, and charged by nothing else.", "the order for the variation", "nothing is ordered for a rate, but boards that a rate charges", "[{article: sawn.47x147, size: 4.8 m, quantity: 1}]";
    }
    RawTaken {
        article: "A role of the price book.", "the order for the variation", "", "";
        size: "Its size, where it comes in sizes.", "which article is bought", "that in which the job's own layout has it; needed where that has several or none", "4.8 m";
        quantity: "How much of it, in its unit.", "the order for the variation", "", "";
    }
}
