//! Running text: characters become measured letters, letters become lines.
//!
//! Given spans and a width; gives lines whose widths are what the page will show. Breaks stand where Unicode's line
//! breaking rules (UAX #14) allow and `together` does not ask otherwise; a word longer than the line is broken anywhere.
//! Lines are chosen so that a paragraph takes as few as it can and their right-hand edge is as even as it can be.

use super::block::Span;
use super::fonts::{FACES, Face, Fonts, Glyph, Style};
use super::kept_texts::{KeptTexts, TextKey};
use super::page::{FaceRun, NodeId, Placed, Text};
use super::pictures::Gallery;
use super::quotes::Quotes;
use super::scene::Ink;
use super::unparted;
use crate::model::{Problem, Whereabouts, hands};
use std::borrow::Cow;
use std::cell::{OnceCell, RefCell};
use std::collections::BTreeMap;
use std::ops::{Deref, Range};
use std::rc::Rc;
use unicode_normalization::UnicodeNormalization;

/// The fonts that text is set in, what was measured in them, and what was found wrong while setting it.
#[derive(Debug, Default)]
pub struct Faults {
    /// The fonts.
    pub fonts: Fonts,
    missing: BTreeMap<char, String>,
    /// Texts that were measured: a document is laid out in several sizes.
    measured: BTreeMap<TextKey, Shaped>,
    /// The pictures that were read.
    pub(super) gallery: Gallery,
    /// Other faults: pictures that cannot be read.
    pub others: Vec<Problem>,
}

impl Faults {
    /// No faults yet, in some fonts.
    pub fn of(fonts: Fonts) -> Faults {
        Faults { fonts, ..Faults::default() }
    }

    /// The same for a document of whose pictures no more is read than their sizes.
    pub fn of_sizes(fonts: Fonts) -> Faults {
        Faults { fonts, gallery: Gallery::of_sizes(), ..Faults::default() }
    }

    /// The same for another size, with what was measured in the fonts and the characters that they lack, for no text is measured
    /// twice. Pictures are shown again, and told again where they cannot be.
    pub fn anew(self) -> Faults {
        Faults { others: Vec::new(), ..self }
    }

    fn note(&mut self, character: char, around: impl FnOnce() -> String) {
        self.missing.entry(character).or_insert_with(around);
    }

    /// Every fault, as problems.
    pub fn problems(&self) -> Vec<Problem> {
        let own = FACES.iter().any(|&face| self.fonts.is_own(face));
        let missing = self.missing.iter().map(|(&character, around)| missing_character(character, around, own));
        missing.chain(self.others.iter().cloned()).collect()
    }
}

fn missing_character(character: char, around: &str, own: bool) -> Problem {
    let code = u32::from(character);
    let shown = if character.is_control() { String::new() } else { format!(" “{character}”") };
    let kind = if character.is_control() { "control character" } else { "character" };
    Problem::fault(
        Whereabouts::WholeFile,
        format!("the {kind}{shown} (U+{code:04X}) in “{around}” cannot be printed: no font of the documents has it"),
        match own {
            true => "write it with other characters, leave it out, or use fonts of your own that have it",
            false => "write it with other characters, or leave it out",
        },
    )
    .about(character)
}

/// What may happen after a letter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum After {
    Stay,
    /// Only where the line could not hold it otherwise.
    AtNeed,
    May,
    Hyphen,
    Must,
}

#[derive(Debug, Clone, Copy)]
struct MeasuredLetter {
    shown: char,
    face: Face,
    id: u16,
    advance: i32,
    blank: bool,
    after: After,
    span: u32,
}

/// Text whose letters are known and measured. A copy of it is the same text: what was found out of one is known of all.
#[derive(Debug, Clone)]
pub struct Shaped(Rc<MeasuredText>);

/// The letters of a text with their measures.
#[derive(Debug)]
pub struct MeasuredText {
    letters: Vec<MeasuredLetter>,
    /// Where each letter starts, kerning included, in thousandths of the type size; one more for the end.
    starts: Vec<i32>,
    fonts: Fonts,
    /// Width of the longest line without other than hard breaks, and of the longest word, in thousandths.
    natural: OnceCell<i32>,
    longest_word: OnceCell<i32>,
    /// Where lines end whatever the width, but for the last.
    hard_ends: OnceCell<Vec<usize>>,
    /// Where lines may end in every width that holds its longest word.
    between_words: OnceCell<Vec<BreakPlace>>,
    /// The lines in each width, in thousandths, that was asked for.
    broken: RefCell<Vec<BrokenText>>,
}

/// Where a line may end and the next start, in thousandths from the text's beginning.
#[derive(Debug, Clone, Copy)]
struct BreakPlace {
    /// After so many letters.
    at: usize,
    /// Where a line's marks begin that starts here.
    left: i32,
    /// Where a line's marks end that ends here: without blanks, with its hyphen.
    right: i32,
    /// Whether a line that ends here parts a word.
    parts_a_word: bool,
}

type BrokenText = ((i32, Fit), Rc<[TextLine]>);

/// In no more widths than these are a text's lines kept.
const MOST_WIDTHS: usize = 32;

thread_local! {
    /// What a thread that makes many jobs measured for the documents before.
    static KEPT: RefCell<KeptTexts<Shaped>> = const { RefCell::new(KeptTexts::none()) };
}

impl Deref for Shaped {
    type Target = MeasuredText;

    fn deref(&self) -> &MeasuredText {
        &self.0
    }
}

/// One line: letters from `start` to `end`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TextLine {
    start: usize,
    end: usize,
    /// A hyphen is shown at its end.
    hyphen: bool,
    /// Another line of the same text follows.
    goes_on: bool,
    /// Its width in thousandths of the type size.
    pub width: i32,
}

/// How lines are chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// As a paragraph: the last line may be short.
    Paragraph,
    /// As a heading: all lines about as long as each other.
    Balanced,
}

/// Measures text. Faults are noted and the letter replaced, so that all of them are found.
pub fn shape(spans: &[Span], bold: bool, faults: &mut Faults) -> Shaped {
    let key = letters_and_styles(spans, bold);
    let key = (key.len(), key);
    if let Some(known) = faults.measured.get(&key) {
        return known.clone();
    }
    let is_one_of_many = !hands::are_free();
    let kept = if is_one_of_many { KEPT.with_borrow_mut(|kept| kept.known(&key)) } else { None };
    let shaped = kept.filter(|shaped| shaped.0.fonts.are(&faults.fonts)).unwrap_or_else(|| {
        let shaped = Shaped(Rc::new(measure(spans, bold, faults)));
        // What a font lacks is told of each document.
        if is_one_of_many && faults.missing.is_empty() {
            KEPT.with_borrow_mut(|kept| kept.keep(key.clone(), shaped.clone()));
        }
        shaped
    });
    faults.measured.insert(key, shaped.clone());
    shaped
}

/// What the measure of a text depends on. The marks after each span are control characters, which no font has.
fn letters_and_styles(spans: &[Span], bold: bool) -> String {
    let mut key = String::with_capacity(spans.iter().map(|s| s.text.len() + 1).sum());
    for span in spans {
        key.push_str(&span.text);
        key.push(match (bold || span.bold, span.italic) {
            (false, false) => '\u{1}',
            (false, true) => '\u{2}',
            (true, false) => '\u{3}',
            (true, true) => '\u{4}',
        });
    }
    key
}

fn measure(spans: &[Span], bold: bool, faults: &mut Faults) -> MeasuredText {
    let mut quotes = Quotes::default();
    let texts: Vec<Cow<'_, str>> = spans.iter().map(|span| quotes.curled(composed(&span.text))).collect();
    let whole: String = texts.iter().map(AsRef::as_ref).collect();
    let mut letters: Vec<MeasuredLetter> = Vec::with_capacity(whole.len());
    let mut breaks = unicode_linebreak::linebreaks(&whole).peekable();
    let mut offset = 0;
    for (number, span) in spans.iter().enumerate() {
        let style = Style { bold: bold || span.bold, italic: span.italic };
        for character in texts[number].chars() {
            let around = || words_around(&whole, offset);
            if let Some(letter) = letter(character, style, number, faults, around) {
                letters.push(letter);
            } else if character == '\u{ad}' {
                soft_hyphen(&mut letters);
            }
            offset += character.len_utf8();
            if let Some((_, kind)) = breaks.next_if(|&(place, _)| place == offset) {
                mark_break(&mut letters, character, kind, offset == whole.len());
            }
        }
    }
    keep_together(&mut letters);
    let starts = starts_of(&letters, &faults.fonts);
    MeasuredText {
        letters,
        starts,
        fonts: faults.fonts,
        natural: OnceCell::new(),
        longest_word: OnceCell::new(),
        hard_ends: OnceCell::new(),
        between_words: OnceCell::new(),
        broken: RefCell::default(),
    }
}

/// Accents joined to their letters, as some keyboards leave them apart; line ends of one kind.
fn composed(text: &str) -> Cow<'_, str> {
    if text.chars().any(|letter| matches!(letter, '\u{300}'..='\u{36f}' | '\r')) {
        return text.replace("\r\n", "\n").nfc().collect::<String>().into();
    }
    text.into()
}

fn letter(
    character: char,
    style: Style,
    span: usize,
    faults: &mut Faults,
    around: impl FnOnce() -> String,
) -> Option<MeasuredLetter> {
    let drawn = match character {
        '\u{ad}' | '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{fe0e}' | '\u{fe0f}' | '\u{feff}' => return None,
        '\n' | '\u{a0}' | '\u{2000}'..='\u{200a}' | '\u{202f}' => ' ',
        '\u{2010}' | '\u{2011}' => '-',
        other => other,
    };
    let found = if drawn.is_control() { None } else { faults.fonts.glyph(style, drawn) };
    let glyph = found.or_else(|| {
        faults.note(character, around);
        faults.fonts.glyph(style, '?')
    })?;
    let line_end = character == '\n';
    Some(MeasuredLetter {
        shown: glyph.shown,
        face: glyph.face,
        id: glyph.id,
        advance: if line_end { 0 } else { glyph.advance },
        blank: line_end || character == ' ',
        after: After::Stay,
        span: span as u32,
    })
}

fn words_around(whole: &str, offset: usize) -> String {
    let before: String = whole[..offset].chars().rev().take(24).collect::<Vec<_>>().into_iter().rev().collect();
    let after: String = whole[offset..].chars().take(24).collect();
    format!("{before}{after}").chars().map(|c| if c.is_control() { ' ' } else { c }).collect::<String>().trim().into()
}

fn soft_hyphen(letters: &mut [MeasuredLetter]) {
    if let Some(last) = letters.last_mut()
        && !last.blank
    {
        last.after = After::Hyphen;
    }
}

fn mark_break(
    letters: &mut [MeasuredLetter],
    character: char,
    kind: unicode_linebreak::BreakOpportunity,
    at_end: bool,
) {
    let Some(last) = letters.last_mut() else { return };
    let mandatory = kind == unicode_linebreak::BreakOpportunity::Mandatory;
    last.after = match last.after {
        _ if at_end => After::Stay,
        _ if mandatory => After::Must,
        After::Hyphen if character == '\u{ad}' => After::Hyphen,
        _ => After::May,
    };
}

/// Takes away the breaks that [`unparted`] asks to be left out. Most words have no sign in them for which it would.
fn keep_together(letters: &mut [MeasuredLetter]) {
    let (mut before, mut start) = (0..0, 0);
    for place in 0..=letters.len() {
        if letters.get(place).is_some_and(|letter| !letter.blank) {
            continue;
        }
        let word = start..place;
        let has = |word: &Range<usize>, sign: fn(char) -> bool| letters[word.clone()].iter().any(|l| sign(l.shown));
        let text = |word: &Range<usize>| letters[word.clone()].iter().map(|letter| letter.shown).collect::<String>();
        let one = word.len() > 1 && has(&word, unparted::may_be_one) && unparted::is_one(&text(&word));
        // A letter of its own with the signs after it, as in `revision A,`.
        let lettered = || word.len() <= 3 && has(&word, |sign| sign.is_ascii_uppercase());
        // A title or an initial, as in `Mr P. Lisle`.
        let named = || (2..=5).contains(&before.len()) && letters[before.start].shown.is_ascii_uppercase();
        let figures = || has(&before, unparted::may_stay) || has(&word, unparted::may_stay) || lettered() || named();
        let stays = start > 1 && !word.is_empty() && figures() && unparted::stay(&text(&before), &text(&word));
        if one {
            letters[start..place - 1].iter_mut().for_each(keep);
        }
        if stays {
            keep(&mut letters[start - 1]);
        }
        before = word;
        start = place + 1;
    }
}

fn keep(letter: &mut MeasuredLetter) {
    if letter.after == After::May {
        letter.after = After::AtNeed;
    }
}

fn starts_of(letters: &[MeasuredLetter], fonts: &Fonts) -> Vec<i32> {
    let mut at = 0;
    let mut starts = Vec::with_capacity(letters.len() + 1);
    for (place, letter) in letters.iter().enumerate() {
        starts.push(at);
        at += letter.advance + letters.get(place + 1).map_or(0, |next| kern_between(letter, next, fonts));
    }
    starts.push(at);
    starts
}

fn kern_between(first: &MeasuredLetter, second: &MeasuredLetter, fonts: &Fonts) -> i32 {
    if first.face == second.face { fonts.kern(first.face, first.id, second.id) } else { 0 }
}

impl MeasuredText {
    /// Whether there is nothing to show.
    pub fn is_empty(&self) -> bool {
        self.letters.iter().all(|letter| letter.blank)
    }

    /// Which spans a line shows something of, in order, each once.
    pub fn spans_in(&self, line: TextLine) -> Vec<usize> {
        let mut spans: Vec<usize> = self.letters[line.start..line.end].iter().map(|l| l.span as usize).collect();
        spans.dedup();
        spans
    }

    /// Width of its longest line when nothing but a hard break ends a line, pt.
    pub fn natural_width(&self, size: f64) -> f64 {
        let width = *self.natural.get_or_init(|| self.widest(|after| after == After::Must));
        f64::from(width) * size / 1000.0
    }

    /// Width of its longest word, pt.
    pub fn longest_word(&self, size: f64) -> f64 {
        f64::from(self.longest_word_in_thousandths()) * size / 1000.0
    }

    fn longest_word_in_thousandths(&self) -> i32 {
        *self.longest_word.get_or_init(|| self.widest(ends_a_word))
    }

    fn widest(&self, ends: impl Fn(After) -> bool) -> i32 {
        let mut start = 0;
        let mut widest = 0;
        for (place, letter) in self.letters.iter().enumerate() {
            if ends(letter.after) || place + 1 == self.letters.len() {
                widest = widest.max(self.line(start, place + 1).width);
                start = place + 1;
            }
        }
        widest
    }

    /// The width of what follows the whole number in a figure: its point and decimals, its unit; `None` for what is no figure.
    pub fn after_point(&self, size: f64) -> Option<f64> {
        let shown = |letter: &MeasuredLetter| letter.shown;
        let sign = |c: char| c == '£' || c == '−' || c == '-' || c == '+' || c == ' ';
        let first = self.letters.iter().position(|letter| !sign(letter.shown))?;
        let whole = self.letters[first..].iter().map(shown).take_while(|c| c.is_ascii_digit() || *c == ',').count();
        let point = first + whole;
        let mut tail = self.letters[point..].iter().map(shown);
        let decimals = self.letters.get(point).is_some_and(|letter| letter.shown == '.');
        let rest = if decimals { tail.by_ref().skip(1).find(|c| !c.is_ascii_digit()) } else { None };
        let more = rest.is_some_and(|c| c.is_ascii_digit()) || tail.any(|c| c.is_ascii_digit() || c == '\n');
        let (Some(last), false) = (self.letters.len().checked_sub(1), whole == 0 || more) else { return None };
        let end = self.starts[last] + self.letters[last].advance;
        Some(f64::from((end - self.starts[point]).max(0)) * size / 1000.0)
    }

    /// The line of these letters, blanks at its end left out.
    fn line(&self, start: usize, end: usize) -> TextLine {
        let hyphen = end > start && self.letters[end - 1].after == After::Hyphen && end < self.letters.len();
        let mut last = end;
        while last > start && self.letters[last - 1].blank {
            last -= 1;
        }
        let mut width = match last.checked_sub(1) {
            Some(place) if last > start => self.starts[place] + self.letters[place].advance - self.starts[start],
            _ => 0,
        };
        if hyphen {
            width += self.hyphen(last - 1).map_or(0, |glyph| glyph.advance);
        }
        TextLine { start, end: last, hyphen, goes_on: false, width }
    }

    fn hyphen(&self, place: usize) -> Option<Glyph> {
        let face = self.letters[place].face;
        self.fonts.glyph(Style { bold: face == Face::Bold, italic: face == Face::Italic }, '-')
    }

    /// Breaks the text into lines no wider than `width` pt at this type size. Nothing to show gives no line.
    pub fn lines(&self, size: f64, width: f64, fit: Fit) -> Rc<[TextLine]> {
        let limit = limit_of(size, width);
        let mut broken = self.broken.borrow_mut();
        match broken.iter().find(|(asked, _)| *asked == (limit, fit)) {
            Some((_, lines)) => lines.clone(),
            None => {
                let lines: Rc<[TextLine]> = self.break_lines(limit, fit).into();
                if broken.len() >= MOST_WIDTHS {
                    broken.clear();
                }
                broken.push(((limit, fit), lines.clone()));
                lines
            }
        }
    }

    /// The lines of a paragraph of which the first so many have a width of their own; none where a line ends by itself, or
    /// where fewer than two of its own would follow.
    pub fn lines_of_two_widths(&self, size: f64, (first, narrow): (usize, f64), wide: f64) -> Option<Vec<TextLine>> {
        let by_itself = self.letters.iter().any(|letter| letter.after == After::Must);
        let narrow = self.lines(size, narrow, Fit::Paragraph);
        // A line alone would look lost below a drawing: with its own lines it stands beside it.
        let rest = narrow.get(first).filter(|_| !by_itself && narrow.len() > first + 1)?.start;
        let limit = limit_of(size, wide);
        let mut lines = narrow[..first].to_vec();
        self.break_stretch(rest, self.letters.len(), limit, Fit::Paragraph, &mut lines);
        if let Some((_, before)) = lines.split_last_mut() {
            before.iter_mut().for_each(|line| line.goes_on = true);
        }
        (lines.len() > first).then_some(lines)
    }

    /// How many lines of a paragraph could have held what follows up to the next place for a break, and how many lines have
    /// another after them.
    pub fn ending_early(&self, size: f64, width: f64) -> (usize, usize) {
        let limit = limit_of(size, width);
        let lines = self.lines(size, width, Fit::Paragraph);
        let early = |two: &&[TextLine]| {
            let ends = |place: &usize| matches!(self.letters[*place].after, After::May | After::Must | After::Hyphen);
            let next = (two[1].start..self.letters.len()).find(ends).map_or(self.letters.len(), |place| place + 1);
            self.line(two[0].start, next).width <= limit
        };
        (lines.windows(2).filter(early).count(), lines.len().saturating_sub(1))
    }

    fn break_lines(&self, limit: i32, fit: Fit) -> Vec<TextLine> {
        if self.is_empty() {
            return Vec::new();
        }
        let mut lines = Vec::new();
        let mut start = 0;
        for end in 1..=self.letters.len() {
            if end == self.letters.len() || self.letters[end - 1].after == After::Must {
                self.break_stretch(start, end, limit, fit, &mut lines);
                start = end;
            }
        }
        if let Some((_, before)) = lines.split_last_mut() {
            before.iter_mut().for_each(|line| line.goes_on = true);
        }
        lines
    }

    /// Breaks one stretch without hard breaks: fewest lines first, then the evenest edge. Time grows with the number
    /// of places for a break times those in a line, never with their square.
    fn break_stretch(&self, start: usize, end: usize, limit: i32, fit: Fit, lines: &mut Vec<TextLine>) {
        let whole = self.line(start, end);
        if whole.width <= limit {
            lines.push(whole);
            return;
        }
        let places = self.break_places(start, end, limit);
        let mut best: Vec<(u32, f64, usize)> = Vec::with_capacity(places.len());
        best.push((0, 0.0, 0));
        for to in 1..places.len() {
            let mut chosen = (u32::MAX, f64::INFINITY, to - 1);
            let is_last = to + 1 == places.len();
            let parted = if places[to].parts_a_word { HYPHEN } else { 0.0 };
            for from in (0..to).rev() {
                let width = (places[to].right - places[from].left).max(0);
                if width > limit && from + 1 < to {
                    break;
                }
                let (count, cost, _) = best[from];
                // Whether the line could have held what follows it.
                let early = !is_last && fit == Fit::Paragraph && places[to + 1].right - places[from].left <= limit;
                let early = if early { EARLY } else { 0.0 };
                let candidate = (count + 1, cost + early + parted + unevenness(width, limit, is_last, fit), from);
                if (candidate.0, candidate.1) < (chosen.0, chosen.1) {
                    chosen = candidate;
                }
            }
            best.push(chosen);
        }
        let first_of_stretch = lines.len();
        let mut to = places.len() - 1;
        while to > 0 {
            let from = best[to].2;
            lines.push(self.line(places[from].at, places[to].at));
            to = from;
        }
        lines[first_of_stretch..].reverse();
    }

    /// How many lines a paragraph takes, no wider than `width` pt at this type size: as many as [`lines`](Self::lines) gives, whose
    /// edges are chosen among the ways to take so few.
    pub fn line_count(&self, size: f64, width: f64) -> usize {
        let limit = limit_of(size, width);
        if self.is_empty() {
            return 0;
        }
        let hard_ends =
            self.hard_ends.get_or_init(|| (1..self.letters.len()).filter(|&end| self.ends_hard(end)).collect());
        let mut start = 0;
        let mut count = 0;
        for end in hard_ends.iter().copied().chain([self.letters.len()]) {
            count += self.count_stretch(start, end, limit);
            start = end;
        }
        count
    }

    fn ends_hard(&self, end: usize) -> bool {
        self.letters[end - 1].after == After::Must
    }

    /// Each line as long as it can be: no choice of breaks takes fewer.
    fn count_stretch(&self, start: usize, end: usize, limit: i32) -> usize {
        if self.line(start, end).width <= limit {
            return 1;
        }
        let places = self.break_places(start, end, limit);
        let (mut from, mut count) = (0, 0);
        while from + 1 < places.len() {
            let left = places[from].left;
            let mut furthest = from + 1;
            for (to, place) in places.iter().enumerate().skip(from + 2) {
                match place.right - left <= limit {
                    true => furthest = to,
                    // A hyphen may be wider than the letters that follow it.
                    false if self.letters[place.at - 1].after == After::Hyphen => {}
                    false => break,
                }
            }
            from = furthest;
            count += 1;
        }
        count
    }

    /// Whether a line that ends there parts a word at a hyphen, its own or one that is shown for it.
    fn parts_a_word(&self, end: usize) -> bool {
        let before = &self.letters[end - 1];
        let goes_on = self.letters.get(end).is_some_and(|next| !next.blank);
        goes_on && (before.after == After::Hyphen || before.shown == '-' && before.after == After::May)
    }

    /// A place where a line of a stretch may end, and another start.
    fn break_place(&self, start: usize, end: usize) -> BreakPlace {
        BreakPlace {
            at: end,
            left: self.starts[end],
            right: self.line(start, end).width + self.starts[start],
            parts_a_word: end > start && self.parts_a_word(end),
        }
    }

    /// Where lines may start and end; where what should stay together is longer than the line, within it too.
    fn break_places(&self, start: usize, end: usize, limit: i32) -> Cow<'_, [BreakPlace]> {
        if self.longest_word_in_thousandths() <= limit {
            let all = self.between_words();
            let place = |end: usize| all.partition_point(|place| place.at < end);
            return Cow::Borrowed(&all[place(start)..=place(end)]);
        }
        self.places_within(start, end, limit).into_iter().map(|place| self.break_place(start, place)).collect()
    }

    /// The beginning, every place between two words or parts of one, and the end.
    fn between_words(&self) -> &[BreakPlace] {
        self.between_words.get_or_init(|| {
            let whole = self.letters.len();
            let ends = |end: &usize| *end == 0 || *end == whole || ends_a_word(self.letters[end - 1].after);
            (0..=whole).filter(ends).map(|end| self.break_place(0, end)).collect()
        })
    }

    fn places_within(&self, start: usize, end: usize, limit: i32) -> Vec<usize> {
        let mut places = vec![start];
        let (mut last, mut at_need) = (start, start);
        // Up to where it is known whether all that stands since the last place can be on one line.
        let (mut judged, mut fits) = (start, true);
        for place in start + 1..=end {
            if place > judged {
                let ends = |end: &usize| self.letters[end - 1].after != After::Stay;
                judged = (place..end).find(ends).unwrap_or(end);
                fits = self.line(last, judged).width <= limit;
            }
            while !fits && self.line(last, place).width > limit && place > last + 1 {
                last = if at_need > last { at_need } else { place - 1 };
                places.push(last);
            }
            match self.letters[place - 1].after {
                After::Stay if place < end => {}
                After::AtNeed if place < end => at_need = place,
                _ => {
                    last = place;
                    places.push(last);
                }
            }
        }
        places
    }

    /// The marks of one line, from `x` at baseline `y`; each span belongs to the owner of its number.
    pub fn place(&self, line: TextLine, look: Look<'_>, x: f64, y: f64) -> Vec<Placed> {
        let mut marks: Vec<Placed> = Vec::new();
        let space_follows = line.goes_on && self.letters.get(line.end).is_some_and(|letter| letter.blank);
        let shown_end = if space_follows { line.end + 1 } else { line.end };
        let mut at = line.start;
        while at < shown_end {
            let span = self.letters[at].span as usize;
            let same = self.letters[at..shown_end].iter().take_while(|letter| letter.span as usize == span).count();
            let hyphen = (line.hyphen && at + same == shown_end).then(|| self.hyphen(shown_end - 1)).flatten();
            let left = x + f64::from(self.starts[at] - self.starts[line.start]) * look.size / 1000.0;
            let link = look.links.get(span).cloned().flatten();
            let mut text = self.text(at, at + same, hyphen, look, left, y);
            if link.is_some() {
                text.ink = Ink::Accent;
            }
            text.link = link;
            let owner = look.owners.get(span).copied().flatten();
            marks.push(Placed { owner, item: crate::pages::page::Item::Text(text) });
            at += same;
        }
        marks
    }

    fn text(&self, start: usize, end: usize, hyphen: Option<Glyph>, look: Look<'_>, x: f64, y: f64) -> Text {
        let mut runs: Vec<FaceRun> = Vec::with_capacity(1);
        let mut first = start;
        while first < end {
            let run = self.run(first, end);
            first += run.1;
            runs.push(run.0);
        }
        let mut width = self.starts[end] - self.starts[start];
        if let Some(glyph) = hyphen {
            push_letter(&mut runs, glyph);
            width += glyph.advance;
        }
        let width = f64::from(width) * look.size / 1000.0;
        Text { x, y, size: look.size, turn: 0.0, ink: look.ink, width, runs, link: None }
    }

    /// The letters of one face from a place on, and how many they are.
    fn run(&self, start: usize, end: usize) -> (FaceRun, usize) {
        let letters = &self.letters[start..end];
        let face = letters[0].face;
        let count = letters.iter().position(|letter| letter.face != face).unwrap_or(letters.len());
        let mut run = FaceRun { face, text: String::with_capacity(count), shifts: Vec::new() };
        let places = self.starts[start..].windows(2);
        for (after, (letter, place)) in letters[..count].iter().zip(places).enumerate() {
            run.text.push(letter.shown);
            let shift = place[1] - place[0] - letter.advance;
            if shift != 0 && start + after + 1 < end {
                run.shifts.push((after + 1, shift));
            }
        }
        (run, count)
    }

    /// The whole text as one mark, for drawings.
    pub fn single(&self, size: f64, ink: Ink, x: f64, y: f64) -> Text {
        let look = Look { size, ink, owners: &[], links: &[] };
        self.text(0, self.letters.len(), None, look, x, y)
    }
}

/// What a line costs that could have held the word after it: it ends early only where another would be a sixth shorter than
/// the measure for it.
const EARLY: f64 = 0.03;

/// What a last line of a word or two costs: less than a line that ends early for its sake.
const SHORT_LAST: f64 = 0.02;

/// What a last line costs that is hardly seen as one, shorter than [`STUB`]: a word comes down to it, even where a line then
/// ends early.
const STUB_LAST: f64 = 0.07;

/// In thousandths of the type size: a word of four letters.
const STUB: i32 = 2_500;

/// What a word costs that is parted at a hyphen.
const HYPHEN: f64 = 0.1;

/// A measure in pt as thousandths of a type size.
fn limit_of(size: f64, width: f64) -> i32 {
    (width.max(1.0) * 1000.0 / size).min(1e9) as i32
}

/// How much the unevenness of a line of a width costs.
fn unevenness(width: i32, limit: i32, is_last: bool, fit: Fit) -> f64 {
    let slack = f64::from((limit - width).max(0)) / f64::from(limit);
    match fit {
        Fit::Paragraph if is_last && width < STUB => STUB_LAST,
        Fit::Paragraph if is_last && slack > 0.85 => SHORT_LAST,
        Fit::Paragraph if is_last => 0.0,
        Fit::Paragraph | Fit::Balanced => slack * slack,
    }
}

fn ends_a_word(after: After) -> bool {
    !matches!(after, After::Stay | After::AtNeed)
}

/// Adds a letter at the end.
fn push_letter(runs: &mut Vec<FaceRun>, Glyph { face, shown, .. }: Glyph) {
    match runs.last_mut().filter(|run| run.face == face) {
        Some(run) => run.text.push(shown),
        None => runs.push(FaceRun { face, text: shown.into(), shifts: Vec::new() }),
    }
}

/// How a line looks, and to whom it belongs.
#[derive(Debug, Clone, Copy)]
pub struct Look<'a> {
    /// Type size.
    pub size: f64,
    /// Colour.
    pub ink: Ink,
    /// Owner of each span.
    pub owners: &'a [Option<NodeId>],
    /// Target of each span, where it is a link.
    pub links: &'a [Option<String>],
}
