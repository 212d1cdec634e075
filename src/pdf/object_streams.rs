//! The order of objects in a PDF: numbered by their place in the document, spelt, packed and written.
//!
//! Given a file whose objects carry whatever numbers they got; gives bytes that depend on what the file says alone.
//! Objects that are no streams stand in object streams (ISO 32000-1, 7.5.7). The file's identifier is a hash of everything
//! before it.

use super::spelt::Spelt;
use super::syntax;
use crate::model::hands;
use libdeflater::{CompressionLvl, Compressor};
use lopdf::{Document, Object, ObjectId, Stream};
use std::collections::VecDeque;
use std::sync::Mutex;
use std::thread;

/// Writes a file that begins at `root`; what cannot be reached from there is left out. Some of its objects are spelt already.
pub(super) fn write(file: Document, spelt: Spelt, root: ObjectId, information: ObjectId) -> Vec<u8> {
    let mut source = file.objects;
    let places = spelt.places();
    let mut ordered = Renumbered::default();
    let [root, information] = [root, information].map(|old| ordered.take(old));
    let mut bodies = Vec::new();
    let mut object_streams: Vec<ObjectStream> = Vec::new();
    let mut entries = vec![XrefEntry::Free];
    while let Some(&old) = ordered.queue.get(entries.len() - 1) {
        let number = entries.len();
        let place = places.get(old.0 as usize).copied().flatten();
        let object = match place {
            Some(_) => Object::Null,
            None => source.remove(&old).unwrap_or(Object::Null),
        };
        if let Object::Stream(stream) = object {
            bodies.push(StreamObject::of(number, stream, &mut ordered));
            entries.push(XrefEntry::Free);
            continue;
        }
        if object_streams.last().is_none_or(|stream| stream.starts.len() == MOST_IN_STREAM) {
            object_streams.push(ObjectStream::default());
        }
        let stream = object_streams.len() - 1;
        let index = object_streams[stream].add(number, |out| match place {
            Some(place) => spelt.write(place, out, &mut |old| ordered.take(old)),
            None => syntax::spell(out, &object, &mut |old| ordered.take(old)),
        });
        entries.push(XrefEntry::In { stream, index });
    }
    let first_stream = entries.len();
    for stream in object_streams {
        bodies.push(stream.body(entries.len()));
        entries.push(XrefEntry::Free);
    }
    pack(&mut bodies);
    let mut out = Vec::with_capacity(bodies.iter().map(|body| body.content.len() + 200).sum());
    out.extend(b"%PDF-1.7\n%\xbb\xad\xc0\xde\n");
    for body in bodies {
        entries[body.number] = XrefEntry::At(out.len());
        body.write(&mut out);
    }
    close(out, entries, first_stream, root, information)
}

/// Where an object is found.
enum XrefEntry {
    /// Nowhere: the first number is never used (7.5.4).
    Free,
    /// At a byte of the file.
    At(usize),
    /// In an object stream, from 0; at an index in it, from 0.
    In { stream: usize, index: usize },
}

/// Bytes of a [`XrefEntry`] in the file: its kind, four for where, two for which.
const ROW: usize = 7;

impl XrefEntry {
    /// Its row in the cross-reference stream (ISO 32000-1, table 18).
    fn row(&self, first_stream: usize) -> [u8; ROW] {
        let (kind, place, index) = match *self {
            XrefEntry::Free => (0, 0, usize::from(u16::MAX)),
            XrefEntry::At(byte) => (1, byte, 0),
            XrefEntry::In { stream, index } => (2, first_stream + stream, index),
        };
        let ([a, b, c, d], [e, f]) = ((place as u32).to_be_bytes(), (index as u16).to_be_bytes());
        [kind, a, b, c, d, e, f]
    }
}

/// Adds the cross-reference stream (ISO 32000-1, 7.5.8) and the end.
fn close(
    mut out: Vec<u8>,
    mut entries: Vec<XrefEntry>,
    first_stream: usize,
    root: usize,
    information: usize,
) -> Vec<u8> {
    let (start, number) = (out.len(), entries.len());
    entries.push(XrefEntry::At(start));
    let mut table = Vec::with_capacity(entries.len() * (ROW + 1));
    let mut above = [0; ROW];
    for row in entries.iter().map(|entry| entry.row(first_stream)) {
        // What each byte has more than the one above it: nearly all are 0 (ISO 32000-1, 7.4.4.4, "up").
        table.push(2);
        table.extend(row.iter().zip(above).map(|(byte, above)| byte.wrapping_sub(above)));
        above = row;
    }
    let identifier = identifier_of(&out);
    let head = format!(
        "/Type/XRef/Size {}/W[1 4 2]/Root {root} 0 R/Info {information} 0 R/ID[<{identifier}><{identifier}>]\
         /Filter/FlateDecode/DecodeParms<</Predictor 12/Columns {ROW}>>",
        entries.len()
    );
    let content = packing(QUICK, |packer| packer.pack(&table));
    StreamObject { number, head: head.into_bytes(), content, loose: false, must_pack: false }.write(&mut out);
    out.extend(format!("startxref\n{start}\n%%EOF\n").bytes());
    out
}

/// Objects in the order in which they are first spoken of.
#[derive(Default)]
struct Renumbered {
    /// The new number of each old one; 0 where it was not yet spoken of.
    numbers: Vec<usize>,
    queue: Vec<ObjectId>,
}

impl Renumbered {
    fn take(&mut self, old: ObjectId) -> usize {
        let place = old.0 as usize;
        if self.numbers.len() <= place {
            self.numbers.resize(2 * place + 1, 0);
        }
        if self.numbers[place] == 0 {
            self.queue.push(old);
            self.numbers[place] = self.queue.len();
        }
        self.numbers[place]
    }
}

/// A stream as it is written.
struct StreamObject {
    number: usize,
    /// Its dictionary without brackets and length.
    head: Vec<u8>,
    content: Vec<u8>,
    /// Not packed, and may be.
    loose: bool,
    /// What it holds is read only after it was packed: its dictionary says how.
    must_pack: bool,
}

impl StreamObject {
    /// A stream is packed whatever its maker said of it (pictures come marked as not to be packed). Metadata stays readable
    /// to tools that look for it in the file's bytes.
    fn of(number: usize, mut stream: Stream, ordered: &mut Renumbered) -> StreamObject {
        let metadata = stream.dict.get(b"Type").and_then(Object::as_name).is_ok_and(|name| name == b"Metadata");
        let loose = !metadata && !stream.dict.has(b"Filter");
        let must_pack = loose && stream.dict.has(b"DecodeParms");
        stream.dict.remove(b"Length");
        let mut head = Vec::new();
        syntax::entries(&mut head, &stream.dict, &mut |old| ordered.take(old));
        StreamObject { number, head, content: stream.content, loose, must_pack }
    }

    /// Whether other documents may hold the same: a logo, a font, a profile, which say what they are. Pages say nothing.
    fn may_recur(&self) -> bool {
        let large = (LEAST_KEPT..=MOST_KEPT).contains(&self.content.len());
        large && !self.head.is_empty() && !self.head.starts_with(b"/Type/ObjStm")
    }

    fn write(self, out: &mut Vec<u8>) {
        out.extend(format!("{} 0 obj\n<<", self.number).bytes());
        out.extend(self.head);
        out.extend(format!("/Length {}>>stream\n", self.content.len()).bytes());
        out.extend(self.content);
        // Two bytes, for content that ends in the first of them would else lose its last (ISO 32000-1, 7.3.8.1).
        out.extend(b"\r\nendstream\nendobj\n");
    }
}

/// A reader unpacks a whole object stream for one object of it.
const MOST_IN_STREAM: usize = 1000;

/// Objects that are packed together.
#[derive(Default)]
struct ObjectStream {
    /// Each object's number, and where it begins.
    starts: Vec<(usize, usize)>,
    content: Vec<u8>,
}

impl ObjectStream {
    /// Adds an object; gives its index in the stream.
    fn add(&mut self, number: usize, spell: impl FnOnce(&mut Vec<u8>)) -> usize {
        self.starts.push((number, self.content.len()));
        spell(&mut self.content);
        self.content.push(b'\n');
        self.starts.len() - 1
    }

    fn body(self, number: usize) -> StreamObject {
        let mut content = Vec::with_capacity(self.content.len() + 12 * self.starts.len());
        for figure in self.starts.iter().flat_map(|&(number, start)| [number, start]) {
            syntax::integer(&mut content, figure as i64);
            content.push(b' ');
        }
        let head = format!("/Type/ObjStm/N {}/First {}", self.starts.len(), content.len()).into_bytes();
        content.extend(self.content);
        StreamObject { number, head, content, loose: true, must_pack: false }
    }
}

/// Packs what is loose, every other body beside this thread where others are free.
fn pack(bodies: &mut [StreamObject]) {
    let mut loose: Vec<&mut StreamObject> = bodies.iter_mut().filter(|body| body.loose).collect();
    loose.sort_by_key(|body| body.content.len());
    let long = loose.iter().map(|body| body.content.len()).sum::<usize>() > LONG;
    let level = if long { HARD } else { QUICK };
    let (mut here, mut aside) = (Vec::new(), Vec::new());
    for pair in loose.chunks_mut(2) {
        let mut pair = pair.iter_mut();
        aside.extend(pair.next());
        here.extend(pair.next());
    }
    let all = |bodies: Vec<&mut &mut StreamObject>| {
        packing(level, |packer| bodies.into_iter().for_each(|body| packer.tighten(body)));
    };
    if !hands::are_free() {
        all(aside);
        return all(here);
    }
    thread::scope(|scope| {
        scope.spawn(|| all(aside));
        all(here);
    });
}

/// How hard a document is packed (libdeflate's levels, 1 to 12), and one that has more than [`LONG`] bytes to pack, where a tenth of
/// them is worth more than its time. The kitchen's three documents on 28 November 2026: level 1 gives 264 kB for 34 million
/// instructions, 3 gives 256 kB for 57, 5 gives 244 kB for 64, 6 gives 242 kB for 71.
const QUICK: i32 = 1;
const HARD: i32 = 5;
const LONG: usize = 1_000_000;

/// Packs streams, so hard.
struct Packer(i32, Compressor);

/// Those that nobody packs with just now. Each has tables of some 600 kB, which go from document to document: memory that is asked for
/// anew is cleared first, page by page.
static IDLE: Mutex<Vec<Packer>> = Mutex::new(Vec::new());

/// Packs with one that is idle, or with a new one.
fn packing<T>(level: i32, pack: impl FnOnce(&mut Packer) -> T) -> T {
    let idle = || IDLE.lock().unwrap_or_else(|e| e.into_inner());
    let known = {
        let mut idle = idle();
        idle.iter().position(|packer| packer.0 == level).map(|place| idle.swap_remove(place))
    };
    let mut packer = known.unwrap_or_else(|| Packer::new(level));
    let packed = pack(&mut packer);
    idle().push(packer);
    packed
}

impl Packer {
    fn new(level: i32) -> Packer {
        Packer(level, Compressor::new(CompressionLvl::new(level).expect("a level that there is")))
    }

    /// Packs a body where that makes it shorter.
    fn tighten(&mut self, body: &mut StreamObject) {
        if !body.must_pack && body.content.len() <= FILTER.len() + LEAST_PACKED {
            return;
        }
        let may_recur = body.may_recur();
        let known = if may_recur { packed_before(self.0, &body.content) } else { None };
        let is_new = may_recur && known.is_none();
        let packed = known.unwrap_or_else(|| self.pack(&body.content));
        if body.must_pack || packed.len() + FILTER.len() < body.content.len() {
            body.head.extend(FILTER);
            let content = std::mem::replace(&mut body.content, packed);
            if is_new {
                keep_packed(self.0, content, body.content.clone());
            }
        } else if is_new {
            keep_packed(self.0, body.content.clone(), packed);
        }
    }

    fn pack(&mut self, content: &[u8]) -> Vec<u8> {
        let mut packed = vec![0; self.1.zlib_compress_bound(content.len())];
        let length = self.1.zlib_compress(content, &mut packed).expect("the room is as much as it can take");
        packed.truncate(length);
        packed
    }
}

/// Streams of these sizes are kept packed for the next document, the last few of them.
const LEAST_KEPT: usize = 900;
const MOST_KEPT: usize = 1_000_000;
const KEPT: usize = 24;

/// How hard a stream was packed, the stream as it is, and packed.
type KeptStream = (i32, Vec<u8>, Vec<u8>);

/// What was packed last of what may recur: a firm's logo and its fonts stand in every document. The same bytes come out
/// whether it was packed before or not.
static LAST_PACKED: Mutex<VecDeque<KeptStream>> = Mutex::new(VecDeque::new());

fn packed_before(level: i32, content: &[u8]) -> Option<Vec<u8>> {
    let kept = LAST_PACKED.lock().unwrap_or_else(|e| e.into_inner());
    kept.iter().find(|(so, known, _)| *so == level && known == content).map(|(_, _, packed)| packed.clone())
}

fn keep_packed(level: i32, content: Vec<u8>, packed: Vec<u8>) {
    let mut kept = LAST_PACKED.lock().unwrap_or_else(|e| e.into_inner());
    kept.truncate(KEPT - 1);
    kept.push_front((level, content, packed));
}

const FILTER: &[u8] = b"/Filter/FlateDecode";

/// Bytes that packed content takes at least: a head of two and a sum of four (RFC 1950, 2.2), and of the few numbers and letters
/// that a field's look is drawn with some forty more. Most fields look like nothing, and to find that nothing cannot be packed
/// costs as much as to pack half a page.
const LEAST_PACKED: usize = 48;

/// Two 64-bit hashes after FNV-1a, eight bytes at a time, with different beginnings; as hexadecimal digits.
fn identifier_of(bytes: &[u8]) -> String {
    let (mut first, mut second) = (0xcbf2_9ce4_8422_2325_u64, 0x6c62_272e_07bb_0142_u64);
    let mut mix = |word: u64| {
        first = (first ^ word).wrapping_mul(0x0000_0100_0000_01b3).rotate_left(29);
        second = (second ^ word).wrapping_mul(0x0000_0100_0000_01b3).rotate_left(5);
    };
    for eight in bytes.chunks(8) {
        let mut word = [0; 8];
        word[..eight.len()].copy_from_slice(eight);
        mix(u64::from_le_bytes(word));
    }
    mix(bytes.len() as u64);
    format!("{first:016X}{second:016X}")
}
