//! Old coverings: what comes off a roof, how much of it there is, and how long it takes to come off.
//!
//! Given nothing; gives the coverings that the program knows, and one form for those that a firm adds. Every figure of
//! the table is common practice, no source: a firm that knows better writes its own entry. A covering without hours of
//! its own takes the rule `hours_strip`.

use super::units::Mass;
use crate::facts;
use rust_decimal::Decimal;

/// An old covering.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Covering {
    /// The word of the job file.
    pub key: String,
    /// What the householder and the crew read after `the old`: `felt`.
    pub words: String,
    /// Loose volume of what comes off 1 m² of roof, m³.
    pub volume: Decimal,
    /// Mass of what comes off 1 m² of roof.
    pub mass: Mass,
    /// Hours to strip 1 m²; `None`: the rule `hours_strip`.
    pub hours: Option<Decimal>,
    /// Whether it is laid on boards and on nothing else: where it lies, there are some.
    pub on_boards: bool,
    /// What becomes of it.
    pub waste: OldWaste,
    /// The firm's own figures, which stand before its `strip_volume` and `strip_mass` for every covering.
    pub own: bool,
}

impl Covering {
    /// Whether it is sheet lead.
    pub fn is_lead(&self) -> bool {
        self.key == LEAD
    }
}

/// The word of the job file for sheet lead.
const LEAD: &str = "lead";

/// What becomes of an old covering.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OldWaste {
    /// What it is called among the wastes: `Old felt without coal tar`.
    pub what: String,
    /// Its code in the List of Wastes.
    pub code: String,
    /// Where it goes.
    pub how: String,
}

/// One row of the table.
struct CoveringRow {
    key: &'static str,
    words: &'static str,
    /// m³/m², with two decimals.
    volume: i64,
    /// kg/m².
    mass: i64,
    /// h/m², with two decimals; nothing where the rule holds.
    hours: Option<i64>,
    on_boards: bool,
    waste: (&'static str, &'static str, &'static str),
}

const BITUMEN: &str = "Skip or tip. With coal tar it is {code_coal_tar} and goes apart: have it tested if old.";
const METAL: &str = "Kept clean and apart: scrap metal.";

/// The coverings that every job may name. Volumes, masses and hours: common practice, no source. Codes: see
/// `facts`.
const ROWS: [CoveringRow; 9] = [
    CoveringRow {
        key: "felt",
        words: "felt",
        volume: 3,
        mass: 12,
        hours: None,
        on_boards: true,
        waste: ("Old felt without coal tar", "{code_bitumen}", BITUMEN),
    },
    CoveringRow {
        key: "felt and chippings",
        words: "felt with its chippings",
        volume: 5,
        mass: 28,
        hours: Some(22),
        on_boards: true,
        waste: ("Old felt without coal tar, with chippings", "{code_bitumen}", BITUMEN),
    },
    CoveringRow {
        key: "asphalt",
        words: "asphalt",
        volume: 4,
        mass: 45,
        hours: Some(30),
        on_boards: true,
        waste: ("Old asphalt without coal tar", "{code_bitumen}", BITUMEN),
    },
    CoveringRow {
        key: "glass fibre",
        words: "glass-fibre covering",
        volume: 3,
        mass: 6,
        hours: Some(20),
        on_boards: true,
        waste: (
            "Old glass-fibre laminate",
            "{code_plastic}",
            "Skip or tip. Cut wet or with extraction: the dust harms.",
        ),
    },
    CoveringRow {
        key: "single ply",
        words: "single-ply membrane",
        volume: 2,
        mass: 3,
        hours: Some(8),
        on_boards: true,
        waste: ("Old single-ply membrane", "{code_plastic}", "Skip or tip, rolled up."),
    },
    CoveringRow {
        key: LEAD,
        words: "lead",
        volume: 1,
        mass: 26,
        hours: None,
        on_boards: true,
        waste: ("Old lead", "{code_lead}", "Kept clean and apart: scrap metal. Gloves; wash hands before food."),
    },
    CoveringRow {
        key: "zinc",
        words: "zinc",
        volume: 2,
        mass: 6,
        hours: None,
        on_boards: true,
        waste: ("Old zinc", "{code_zinc}", METAL),
    },
    CoveringRow {
        key: "copper",
        words: "copper",
        volume: 2,
        mass: 7,
        hours: None,
        on_boards: true,
        waste: ("Old copper", "{code_copper}", METAL),
    },
    CoveringRow {
        key: "metal sheet",
        words: "metal sheets",
        volume: 4,
        mass: 8,
        hours: None,
        on_boards: false,
        waste: ("Old metal sheets", "{code_mixed_metal}", METAL),
    },
];

/// Every covering that the program knows by itself.
pub fn built_in() -> Vec<Covering> {
    let covering = |row: &CoveringRow| Covering {
        key: row.key.to_owned(),
        words: row.words.to_owned(),
        volume: Decimal::new(row.volume, 2),
        mass: Mass::kg(Decimal::from(row.mass)),
        hours: row.hours.map(|h| Decimal::new(h, 2)),
        on_boards: row.on_boards,
        waste: OldWaste {
            what: row.waste.0.to_owned(),
            code: facts::filled(row.waste.1),
            how: facts::filled(row.waste.2),
        },
        own: false,
    };
    ROWS.iter().map(covering).collect()
}
