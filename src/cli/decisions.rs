//! What was noticed of a job, in groups by what a person decides next.
//!
//! Given notices; gives them under a heading for each decision, the gravest first, and how many there are in words. Within
//! a group they stand in the order of the files.

use super::told_once::ToldWords;
use crate::documents::wording;
use crate::job_file::Sources;
use crate::model::words::plural;
use crate::model::{Level, Problem, Warned};

/// What is to be decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Decision {
    Safety,
    Measuring,
    Building,
    Days,
    Money,
    Files,
    Known,
    Unsaid,
}

impl Decision {
    const ALL: [Decision; 8] = [
        Decision::Safety,
        Decision::Measuring,
        Decision::Building,
        Decision::Days,
        Decision::Money,
        Decision::Files,
        Decision::Known,
        Decision::Unsaid,
    ];

    fn heading(self) -> &'static str {
        match self {
            Decision::Safety => "Before anybody goes up there",
            Decision::Measuring => "Measure again, or be sure",
            Decision::Building => "Decide how it is built",
            Decision::Days => "Settle the days",
            Decision::Money => "Before the price goes out",
            Decision::Files => "Look at what is written",
            Decision::Known => "Known, and left so",
            Decision::Unsaid => "Not said, and taken so: say what is otherwise",
        }
    }

    fn of(notice: &Problem) -> Decision {
        match (notice.level, notice.warned) {
            (Level::Silenced, _) => Decision::Known,
            (Level::Assumed, _) => Decision::Unsaid,
            (_, Some(warned)) => of_warning(warned),
            (_, None) => Decision::Files,
        }
    }
}

fn of_warning(warned: Warned) -> Decision {
    match warned {
        Warned::Asbestos | Warned::Catalyst | Warned::Fire | Warned::Hazard | Warned::Height => Decision::Safety,
        Warned::Diagonal | Warned::UncheckedLength | Warned::ShortEdge | Warned::SmallSize => Decision::Measuring,
        Warned::Fall
        | Warned::Upstand
        | Warned::StandingWater
        | Warned::HighDrip
        | Warned::Overflow
        | Warned::Rainwater
        | Warned::Levels
        | Warned::GutterFigures
        | Warned::Heat
        | Warned::HeatFigures
        | Warned::Vapour
        | Warned::Ventilation
        | Warned::Board
        | Warned::ShortScrews
        | Warned::PipeOnJoist
        | Warned::ThinMat
        | Warned::Movement
        | Warned::WayOff
        | Warned::Flanges
        | Warned::CutPlan
        | Warned::ShortTrim
        | Warned::PatchEdge
        | Warned::LowFascia
        | Warned::OldLaminate => Decision::Building,
        Warned::Start | Warned::DayOff | Warned::Dates | Warned::Delivery | Warned::Weather => Decision::Days,
        Warned::OldPrices
        | Warned::Vat
        | Warned::VatNumber
        | Warned::Percentage
        | Warned::Margin
        | Warned::UnlikelyPrice
        | Warned::Labour
        | Warned::OldBoards
        | Warned::Rounding
        | Warned::IdleOption
        | Warned::Twice
        | Warned::OptionTotals
        | Warned::Split
        | Warned::NotSold
        | Warned::Pack
        | Warned::Unpinned
        | Warned::UseBy => Decision::Money,
        Warned::EmailAddress | Warned::Comment | Warned::Untold | Warned::Unmet | Warned::Copy => Decision::Files,
    }
}

/// The notices under their headings, then how many there are in each file.
pub(super) fn grouped(notices: &[Problem], sources: &Sources, colour: bool) -> ToldWords {
    let before = if notices.is_empty() { "" } else { "\n" };
    let groups = Decision::ALL.iter().fold(ToldWords::plain(before.to_owned()), |words, decision| {
        let of: Vec<Problem> = notices.iter().filter(|n| Decision::of(n) == *decision).cloned().collect();
        words.group(format!("{}\n\n", decision.heading()), of, sources, colour)
    });
    groups.counting(notices, sources)
}

/// `2 warnings to decide on, 3 things taken as not said`; nothing where there is nothing.
pub(super) fn in_words(notices: &[Problem]) -> String {
    let of = |level| notices.iter().filter(|n| n.level == level).count();
    let counts = [
        (of(Level::Warning), "warning to decide on", "warnings to decide on"),
        (of(Level::Silenced), "warning left as known", "warnings left as known"),
        (of(Level::Assumed), "thing that was not said", "things that were not said"),
    ];
    let said: Vec<String> = counts.iter().filter(|c| c.0 > 0).map(|(n, one, many)| plural(*n, one, many)).collect();
    wording::list(&said)
}
