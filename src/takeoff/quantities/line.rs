//! A line of the take-off, with its working, and the needs that are bought.
//!
//! Given measured lengths and named rules; gives a quantity that can be followed down to both. Quantities stay
//! unrounded until something is bought whole, and each rounding is a step of its own.

pub use crate::model::quantity::Unit;
use crate::model::{Length, LineId, Role};
use crate::works::WorkKind;
use rust_decimal::Decimal;

/// One step of a working. Read in order they lead from measured lengths to the line's quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// Something measured on the roof, or counted in the layout.
    Measured {
        /// What: `front run`, `boards in row 3`.
        what: String,
        /// How much.
        value: Decimal,
        /// In which unit.
        unit: Unit,
    },
    /// A rule of the firm, by its name in the firm file.
    Rule {
        /// `wall_gap`.
        name: &'static str,
        /// `25 mm`.
        value: String,
    },
    /// A formula with its numbers put in: `17.68 m2 × 0.45 kg/m2 × 3`.
    Formula {
        /// The formula, numbers and units included.
        formula: String,
        /// What it comes to.
        result: Decimal,
        /// In which unit.
        unit: Unit,
    },
    /// A rounding, named.
    Rounded {
        /// `up to whole boards`.
        how: String,
        /// What it comes to.
        result: Decimal,
        /// In which unit.
        unit: Unit,
    },
    /// A remark: a proof, a limit, a choice.
    Note(String),
}

/// One line of the take-off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Stable id.
    pub id: LineId,
    /// The work that it belongs to.
    pub work: WorkKind,
    /// What it is, in the trade's words.
    pub item: String,
    /// The roof's name; `None` where it is pooled over all roofs. An id is one or the other, never both.
    pub roof: Option<String>,
    /// How much, unrounded, in `unit`.
    pub quantity: Decimal,
    /// The unit.
    pub unit: Unit,
    /// How it was found. The last `Formula` or `Rounded` gives `quantity`.
    pub working: Vec<Step>,
}

impl Line {
    /// Whether the line gives hours to a work: its own; topcoat and laminate share the roof's area, and the face of an old laminate is
    /// washed before it is abraded.
    pub fn work_of(&self, kind: WorkKind) -> bool {
        let washed = self.id == LineId::RecoatFace && kind == WorkKind::WashOld;
        self.work == kind || self.id == LineId::RoofArea || washed
    }
}

/// How much of a need is for one work on one roof: weights, to be taken against their sum.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Share {
    /// The work.
    pub work: WorkKind,
    /// The roof's name; `None` where it is for the job as a whole.
    pub roof: Option<String>,
    /// The weight.
    pub weight: Decimal,
}

/// Something that must be bought: what the order covers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// The role.
    pub role: Role,
    /// The size asked for, where a role comes in sizes (the stock length of a trim, the diameter of a pipe).
    pub size: Option<Length>,
    /// How much, in the unit in which packs of this role say what they hold.
    pub quantity: Decimal,
    /// The ids of the lines that ask for it.
    pub lines: Vec<LineId>,
    /// The works that it is bought for, at least one.
    pub shares: Vec<Share>,
    /// Optional: offered on the order, not needed (a spare length).
    pub optional: bool,
    /// What a unit of it weighs, kg, where that follows from what it is cut to and not from the pack.
    pub weighs: Option<Decimal>,
}

impl Need {
    /// What some lines ask for as they stand; `None` where that is nothing. Their unit is the role's.
    pub fn of(role: Role, lines: &[&Line]) -> Option<Need> {
        let quantity: Decimal = lines.iter().map(|l| l.quantity).sum();
        let mut ids: Vec<LineId> = Vec::new();
        for line in lines.iter().filter(|l| l.quantity > Decimal::ZERO) {
            debug_assert_eq!(line.unit, role.unit(), "{} is bought as {role}", line.id);
            if !ids.contains(&line.id) {
                ids.push(line.id);
            }
        }
        let shares = shares(lines.iter().copied());
        (quantity > Decimal::ZERO).then_some(Need {
            role,
            size: None,
            quantity,
            lines: ids,
            shares,
            optional: false,
            weighs: None,
        })
    }

    /// The same need, of one size.
    pub fn sized(self, size: Option<Length>) -> Need {
        Need { size, ..self }
    }

    /// The same need, where what it is cut to weighs so much in all, kg.
    pub fn weighing(self, kg: Decimal) -> Need {
        Need { weighs: Some(kg / self.quantity), ..self }
    }

    /// The same need, shared otherwise.
    pub fn shared(self, shares: Vec<Share>) -> Need {
        Need { shares, ..self }
    }

    /// The unit: the role's.
    pub fn unit(&self) -> Unit {
        self.role.unit()
    }

    /// Whether two needs are bought as one.
    pub fn is_like(&self, other: &Need) -> bool {
        (&self.role, self.size, self.optional) == (&other.role, other.size, other.optional)
    }

    /// Takes up another need of the same role and size.
    pub fn take_up(&mut self, other: Need) {
        self.weighs = match (self.weighs, other.weighs) {
            (Some(a), Some(b)) => Some((a * self.quantity + b * other.quantity) / (self.quantity + other.quantity)),
            (a, b) => a.max(b),
        };
        self.quantity += other.quantity;
        let new: Vec<LineId> = other.lines.into_iter().filter(|id| !self.lines.contains(id)).collect();
        self.lines.extend(new);
        self.shares.extend(other.shares);
    }
}

/// Needs of one role and size put together, in the order in which they were first asked for; what comes to nothing is
/// left out.
pub fn pool(needs: impl IntoIterator<Item = Need>) -> Vec<Need> {
    let mut pooled: Vec<Need> = Vec::new();
    for need in needs.into_iter().filter(|n| n.quantity > Decimal::ZERO) {
        match pooled.iter_mut().find(|n| n.is_like(&need)) {
            Some(n) => n.take_up(need),
            None => pooled.push(need),
        }
    }
    pooled
}

/// The shares of some lines, each by its quantity.
pub fn shares<'a>(lines: impl Iterator<Item = &'a Line>) -> Vec<Share> {
    let share = |l: &Line| Share { work: l.work, roof: l.roof.clone(), weight: l.quantity };
    lines.filter(|l| l.quantity > Decimal::ZERO).map(share).collect()
}

/// The work that a line over the whole job belongs to where no roof is laid anew, by the lines of those whose laminate stays.
pub fn pooled_work(old: &[Line]) -> WorkKind {
    let patched = old.iter().any(|l| l.work == WorkKind::PatchLaminate);
    if patched { WorkKind::PatchLaminate } else { WorkKind::Recoat }
}
