//! A job as it was accepted: its file with the chosen options made and the total fixed, as a file of its own.
//!
//! Given the outline of a job that stands and what was chosen; gives the text of a job file. What was chosen of the optional
//! extras stands in the price from then on, what was not is gone, and so are options and photographs: nothing is left to
//! choose. Every value stays as it was written; comments do not.

use super::options;
use crate::job_file::loaded::Loaded;
use crate::job_file::read::tree::Tree;
use crate::job_file::read::written::scalar;
use crate::model::Problem;
use crate::pricing::Money;
use std::fmt::Write as _;
use time::Date;

/// What was chosen of a job.
#[derive(Debug, Clone, Default)]
pub struct ChosenParts<'a> {
    /// Options by their places in the job, from 0.
    pub options: &'a [usize],
    /// Optional extras by their names.
    pub extras: &'a [String],
    /// The total with VAT that was agreed; `None` where the job's own price holds.
    pub agreed: Option<Money>,
    /// The date of the quote.
    pub date: Option<Date>,
}

/// The text of the job file of a job as it was accepted.
///
/// # Errors
/// Choices that cannot be made together.
pub fn accepted(loaded: &Loaded, choice: &ChosenParts<'_>) -> Result<String, Vec<Problem>> {
    let tree = loaded.sources.job.places.as_ref().map_or(Tree::Empty, |places| places.tree(0));
    let mut chosen = choice.options.to_vec();
    // An option is made after what it needs: that needs fewer than it does itself.
    chosen.sort_by_key(|&n| (loaded.options.get(n).map_or(0, |option| option.needs.len()), n));
    let mut job = options::with_changes(&tree, &chosen)?;
    if let Tree::Group(settings) = &mut job {
        settings.retain(|(key, _)| key != "photos");
        settings
            .iter_mut()
            .filter(|(key, _)| key == "extras")
            .for_each(|(_, extras)| take_extras(extras, choice.extras));
        settings.retain(|(key, value)| key != "extras" || *value != Tree::List(Vec::new()));
        if let Some(date) = choice.date {
            set(settings, "prepared", date.to_string());
        }
        if let Some(total) = choice.agreed {
            fix_price(settings, total);
        }
    }
    let mut text = String::new();
    write_group(&mut text, &job, 0);
    Ok(text)
}

/// The total takes the place of a discount or of another total; a margin of the job's own stays, and what is kept back.
fn fix_price(settings: &mut Vec<(String, Tree)>, total: Money) {
    let of_price = |tree: Tree| match tree {
        Tree::Group(price) => {
            price.into_iter().filter(|(key, _)| matches!(key.as_str(), "margin" | "markup" | "retention")).collect()
        }
        _ => Vec::new(),
    };
    let at = settings.iter().position(|(key, _)| key == "price");
    let mut price = at.map_or_else(Vec::new, |at| of_price(settings.remove(at).1));
    price.push(("agreed".to_owned(), Tree::Text(total.as_pounds().to_string())));
    settings.push(("price".to_owned(), Tree::Group(price)));
}

fn set(settings: &mut Vec<(String, Tree)>, key: &str, value: String) {
    match settings.iter_mut().find(|(k, _)| k == key) {
        Some((_, old)) => *old = Tree::Text(value),
        None => settings.push((key.to_owned(), Tree::Text(value))),
    }
}

fn take_extras(extras: &mut Tree, chosen: &[String]) {
    let Tree::List(extras) = extras else { return };
    let is_optional = |extra: &Tree| match extra.get("optional") {
        Some(Tree::Text(word)) => word != "no",
        _ => false,
    };
    let is_chosen = |extra: &Tree| matches!(extra.get("item"), Some(Tree::Text(name)) if chosen.contains(name));
    extras.retain(|extra| !is_optional(extra) || is_chosen(extra));
    for extra in extras {
        if let Tree::Group(settings) = extra {
            settings.retain(|(key, _)| key != "optional");
        }
    }
}

// ---- Writing -------------------------------------------------------------------------------------------------------

fn write_group(text: &mut String, tree: &Tree, depth: usize) {
    let Tree::Group(settings) = tree else { return };
    for (key, value) in settings {
        let _ = write!(text, "{:1$}{2}:", "", depth * 2, scalar(key));
        write_value(text, value, depth);
    }
}

fn write_value(text: &mut String, value: &Tree, depth: usize) {
    match value {
        Tree::Empty => text.push('\n'),
        Tree::Text(words) => {
            let _ = writeln!(text, " {}", scalar(words));
        }
        Tree::List(entries) if entries.is_empty() => text.push_str(" []\n"),
        Tree::Group(settings) if settings.is_empty() => text.push_str(" {}\n"),
        Tree::List(entries) => {
            text.push('\n');
            for entry in entries {
                let _ = write!(text, "{:1$}-", "", depth * 2 + 2);
                write_value(text, entry, depth + 1);
            }
        }
        Tree::Group(_) => {
            text.push('\n');
            write_group(text, value, depth + 1);
        }
    }
}
