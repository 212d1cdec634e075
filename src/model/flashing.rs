//! The cover flashing at a wall: of which metal, or none.
//!
//! Given the word of the job file; gives the words of every document. No sentence is joined from a metal's name and the
//! word for a flashing: each kind has its own.

use super::{LineId, Role};

/// What covers the top of the fillet at a wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Flashing {
    /// Lead sheet.
    Lead,
    /// A sheet that is dressed like lead and has none in it.
    LeadFree,
    /// None is part of the work.
    None,
}

impl Flashing {
    /// Every kind.
    pub const ALL: [Flashing; 3] = [Flashing::Lead, Flashing::LeadFree, Flashing::None];

    /// The word of the job file.
    pub const fn key(self) -> &'static str {
        match self {
            Flashing::Lead => "lead",
            Flashing::LeadFree => "lead-free",
            Flashing::None => "none",
        }
    }

    /// What it is bought as; `None` where there is none.
    pub const fn role(self) -> Option<Role> {
        match self {
            Flashing::Lead => Some(Role::FlashingLead),
            Flashing::LeadFree => Some(Role::FlashingLeadFree),
            Flashing::None => None,
        }
    }

    /// The line of the take-off that asks for it; `None` where there is none.
    pub const fn line(self) -> Option<LineId> {
        match self {
            Flashing::Lead => Some(LineId::FlashingLength),
            Flashing::LeadFree => Some(LineId::FlashingLeadFree),
            Flashing::None => None,
        }
    }

    /// Whether anything is cut in.
    pub const fn is_cut_in(self) -> bool {
        !matches!(self, Flashing::None)
    }

    /// What it is called on a drawing and in a list of materials.
    pub const fn words(self) -> &'static str {
        match self {
            Flashing::Lead => "lead flashing",
            Flashing::LeadFree => "lead-free flashing",
            Flashing::None => "no new flashing",
        }
    }

    /// What the householder reads of a wall, as a clause.
    pub const fn at_a_wall(self) -> &'static str {
        match self {
            Flashing::Lead => "we cut a lead flashing into the wall to cover its top",
            Flashing::LeadFree => "we cut a lead-free flashing into the wall to cover its top",
            Flashing::None => {
                "no new flashing is part of this work: until the old one or another covers the top of the fillet, rain can \
                 get in behind it"
            }
        }
    }

    /// What the householder reads of a chimney, as a clause.
    pub const fn at_a_chimney(self) -> &'static str {
        match self {
            Flashing::Lead => "we cut a lead flashing into it all round",
            Flashing::LeadFree => "we cut a lead-free flashing into it all round",
            Flashing::None => "no new flashing is part of this work",
        }
    }
}
