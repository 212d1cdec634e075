//! Every line's working, worked again: formulas come to their results, roundings follow, and the last step is the
//! line's quantity.
//!
//! Given the lines as they are printed; gives the faults found. It reads the words of the formulas and nothing else.

use rust_decimal::Decimal;
use std::collections::BTreeMap;
use wetout::model::{LineId, Rules};
use wetout::takeoff::{Line, Step};

fn dec(text: &str) -> Decimal {
    text.parse().unwrap()
}

/// Units and counting words that may follow a number.
const UNITS: [&str; 15] =
    ["m", "m2", "kg", "m/m2", "kg/m2", "kg/m3", "l/m2", "m/l", "kg/l", "g/ml", "ml", "l", "each", "piece", "pieces"];

const SIGNS: [&str; 8] = ["+", "−", "×", "÷", "(", ")", "⌈", "⌉"];

/// Works a formula again: numbers with their units, `+ − × ÷`, brackets and `⌈ ⌉` (up to the next whole number), after
/// an optional label and a colon.
pub fn work(formula: &str) -> Result<Decimal, String> {
    let bare = formula.rsplit_once(": ").map_or(formula, |(_, f)| f);
    let spaced = ["(", ")", "⌈", "⌉"].iter().fold(bare.to_string(), |s, b| s.replace(b, &format!(" {b} ")));
    let known = |t: &&str| t.parse::<Decimal>().is_ok() || SIGNS.contains(t);
    let odd: Vec<&str> = spaced.split_whitespace().filter(|t| !known(t) && !UNITS.contains(t)).collect();
    if !odd.is_empty() {
        return Err(format!("{formula}: {odd:?} cannot be worked"));
    }
    let mut again = Again { left: spaced.split_whitespace().filter(known).rev().collect() };
    let result = again.sum()?;
    if again.left.is_empty() { Ok(result) } else { Err(format!("{formula}: {:?} is left", again.left)) }
}

struct Again<'a> {
    left: Vec<&'a str>,
}

impl Again<'_> {
    fn next_is(&mut self, signs: [&str; 2]) -> Option<bool> {
        let found = self.left.last().filter(|t| signs.contains(t)).map(|t| *t == signs[0]);
        if found.is_some() {
            self.left.pop();
        }
        found
    }

    fn sum(&mut self) -> Result<Decimal, String> {
        let mut total = self.product()?;
        while let Some(add) = self.next_is(["+", "−"]) {
            let term = self.product()?;
            total = if add { total + term } else { total - term };
        }
        Ok(total)
    }

    fn product(&mut self) -> Result<Decimal, String> {
        let mut total = self.factor()?;
        while let Some(times) = self.next_is(["×", "÷"]) {
            let factor = self.factor()?;
            total = if times { total * factor } else { total.checked_div(factor).ok_or("a division by nothing")? };
        }
        Ok(total)
    }

    fn factor(&mut self) -> Result<Decimal, String> {
        match self.left.pop() {
            Some(open @ ("(" | "⌈")) => {
                let inner = self.sum()?;
                let close = if open == "(" { ")" } else { "⌉" };
                if self.left.pop() != Some(close) {
                    return Err(format!("a bracket {open} is left open"));
                }
                Ok(if open == "(" { inner } else { inner.ceil() })
            }
            Some(number) => number.parse().map_err(|_| format!("{number} is no number")),
            None => Err("a number is missing".into()),
        }
    }
}

/// Everything that is wrong with the workings and the names of some lines.
pub fn faults(lines: &[Line]) -> Vec<String> {
    let mut found: Vec<String> = lines.iter().flat_map(faults_of).collect();
    let mut seen: BTreeMap<LineId, Vec<Option<&str>>> = BTreeMap::new();
    for l in lines {
        seen.entry(l.id).or_default().push(l.roof.as_deref());
    }
    for (id, roofs) in seen {
        let mut once = roofs.clone();
        once.sort_unstable();
        once.dedup();
        if once.len() < roofs.len() {
            found.push(format!("{id} stands twice for one roof"));
        }
        if roofs.contains(&None) && roofs.len() > 1 {
            found.push(format!("{id} is pooled and per roof"));
        }
    }
    found
}

fn faults_of(line: &Line) -> Vec<String> {
    let mut found = Vec::new();
    let mut last: Option<Decimal> = None;
    for step in &line.working {
        match step {
            Step::Formula { formula, result, .. } => {
                match work(formula) {
                    Ok(again) if (again - result).abs() < dec("0.000000001") => {}
                    Ok(again) => found.push(format!("{}: {formula} is {again}, not {result}", line.id)),
                    Err(words) => found.push(format!("{}: {words}", line.id)),
                }
                last = Some(*result);
            }
            Step::Rounded { how, result, .. } => {
                let before = last.unwrap_or_default();
                let least = how.strip_prefix("at least ").map(|w| dec(w.split(' ').next().unwrap()));
                let right = least.map_or(before.ceil(), |least| before.max(least));
                if last.is_none() || right != *result {
                    found.push(format!("{}: {before} {how} is {right}, not {result}", line.id));
                }
                last = Some(*result);
            }
            Step::Rule { name, .. } if !Rules::ABOUT.iter().any(|r| r.0 == *name) => {
                found.push(format!("{}: {name} is no rule of the firm", line.id));
            }
            Step::Rule { .. } | Step::Measured { .. } | Step::Note(_) => {}
        }
    }
    if last != Some(line.quantity) {
        found.push(format!("{}: the working ends at {last:?}, the line says {}", line.id, line.quantity));
    }
    if line.quantity <= Decimal::ZERO {
        found.push(format!("{} is a line for nothing", line.id));
    }
    if !line.id.to_string().chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '.') {
        found.push(format!("{} is no id", line.id));
    }
    if !line.item.starts_with(|c: char| c.is_uppercase()) {
        found.push(format!("{}: {} starts with a small letter", line.id, line.item));
    }
    found
}

#[test]
fn formulas_are_worked_as_anyone_would_work_them() {
    assert_eq!(work("strips 1 to 3: 3 × 5.32 m × 1 m"), Ok(dec("15.96")));
    assert_eq!(work("(5.2 m + 2 × 1 m) × (3.4 m − 0.4 m) ÷ 2"), Ok(dec("10.8")));
    assert_eq!(work("drip trim, 2 pieces of 2600 mm: 2 × (⌈2600 ÷ 150⌉ + 1)"), Ok(dec("38")));
    assert!(work("3 × 5 of something").is_err());
    assert!(work("3 × (5 + 2").is_err());
    assert!(work("3 ÷ 0").is_err());
}
