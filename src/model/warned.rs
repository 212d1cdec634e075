//! The warnings that the program can give, each by a name.
//!
//! Given nothing; gives the names, what each tells of, and whether a job may silence it. A name stands for a cause, not for
//! a sentence: a fall that is too flat and one that is too steep are the same question. What people can come to harm by is
//! never silenced.

/// The warnings: variant, name, what it tells of, whether it may be silenced.
macro_rules! warnings {
    ($($variant:ident $name:literal $about:literal, $may:literal;)*) => {
        /// A kind of warning.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Warned {
            $(#[doc = $about] $variant,)*
        }

        impl Warned {
            /// Every kind, in the order of the table.
            pub const ALL: &'static [Warned] = &[$(Warned::$variant),*];

            /// Its name, as a job writes it.
            pub fn name(self) -> &'static str {
                match self { $(Warned::$variant => $name),* }
            }

            /// What it tells of, in words.
            pub fn about(self) -> &'static str {
                match self { $(Warned::$variant => $about),* }
            }

            /// Whether a job may silence it.
            pub fn may_be_silenced(self) -> bool {
                match self { $(Warned::$variant => $may),* }
            }
        }
    };
}

warnings! {
    Diagonal "diagonal" "lengths that do not quite make one shape", true;
    UncheckedLength "unchecked-length" "a length or tie that nothing else checks", true;
    ShortEdge "short-edge" "an edge that is hardly any", true;
    SmallSize "small-size" "a roof or an opening so small that a unit was slipped", true;
    Fall "fall" "a fall too flat for its roof, or too steep for a flat one", true;
    Upstand "upstand" "an upstand, sill or wall that ends too low above the roof", true;
    StandingWater "standing-water" "water that stands before an outlet or a wall", true;
    HighDrip "high-drip" "a drip along the high side of a roof", true;
    Overflow "overflow" "a roof or box gutter without a second way out for the water", true;
    Rainwater "rainwater" "a gutter, outlet or overflow too small for the rain", true;
    Levels "levels" "a roof whose drip lets its water down onto another roof of the job", true;
    GutterFigures "gutter-figures" "a gutter whose capacity cannot be told", true;
    Heat "heat" "a roof that lets out more heat than it may", true;
    HeatFigures "heat-figures" "heat that cannot be worked out, or screws that are not counted in it", true;
    Vapour "vapour" "water vapour that gets where it condenses", true;
    Ventilation "ventilation" "a cold roof through which too little air can go", true;
    Fire "fire" "a class in fire that the distance to the boundary does not allow", false;
    Board "board" "boards that are thin, heavy, narrow, small or cut back", true;
    ShortScrews "short-screws" "screws that end before the timber that they hold in", false;
    PipeOnJoist "pipe-on-joist" "a pipe or outlet that lands on a joist", true;
    ThinMat "thin-mat" "a laminate thinner than a new roof takes", true;
    Movement "movement" "a roof so large that it moves", true;
    WayOff "way-off" "a part that cannot be left over bare deck", true;
    Flanges "flanges" "flanges that lie on one another: of two trims, or of a trim and the foot of a pipe", true;
    CutPlan "cut-plan" "a cut plan that is not proven to be the best", true;
    ShortTrim "short-trim" "a piece of trim that is very short", true;
    PatchEdge "patch-edge" "a patch whose laps reach past the edge of its roof, or end short of it", true;
    OldBoards "old-boards" "an old covering that lies on boards of which nothing is said", true;
    LowFascia "low-fascia" "a new fascia that does not reach up to what is built on it", true;
    OldLaminate "old-laminate" "a laminate that is too old when its topcoat comes", true;
    EmailAddress "email-address" "an e-mail address that is none", true;
    Weather "weather" "stated weather in which nothing may be laid", true;
    Asbestos "asbestos" "asbestos that may be there", false;
    Catalyst "catalyst" "a dose of catalyst outside of what is usual, or none", false;
    Height "height" "eaves higher than an access tower may stand", false;
    DayOff "day-off" "a start on a day on which nobody works, or work on a bank holiday", true;
    Start "start" "a start while the customer may still cancel", true;
    Dates "dates" "a day that lies before the date of the documents", true;
    Delivery "delivery" "goods that come later than they are wanted, or on a day on which nobody brings them", true;
    OldPrices "old-prices" "prices that are old, or newer than the job", true;
    Vat "vat" "a rate of VAT that is not the usual one, or changes", true;
    VatNumber "vat-number" "a VAT number of a firm that is not registered", true;
    Percentage "percentage" "a percentage that looks like a fraction", true;
    Margin "margin" "a price that leaves too little", true;
    Labour "labour" "a person whose hour costs what a day does, or whose day what an hour does", true;
    UnlikelyPrice "unlikely-price" "a price far from what roofs cost, as a slip in a price or a size gives it", true;
    Rounding "rounding" "a total that no price meets to the penny", true;
    IdleOption "idle-option" "an option that changes nothing", true;
    Twice "twice" "something that is charged or ordered twice", true;
    OptionTotals "option-totals" "options whose totals together are not printed", true;
    Split "split" "an order that is not proven to be parted the cheapest way", true;
    UseBy "use-by" "something in the van that is past its use-by", true;
    Pack "pack" "a pack that is called otherwise than what it holds", true;
    Hazard "hazard" "goods whose danger the price book does not say", false;
    Unpinned "unpinned" "boards whose pins cannot be counted", true;
    NotSold "not-sold" "goods that no merchant sells", true;
    Copy "conflicted-copy" "a copy of a file that a synchroniser has left beside it", true;
    Comment "comment" "words that are read as a comment", true;
    Untold "untold" "a work that a document does not tell of", true;
    Unmet "unmet-silence" "a silence that nothing was silenced by", false;
}
