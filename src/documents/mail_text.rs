//! The message with which a document is sent: subject, plain text and HTML, from one template.
//!
//! Given the view of whoever it goes to, and the words; gives the three. The template's first line is a heading, which is the
//! subject; below it stand paragraphs and lists, and nothing else.

use super::account::{self, AccountView};
use super::handover::{self, HandoverView};
use super::invoice::{self, InvoiceView};
use super::paid_back::{self, BackView};
use super::receipt::{self, ReceiptView};
use super::variation::{self, VariationView};
use super::views::{OrderView, QuoteView};
use super::words::{Vocabulary, Words};
use super::{order, quote};
use crate::model::{Problem, Whereabouts};
use crate::pages::block::{Block, Span};
use std::collections::BTreeMap;

/// A message.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MailText {
    /// Its subject.
    pub subject: String,
    /// Its words, lines ended by line feeds.
    pub text: String,
    /// The same as HTML.
    pub html: String,
}

/// The message with which a quote goes to the customer.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn to_customer(view: &QuoteView<'_>, words: &Words) -> Result<MailText, Vec<Problem>> {
    filled("mail-quote.md", &quote::vocabulary(view, words)?, words)
}

/// The message with which an order goes to its merchant.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn to_merchant(view: &OrderView<'_>, words: &Words) -> Result<MailText, Vec<Problem>> {
    filled("mail-order.md", &order::vocabulary(view), words)
}

/// The message with which an invoice or a credit note goes to the customer.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn with_invoice(view: &InvoiceView<'_>, words: &Words) -> Result<MailText, Vec<Problem>> {
    filled("mail-invoice.md", &invoice::vocabulary(view), words)
}

/// The message with which a receipt goes to the customer.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn with_receipt(view: &ReceiptView<'_>, words: &Words) -> Result<MailText, Vec<Problem>> {
    filled("mail-receipt.md", &receipt::vocabulary(view), words)
}

/// The message with which the paper of what goes back of payments goes to the customer.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn with_paid_back(view: &BackView<'_>, words: &Words) -> Result<MailText, Vec<Problem>> {
    filled("mail-paid-back.md", &paid_back::vocabulary(view), words)
}

/// The message with which a statement of account goes to the customer.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn with_account(view: &AccountView<'_>, words: &Words) -> Result<MailText, Vec<Problem>> {
    filled("mail-account.md", &account::vocabulary(view), words)
}

/// The message with which what was handed over goes to the customer.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn with_handover(view: &HandoverView<'_>, words: &Words) -> Result<MailText, Vec<Problem>> {
    filled("mail-handover.md", &handover::vocabulary(view), words)
}

/// The message with which a variation order goes to the customer.
///
/// # Errors
/// Whatever is wrong with the template.
pub fn with_variation(view: &VariationView<'_>, words: &Words) -> Result<MailText, Vec<Problem>> {
    filled("mail-variation.md", &variation::vocabulary(view), words)
}

fn filled(template: &str, vocabulary: &Vocabulary, words: &Words) -> Result<MailText, Vec<Problem>> {
    let blocks = words.blocks(template, vocabulary, &BTreeMap::new())?;
    let astray = |fault: &str, cure: &str| {
        let problem = Problem::fault(Whereabouts::WholeFile, format!("`{template}` {fault}"), cure);
        vec![problem.within(words.source(template))]
    };
    let Some((Block::Heading { text: subject, .. }, rest)) = blocks.split_first() else {
        return Err(astray("has no subject", "begin it with a heading, such as `# Your quote {{ job_reference }}`"));
    };
    let mut made = MailText { subject: in_one_line(&plain(subject)), text: String::new(), html: String::new() };
    for block in rest {
        match block {
            Block::Paragraph(spans) => {
                made.text += &format!("{}\n\n", plain(spans));
                made.html += &format!("<p>{}</p>\n", marked(spans));
            }
            Block::List { items, .. } => made.list(items),
            _ => {
                let cure = "a message has a heading, paragraphs and lists; tables and pictures stand in the document that it sends";
                return Err(astray("holds more than a message can", cure));
            }
        }
    }
    made.text = format!("{}\n", made.text.trim_end());
    made.html = format!("<html><body>\n{}</body></html>\n", made.html);
    Ok(made)
}

impl MailText {
    fn list(&mut self, items: &[Vec<Block>]) {
        self.html += "<ul>\n";
        for spans in items.iter().flatten().filter_map(|block| match block {
            Block::Paragraph(spans) => Some(spans),
            _ => None,
        }) {
            self.text += &format!("- {}\n", plain(spans));
            self.html += &format!("<li>{}</li>\n", marked(spans));
        }
        self.text.push('\n');
        self.html += "</ul>\n";
    }
}

/// No line of the head of a message is longer than 998 octets (RFC 5322, 2.1.1), and nobody reads a subject of half of that.
const LONGEST_SUBJECT: usize = 200;

/// A subject has no line of its own within it: what follows a break would be read as another field of the head.
fn in_one_line(text: &str) -> String {
    let words: Vec<&str> =
        text.split(|c: char| c.is_whitespace() || c.is_control()).filter(|w| !w.is_empty()).collect();
    let line = words.join(" ");
    match line.chars().count() > LONGEST_SUBJECT {
        true => line.chars().take(LONGEST_SUBJECT).chain(['…']).collect(),
        false => line,
    }
}

/// Blanks that no line ends at are blanks in a message: programs break its lines where they like.
fn plain(spans: &[Span]) -> String {
    spans.iter().map(|span| span.text.as_str()).collect::<String>().replace('\u{a0}', " ")
}

fn marked(spans: &[Span]) -> String {
    let one = |span: &Span| {
        let text = escaped(&span.text);
        let text = if span.italic { format!("<em>{text}</em>") } else { text };
        let text = if span.bold { format!("<strong>{text}</strong>") } else { text };
        match &span.link {
            Some(target) => format!("<a href=\"{}\">{text}</a>", escaped(target)),
            None => text,
        }
    };
    spans.iter().map(one).collect()
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
