//! How the objects of a PDF are spelt (ISO 32000-1, 7.3).
//!
//! Given an object and a new number for each object that it speaks of; gives its bytes.

use crate::pages::page::{HEIGHT, Rectangle};
use crate::pages::quotes::curled;
use lopdf::{Dictionary, Object, ObjectId, StringFormat};
use std::io::Write;

/// Spells an object at the end of `out`. Of a stream, the dictionary alone.
pub fn spell(out: &mut Vec<u8>, object: &Object, number: &mut impl FnMut(ObjectId) -> usize) {
    match object {
        Object::Null => out.extend(b"null"),
        Object::Boolean(value) => out.extend(if *value { &b"true"[..] } else { b"false" }),
        Object::Integer(value) => integer(out, *value),
        Object::Real(value) => write!(out, "{value}").expect("writing to memory cannot fail"),
        Object::Name(bytes) => name(out, bytes),
        Object::String(bytes, StringFormat::Literal) => literal(out, bytes),
        Object::String(bytes, StringFormat::Hexadecimal) => hexadecimal(out, bytes),
        Object::Array(items) => array(out, items, number),
        Object::Dictionary(entries) => {
            out.extend(b"<<");
            self::entries(out, entries, number);
            out.extend(b">>");
        }
        Object::Stream(stream) => {
            out.extend(b"<<");
            entries(out, &stream.dict, number);
            out.extend(b">>");
        }
        Object::Reference(id) => {
            integer(out, number(*id) as i64);
            out.extend(b" 0 R");
        }
    }
}

/// Spells the keys and values of a dictionary, without its brackets.
pub fn entries(out: &mut Vec<u8>, entries: &Dictionary, number: &mut impl FnMut(ObjectId) -> usize) {
    for (key, value) in entries {
        name(out, key);
        part(out, value);
        spell(out, value, number);
    }
}

fn array(out: &mut Vec<u8>, items: &[Object], number: &mut impl FnMut(ObjectId) -> usize) {
    out.push(b'[');
    for (place, item) in items.iter().enumerate() {
        if place > 0 {
            part(out, item);
        }
        spell(out, item, number);
    }
    out.push(b']');
}

/// A space before what does not begin with a delimiter (7.2.2).
fn part(out: &mut Vec<u8>, next: &Object) {
    use Object::{Boolean, Integer, Null, Real, Reference};
    if matches!(next, Null | Boolean(_) | Integer(_) | Real(_) | Reference(_)) {
        out.push(b' ');
    }
}

/// Spells a whole number.
pub fn integer(out: &mut Vec<u8>, value: i64) {
    out.extend(itoa::Buffer::new().format(value).as_bytes());
}

fn name(out: &mut Vec<u8>, bytes: &[u8]) {
    let regular = |byte: &u8| byte.is_ascii_graphic() && !b"()<>[]{}/%#".contains(byte);
    out.push(b'/');
    if bytes.iter().all(regular) {
        out.extend(bytes);
        return;
    }
    for byte in bytes {
        if regular(byte) {
            out.push(*byte);
        } else {
            out.extend([b'#', DIGITS[usize::from(byte >> 4)], DIGITS[usize::from(byte & 15)]]);
        }
    }
}

/// Spells a string between brackets.
pub fn literal(out: &mut Vec<u8>, bytes: &[u8]) {
    out.push(b'(');
    for &byte in bytes {
        match byte {
            b'(' | b')' | b'\\' => out.extend([b'\\', byte]),
            b'\r' => out.extend(b"\\r"),
            _ => out.push(byte),
        }
    }
    out.push(b')');
}

const DIGITS: &[u8; 16] = b"0123456789ABCDEF";

fn hexadecimal(out: &mut Vec<u8>, bytes: &[u8]) {
    out.push(b'<');
    out.extend(bytes.iter().flat_map(|byte| [DIGITS[usize::from(byte >> 4)], DIGITS[usize::from(byte & 15)]]));
    out.push(b'>');
}

/// A number to the hundredth.
pub fn real(value: f64) -> Object {
    Object::Real(((value * 100.0).round() / 100.0) as f32)
}

/// Left, bottom, right, top.
pub fn rectangle(area: Rectangle) -> Vec<Object> {
    let bottom = HEIGHT - area.y - area.height;
    [area.x, bottom, area.x + area.width, bottom + area.height].map(real).to_vec()
}

/// What a reader hears or sees beside the page, with the quotation marks that a page has.
pub fn spoken(text: &str) -> Object {
    words(&curled(text))
}

/// A text string: a byte a letter where all have one in PDFDocEncoding, else in UTF-16 (ISO 32000-1, 7.9.2.2 and annex D).
pub fn words(text: &str) -> Object {
    // Letters that a text of another encoding begins with.
    let ambiguous = text.starts_with(['þ', 'ï']);
    let bytes: Option<Vec<u8>> = text.chars().map(byte_of).collect();
    match bytes {
        Some(bytes) if !ambiguous => Object::String(bytes, StringFormat::Literal),
        _ => {
            let units = text.encode_utf16().flat_map(u16::to_be_bytes);
            Object::String([0xfe, 0xff].into_iter().chain(units).collect(), StringFormat::Hexadecimal)
        }
    }
}

/// The byte of a letter in PDFDocEncoding, of those letters that are used here.
fn byte_of(letter: char) -> Option<u8> {
    const SECOND: [char; 18] =
        ['•', '†', '‡', '…', '—', '–', 'ƒ', '⁄', '‹', '›', '−', '‰', '„', '“', '”', '‘', '’', '‚'];
    match letter {
        '\0'..='\u{7f}' | '\u{a1}'..='\u{ac}' | '\u{ae}'..='\u{ff}' => u8::try_from(u32::from(letter)).ok(),
        '€' => Some(0xa0),
        _ => SECOND.iter().position(|&known| known == letter).map(|place| 0x80 + place as u8),
    }
}
