//! Exposure limits and protective equipment.
//!
//! Given nothing; gives tables. The limits are those of EH40/2005, fourth edition (2020), most of them from memory, two
//! as read on HSE pages; the sheet prints "check the current edition" beside them.

/// A workplace exposure limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ExposureLimit {
    /// Stable name: which jobs have it.
    pub of: Substance,
    /// What.
    pub what: &'static str,
    /// Averaged over eight hours.
    pub eight_hours: &'static str,
    /// Averaged over fifteen minutes.
    pub fifteen_minutes: &'static str,
}

/// What a limit or protective equipment is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Substance {
    /// Resin, catalyst and acetone: on every job.
    Always,
    /// Adhesive.
    Adhesive,
    /// Boards that are cut.
    Boards,
    /// A chase that is cut into a wall.
    Chase,
}

/// Where the limits come from.
pub const EDITION: &str = "EH40/2005, fourth edition 2020. Check the current edition.";

/// The limits. Milligrams per cubic metre agree with ppm × molar mass ÷ 24.06 at 20 °C.
pub const LIMITS: &[ExposureLimit] = &[
    ExposureLimit {
        of: Substance::Always,
        what: "Styrene (resin, topcoat)",
        eight_hours: "100 ppm, 430 mg/m³",
        fifteen_minutes: "250 ppm, 1080 mg/m³",
    },
    ExposureLimit {
        of: Substance::Always,
        what: "Acetone",
        eight_hours: "500 ppm, 1210 mg/m³",
        fifteen_minutes: "1500 ppm, 3620 mg/m³",
    },
    ExposureLimit {
        of: Substance::Always,
        what: "Methyl ethyl ketone peroxide (catalyst)",
        eight_hours: "none",
        fifteen_minutes: "0.2 ppm, 1.5 mg/m³",
    },
    ExposureLimit {
        of: Substance::Adhesive,
        what: "Isocyanates, as NCO (adhesive)",
        eight_hours: "0.02 mg/m³",
        fifteen_minutes: "0.07 mg/m³",
    },
    ExposureLimit { of: Substance::Boards, what: "Softwood dust", eight_hours: "5 mg/m³", fifteen_minutes: "none" },
    // EH40/2005, from memory.
    ExposureLimit {
        of: Substance::Chase,
        what: "Silica dust, the part that reaches the lungs (chasing)",
        eight_hours: "0.1 mg/m³",
        fifteen_minutes: "none",
    },
    ExposureLimit {
        of: Substance::Always,
        what: "Dust of cured glass-fibre laminate",
        eight_hours: "no limit of its own; 10 mg/m³ as nuisance dust",
        fifteen_minutes: "none",
    },
];

/// Protective equipment: what it guards from, for what work, and what to wear.
pub const PROTECTION: &[(Substance, &str, &str)] = &[
    (Substance::Always, "On the roof, always", "Boots with grip, long sleeves, gloves, glasses."),
    (
        Substance::Always,
        "Measuring and mixing catalyst",
        "Goggles (not glasses), gloves that resist peroxide and styrene, apron. Eyewash at hand.",
    ),
    (
        Substance::Always,
        "Wetting out and topcoat",
        "Gloves that resist styrene (see the data sheet), sleeves; organic vapour mask where air is still.",
    ),
    (Substance::Always, "Cutting boards, sanding, chasing", "Glasses, fitted FFP3 mask or better, ear protection."),
    (Substance::Adhesive, "Adhesive", "Gloves, glasses, sleeves."),
    (
        Substance::Always,
        "At an edge with no guard",
        "Restraint line, harness and anchor, inspected; a plan to reach a man who has fallen.",
    ),
    (Substance::Always, "Below the roof", "Helmet, while anything is lifted or lowered."),
];
