//! The papers that carry a deal and go to the ladder, as the commands write them: survey form, day card, variation order,
//! handover, invoice, credit note, receipt and statement. Their type is held to what `typeset` asks of quote, order and method
//! statement: read back here from the PDFs themselves, by their structure and by where each line stands.

use crate::issued::{desk, done};
use crate::typeset::straight;
use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, ObjectId};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use wetout::pages::block::Span;
use wetout::pages::text::{Faults, shape};

/// A deal played from the survey to the statement, and where its papers lie. Played once for all tests.
fn papers() -> &'static [PathBuf] {
    static PAPERS: OnceLock<Vec<PathBuf>> = OnceLock::new();
    PAPERS.get_or_init(played)
}

fn played() -> Vec<PathBuf> {
    let desk = desk("carried-papers");
    let out = desk.join("out");
    let to = out.to_str().unwrap().to_owned();
    let file = |name: &str| desk.join(name).to_str().unwrap().to_owned();
    let (firm, prices, found) = (file("firm.yaml"), file("prices.yaml"), file("k/found.yaml"));
    done(&desk, &["survey", "--out", &to, "--firm", &firm, "--prices", &prices, "--date", "2026-11-25"]);
    done(&desk, &["method", "JOB", "--day", "2", "--out", &to]);
    done(&desk, &["issue", "JOB", "quote"]);
    done(&desk, &["accept", "JOB", "--on", "2026-12-02", "--name", "R. Okafor"]);
    done(&desk, &["invoice", "JOB", "--stage", "1", "--on", "2026-12-03"]);
    done(&desk, &["receipt", "JOB", "1", "--paid", "1000", "--on", "2026-12-09"]);
    done(&desk, &["variation", "JOB", &found, "--on", "2027-01-19"]);
    done(&desk, &["variation", "JOB", "--agreed", "1", "--on", "2027-01-20", "--name", "R. Okafor"]);
    let record = desk.join("k/record.yaml");
    let said = std::fs::read_to_string(&record).unwrap();
    std::fs::write(&record, said + "\nvariations: {1: yes}\n").unwrap();
    done(&desk, &["handover", "JOB", "--on", "2027-01-22"]);
    done(&desk, &["invoice", "JOB", "--stage", "2", "--on", "2027-01-22"]);
    done(&desk, &["invoice", "JOB", "--credit", "2", "--because", "wrong address", "--on", "2027-01-22"]);
    done(&desk, &["account", "JOB", "--today", "2027-01-23", "--out", &to]);
    let issued = |folder: &str, name: &str| desk.join("k/issued").join(format!("26-041-{folder}")).join(name);
    vec![
        out.join("survey.pdf"),
        out.join("day-2.pdf"),
        out.join("account.pdf"),
        issued("variation-1", "variation.pdf"),
        issued("handover-1", "handover.pdf"),
        issued("invoice-1", "invoice.pdf"),
        issued("invoice-2", "invoice.pdf"),
        issued("invoice-3", "credit.pdf"),
        issued("receipt-1", "receipt.pdf"),
    ]
}

/// What is marked on a page under one number: its words, and the heights of its lines in tenths of a point.
#[derive(Default)]
struct Marked {
    words: String,
    lines: BTreeSet<i64>,
}

/// A paragraph or an item of a list: its words, and of each page on which it stands the heights of its lines.
#[derive(Default)]
struct SetParagraph {
    words: String,
    pages: BTreeMap<usize, BTreeSet<i64>>,
}

struct Reader {
    pdf: Document,
    pages: BTreeMap<ObjectId, usize>,
    marked: Vec<BTreeMap<i64, Marked>>,
}

impl Reader {
    fn of(path: &Path) -> Reader {
        let pdf = Document::load(path).unwrap();
        let pages: Vec<ObjectId> = pdf.get_pages().into_values().collect();
        let marked = pages.iter().map(|page| marked(&pdf, *page)).collect();
        Reader { pages: pages.into_iter().enumerate().map(|(n, id)| (id, n)).collect(), marked, pdf }
    }

    fn paragraphs(&self) -> Vec<SetParagraph> {
        let root = self.pdf.catalog().unwrap().get(b"StructTreeRoot").unwrap();
        let mut found = Vec::new();
        self.walk(root, None, None, &mut found);
        found
    }

    /// Goes down the tree of meaning; `into` is the paragraph that is being read, by its place among those found.
    fn walk(&self, object: &Object, page: Option<usize>, into: Option<usize>, found: &mut Vec<SetParagraph>) {
        match self.pdf.dereference(object).unwrap().1 {
            Object::Array(all) => all.iter().for_each(|one| self.walk(one, page, into, found)),
            Object::Integer(number) => self.take(*number, page, into, found),
            Object::Dictionary(element) => self.element(element, page, into, found),
            _ => {}
        }
    }

    fn element(&self, element: &Dictionary, page: Option<usize>, into: Option<usize>, found: &mut Vec<SetParagraph>) {
        let own = element.get(b"Pg").ok().and_then(|page| page.as_reference().ok());
        let page = own.and_then(|id| self.pages.get(&id).copied()).or(page);
        if let Ok(number) = element.get(b"MCID").and_then(Object::as_i64) {
            return self.take(number, page, into, found);
        }
        let into = match element.get(b"S").and_then(Object::as_name).unwrap_or_default() {
            b"P" | b"LBody" => {
                found.push(SetParagraph::default());
                Some(found.len() - 1)
            }
            b"TD" | b"TH" | b"Caption" | b"Note" | b"FENote" | b"Figure" => None,
            _ => into,
        };
        if let Ok(kids) = element.get(b"K") {
            self.walk(kids, page, into, found);
        }
    }

    fn take(&self, number: i64, page: Option<usize>, into: Option<usize>, found: &mut [SetParagraph]) {
        let (Some(page), Some(into)) = (page, into) else { return };
        let Some(marked) = self.marked[page].get(&number) else { return };
        found[into].words.push_str(&marked.words);
        found[into].pages.entry(page).or_default().extend(&marked.lines);
    }
}

fn number(object: &Object) -> f64 {
    f64::from(object.as_float().unwrap_or_default())
}

/// What stands on a page under each number of its marked content.
fn marked(pdf: &Document, page: ObjectId) -> BTreeMap<i64, Marked> {
    let fonts = pdf.get_page_fonts(page).unwrap();
    let mut all: BTreeMap<i64, Marked> = BTreeMap::new();
    let (mut open, mut y, mut font): (Vec<Option<i64>>, f64, &[u8]) = (Vec::new(), 0.0, b"");
    let content = Content::decode(&pdf.get_page_content(page)).unwrap();
    for operation in &content.operations {
        let given = &operation.operands;
        match operation.operator.as_str() {
            "BDC" => {
                let named = given.get(1).and_then(|o| o.as_dict().ok());
                open.push(named.and_then(|d| d.get(b"MCID").and_then(Object::as_i64).ok()));
            }
            "BMC" => open.push(None),
            "EMC" => drop(open.pop()),
            "BT" => y = 0.0,
            "Td" => y += number(&given[1]),
            "Tm" => y = number(&given[5]),
            "Tf" => font = given[0].as_name().unwrap(),
            "Tj" | "TJ" => {
                let Some(into) = open.iter().rev().find_map(|mark| *mark) else { continue };
                let encoding = fonts[font].get_font_encoding(pdf).unwrap();
                let parts = match &given[0] {
                    Object::Array(parts) => parts.iter().filter(|part| part.as_str().is_ok()).collect(),
                    one => vec![one],
                };
                let into = all.entry(into).or_default();
                for part in parts {
                    into.words.push_str(&Document::decode_text(&encoding, part.as_str().unwrap()).unwrap());
                }
                into.lines.insert((y * 10.0).round() as i64);
            }
            _ => {}
        }
    }
    all
}

fn name_of(path: &Path) -> String {
    path.file_name().unwrap().to_string_lossy().into_owned()
}

#[test]
fn no_straight_mark_of_quotation_stands_on_them() {
    for path in papers() {
        let reader = Reader::of(path);
        let texts: Vec<&String> = reader.marked.iter().flatten().map(|(_, marked)| &marked.words).collect();
        assert!(texts.iter().map(|words| words.len()).sum::<usize>() > 300, "{}: hardly read", name_of(path));
        let found: Vec<_> = texts.iter().filter(|words| straight(words)).collect();
        assert!(found.is_empty(), "{}: {found:?}", name_of(path));
    }
}

#[test]
fn no_line_of_their_paragraphs_stands_alone_on_a_page() {
    let mut of_several_lines = 0;
    for path in papers() {
        let paragraphs = Reader::of(path).paragraphs();
        of_several_lines += paragraphs.iter().filter(|p| p.pages.values().any(|lines| lines.len() > 1)).count();
        let alone = |p: &&SetParagraph| p.pages.len() > 1 && p.pages.values().any(|lines| lines.len() == 1);
        let found: Vec<&String> = paragraphs.iter().filter(alone).map(|p| &p.words).collect();
        assert!(found.is_empty(), "{}: {found:?}", name_of(path));
    }
    assert!(of_several_lines > 20, "{of_several_lines} paragraphs of several lines were read");
}

/// The same share as of the other documents, over all of them together: some hold but a few lines.
#[test]
fn few_of_their_lines_end_before_a_word_that_would_fit() {
    let mut faults = Faults::default();
    let paragraphs: BTreeSet<String> =
        papers().iter().flat_map(|path| Reader::of(path).paragraphs()).map(|p| p.words).collect();
    assert!(paragraphs.len() > 60, "{}", paragraphs.len());
    for width in [479.0, 225.0] {
        let of = |words: &String, faults: &mut Faults| {
            shape(&[Span::plain(words.as_str())], false, faults).ending_early(10.0, width)
        };
        let counts = paragraphs.iter().map(|words| of(words, &mut faults));
        let (early, all) = counts.fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        assert!(all > 40 && 100 * early < 6 * all, "{width} pt: {early} of {all} lines");
    }
}
