//! The firm file as it is written: every key, none of the meaning. The rules are read in [`crate::job_file::raw::rules`].

use super::checks::RawLift;
use super::job::{Lines, RawStage};
use super::rules::GivenRules;
use crate::job_file::read::reading::{ByName, List, Slot, Word, Wrong, settings};
use crate::job_file::read::scalars::{Percent, PrintedText, Volume, YesNo, choose};
use crate::model::Mass;
use crate::model::firm::Accent;
use crate::pricing::Money;
use crate::pricing::terms::VatRounding;
use time::Date;

settings! {
    /// The whole file.
    pub struct RawFirm = "a firm file" {
        firm: RawParty, needed "{name: …, address: […], phone: …}";
        guarantee: RawGuarantee, needed "{years: 20, words: …}";
        people: List<RawPerson>, needed "[{name: …, role: installer, hour: 28.00}]";
        weather_watch: PrintedText;
        holidays: List<Date>;
        terms: List<PrintedText>;
        exclusions: List<PrintedText>;
        needs: List<PrintedText>;
        payment: List<PrintedText>;
        lift: RawLift;
        money: RawMoney, needed "{margin: 25 %, …}";
        rules: GivenRules;
    }
}

settings! {
    /// Name, numbers and look.
    pub struct RawParty = "`firm`" {
        name: PrintedText, needed "Example Roofing";
        address: Lines, needed "[1 Example Yard, Anytown]";
        email: PrintedText;
        phone: PrintedText;
        legal: PrintedText;
        vat_number: PrintedText;
        logo: PrintedText;
        accent: Accent;
        insurance: PrintedText;
    }
}

settings! {
    /// The guarantee.
    pub struct RawGuarantee = "`guarantee`" {
        years: u32, needed "20";
        words: PrintedText, needed "what is guaranteed, and what is not";
    }
}

settings! {
    /// Someone who works on the roof.
    pub struct RawPerson = "a person" {
        name: PrintedText, needed "A. Roofer";
        role: PrintedText, needed "installer";
        phone: PrintedText;
        hour: Money, needed "28.00";
        day: Money;
    }
}

settings! {
    /// What things cost the firm, and how it sells.
    pub struct RawMoney = "`money`" {
        travel_day: Money, needed "30.00";
        overhead: Percent, needed "12 %";
        contingency: Percent;
        margin: Percent;
        markup: Percent;
        vat: RawVat, needed "{registered: yes, rate: 20 %}";
        skip: Money, needed "280.00";
        skip_volume: Volume, needed "4.6 m3";
        strip_volume: Volume, needed "0.03 m3";
        skip_mass: Mass;
        strip_mass: Mass;
        scaffold: Money, needed "450.00";
        access: ByName<Money>;
        access_day: ByName<Money>;
        minimum_charge: Money;
        round_total_to: Money;
        stages: List<RawStage>, needed "[{when: On completion, part: rest}]";
        rot_rates: List<RawRate>;
    }
}

settings! {
    /// VAT.
    pub struct RawVat = "`vat`" {
        registered: YesNo, needed "yes";
        rate: Percent;
        rates: List<RawRateFrom>;
        rounding: VatRounding;
    }
}

settings! {
    /// A rate of VAT from a day on.
    pub struct RawRateFrom = "a rate of VAT" {
        from: Date, needed "2027-04-01";
        rate: Percent, needed "20 %";
    }
}

settings! {
    /// A unit rate.
    pub struct RawRate = "a rate" {
        item: PrintedText, needed "joist";
        unit: PrintedText, needed "m";
        rate: Money, needed "38.00";
    }
}

impl Word for VatRounding {
    const WHAT: &'static str = "a way to round VAT";
    fn parse(text: &str) -> Result<VatRounding, Wrong> {
        let all = [
            ("total nearest", VatRounding::TotalNearest),
            ("total down", VatRounding::TotalDown),
            ("line nearest", VatRounding::LineNearest),
            ("line tenth down", VatRounding::LineTenthDown),
        ];
        choose(text, VatRounding::WHAT, &all)
    }
}

/// The rules of a firm file, or the usual ones.
pub fn rules(slot: Slot<GivenRules>) -> GivenRules {
    slot.take().unwrap_or_default()
}
