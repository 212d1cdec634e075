//! Every safety and legal fact that the documents state: limits, distances, times, codes, persons, days and sums.
//!
//! Given nothing; gives one table, each fact with its source, the edition and whether it was read there. Templates ask for
//! a fact by its name (`{{ guard_rail }}`), the tables of hazards, first aid and waste with `{guard_rail}`, the checks with
//! `FACTS.guard_rail`: a figure that stands here stands nowhere else. Tests hold each beside a record of their own.

use rust_decimal::Decimal;

/// How a fact is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Known {
    /// Read in a published text, or in a page that quotes it.
    Published,
    /// Recalled, not read: to be checked before anyone leans on it.
    FromMemory,
    /// What the trade does; no source.
    CommonPractice,
}

impl Known {
    /// Its mark in the list of all facts: on the sheets a reader is told what to check instead.
    pub const fn mark(self) -> &'static str {
        match self {
            Known::Published => "published",
            Known::FromMemory => "from memory",
            Known::CommonPractice => "common practice",
        }
    }
}

/// Where facts come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FactSource {
    /// What templates call it: `{{ law_cdm }}`.
    pub name: &'static str,
    /// Title with edition, as it is printed.
    pub title: &'static str,
}

/// A fact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fact {
    /// What templates call it.
    pub name: &'static str,
    /// As it is printed.
    pub value: &'static str,
    /// What it is, in a few words.
    pub what: &'static str,
    /// Where it comes from.
    pub source: &'static FactSource,
    /// How it is known.
    pub known: Known,
}

impl Fact {
    /// The figure that it begins with: 14 of `14 days`.
    pub fn number(&self) -> Decimal {
        let figure = self.value.split(|c: char| !c.is_ascii_digit() && c != '.').next().unwrap_or_default();
        figure.parse().unwrap_or_default()
    }

    /// Its figure as millimetres, of a fact in metres.
    pub fn millimetres(&self) -> i64 {
        (self.number() * Decimal::ONE_THOUSAND).trunc().try_into().unwrap_or_default()
    }
}

impl std::fmt::Display for Fact {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.value)
    }
}

macro_rules! sources {
    ($($name:ident = $title:literal;)*) => {
        /// The sources, one field each.
        #[derive(Debug)]
        pub struct SourceTable { $(#[doc = $title] pub $name: FactSource,)* }

        /// The sources.
        pub static SOURCES: SourceTable = SourceTable {
            $($name: FactSource {
                name: stringify!($name),
                title: $title,
            },)*
        };

        /// Every source, in the order of the table.
        pub static ALL_SOURCES: &[&FactSource] = &[$(&SOURCES.$name,)*];
    };
}

macro_rules! facts {
    ($($name:ident = $value:literal, $what:literal, $source:ident, $known:ident;)*) => {
        /// The facts, one field each.
        #[derive(Debug)]
        pub struct FactTable { $(#[doc = $what] pub $name: Fact,)* }

        /// The facts.
        pub static FACTS: FactTable = FactTable {
            $($name: Fact {
                name: stringify!($name),
                value: $value,
                what: $what,
                source: &SOURCES.$source,
                known: Known::$known,
            },)*
        };

        /// Every fact, in the order of the table.
        pub static ALL_FACTS: &[&Fact] = &[$(&FACTS.$name,)*];
    };
}

sources! {
    law_height = "Work at Height Regulations 2005 (SI 2005/735), as amended 2007";
    standard_towers = "BS EN 1004-1:2020 (mobile access towers)";
    guide_ladders = "HSE and Ladder Association, guide LA455 (2021)";
    law_asbestos = "Control of Asbestos Regulations 2012 (SI 2012/632); HSE guidance";
    emergency_calls = "Emergency numbers of the United Kingdom";
    guide_first_aid = "International Chemical Safety Cards 0073 (styrene) and 1028 (peroxide); NHS advice on chemical burns";
    standard_masks = "BS EN 14387:2021 (gas filters), BS EN 149:2001 with A1:2009 (dust masks); HSE guidance HSG53 (2013)";
    guide_limits = "HSE, EH40/2005, fourth edition 2020";
    law_coshh = "Control of Substances Hazardous to Health Regulations 2002 (SI 2002/2677), as amended";
    law_management = "Management of Health and Safety at Work Regulations 1999 (SI 1999/3242)";
    guide_lifting = "HSE leaflet INDG143, revision 4 (2020)";
    guide_electric = "HSE guidance on electric tools on building sites";
    law_cdm = "Construction (Design and Management) Regulations 2015 (SI 2015/51)";
    law_riddor = "Reporting of Injuries, Diseases and Dangerous Occurrences Regulations 2013 (SI 2013/1471)";
    law_wastes = "List of Wastes as in technical guidance WM3, version 1.2 (2021)";
    law_carriers = "Waste (England and Wales) Regulations 2011 (SI 2011/988); Environment Agency on waste carriers";
    practice = "The trade";
    law_cancelling = "Consumer Contracts (Information, Cancellation and Additional Charges) Regulations 2013";
    law_consumers = "Consumer Rights Act 2015";
    law_vat = "Value Added Tax Act 1994";
    law_vat_invoices = "Value Added Tax Regulations 1995 (SI 1995/2518), as amended";
    practice_office = "The firm's own word";
    law_party_wall = "Party Wall etc. Act 1996";
    guide_fire = "Approved Document B, volume 1, 2019 edition as amended, Table 12.1";
    guide_heat = "Approved Document L, volume 1, 2021 edition";
}

facts! {
    guard_rail = "950 mm", "top guard rail, at least", law_height, Published;
    guard_gap = "470 mm", "gap under a rail, at most", law_height, Published;
    toe_board = "100 mm", "height of toe board that will do", law_height, Published;
    scaffold_looked_at = "7 days", "between inspections of a scaffold, at most", law_height, FromMemory;
    tower_outdoors = "8 m", "platform of a mobile access tower outdoors, at most", standard_towers, FromMemory;
    ladder_out = "1 m", "foot of a ladder out", guide_ladders, Published;
    ladder_up = "4 m", "for so much of its height", guide_ladders, Published;
    ladder_over = "1 m", "ladder above its landing", guide_ladders, FromMemory;
    asbestos_year = "2000", "a house built before it may hold asbestos", law_asbestos, FromMemory;
    emergency_number = "999", "emergency call", emergency_calls, Published;
    emergency_number_too = "112", "emergency call, by mobile too", emergency_calls, Published;
    eye_rinse = "20 minutes", "rinsing an eye, at least", guide_first_aid, FromMemory;
    skin_rinse = "20 minutes", "rinsing skin of a chemical burn, at least", guide_first_aid, FromMemory;
    mask_styrene = "A", "gas filter for styrene: organic, boiling above 65 °C", standard_masks, Published;
    mask_acetone = "AX", "gas filter for acetone: organic, boiling at or below 65 °C, used once", standard_masks, Published;
    mask_dust = "FFP3", "dust mask", standard_masks, FromMemory;
    air_long = "8 hours", "what limits of the working day are means over", guide_limits, Published;
    air_short = "15 minutes", "what limits of a short time are means over", guide_limits, Published;
    air_styrene_day = "100 ppm, 430 mg/m³", "styrene over 8 hours", guide_limits, Published;
    air_styrene_short = "250 ppm, 1080 mg/m³", "styrene over 15 minutes", guide_limits, Published;
    air_acetone_day = "500 ppm, 1210 mg/m³", "acetone over 8 hours", guide_limits, FromMemory;
    air_acetone_short = "1500 ppm, 3620 mg/m³", "acetone over 15 minutes", guide_limits, FromMemory;
    air_peroxide_short = "0.2 ppm, 1.5 mg/m³", "methyl ethyl ketone peroxide over 15 minutes", guide_limits, FromMemory;
    air_isocyanate_day = "0.02 mg/m³", "isocyanates as NCO over 8 hours", guide_limits, FromMemory;
    air_isocyanate_short = "0.07 mg/m³", "isocyanates as NCO over 15 minutes", guide_limits, FromMemory;
    air_softwood_day = "5 mg/m³", "softwood dust over 8 hours", guide_limits, FromMemory;
    air_silica_day = "0.1 mg/m³", "silica dust that reaches the lungs over 8 hours", guide_limits, FromMemory;
    air_nuisance_day = "10 mg/m³", "dust of cured laminate, as nuisance dust, over 8 hours", guide_limits, Published;
    health_checks = "regulation 11", "health surveillance where disease may reasonably come of the work", law_coshh, Published;
    expectant_mothers = "regulation 16", "work of expectant and nursing mothers assessed", law_management, FromMemory;
    lift_men = "25 kg", "filter for men, close to the body", guide_lifting, FromMemory;
    lift_women = "16 kg", "filter for women, close to the body", guide_lifting, FromMemory;
    lift_rate = "30 lifts an hour", "up to which the filter holds", guide_lifting, FromMemory;
    tool_voltage = "110 V", "mains tools on site, at most", guide_electric, FromMemory;
    notice_days = "30 working days", "longer than which, with", law_cdm, Published;
    notice_workers = "20 workers", "at once, HSE is told", law_cdm, Published;
    notice_person_days = "500 person-days", "more than which HSE is told", law_cdm, Published;
    report_days = "7 days", "off work, more than which is reported", law_riddor, Published;
    report_within = "15 days", "to report it", law_riddor, Published;
    report_grave = "10 days", "to report a death or a specified injury, after telling at once", law_riddor, Published;
    code_resin = "08 04 09*", "resin, topcoat, primer or adhesive, not cured", law_wastes, FromMemory;
    code_catalyst = "16 09 03*", "organic peroxide", law_wastes, FromMemory;
    code_plastic = "17 02 03", "plastic: cured laminate", law_wastes, Published;
    code_empties = "15 01 10*", "empty drums with residue", law_wastes, FromMemory;
    code_rags = "15 02 02*", "rags and clothing with residue", law_wastes, FromMemory;
    code_acetone = "14 06 03*", "used solvent", law_wastes, FromMemory;
    code_wash_water = "16 10 01*", "water with cleaner or other harmful residue", law_wastes, FromMemory;
    code_rubble = "17 01 07", "mortar, brick and stone", law_wastes, FromMemory;
    code_wood = "17 02 01", "clean wood", law_wastes, Published;
    code_treated_wood = "17 02 04*", "wood with preservative or residue", law_wastes, Published;
    code_insulation = "17 06 04", "insulation", law_wastes, FromMemory;
    code_asbestos = "17 06 05*", "building material with asbestos", law_wastes, FromMemory;
    code_asbestos_insulation = "17 06 01*", "insulation with asbestos", law_wastes, FromMemory;
    code_bitumen = "17 03 02", "bitumen without coal tar", law_wastes, Published;
    code_coal_tar = "17 03 01*", "bitumen with coal tar", law_wastes, Published;
    code_lead = "17 04 03", "lead", law_wastes, Published;
    code_zinc = "17 04 04", "zinc", law_wastes, Published;
    code_copper = "17 04 01", "copper, bronze, brass", law_wastes, Published;
    code_mixed_metal = "17 04 07", "mixed metals", law_wastes, Published;
    carrier_tier = "upper tier", "registration of a firm that carries building waste, its own too", law_carriers, Published;
    stir_time = "2 minutes", "stirring catalyst in", practice, CommonPractice;
    log_every = "2 hours", "between entries in the weather log", practice, CommonPractice;
    keep_off = "2 days", "nobody walks on a new roof", practice, CommonPractice;
    information_list = "Schedule 2", "what the customer is told before accepting", law_cancelling, Published;
    cancel_days = "14 days", "to cancel", law_cancelling, Published;
    refund_days = "14 days", "to pay back", law_cancelling, Published;
    return_days = "14 days", "to send goods back or hand them over", law_cancelling, FromMemory;
    untold_months = "12 months", "more to cancel, if nobody told of the right", law_cancelling, FromMemory;
    answer_days = "5 working days", "to answer a complaint", practice_office, CommonPractice;
    reverse_charge_section = "Section 55A", "the customer accounts for the VAT", law_vat, Published;
    vat_invoice_days = "30 days", "for an invoice for VAT after its tax point", law_vat_invoices, Published;
    party_wall_notice = "2 months", "before work on a party wall, for notice to its other owner", law_party_wall, FromMemory;
    boundary_near = "6 m", "from a boundary: second column", guide_fire, FromMemory;
    boundary_mid = "12 m", "from a boundary: third column", guide_fire, FromMemory;
    boundary_far = "20 m", "from a boundary: fourth column", guide_fire, FromMemory;
    large_building = "1500 m3", "larger than which note (a) bars", guide_fire, Published;
    small_part = "3 m2", "part of a roof in note (b), at most", guide_fire, Published;
    part_spacing = "1500 mm", "between parts in note (b), at least", guide_fire, Published;
    improve_roof = "50%", "of a roof renovated, over which it is improved", guide_heat, FromMemory;
    improve_envelope = "25%", "of the envelope renovated, over which the roof is improved", guide_heat, FromMemory;
    pays_within = "15 years", "in which an improvement must pay for itself", guide_heat, FromMemory;
}

/// A fact by the name that templates know it by.
pub fn named(name: &str) -> Option<&'static Fact> {
    ALL_FACTS.iter().copied().find(|fact| fact.name == name)
}

/// A text with `{name}` replaced by the fact or the source of that name; a name that there is not stays as it is.
pub fn filled(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let Some((name, behind)) = after.split_once('}') else {
            out.push('{');
            rest = after;
            continue;
        };
        let source = || ALL_SOURCES.iter().find(|source| source.name == name).map(|source| source.title);
        match named(name).map(|fact| fact.value).or_else(source) {
            Some(value) => out.push_str(value),
            None => out.push_str(&format!("{{{name}}}")),
        }
        rest = behind;
    }
    out.push_str(rest);
    out
}
