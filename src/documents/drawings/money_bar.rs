//! Where the money of a job goes: one bar as long as what the customer pays, its parts in proportion, each with its name.
//!
//! Given names and sums; gives a figure. Parts too narrow for their words stand under the bar in the same order, each with a
//! line to its part.

use super::drawing::{Drawing, pen, spot, text_width};
use crate::documents::wording;
use crate::pages::block::Figure;
use crate::pages::scene::{Anchor, Ink};
use crate::pricing::Money;
use rust_decimal::prelude::ToPrimitive;

/// Width and height of the bar, and size of its words, pt: on its right there is room for the words of narrow parts.
const WIDE: f64 = 340.0;
const TALL: f64 = 34.0;
const SIZE: f64 = 8.5;
/// From one line of words to the next, pt.
const LEADING: f64 = 11.0;

/// Shades of neighbours that a grey print tells apart.
const SHADES: [Ink; 4] = [Ink::Grey(0.9), Ink::AccentTint(0.72), Ink::White, Ink::Grey(0.78)];

/// Draws the bar of some parts; parts of nothing are left out.
pub fn draw(parts: &[(String, Money)]) -> Figure {
    let parts: Vec<&(String, Money)> =
        parts.iter().filter(|(_, sum)| sum.as_pounds() > rust_decimal::Decimal::ZERO).collect();
    let amount = |sum: Money| sum.as_pounds().to_f64().unwrap_or(0.0);
    let all: f64 = parts.iter().map(|(_, sum)| amount(*sum)).sum();
    let mut sheet = Drawing::default();
    let mut under = Vec::new();
    let mut x = 0.0;
    for (n, (name, sum)) in parts.iter().enumerate() {
        let wide = WIDE * amount(*sum) / all.max(1e-9);
        let ring = vec![spot(x, 0.0), spot(x + wide, 0.0), spot(x + wide, TALL), spot(x, TALL)];
        sheet.area(vec![ring], Some(SHADES[n % SHADES.len()]), Some(pen(Ink::Black, 0.6)));
        let lines = [name.clone(), format!("{}, {:.0}%", wording::money(*sum), 100.0 * amount(*sum) / all.max(1e-9))];
        let widest = lines.iter().map(|line| text_width(line, SIZE)).fold(0.0, f64::max);
        let middle = x + wide / 2.0;
        if widest + 6.0 <= wide {
            for (row, line) in lines.iter().enumerate() {
                let foot = TALL / 2.0 - 2.5 + LEADING * row as f64;
                sheet.words(spot(middle, foot), line, SIZE, row == 0, Anchor::Middle);
            }
        } else {
            under.push((middle, lines.join(": ")));
        }
        x += wide;
    }
    // The words of narrow parts, the rightmost nearest to the bar, so that no line crosses words.
    for (row, (middle, words)) in under.iter().rev().enumerate() {
        let y = TALL + 14.0 + (LEADING + 2.0) * row as f64;
        let end = middle + 4.0;
        sheet.line(&[spot(*middle, TALL / 2.0), spot(*middle, y - 3.0), spot(end, y - 3.0)], pen(Ink::Black, 0.45));
        sheet.circle(spot(*middle, TALL / 2.0), 1.3, Some(Ink::Black), None);
        sheet.words(spot(end + 2.0, y), words, SIZE, false, Anchor::Start);
    }
    let words: Vec<String> = parts.iter().map(|(name, sum)| format!("{name} {}", wording::money(*sum))).collect();
    Figure {
        scene: sheet.finish().into(),
        caption: "What the customer pays, and where it goes.".to_owned(),
        alt: format!("A bar of what the customer pays: {}.", wording::list(&words)),
    }
}
