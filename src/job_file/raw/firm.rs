//! The firm file as it is written: every key, none of the meaning. The rules are read in [`crate::job_file::raw::rules`].

use super::checks::RawLift;
use super::job::{Lines, RawStage};
use super::retention::RawRetention;
use super::rules::GivenRules;
use crate::job_file::read::form::{Form, Formed};
use crate::job_file::read::reading::{At, ByName, FromFile, List, Slot};
use crate::job_file::read::scalars::{
    CubicMetresEach, HoursEach, KilogramsEach, Percent, PrintedText, Volume, YesNo, choice,
};
use crate::job_file::read::settings::settings;
use crate::model::Mass;
use crate::model::firm::{Accent, GuaranteeFrom, MailSecurity};
use crate::pricing::Money;
use crate::pricing::terms::{RateCharges, VatRounding};
use time::Date;

settings! {
    /// The whole file.
    pub(crate) struct RawFirm = "a firm file" {
        firm: RawParty, needed "{name: …, address: […], phone: …}";
        guarantee: RawGuarantee, needed "{years: 20, words: …}";
        people: List<RawPerson>, needed "[{name: …, role: installer, hour: 28.00}]";
        weather_watch: PrintedText;
        holidays: List<Date>;
        terms: List<PrintedText>;
        exclusions: List<PrintedText>;
        needs: List<PrintedText>;
        payment: List<PrintedText>;
        bank: RawBank;
        lift: RawLift;
        coverings: List<RawCovering>;
        tips: List<RawTip>;
        surfaces: List<RawSurface>;
        mail: RawMail;
        money: RawMoney, needed "{margin: 25 %, …}";
        rules: GivenRules;
    }
}

settings! {
    /// Name, numbers and look.
    pub(crate) struct RawParty = "`firm`" {
        name: PrintedText, needed "Example Roofing";
        address: Lines, needed "[1 Example Yard, Anytown]";
        email: PrintedText;
        phone: PrintedText;
        legal: PrintedText;
        registered_in: PrintedText;
        registered_office: PrintedText;
        vat_number: PrintedText;
        logo: PrintedText;
        accent: Accent;
        insurance: PrintedText;
    }
}

settings! {
    /// The account that customers pay into.
    pub(crate) struct RawBank = "`bank`" {
        name: PrintedText, needed "Example Roofing Ltd";
        sort_code: PrintedText, needed "00-00-00";
        account: PrintedText, needed "00000000";
    }
}

settings! {
    /// The server that takes the firm's mail.
    pub(crate) struct RawMail = "`mail`" {
        server: PrintedText, needed "smtp.example.com";
        port: u32, within MAIL_PORT;
        security: MailSecurity;
        user: PrintedText;
        from: PrintedText;
        certificate: PrintedText;
        password: NeverWritten;
    }
}

/// A password, which stands in no file: files are copied, sent and kept with every revision that is issued.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NeverWritten;

impl FromFile for NeverWritten {
    fn read(at: At<'_>) -> Slot<NeverWritten> {
        at.fault(
            "a password never stands in a file: this one is copied into every revision that is issued".to_owned(),
            "take it out, change it if this file was ever sent to anybody, and give it in the environment variable \
             WETOUT_MAIL_PASSWORD when you send",
        );
        Slot::Bad
    }
}

impl Formed for NeverWritten {
    fn form() -> Form {
        Form::Refused
    }
}

settings! {
    /// The guarantee.
    pub(crate) struct RawGuarantee = "`guarantee`" {
        years: u32, needed "20", within GUARANTEE;
        words: PrintedText, needed "what is guaranteed, and what is not";
        repair_years: u32, within GUARANTEE;
        repair_words: PrintedText;
        from: GuaranteeFrom;
        void: List<PrintedText>;
        claim: PrintedText;
        transfer: PrintedText;
    }
}

settings! {
    /// Someone who works on the roof.
    pub(crate) struct RawPerson = "a person" {
        name: PrintedText, needed "A. Roofer";
        role: PrintedText, needed "installer";
        phone: PrintedText;
        hour: Money, within HOUR;
        day: Money, within DAY;
    }
}

settings! {
    /// What things cost the firm, and how it sells.
    pub(crate) struct RawMoney = "`money`" {
        travel_day: Money, needed "30.00", within TRAVEL;
        overhead: Percent, needed "12 %", within OVERHEAD;
        contingency: Percent, within CONTINGENCY;
        margin: Percent, within MARGIN;
        markup: Percent, within MARKUP;
        least_margin: Percent, within MARGIN;
        vat: RawVat, needed "{registered: yes, rate: 20 %}";
        skip: Money, needed "280.00", within SKIP;
        skip_volume: Volume, needed "4.6 m3", within SKIP_VOLUME;
        skip_mass: Mass, within SKIP_MASS;
        van_load: Money, within SKIP;
        van_volume: Volume, within SKIP_VOLUME;
        van_mass: Mass, within SKIP_MASS;
        strip_volume: Volume, within STRIP_VOLUME;
        strip_mass: Mass, within STRIP_MASS;
        scaffold: Money, needed "450.00", within SCAFFOLD;
        scaffold_metre: Money, within SCAFFOLD_METRE;
        scaffold_week: Money, within SCAFFOLD_METRE;
        access: ByName<Money>, within ACCESS;
        access_day: ByName<Money>, within ACCESS;
        minimum_charge: Money, within MINIMUM_CHARGE;
        round_total_to: Money, within ROUND_TO;
        stages: List<RawStage>, needed "[{when: On completion, part: rest}]";
        payment_days: u32, within PAYMENT_DAYS;
        retention: RawRetention;
        rot_rates: List<RawRate>;
    }
}

settings! {
    /// An old covering that the firm adds.
    pub(crate) struct RawCovering = "a covering" {
        key: PrintedText, needed "tiles";
        words: PrintedText, needed "concrete tiles";
        volume: CubicMetresEach, needed "0.06 m3/m2", within COVERING_VOLUME;
        mass: KilogramsEach, needed "45 kg/m2", within COVERING_MASS;
        hours: HoursEach, needed "0.25 h/m2", within HOURS_EACH;
        waste: RawOldWaste, needed "{code: 17 01 03, how: Skip.}";
    }
}

settings! {
    /// What becomes of it.
    pub(crate) struct RawOldWaste = "`waste`" {
        code: PrintedText, needed "17 01 03";
        how: PrintedText, needed "Skip.";
    }
}

settings! {
    /// A way to tip that the firm adds.
    pub(crate) struct RawTip = "a way to tip" {
        key: PrintedText, needed "grab lorry";
        words: PrintedText, needed "take it away by grab lorry";
        crew: PrintedText, needed "It goes onto the heap by the road.";
        load: PrintedText, needed "grab load";
        loads: PrintedText, needed "grab loads";
        cost: Money, needed "310.00", within SKIP;
        holds: Volume, needed "12 m3", within LOAD_HOLDS;
        bears: Mass, within LOAD_BEARS;
    }
}

settings! {
    /// A surface of the topcoat that the firm adds.
    pub(crate) struct RawSurface = "a surface" {
        key: PrintedText, needed "coarse grip";
        words: PrintedText, needed "slip-resistant, with a coarse grain";
        role: PrintedText, needed "aggregate.coarse";
        grade: PrintedText, needed "1 to 2 mm";
        rate: KilogramsEach, needed "1.6 kg/m2", within AGGREGATE;
        topcoat: Percent, needed "100 %", within SECOND_COAT;
        hours: HoursEach, needed "0.2 h/m2", within HOURS_EACH;
    }
}

settings! {
    /// VAT.
    pub(crate) struct RawVat = "`vat`" {
        registered: YesNo, needed "yes";
        rate: Percent, within VAT;
        rates: List<RawRateFrom>;
        rounding: VatRounding;
    }
}

settings! {
    /// A rate of VAT from a day on.
    pub(crate) struct RawRateFrom = "a rate of VAT" {
        from: Date, needed "2027-04-01";
        rate: Percent, needed "20 %", within VAT;
    }
}

settings! {
    /// A unit rate.
    pub(crate) struct RawRate = "a rate" {
        item: PrintedText, needed "joist";
        unit: PrintedText, needed "m";
        rate: Money, needed "38.00", within RATE;
        charges: RateCharges;
    }
}

choice! {
    GuaranteeFrom = "a day from which a guarantee runs" { "completion" => GuaranteeFrom::Completion, "handover" => GuaranteeFrom::Handover, "payment" => GuaranteeFrom::Payment }
    RateCharges = "what a rate charges by its kind" { "boards" => RateCharges::Boards }
    MailSecurity = "a way to secure mail" { "starttls" => MailSecurity::StartTls, "tls" => MailSecurity::Tls, "none" => MailSecurity::Open }
    VatRounding = "a way to round VAT" { "total nearest" => VatRounding::TotalNearest, "total down" => VatRounding::TotalDown, "line nearest" => VatRounding::LineNearest, "line tenth down" => VatRounding::LineTenthDown }
}

/// The rules of a firm file, or the usual ones.
pub(crate) fn rules(slot: Slot<GivenRules>) -> GivenRules {
    slot.take().unwrap_or_default()
}
