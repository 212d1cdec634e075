//! What is said alike of many roofs, once for all of them.
//!
//! Given the words of each roof, filled from one template; gives the items of their lists that are the same of every roof, and
//! the words that each roof has besides.

use std::collections::BTreeSet;

/// What is said of more roofs than these stands once, where it is the same of all.
const FEW_ROOFS: usize = 3;
/// What begins an item of a list.
const ITEM: &str = "- ";

/// What is said of every roof alike, and what of each alone; nothing alike where there are but few roofs.
pub fn of(roofs: Vec<String>) -> (String, Vec<String>) {
    let [first, rest @ ..] = roofs.as_slice() else { return (String::new(), roofs) };
    if rest.len() < FEW_ROOFS {
        return (String::new(), roofs);
    }
    let others: Vec<BTreeSet<&str>> = rest.iter().map(|roof| items(roof).collect()).collect();
    let alike: Vec<&str> = items(first).filter(|item| others.iter().all(|other| other.contains(item))).collect();
    // A roof of which all is said already has nothing to stand beside its plan.
    if alike.is_empty() || roofs.iter().any(|roof| items(roof).count() == alike.len()) {
        return (String::new(), roofs);
    }
    let own = |roof: &String| roof.lines().filter(|line| !alike.contains(line)).collect::<Vec<_>>().join("\n");
    (alike.join("\n"), roofs.iter().map(own).collect())
}

/// The items of one line: those that no further line belongs to.
fn items(roof: &str) -> impl Iterator<Item = &str> {
    let next = roof.lines().skip(1).chain([""]);
    let ends = |line: &str| line.trim().is_empty() || line.starts_with(ITEM) || line.starts_with("```");
    roof.lines().zip(next).filter(move |(line, next)| line.starts_with(ITEM) && ends(next)).map(|(line, _)| line)
}
