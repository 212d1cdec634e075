//! Goods for one job alone: things that no rule counts, such as a fascia board or a rooflight.
//!
//! Given in the job file under `order_lines`; plain values. What the customer supplies is on no order and in no price.

use super::{Length, Role, SettingPath};
use rust_decimal::Decimal;

/// One of the lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Goods {
    /// Where it stands in the job file.
    pub path: SettingPath,
    /// What it is, as the customer and the crew read it.
    pub item: String,
    /// How many.
    pub count: u32,
    /// Where it comes from.
    pub supply: Supply,
    /// In which operation it is fitted; `None` where nobody said so.
    pub during: Option<During>,
    /// Hours of one person that fitting all of it takes; `None` where it takes no time of its own.
    pub hours: Option<Decimal>,
    /// The roof that it is for, by its name; `None` where it is for the whole job.
    pub roof: Option<String>,
}

/// The operation in which something beside the roof is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum During {
    /// With firrings and battens, before the deck.
    Prepare,
    /// With the boards.
    Deck,
    /// When the topcoat is hard.
    Finish,
}

/// An extra that stands in the price: what the crew has to do beside the roof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Promised {
    /// What it is, as customer and crew read it.
    pub title: String,
    /// In which operation it is done.
    pub during: During,
}

/// Words with which the roles of boards begin that are pinned along their length: `own.fascia-225`.
const PINNED: [&str; 2] = [FASCIA, "soffit"];
/// The first of them.
const FASCIA: &str = "fascia";
/// Words with which an extra begins that is the fitting of goods.
const FITTING: [&str; 8] = ["fix", "fixing", "fit", "fitting", "hang", "hanging", "install", "installation"];
/// Words that name nothing.
const SMALL_WORDS: [&str; 3] = ["of", "the", "a"];

impl Promised {
    /// Whether it is the fitting of these goods: `Fixing of the new fascia board` of `length of new fascia board, white`.
    pub fn fits(&self, goods: &Goods) -> bool {
        let (said, of) = (naming(&self.title), naming(&goods.item));
        match said.split_first() {
            Some((first, named)) => {
                FITTING.contains(&first.as_str()) && !named.is_empty() && named.iter().all(|word| of.contains(word))
            }
            None => false,
        }
    }
}

/// The words up to the first comma or bracket that name a thing, of one and of many alike.
fn naming(words: &str) -> Vec<String> {
    let name = first_words(words).to_lowercase();
    let words = name.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let words = words.filter(|word| !SMALL_WORDS.contains(word));
    words.map(|word| word.strip_suffix('s').unwrap_or(word).to_owned()).collect()
}

/// The words up to the first comma or bracket.
fn first_words(words: &str) -> &str {
    words.split([',', '(', ';']).next().unwrap_or_default().trim()
}

/// Where goods come from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Supply {
    /// From a merchant, by the firm: the role in the price books.
    Bought(Role),
    /// From the customer.
    Customer,
}

impl Goods {
    /// As a list names it: `white fascia board`, `2 × white fascia board`.
    pub fn title(&self) -> String {
        if self.count == 1 { self.item.clone() } else { format!("{} × {}", self.count, self.item) }
    }

    /// What it is, without its sizes: the words up to the first comma or bracket.
    pub fn name(&self) -> &str {
        first_words(&self.item)
    }

    /// In which operation the crew fits it: what the firm buys in the last, unless the job says another; what the customer
    /// supplies, where the job says so.
    pub const fn fitted(&self) -> Option<During> {
        match (self.during, &self.supply) {
            (None, Supply::Bought(_)) => Some(During::Finish),
            (said, _) => said,
        }
    }

    /// Whether it is a board that is pinned along its length, by the role that the firm buys it as: a fascia or a soffit.
    pub fn is_pinned(&self) -> bool {
        matches!(self.bought(), Some(Role::Own(key)) if PINNED.iter().any(|word| key.starts_with(word)))
    }

    /// Whether it is a fascia: by the role that the firm buys it as, or, where the customer supplies it, by its words.
    pub fn is_fascia(&self) -> bool {
        match self.bought() {
            Some(role) => matches!(role, Role::Own(key) if key.starts_with(FASCIA)),
            None => self.name().to_lowercase().contains(FASCIA),
        }
    }

    /// How high a fascia is, where its role says so: 225 mm of `own.fascia-225`.
    pub fn height(&self) -> Option<Length> {
        let Some(Role::Own(key)) = self.bought().filter(|_| self.is_fascia()) else { return None };
        let figure = key.split(|c: char| !c.is_ascii_digit()).find(|part| !part.is_empty())?;
        figure.parse().ok().map(Length::mm)
    }

    /// Whether its words name an edge: as they are written where a letter alone names it.
    pub fn names(&self, edge: &str) -> bool {
        let words = |text: &str| -> Vec<String> {
            let text = if edge.chars().count() == 1 { text.to_owned() } else { text.to_lowercase() };
            text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).map(str::to_owned).collect()
        };
        let (said, edge) = (words(&self.item), words(edge));
        !edge.is_empty() && said.windows(edge.len()).any(|some| some == edge)
    }

    /// Whether it is what stands on the kerb of an opening: it is called by that opening's name.
    pub fn stands_on(&self, opening: &str) -> bool {
        self.item.to_lowercase().contains(&opening.to_lowercase())
    }

    /// The role that the firm buys it as.
    pub const fn bought(&self) -> Option<&Role> {
        match &self.supply {
            Supply::Bought(role) => Some(role),
            Supply::Customer => None,
        }
    }
}
