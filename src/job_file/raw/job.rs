//! The job file as it is written: every key, none of the meaning.
//!
//! Given by the file; nothing outside `job_file` sees these types. A value that stands here is well formed; whether
//! it makes sense with the others is for the builders.

use super::checks::{RawBuildUp, RawGutter, RawLift, RawRoofAbove, RawWallAbove, RoofPitch};
use super::found::WorkedHours;
use super::retention::RawRetention;
use super::roof_work::{NewRoofOnly, OldRoofOnly, RoofWork, TrimFaces};
use super::rules::GivenRules;
use crate::job_file::read::amount::{Amount, within};
use crate::job_file::read::form::{Form, Formed, Writing};
use crate::job_file::read::places::YamlKind;
use crate::job_file::read::reading::{
    At, ByName, FromFile, List, OneOrMany, Slot, Unread, Word, Wrong, scalar, setting, wrong,
};
use crate::job_file::read::scalars::{
    Celsius, FallSaid, FirringsSaid, Hours, JoistSection, Percent, PercentRange, PrintedText, ShareOfPrice, TimberSaid,
    WalkTurn, YesNo, YesNoSum, choice, choose,
};
use crate::job_file::read::settings::settings;
use crate::model::fire::RoofClass;
use crate::model::goods::During;
use crate::model::job::{Answer, By, OldBoards};
use crate::model::limits::SIDE;
use crate::model::old_roof::{OldTrim, RecoatKey};
use crate::model::shape::{DeckAction, Joints, JoistRun, MeasuredTo};
use crate::model::{Area, Cover, Fall, Finish, Flashing, Length, PitchedCovering, Warned};
use crate::pricing::Money;
use crate::pricing::options::Show;
use crate::pricing::terms::LinesBy;
use crate::programme::Operation;
use rust_decimal::Decimal;
use time::Date;

settings! {
    /// The whole file.
    pub(crate) struct RawJob = "a job" {
        reference: PrintedText, needed "26-041";
        title: PrintedText, needed "Kitchen extension";
        prepared: Date, needed "2026-11-25";
        start: Date;
        customer: RawCustomer, needed "{name: …, address: […]}";
        site: RawSite;
        access: ByName<YesNoSum>, within ACCESS;
        scaffold_is: PrintedText;
        conditions: RawConditions;
        roofs: List<RawAnyRoof>, needed "[{name: Main roof, …}]";
        strip: RawOwnStrip;
        asbestos: Answer;
        flashing: By;
        delivery: RawDelivery;
        boundary: Length, within BOUNDARY;
        roof_class: RoofClass;
        lift: RawLift;
        wind_from: PrintedText;
        extras: List<RawExtra>;
        order_lines: List<RawOrderLine>;
        options: List<RawOption>;
        price: RawPrice;
        rules: GivenRules;
        silence: List<RawSilence>;
        quote: RawQuote;
        photos: List<RawPhoto>;
    }
}

settings! {
    /// The householder.
    pub(crate) struct RawCustomer = "`customer`" {
        name: PrintedText, needed "A. Householder";
        address: Lines, needed "[1 Example Street, Anytown]";
        email: PrintedText;
        phone: PrintedText;
        also_signs: Lines;
        vat_number: PrintedText;
        reverse_charge: YesNo;
    }
}

settings! {
    /// The place.
    pub(crate) struct RawSite = "`site`" or site_short as PrintedText {
        address: Lines;
        eaves_height: Length, within EAVES;
        built_before_2000: Answer;
        access: PrintedText;
        hospital: PrintedText;
    }
}

settings! {
    /// Weather.
    pub(crate) struct RawConditions = "`conditions`" {
        air: Celsius, within AIR;
        humidity: PercentRange, within HUMIDITY;
        surface: Celsius, within SURFACE;
        night_low: Celsius, within AIR;
        moisture: PercentRange, within MOISTURE;
        dry_hours: Hours, within DRY_HOURS;
    }
}

settings! {
    /// One roof.
    pub(crate) struct RawRoof = "a roof" {
        name: PrintedText, needed "Main roof";
        work: RoofWork;
        outline: RawOutline, needed "{rectangle: {width: 5.2 m, depth: 3.4 m}}";
        edges: ByName<OneOrMany<RawEdge>>, needed "{front: {finish: drip}, …}";
        holes: List<RawHole>;
        falls_to: PrintedText;
        fall: FallSaid, within FALL;
        firrings: FirringsSaid;
        joists: RawJoists;
        measured_to: MeasuredTo;
        way_off: PrintedText;
        deck: RawDeck, needed "{action: new, board: osb3-18}";
        laminate: RawLaminate, needed "{mat: 450, layers: 1}";
        topcoat: RawTopcoat, needed "{colour: dark grey, finish: smooth}";
        wall_above: RawWallAbove;
        roof_above: RawRoofAbove;
        build_up: RawBuildUp;
        outlet: OneOrMany<RawOutlet>;
        outlets: OneOrMany<RawOutlet>;
        strip: RawOwnStrip;
        asbestos: Answer;
        flashing: By;
        conditions: RawConditions;
        patches: OldRoofOnly;
        trims: OldRoofOnly;
        prepare: OldRoofOnly;
    }
}

settings! {
    /// A roof whose old laminate stays.
    pub(crate) struct RawOldRoof = "a roof whose old laminate stays" {
        name: PrintedText, needed "Porch roof";
        work: RoofWork;
        outline: RawOutline, needed "{rectangle: {width: 3.2 m, depth: 1.8 m}}";
        edges: ByName<RawOldEdge>;
        holes: List<RawHole>;
        patches: List<RawPatch>;
        laminate: RawLaminate;
        topcoat: RawTopcoat, needed "{colour: dark grey, finish: smooth}";
        trims: TrimFaces;
        prepare: RecoatKey;
        falls_to: NewRoofOnly;
        fall: NewRoofOnly;
        firrings: NewRoofOnly;
        joists: NewRoofOnly;
        measured_to: NewRoofOnly;
        way_off: NewRoofOnly;
        deck: NewRoofOnly;
        wall_above: NewRoofOnly;
        roof_above: NewRoofOnly;
        build_up: NewRoofOnly;
        outlet: NewRoofOnly;
        outlets: NewRoofOnly;
        strip: NewRoofOnly;
        asbestos: NewRoofOnly;
        flashing: NewRoofOnly;
        conditions: NewRoofOnly;
    }
}

settings! {
    /// What stands at an edge of an old laminate.
    pub(crate) struct RawOldEdge = "an edge of an old laminate" or old_edge_short as Finish {
        finish: Finish, needed "drip";
        go: NewRoofOnly;
        gutter: NewRoofOnly;
        upstand: NewRoofOnly;
        flashing: NewRoofOnly;
        ladder_point: NewRoofOnly;
        joints: NewRoofOnly;
        overflow: NewRoofOnly;
        box_gutter: NewRoofOnly;
        sill: NewRoofOnly;
        under: NewRoofOnly;
    }
}

settings! {
    /// A patch.
    pub(crate) struct RawPatch = "a patch" {
        name: PrintedText;
        at: List<Length>, within HOLE_AT;
        size: List<Length>, within PATCH;
        area: Area, within PATCH_AREA;
        layers: u32, within LAYERS;
        deck: PrintedText;
        at_edge: Length, within AT_EDGE;
        edge: PrintedText;
        from: Length, within EDGE_PLACE;
        trim: OldTrim;
    }
}

/// One roof, of either kind.
#[derive(Debug, Clone)]
pub(crate) enum RawAnyRoof {
    /// It is laid anew.
    New(Box<RawRoof>),
    /// Its laminate stays.
    Old(Box<RawOldRoof>),
}

impl RawAnyRoof {
    /// The roof that is laid anew.
    pub(crate) fn new_one(&self) -> Option<&RawRoof> {
        match self {
            RawAnyRoof::New(roof) => Some(roof),
            RawAnyRoof::Old(_) => None,
        }
    }
}

impl FromFile for RawAnyRoof {
    fn read(at: At<'_>) -> Slot<RawAnyRoof> {
        let said = (at.kind() == YamlKind::Group).then(|| at.entries().find(|entry| entry.key() == "work")).flatten();
        let work = said.map_or(Slot::Given(RoofWork::New), RoofWork::read);
        let read = match work.take() {
            None => None,
            Some(RoofWork::New) => RawRoof::read(at).take().map(|roof| RawAnyRoof::New(Box::new(roof))),
            Some(_) => RawOldRoof::read(at).take().map(|roof| RawAnyRoof::Old(Box::new(roof))),
        };
        read.map_or(Slot::Bad, Slot::Given)
    }
}

impl Formed for RawAnyRoof {
    fn form() -> Form {
        let words = match RoofWork::writing() {
            Writing::Words(words) => words,
            _ => Vec::new(),
        };
        let stays = words.into_iter().filter(|word| !matches!(RoofWork::parse(word), Ok(RoofWork::New)));
        Form::ByWork(Box::new(RawRoof::form()), Box::new(RawOldRoof::form()), stays.collect())
    }
}

settings! {
    /// The shape, in one of three ways.
    pub(crate) struct RawOutline = "`outline`" or outline_short as ShortRectangle {
        rectangle: RawRectangle;
        quadrilateral: RawQuadrilateral;
        walk: List<RawLeg>;
        ties: List<RawTie>;
    }
}

settings! {
    /// A rectangle.
    pub(crate) struct RawRectangle = "`rectangle`" {
        width: Length, needed "5.2 m", within SIDE;
        depth: Length, needed "3.4 m", within SIDE;
    }
}

settings! {
    /// Four sides and a diagonal.
    pub(crate) struct RawQuadrilateral = "`quadrilateral`" {
        front: Length, needed "5.20 m", within SIDE;
        right: Length, needed "3.42 m", within SIDE;
        back: Length, needed "5.18 m", within SIDE;
        left: Length, needed "3.40 m", within SIDE;
        diagonal: Length, needed "6.22 m", within DIAGONAL;
        other_diagonal: Length, within DIAGONAL;
    }
}

settings! {
    /// One leg of a walk.
    pub(crate) struct RawLeg = "a leg of the walk" {
        edge: PrintedText, needed "front";
        turn: WalkTurn;
        go: Length, needed "5.2 m", within SIDE;
    }
}

settings! {
    /// A distance across the roof, from corner to corner.
    pub(crate) struct RawTie = "a tie" {
        from: PrintedText, needed "front/right";
        to: PrintedText, needed "back/left";
        is: Length, needed "6.22 m", within DIAGONAL;
    }
}

settings! {
    /// An edge, or one stretch of it.
    pub(crate) struct RawEdge = "an edge" or edge_short as Finish {
        finish: Finish, needed "drip";
        go: Length, within SIDE;
        gutter: RawGutter;
        upstand: Length, within UPSTAND;
        flashing: Flashing;
        ladder_point: Length, within LADDER_AT;
        joints: Joints;
        overflow: RawOverflow;
        box_gutter: RawBoxGutter;
        sill: Length, within SILL;
        under: RawUnder;
        coping: RawCoping;
    }
}

settings! {
    /// A box gutter beyond an edge.
    pub(crate) struct RawBoxGutter = "`box_gutter`" {
        width: Length, needed "300 mm", within BOX_WIDTH;
        depth: Length, needed "120 mm", within BOX_DEPTH;
        fall: Fall, needed "1:100", within BOX_FALL;
        outlet: RawSoleOutlet, needed "{at: 0.4 m, size: 75 mm}";
        board: PrintedText;
        depth_factor: Decimal, within GUTTER_FACTOR;
        new: YesNo;
    }
}

settings! {
    /// The outlet in the sole of a box gutter.
    pub(crate) struct RawSoleOutlet = "`outlet`" {
        at: Length, needed "0.4 m", within LADDER_AT;
        size: Length, needed "75 mm", within OUTLET;
        head: Length, within HEAD;
        strainer: YesNo;
    }
}

settings! {
    /// An overflow through what stands at an edge.
    pub(crate) struct RawOverflow = "`overflow`" {
        at: Length, needed "1.2 m", within LADDER_AT;
        width: Length, needed "200 mm", within OVERFLOW_WIDTH;
        height: Length, needed "75 mm", within OVERFLOW_HEIGHT;
        above: Length, needed "30 mm", within OVERFLOW_ABOVE;
    }
}

settings! {
    /// A wall of limited height that the roof is carried over.
    pub(crate) struct RawCoping = "`coping`" {
        wall_height: Length, needed "300 mm", within COPED_HEIGHT;
        wall_width: Length, needed "215 mm", within COPED_WIDTH;
        cover: Cover, needed "stone";
        by: By;
        board: PrintedText;
    }
}

settings! {
    /// The tiles or slates under which a roof is tied in.
    pub(crate) struct RawUnder = "`under`" {
        covering: PitchedCovering;
        gauge: Length, within TILE_GAUGE;
        cover: Length, within TILE_COVER;
        pitch: RoofPitch;
        up: Length, within UP_SLOPE;
        courses: u32, within TILE_COURSES;
        by: By;
    }
}

settings! {
    /// A hole.
    pub(crate) struct RawHole = "a hole" {
        name: PrintedText, needed "rooflight";
        at: List<Length>, needed "[1.8 m, 1.1 m]", within HOLE_AT;
        size: List<Length>, within HOLE_SIZE;
        round: Length, within PIPE;
        finish: Finish;
        kerb: TimberSaid;
        upstand: Length, within KERB_HEIGHT;
        trimmers: TimberSaid;
    }
}

settings! {
    /// The joists.
    pub(crate) struct RawJoists = "`joists`" {
        run: JoistRun, needed "front to back";
        spacing: Length, needed "400 mm";
        first: Length, within JOIST_FIRST;
        last: Length, within JOIST_LAST;
        section: JoistSection;
    }
}

settings! {
    /// The deck.
    pub(crate) struct RawDeck = "`deck`" {
        action: DeckAction, needed "new";
        board: PrintedText;
    }
}

settings! {
    /// The laminate.
    pub(crate) struct RawLaminate = "`laminate`" {
        mat: u32, needed "450", within MAT;
        layers: u32, within LAYERS;
    }
}

settings! {
    /// The topcoat.
    pub(crate) struct RawTopcoat = "`topcoat`" {
        colour: PrintedText, needed "dark grey";
        finish: PrintedText;
    }
}

settings! {
    /// An outlet in the roof.
    pub(crate) struct RawOutlet = "`outlet`" {
        at: List<Length>, needed "[2.6 m, 0.2 m]", within HOLE_AT;
        size: Length, needed "75 mm", within OUTLET;
        head: Length, within HEAD;
        strainer: YesNo;
    }
}

settings! {
    /// What comes off.
    pub(crate) struct RawStrip = "`strip`" {
        covering: PrintedText, needed "felt";
        tip: PrintedText, needed "skip";
        boards: OldBoards, within OLD_BOARDS;
    }
}

impl Word for OldBoards {
    const WHAT: &'static str = "what becomes of the old boards";
    fn parse(text: &str) -> Result<OldBoards, Wrong> {
        match text {
            "none" => Ok(OldBoards::Bare),
            _ => Length::parse(text).map(OldBoards::Lifted).map_err(|w| Wrong {
                cure: format!("{}; `18 mm`, or `none` where the joists stand bare", w.cure),
                ..w
            }),
        }
    }

    fn writing() -> Writing {
        Writing::Either(vec![Writing::Words(vec!["none"]), Length::writing()])
    }
}

impl Amount for OldBoards {
    fn amounts(&self) -> Option<(Decimal, Decimal)> {
        match self {
            OldBoards::Bare => None,
            OldBoards::Lifted(thickness) => thickness.amounts(),
        }
    }
}

settings! {
    /// The delivery.
    pub(crate) struct RawDelivery = "`delivery`" {
        earliest: Date;
        latest: Date;
        note: PrintedText;
    }
}

settings! {
    /// An extra.
    pub(crate) struct RawExtra = "an extra" {
        item: PrintedText, needed "new soil vent cowl";
        cost: Money, within EXTRA;
        cost_a_day: Money, within EXTRA;
        price: Money, within EXTRA;
        optional: YesNo;
        provisional: YesNo;
        in_total: YesNo;
        during: During;
    }
}

settings! {
    /// Goods for this job alone.
    pub(crate) struct RawOrderLine = "an order line" {
        item: PrintedText, needed "white fascia board along the front";
        article: PrintedText;
        count: u32, within GOODS;
        supply: SuppliedBy;
        during: During;
        hours: WorkedHours, within GOODS_HOURS;
        roof: PrintedText;
    }
}

/// Who supplies goods.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SuppliedBy {
    /// The firm buys them.
    Us,
    /// The customer does.
    Customer,
}

settings! {
    /// An alternative.
    pub(crate) struct RawOption = "an option" {
        name: PrintedText, needed "Heavier mat";
        change: Unread;
        without: RawWithout;
        one_of: OneOrMany<PrintedText>;
        needs: OneOrMany<PrintedText>;
        show: Show;
    }
}

settings! {
    /// What an option leaves out, by name.
    pub(crate) struct RawWithout = "`without`" {
        extras: List<PrintedText>;
        order_lines: List<PrintedText>;
        roofs: List<PrintedText>;
        holes: List<PrintedText>;
        patches: List<PrintedText>;
        notes: List<PrintedText>;
        exclusions: List<PrintedText>;
    }
}

settings! {
    /// What the quote says.
    pub(crate) struct RawQuote = "`quote`" {
        valid_days: u32, within VALID_DAYS;
        notes: List<PrintedText>;
        exclusions: List<PrintedText>;
        stages: List<RawStage>;
        vat: RawClaim;
        prices: LinesBy;
    }
}

settings! {
    /// What was agreed of the price, and what this job is to bring.
    pub(crate) struct RawPrice = "`price`" {
        discount: ShareOfPrice, within DISCOUNT_SUM;
        agreed: Money, within AGREED;
        because: PrintedText;
        shown: YesNo;
        margin: Percent, within MARGIN;
        markup: Percent, within MARKUP;
        retention: RawRetention;
    }
}

settings! {
    /// A rate of VAT that the job claims, with its reason.
    pub(crate) struct RawClaim = "`vat`" {
        rate: Percent, needed "5 %", within VAT;
        reason: PrintedText, needed "empty two years";
    }
}

settings! {
    /// A payment.
    pub(crate) struct RawStage = "a stage" {
        when: PrintedText, needed "Deposit, when you accept";
        part: ShareOfPrice, needed "25 %", within STAGE_SUM;
        after: Operation;
    }
}

settings! {
    /// A warning that is known and left.
    pub(crate) struct RawSilence = "a silence" {
        warning: Warned, needed "fall";
        because: PrintedText, needed "agreed with the customer in writing";
    }
}

impl Word for Warned {
    const WHAT: &'static str = "the name of a warning";
    fn parse(text: &str) -> Result<Warned, Wrong> {
        let named = |of: &&Warned| of.name() == text;
        if let Some(loud) = Warned::ALL.iter().filter(|warned| !warned.may_be_silenced()).find(named) {
            return wrong(
                format!("a warning of {} cannot be silenced", loud.about()),
                "take this entry out, and do what the warning asks for",
            );
        }
        let all = Warned::ALL.iter().filter(|warned| warned.may_be_silenced());
        let all: Vec<(&str, Warned)> = all.map(|warned| (warned.name(), *warned)).collect();
        choose(text, "a warning", &all)
    }

    fn writing() -> Writing {
        Writing::Words(Warned::ALL.iter().filter(|w| w.may_be_silenced()).map(|w| w.name()).collect())
    }
}

settings! {
    /// A photograph.
    pub(crate) struct RawPhoto = "a photograph" {
        file: PrintedText, needed "front.jpg";
        caption: PrintedText;
    }
}

choice! {
    LinesBy = "how the price is parted into lines" { "by part" => LinesBy::Part, "by roof" => LinesBy::Roof }
    SuppliedBy = "who supplies it" { "us" => SuppliedBy::Us, "customer" => SuppliedBy::Customer }
    During = "an operation" { "prepare" => During::Prepare, "deck" => During::Deck, "finish" => During::Finish }
    Show = "how an option is shown" { "difference" => Show::Difference, "total" => Show::Total }
}

/// What comes off, of one roof or of all: an old covering, or the word `nothing`.
#[derive(Debug, Clone)]
pub(crate) enum RawOwnStrip {
    /// Nothing.
    Nothing,
    /// An old covering.
    Strip(RawStrip),
}

impl FromFile for RawOwnStrip {
    fn read(at: At<'_>) -> Slot<RawOwnStrip> {
        if at.kind() == YamlKind::Group {
            return RawStrip::read(at).take().map_or(Slot::Bad, |strip| Slot::Given(RawOwnStrip::Strip(strip)));
        }
        scalar(at, "what comes off", |text| match text {
            "nothing" => Ok(RawOwnStrip::Nothing),
            _ => wrong(
                "what comes off wants two settings: the old covering, and how it leaves",
                "write, for example, `{covering: felt, tip: skip}`, or `nothing`",
            ),
        })
    }
}

impl Formed for RawOwnStrip {
    fn form() -> Form {
        Form::Either(vec![Form::Value("what comes off", Writing::Words(vec!["nothing"])), RawStrip::form()])
    }
}

/// `front: drip`: an edge by its finish alone.
fn edge_short(at: At<'_>) -> Slot<RawEdge> {
    Slot::Given(RawEdge { finish: setting(at), ..RawEdge::default() })
}

/// The same of an old laminate.
fn old_edge_short(at: At<'_>) -> Slot<RawOldEdge> {
    Slot::Given(RawOldEdge { finish: setting(at), ..RawOldEdge::default() })
}

/// `site: same`: the customer's address.
fn site_short(at: At<'_>) -> Slot<RawSite> {
    Slot::Given(RawSite { address: setting(at), ..RawSite::default() })
}

/// `outline: 5.2 m x 3.4 m`: a rectangle, along its front and up the roof.
fn outline_short(at: At<'_>) -> Slot<RawOutline> {
    let side = |what: &str, text: &str| within::<Length>(what, text.trim(), &SIDE);
    let sides = scalar(at, "a rectangle", |text| match text.split_once(['x', '×']) {
        Some((width, depth)) => Ok((side("the width", width)?, side("the depth", depth)?)),
        None => wrong(
            format!("`{}` is not an outline", text.chars().take(40).collect::<String>()),
            "write a rectangle as `5.2 m x 3.4 m`: along the front, then up the roof; another shape as `walk:` or \
             `quadrilateral:`",
        ),
    });
    let rectangle = |(width, depth)| RawRectangle { width: Slot::Given(width), depth: Slot::Given(depth) };
    match sides.take() {
        Some(sides) => Slot::Given(RawOutline { rectangle: Slot::Given(rectangle(sides)), ..RawOutline::default() }),
        None => Slot::Bad,
    }
}

/// A rectangle in one line.
pub(crate) struct ShortRectangle;

impl Formed for ShortRectangle {
    fn form() -> Form {
        let side = r"\d+(\.\d+)?\s*(mm|cm|m)";
        Form::Value("a rectangle", Writing::Pattern(format!(r"{side}\s*[x×]\s*{side}"), "5.2 m x 3.4 m"))
    }
}

/// An address: a list of lines, one text, or the word `same`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Lines(pub Vec<String>);

impl Lines {
    /// Whether it says `same`.
    pub(crate) fn is_same(&self) -> bool {
        self.0.len() == 1 && self.0[0] == "same"
    }
}

impl FromFile for Lines {
    fn read(at: At<'_>) -> Slot<Lines> {
        match OneOrMany::<PrintedText>::read(at) {
            Slot::Given(OneOrMany::One(text)) => {
                Slot::Given(Lines(text.0.lines().map(|l| l.trim().to_owned()).filter(|l| !l.is_empty()).collect()))
            }
            Slot::Given(OneOrMany::Many(all)) if all.is_empty() => {
                at.fault("there is nothing in this list", "write its lines: `[1 Example Street, Anytown]`");
                Slot::Bad
            }
            Slot::Given(OneOrMany::Many(all)) => all_given(all).map_or(Slot::Bad, |all| Slot::Given(Lines(all))),
            Slot::Missing | Slot::Bad => Slot::Bad,
        }
    }
}

impl Formed for Lines {
    fn form() -> Form {
        Form::Either(vec![PrintedText::form(), Form::List(Box::new(PrintedText::form()))])
    }
}

/// The texts of a list, if every one is good.
fn all_given(all: List<PrintedText>) -> Option<Vec<String>> {
    all.into_iter().map(|t| t.take().map(|t| t.0)).collect()
}

/// The good texts of a list that may be missing.
pub(crate) fn texts(list: Slot<List<PrintedText>>) -> Vec<String> {
    list.take().unwrap_or_default().into_iter().filter_map(|t| t.take().map(|t| t.0)).collect()
}
