//! The lowest and the highest sensible value of every number that a job, a firm file or a price book gives.
//!
//! Given a number; says whether it can be meant. The reader refuses what lies outside, with the limits and the reason,
//! so that a slip of the pen (a metre for a millimetre, a point in the wrong place) is told in its line and never
//! reaches the layout. Limits of the firm's rules stand beside their defaults, in [`super::rules`]. Where a line names
//! no source, a limit is common practice: wide enough for every roof that is laid by hand, and no wider.

use rust_decimal::Decimal;

/// From the lowest to the highest sensible value, both taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limit {
    /// The lowest.
    pub least: Decimal,
    /// The highest.
    pub most: Decimal,
}

impl Limit {
    /// Limits given as whole numbers of the last decimal place.
    pub const fn scaled(least: i64, most: i64, places: u32) -> Limit {
        Limit { least: place(least, places), most: place(most, places) }
    }

    /// Whether a value lies within.
    pub fn holds(&self, value: Decimal) -> bool {
        self.least <= value && value <= self.most
    }
}

/// [`Decimal::new`] where a constant is wanted.
const fn place(n: i64, places: u32) -> Decimal {
    let whole = n.unsigned_abs();
    Decimal::from_parts(whole as u32, (whole >> 32) as u32, 0, n < 0, places)
}

/// The limits of one number that a file gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Number {
    /// What it is.
    pub what: &'static str,
    /// Its unit, as the message says it.
    pub unit: &'static str,
    /// From what to what.
    pub limit: Limit,
    /// Why no more and no less; empty where nobody would ask.
    pub why: &'static str,
}

/// The most of something that one job may have. What grows with it is bounded by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Most {
    /// What is counted.
    pub what: &'static str,
    /// How many there may be.
    pub most: usize,
}

impl Number {
    /// The limits in words: `between 10 mm and 100000 mm`.
    pub fn words(&self) -> String {
        format!("between {} and {}", self.with_unit(self.limit.least), self.with_unit(self.limit.most))
    }

    /// A value with its unit: `10 mm`, `1:40`, `12.50`.
    pub fn with_unit(&self, value: Decimal) -> String {
        in_unit(value, self.unit)
    }
}

/// A value in a unit, as an installer writes it; money has its pence and no unit, a fall is `1:40`.
pub fn in_unit(value: Decimal, unit: &str) -> String {
    match unit {
        "pounds" => format!("{value:.2}"),
        "1 in" => format!("1:{}", value.normalize()),
        "" => value.normalize().to_string(),
        _ if value == Decimal::ONE && !unit.contains('/') => {
            format!("1 {}", unit.strip_suffix('s').unwrap_or(unit))
        }
        _ => format!("{} {unit}", value.normalize()),
    }
}

macro_rules! numbers {
    ($($name:ident = $least:literal, $most:literal, $places:literal, $unit:literal, $what:literal
        $(, because $why:literal)?;)*) => {
        $(#[doc = $what] pub const $name: Number = Number {
            what: $what,
            unit: $unit,
            limit: Limit::scaled($least, $most, $places),
            why: concat!("" $(, $why)?),
        };)*

        /// Every number of the files, in the order of the table.
        pub const NUMBERS: &[(&str, Number)] = &[$((stringify!($name), $name),)*];
    };
}

macro_rules! counts {
    ($($name:ident = $most:literal, $what:literal;)*) => {
        $(#[doc = $what] pub const $name: Most = Most { what: $what, most: $most };)*

        /// Every count, in the order of the table.
        pub const COUNTS: &[(&str, Most)] = &[$((stringify!($name), $name),)*];
    };
}

// Lowest and highest are whole numbers of the last of so many decimal places: `1, 50, 2` is 0.01 to 0.50.
numbers! {
    // The outline and what stands in it.
    SIDE = 10, 100_000, 0, "mm", "a side of an outline, or a stretch of it", because "a roof over 100 m long is laid, priced and ordered in parts";
    DIAGONAL = 10, 150_000, 0, "mm", "a diagonal";
    HOLE_AT = 0, 100_000, 0, "mm", "where a hole or an outlet lies";
    HOLE_SIZE = 20, 20_000, 0, "mm", "a side of a hole";
    TIMBER_THICKNESS = 35, 100, 0, "mm", "the thickness of a kerb or a joist";
    TIMBER_WIDTH = 70, 400, 0, "mm", "the depth of a kerb or a joist";
    TIMBER_LENGTH = 600, 12_000, 0, "mm", "the length of a timber";
    PIPE = 10, 1000, 0, "mm", "a pipe's diameter", because "a wider opening has a kerb: give it as `size`";
    GUTTER_OUTLETS = 1, 12, 0, "", "how many outlets a gutter has";
    LADDER_AT = 0, 100_000, 0, "mm", "where a ladder point starts";
    JOIST_SPACING = 100, 1200, 0, "mm", "from joist to joist";
    JOIST_FIRST = 0, 1200, 0, "mm", "where the first joist lies";
    UPSTAND = 0, 3000, 0, "mm", "the upstand at a wall";
    KERB_HEIGHT = 20, 1500, 0, "mm", "the height of an old kerb", because "measure from the old roof's surface to the kerb's top";
    SILL = 20, 1500, 0, "mm", "the height of a door sill", because "measure from the old roof's surface to the underside of the sill";
    COPED_HEIGHT = 100, 1200, 0, "mm", "the height of a wall that the roof is carried over", because "lower, no fillet fits; a higher wall takes a flashing";
    COPED_WIDTH = 90, 600, 0, "mm", "the thickness of a wall that the roof is carried over", because "half a brick is 102 mm thick";
    TILE_GAUGE = 50, 600, 0, "mm", "the gauge of tiles or slates: from one batten to the next";
    TILE_COVER = 50, 1000, 0, "mm", "the width that one tile or slate covers";
    TILE_PITCH = 10, 75, 0, "degrees", "the pitch of a tiled or slated roof", because "flatter carries no tiles, steeper is a wall";
    UP_SLOPE = 100, 1500, 0, "mm", "how far up a slope the laminate is carried", because "less is no lap under tiles; more is a roof of its own";
    TILE_COURSES = 1, 40, 0, "courses", "courses of tiles or slates";
    FALL = 2, 200, 0, "1 in", "a fall", because "flatter than 1:200 is level within what a joiner can build";
    FALL_THERE = 2, 1000, 0, "1 in", "a fall as measured", because "flatter than 1:1000 is level: write `existing 1:1000`";
    OUTLET = 20, 500, 0, "mm", "an outlet's size";
    HEAD = 0, 500, 0, "mm", "the head over an outlet";
    OVERFLOW_WIDTH = 50, 1000, 0, "mm", "an overflow's clear width", because "a narrower one is closed by a single leaf, a wider one needs a lintel";
    OVERFLOW_HEIGHT = 25, 300, 0, "mm", "an overflow's clear height";
    OVERFLOW_ABOVE = 5, 150, 0, "mm", "how far an overflow's sill lies above the roof", because "lower, it takes the water that is the outlet's; higher, the roof carries a pond";
    LAYERS = 1, 3, 0, "layers", "layers of mat";
    MAT = 100, 1200, 0, "g/m2", "a mat's weight";
    // Patches in an old laminate.
    PATCH = 50, 6000, 0, "mm", "a side of a patch", because "a larger one is a new roof: price it as `work: new`";
    PATCH_AREA = 1, 3600, 2, "m2", "the area of a patch", because "a larger one is a new roof: price it as `work: new`";
    AT_EDGE = 0, 30_000, 0, "mm", "how much of a patch runs along an edge";
    EDGE_PLACE = 0, 100_000, 0, "mm", "where along an edge a patch begins";
    // The place.
    YEARS = 2000, 2099, 0, "", "the year of the documents";
    DAYS_AHEAD = -366, 1100, 0, "days", "from the date of the documents to a day of the work", because "nobody prices a roof three years ahead";
    EAVES = 300, 50_000, 0, "mm", "the height of the eaves";
    BOUNDARY = 0, 200_000, 0, "mm", "how far the boundary is away";
    WALL_ABOVE = 0, 2000, 0, "m2", "wall or roof that drains onto this one";
    AIR = -30, 50, 0, "C", "an air temperature";
    SURFACE = -30, 80, 0, "C", "the temperature of a surface", because "a dark roof in full sun reaches about 80 C";
    HUMIDITY = 20, 100, 0, "%", "the humidity of the air", because "no working day outdoors is drier than 20 %; 60 % to 85 % is usual";
    MOISTURE = 0, 100, 0, "%", "the moisture of a deck";
    DRY_HOURS = 0, 240, 0, "h", "dry hours ahead";
    // Gutters.
    GUTTER = 50, 300, 0, "mm", "a gutter's width at the top", because "76 mm, 100 mm and 112 mm are usual; what is wider is a box gutter";
    GUTTER_AREA = 500, 400_000, 0, "mm2", "a gutter's cross-section";
    GUTTER_DEPTH = 20, 600, 0, "mm", "a gutter's depth";
    GUTTER_LENGTH = 100, 100_000, 0, "mm", "a gutter's length";
    GUTTER_FACTOR = 10, 150, 2, "", "a factor of BS EN 12056-3";
    GUTTER_FLOW = 1, 10_000, 2, "l/s", "what a gutter carries";
    BOX_WIDTH = 100, 1000, 0, "mm", "the clear width of a box gutter", because "a foot must find room in it when it is cleaned; 300 mm is usual";
    BOX_DEPTH = 50, 500, 0, "mm", "a box gutter's depth at its shallow end";
    BOX_FALL = 20, 500, 0, "1 in", "the fall of a box gutter's sole";
    // From the ceiling to the covering.
    LAYER = 1, 10_000, 1, "mm", "the thickness of a layer";
    INSULATION = 10, 400, 0, "mm", "the thickness of an insulation board";
    SCREW = 20, 150, 1, "mm", "a screw's diameter";
    LAMBDA = 5, 100_000, 3, "W/mK", "a conductivity", because "still gas under a foil has about 0.01 W/mK, steel about 50";
    DENSITY = 5, 3000, 0, "kg/m3", "the density of a board";
    JOIST_LAST = 200, 100_000, 0, "mm", "where the last joist lies";
    JOIST_BREADTH = 20, 300, 0, "mm", "a joist's breadth";
    JOIST_DEPTH = 50, 600, 0, "mm", "a joist's depth";
    JOIST_SHARE = 1, 90, 2, "", "the part of the ceiling that is joist";
    VOID = 0, 2000, 0, "mm", "the clear void of a cold roof";
    VENT_GAP = 0, 500, 0, "mm", "the gap by which a void is aired";
    U_VALUE = 5, 1000, 2, "W/m2K", "a U-value";
    SHARE = 0, 100, 0, "%", "a part of the whole";
    ROLL_WIDTH = 500, 10_000, 0, "mm", "the width of a roll of sheet";
    ROLL_LENGTH = 1000, 200_000, 0, "mm", "the length of a roll of sheet";
    PAYLOAD = 1, 40_000, 0, "kg", "what a vehicle or a hoist takes at once";
    // The quote and what is invoiced.
    VALID_DAYS = 1, 365, 0, "days", "days for which a quote stands";
    PAYMENT_DAYS = 0, 90, 0, "days", "days in which an invoice is to be paid", because "businesses may agree on more than 60 only where it is fair to both; nobody who builds a roof waits longer than 90";
    RETENTION = 0, 20, 0, "%", "what the customer keeps back of a payment", because "3 % to 5 % are usual; 0 % is none";
    RETENTION_MONTHS = 1, 36, 0, "months", "months for which something is kept back";
    PAID = 1, 100_000_000, 2, "pounds", "a payment that was made";
    FOUND_QUANTITY = 1, 1_000_000, 3, "", "how much of something was found on site";
    FOUND_HOURS = 1, 100_000, 2, "h", "hours of one person for what was found", because "more is a job of its own";
    GOODS_HOURS = 1, 20_000, 2, "h", "hours of one person for fitting goods of this job", because "more is a job of its own";
    FOUND_DAYS = 0, 60, 0, "days", "working days more on site", because "more is a job of its own";
    VISITS = 1, 60, 0, "days", "days on which the crew comes besides";
    GUARANTEE = 0, 50, 0, "years", "years of guarantee";
    EXTRA = 0, 100_000, 0, "pounds", "an extra", because "a larger sum is a job of its own";
    ACCESS = 0, 100_000, 0, "pounds", "the sum of an access answer";
    STAGE_SUM = 0, 1_000_000, 0, "pounds", "a payment";
    VAT = 0, 50, 0, "%", "a rate of VAT";
    // What happened on site.
    SPENT_HOURS = 0, 200_000, 2, "h", "hours spent on a work", because "more than 2000 h on one work of a roof is nobody's";
    PACKS_USED = 0, 500_000, 2, "packs", "packs that were used";
    // What the firm costs, and how it sells.
    HOUR = 0, 500, 0, "pounds", "what an hour costs";
    DAY = 0, 5000, 0, "pounds", "what a day costs";
    TRAVEL = 0, 1000, 0, "pounds", "travel for a day";
    OVERHEAD = 0, 200, 0, "%", "overhead, a part of the direct cost";
    CONTINGENCY = 0, 50, 0, "%", "contingency, a part of the direct cost";
    MARGIN = 0, 90, 0, "%", "a margin, a part of the price", because "at 90 % the price is ten times the cost; `markup` is a part of the cost";
    MARKUP = 0, 900, 0, "%", "a markup, a part of the cost";
    SKIP = 0, 5000, 0, "pounds", "a skip";
    SKIP_VOLUME = 5, 400, 1, "m3", "what a skip holds";
    STRIP_VOLUME = 1, 1000, 3, "m3", "loose volume of a square metre of old covering";
    SKIP_MASS = 100, 40_000, 0, "kg", "what a skip may weigh";
    STRIP_MASS = 1, 5000, 1, "kg", "what a square metre of old covering weighs";
    HOURS_EACH = 1, 500, 2, "h/m2", "hours for a square metre";
    COVERING_VOLUME = 1, 500, 3, "m3/m2", "loose volume of an old covering";
    COVERING_MASS = 1, 3000, 1, "kg/m2", "mass of an old covering";
    LOAD_HOLDS = 1, 500, 1, "m3", "what a load for the tip holds";
    LOAD_BEARS = 100, 30_000, 0, "kg", "what a load for the tip may weigh";
    AGGREGATE = 5, 1000, 2, "kg/m2", "aggregate on a square metre";
    SECOND_COAT = 1, 200, 0, "%", "topcoat of a second coat, a part of the first";
    SCAFFOLD = 0, 100_000, 0, "pounds", "a scaffold";
    SCAFFOLD_METRE = 0, 1000, 0, "pounds", "a metre of scaffold";
    MINIMUM_CHARGE = 0, 50_000, 0, "pounds", "the minimum charge";
    DISCOUNT = 0, 90, 0, "%", "a discount", because "more is a gift";
    DISCOUNT_SUM = 0, 100_000, 0, "pounds", "a discount";
    AGREED = 1, 1_000_000, 0, "pounds", "an agreed total";
    ROUND_TO = 1, 50_000, 2, "pounds", "what the total is rounded to", because "a total is rounded to pounds, tens or hundreds; more would change the price";
    RATE = 0, 10_000, 0, "pounds", "a unit rate";
    MAIL_PORT = 1, 65_535, 0, "", "the port of a mail server", because "587 is usual for `starttls` and 465 for `tls`";
    // What merchants sell.
    DELIVERY = 0, 5000, 0, "pounds", "a delivery";
    FREE_FROM = 0, 100_000, 0, "pounds", "an order from which delivery is free";
    PREFERRED = 0, 100_000, 0, "pounds", "how much dearer a preferred merchant may be";
    LEAD_DAYS = 0, 365, 0, "days", "days from order to delivery";
    HOLDS = 1, 100_000_000, 3, "", "what a pack holds";
    IN_VAN = 1, 100_000_000, 3, "", "what is left in the van";
    PRICE = 1, 2_000_000, 2, "pounds", "a pack's price", because "the price is for one pack, in pounds, without VAT";
    PACK_MASS = 1, 2_000_000, 3, "kg", "a pack's mass";
    PACK_SIZE = 1, 200_000, 0, "mm", "a size of an article";
    GOODS = 1, 1000, 0, "pieces", "pieces of one article for a job";
    BREAK_FROM = 1, 100_000, 0, "packs", "packs from which a price holds";
    LEAST_PACKS = 1, 1000, 0, "packs", "the fewest packs that are sold";
    TRIM_LENGTH = 600, 12_000, 0, "mm", "a length of trim";
    FLANGE = 0, 500, 0, "mm", "a trim's flange on the roof", because "measure it; 80 mm to 100 mm is usual";
    LEG = 0, 500, 0, "mm", "a leg of a corner piece";
    BOARD_LENGTH = 600, 6000, 0, "mm", "a board's length";
    BOARD_WIDTH = 200, 3000, 0, "mm", "a board's width";
    BOARD_THICKNESS = 6, 50, 0, "mm", "a board's thickness";
    OLD_BOARDS = 6, 75, 0, "mm", "the thickness of the boards of an old deck";
    SLAB_LENGTH = 300, 6000, 0, "mm", "an insulation board's length";
    SLAB_WIDTH = 200, 3000, 0, "mm", "an insulation board's width";
    SHEET = 1000, 50_000, 0, "mm", "a side of a sheet for the night";
    MAT_WIDTH = 300, 4000, 0, "mm", "a mat's width";
    MAT_ROLL = 10_000, 500_000, 0, "mm", "a mat's length on its roll", because "every strip must come whole out of whichever roll is bought";
    BANDAGE_WIDTH = 25, 1000, 0, "mm", "a bandage's width";
    BANDAGE_ROLL = 10, 500_000, 0, "mm", "a bandage's length on its roll";
}

counts! {
    ROOFS = 100, "roofs";
    LEGS = 200, "legs";
    TIED_LEGS = 40, "legs of a walk with ties";
    TIES = 200, "ties";
    STRETCHES = 50, "stretches";
    HOLES = 100, "holes";
    OUTLETS = 20, "outlets";
    PATCHES = 60, "patches";
    OPTIONS = 20, "options";
    TOTALS = 8, "totals that a quote lists for options together";
    COMBINATIONS = 64, "sets of options that are priced together";
    EXTRAS = 200, "extras";
    ORDER_LINES = 200, "order lines";
    CO_SIGNERS = 4, "people who sign besides the customer";
    STAGES = 50, "stages";
    PHOTOS = 100, "photographs";
    FOUND = 40, "things that were found on site";
    LOGGED = 500, "entries of the weather log";
    BATCHES = 100, "batches of one material";
    // In how many ways so many jobs can lie over and under a median is counted in whole numbers.
    RECORDED_JOBS = 100, "jobs with a record from which norms are proposed";
    SILENCES = 50, "silenced warnings";
    CEILING = 20, "layers of a ceiling";
    PEOPLE = 20, "people";
    HOLIDAYS = 1000, "holidays";
    // The split of an order is worked for every set of merchants that could be the cheapest.
    BOOKS = 20, "price books";
    ARTICLES = 3000, "articles";
    LISTED = 100_000, "lines of a merchant's list";
    LIST = 20, "MB of a merchant's list";
    ALL_LISTS = 60, "MB of all merchants' lists";
    SPLITS = 20_000, "sets of merchants among which an order may be parted";
    BREAKS = 20, "price breaks";
    VAN_LINES = 500, "lines of stock";
    // What comes of it.
    PIECES = 20_000, "boards, strips and pieces of one roof";
    JOB_PIECES = 60_000, "boards, strips and pieces of one job";
    OPTION_PIECES = 240_000, "boards, strips and pieces of all options and of their sets";
    POTS = 5000, "pots";
    DAYS = 1000, "days of work";
    PACKS = 50_000, "packs";
    PAGES = 1000, "pages of a document";
    // What is kept beside a job: its letters run to `ZZ`, and a word in the name of a stray file is none.
    REVISIONS = 702, "revisions of one job";
    SERIES = 9999, "invoices, receipts, variations or handovers of one job";
    FOLDERS = 20_000, "folders in which a job is looked for";
    // Files that others made, read for the firm: photographs, logo, fonts, words.
    PHOTO = 30, "MB of one photograph";
    ALL_PHOTOS = 300, "MB of all photographs of a job";
    LOGO = 5, "MB of the logo";
    PIXELS = 60, "million pixels of a picture";
    PIXELS_AT_ONCE = 16, "million pixels of an interlaced PNG";
    PASSES_PIXELS = 30, "million pixels of a progressive JPEG";
    PASSES = 100, "passes in which a JPEG is stored";
    PASSES_WORK = 400, "million pixels of a JPEG, each counted as often as it has passes";
    FONT = 20, "MB of a font";
    FONT_TABLES = 100, "tables of a font";
    RETURNED = 20, "MB of a signed quote or a survey form that comes back";
    CERTIFICATE = 1, "MB of the certificate of a mail server";
    MANIFEST = 10, "MB of the manifest of what was issued";
    NEW_LIST = 2, "MB of a list that becomes a price book";
    LIST_CELL = 2000, "letters of a cell of a merchant's list";
    LIST_COLUMNS = 200, "columns of a merchant's list";
    SHEETS = 50, "sheets of a workbook";
    // What its parts take in memory is many times what they take unpacked.
    UNPACKED = 40, "MB of the cells of a workbook, unpacked";
    UNPACKED_BESIDE = 4, "MB of a workbook beside its cells, unpacked";
    OWN_FILES = 60, "files in `templates` or `fonts`";
    TEMPLATE = 1, "MB of a template";
    TEMPLATE_TEXT = 2, "MB of the text that a template gives";
    TOLD = 12_000, "boards, strips, trims and lines";
    BLOCKS = 25_000, "paragraphs, items and rows of a document";
    TEMPLATE_STEPS = 1, "million steps that it takes to fill a template";
}
