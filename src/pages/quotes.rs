//! Quotation marks and apostrophes as they are printed, from the straight ones that a keyboard has.
//!
//! Given the spans of a text in order; gives them with `'` and `"` turned to the marks that open or close. One after a figure
//! that nothing opened is a measure in feet or inches, and stays.

use std::borrow::Cow;

/// What was met so far of a text.
#[derive(Debug, Default)]
pub(super) struct Quotes {
    before: Option<char>,
    single: bool,
    double: bool,
}

/// A text with the marks that are printed.
pub(crate) fn curled(text: &str) -> Cow<'_, str> {
    Quotes::default().curled(text.into())
}

impl Quotes {
    /// The next span of the text.
    pub(super) fn curled<'a>(&mut self, text: Cow<'a, str>) -> Cow<'a, str> {
        if !text.contains(['\'', '"']) {
            self.before = text.chars().next_back().or(self.before);
            return text;
        }
        let mut curled = String::with_capacity(text.len() + 4);
        let mut rest = text.chars().peekable();
        while let Some(letter) = rest.next() {
            let shown = match letter {
                '\'' => self.single(rest.peek().copied()),
                '"' => self.double(),
                other => other,
            };
            curled.push(shown);
            self.before = Some(letter);
        }
        curled.into()
    }

    /// Whether what comes next stands at the beginning of a word.
    fn at_start(&self) -> bool {
        self.before.is_none_or(|before| before.is_whitespace() || "([{“‘\"'—–/-".contains(before))
    }

    fn after_figure(&self) -> bool {
        self.before.is_some_and(|before| before.is_ascii_digit())
    }

    fn single(&mut self, after: Option<char>) -> char {
        let word_follows = after.is_some_and(|after| !after.is_whitespace());
        match () {
            // A year without its century: '90s.
            () if self.at_start() && after.is_some_and(|after| after.is_ascii_digit()) => '’',
            () if self.at_start() && word_follows => {
                self.single = true;
                '‘'
            }
            () if self.after_figure() && !self.single && !after.is_some_and(char::is_alphabetic) => '\'',
            () => {
                self.single &= after.is_some_and(char::is_alphanumeric);
                '’'
            }
        }
    }

    fn double(&mut self) -> char {
        match () {
            () if self.at_start() && !self.double => {
                self.double = true;
                '“'
            }
            () if self.after_figure() && !self.double => '"',
            () => {
                self.double = false;
                '”'
            }
        }
    }
}
