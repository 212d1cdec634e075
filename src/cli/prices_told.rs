//! What a merchant's new list does to the price book and to open quotes, in words and as JSON.
//!
//! Given a report; gives text. What moved most stands first.

use super::figures;
use super::open_jobs::OpenJob;
use super::price_update::{BookChange, UpdateReport};
use super::table::{Ranged, table};
use crate::model::words::{list, plural};
use crate::pricing::Money;
use crate::survey::{KnownBy, PricedRow, UnsureRow};
use serde_json::{Value, json};
use std::fmt::Write as _;
use time::Date;

/// So many rows that are new are shown in words; JSON has all of them.
const SHOWN: usize = 30;

/// The report in words.
pub(super) fn in_words(told: &UpdateReport<'_>, today: Date) -> String {
    let UpdateReport { update, dated, rows, .. } = told;
    let mut text = format!(
        "{} beside {}, {}: prices of {} in the place of those of {}\n",
        told.list.display(),
        told.book.display(),
        told.merchant,
        dated.1,
        dated.0
    );
    let (rose, fell): (Vec<_>, Vec<_>) = update.changes.iter().partition(|change| change.more() > Money::ZERO);
    changes(&mut text, told, "rose", rose);
    changes(&mut text, told, "fell", fell);
    changes(&mut text, told, "moved so much that a slip is likely, and not taken", update.slips.iter().collect());
    if !update.slips.is_empty() {
        let codes: Vec<String> =
            update.slips.iter().map(|slip| told.update.articles[slip.article].code.clone()).collect();
        let _ = writeln!(text, "ask the merchant; those that are right are taken with --take CODE: {}", list(&codes));
    }
    let _ = writeln!(text, "\n{} as they are", plural(update.same, "price stays", "prices stay"));
    beside_prices(&mut text, told);
    rows_told(&mut text, "not sure, and not taken", &update.matched.unsure);
    let new: Vec<String> =
        update.matched.new.iter().map(|new| format!("  {}: {}", rows.rows[new.row].place, new.line)).collect();
    if !new.is_empty() {
        let _ = writeln!(
            text,
            "\n{} new; to buy one, put its line below `articles:` of the price book, with `- ` before it:",
            plural(new.len(), "row is", "rows are")
        );
        new.iter().take(SHOWN).for_each(|line| text.push_str(&format!("{line}\n")));
        if new.len() > SHOWN {
            let _ = writeln!(text, "  and {} more, all of them with --json", new.len() - SHOWN);
        }
    }
    if update.matched.other > 0 {
        let others = plural(update.matched.other, "row is", "rows are");
        let _ = writeln!(text, "\n{others} of other things, that this program asks nobody for");
    }
    jobs(&mut text, told.jobs, today);
    if !told.writes {
        let _ = writeln!(text, "\nnothing is written; --write puts the new prices into {}", told.book.display());
    }
    text
}

/// What cannot be read, what the list does not have, what has no price of its own.
fn beside_prices(text: &mut String, told: &UpdateReport<'_>) {
    let update = told.update;
    let named = |article: usize| {
        let article = &update.articles[article];
        format!("  {}: {}, {}\n", article.code, article.description, article.pack)
    };
    if !update.unpriced.is_empty() {
        let _ = writeln!(
            text,
            "\n{} no price that can be read; the price book keeps its own:",
            plural(update.unpriced.len(), "row has", "rows have")
        );
        for (article, place, price) in &update.unpriced {
            let said = if price.is_empty() { "nothing stands there".to_owned() } else { format!("`{price}`") };
            let _ = writeln!(text, "  {place}: {}: {said}", update.articles[*article].code);
        }
    }
    if !update.without.is_empty() {
        let _ = writeln!(
            text,
            "\n{} no `price` in the price book, and none is put in; where the book names a `list`, put the new one in its place:",
            plural(update.without.len(), "article has", "articles have")
        );
        update.without.iter().for_each(|article| text.push_str(&named(*article)));
    }
    let recoded = recoded(told);
    if !recoded.is_empty() {
        let _ = writeln!(
            text,
            "\n{} another code in the list; orders go out with that of the price book, so look there and change it:",
            plural(recoded.len(), "article has", "articles have")
        );
        recoded.iter().for_each(|(_, before, code)| text.push_str(&format!("  {before}: {code} in the list\n")));
    }
    let asked = |article: &&usize| {
        let code = &update.articles[**article].code;
        !update.matched.unsure.iter().any(|row| row.guesses.contains(code))
    };
    let gone: Vec<&usize> = update.matched.gone.iter().filter(asked).collect();
    if !gone.is_empty() {
        let _ = writeln!(
            text,
            "\n{} not in the list, and kept in the price book:",
            plural(gone.len(), "article is", "articles are")
        );
        gone.into_iter().for_each(|article| text.push_str(&named(*article)));
    }
    let lower = update.changes.iter().filter(|change| update.articles[change.article].breaks);
    for change in lower {
        let code = &update.articles[change.article].code;
        let _ = writeln!(
            text,
            "{code} has lower prices from so many packs on (`breaks`), which stay as they are: look at them"
        );
    }
}

/// Articles that were known by other than their code, and have another one in the list: which, its code in the book and in the list.
fn recoded<'a>(told: &UpdateReport<'a>) -> Vec<(usize, &'a str, &'a str)> {
    let other = |priced: &'a PricedRow| {
        let (code, before) = (&told.rows.rows[priced.row].code, &told.update.articles[priced.article].code);
        let is = priced.by != KnownBy::Code && !code.is_empty() && code != before;
        is.then_some((priced.article, before.as_str(), code.as_str()))
    };
    told.update.matched.priced.iter().filter_map(other).collect()
}

fn changes(text: &mut String, told: &UpdateReport<'_>, what: &str, mut all: Vec<&BookChange>) {
    if all.is_empty() {
        return;
    }
    // What moved most in money first.
    let size = |change: &BookChange| change.more().as_pounds().abs();
    all.sort_by(|a, b| size(b).cmp(&size(a)).then(a.article.cmp(&b.article)));
    let columns = [
        ("code", Ranged::Left),
        ("what", Ranged::Left),
        ("pack", Ranged::Left),
        ("before", Ranged::Right),
        ("now", Ranged::Right),
        ("more", Ranged::Right),
        ("%", Ranged::Right),
        ("known by", Ranged::Left),
    ];
    let row = |change: &&BookChange| {
        let article = &told.update.articles[change.article];
        let note = match change.by {
            KnownBy::Words => "its words",
            KnownBy::Code => "its code",
            KnownBy::Answer => "your answer",
        };
        vec![
            article.code.clone(),
            article.description.clone(),
            article.pack.clone(),
            change.before.to_string(),
            change.after.to_string(),
            signed(change.more()),
            format!("{:+.1}", change.percent()),
            note.to_owned(),
        ]
    };
    let rows: Vec<Vec<String>> = all.iter().map(row).collect();
    let _ = write!(text, "\n{} {what}\n{}", plural(all.len(), "price", "prices"), table(&columns, &rows));
}

fn rows_told(text: &mut String, what: &str, rows: &[UnsureRow]) {
    if rows.is_empty() {
        return;
    }
    let _ = writeln!(text, "\n{} {what}:", plural(rows.len(), "row is", "rows are"));
    for row in rows {
        let guesses: Vec<String> = row.guesses.iter().map(|code| format!("`{code}`")).collect();
        let named: Vec<&str> = [&row.row.code, &row.row.description].into_iter().map(String::as_str).collect();
        let named: Vec<&str> = named.into_iter().filter(|part| !part.is_empty()).collect();
        let _ = writeln!(
            text,
            "  {}: {}: {}; it may be {}",
            row.row.place,
            named.join(", "),
            row.why,
            guesses.join(" or ")
        );
    }
}

fn jobs(text: &mut String, jobs: &[OpenJob], today: Date) {
    if jobs.is_empty() {
        text.push_str("\nno quote waits for an answer and no draft lies in the folder of the price book\n");
        return;
    }
    text.push_str("\nWhat it does to quotes that wait for an answer, and to drafts\n");
    let columns = [
        ("job", Ranged::Left),
        ("quote", Ranged::Left),
        ("stands until", Ranged::Left),
        ("quoted", Ranged::Right),
        ("price now", Ranged::Right),
        ("with the list", Ranged::Right),
        ("more", Ranged::Right),
        ("cost more", Ranged::Right),
    ];
    let row = |job: &OpenJob| {
        let (quote, until, quoted) = match &job.quote {
            None => ("draft".to_owned(), String::new(), String::new()),
            Some(quote) => {
                let lapsed = quote.until.is_some_and(|until| until < today);
                let until = quote.until.map(|until| until.to_string()).unwrap_or_default();
                (
                    format!("revision {}", quote.revision),
                    if lapsed { format!("{until} PAST") } else { until },
                    quote.total.clone(),
                )
            }
        };
        let sums = match &job.sums {
            Ok(sums) => [
                sums.total.0.to_string(),
                sums.total.1.to_string(),
                signed(sums.total.1 - sums.total.0),
                signed(sums.cost.1 - sums.cost.0),
            ],
            Err(_) => ["not priced", "", "", ""].map(str::to_owned),
        };
        [vec![job.job.clone(), quote, until, quoted], sums.to_vec()].concat()
    };
    text.push_str(&table(&columns, &jobs.iter().map(row).collect::<Vec<_>>()));
    for job in jobs {
        if let Err(why) = &job.sums {
            let _ = writeln!(text, "{} cannot be priced: {why}", job.job);
        }
    }
    let standing = |job: &&OpenJob| job.quote.as_ref().is_some_and(|q| q.until.is_none_or(|until| until >= today));
    let bound: Vec<&OpenJob> = jobs.iter().filter(standing).collect();
    let more: Money = bound.iter().filter_map(|job| job.sums.as_ref().ok()).map(|sums| sums.cost.1 - sums.cost.0).sum();
    if more > Money::ZERO {
        let quotes = plural(bound.len(), "quote that still stands", "quotes that still stand");
        let _ =
            writeln!(text, "what was quoted holds: of {quotes} the new prices take {} off what is left to you", more);
    }
}

fn signed(sum: Money) -> String {
    format!("{:+.2}", sum.as_pounds())
}

/// The report as JSON.
pub(super) fn as_json(told: &UpdateReport<'_>) -> String {
    let update = told.update;
    let sum = figures::money;
    let change = |change: &BookChange| {
        let by = match change.by {
            KnownBy::Code => "code",
            KnownBy::Words => "words",
            KnownBy::Answer => "answer",
        };
        json!({
            "code": update.articles[change.article].code, "role": update.articles[change.article].role, "place": change.place,
            "known_by": by, "before": sum(change.before), "after": sum(change.after), "more": sum(change.more()),
            "percent": figures::number(change.percent()),
        })
    };
    let codes =
        |articles: &[usize]| -> Vec<&str> { articles.iter().map(|n| update.articles[*n].code.as_str()).collect() };
    let unsure = |row: &UnsureRow| {
        json!({
            "place": row.row.place, "code": row.row.code, "description": row.row.description, "price": row.row.price,
            "why": row.why, "may_be": row.guesses,
        })
    };
    let job = |job: &OpenJob| {
        let sums = match &job.sums {
            Ok(sums) => json!({
                "total": sum(sums.total.0), "total_with_list": sum(sums.total.1), "cost": sum(sums.cost.0),
                "cost_with_list": sum(sums.cost.1),
            }),
            Err(why) => json!({ "not_priced": why }),
        };
        let quote = job.quote.as_ref().map(|quote| {
            json!({ "revision": quote.revision, "total": quote.total, "stands_until": quote.until.map(|d| d.to_string()) })
        });
        json!({ "job": job.job, "reference": job.reference, "quote": quote, "sums": sums })
    };
    let value: Value = json!({
        "list": told.list.display().to_string(),
        "book": told.book.display().to_string(),
        "merchant": told.merchant,
        "dated": { "before": told.dated.0.to_string(), "after": told.dated.1.to_string() },
        "columns": told.rows.headings,
        "changes": update.changes.iter().map(change).collect::<Vec<_>>(),
        "slips": update.slips.iter().map(change).collect::<Vec<_>>(),
        "same": update.same,
        "no_price": update.unpriced.iter().map(|(n, place, said)| json!({
            "code": update.articles[*n].code, "place": place, "said": said,
        })).collect::<Vec<_>>(),
        "without_price_in_book": codes(&update.without),
        "other_codes": recoded(told).iter().map(|(_, code, now)| json!({ "code": code, "in_list": now })).collect::<Vec<_>>(),
        "gone": codes(&update.matched.gone),
        "unsure": update.matched.unsure.iter().map(unsure).collect::<Vec<_>>(),
        "new": update.matched.new.iter().map(|new| json!({
            "place": told.rows.rows[new.row].place, "code": told.rows.rows[new.row].code, "article": new.line,
        })).collect::<Vec<_>>(),
        "other": update.matched.other,
        "jobs": told.jobs.iter().map(job).collect::<Vec<_>>(),
        "written": told.writes,
    });
    serde_json::to_string_pretty(&value).unwrap_or_default() + "\n"
}
