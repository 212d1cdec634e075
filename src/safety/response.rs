//! First aid.
//!
//! Given nothing; gives short instructions, each fact by its name (`facts::filled`). They never take the place of the
//! product's data sheet or of a trained first-aider, and say so on the sheet.

/// First aid: what happened, what to do. Times and numbers stand in `facts`, with their sources; resuscitation as the
/// Resuscitation Council UK teaches it (from memory): call, then begin, then a defibrillator.
pub const FIRST_AID: &[(&str, &str)] = &[
    (
        "In the eye",
        "Rinse at once with much water, lids held open, {eye_rinse} or more, also on the way. Call {emergency_number}. Take the data sheet.",
    ),
    ("Catalyst on skin", "Wet clothes off. Much water, {skin_rinse} or more. Burns or blisters: doctor."),
    ("Resin on skin", "Or glue: wipe off, then soap and water. No acetone on skin."),
    ("Dizzy, sick", "Or a headache: fresh air, rest, keep warm. Does not pass soon: doctor."),
    (
        "Not breathing",
        "Call {emergency_number}, loudspeaker on. Begin CPR at once and go on; send for a defibrillator.",
    ),
    (
        "Tight chest",
        "Or wheezing: fresh air, sit up, own inhaler. Call {emergency_number}. No resin and no adhesive again until a doctor agrees.",
    ),
    ("Swallowed", "Call {emergency_number} (data sheet). Rinse mouth. Do not make them vomit or eat."),
    ("Fall", "Move them only from danger. Call {emergency_number}. Keep them warm, talk to them."),
];
