//! First aid.
//!
//! Given nothing; gives short instructions. They never take the place of the product's data sheet or of a trained
//! first-aider, and say so on the sheet.

/// First aid: what happened, what to do. Sources: International Chemical Safety Cards 0073 and 1028; rinsing times from
/// lecture notes (15 minutes for peroxide) and from memory (15 to 20 minutes).
pub const FIRST_AID: &[(&str, &str)] = &[
    (
        "In the eye",
        "Rinse at once with much water, lids held open, 20 minutes or more, also on the way. Call 999. Take the data sheet.",
    ),
    ("Catalyst on skin", "Wet clothes off. Much water, 15 minutes. Burns or blisters: doctor."),
    ("Resin, glue on skin", "Wipe off, then soap and water. No acetone on skin."),
    ("Dizzy, headache, sick", "Fresh air, rest, keep warm. Does not pass soon: doctor. Not breathing: 999."),
    ("Tight chest, wheezing", "Fresh air, sit up, own inhaler. Call 999. No adhesive again until a doctor agrees."),
    ("Swallowed", "Rinse the mouth. Do not make them vomit. Call 999 or 111 with the data sheet in hand."),
    ("Fall", "Do not move them unless there is danger. Call 999. Keep them warm and talk to them."),
];
