//! The fonts: which glyph a character gets, how wide it is, how pairs are kerned, and subsets.
//!
//! Given a character and a style; gives a glyph of the first face that has it, built in or the firm's own. Each face is
//! read once in a process.
//! Widths are whole thousandths of the type size, cut (not rounded) to what the PDF's own width table will say, so
//! that a line measured here ends where the reader's program ends it.

use super::border;
use crate::model::limits;
use allsorts::binary::read::ReadScope;
use allsorts::error::ParseError;
use allsorts::font_data::{DynamicFontTableProvider, FontData};
use allsorts::layout::{LookupCacheItem, PosLookup};
use allsorts::subset::{CmapTarget, SubsetProfile, subset};
use allsorts::tables::{FontTableProvider, HeadTable, HheaTable, HmtxTable, MaxpTable, NameTable};
use allsorts::{Font, tag};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::{AtomicI16, Ordering};
use std::sync::{Arc, OnceLock};

/// A face: compiled in, or the firm's own in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    /// Upright.
    Regular,
    /// Bold.
    Bold,
    /// Italic.
    Italic,
    /// Signs: ticks, boxes, warning triangles.
    Symbols,
    /// Mathematical signs that the text faces lack.
    Math,
}

/// Every face, in the order of their resource names.
pub const FACES: [Face; 5] = [Face::Regular, Face::Bold, Face::Italic, Face::Symbols, Face::Math];

impl Face {
    /// The PostScript name of the compiled-in face.
    fn name(self) -> &'static str {
        match self {
            Face::Regular => "NotoSans-Regular",
            Face::Bold => "NotoSans-Bold",
            Face::Italic => "NotoSans-Italic",
            Face::Symbols => "NotoSansSymbols2-Regular",
            Face::Math => "NotoSansMath-Regular",
        }
    }

    fn bytes(self) -> &'static [u8] {
        match self {
            Face::Regular => include_bytes!("../../fonts/NotoSans-Regular.ttf"),
            Face::Bold => include_bytes!("../../fonts/NotoSans-Bold.ttf"),
            Face::Italic => include_bytes!("../../fonts/NotoSans-Italic.ttf"),
            Face::Symbols => include_bytes!("../../fonts/NotoSansSymbols2-Regular.ttf"),
            Face::Math => include_bytes!("../../fonts/NotoSansMath-Regular.ttf"),
        }
    }

    fn built_in(self) -> &'static LoadedFace {
        static LOADED: [OnceLock<LoadedFace>; 5] = [const { OnceLock::new() }; 5];
        let read = || LoadedFace::read(self.bytes(), self.name().into());
        LOADED[self as usize].get_or_init(|| read().expect("the fonts inside the program are whole"))
    }
}

/// The faces that a document is set in: the built-in ones, unless the firm has its own.
#[derive(Clone, Copy, Default)]
pub struct Fonts {
    own: [Option<&'static LoadedFace>; 5],
}

impl std::fmt::Debug for Fonts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_list().entries(FACES.map(|face| &self.loaded(face).name)).finish()
    }
}

impl Fonts {
    /// Puts a face of the firm in the place of a built-in one.
    pub fn replace(&mut self, face: Face, loaded: &'static LoadedFace) {
        self.own[face as usize] = Some(loaded);
    }

    /// Whether they are the same as others.
    pub(super) fn are(&self, others: &Fonts) -> bool {
        self.own.iter().zip(&others.own).all(|(own, other)| match (own, other) {
            (Some(own), Some(other)) => std::ptr::eq(*own, *other),
            (own, other) => own.is_none() && other.is_none(),
        })
    }

    /// Whether a face is the firm's own.
    pub fn is_own(&self, face: Face) -> bool {
        self.own[face as usize].is_some()
    }

    fn loaded(&self, face: Face) -> &'static LoadedFace {
        self.own[face as usize].unwrap_or_else(|| face.built_in())
    }

    /// The name of the family that text is set in, as a machine knows it that has it.
    pub fn family(&self) -> String {
        let read = || {
            let data = self.loaded(Face::Regular).provider.read_table_data(tag::NAME).ok()?;
            let table = ReadScope::new(&data).read::<NameTable<'_>>().ok()?;
            let named = |id| table.string_for_id(id).filter(|name: &String| !name.is_empty());
            named(NameTable::TYPOGRAPHIC_FAMILY_NAME).or_else(|| named(NameTable::FONT_FAMILY_NAME))
        };
        let plain = |c: &char| c.is_alphanumeric() || matches!(c, ' ' | '-');
        read().unwrap_or_default().chars().filter(plain).take(60).collect()
    }

    /// The glyph for a character: the style's own face first, then the faces for signs; `None` where no face has it.
    pub fn glyph(&self, style: Style, character: char) -> Option<Glyph> {
        let faces = [style.face(), Face::Symbols, Face::Math];
        faces.into_iter().find_map(|face| self.loaded(face).glyph(face, character))
    }

    /// Whether every sign of a text is surely printed, in whatever style and in either case it is set. No is no proof: accents
    /// that stand apart from their letters, and signs that are not shown, are not looked at.
    pub fn has_all(&self, text: &str) -> bool {
        let own = self.own.iter().any(Option::is_some);
        let common = |c: &char| matches!(c, ' '..='~' | '\n' | '\r') || !own && COMMON.contains(c);
        text.chars().filter(|c| !common(c)).all(|c| self.has(c))
    }

    fn has(&self, character: char) -> bool {
        const STYLES: [Style; 3] = [
            Style { bold: false, italic: false },
            Style { bold: true, italic: false },
            Style { bold: false, italic: true },
        ];
        let in_all = |c: char| !c.is_control() && STYLES.iter().all(|&style| self.glyph(style, c).is_some());
        let apart = matches!(character, '\u{300}'..='\u{36f}');
        !apart && character.to_uppercase().chain(character.to_lowercase()).chain([character]).all(in_all)
    }

    /// What kerning adds between two glyphs of one face, in thousandths of the type size.
    pub fn kern(&self, face: Face, first: u16, second: u16) -> i32 {
        self.loaded(face).kern(first, second)
    }

    /// The face that fields are filled in with: all that can be written by a byte, and what names need besides.
    pub fn for_fields(&self) -> &'static CodedFace {
        let loaded = self.loaded(Face::Regular);
        loaded.for_fields.get_or_init(|| loaded.for_names())
    }

    /// Cuts a face down to some characters, all of which have a code. The same characters give the same bytes.
    pub fn by_codes(&self, face: Face, characters: &BTreeSet<char>) -> CodedFace {
        self.loaded(face).by_codes(characters.iter().copied())
    }

    /// Cuts a face down to the glyphs of some characters; those it lacks are left out. The same characters give the same
    /// bytes.
    pub fn cut_down(&self, face: Face, characters: &BTreeSet<char>) -> Subset {
        let loaded = self.loaded(face);
        let glyph = |&c: &char| Some((c, loaded.glyph(face, c)?.id));
        let found: BTreeMap<char, u16> = characters.iter().filter_map(glyph).collect();
        let ids = with_first(found.values().copied());
        let place = |id: u16| ids.binary_search(&id).unwrap_or_default() as u16;
        let bytes = loaded.cut_down(&ids).expect("a face that was read can be cut down");
        Subset {
            bytes,
            name: loaded.name_of_part(&ids),
            glyphs: found.iter().map(|(&c, &id)| (c, place(id))).collect(),
            widths: ids.iter().map(|&id| (place(id), loaded.advances[usize::from(id)])).collect(),
            measures: loaded.measures,
        }
    }
}

/// Numbers of glyphs in order, each once, with the first of the face (which stands for what it lacks) before them.
fn with_first(ids: impl Iterator<Item = u16>) -> Vec<u16> {
    let mut ids: Vec<u16> = ids.chain([0]).collect();
    ids.sort_unstable();
    ids.dedup();
    ids
}

/// Signs beyond a typewriter's that every built-in face has: no face is read to find them.
pub const COMMON: [char; 22] =
    ['–', '—', '‘', '’', '“', '”', '…', '•', '·', '×', '÷', '±', '°', '²', '³', '½', '¼', '¾', '£', '€', '§', '\u{a0}'];

/// The style of running text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// Bold. Bold italic is set in bold: there is no such face.
    pub bold: bool,
    /// Italic.
    pub italic: bool,
}

impl Style {
    fn face(self) -> Face {
        match self {
            Style { bold: true, .. } => Face::Bold,
            Style { italic: true, .. } => Face::Italic,
            Style { .. } => Face::Regular,
        }
    }
}

/// A glyph.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Glyph {
    /// The face that has it.
    pub face: Face,
    /// Its number in the whole face.
    pub id: u16,
    /// The character that stands for it in the document's text: the plain one where several share a glyph.
    pub shown: char,
    /// How far it moves the pen, in thousandths of the type size.
    pub advance: i32,
}

/// How far the letters of running text reach above and below the line, as shares of the type size.
pub const ASCENT: f64 = 0.78;
/// See [`ASCENT`].
pub const DESCENT: f64 = 0.22;

/// The code by which a character is reached in a face of text; `None` where it is reached by the number of its glyph.
pub fn code_of(face: Face, character: char) -> Option<u8> {
    if matches!(face, Face::Symbols | Face::Math) {
        return None;
    }
    match character {
        ' '..='~' | '\u{a1}'..='\u{ac}' | '\u{ae}'..='\u{ff}' => u8::try_from(u32::from(character)).ok(),
        _ => SECOND.iter().position(|&(_, known)| known == character).map(|place| SECOND[place].0),
    }
}

/// Codes of Windows' code page 1252 between ASCII and Latin-1's second half (ISO 32000-1, annex D: WinAnsiEncoding).
#[rustfmt::skip]
const SECOND: [(u8, char); 27] = [
    (0x80, '€'), (0x82, '‚'), (0x83, 'ƒ'), (0x84, '„'), (0x85, '…'), (0x86, '†'), (0x87, '‡'), (0x88, 'ˆ'), (0x89, '‰'),
    (0x8a, 'Š'), (0x8b, '‹'), (0x8c, 'Œ'), (0x8e, 'Ž'), (0x91, '‘'), (0x92, '’'), (0x93, '“'), (0x94, '”'), (0x95, '•'),
    (0x96, '–'), (0x97, '—'), (0x98, '˜'), (0x99, '™'), (0x9a, 'š'), (0x9b, '›'), (0x9c, 'œ'), (0x9e, 'ž'), (0x9f, 'Ÿ'),
];

/// Every code with its character. Two codes that stand for a space and a hyphen once more are left out.
fn codes_1252() -> impl Iterator<Item = (u8, char)> {
    let latin = (0x20..=u8::MAX).map(|code| (code, char::from(code)));
    latin.filter(|&(code, _)| code_of(Face::Regular, char::from(code)) == Some(code)).chain(SECOND)
}

/// Letters of Welsh, Polish and Romanian that code page 1252 lacks: names are written with them.
const OTHER_LETTERS: &str = "ŴŵŶŷŁłĄąĆćĘęŃńŚśŹźŻżȘșȚțĂă";

/// The codes that code page 1252 gives to no sign, the ends of lines left out.
fn free_codes() -> impl Iterator<Item = u8> {
    let beyond = [0x81, 0x8d, 0x8f, 0x90, 0x9d];
    beyond.into_iter().chain((1..b' ').filter(|code| !matches!(code, b'\t' | b'\n' | b'\r')))
}

/// What a font's one table of characters is called: Windows' (3, 1) of letters, and (3, 0) of codes.
const LETTERS: u32 = 0x0003_0001;
const CODES: u32 = 0x0003_0000;

/// Calls a font's one table of characters by one of these, as a PDF asks of a font that is reached by codes (ISO 32000-1,
/// 9.6.6.4); the library calls it Unicode's (0, 3), of the same content. The sums that guard the file are kept true
/// (OpenType 1.9, "Calculating checksums").
fn call_windows(font: &mut [u8], is: u32) {
    let word = |font: &[u8], at: usize| font.get(at..at + 4).map(|w| u32::from_be_bytes([w[0], w[1], w[2], w[3]]));
    // A directory of tables: name, sum, place and length of each, from the twelfth byte on.
    let entry = |font: &[u8], name: u32| (12..font.len()).step_by(16).take(32).find(|&at| word(font, at) == Some(name));
    let place = |font: &[u8], name: u32| Some((entry(font, name)?, word(font, entry(font, name)? + 8)? as usize));
    let add = |font: &mut [u8], at: usize, by: u32| {
        if let (Some(old), Some(there)) = (word(font, at), font.get_mut(at..at + 4)) {
            there.copy_from_slice(&old.wrapping_add(by).to_be_bytes());
        }
    };
    let (Some((cmap, characters)), Some((_, head))) = (place(font, tag::CMAP), place(font, tag::HEAD)) else { return };
    const WAS: u32 = 0x0000_0003;
    if word(font, characters + 4) == Some(WAS) {
        let by = is - WAS;
        add(font, characters + 4, by);
        add(font, cmap + 4, by);
        add(font, head + 8, 0_u32.wrapping_sub(2 * by));
    }
}

/// A face cut down to some characters of Windows' code page 1252, each reached by its code there: a byte, from which
/// every program knows the letter.
#[derive(Debug, Clone)]
pub struct CodedFace {
    /// The font file, with a table of its characters.
    pub bytes: Vec<u8>,
    /// Base name with its six-letter tag.
    pub name: String,
    /// The code of the first width.
    pub first: u8,
    /// Advance of each code from the first on, in thousandths of the type size; of those that are left out, 0.
    pub widths: Vec<i32>,
    /// Measures of the whole face.
    pub measures: Measures,
    /// The letter of each code, where not every program knows it from the code.
    pub letters: Option<BTreeMap<u8, char>>,
}

/// A face cut down to the glyphs that one document uses.
#[derive(Debug, Clone)]
pub struct Subset {
    /// The font file.
    pub bytes: Vec<u8>,
    /// Base name with its six-letter tag.
    pub name: String,
    /// Number of each character's glyph in the cut-down file.
    pub glyphs: BTreeMap<char, u16>,
    /// Advance of each glyph in the cut-down file, in font units.
    pub widths: BTreeMap<u16, u16>,
    /// Measures of the whole face.
    pub measures: Measures,
}

/// Measures of a face, in font units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Measures {
    /// Units in an em.
    pub units: u16,
    /// Ascender.
    pub ascent: i16,
    /// Descender.
    pub descent: i16,
    /// Left, bottom, right, top of all glyphs.
    pub bounds: [i16; 4],
    /// Rise and run of the slant.
    pub slant: (i16, i16),
    /// Weight, 400 is regular.
    pub weight: u16,
}

impl Measures {
    /// The angle of the upright strokes in whole degrees, against the clock (so a slanted face has less than none).
    pub fn degrees(&self) -> i64 {
        let (rise, run) = self.slant;
        if rise == 0 { 0 } else { -f64::from(run).atan2(f64::from(rise)).to_degrees().round() as i64 }
    }
}

/// Six capital letters that differ where the glyphs differ, as the PDF standard asks (ISO 32000-1, 9.6.4).
fn tag_letters(ids: &[u16]) -> String {
    let mixed = ids
        .iter()
        .fold(0xcbf2_9ce4_8422_2325_u64, |hash, &id| (hash ^ u64::from(id)).wrapping_mul(0x0000_0100_0000_01b3));
    (0..6).map(|place| char::from(b'A' + ((mixed >> (place * 9)) % 26) as u8)).collect()
}

type Pairs = Arc<LookupCacheItem<PosLookup>>;

/// Why a file of the firm cannot be used as a font.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unfit {
    /// It is none, or is broken.
    NoFont,
    /// Its outlines are not TrueType's.
    Outlines,
    /// It holds many weights in one.
    Variable,
    /// Its maker does not allow it to be embedded, or not in part.
    Locked,
}

/// A face that was read.
pub struct LoadedFace {
    /// Its PostScript name.
    name: Cow<'static, str>,
    provider: DynamicFontTableProvider<'static>,
    latin: Vec<u16>,
    others: BTreeMap<u32, u16>,
    /// The plainest character of each glyph.
    shown: Vec<char>,
    advances: Vec<u16>,
    measures: Measures,
    pairs: Vec<Pairs>,
    /// A row for each first glyph of those that text is nearly all of, filled in as pairs are met.
    kerned: Vec<OnceLock<Box<[AtomicI16]>>>,
    /// What fields are filled in with, made for the first document that has a field.
    for_fields: OnceLock<CodedFace>,
}

/// Characters below this are looked up by place.
const LATIN: u32 = 0x180;
/// So many glyphs, from the first of a face on, have their pairs remembered: Latin letters stand first.
const REMEMBERED: u16 = 512;
/// Stands in a row for a pair not yet met.
const UNMET: i16 = i16::MIN;

impl LoadedFace {
    fn read(bytes: &'static [u8], name: Cow<'static, str>) -> Option<LoadedFace> {
        let open = || ReadScope::new(bytes).read::<FontData<'static>>().ok()?.table_provider(0).ok();
        let provider = open()?;
        let mut font = Font::new(open()?).ok()?;
        let glyphs = font.num_glyphs();
        let characters = characters_of(&provider)?;
        let mut shown = vec!['\u{fffd}'; usize::from(glyphs)];
        for (&code, &id) in characters.iter().rev() {
            *shown.get_mut(usize::from(id))? = char::from_u32(code)?;
        }
        Some(LoadedFace {
            name,
            latin: (0..LATIN).map(|code| characters.get(&code).copied().unwrap_or(0)).collect(),
            others: characters.range(LATIN..).map(|(&code, &id)| (code, id)).collect(),
            shown,
            advances: advances_of(&provider)?,
            measures: measures_of(&provider)?,
            pairs: pairs_of(&mut font),
            kerned: (0..glyphs.min(REMEMBERED)).map(|_| OnceLock::new()).collect(),
            for_fields: OnceLock::new(),
            provider,
        })
    }

    /// Reads a font of the firm. Every glyph is cut out of it once, so that nothing can go wrong when a document is written.
    ///
    /// # Errors
    /// Why it cannot be used.
    pub fn of_a_firm(bytes: &'static [u8]) -> Result<LoadedFace, Unfit> {
        let count = bytes.get(4..6).map(|n| u16::from_be_bytes([n[0], n[1]]));
        if count.is_none_or(|n| usize::from(n) > limits::FONT_TABLES.most) {
            return Err(Unfit::NoFont);
        }
        border::reading(|| LoadedFace::foreign(bytes)).unwrap_or(Err(Unfit::NoFont))
    }

    fn foreign(bytes: &'static [u8]) -> Result<LoadedFace, Unfit> {
        let font = ReadScope::new(bytes).read::<FontData<'static>>().map_err(|_| Unfit::NoFont)?;
        let tables = font.table_provider(0).map_err(|_| Unfit::NoFont)?;
        if tables.has_table(tag::FVAR) {
            return Err(Unfit::Variable);
        }
        if !tables.has_table(tag::GLYF) {
            return Err(if tables.has_table(tag::HEAD) { Unfit::Outlines } else { Unfit::NoFont });
        }
        if locked(&tables).ok_or(Unfit::NoFont)? {
            return Err(Unfit::Locked);
        }
        let loaded = LoadedFace::read(bytes, name_of(&tables).into()).ok_or(Unfit::NoFont)?;
        let all = with_first(loaded.latin.iter().chain(loaded.others.values()).copied());
        let coded = loaded.glyphs_of(codes_1252().map(|(_, character)| character));
        let cut = loaded.cut_down(&all).is_some() && loaded.cut_by_codes(&coded).is_some();
        let by_codes = codes_1252().map(|(code, letter)| (code, coded[&letter])).collect();
        let whole = loaded.measures.units >= 16 && cut && loaded.cut_by_own_codes(&by_codes).is_some();
        if whole { Ok(loaded) } else { Err(Unfit::NoFont) }
    }

    /// Of a face that is reached by numbers of glyphs, a PDF needs these tables alone (ISO 32000-1, 9.9); the library adds
    /// the outlines and where they begin.
    fn cut_down(&self, ids: &[u16]) -> Option<Vec<u8>> {
        let bare =
            Bare { face: &self.provider, characters: table_of_characters(&BTreeMap::from([(' ', *ids.last()?)])) };
        cut_of(&bare, ids, &[])
    }

    /// Cut down to some characters, with a table of them.
    fn cut_by_codes(&self, glyphs: &BTreeMap<char, u16>) -> Option<Vec<u8>> {
        let bare = Bare { face: &self.provider, characters: table_of_characters(glyphs) };
        let mut bytes = cut_of(&bare, &with_first(glyphs.values().copied()), &[tag::CMAP])?;
        call_windows(&mut bytes, LETTERS);
        Some(bytes)
    }

    /// Cut down to what stands under some codes, in a table of the codes themselves (ISO 32000-1, 9.6.6.4: 0xF000 and more).
    fn cut_by_own_codes(&self, glyphs: &BTreeMap<u8, u16>) -> Option<Vec<u8>> {
        let placed = |(&code, &id): (&u8, &u16)| Some((char::from_u32(0xf000 + u32::from(code))?, id));
        let bare =
            Bare { face: &self.provider, characters: table_of_characters(&glyphs.iter().filter_map(placed).collect()) };
        let mut bytes = cut_of(&bare, &with_first(glyphs.values().copied()), &[tag::CMAP])?;
        call_windows(&mut bytes, CODES);
        Some(bytes)
    }

    /// What fields are filled in with: Windows' code page 1252, and in the codes that it leaves free the letters of
    /// [`OTHER_LETTERS`] that the face has.
    fn for_names(&self) -> CodedFace {
        // A space that does not part is pasted with words from elsewhere.
        let others = free_codes().zip(OTHER_LETTERS.chars()).chain([(0xa0, '\u{a0}')]);
        let others = others.filter(|&(_, letter)| self.glyph(Face::Regular, letter).is_some());
        let letters: BTreeMap<u8, char> = codes_1252().chain(others).collect();
        let glyph = |letter| self.glyph(Face::Regular, letter).map_or(0, |glyph| glyph.id);
        let glyphs: BTreeMap<u8, u16> = letters.iter().map(|(&code, &letter)| (code, glyph(letter))).collect();
        let width =
            |code| glyphs.get(&code).map_or(0, |&id| self.thousandths(i32::from(self.advances[usize::from(id)])));
        CodedFace {
            bytes: self.cut_by_own_codes(&glyphs).expect("a face that was read can be cut down"),
            name: self.name_of_part(&with_first(glyphs.values().copied())),
            first: 1,
            widths: (1..=u8::MAX).map(width).collect(),
            measures: self.measures,
            letters: Some(letters),
        }
    }

    /// The glyphs of characters; of one that the face lacks, the first of the face.
    fn glyphs_of(&self, characters: impl Iterator<Item = char>) -> BTreeMap<char, u16> {
        characters.map(|c| (c, self.glyph(Face::Regular, c).map_or(0, |glyph| glyph.id))).collect()
    }

    /// Cut down to characters that are reached by their codes. With raised figures goes the sign that is shown for a code without a
    /// name (ISO 32000-1, annex D): there are readers whose list of names has none for them.
    fn by_codes(&self, characters: impl Iterator<Item = char>) -> CodedFace {
        let characters: BTreeSet<char> = characters.collect();
        let raised = ['¹', '²', '³'].iter().any(|figure| characters.contains(figure));
        let bullet = raised.then_some('•').filter(|bullet| self.glyph(Face::Regular, *bullet).is_some());
        let glyphs = self.glyphs_of(characters.into_iter().chain(bullet));
        let width = |id: u16| self.thousandths(i32::from(self.advances[usize::from(id)]));
        let coded = |(&c, &id)| Some((code_of(Face::Regular, c)?, width(id)));
        let widths: BTreeMap<u8, i32> = glyphs.iter().filter_map(coded).collect();
        let end = |code: Option<&u8>| code.copied().unwrap_or(b' ');
        let (first, last) = (end(widths.keys().next()), end(widths.keys().next_back()));
        CodedFace {
            bytes: self.cut_by_codes(&glyphs).expect("a face that was read can be cut down"),
            name: self.name_of_part(&with_first(glyphs.values().copied())),
            first,
            widths: (first..=last).map(|code| widths.get(&code).copied().unwrap_or(0)).collect(),
            measures: self.measures,
            letters: None,
        }
    }

    /// The name of this face cut down to some glyphs: its own with a tag that differs where the glyphs do.
    fn name_of_part(&self, ids: &[u16]) -> String {
        format!("{}+{}", tag_letters(ids), self.name)
    }

    fn glyph(&self, face: Face, character: char) -> Option<Glyph> {
        let code = u32::from(character);
        let id = match self.latin.get(code as usize) {
            Some(&id) => id,
            None => self.others.get(&code).copied()?,
        };
        (id != 0).then(|| Glyph {
            face,
            id,
            shown: self.shown[usize::from(id)],
            advance: self.thousandths(i32::from(self.advances[usize::from(id)])),
        })
    }

    fn thousandths(&self, units: i32) -> i32 {
        units * 1000 / i32::from(self.measures.units)
    }

    fn kern(&self, first: u16, second: u16) -> i32 {
        if self.pairs.is_empty() {
            return 0;
        }
        let sought = || self.pairs.iter().find_map(|pairs| kern_of(pairs, first, second));
        let seek = || border::reading(sought).flatten().unwrap_or(0);
        let made = || self.kerned.iter().map(|_| AtomicI16::new(UNMET)).collect();
        let row = self.kerned.get(usize::from(first)).map(|row| row.get_or_init(made));
        let units = match row.and_then(|row| row.get(usize::from(second))) {
            None => seek(),
            Some(met) => match met.load(Ordering::Relaxed) {
                UNMET => {
                    let units = seek();
                    met.store(units, Ordering::Relaxed);
                    units
                }
                known => known,
            },
        };
        self.thousandths(i32::from(units))
    }
}

/// The tables that a PDF needs, and some more, cut down to some glyphs.
fn cut_of(face: &impl FontTableProvider, ids: &[u16], more: &[u32]) -> Option<Vec<u8>> {
    let tables = [tag::CVT, tag::FPGM, tag::HEAD, tag::HHEA, tag::HMTX, tag::MAXP, tag::PREP];
    subset(face, ids, &SubsetProfile::Custom([&tables, more].concat()), CmapTarget::Unicode).ok()
}

/// A face with a table of few characters in the place of its own. The library looks every character of a face up among the
/// glyphs that are kept, even where its table of characters is left out; that took a tenth of the work of all documents.
struct Bare<'a, P> {
    face: &'a P,
    characters: Vec<u8>,
}

impl<P: FontTableProvider> FontTableProvider for Bare<'_, P> {
    fn table_data(&self, table: u32) -> Result<Option<Cow<'_, [u8]>>, ParseError> {
        if table == tag::CMAP { Ok(Some(Cow::Borrowed(&self.characters))) } else { self.face.table_data(table) }
    }

    fn has_table(&self, table: u32) -> bool {
        self.face.has_table(table)
    }

    fn table_tags(&self) -> Option<Vec<u32>> {
        self.face.table_tags()
    }
}

/// A table of characters in order with their glyphs (OpenType 1.9, cmap, format 4), a stretch for each, and the last that
/// every such table ends with.
fn table_of_characters(glyphs: &BTreeMap<char, u16>) -> Vec<u8> {
    let codes = glyphs.keys().map(|&character| character as u16);
    let shifts = glyphs.iter().map(|(&character, glyph)| glyph.wrapping_sub(character as u16));
    let count = glyphs.len() as u16 + 1;
    let levels = count.ilog2() as u16;
    let searched = 2 << levels;
    let head = [0, 1, 3, 1, 0, 12, 4, 16 + 8 * count, 0, 2 * count, searched, levels, 2 * count - searched];
    let ends = codes.clone().chain([0xffff, 0]);
    let others = codes.chain([0xffff]).chain(shifts).chain([1]).chain(std::iter::repeat_n(0, usize::from(count)));
    head.into_iter().chain(ends).chain(others).flat_map(u16::to_be_bytes).collect()
}

/// Whether a font's maker forbids embedding (bit 1 alone of `fsType`) or cutting down (bit 8): OpenType 1.9, OS/2.
fn locked(provider: &impl FontTableProvider) -> Option<bool> {
    let os2 = provider.read_table_data(tag::OS_2).ok()?;
    let os2 = ReadScope::new(&os2).read_dep::<allsorts::tables::os2::Os2>(os2.len()).ok()?;
    Some(os2.fs_type & 0x000f == 0x0002 || os2.fs_type & 0x0100 != 0)
}

/// The PostScript name that a font gives itself, kept to letters, figures and hyphens.
fn name_of(provider: &impl FontTableProvider) -> String {
    let read = || {
        let data = provider.read_table_data(tag::NAME).ok()?;
        let table = ReadScope::new(&data).read::<NameTable<'_>>().ok()?;
        table.string_for_id(NameTable::POSTSCRIPT_NAME)
    };
    let plain = |c: &char| c.is_ascii_alphanumeric() || *c == '-';
    let name: String = read().unwrap_or_default().chars().filter(plain).take(60).collect();
    if name.is_empty() { "OwnFont".to_owned() } else { name }
}

fn characters_of(provider: &impl FontTableProvider) -> Option<BTreeMap<u32, u16>> {
    let data = provider.read_table_data(tag::CMAP).ok()?;
    let table = ReadScope::new(&data).read::<allsorts::tables::cmap::Cmap<'_>>().ok()?;
    let (_, part) = allsorts::font::read_cmap_subtable(&table).ok()??;
    let mut characters = BTreeMap::new();
    part.mappings_fn(|code, id| {
        characters.insert(code, id);
    })
    .ok()?;
    Some(characters)
}

fn advances_of(provider: &impl FontTableProvider) -> Option<Vec<u16>> {
    let maxp = provider.read_table_data(tag::MAXP).ok()?;
    let glyphs = ReadScope::new(&maxp).read::<MaxpTable>().ok()?.num_glyphs;
    let hhea = provider.read_table_data(tag::HHEA).ok()?;
    let metrics = ReadScope::new(&hhea).read::<HheaTable>().ok()?.num_h_metrics;
    let hmtx = provider.read_table_data(tag::HMTX).ok()?;
    let table = ReadScope::new(&hmtx).read_dep::<HmtxTable<'_>>((usize::from(glyphs), usize::from(metrics))).ok()?;
    (0..glyphs).map(|id| table.horizontal_advance(id).ok()).collect()
}

fn measures_of(provider: &impl FontTableProvider) -> Option<Measures> {
    let head = ReadScope::new(&provider.read_table_data(tag::HEAD).ok()?).read::<HeadTable>().ok()?;
    let hhea = ReadScope::new(&provider.read_table_data(tag::HHEA).ok()?).read::<HheaTable>().ok()?;
    let os2 = provider.read_table_data(tag::OS_2).ok()?;
    let os2 = ReadScope::new(&os2).read_dep::<allsorts::tables::os2::Os2>(os2.len()).ok()?;
    Some(Measures {
        units: head.units_per_em,
        ascent: hhea.ascender,
        descent: hhea.descender,
        bounds: [head.x_min, head.y_min, head.x_max, head.y_max],
        slant: (hhea.caret_slope_rise, hhea.caret_slope_run),
        weight: os2.us_weight_class,
    })
}

/// The pair kerning of Latin script in its default language.
fn pairs_of(font: &mut Font<DynamicFontTableProvider<'static>>) -> Vec<Pairs> {
    let mut read = || -> Option<Vec<Pairs>> {
        let cache = font.gpos_cache().ok()??;
        let table = &cache.layout_table;
        let lookups = table.opt_lookup_list.as_ref()?;
        let script = table.find_script_or_default(tag::LATN).ok()??;
        let feature = table.find_langsys_feature(script.default_langsys_record()?, tag::KERN, None).ok()??;
        let found = feature.lookup_indices.iter();
        Some(found.filter_map(|&index| lookups.lookup_cache_gpos(&cache, usize::from(index)).ok()).collect())
    };
    read().unwrap_or_default()
}

fn kern_of(pairs: &Pairs, first: u16, second: u16) -> Option<i16> {
    let PosLookup::PairPos(tables) = &pairs.lookup_subtables else { return None };
    let met = tables.iter().find_map(|table| table.apply(first, second).ok().flatten())?;
    Some(met.0.map_or(0, |adjust| adjust.x_advance))
}
