//! What is told of the keys of a roof: its shape, what stands at its edges and in it, what it is made of.

use super::told::{Told, explain};
use crate::job_file::raw::checks::{
    RawBuildUp, RawExisting, RawGutterDetail, RawGutterOutlet, RawInsulation, RawJoistDetail, RawRoofAbove, RawSheet,
    RawVapour, RawWallAbove,
};
use crate::job_file::raw::job::{
    RawBoxGutter, RawCoping, RawDeck, RawEdge, RawHole, RawJoists, RawLaminate, RawLeg, RawOldEdge, RawOldRoof,
    RawOutlet, RawOutline, RawOverflow, RawPatch, RawQuadrilateral, RawRectangle, RawRoof, RawSoleOutlet, RawTie,
    RawTopcoat, RawUnder,
};

explain! {
    RawRoof refuses [patches, trims, prepare] {
        name: "What this roof is called.", "every document; options call it by this name", "", "";
        work: "What is done on it.", "whether a new roof is laid or an old laminate is made good", "new", "new";
        outline: "Its shape and size.", "everything that is laid and bought", "", "";
        edges: "What stands at each edge, by the edge's name.", "trims, laps of the mat, where water leaves", "", "";
        holes: "Rooflights, hatches, chimneys and pipes in it.", "deck, trims and mat round each", "the roof has none", "[{name: rooflight, at: [1.8 m, 1.1 m], size: [1.0 m, 1.0 m]}]";
        falls_to: "The edge to which the roof falls.", "firrings, the way of the boards, where water leaves", "the edge with a drip, where there is one", "front";
        fall: "How steep it is to be, or `existing` with what was measured.", "firrings, and the check of the fall", "the rule `design_fall`", "1:40";
        firrings: "Who fixes the firrings, if there are any.", "timber and hours", "the firm", "us";
        joists: "How the joists run and how far apart they are.", "where boards can join, fixings, firrings", "front to back at 400 mm, the first at the left corner", "{run: front to back, spacing: 400 mm}";
        measured_to: "What the outline was measured to.", "whether the edge battens lie inside the sizes or outside", "the outside of the edge battens", "battens";
        way_off: "The edge over which the crew leaves the roof.", "the order in which the strips of mat are laid", "of the edges with a drip or a raised edge the one with a ladder point, else the furthest up the fall; where there is none a door, else a parapet, else the edge furthest up the fall", "right";
        deck: "What is done with the deck.", "boards, fixings, noggins, hours", "", "";
        laminate: "Mat and layers.", "mat, resin, catalyst, hours", "", "";
        topcoat: "Colour and surface.", "topcoat, aggregate, hours", "", "";
        wall_above: "The face of the wall over the roof, from which rain runs onto it.", "the check of the gutter", "no wall is counted", "{area: 13.5 m2}";
        roof_above: "A pitched roof that drains onto this one.", "the check of the gutter", "none drains onto it", "{area: 12.0 m2, pitch: 35°}";
        build_up: "What the roof is made of from the ceiling to the covering.", "insulation, vapour layer, U-value, dew point", "heat, damp and air are left unchecked", "{kind: warm, work: renovated, insulation: {board: pir-120}, joists: {breadth: 47 mm, depth: 150 mm}, vapour: {roll_width: 2 m, roll_length: 25 m}}";
        outlet: "One outlet in the roof.", "the check of the water, an outlet to order", "water leaves over the low edge", "{at: [2.6 m, 0.2 m], size: 75 mm}";
        outlets: "Several outlets in the roof.", "the check of the water, outlets to order", "water leaves over the low edge", "[{at: [2.6 m, 0.2 m], size: 75 mm}]";
        strip: "What comes off this roof, where it is not what comes off the others.", "skips, hours, waste", "what the job says for all", "nothing";
        asbestos: "Whether there is asbestos at this roof.", "warnings and what the crew must not touch", "what the job says for all", "no";
        flashing: "Who cuts in the flashing of this roof.", "hours and metal", "what the job says for all", "others";
        conditions: "Weather and surface at this roof.", "catalyst and warnings", "what the job says for all", "{surface: 7 C}";
    }
    RawOldRoof refuses [falls_to, fall, firrings, joists, measured_to, way_off, deck, wall_above, roof_above, build_up, outlet, outlets, strip, asbestos, flashing, conditions] {
        name: "What this roof is called.", "every document", "", "";
        work: "What is done on it: patches, a new topcoat, or both.", "which work is promised, bought and told", "new: the whole roof is laid", "repair";
        outline: "Its shape and size.", "the area that is coated", "", "";
        edges: "What stands at its edges; only needed where trims are coated too.", "topcoat on the faces of the trims", "the trims are left", "{front: {finish: drip}}";
        holes: "What stands in it.", "it is taken off the area that is coated", "nothing", "[{name: rooflight, at: [1.8 m, 1.1 m], size: [1.0 m, 1.0 m]}]";
        patches: "The places where the laminate is made good.", "mat, resin, hours", "needed where something is repaired", "[{name: blister, size: [0.6 m, 0.45 m]}]";
        laminate: "Mat and layers of the patches.", "mat and resin", "needed where something is repaired", "{mat: 450, layers: 2}";
        topcoat: "Colour and surface.", "topcoat, hours", "", "";
        trims: "Whether the faces of the trims that stay are coated too.", "topcoat", "leave", "topcoat";
        prepare: "How the abraded face is made ready.", "acetone or tie coat, hours", "wipe", "prime";
    }
    RawOldEdge refuses [go, gutter, upstand, flashing, ladder_point, joints, overflow, box_gutter, sill, under] {
        finish: "What stands there.", "how high the face of its trim is that is coated", "", "";
    }
    RawPatch {
        name: "What it is called.", "quote, plan and method statement", "it is numbered", "blister by the rooflight";
        at: "Its corner nearest the front left corner: along the front, then up the roof.", "it is drawn on the plan", "the crew finds it by tapping", "[3.5 m, 1.6 m]";
        size: "The hole as it is cut back: along the front, then up the roof.", "mat and resin; laps are added", "give `size` or `area`", "[0.6 m, 0.45 m]";
        area: "The hole as an area, taken as a square.", "mat and resin; laps are added", "give `size` or `area`", "0.3 m2";
        layers: "Layers of mat in this patch.", "mat and resin", "the rule `patch_layers`, or those of `laminate`", "2";
        deck: "The board that is let in where the old one is rotten.", "board and noggins", "no board is let in", "osb3-18";
        at_edge: "How much of it lies along a trim, wall or kerb.", "bandage", "none of it", "0.9 m";
        edge: "The edge that it lies along; its size is then along that edge and in from it.", "mat up or over the edge, bandage, the plan", "it lies in the roof", "right";
        from: "Where along that edge it begins, from where the edge starts.", "where it is drawn and found", "needed with `edge`", "0.8 m";
        trim: "What becomes of the old trim or fillet along it.", "trim, nails, adhesive, hours", "it stays", "renew";
    }
    RawOutline {
        rectangle: "Width and depth of a square roof.", "the shape", "give one of the three ways", "{width: 5.2 m, depth: 3.4 m}";
        quadrilateral: "Four sides and a diagonal of a roof out of square.", "the shape", "give one of the three ways", "{front: 5.20 m, right: 3.42 m, back: 5.18 m, left: 3.40 m, diagonal: 6.22 m}";
        walk: "Edge after edge, from the front left corner along the front and round.", "the shape", "give one of the three ways", "[{edge: front, go: 5.2 m}, {edge: right, turn: left, go: 3.4 m}, {edge: back, turn: left, go: 5.2 m}, {edge: left, turn: left, go: 3.4 m}]";
        ties: "Distances across a walk, from corner to corner, that fix its angles.", "the shape", "the turns are taken as they are written", "[{from: front/right, to: back/left, is: 6.22 m}]";
    }
    RawRectangle {
        width: "Along the front.", "the shape", "", "";
        depth: "Up the roof.", "the shape", "", "";
    }
    RawQuadrilateral {
        front: "Along the front.", "the shape", "", "";
        right: "Up the right-hand side.", "the shape", "", "";
        back: "Along the back.", "the shape", "", "";
        left: "Down the left-hand side.", "the shape", "", "";
        diagonal: "From the front left corner to the back right one.", "the shape", "", "";
        other_diagonal: "From the front right corner to the back left one, as a check.", "whether the sizes agree", "nothing checks the sizes", "6.24 m";
    }
    RawLeg {
        edge: "The edge's name.", "how the rest of the job calls it", "", "";
        turn: "The turn before it.", "the shape", "the first leg has none; others are found by the ties", "left";
        go: "How long this side is.", "the shape, and the length of its trims", "", "";
    }
    RawTie {
        from: "One corner, by the two edges that meet there.", "the shape", "", "";
        to: "The other corner.", "the shape", "", "";
        is: "The distance as it was measured.", "the shape", "", "";
    }
    RawEdge {
        finish: "What stands there.", "trim, laps of the mat, nails, bandage, drawing", "", "";
        go: "The length of this stretch, where an edge has several; the last takes the rest.", "where one stretch ends", "the whole edge", "1.2 m";
        gutter: "The gutter under a drip.", "its check against the rain, taking it off and putting it back", "no gutter is touched", "half-round 112 mm";
        upstand: "From the old roof's surface to where the waterproofing can end at a wall.", "the check that 150 mm are left", "as much as `least_upstand` is taken to be there", "260 mm";
        flashing: "The metal of the cover flashing at a wall.", "metal, wedges, sealant, hours", "lead", "lead-free";
        ladder_point: "Where the middle of a ladder point stands, from where the edge starts.", "a length of stiffer trim there", "none", "1.2 m";
        joints: "Whether its trim may be joined.", "how the trims are cut", "lapped", "none";
        overflow: "An opening by which water leaves when every outlet is blocked.", "how deep water can stand, a chute to order", "none", "{at: 1.2 m, width: 200 mm, height: 75 mm, above: 30 mm}";
        box_gutter: "The boarded gutter beyond an edge with `finish: gutter`.", "boards, bearers, fillets, lining, hours", "needed with `finish: gutter`", "{width: 300 mm, depth: 130 mm, fall: 1:80, outlet: {at: 0.5 m, size: 75 mm}}";
        sill: "From the old roof's surface to the underside of a door sill in this stretch.", "whether the laminate goes in under it; no flashing there", "no door", "150 mm";
        under: "The tiles or slates under which a `step` is tied in.", "board, underlay, battens, slates, hours", "needed with `finish: step`", "{covering: slates, gauge: 200 mm, cover: 250 mm, pitch: 35°, by: us}";
        coping: "A low wall that the roof is carried over.", "lining, drip trim, stones or capping, hours", "the wall is a high one", "{wall_height: 330 mm, wall_width: 215 mm, cover: stone, by: us}";
    }
    RawBoxGutter {
        width: "Clear width of the sole.", "boards, lining, what it carries", "", "";
        depth: "Depth at the end furthest from the outlet.", "boards, lining, what it carries", "", "";
        fall: "The fall of the sole.", "how deep it is at the outlet", "", "";
        outlet: "The outlet in its sole.", "what it carries; an outlet to order", "", "";
        board: "The board it is made of.", "boards to order", "the board of the deck", "osb3-18";
        depth_factor: "The factor of BS EN 12056-3 for its depth, read off the chart.", "what it carries", "its capacity is not worked", "0.9";
        new: "Whether none was there before.", "the old one is stripped with its roof", "no", "yes";
    }
    RawSoleOutlet {
        at: "From where the edge starts to its middle.", "where the sole falls to", "", "";
        size: "The diameter of the outlet.", "what it carries", "", "";
        head: "How deep water may stand over it.", "what it carries", "the gutter's depth decides", "60 mm";
        strainer: "Whether a strainer or leaf guard stands over it.", "it carries half", "no", "yes";
    }
    RawOverflow {
        at: "From where the edge starts to its middle.", "where it is drawn and cut", "", "";
        width: "Its clear width.", "how deep water stands before it takes all of it", "", "";
        height: "Its clear height.", "how much it takes", "", "";
        above: "How far its sill lies above the roof.", "how deep water stands before it runs", "", "";
    }
    RawCoping {
        wall_height: "From the old surface to the top of the masonry, where the roof stands highest.", "lining and laps; takes the place of `upstand`", "", "";
        wall_width: "The thickness of the wall.", "lining, capping, damp-proof course", "", "";
        cover: "What lies on it.", "mortar and damp-proof course, or a metal capping", "", "";
        by: "Who lifts what lies there and lays it again.", "hours and materials", "the firm", "us";
        board: "The board that lines its face.", "boards to order", "the board of the deck", "osb3-11";
    }
    RawUnder {
        covering: "What lies on the roof above.", "slates or tiles for those that break", "plain tiles, the most work", "slates";
        gauge: "From one batten to the next.", "how many courses come off", "the usual gauge of that covering", "200 mm";
        cover: "How wide one of them shows.", "how many come off", "the usual cover of that covering", "250 mm";
        pitch: "How steep that roof is.", "whether the laminate ends high enough", "that is left unchecked", "35°";
        up: "How far up the slope the laminate is carried.", "board, mat, courses", "the rule `mat_return`", "350 mm";
        courses: "How many courses come off.", "hours, nails, slates for those that break", "they are counted", "5";
        by: "Who lifts them and lays them again.", "hours; others are waited for", "the firm", "us";
    }
    RawHole {
        name: "What it is.", "plans and sentences; options call it by this name", "", "";
        at: "Its corner nearest the front left corner: along the front, then up the roof. For a pipe, its middle.", "where it is cut out", "", "";
        size: "Along the front, then up the roof.", "deck, trims and mat round it", "give `size` or `round`", "[1.0 m, 1.0 m]";
        round: "The diameter of a pipe.", "a collar to order", "give `size` or `round`", "110 mm";
        finish: "What stands round it: `kerb` for a rooflight or hatch, `wall` for a chimney.", "trims and flashing", "a kerb", "kerb";
        kerb: "The timber of its kerb: there already (`existing`), or the section of a new one, which is ripped to what stands above the roof.", "timber, screws, hours, a step for the crew", "it is there", "47 × 220 mm";
        upstand: "From the old roof's surface to the top of a kerb that is there, at its higher side.", "a warning where too little stands above the finished roof", "it is taken to be high enough, which is told", "240 mm";
        trimmers: "The joists round it: cut and trimmed already (`existing`), or the section of the joists where it is cut now.", "timber, hangers, screws, hours, a step for the crew", "it is trimmed", "47 × 147 mm";
    }
    RawJoists {
        run: "Which way they run, looking at the roof from the front.", "which way the boards run", "", "";
        spacing: "From the middle of one to the middle of the next.", "where boards join, fixings", "", "";
        first: "Where the first one lies.", "where boards join", "at the edge", "200 mm";
        last: "Where the last one lies, when it does not fit the spacing.", "noggins along that edge", "it follows from the spacing", "5.1 m";
        section: "How thick and how deep they are: where none lies along an edge that runs with them, one is set there under a new deck.", "timber, screws, hours, a step for the crew", "none is set, and the edge is told", "47 × 170 mm";
    }
    RawDeck {
        action: "Whether a new deck is laid, the old one is overlaid, or it is kept.", "boards, fixings, hours", "", "";
        board: "The board, by the name of its role in the price book.", "boards to order, mass, hours", "needed unless the deck is kept", "osb3-18";
    }
    RawLaminate {
        mat: "The weight of the mat, g/m2.", "mat and resin", "", "";
        layers: "Layers of mat.", "mat, resin, hours", "1", "1";
    }
    RawTopcoat {
        colour: "Its colour, as the price book has it.", "topcoat to order, quote", "", "";
        finish: "The surface that is walked on.", "aggregate in a second topcoat, hours", "smooth", "slip-resistant";
    }
    RawOutlet {
        at: "Its middle: along the front, then up the roof.", "where water runs to", "", "";
        size: "The diameter of the pipe that it joins.", "what it carries; which outlet is ordered", "", "";
        head: "How deep water may stand over it.", "what it carries", "the check asks for it", "35 mm";
        strainer: "Whether a strainer or leaf guard stands over it.", "it carries half", "no", "yes";
    }
    RawGutterDetail {
        shape: "The shape of its section.", "what it carries", "", "";
        size: "Its width at the top.", "what it carries; which brackets are ordered", "", "";
        area: "Its section, where it is not half-round.", "what it carries", "a half-round one has it from its size", "5600 mm2";
        depth: "How deep the gutter is.", "what a long gutter carries", "a half-round one has it from its size", "60 mm";
        length: "Its own length, where it is longer or shorter than the edge.", "what it carries, brackets", "the edge's", "6.0 m";
        outlet: "The outlet of the gutter.", "what it carries", "at one end", "{at: end, size: 63 mm}";
        depth_factor: "The factor of BS EN 12056-3 for its depth.", "what it carries", "needed for shapes but half-round", "0.9";
        shape_factor: "The factor of BS EN 12056-3 for its shape.", "what it carries", "needed for trapezoidal gutters", "0.95";
        carries: "What its maker says that it carries.", "stands in place of the working", "it is worked", "1.1 l/s";
    }
    RawGutterOutlet {
        at: "Whether it stands at an end or in the middle; of several the first and the last at the ends, or each in the middle of its part.", "the middle drains both halves", "end", "middle";
        count: "How many outlets the gutter has, at equal distances.", "how far water runs to each, and how much comes to it; downpipes that are lengthened", "one", "2";
        size: "The diameter of the outlet.", "what the outlet takes", "the outlet is not checked", "63 mm";
        head: "How deep water stands over it.", "what the outlet takes", "it follows from the gutter", "35 mm";
        strainer: "Whether a strainer or leaf guard stands over it.", "it takes half", "no", "yes";
    }
    RawWallAbove {
        area: "The face of the wall over the roof, up to its eaves.", "half of it counts as roof for the rain", "", "";
    }
    RawRoofAbove {
        area: "Its area on plan.", "the rain that comes onto this roof", "", "";
        pitch: "How steep it is.", "how much of driving rain it takes up", "", "";
    }
    RawBuildUp {
        kind: "Whether the insulation lies over the deck (warm) or between the joists (cold).", "what is laid and checked", "", "";
        work: "Whether the Regulations count it as a new roof or a renovated one.", "the U-value that must be met", "", "";
        ceiling: "What is under the joists, from the room upward.", "U-value", "12.5 mm of plasterboard", "[{name: plasterboard, thickness: 12.5 mm, lambda: 0.21 W/mK}]";
        joists: "The joists as heat sees them.", "U-value", "", "";
        deck: "The deck as heat sees it.", "U-value", "the board of `deck`; a kept one counts as 18 mm of timber board", "{name: plywood, thickness: 18 mm, lambda: 0.13 W/mK}";
        vapour: "The roll of the vapour layer.", "rolls to order, laps, hours", "a warm roof without one is warned of", "{roll_width: 2 m, roll_length: 25 m}";
        insulation: "The insulation over the deck.", "boards to order, U-value, screws, edge timbers", "needed in a warm roof", "{board: pir-120}";
        overlay: "The board over the insulation that the laminate is laid on.", "boards and screws", "needed in a warm roof", "osb3-18";
        void: "Clear void over the insulation of a cold roof.", "the check that it is aired", "the check is left open", "50 mm";
        vent_gap: "The gap by which that void is aired at two opposite sides.", "vents, and the check", "the check is left open", "25 mm";
        existing: "The roof as it is now, and how much of it is renovated.", "whether the Regulations ask for more", "it is not judged", "{u_value: 0.8 W/m2K}";
    }
    RawExisting {
        u_value: "Its U-value now.", "whether it must be improved", "", "";
        of_roof: "How much of the roof is renovated.", "whether it must be improved", "all of it", "100 %";
        of_envelope: "How much that is of the building's whole outside.", "whether it must be improved", "it is not judged by that", "10 %";
    }
    RawSheet {
        name: "What it is.", "the working of the U-value", "", "";
        thickness: "How thick it is.", "U-value", "", "";
        lambda: "Its conductivity, from the data sheet.", "U-value", "", "";
    }
    RawJoistDetail {
        breadth: "How broad a joist is.", "U-value", "", "";
        depth: "How deep it is.", "U-value, length of screws", "", "";
        fraction: "The part of the ceiling that is joist.", "U-value", "it follows from breadth and spacing", "0.12";
        lambda: "Conductivity of the timber.", "U-value", "that of softwood", "0.13 W/mK";
        between: "What lies between the joists.", "U-value, dew point", "air", "{name: mineral wool, thickness: 100 mm, lambda: 0.035 W/mK}";
    }
    RawInsulation {
        board: "The board, by the name of its role in the price book.", "boards to order", "", "";
        name: "What it is called.", "quote and working", "its description in the price book", "rigid foam";
        thickness: "How thick the boards are.", "U-value, edge timbers, screws", "that of the price book", "120 mm";
        lambda: "How well the boards conduct heat.", "U-value", "that of the price book", "0.022 W/mK";
        length: "How long a board is.", "how boards are laid out", "that of the price book", "2.4 m";
        width: "How wide a board is.", "how boards are laid out", "that of the price book", "1.2 m";
        density: "What a cubic metre of it weighs.", "mass on the joists", "that of the price book", "32 kg/m3";
    }
    RawVapour {
        roll_width: "Width of the roll.", "laps and rolls to order", "", "";
        roll_length: "Length of the roll.", "rolls to order", "", "";
    }
}
