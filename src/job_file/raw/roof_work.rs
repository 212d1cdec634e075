//! What is done on a roof, as a word: laid anew, repaired, topcoated; and what belongs to the other kind of roof.
//!
//! Given by the file; gives the word. A setting of the other kind of roof is refused by its name, with the reason, and never
//! passed over.

use crate::job_file::read::form::{Form, Formed};
use crate::job_file::read::reading::{At, FromFile, Slot};
use crate::job_file::read::scalars::choice;
use crate::model::old_roof::{OldTrim, RecoatKey};

/// What is done on a roof.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum RoofWork {
    /// It is laid anew.
    New,
    /// Its old laminate is patched.
    Repair,
    /// Its old laminate is topcoated anew.
    Topcoat,
    /// Both.
    RepairAndTopcoat,
}

impl RoofWork {
    /// Whether it has patches.
    pub(crate) const fn repairs(self) -> bool {
        matches!(self, RoofWork::Repair | RoofWork::RepairAndTopcoat)
    }

    /// Whether the whole of it is topcoated anew.
    pub(crate) const fn recoats(self) -> bool {
        matches!(self, RoofWork::Topcoat | RoofWork::RepairAndTopcoat)
    }
}

choice! {
    RoofWork = "what is done on a roof" { "new" => RoofWork::New, "repair" => RoofWork::Repair, "topcoat" => RoofWork::Topcoat, "repair and topcoat" => RoofWork::RepairAndTopcoat }
    TrimFaces = "what is done with the trims that stay" { "topcoat" => TrimFaces(true), "leave" => TrimFaces(false) }
    OldTrim = "what becomes of an old trim along a patch" { "stays" => OldTrim::Stays, "re-bed" => OldTrim::Bedded, "renew" => OldTrim::Renewed }
    RecoatKey = "how an old laminate is prepared" { "wipe" => RecoatKey::Wipe, "prime" => RecoatKey::Prime }
}

/// Whether the faces of trims are coated too.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct TrimFaces(pub bool);

/// A setting of a roof that is laid anew, where the old laminate stays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct NewRoofOnly;

impl FromFile for NewRoofOnly {
    fn read(at: At<'_>) -> Slot<NewRoofOnly> {
        let why = match at.key() {
            "fall" | "firrings" | "falls_to" => "the fall of an old laminate stays as it is",
            "deck" | "joists" => {
                "the deck under an old laminate stays; board is let in under a patch: `deck` of the patch"
            }
            "build_up" => "nothing is laid over or under an old laminate",
            "strip" | "asbestos" => "nothing is stripped where the old laminate stays",
            "flashing" => "the flashing of an old laminate stays",
            "outlet" | "outlets" => "outlets of an old laminate stay",
            _ => "where the old laminate stays nothing comes of it",
        };
        at.fault(
            format!("`{}` belongs to a roof that is laid anew: {why}", at.key()),
            "take it out, or write `work: new` and give the whole roof",
        );
        Slot::Bad
    }
}

impl Formed for NewRoofOnly {
    fn form() -> Form {
        Form::Refused
    }
}

/// A setting of a roof whose old laminate stays, where a roof is laid anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct OldRoofOnly;

impl FromFile for OldRoofOnly {
    fn read(at: At<'_>) -> Slot<OldRoofOnly> {
        at.fault(
            format!("`{}` belongs to a roof whose old laminate stays, and this one is laid anew", at.key()),
            "write `work: repair`, `work: topcoat` or `work: repair and topcoat` on this roof, or take it out",
        );
        Slot::Bad
    }
}

impl Formed for OldRoofOnly {
    fn form() -> Form {
        Form::Refused
    }
}
