//! One key for plans that stand together: it stands under the first of them and speaks for all.
//!
//! Given what each plan would say in its own key; gives what each plan's key says there.

/// What the key of a plan says: the parts of its kind of plan, each by its place among them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct KeyParts(u16);

impl KeyParts {
    /// The parts that are said, in their order.
    pub fn of(said: impl IntoIterator<Item = bool>) -> KeyParts {
        KeyParts(said.into_iter().enumerate().fold(0, |all, (place, said)| all | u16::from(said) << place))
    }

    /// These and those.
    #[must_use]
    pub const fn with(self, other: KeyParts) -> KeyParts {
        KeyParts(self.0 | other.0)
    }

    /// Those of some things whose parts are said, by their places.
    pub fn among<T: Copy>(self, all: &[T]) -> Vec<T> {
        let said = all.iter().enumerate().filter(|(place, _)| self.0 >> place & 1 == 1);
        said.map(|(_, one)| *one).collect()
    }
}

/// What stands in the key under a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PlanKey {
    /// What this plan needs.
    #[default]
    Own,
    /// What this plan and those after it need.
    OfAll(KeyParts),
    /// Nothing: it stands under a plan before, at the same scale.
    Before,
    /// The scale bar alone: the key stands under a plan before, at another scale.
    Scale,
}

impl PlanKey {
    /// What is said under a plan that would itself need these parts.
    pub fn parts(self, own: KeyParts) -> KeyParts {
        match self {
            PlanKey::Own => own,
            PlanKey::OfAll(all) => all,
            PlanKey::Before | PlanKey::Scale => KeyParts::default(),
        }
    }

    /// The same as lines, of all that the key of such a plan may say.
    pub fn notes(self, own: KeyParts, all: &[&str]) -> Vec<String> {
        self.parts(own).among(all).into_iter().map(str::to_owned).collect()
    }
}

/// The plans of one kind that stand together, some of which may not be drawn.
#[derive(Debug)]
pub struct PlanGroup {
    drawn: Vec<Option<KeyParts>>,
}

impl PlanGroup {
    /// Of each thing the parts of its plan's key; none where no plan of it is drawn.
    pub fn of<T>(all: &[T], key: impl Fn(&T) -> Option<KeyParts>) -> PlanGroup {
        PlanGroup { drawn: all.iter().map(key).collect() }
    }

    /// What the key of the plan of the thing at a place says.
    pub fn key(&self, place: usize) -> PlanKey {
        let first = self.drawn.iter().position(Option::is_some);
        match self.drawn.iter().flatten().count() {
            0 | 1 => PlanKey::Own,
            _ if first == Some(place) => {
                PlanKey::OfAll(self.drawn.iter().flatten().copied().fold(KeyParts::default(), KeyParts::with))
            }
            _ => PlanKey::Before,
        }
    }

    /// The same of every plan that is drawn at its scale, as 1 to so much, and of each thing that scale.
    pub fn keys_at(&self, scales: Vec<f64>) -> Vec<(f64, PlanKey)> {
        let seen = |place: usize| {
            let before = self.drawn.iter().zip(&scales).take(place);
            before.filter(|(drawn, _)| drawn.is_some()).any(|(_, of)| *of == scales[place])
        };
        let key = |place: usize| match self.key(place) {
            PlanKey::Before if !seen(place) => PlanKey::Scale,
            key => key,
        };
        (0..scales.len()).map(|place| (scales[place], key(place))).collect()
    }
}
