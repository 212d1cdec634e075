//! A colour profile for sRGB, made here.
//!
//! Given nothing; gives the bytes of an ICC profile (version 2, display, RGB to XYZ). Its numbers are those of
//! IEC 61966-2-1: the primaries adapted to D50 by the Bradford method, and the transfer curve as a table of 256
//! values. It is computed, not copied, so no one else's licence comes with it.

use std::sync::OnceLock;

/// The profile.
pub fn srgb_profile() -> &'static [u8] {
    static PROFILE: OnceLock<Vec<u8>> = OnceLock::new();
    PROFILE.get_or_init(build)
}

const NAME: &str = "sRGB by wetout";
const RIGHTS: &str = "No rights reserved";

/// X, Y and Z of a colour, adapted to D50.
type Xyz = [f64; 3];
const WHITE: Xyz = [0.9642, 1.0, 0.8249];
const RED: Xyz = [0.436_07, 0.222_49, 0.013_92];
const GREEN: Xyz = [0.385_15, 0.716_87, 0.097_08];
const BLUE: Xyz = [0.143_07, 0.060_61, 0.714_10];

fn build() -> Vec<u8> {
    let curve = curve();
    let parts: [(&[&[u8; 4]], Vec<u8>); 7] = [
        (&[b"desc"], description()),
        (&[b"cprt"], rights()),
        (&[b"wtpt"], xyz(WHITE)),
        (&[b"rXYZ"], xyz(RED)),
        (&[b"gXYZ"], xyz(GREEN)),
        (&[b"bXYZ"], xyz(BLUE)),
        (&[b"rTRC", b"gTRC", b"bTRC"], curve),
    ];
    let tags: usize = parts.iter().map(|(names, _)| names.len()).sum();
    let mut table = (tags as u32).to_be_bytes().to_vec();
    let mut data: Vec<u8> = Vec::new();
    for (names, part) in parts {
        let place = 128 + 4 + 12 * tags + data.len();
        for name in names {
            table.extend_from_slice(*name);
            table.extend((place as u32).to_be_bytes());
            table.extend((part.len() as u32).to_be_bytes());
        }
        data.extend(part);
        data.resize(data.len().next_multiple_of(4), 0);
    }
    let mut profile = header((128 + table.len() + data.len()) as u32);
    profile.extend(table);
    profile.extend(data);
    profile
}

/// The 128 bytes that open a profile (ICC.1:2001-04, 6.1).
fn header(length: u32) -> Vec<u8> {
    let mut head = vec![0; 128];
    head[0..4].copy_from_slice(&length.to_be_bytes());
    head[8..12].copy_from_slice(&[2, 0x10, 0, 0]);
    head[12..24].copy_from_slice(b"mntrRGB XYZ ");
    let date: [u16; 6] = [2026, 1, 1, 0, 0, 0];
    for (place, part) in date.into_iter().enumerate() {
        head[24 + 2 * place..26 + 2 * place].copy_from_slice(&part.to_be_bytes());
    }
    head[36..40].copy_from_slice(b"acsp");
    for (place, value) in WHITE.into_iter().enumerate() {
        head[68 + 4 * place..72 + 4 * place].copy_from_slice(&fixed(value));
    }
    head
}

/// A number as s15Fixed16.
fn fixed(value: f64) -> [u8; 4] {
    ((value * 65536.0).round() as i32).to_be_bytes()
}

fn xyz(values: Xyz) -> Vec<u8> {
    let mut part = b"XYZ \0\0\0\0".to_vec();
    values.into_iter().for_each(|value| part.extend(fixed(value)));
    part
}

fn rights() -> Vec<u8> {
    let mut part = b"text\0\0\0\0".to_vec();
    part.extend_from_slice(RIGHTS.as_bytes());
    part.push(0);
    part
}

fn description() -> Vec<u8> {
    let mut part = b"desc\0\0\0\0".to_vec();
    part.extend((NAME.len() as u32 + 1).to_be_bytes());
    part.extend_from_slice(NAME.as_bytes());
    part.push(0);
    part.resize(part.len() + 8 + 3 + 67, 0);
    part
}

/// The transfer curve (IEC 61966-2-1, 5.2): 256 values from 0 to 65,535.
fn curve() -> Vec<u8> {
    let mut part = b"curv\0\0\0\0".to_vec();
    part.extend(256_u32.to_be_bytes());
    for step in 0..256_u32 {
        let value = f64::from(step) / 255.0;
        let light = if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) };
        part.extend(((light * 65535.0).round() as u16).to_be_bytes());
    }
    part
}
