//! The firm's rules: every lap, gap, spacing, coverage, dose and norm that the engine uses, by name.
//!
//! Given defaults (nearly all of them common practice, no source); the firm file overrides any of them, within its limits.
//! One list, `for_each_rule`, makes the struct, the defaults, the limits and the reader of the firm file, so that no
//! rule can exist without a name that the installer can see and change, nor without a lowest and a highest value.

use super::limits::Limit;
use super::section::Section;
use super::shape::Finish;
use super::surface::{Aggregate, Figures};
use super::units::Length;
use rust_decimal::Decimal;

/// A length for each finish.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ByFinish {
    /// At a drip edge.
    pub drip: Length,
    /// At a raised edge.
    pub raised: Length,
    /// At a wall.
    pub wall: Length,
    /// At a kerb.
    pub kerb: Length,
    /// At a step.
    pub step: Length,
    /// Into a box gutter.
    pub gutter: Length,
}

impl ByFinish {
    /// The length for a finish.
    pub const fn of(&self, f: Finish) -> Length {
        match f {
            Finish::Drip => self.drip,
            Finish::Raised => self.raised,
            Finish::Wall => self.wall,
            Finish::Kerb => self.kerb,
            Finish::Step => self.step,
            Finish::Gutter => self.gutter,
        }
    }

    const fn mm([drip, raised, wall, kerb, step, gutter]: [i64; 6]) -> ByFinish {
        ByFinish {
            drip: Length::mm(drip),
            raised: Length::mm(raised),
            wall: Length::mm(wall),
            kerb: Length::mm(kerb),
            step: Length::mm(step),
            gutter: Length::mm(gutter),
        }
    }
}

/// One row of the catalyst table: from this temperature (°C) up to the next row's, this much by mass.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dose {
    /// From this air temperature, °C, inclusive.
    pub from: Decimal,
    /// To this air temperature, °C, exclusive (the last row: inclusive).
    pub to: Decimal,
    /// Laminating resin: catalyst, % of resin by mass.
    pub laminate: Decimal,
    /// Topcoat: catalyst, % of topcoat by mass.
    pub topcoat: Decimal,
}

/// One point of the data sheet's gel times.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GelPoint {
    /// Resin temperature, °C.
    pub temperature: Decimal,
    /// Catalyst, % by mass.
    pub dose: Decimal,
    /// Minutes to gel.
    pub minutes: Decimal,
}

/// Between what and what a rule may lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limits {
    /// One number, or each of a [`ByFinish`].
    Each(Limit),
    /// A timber section.
    Section {
        /// Its thickness.
        thickness: Limit,
        /// Its width.
        width: Limit,
    },
    /// The rows of a catalyst table or of a data sheet's gel times.
    Rows {
        /// How many rows there may be.
        rows: Limit,
        /// Temperatures, °C.
        temperature: Limit,
        /// Catalyst, % by mass.
        dose: Limit,
        /// Minutes to gel.
        minutes: Limit,
    },
}

/// The limits of one rule.
#[derive(Debug, Clone, Copy)]
pub struct RuleLimits {
    /// Its name.
    pub name: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// From what to what.
    pub limits: Limits,
    /// Why no more and no less; empty where nobody would ask.
    pub why: &'static str,
}

const fn whole(least: i64, most: i64) -> Limits {
    Limits::Each(Limit::scaled(least, most, 0))
}

const fn tenths(least: i64, most: i64) -> Limits {
    Limits::Each(Limit::scaled(least, most, 1))
}

const fn hundredths(least: i64, most: i64) -> Limits {
    Limits::Each(Limit::scaled(least, most, 2))
}

const fn thousandths(least: i64, most: i64) -> Limits {
    Limits::Each(Limit::scaled(least, most, 3))
}

/// Thickness and width, each in whole millimetres.
const fn section(thickness: (i64, i64), width: (i64, i64)) -> Limits {
    Limits::Section { thickness: Limit::scaled(thickness.0, thickness.1, 0), width: Limit::scaled(width.0, width.1, 0) }
}

/// Rows of a table of doses. How strong a dose may be depends on the data sheet, and is told with the table
/// (`job_file`); these are the bounds of what any number in it can mean.
const TABLE: Limits = Limits::Rows {
    rows: Limit::scaled(0, 40, 0),
    temperature: Limit::scaled(-10, 50, 0),
    dose: Limit::scaled(5, 50, 1),
    minutes: Limit::scaled(1, 240, 0),
};

const fn dec(n: i64, scale: u32) -> Decimal {
    Decimal::from_parts(n.unsigned_abs() as u32, 0, 0, n < 0, scale)
}

const fn mm(n: i64) -> Length {
    Length::mm(n)
}

/// Calls the macro named with every rule as `name: type = default, limits, "unit", "what it is", because "why no more";`
/// — types are `Length`, `Decimal`, `u32`, `Section`, `ByFinish`, `Vec<Dose>` and `Vec<GelPoint>`. Limits are in the
/// rule's own unit, both ends taken; the reason stands where a reader would wonder. They are common practice, no source,
/// and far enough out that a firm that works differently finds room: what lies outside is a slip of the pen.
#[macro_export]
macro_rules! for_each_rule {
    ($call:ident) => {
        $call! {
            // Measuring
            misclosure: Length = mm(10), whole(0, 50), "mm", "a walk or second diagonal may miss by this much; it is spread and reported", because "a larger miss is a wrong measurement, not an error to be spread";
            tape_spread: Length = mm(2), whole(1, 20), "mm", "a taped metre of a walk with ties is true to this; longer ones by the root of their length (common practice, no source)", because "a tape that is out by more than 20 mm in a metre measures nothing";
            turn_spread: Decimal = dec(5, 1), tenths(1, 50), "degrees", "a turn of a walk with ties that is written with its degrees is true to this (common practice, no source)", because "an angle that is not known to 5 degrees is better left out: the ties find it";
            batten: Section = Section { thickness: mm(25), width: mm(50) }, section((10, 75), (20, 150)), "mm", "section of one edge batten";
            batten_waste: Decimal = dec(5, 0), whole(0, 30), "%", "edge batten lost in offcuts too short to use (common practice, no source)";
            drip_battens: u32 = 2, whole(0, 6), "layers", "layers of batten behind a drip trim";
            raised_battens: u32 = 1, whole(0, 6), "layers", "layers of batten behind a raised edge trim";
            // Falls
            least_fall: Decimal = dec(80, 0), whole(20, 200), "1 in", "flattest fall that must be left (BS 6229)", because "flatter than 1:200 is level within what a joiner can build";
            design_fall: Decimal = dec(40, 0), whole(20, 200), "1 in", "flattest fall to design for, so that least_fall is left after tolerance and sag (BS 6229)";
            least_upstand: Length = mm(150), whole(50, 500), "mm", "least upstand at a wall above the finished roof (BS 6229)";
            pond_depth: Length = mm(10), whole(0, 50), "mm", "water that stands deeper than this beside or below an outlet is told (common practice, no source)";
            least_sill: Length = mm(75), whole(50, 300), "mm", "least that must be left under a door sill, or no laminate can be turned up under it and sealed (common practice, no source)", because "a bandage goes half of its width up the wall";
            sill_turn: Length = mm(40), whole(0, 150), "mm", "the laminate is turned in under a door sill by this (common practice, no source)";
            firring_group: Length = mm(50), whole(0, 300), "mm", "firrings whose lengths differ by no more than this are one size, the longest (common practice, no source)", because "more is timber bought to be cut off";
            firring_step: Length = mm(5), whole(0, 20), "mm", "tapered firrings whose depths at either end differ by no more than this are one size, the deepest (common practice, no source)", because "more is a hump that water stands behind";
            firring_least: Length = mm(300), whole(0, 600), "mm", "no firring is ordered shorter than this: a shorter one goes on at its taper, and what is over is cut off at the thin end (common practice, no source)", because "more is timber bought to be cut off";
            firring_toe: Length = mm(6), whole(0, 30), "mm", "no firring is thinner than this: tapered ones are all so much deeper, and a joist that wants less of a level one is packed up on site (common practice, no source)", because "more is a step that packing does not make up";
            firring_width: Length = mm(47), whole(20, 150), "mm", "how wide firrings are, for what they weigh (common practice, no source)";
            firring_block: Length = mm(150), whole(0, 600), "mm", "firrings deeper than this are held upright by rows of blocking between them, of the noggins' timber (common practice, no source)", because "deeper is no firring but a joist of its own";
            firring_block_spacing: Length = mm(1200), whole(300, 3000), "mm", "how far apart those rows are at most, from the edge where the firrings are deepest (common practice, no source)", because "nearer is no room to nail, and further holds nothing upright";
            // Deck
            wall_gap: Length = mm(25), whole(5, 60), "mm", "expansion gap of the deck at a wall or chimney", because "narrower is no gap, and boards push against the wall; the fillet and its bandage span a gap of about 60 mm at most";
            pipe_gap: Length = mm(10), whole(0, 50), "mm", "gap of the deck round a pipe", because "the collar's flange covers no wider gap";
            shortest_board: u32 = 2, whole(1, 4), "joist spaces", "every board spans at least this many joist spaces where the row allows", because "a board of 2.4 m reaches over 4 spaces of 600 mm";
            narrowest_row: Length = mm(100), whole(0, 300), "mm", "where a later row of boards would be narrower than this the first is ripped: tongued ones until both are about as wide, square ones until it is as wide as this";
            shortest_end: Length = mm(300), whole(0, 600), "mm", "joints between boards are shared out so that no board is shorter than this where they can be", because "two such boards and their joint must find room between joists 600 mm apart";
            least_board_piece: Length = mm(100), whole(0, 300), "mm", "joints and the first row of boards lie so that no piece is smaller than this, along or across, where they can";
            shortest_noggin: Length = mm(100), whole(0, 600), "mm", "a shorter stretch of edge takes no noggin: the joist or noggin beside it carries it", because "longer than a joist space is wide, no edge would be carried";
            spare_boards: u32 = 1, whole(0, 10), "each", "boards of each kind bought over what is laid, for one spoilt or broken (common practice, no source)", because "more is timber that nobody lays";
            board_kerf: Length = mm(3), whole(0, 6), "mm", "what the saw takes off a board at each cut (common practice, no source)", because "no saw for boards takes more";
            deck_edge_fixing: Length = mm(150), whole(50, 300), "mm", "most between fixings at board ends and perimeter";
            deck_field_fixing: Length = mm(300), whole(50, 600), "mm", "most between fixings on joists under the board";
            least_overlay: Length = mm(11), whole(6, 40), "mm", "thinnest board that may overlay an old deck";
            old_deck: Length = mm(18), whole(9, 50), "mm", "old boards under an overlay are at least so thick: a longer screw would come out below them (common practice, no source)", because "thinner holds no screw; no old deck is thicker";
            old_deck_bite: Length = mm(9), whole(5, 30), "mm", "a screw into an old deck holds at least so far in it (common practice, no source)", because "less holds nothing";
            timber_bite: Length = mm(35), whole(15, 100), "mm", "a screw through insulation holds at least so far in the timber under the deck, joist or firring (common practice, no source)", because "less holds nothing, and no joist is much deeper";
            // Trims
            trim_lap: Length = mm(50), whole(20, 200), "mm", "lap where two lengths of trim join";
            shortest_piece: Length = mm(300), whole(100, 1200), "mm", "shortest piece of trim in a run", because "two such pieces and their lap must come out of any length that is sold";
            least_trim: Length = mm(450), whole(100, 1500), "mm", "a piece of trim in a joined run is no shorter than this where the lengths bought leave room for more", because "a short end lifts on its three nails; no more than half of the shortest length sold";
            extra_laps: u32 = 0, whole(0, 4), "each", "laps allowed in a run over the fewest it needs", because "each lap is a joint that may leak; more than 4 over the fewest help no plan";
            kerf: Length = mm(0), whole(0, 20), "mm", "lost at each cut (snips: nothing)", because "no saw takes more: 0 mm for snips, 2 mm for a saw";
            mitre_allowance: Length = mm(100), whole(0, 500), "mm", "extra length at a mitred inner corner where the price book gives no flange width", because "no flange is wider; 100 mm is usual";
            corner_from: Decimal = dec(80, 0), whole(45, 90), "degrees", "preformed corner pieces stand from this angle";
            corner_to: Decimal = dec(100, 0), whole(90, 135), "degrees", "preformed corner pieces stand up to this angle";
            joint_from_corner: Length = mm(300), whole(0, 1500), "mm", "a joint keeps this far from a corner where it can";
            stop_end_notch: Length = mm(50), whole(0, 200), "mm", "the face of a drip trim is notched back by this at a gutter's stop end, where no closure is sold";
            ladder_point: Length = mm(1000), whole(300, 2500), "mm", "length of trim for a ladder point", because "it is cut from one length of trim";
            sample: Length = mm(150), whole(50, 500), "mm", "a sample of each profile for the dry fit";
            spare_below: Length = mm(500), whole(0, 3000), "mm", "a plan that leaves no offcut of this length is offered a spare length";
            nail_spacing: Length = mm(150), whole(50, 300), "mm", "most between clout nails along a trim (common practice: 120 to 150)", because "further apart the flange lifts between two nails";
            bead_per_cartridge: Length = mm(10_000), whole(2000, 30_000), "mm", "6 mm bead from one cartridge";
            dab_spacing: Length = mm(300), whole(100, 1000), "mm", "adhesive dabs under a flange";
            dab_rows: u32 = 1, whole(0, 3), "rows", "rows of adhesive dabs along each trim: 1 under the flange, 2 on the side face too (windy sites), 0 for none";
            dab_bead: Length = mm(150), whole(20, 1000), "mm", "6 mm bead that one dab takes";
            // Bandage
            bandage_joint: Length = mm(75), whole(50, 300), "mm", "width of bandage on board joints";
            kept_joints: Decimal = dec(21, 1), tenths(0, 100), "m/m2", "joints in a square metre of old boards that are laminated on: boards of 2400 by 600 mm have 2.1 m, sheets of 2440 by 1220 mm have 1.2 m (common practice, no source)", because "boards 100 mm wide have 10 m of joint";
            bandage_trim: Length = mm(150), whole(50, 300), "mm", "width of bandage on trim flanges, laps and corners";
            bandage_lap: Length = mm(50), whole(20, 200), "mm", "end lap of bandage";
            bandage_roll: Length = mm(75_000), whole(10_000, 150_000), "mm", "a roll of bandage, where no price book says how long it is";
            corner_patch: Length = mm(300), whole(100, 600), "mm", "length of bandage at every corner";
            // Mat
            mat_lap: Length = mm(50), whole(25, 200), "mm", "side lap of mat strips";
            mat_end_lap: Length = mm(50), whole(25, 300), "mm", "end lap of a mat strip";
            mat_longest: Length = mm(6000), whole(1000, 20_000), "mm", "longest strip of mat that two people can lay in one piece", because "two people cannot place a longer strip before its resin gels";
            mat_narrowest: Length = mm(200), whole(50, 300), "mm", "the laps are moved so that no strip of mat is narrower than this, where that takes no strip more (common practice, no source)", because "two such strips must come out of the width of any roll";
            mat_shortest: Length = mm(500), whole(100, 500), "mm", "shortest end piece of a joined strip of mat (common practice, no source)", because "two such pieces must come out of the shortest `mat_longest`, 1 m";
            mat_stagger: Length = mm(300), whole(0, 1500), "mm", "end joints of neighbouring mat strips keep this far apart";
            mat_return: ByFinish = ByFinish::mm([0, 60, 100, 150, 300, 100]), whole(0, 600), "mm", "how far the mat is carried over or up each edge";
            mat_joint_offset: Length = mm(100), whole(0, 300), "mm", "a mat lap keeps this far from a deck joint where it can";
            spare_mat: Decimal = dec(3, 0), whole(0, 25), "%", "mat bought over what the strips take, for a strip cut wrongly (common practice, no source)", because "a quarter more than is laid is a second roof's mat";
            // Patches in an old laminate, and topcoat anew
            patch_lap: Length = mm(100), whole(50, 400), "mm", "the first layer of a patch laps this far over sound laminate all round (common practice, no source)", because "less is no bond; a lap of 400 mm is a roof of its own";
            patch_step: Length = mm(50), whole(0, 150), "mm", "each further layer of a patch laps this much further than the one below (common practice, no source)";
            patch_ground: Length = mm(25), whole(0, 150), "mm", "the old laminate is ground this far beyond the last layer of a patch (common practice, no source)";
            patch_layers: u32 = 2, whole(1, 3), "layers", "layers of mat in a patch, where the job does not say (common practice, no source)";
            disc_ground: Decimal = dec(5, 1), tenths(1, 50), "m2", "old laminate that one abrasive disc grinds back (common practice, no source)";
            disc_abraded: Decimal = dec(6, 0), tenths(5, 500), "m2", "old laminate that one abrasive disc takes the shine off (common practice, no source)";
            cleaner_rate: Decimal = dec(8, 2), hundredths(1, 100), "l/m2", "cleaner on an old laminate, twice over (common practice, no source; its label decides)";
            wipe_rate: Decimal = dec(6, 2), hundredths(1, 50), "l/m2", "acetone that an abraded laminate is wiped with (common practice, no source)";
            primer_rate: Decimal = dec(15, 2), hundredths(5, 100), "kg/m2", "tie coat on an abraded laminate (common practice, no source; its data sheet decides)";
            // Resin and topcoat
            glass_fraction: Decimal = dec(25, 2), hundredths(15, 50), "by mass", "glass in the laminate as laid: 0.25 is 3 of resin to 1 of glass", because "richer only adds brittle resin; drier than 0.5 is not wetted out by hand";
            deck_soak: Decimal = dec(15, 2), hundredths(0, 100), "kg/m2", "resin that bare board takes up", because "no board takes up more than a kilogram";
            bucket_loss: Decimal = dec(5, 0), whole(0, 30), "%", "resin and topcoat left in buckets and rollers";
            topcoat_rate: Decimal = dec(55, 2), hundredths(20, 150), "kg/m2", "topcoat on roof and trim faces", because "thinner shows the mat; thicker wrinkles, and its wax does not close it";
            topcoat_girth: ByFinish = ByFinish::mm([150, 200, 150, 200, 0, 0]), whole(0, 600), "mm", "face of each trim that is topcoated";
            aggregate_rate: Decimal = dec(12, 1), hundredths(5, 1000), "kg/m2", "aggregate broadcast into the second coat of a slip-resistant topcoat (common practice, no source)";
            aggregate_topcoat: Decimal = dec(80, 0), whole(1, 200), "% of topcoat_rate", "topcoat of that second coat (common practice, no source)";
            catalyst_to_order: Decimal = dec(25, 1), whole(1, 10), "%", "catalyst ordered, of all resin and topcoat by mass";
            catalyst: Vec<Dose> = doses(), TABLE, "%", "catalyst by air temperature";
            gel_points: Vec<GelPoint> = Vec::new(), TABLE, "minutes", "the data sheet's gel times, where the firm has them";
            gel_at_20: Decimal = dec(20, 0), whole(5, 120), "minutes", "gel time at 20 C where there is no data sheet: it halves for each 10 C (rule of thumb)";
            max_pot: Decimal = dec(5, 0), tenths(5, 200), "kg", "largest pot mixed at once", because "smaller is mixed in a cup; larger heats up in the bucket and goes off";
            laying_rate: Decimal = dec(4, 1), hundredths(5, 300), "kg/min", "resin that the crew lays in a minute";
            pot_margin: Decimal = dec(70, 0), whole(20, 100), "% of gel time", "a pot is used up within this part of its gel time";
            // Weather
            air_warn: Decimal = dec(10, 0), whole(0, 25), "C", "warn below this air temperature";
            air_stop: Decimal = dec(5, 0), whole(0, 20), "C", "stop below this air or night temperature";
            air_hot: Decimal = dec(30, 0), whole(20, 50), "C", "stop above this air temperature";
            dew_margin: Decimal = dec(3, 0), whole(0, 10), "C", "the surface stays this far above the dew point (by analogy with ISO 8502-4)";
            humidity_stop: Decimal = dec(85, 0), whole(40, 100), "%", "stop above this humidity";
            moisture_stop: Decimal = dec(18, 0), whole(5, 30), "%", "stop above this moisture in the deck";
            dry_hours: Decimal = dec(4, 0), whole(0, 48), "hours", "dry hours wanted ahead of the laminate";
            second_visit_below: Decimal = dec(15, 0), whole(0, 40), "C", "below this the topcoat takes a second visit";
            // Movement
            movement_area: Decimal = dec(50, 0), whole(10, 1000), "m2", "warn about a movement joint over this area in one piece (practice varies: 50 to 100)";
            // Rainwater
            design_rain: Decimal = dec(21, 3), thousandths(5, 200), "l/s/m2", "rain that gutters are designed for (Approved Document H3, from memory)";
            wall_rain_share: Decimal = dec(5, 1), tenths(0, 10), "of the wall", "part of a wall's area that drains onto the roof below (Approved Document H3, from memory)";
            wall_rain_height: Length = mm(10_000), whole(1000, 100_000), "mm", "height of wall above the roof that counts (from memory)";
            // Heat (England, Approved Document L volume 1, 2021, from memory: check the current edition)
            u_new_element: Decimal = dec(15, 2), hundredths(5, 100), "W/m2K", "worst U-value of a new roof on an existing dwelling";
            u_renovated: Decimal = dec(16, 2), hundredths(5, 100), "W/m2K", "worst U-value of a renovated flat roof";
            u_threshold: Decimal = dec(35, 2), hundredths(10, 300), "W/m2K", "an existing roof worse than this is to be improved";
            cold_void: Length = mm(50), whole(10, 300), "mm", "clear void over the insulation of a cold roof (BS 5250, from memory)";
            cold_gap: Length = mm(25), whole(5, 100), "mm", "continuous gap at two opposite sides of a cold roof (BS 5250, from memory)";
            insulation_stagger: Length = mm(300), whole(0, 1200), "mm", "end joints of insulation boards in neighbouring rows stand this far apart (common practice, no source)";
            shortest_insulation: Length = mm(300), whole(50, 1200), "mm", "shortest insulation board in a row (common practice, no source)";
            layer_stagger: Length = mm(100), whole(0, 600), "mm", "joints of insulation, and of the board over it, keep this far off those of the layer beneath where they can (common practice, no source)";
            stagger_boards: u32 = 1, whole(0, 20), "each", "boards more that insulation, or the board over it, may take to keep joints off those of the layers around (common practice, no source)";
            vapour_lap: Length = mm(150), whole(50, 500), "mm", "lap of the vapour layer (common practice, no source)";
            vapour_upturn: Length = mm(50), whole(0, 500), "mm", "the vapour layer is turned up past the insulation's edge by this (common practice, no source)";
            // Weight
            old_board_density: Decimal = dec(650, 0), whole(200, 1500), "kg/m3", "boards of an old deck, for the mass of what is tipped (common practice, no source)";
            old_board_loose: Decimal = dec(50, 0), whole(0, 200), "%", "boards of an old deck fill so much more of a skip than their own volume, as they lie loose (common practice, no source)";
            board_density: Decimal = dec(650, 0), whole(200, 1500), "kg/m3", "boards whose mass the price book does not give (EN 13986, from memory)";
            timber_density: Decimal = dec(500, 0), whole(300, 900), "kg/m3", "firrings, which are weighed by the depth to which they are cut (common practice, no source)", because "treated softwood comes wet; the price book's mass of a metre counts where it is more";
            // Sundries
            acetone_per: Decimal = dec(20, 0), whole(1, 200), "kg of resin per litre", "resin that one litre of acetone cleans up after";
            acetone_least: Decimal = dec(5, 0), whole(0, 100), "litres", "least acetone";
            sleeve_area: Decimal = dec(20, 0), whole(1, 200), "m2", "roof that one roller sleeve lasts";
            sleeves_least: u32 = 3, whole(0, 50), "each", "fewest roller sleeves";
            brush_area: Decimal = dec(20, 0), whole(1, 200), "m2", "roof that one brush lasts";
            brushes_least: u32 = 2, whole(0, 50), "each", "fewest brushes";
            bucket_resin: Decimal = dec(20, 0), whole(1, 200), "kg of resin and topcoat", "what one mixing bucket lasts";
            buckets_least: u32 = 3, whole(0, 50), "each", "fewest mixing buckets";
            cups: u32 = 1, whole(0, 20), "each", "measuring cups for catalyst";
            glove_area: Decimal = dec(5, 0), tenths(5, 1000), "m2", "roof that one pair of gloves lasts";
            gloves_least: u32 = 4, whole(0, 100), "pairs", "fewest pairs of gloves: two for each of two people";
            floor_sheet: Length = mm(2000), whole(500, 6000), "mm", "width of sheeting on the ground along open edges";
            bracket_spacing: Length = mm(1000), whole(300, 1500), "mm", "most between gutter brackets";
            bracket_fixing: u32 = 2, whole(1, 6), "each", "screws in each gutter bracket, and in each new clip of a downpipe (common practice, no source)";
            preservative_per: Decimal = dec(200, 0), whole(10, 1000), "m of timber per litre", "treated timber whose cut ends one litre of preservative does (common practice, no source)";
            downpipe_slack: Length = mm(40), whole(0, 300), "mm", "a gutter that comes up with the roof by more than this has its downpipe lengthened (common practice, no source)", because "no pipe hangs so far into its outlet";
            gutter_bearer: Length = mm(400), whole(100, 900), "mm", "most between the bearers under the sole of a box gutter (common practice, no source)", because "a sole that gives between its bearers holds water";
            gutter_fillet: Length = mm(50), whole(15, 150), "mm", "size of the fillet in the inner corners of a box gutter (common practice, no source)";
            masonry_fixing: Length = mm(300), whole(100, 900), "mm", "most between screws and plugs in masonry, along each edge of a board and along a trim (common practice, no source)";
            masonry_primer_rate: Decimal = dec(30, 2), hundredths(5, 200), "kg/m2", "primer on bare masonry that is laminated on, both coats (common practice, no source)";
            mortar_rate: Decimal = dec(2400, 2), hundredths(500, 6000), "kg/m2", "dry mortar in one bed under coping stones (common practice, no source)", because "a bed is 10 to 15 mm thick";
            dpc_lap: Length = mm(100), whole(50, 300), "mm", "lengths of damp-proof course under coping stones lap by this (common practice, no source)";
            capping_bracket: Length = mm(900), whole(200, 2000), "mm", "most between the brackets of a metal capping (common practice, no source)", because "the maker's data sheet decides";
            gutter_layers: u32 = 2, whole(1, 3), "layers", "fewest layers of mat in a box gutter (common practice, no source)";
            flashing_piece: Length = mm(1500), whole(500, 3000), "mm", "longest piece of a cover flashing", because "a longer piece of lead tears as it warms and cools";
            flashing_lap: Length = mm(100), whole(50, 300), "mm", "lap of a cover flashing";
            chase_depth: Length = mm(25), whole(15, 50), "mm", "a cover flashing is turned this far into its chase (common practice, no source)", because "a deeper chase cuts into the middle of a brick";
            brick_course: Length = mm(75), whole(40, 300), "mm", "from one bed joint to the next: a flashing is cut into the lowest that stands high enough (common practice, no source)", because "no walling stone that a flashing is cut in over is taller";
            wedge_spacing: Length = mm(450), whole(100, 1000), "mm", "most between the wedges that hold a flashing in its chase (common practice, no source)";
            chase_per_cartridge: Length = mm(6000), whole(1000, 30_000), "mm", "chase that one cartridge of sealant closes (common practice, no source)";
            fillet_up: Length = mm(75), whole(0, 300), "mm", "the tilting fillet under the lowest course stands this far up the slope, so that the tiles keep clear of the flat roof (common practice, no source)";
            fillet_over: Length = mm(50), whole(0, 150), "mm", "so much more mat it takes to go over the tilting fillet than straight up the slope: its two faces are longer than its foot (common practice, no source)";
            courses_over: u32 = 1, whole(0, 5), "courses", "courses of tiles or slates lifted above those over the underlay's top edge, to tuck it in (common practice, no source)";
            tiles_broken: Decimal = dec(10, 0), whole(0, 100), "%", "tiles or slates broken as they are lifted, and bought new (common practice, no source)";
            tile_nails: u32 = 2, whole(0, 6), "each", "nails for each tile or slate that is laid again (common practice, no source)";
            rafter_spacing: Length = mm(600), whole(300, 1200), "mm", "most from rafter to rafter of a roof above: where its battens and the board up the slope are fixed (common practice, no source)";
            underlay_lap: Length = mm(150), whole(50, 600), "mm", "underlay laps this far over the laminate that is tied in under a roof above (common practice, no source)";
            flashing_cover: Length = mm(75), whole(25, 200), "mm", "the flashing covers the fillet by at least this";
            sheet_margin: Length = mm(1000), whole(0, 3000), "mm", "the night sheet reaches this far past the roof on each side";
            sheet_lap: Length = mm(300), whole(0, 1000), "mm", "lap of two night sheets beside one another (common practice, no source)";
            noggin_section: Section = Section { thickness: mm(47), width: mm(97) }, section((20, 100), (35, 300)), "mm", "timber for noggins";
            kerb_rip: Length = mm(5), whole(0, 20), "mm", "a kerb's timber that is deeper than is wanted by no more than this is taken as it is sold, not ripped (common practice, no source)";
            trimmer_plies: u32 = 2, whole(2, 3), "each", "joists side by side round an opening that is cut into a roof: one under the kerb, one under the edge of the deck (common practice, no source; whoever answers for the structure decides)", because "one alone carries either the kerb or the edge of the boards, not both";
            joist_bearing: Length = mm(100), whole(35, 300), "mm", "a joist that is doubled reaches so far past the boards into a wall at its end, to bear where the other bears; at an open edge it ends with the boards (common practice, no source)";
            timber_fixing: Length = mm(300), whole(100, 600), "mm", "spacing of the screws that hold doubled timbers together, and a kerb to what it stands on (common practice, no source)";
            firring_fixing: Length = mm(600), whole(150, 1200), "mm", "most between the screws of a firring, with one at each end (common practice, no source)";
            fascia_fixing: Length = mm(400), whole(150, 600), "mm", "most between the places at which a fascia or soffit board of `order_lines` is pinned, with one at each end (common practice, no source)", because "further apart a board of plastic bows in the sun";
            fascia_pins: u32 = 2, whole(1, 4), "each", "pins at each of those places, one over the other (common practice, no source)";
            fascia_pin: Length = mm(65), whole(25, 100), "mm", "length of those pins, by which the price book sells them (common practice, no source)";
            batten_fixing: Length = mm(400), whole(150, 900), "mm", "most between the screws of each layer of edge batten, with one at each end (common practice, no source)";
            noggin_fixing: u32 = 2, whole(1, 8), "each", "screws in each end of a noggin, or of a bearer under a box gutter (common practice, no source)";
            hanger_nails: u32 = 20, whole(4, 60), "each", "nails of a joist hanger, one in each hole (count those of the hanger that you buy; common practice, no source)";
            prices_stale: u32 = 60, whole(1, 730), "days", "a price book older than this is reported";
            // Labour norms (rough starting points; no published source: overwrite them)
            hours_strip: Decimal = dec(15, 2), hundredths(0, 300), "h/m2", "strip an old covering";
            hours_strip_boards: Decimal = dec(12, 2), hundredths(0, 300), "h/m2", "lift the boards of an old deck, its nails drawn (common practice, no source)";
            hours_flashing_off: Decimal = dec(10, 2), hundredths(0, 300), "h/m", "an old flashing drawn out of its chase, the chase raked clean (common practice, no source)";
            hours_firrings: Decimal = dec(10, 2), hundredths(0, 200), "h/m", "firrings, and blocking between deep ones";
            hours_deck: Decimal = dec(30, 2), hundredths(0, 600), "h/m2", "deck, its noggins with it";
            hours_trimmers: Decimal = dec(35, 2), hundredths(0, 600), "h/m", "trimmers round an opening and joists doubled beside it, joists along edges: propped, cut, hung, screwed together (common practice, no source)";
            hours_new_kerb: Decimal = dec(50, 2), hundredths(0, 1000), "h/m", "timber of a new kerb: cut, squared, fixed (common practice, no source)";
            hours_vents: Decimal = dec(10, 2), hundredths(0, 200), "h/m", "continuous vent of a cold roof";
            hours_battens: Decimal = dec(8, 2), hundredths(0, 160), "h/m", "edge battens";
            hours_vapour: Decimal = dec(4, 2), hundredths(0, 80), "h/m2", "vapour layer, sheet as laid";
            hours_insulation: Decimal = dec(12, 2), hundredths(0, 240), "h/m2", "insulation over the deck";
            hours_overlay: Decimal = dec(25, 2), hundredths(0, 500), "h/m2", "board over the insulation, screwed through it";
            hours_trim: Decimal = dec(15, 2), hundredths(0, 300), "h/m", "edge trims";
            hours_corner: Decimal = dec(25, 2), hundredths(0, 500), "h each", "corner";
            hours_kerb: Decimal = dec(150, 2), hundredths(0, 3000), "h each", "kerb";
            hours_collar: Decimal = dec(50, 2), hundredths(0, 1000), "h each", "pipe collar";
            hours_outlet: Decimal = dec(100, 2), hundredths(0, 2000), "h each", "roof outlet, joined to its pipe";
            hours_overflow: Decimal = dec(150, 2), hundredths(0, 3000), "h each", "overflow cut through a parapet or upstand, its chute set and lined in (common practice, no source)";
            hours_sill: Decimal = dec(40, 2), hundredths(0, 800), "h/m", "laminate up to a door sill, turned under it and sealed";
            hours_tie: Decimal = dec(30, 2), hundredths(0, 1600), "h/m", "edge under tiles or slates: board up the slope, laminate carried up it";
            hours_tiles_off: Decimal = dec(5, 2), hundredths(0, 300), "h/m of course", "tiles or slates lifted, numbered and stacked";
            hours_tiles_back: Decimal = dec(10, 2), hundredths(0, 300), "h/m of course", "underlay, fillet and battens, tiles or slates laid again";
            hours_bandage: Decimal = dec(3, 2), hundredths(0, 60), "h/m", "bandage";
            hours_laminate: Decimal = dec(40, 2), hundredths(0, 800), "h/m2 a layer", "laminate";
            hours_aggregate: Decimal = dec(18, 2), hundredths(0, 500), "h/m2", "abrade, coat again, broadcast aggregate, sweep off what is loose (common practice, no source)";
            walk_on_hours: u32 = 48, whole(48, 336), "h", "nobody walks on a slip-resistant topcoat for so long at 15 C (common practice, no source; the data sheet decides)";
            hours_topcoat: Decimal = dec(10, 2), hundredths(0, 200), "h/m2", "topcoat";
            hours_patch: Decimal = dec(50, 2), hundredths(0, 1000), "h each", "a patch: found by tapping, marked, opened, dried (common practice, no source)";
            hours_cut_back: Decimal = dec(150, 2), hundredths(0, 2000), "h/m2", "laminate cut back and ground, each square metre of what is ground (common practice, no source)";
            hours_patch_deck: Decimal = dec(75, 2), hundredths(0, 1000), "h each", "a piece of board let in under a patch, noggins and all (common practice, no source)";
            hours_patch_edge: Decimal = dec(60, 2), hundredths(0, 1000), "h/m", "an edge made good along a patch: old trim cut out or bedded again, or the flashing lifted and dressed down (common practice, no source)";
            hours_patch_lay: Decimal = dec(60, 2), hundredths(0, 1000), "h/m2", "mat and resin of a patch, each square metre of mat (common practice, no source)";
            hours_wash: Decimal = dec(6, 2), hundredths(0, 400), "h/m2", "an old laminate scraped, washed and rinsed (common practice, no source)";
            hours_clean: Decimal = dec(14, 2), hundredths(0, 400), "h/m2", "an old laminate abraded and wiped (common practice, no source)";
            hours_trial: Decimal = dec(50, 2), hundredths(0, 1000), "h each", "a square metre of an old laminate coated first and tried with a knife (common practice, no source)";
            hours_prime: Decimal = dec(6, 2), hundredths(0, 200), "h/m2", "tie coat (common practice, no source)";
            hours_lead: Decimal = dec(50, 2), hundredths(0, 1000), "h/m", "cover flashing, lead or lead-free";
            hours_gutter: Decimal = dec(30, 2), hundredths(0, 600), "h/m", "gutter off and on";
            hours_downpipe: Decimal = dec(25, 2), hundredths(0, 400), "h each", "a downpipe lengthened: cut, pipe, socket and clip (common practice, no source)";
            hours_parapet: Decimal = dec(60, 2), hundredths(0, 1200), "h/m", "parapet: its face lined, its top primed or boarded, the outer edge trim fixed (common practice, no source)";
            hours_level: Decimal = dec(15, 2), hundredths(0, 800), "h/m", "top of a parapet under stones: brushed, damped, levelled with mortar (common practice, no source)";
            hours_coping_off: Decimal = dec(20, 2), hundredths(0, 800), "h/m", "coping lifted off a wall, marked and stacked (common practice, no source)";
            hours_coping_on: Decimal = dec(50, 2), hundredths(0, 1600), "h/m", "wall covered again: stones bedded, or capping fixed on its brackets (common practice, no source)";
            hours_box: Decimal = dec(60, 2), hundredths(0, 1200), "h/m", "box gutter: bearers, boards and fillets (common practice, no source)";
            hours_lining: Decimal = dec(50, 2), hundredths(0, 1000), "h/m2", "lining of a box gutter, each square metre of its mat (common practice, no source)";
            hours_setup: Decimal = dec(75, 2), hundredths(0, 400), "h a day", "set up and clear, the whole crew together";
            day_hours: Decimal = dec(8, 0), whole(3, 16), "h", "a working day";
            mortar_hours: u32 = 16, whole(0, 168), "h", "mortar that levels the top of a parapet, until it is hard and dry enough for primer (its data sheet says; common practice, no source)", because "what takes longer than a week no roof waits for";
            cure_hours: Decimal = dec(3, 0), whole(0, 72), "h", "laminate to topcoat at 15 C and over, and topcoat to what is laid or fixed on it", because "a laminate that is not hard after three days was mixed or kept wrongly";
            recoat_hours: Decimal = dec(72, 0), whole(1, 720), "h", "laminate older than this is abraded and wiped before topcoat (the data sheet decides)";
        }
    };
}

macro_rules! define_rules {
    ($($name:ident: $type:ty = $default:expr, $limits:expr, $unit:literal, $what:literal
        $(, because $why:literal)?;)*) => {
        /// Every rule, with its value. Field docs give what it is; units stand in [`Rules::ABOUT`].
        #[derive(Debug, Clone, PartialEq, Eq)]
        pub struct Rules {
            $(#[doc = $what] pub $name: $type,)*
        }

        impl Default for Rules {
            fn default() -> Rules {
                Rules { $($name: $default,)* }
            }
        }

        impl Rules {
            /// Takes one rule over from others; nothing where there is none of that name.
            pub fn take(&mut self, name: &str, from: &Rules) {
                match name {
                    $(stringify!($name) => self.$name.clone_from(&from.$name),)*
                    _ => {}
                }
            }

            /// Whether one rule is the same in others; so is one that there is not.
            pub fn agrees(&self, name: &str, with: &Rules) -> bool {
                match name {
                    $(stringify!($name) => self.$name == with.$name,)*
                    _ => true,
                }
            }

            /// Name, unit and meaning of every rule, in order.
            pub const ABOUT: &'static [(&'static str, &'static str, &'static str)] =
                &[$((stringify!($name), $unit, $what),)*];

            /// Name, limits and, where it needs one, the reason of every rule, in the same order.
            pub const LIMITS: &'static [RuleLimits] = &[$(RuleLimits {
                name: stringify!($name),
                unit: $unit,
                limits: $limits,
                why: concat!("" $(, $why)?),
            },)*];
        }
    };
}

for_each_rule!(define_rules);

/// The usual table. Clamped to 1–2.5 % by mass: sources disagree above 2.5 %, the data sheet decides.
fn doses() -> Vec<Dose> {
    let row = |from, to, laminate, topcoat| Dose {
        from: dec(from, 0),
        to: dec(to, 0),
        laminate: dec(laminate, 1),
        topcoat: dec(topcoat, 1),
    };
    vec![row(5, 10, 25, 25), row(10, 15, 20, 20), row(15, 20, 15, 20), row(20, 25, 12, 15), row(25, 30, 10, 12)]
}

/// What a rule's value looks like in words, for workings: `wall_gap 25 mm`.
#[macro_export]
macro_rules! rule {
    ($rules:expr, $name:ident) => {
        format!("{} {}", stringify!($name), $rules.$name)
    };
}

impl Aggregate {
    /// What it takes: the firm's own figures, or those of the rules.
    pub fn figures(&self, rules: &Rules) -> Figures {
        self.own.unwrap_or(Figures {
            rate: rules.aggregate_rate,
            topcoat: rules.aggregate_topcoat,
            hours: rules.hours_aggregate,
        })
    }
}
