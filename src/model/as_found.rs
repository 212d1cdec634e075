//! What may be so on one roof of a job and otherwise on the next: what comes off, asbestos, the weather, the flashing.
//!
//! Given by the job for all its roofs, and by a roof for itself alone; what a roof says of itself holds there.

use super::by::By;
use super::covering::Covering;
use super::tipping::Tipping;
use super::units::{Length, Range};

/// Yes, no, or nobody knows yet. Of several answers the last is the gravest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Answer {
    /// No.
    No,
    /// Yes.
    Yes,
    /// Not known; for asbestos this counts as yes.
    NotKnown,
}

/// The weather that the mix card and the go / no-go answer are worked for; `None` where it was not said.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Conditions {
    /// Air temperature, °C.
    pub air: Option<Range>,
    /// Relative humidity, %.
    pub humidity: Option<Range>,
    /// Surface temperature, °C.
    pub surface: Option<Range>,
    /// The coming night's low, °C.
    pub night_low: Option<Range>,
    /// Deck moisture, % by mass.
    pub moisture: Option<Range>,
    /// Hours until rain is forecast.
    pub dry_hours: Option<Range>,
}

impl Conditions {
    /// These, and what they do not say from others.
    pub fn or(&self, others: &Conditions) -> Conditions {
        Conditions {
            air: self.air.or(others.air),
            humidity: self.humidity.or(others.humidity),
            surface: self.surface.or(others.surface),
            night_low: self.night_low.or(others.night_low),
            moisture: self.moisture.or(others.moisture),
            dry_hours: self.dry_hours.or(others.dry_hours),
        }
    }
}

/// What comes off first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Strip {
    /// The old covering.
    pub covering: Covering,
    /// How it leaves the site.
    pub tip: Tipping,
    /// The boards under it; `None` where the job does not say.
    pub boards: Option<OldBoards>,
}

impl Strip {
    /// How thick the boards are that come off with the covering.
    pub fn boards_off(&self) -> Option<Length> {
        match self.boards {
            Some(OldBoards::Lifted(thickness)) => Some(thickness),
            Some(OldBoards::Bare) | None => None,
        }
    }
}

/// What becomes of the boards of an old deck that a new one takes the place of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OldBoards {
    /// There are none: the covering lies on bare joists, or others have lifted them.
    Bare,
    /// They are lifted, down to the joists; so thick.
    Lifted(Length),
}

/// What comes off one roof, where that is not what comes off all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OwnStrip {
    /// Nothing: there is no old covering, or it stays.
    Nothing,
    /// This.
    Strip(Box<Strip>),
}

/// What a roof says of itself; `None` where the job's answer holds.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RoofOwn {
    /// What comes off it.
    pub strip: Option<OwnStrip>,
    /// Whether asbestos may be there.
    pub asbestos: Option<Answer>,
    /// Who cuts its flashing in.
    pub flashing: Option<By>,
    /// Its weather; what is left out is the job's.
    pub conditions: Option<Conditions>,
}
