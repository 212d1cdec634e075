//! From sent to paid: revisions that are kept, the customer's answers to them, what was agreed since, and how every job stands.
//!
//! Given a job; freezes and reads folders in `issued` beside it (`records` writes them). Everything that is known of a deal is
//! read from those folders each time; nothing else is remembered.

mod accepted;
mod account;
mod actuals;
mod addressed;
mod agreed_works;
mod altered;
mod answer;
mod check;
mod compare;
mod deal;
mod handover;
mod invoice;
mod issue;
mod kept;
mod mail;
mod manifest;
mod message;
mod packs;
mod paid_back;
mod receipt;
mod register;
mod send;
mod signed_paper;
mod smtp;
mod snapshot;
mod variation;
mod varied_goods;
mod varied_order;

pub(super) use accepted::{SourceOfWork, source};
pub(super) use account::account;
pub(super) use actuals::actuals;
pub(super) use answer::{Refusal, accept, refuse};
pub(super) use check::check;
pub(super) use compare::{WorkPrices, compare, differences, told};
pub(super) use handover::handover;
pub(super) use invoice::invoice;
pub(super) use issue::issue;
pub(super) use mail::mail;
pub(super) use packs::PacksOrdered;
pub(super) use paid_back::paid_back;
pub(super) use receipt::receipt;
pub(super) use register::{QuoteStanding, lapsing, list, quote_standing};
pub(super) use snapshot::ordered;
pub(super) use variation::variation;
pub(super) use varied_order::{for_work, order_for_variation};
