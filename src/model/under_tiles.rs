//! An edge where the flat roof goes in under the tiles or slates of a roof above: what lies there, and how much is lifted.
//!
//! Given the word of the job file and what was measured; gives the words of the documents and the courses that must come
//! off. The gauge (from one batten to the next) and the cover (how wide one tile shows) count courses and pieces: where
//! they were not measured, those of the usual size are taken and told. Sizes are from memory of makers' tables and of
//! BS 5534: 60 plain tiles, 10 interlocking tiles and 20 slates of 500 × 250 mm to the square metre.

use super::by::By;
use super::units::Length;
use crate::geometry::slope;

/// What lies on the pitched roof above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PitchedCovering {
    /// Small flat tiles, two thick everywhere.
    PlainTiles,
    /// Large tiles, each locked into the next.
    InterlockingTiles,
    /// Slates, natural or man-made.
    Slates,
}

impl PitchedCovering {
    /// Every kind.
    pub const ALL: [PitchedCovering; 3] =
        [PitchedCovering::PlainTiles, PitchedCovering::InterlockingTiles, PitchedCovering::Slates];

    /// The word of the job file, and what several of them are called.
    pub const fn words(self) -> &'static str {
        match self {
            PitchedCovering::PlainTiles => "plain tiles",
            PitchedCovering::InterlockingTiles => "interlocking tiles",
            PitchedCovering::Slates => "slates",
        }
    }

    /// The word of the price book.
    pub const fn role(self) -> &'static str {
        match self {
            PitchedCovering::PlainTiles => "plain",
            PitchedCovering::InterlockingTiles => "interlocking",
            PitchedCovering::Slates => "slate",
        }
    }

    /// How many courses of it, of those that are lifted, no nail reaches: the holes of the top course of slates lie under the
    /// course above it, which stays (common practice, no source).
    pub const fn hung_courses(self) -> u32 {
        match self {
            PitchedCovering::PlainTiles | PitchedCovering::InterlockingTiles => 0,
            PitchedCovering::Slates => 1,
        }
    }

    /// The usual gauge: from one batten to the next, up the slope.
    pub const fn gauge(self) -> Length {
        match self {
            PitchedCovering::PlainTiles => Length::mm(100),
            PitchedCovering::InterlockingTiles => Length::mm(345),
            PitchedCovering::Slates => Length::mm(200),
        }
    }

    /// The usual cover: how much of the edge's length one of them takes.
    pub const fn cover(self) -> Length {
        match self {
            PitchedCovering::PlainTiles => Length::mm(165),
            PitchedCovering::InterlockingTiles => Length::mm(300),
            PitchedCovering::Slates => Length::mm(250),
        }
    }
}

/// How a roof is tied in under what lies above one of its edges.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UnderTiles {
    /// What lies there.
    pub covering: PitchedCovering,
    /// From one batten to the next, up the slope.
    pub gauge: Length,
    /// How much of the edge's length one tile or slate takes.
    pub cover: Length,
    /// The pitch of the roof above, degrees; `None` where nobody measured it.
    pub pitch: Option<u32>,
    /// How far up the slope the laminate is carried.
    pub up: Length,
    /// How many courses are lifted and laid again.
    pub courses: u32,
    /// How much higher than the old deck the new one meets the slope, where the edge begins and where it ends, in walking order;
    /// nothing where it lies no higher.
    pub rises: [Length; 2],
    /// Who lifts them and lays them again.
    pub by: By,
}

impl UnderTiles {
    /// The pitch that is taken where nobody measured it, degrees (common practice, no source).
    pub const TAKEN_PITCH: u32 = 35;
    /// A rise that nobody measures any closer, and that a tilting fillet takes up (common practice, no source).
    pub const SLIGHT_RISE: Length = Length::mm(20);

    /// The fewest courses that must come off: from where the old deck met the slope up to the top of the underlay that laps over
    /// the laminate, and those over it that hold its top edge down.
    pub fn courses_needed(&self, (underlay_lap, over): (Length, u32)) -> u32 {
        let open = (self.further_up() + self.up + underlay_lap).pieces_of(self.gauge);
        u32::try_from(open).unwrap_or(0) + over
    }

    /// How much higher than the old deck the new one meets the slope at the end where that is most.
    pub fn rise(&self) -> Length {
        self.rises[0].max(self.rises[1])
    }

    /// Whether its two ends come up by what nobody tells apart: within 5 mm (common practice, no source).
    pub fn rises_alike(&self) -> bool {
        self.rise() - self.rises[0].min(self.rises[1]) <= Length::mm(5)
    }

    /// How much further up the slope the new deck meets it than the old one did, at the end where that is most.
    pub fn further_up(&self) -> Length {
        self.up_by(self.rise())
    }

    /// How much further back, measured level.
    pub fn further_back(&self) -> Length {
        self.back_by(self.rise())
    }

    /// How much further up the slope a deck meets it that comes up so much.
    pub fn up_by(&self, rise: Length) -> Length {
        if rise > Length::ZERO { slope::along(rise, self.drawn_pitch()) } else { Length::ZERO }
    }

    /// How much further back, measured level.
    pub fn back_by(&self, rise: Length) -> Length {
        if rise > Length::ZERO { slope::level(rise, self.drawn_pitch()) } else { Length::ZERO }
    }

    /// The pitch as it was measured, or as it is taken.
    pub fn drawn_pitch(&self) -> u32 {
        self.pitch.unwrap_or(Self::TAKEN_PITCH)
    }

    /// How many tiles or slates lie along so much of the edge, in one course.
    pub fn in_a_course(&self, run: Length) -> i64 {
        run.pieces_of(self.cover)
    }
}
