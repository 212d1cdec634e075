//! The firm's own fonts: which style each file is for, and whether documents can be set in it.
//!
//! Given font files as they were read; gives [`Fonts`] in which they stand in for the built-in faces, or every problem of
//! every file. A file is looked at once in a process, however many documents are set in it; its bytes are then kept until
//! the process ends.

use super::fonts::{FACES, Face, Fonts, LoadedFace, Style, Unfit};
use crate::model::problem::Source;
use crate::model::words::plural;
use crate::model::{Problem, Whereabouts};
use std::sync::Mutex;

/// A font file of the firm, as it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FontFile {
    /// File name.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// Characters beyond ASCII that the documents print whatever the job says.
pub const NEEDED: &str = "£°²³·¹×÷—–’‘“”•…→■▶☐⚠⁰⁴⁵⁶⁷⁸⁹−½¼¾ó";
/// Most missing characters that are named.
const MOST_NAMED: usize = 12;

/// The fonts with the firm's own in place of the built-in ones of the same style. `first` is the place of the first of
/// them among the firm's own files.
///
/// # Errors
/// Every file whose style cannot be told, that is no font or cannot be used, or lacks what the documents need.
pub fn fonts(files: &[FontFile], first: usize) -> Result<Fonts, Vec<Problem>> {
    let mut fonts = Fonts::default();
    let mut problems = Vec::new();
    let mut taken: Vec<(Face, usize)> = Vec::new();
    for (n, file) in files.iter().enumerate() {
        match read(file, &taken, files) {
            Ok((face, loaded)) => {
                fonts.replace(face, loaded);
                taken.push((face, n));
            }
            Err(problem) => problems.push(problem.within(Source::Own(first + n))),
        }
    }
    for &(face, n) in &taken {
        let missing = missing(&fonts, face);
        if !missing.is_empty() {
            problems.push(lacks(&files[n].name, &missing).within(Source::Own(first + n)));
        }
    }
    if problems.is_empty() { Ok(fonts) } else { Err(problems) }
}

fn read(file: &FontFile, taken: &[(Face, usize)], files: &[FontFile]) -> Result<(Face, &'static LoadedFace), Problem> {
    let face = face_of(&file.name).ok_or_else(|| no_style(&file.name))?;
    if let Some((_, other)) = taken.iter().find(|(known, _)| *known == face) {
        let fault = format!("`{}` and `{}` are both for {}", files[*other].name, file.name, style_of(face));
        return Err(Problem::fault(Whereabouts::WholeFile, fault, "keep one of the two"));
    }
    loaded(&file.bytes).map(|loaded| (face, loaded)).map_err(|unfit| unusable(&file.name, unfit))
}

/// `regular.ttf`, `Name-Bold.ttf`: the end of the name says the style.
fn face_of(name: &str) -> Option<Face> {
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem).to_lowercase();
    let stem: String = stem.chars().filter(|c| c.is_alphanumeric()).collect();
    let both = stem.ends_with("bolditalic") || stem.ends_with("boldoblique") || stem.ends_with("semibold");
    let ends = |ending: &str| stem.ends_with(ending) && !both && !stem.ends_with(&format!("extra{ending}"));
    match () {
        () if ends("regular") || ends("roman") => Some(Face::Regular),
        () if ends("bold") => Some(Face::Bold),
        () if stem == "italic" || stem == "oblique" || ends_plainly(&stem) => Some(Face::Italic),
        () if ends("symbols") => Some(Face::Symbols),
        () if ends("math") => Some(Face::Math),
        () => None,
    }
}

/// Whether a name ends in an upright-weight italic: `nameitalic`, never `namelightitalic`.
fn ends_plainly(stem: &str) -> bool {
    let weights = ["thin", "light", "medium", "bold", "black", "heavy"];
    let before = stem.strip_suffix("italic").or(stem.strip_suffix("oblique"));
    before.is_some_and(|before| !weights.iter().any(|weight| before.ends_with(weight)))
}

fn style_of(face: Face) -> &'static str {
    match face {
        Face::Regular => "upright text",
        Face::Bold => "bold text",
        Face::Italic => "italic text",
        Face::Symbols => "signs",
        Face::Math => "mathematical signs",
    }
}

fn no_style(name: &str) -> Problem {
    let cure = "call it regular.ttf, bold.ttf, italic.ttf, symbols.ttf or math.ttf, let its name end in one of these \
                words, or take it out of the folder";
    Problem::fault(
        Whereabouts::WholeFile,
        format!("the name of the font `{name}` does not say which style it is for"),
        cure,
    )
}

fn unusable(name: &str, unfit: Unfit) -> Problem {
    let (fault, cure) = match unfit {
        Unfit::NoFont => {
            ("is no font, or is broken", "copy it again, or use another; TrueType fonts (.ttf) are wanted")
        }
        Unfit::Outlines => {
            ("has no TrueType outlines, and PDFs of this kind need them", "use its TrueType version (.ttf)")
        }
        Unfit::Variable => ("is a variable font: one file for many weights", "use a file of one weight"),
        Unfit::Locked => {
            ("says that it may not be put into documents, or not in part", "use a font whose licence allows it")
        }
    };
    Problem::fault(Whereabouts::WholeFile, format!("the font `{name}` {fault}"), cure)
}

/// A font that was looked at: its bytes, and the face or why there is none.
type Seen = (&'static [u8], Result<&'static LoadedFace, Unfit>);

/// Looks at a font once in a process.
fn loaded(bytes: &[u8]) -> Result<&'static LoadedFace, Unfit> {
    static KNOWN: Mutex<Vec<Seen>> = Mutex::new(Vec::new());
    let mut known = KNOWN.lock().unwrap_or_else(|e| e.into_inner());
    if let Some((_, found)) = known.iter().find(|(same, _)| *same == bytes) {
        return *found;
    }
    let kept: &'static [u8] = bytes.to_vec().leak();
    let found = LoadedFace::of_a_firm(kept).map(|loaded| &*Box::leak(Box::new(loaded)));
    known.push((kept, found));
    found
}

/// What the documents need and would not find where this face is asked first.
fn missing(fonts: &Fonts, face: Face) -> Vec<char> {
    let styles = match face {
        Face::Regular => vec![Style::default()],
        Face::Bold => vec![Style { bold: true, italic: false }],
        Face::Italic => vec![Style { bold: false, italic: true }],
        Face::Symbols | Face::Math => {
            let own_text = FACES[..3].iter().any(|&text| fonts.is_own(text));
            if own_text { Vec::new() } else { vec![Style::default()] }
        }
    };
    let needed = (' '..='~').chain(NEEDED.chars());
    needed.filter(|&c| styles.iter().any(|&style| fonts.glyph(style, c).is_none())).collect()
}

fn lacks(name: &str, missing: &[char]) -> Problem {
    let shown: Vec<String> = missing.iter().take(MOST_NAMED).map(|&c| shown(c)).collect();
    let more = missing.len().saturating_sub(MOST_NAMED);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let count = plural(missing.len(), "character", "characters");
    let fault = format!("the font `{name}` lacks {count} that the documents need: {}{more}", shown.join(" "));
    Problem::fault(Whereabouts::WholeFile, fault, "use a font that has them, or add a `symbols.ttf` that does")
}

fn shown(c: char) -> String {
    if c == ' ' { "the space".to_owned() } else { format!("“{c}” (U+{:04X})", u32::from(c)) }
}
