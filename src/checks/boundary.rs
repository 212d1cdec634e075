//! Which class of fire exposure the roof covering must have, for its distance from the boundary.
//!
//! Given the distance; gives what the table of Approved Document B allows for each class, and what to ask of the
//! covering's own test certificate. A class is never worked out here: it belongs to a build-up as tested.

use super::finding::{CAUTION, Finding, Subject, Verdict, measured};
use crate::facts::{FACTS, Fact};
use crate::model::fire::RoofClass;
use crate::model::{Job, Length, Problem};
use crate::takeoff::quantities::line::{Step, Unit};

/// Source of the table and its notes.
pub const SOURCE: &str = "Approved Document B, volume 1 (dwellings), 2019 edition as amended, Table 12.1, cells from memory; BS EN 13501-5:2016, test t4";

/// A note to the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Note {
    /// Note (a).
    NoTerraceNorLarge,
    /// Note (b).
    SmallParts,
}

impl Note {
    /// Its words.
    pub fn words(self) -> String {
        match self {
            Note::NoTerraceNorLarge => {
                format!("not on terraces of three or more houses, nor on buildings over {}", FACTS.large_building)
            }
            Note::SmallParts => format!(
                "only as parts of at most {} each, at least {} apart, the roof between them of class A2-s3,d2 or better",
                FACTS.small_part, FACTS.part_spacing
            ),
        }
    }
}

/// What the table says for one class at one distance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Permission {
    /// Allowed.
    Yes,
    /// Allowed subject to notes.
    Subject(&'static [Note]),
    /// Not allowed.
    No,
}

const A: &[Note] = &[Note::NoTerraceNorLarge];
const AB: &[Note] = &[Note::NoTerraceNorLarge, Note::SmallParts];

/// The table's columns: at least so far from the boundary.
fn columns() -> [Length; 4] {
    let from = |fact: &Fact| Length::mm(fact.millimetres());
    [Length::ZERO, from(&FACTS.boundary_near), from(&FACTS.boundary_mid), from(&FACTS.boundary_far)]
}

/// Approved Document B volume 1 (2019), Table 12.1: cells from memory, notes as published.
pub fn permission(class: RoofClass, distance: Length) -> Permission {
    use Permission::{No, Subject, Yes};
    let column = columns().iter().rposition(|from| distance >= *from).unwrap_or(0);
    let row = match class {
        RoofClass::B => [Yes, Yes, Yes, Yes],
        RoofClass::C => [No, Yes, Yes, Yes],
        RoofClass::D => [No, Subject(AB), Subject(A), Yes],
        RoofClass::E => [No, Subject(AB), Subject(A), Subject(A)],
        RoofClass::F => [No, No, No, Subject(AB)],
    };
    row[column]
}

/// The worst class that is allowed without conditions at this distance.
pub fn wanted(distance: Length) -> RoofClass {
    let free = |class: &&RoofClass| permission(**class, distance) == Permission::Yes;
    RoofClass::ALL.iter().rfind(free).copied().unwrap_or(RoofClass::B)
}

/// Checks the class of the covering's certificate, where there is one, against the distance to the boundary.
///
/// # Errors
/// No distance: it is asked for by name.
pub fn check(distance: Option<Length>, certificate: Option<RoofClass>) -> Result<Finding, Problem> {
    let distance = distance.ok_or_else(|| {
        Problem::assumed(
            ["boundary"],
            "the distance to the boundary is not given, so that the fire class wanted of the covering cannot be told",
            "measure from the nearest edge of the roof to the boundary: `boundary: 1.2 m`",
        )
    })?;
    let (verdict, answer) = judged(certificate, distance);
    let working = vec![
        measured("distance to the boundary", distance.metres(), Unit::Metre),
        Step::Note(format!("classes at this distance: {}", table_words(distance))),
        Step::Note("no distance need be kept between the two houses of a semi-detached pair".into()),
    ];
    Ok(Finding {
        id: "fire.boundary".into(),
        kind: Subject::Fire,
        roof: None,
        subject: "fire and the boundary".into(),
        verdict,
        statement: format!(
            "At {} m from the boundary the covering must be of class {} against fire from outside. {answer}",
            distance.metres().normalize(),
            or_better(wanted(distance))
        ),
        design: "least distance of a roof from the boundary by its class".into(),
        source: SOURCE.into(),
        caution: CAUTION,
        working,
    })
}

/// `BROOF(t4)`, or `CROOF(t4) or better`.
fn or_better(class: RoofClass) -> String {
    match class {
        RoofClass::B => class.to_string(),
        worse => format!("{worse} or better"),
    }
}

/// The class that is to be asked for: a distance, new roofs, and no certificate yet.
pub fn asked_for(job: &Job) -> Option<String> {
    let is_open = job.roof_class.is_none() && !job.roofs.is_empty();
    job.boundary.filter(|_| is_open).map(|distance| or_better(wanted(distance)))
}

fn judged(certificate: Option<RoofClass>, distance: Length) -> (Verdict, String) {
    let Some(class) = certificate else {
        let ask = "The maker's test certificate for this build-up on this deck is needed first.";
        return (Verdict::Refer, ask.to_owned());
    };
    let defer = "The certificate must be for this build-up on this deck.";
    match permission(class, distance) {
        Permission::Yes => (Verdict::Pass, format!("The certificate says {class}, which is allowed. {defer}")),
        Permission::No => (Verdict::Fail, format!("The certificate says {class}, which is not allowed here.")),
        Permission::Subject(notes) => {
            (Verdict::Refer, format!("The certificate says {class}, which is allowed {}. {defer}", notes_words(notes)))
        }
    }
}

fn notes_words(notes: &[Note]) -> String {
    notes.iter().map(|n| n.words()).collect::<Vec<_>>().join(", and ")
}

/// The table's column for this distance.
fn table_words(distance: Length) -> String {
    let cell = |class: &RoofClass| match permission(*class, distance) {
        Permission::Yes => format!("{class} yes"),
        Permission::No => format!("{class} no"),
        Permission::Subject(notes) => format!("{class} {}", notes_words(notes)),
    };
    RoofClass::ALL.iter().map(cell).collect::<Vec<_>>().join("; ")
}
