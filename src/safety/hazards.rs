//! The hazards, as data: what it is, whom it harms, when a job has it, what controls it, and where that comes from.
//!
//! Given nothing; gives one table. To add a hazard, add an entry here, and a `When` in this file if none fits.
//! Controls are ordered as they are to be tried: avoid, prevent, reduce, and only then protective equipment.

/// When a job has a hazard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// Every job of this kind.
    Always,
    /// The answer about asbestos is yes or not known.
    AsbestosMayBe,
    /// A rooflight, hatch or other opening stands in a roof.
    Openings,
    /// An old covering comes off.
    Strip,
    /// New boards are laid or cut.
    Boards,
    /// Polyurethane adhesive is used.
    Adhesive,
    /// One person works there by himself.
    Alone,
    /// The temperature is high, or not known.
    Warm,
    /// The temperature is low, or not known.
    Cold,
    /// No scaffold or edge protection was agreed.
    NoEdgeProtection,
    /// Lead is worked by the firm.
    Lead,
    /// Cables, aerials or dishes are near.
    Cables,
    /// A road or a neighbour's ground is near.
    Neighbours,
}

/// One hazard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hazard {
    /// Stable name.
    pub id: &'static str,
    /// What it is called on the sheet.
    pub title: &'static str,
    /// What it does to whom.
    pub harm: &'static str,
    /// When a job has it.
    pub when: When,
    /// What is done about it.
    pub controls: &'static [&'static str],
    /// Where the controls come from.
    pub source: &'static str,
}

/// Every hazard, the gravest first.
pub const HAZARDS: &[Hazard] = &[
    Hazard {
        id: "height",
        title: "Falls from the edge",
        harm: "Falls from low roofs kill. There is no height below which it does not matter.",
        when: When::Always,
        controls: &[
            "Cut, mix and mark on the ground.",
            "Guard every open edge: top rail at least 950 mm, no gap over 470 mm, toe board.",
            "No guard possible: a restraint line that stops short of the edge, and a way to reach a man who has fallen.",
            "Never work backwards towards an edge. Sweep as you go.",
            "Stop in high wind, ice, thunder and poor light.",
        ],
        source: "Work at Height Regulations 2005; HSE answers on work at height (rail and gap heights)",
    },
    Hazard {
        id: "no-edge-protection",
        title: "No edge protection agreed",
        harm: "The job file does not say that scaffold or edge protection will be there.",
        when: When::NoEdgeProtection,
        controls: &[
            "Nobody goes on the roof until the person in charge has written below how the edges are guarded.",
            "Short work means minutes, not hours. Laying a roof is not short work.",
        ],
        source: "Work at Height Regulations 2005, regulation 6; HSE guidance on roof work",
    },
    Hazard {
        id: "ladder",
        title: "Ladders",
        harm: "Slipping, tipping, falling while carrying.",
        when: When::Always,
        controls: &[
            "Ladder footed and tied, one out for four up, a metre above the landing, on firm level ground.",
            "Nothing heavy or wide is carried up: hoist it.",
            "Never lean it on the gutter or a fresh trim; use the ladder point.",
        ],
        source: "HSE and Ladder Association guide to ladders (from memory); common practice, no source",
    },
    Hazard {
        id: "openings",
        title: "Rooflights and openings",
        harm: "A rooflight or a sheet over a hole looks like roof and does not carry a man.",
        when: When::Openings,
        controls: &[
            "Treat every rooflight as fragile until someone competent has said otherwise.",
            "Guard it, or cover it with boards that carry a man, fixed down and marked HOLE BELOW.",
            "Nobody stands below while work is done above it.",
        ],
        source: "HSE statement on fragile roofs: fragile until confirmed otherwise",
    },
    Hazard {
        id: "old-deck",
        title: "Rotten deck or joists",
        harm: "Feet go through old boards and ceilings.",
        when: When::Strip,
        controls: &[
            "Tread on the joists until the deck has been looked at from below and above.",
            "Open the worst place first. Strip from a sound edge.",
            "Keep people out of the rooms below while stripping.",
        ],
        source: "HSE statement on fragile roofs; common practice, no source",
    },
    Hazard {
        id: "asbestos",
        title: "Asbestos may be there",
        harm: "Fibres that cannot be seen cause fatal disease many years later.",
        when: When::AsbestosMayBe,
        controls: &[
            "STOP. Nothing is stripped, cut, drilled or broken until a survey for this work says what is there.",
            "It may be in felt, soffits, fascias, gutters, flue pipes, undercloak and lining boards.",
            "Where it is found, follow the survey. Much of this work is for licensed contractors only.",
            "If something is found during the work: stop, keep away, keep others away, do not sweep, tell the person in charge.",
        ],
        source: "Control of Asbestos Regulations 2012",
    },
    Hazard {
        id: "peroxide",
        title: "Catalyst (organic peroxide)",
        harm: "A splash blinds. It burns skin, and it can catch fire by itself in rags, sawdust or dirt.",
        when: When::Always,
        controls: &[
            "Goggles on before the cap comes off. Measure at waist height or below, on the ground, never above your face.",
            "Never together with accelerator: they may explode. Use resin that is accelerated already.",
            "In its own bottle, cool, out of the sun, away from resin, acetone, metal and heat.",
            "Eyewash and water within reach.",
        ],
        source: "International Chemical Safety Card 1028; HSE plastics processing sheet on organic peroxides",
    },
    Hazard {
        id: "styrene",
        title: "Resin and topcoat: styrene vapour",
        harm: "Headache, sleepiness, sore eyes and skin; lasting harm with long use. The vapour is heavy and burns.",
        when: When::Always,
        controls: &[
            "Air moving. Windows, vents and flues beside and below shut; people inside told.",
            "Stay upwind. Do not lay in a well, a valley or under a sheet.",
            "Lids on. Mix only what is laid at once.",
            "Gloves, sleeves; in still air a fitted mask with organic vapour filters.",
        ],
        source: "COSHH Regulations 2002; EH40/2005 fourth edition (check the current edition); product data sheet",
    },
    Hazard {
        id: "fire",
        title: "Fire: resin, acetone, rags, hot pots",
        harm: "Acetone vapour lights at any outdoor temperature. A pot gone hard gets hot enough to smoke.",
        when: When::Always,
        controls: &[
            "No smoking, flame, grinder or heat gun near resin, acetone or vapour; ask about barbecues and flues.",
            "Set a pot that goes off on bare ground, away from everything, and leave it.",
            "Rags and sleeves: wet, spread out, or in a lidded metal bin outside. Never in a heap.",
            "Extinguisher at the mixing place; plenty of water for catalyst.",
        ],
        source: "International Chemical Safety Cards 0073 and 1028; Dangerous Substances and Explosive Atmospheres Regulations 2002",
    },
    Hazard {
        id: "isocyanate",
        title: "Adhesive (isocyanate)",
        harm: "Can cause asthma for life, also through the skin. Once sensitised, a trace is enough.",
        when: When::Adhesive,
        controls: &[
            "Nobody with asthma, or ever sensitised, uses it.",
            "Outdoors only, from the cartridge. Do not heat it, sand it or burn it.",
            "Gloves always. Off the skin at once: wipe, soap and water.",
            "Users need training (check the label), and health checks as the data sheet says.",
        ],
        source: "HSE research on isocyanates: a leading cause of occupational asthma; REACH restriction on diisocyanates (from memory); product data sheet",
    },
    Hazard {
        id: "dust",
        title: "Dust from cutting and sanding",
        harm: "Wood dust and glass-fibre dust harm lungs, eyes and skin.",
        when: When::Always,
        controls: &[
            "Snips for trims: they make no dust. No grinder unless nothing else will do.",
            "Saw and sand outside, downwind, with extraction.",
            "Glasses and a fitted mask, FFP3 or better. Do not dry sweep cured dust.",
        ],
        source: "COSHH Regulations 2002; EH40/2005 fourth edition (check the current edition)",
    },
    Hazard {
        id: "glass-fibre",
        title: "Glass fibre",
        harm: "Fibres itch and prick. Cured edges and high fibres cut.",
        when: When::Always,
        controls: &[
            "Gloves and sleeves when handling mat. Wash in cold water first.",
            "Knock off high fibres with a scraper, not the hand.",
        ],
        source: "Common practice, no source; product data sheet",
    },
    Hazard {
        id: "lifting",
        title: "Lifting boards, drums and rolls",
        harm: "Backs, hands, and a fall when the wind takes a board.",
        when: When::Always,
        controls: &[
            "Have it set down where it is used. Hoist boards; never carry one up a ladder.",
            "Think before 25 kg close to the body (16 kg for women), far less at arm\u{2019}s length: HSE guideline filters, not safe limits.",
            "Two people for boards. None in wind.",
            "Spread loads over the joists. Drums stay on the ground.",
        ],
        source: "Manual Handling Operations Regulations 1992; HSE leaflet INDG143 revision 4 (figures from memory)",
    },
    Hazard {
        id: "tools",
        title: "Saws, nailers, multi-tools",
        harm: "Cuts, flying nails and chips, noise, electric shock.",
        when: When::Boards,
        controls: &[
            "Battery tools, or 110 V, or an RCD. Leads off wet ground.",
            "Guard on the saw, work held, nobody in line of the nailer.",
            "Glasses; ear protection for saws and nailers.",
        ],
        source: "Provision and Use of Work Equipment Regulations 1998",
    },
    Hazard {
        id: "falling-things",
        title: "Things that fall",
        harm: "Offcuts, tools and old covering on the heads of the household, neighbours, the crew.",
        when: When::Always,
        controls: &[
            "Rope off the ground below. Another way in agreed with the household.",
            "Lower waste in bags or by chute; throw nothing.",
        ],
        source: "Work at Height Regulations 2005, regulations 10 and 11",
    },
    Hazard {
        id: "neighbours",
        title: "Neighbours, children, passers-by, pets",
        harm: "Smell, drips, overspray, unlocked drums and ladders.",
        when: When::Neighbours,
        controls: &[
            "Tell them the day before: windows shut, cars moved.",
            "Leaving: ladder down or boarded, catalyst, acetone and resin locked away.",
        ],
        source: "Construction (Design and Management) Regulations 2015, regulation 18; common practice, no source",
    },
    Hazard {
        id: "cables",
        title: "Cables, aerials, dishes",
        harm: "Shock; a pulled cable; microwaves close to a dish.",
        when: When::Cables,
        controls: &[
            "Look before a ladder or board goes up. Keep clear, or have the network sleeve the cable.",
            "Live cables are an electrician\u{2019}s work.",
        ],
        source: "HSE guidance on avoiding danger from overhead power lines",
    },
    Hazard {
        id: "lead",
        title: "Lead",
        harm: "Poisons slowly through hands, food and dust.",
        when: When::Lead,
        controls: &[
            "Gloves. Wash before eating, drinking or smoking. No flame on lead near resin.",
            "Lead offcuts are kept apart and recycled.",
        ],
        source: "Control of Lead at Work Regulations 2002",
    },
    Hazard {
        id: "warm",
        title: "Hot sun",
        harm: "Sunburn, heat stroke; pots that go off in minutes; trims that stretch.",
        when: When::Warm,
        controls: &[
            "Water, shade, hat, sun cream, breaks. Lay in the cool of the day.",
            "Small pots. Mixing place in the shade.",
        ],
        source: "HSE guidance on sun protection for outdoor workers",
    },
    Hazard {
        id: "cold",
        title: "Cold and wet",
        harm: "Slips, cold hands, resin that never cures.",
        when: When::Cold,
        controls: &[
            "No frost, dew or wet underfoot. Salt the ladder\u{2019}s foot, not the roof.",
            "No heater with a flame near resin or its vapour.",
        ],
        source: "Common practice, no source; product data sheet",
    },
    Hazard {
        id: "alone",
        title: "Working alone",
        harm: "Nobody sees a fall or a splash in the eye.",
        when: When::Alone,
        controls: &[
            "Stripping, boards and work at an open edge wait for a second person.",
            "Someone knows where you are; you call at set times; the phone is on you, not in the van.",
        ],
        source: "HSE guidance on lone working",
    },
];
