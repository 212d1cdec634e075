//! The form: pages to be filled in on the ladder with a pencil, or on a screen.
//!
//! Given the lists and how many roofs there is a page for; gives a document. Every box is a field that is called by its
//! question, so that the form is read back by names alone. What is chosen from a long list is printed below it, for whoever
//! has a pencil.

use super::lists::{ChoiceList, Lists};
use super::question::{
    AnswerKind, Ask, DOORS, EXTRAS, OPENINGS, OUTLETS, PATCHES, SIDES, SurveyQuestion, TIES, What, letter, questions,
};
use crate::model::firm::Accent;
use crate::model::words::capital;
use crate::model::{Access, Finish, Firm};
use crate::pages::block::{
    Block, BoxTable, Document, Figure, Fitting, FormBox, FormFilling, FormTick, Letterhead, Span, Tone,
};
use crate::pages::scene::{Anchor, Ink, Mark, Pen, Scene, Spot};
use std::collections::BTreeMap;
use time::Date;

/// Most roofs that a form has a page for.
pub const MOST_ROOFS: u8 = 4;

/// The form.
pub fn document(lists: &Lists, firm: Option<&Firm>, roofs: u8, date: Date) -> Document {
    let form = FormPages { lists, questions: questions(roofs).into_iter().map(|q| (q.ask, q)).collect() };
    let mut blocks = form.front();
    for roof in 1..=roofs {
        blocks.push(Block::PageBreak);
        blocks.extend(form.roof(roof, roofs));
        blocks.push(Block::PageBreak);
        blocks.extend(form.through_roof(roof, roofs));
        blocks.push(Block::PageBreak);
        blocks.extend(form.more_of_roof(roof, roofs));
    }
    blocks.push(Block::PageBreak);
    blocks.extend(form.end());
    let name = firm.map_or_else(String::new, |firm| firm.party.name.clone());
    Document {
        title: "Survey of a flat roof".to_owned(),
        author: if name.is_empty() { "wetout".to_owned() } else { name.clone() },
        subject: "What is measured and asked on the ladder".to_owned(),
        date,
        reference: String::new(),
        // Room for a pencil, without a line: what is no field does not look like one on a screen.
        by_hand: format!("Reference:{}Whose roof, where:", "\u{a0}".repeat(32)),
        footer: if name.is_empty() {
            "Survey of a flat roof".to_owned()
        } else {
            format!("{name} · Survey of a flat roof")
        },
        standing: String::new(),
        letterhead: Letterhead {
            logo: firm.and_then(|firm| firm.logo.clone()),
            name: if name.is_empty() { "Survey".to_owned() } else { name },
            lines: firm.map_or_else(Vec::new, |firm| vec![firm.party.phone.clone().unwrap_or_default()]),
        },
        accent: firm.map_or(Accent { rgb: [0x24, 0x52, 0x6b] }, |firm| firm.accent),
        text_size: SIZE,
        fitting: Fitting::OneSize,
        blocks,
        attachments: Vec::new(),
        closer: None,
    }
}

/// Size of running text, pt.
const SIZE: f64 = 9.4;

/// So many words of a list are printed for whoever has a pencil.
const MOST_LISTED: usize = 12;

struct FormPages<'a> {
    lists: &'a Lists,
    questions: BTreeMap<Ask, SurveyQuestion>,
}

/// The names of so many rows: `1`, `2`, `3`.
fn numbered(count: u8) -> Vec<String> {
    (1..=count).map(|n| n.to_string()).collect()
}

/// What a roof is called on the form.
fn called(roof: u8, roofs: u8) -> String {
    if roofs == 1 { "The roof".to_owned() } else { format!("Roof {roof}") }
}

/// What stands over a box whose question alone does not say what is written into it.
const fn how_written(what: What) -> Option<&'static str> {
    match what {
        What::Fall => Some("Fall, as 1:40"),
        What::BoxFall => Some("Fall, 1:"),
        What::WayOff => Some("Way off, side"),
        _ => None,
    }
}

fn job(what: What) -> Ask {
    Ask { roof: 0, item: 0, what }
}

fn heading(level: u8, words: &str) -> Block {
    Block::Heading { level, text: vec![Span::plain(words)] }
}

fn paragraph(words: &str) -> Block {
    Block::Paragraph(vec![Span::plain(words)])
}

impl FormPages<'_> {
    // ---- Places to fill in --------------------------------------------------------------------------------------------

    fn filling(&self, ask: Ask) -> FormFilling {
        let Some(question) = self.questions.get(&ask) else { return FormFilling::Nothing };
        let ChoiceList { words, free } = self.lists.choices(question);
        let name = question.name.clone();
        match question.kind {
            AnswerKind::Ticked => FormFilling::Ticks(
                words.into_iter().map(|word| FormTick { name: question.tick(&word), word }).collect(),
            ),
            AnswerKind::YesTick => {
                FormFilling::Ticks(vec![FormTick { name: question.tick("yes"), word: String::new() }])
            }
            // A list takes none but its own words in many programs: where others may be written, it is a line.
            AnswerKind::Listed | AnswerKind::SideLetter if !words.is_empty() && !free => {
                FormFilling::OneOf { name, choices: words }
            }
            _ => FormFilling::Words(name),
        }
    }

    fn a_box(&self, ask: Ask, twelfths: u8, lines: u8) -> FormBox {
        let asked = || self.questions.get(&ask).map_or_else(String::new, |question| question.label.clone());
        let label = how_written(ask.what).map_or_else(asked, str::to_owned);
        FormBox { label, twelfths, lines, filling: self.filling(ask) }
    }

    /// Boxes of the job, each with the part of the row and the lines that it takes.
    fn boxes(&self, roof: u8, rows: &[(What, u8, u8)]) -> Block {
        let one = |&(what, twelfths, lines): &(What, u8, u8)| self.a_box(Ask { roof, item: 0, what }, twelfths, lines);
        Block::Boxes(rows.iter().map(one).collect())
    }

    /// A table with a row for each of several things.
    fn table(&self, roof: u8, (of, share): (&str, u16), columns: &[(&str, u16, What)], rows: Vec<String>) -> Block {
        let cells = |item: u8| columns.iter().map(|(.., what)| self.filling(Ask { roof, item, what: *what })).collect();
        let columns = columns.iter().map(|(heading, share, _)| (capital(heading), *share)).collect();
        let rows = rows.into_iter().zip(1..).map(|(name, item)| (name, cells(item))).collect();
        Block::BoxTable(BoxTable { of: of.to_owned(), share, columns, rows })
    }

    /// What can be written into some boxes, for whoever has a pencil.
    fn legend(&self, roof: u8, whats: &[What]) -> Block {
        let mut spans = Vec::new();
        for &what in whats {
            let item = u8::from(matches!(what, What::SideFlashing | What::SideGutter));
            let Some(question) = self.questions.get(&Ask { roof, item, what }) else { continue };
            let words = self.lists.choices(question).words;
            if words.is_empty() {
                continue;
            }
            let parted = if spans.is_empty() { "" } else { "   " };
            spans.push(Span::bold(format!("{parted}{}: ", capital(&question.label))));
            let more = if words.len() > MOST_LISTED { " · …" } else { "" };
            let listed: Vec<&str> = words.iter().map(String::as_str).take(MOST_LISTED).collect();
            let before = if matches!(what, What::OldBoards | What::SideGutter) { "for example " } else { "" };
            spans.push(Span::plain(format!("{before}{}{more}", listed.join(" · "))));
        }
        Block::Small(vec![Block::Paragraph(spans)])
    }

    // ---- Pages --------------------------------------------------------------------------------------------------------

    fn front(&self) -> Vec<Block> {
        let yes_no = |access: Access, word: &str| {
            let question = self.questions.get(&job(What::Access(access)));
            FormFilling::Ticks(
                question.map(|q| FormTick { word: String::new(), name: q.tick(word) }).into_iter().collect(),
            )
        };
        let asked = |access: Access| {
            let words = capital(access.words());
            (words, vec![yes_no(access, "yes"), yes_no(access, "no"), self.filling(job(What::AccessSum(access)))])
        };
        vec![
            heading(1, "Survey of a flat roof"),
            paragraph(
                "Fill it in by hand with a pencil, or on a screen; an empty box is asked for later. A length without its unit \
                 is in the unit of its box. A tie is a diagonal; corner A/B is where side A meets side B. Each further roof takes pages 2 \
                 to 4 of its own.",
            ),
            heading(2, "Who and where"),
            self.boxes(0, &[(What::Reference, 3, 1), (What::Title, 6, 1), (What::SurveyedOn, 3, 1)]),
            self.boxes(
                0,
                &[
                    (What::CustomerName, 7, 1),
                    (What::CustomerPhone, 5, 1),
                    (What::CustomerAddress, 7, 3),
                    (What::SiteAddress, 5, 3),
                    (What::CustomerEmail, 7, 1),
                    (What::Start, 5, 1),
                ],
            ),
            heading(2, "The place"),
            self.boxes(
                0,
                &[
                    (What::EavesHeight, 3, 1),
                    (What::Boundary, 3, 1),
                    (What::FlashingBy, 6, 1),
                    (What::WayIn, 6, 1),
                    (What::DeliveryNote, 6, 1),
                    (What::Hospital, 12, 1),
                ],
            ),
            heading(2, "Always asked"),
            Block::BoxTable(BoxTable {
                of: "Is it in the price?".to_owned(),
                share: 58,
                columns: vec![("Yes".to_owned(), 10), ("No".to_owned(), 10), ("Or a sum, £".to_owned(), 22)],
                rows: Access::all().map(asked).collect(),
            }),
            heading(2, "Asbestos"),
            self.boxes(0, &[(What::BuiltBefore, 5, 1), (What::Asbestos, 7, 1)]),
            Block::Callout {
                tone: Tone::Caution,
                title: "Not known counts as yes".to_owned(),
                blocks: vec![paragraph(
                    "Old felt, boards, soffits and gutters from before 2000 may hold asbestos. Take no sample, break and drill \
                     nothing: have it surveyed. The order is held until the result is in.",
                )],
            },
            Block::Small(vec![Block::Paragraph(vec![
                Span::plain("For the office: filled in on a screen it becomes a job by "),
                Span::bold("wetout new FOLDER --from survey.pdf"),
            ])]),
        ]
    }

    fn roof(&self, roof: u8, roofs: u8) -> Vec<Block> {
        let title = called(roof, roofs);
        let ties = ["from corner", "to corner", "distance, m"];
        let ties =
            ties.iter().zip([What::TieFrom, What::TieTo, What::TieLength]).map(|(words, what)| (*words, 10, what));
        let letters: Vec<String> = (1..=SIDES).map(|side| letter(side).to_string()).collect();
        let beside = vec![
            self.boxes(roof, &[(What::RoofName, 7, 1), (What::MeasuredTo, 5, 1), (What::Work, 12, 1)]),
            self.table(roof, ("Tie", 4), &ties.collect::<Vec<_>>(), numbered(TIES)),
            self.boxes(
                roof,
                &[
                    (What::FallsTo, 4, 1),
                    (What::Fall, 4, 1),
                    (What::WayOff, 4, 1),
                    (What::Firrings, 8, 1),
                    (What::WallAbove, 4, 1),
                    (What::LadderSide, 4, 1),
                    (What::LadderAt, 4, 1),
                    (What::RoofPhotos, 4, 1),
                ],
            ),
        ];
        vec![
            heading(2, &title),
            Block::Columns(vec![vec![Block::Figure(sketch())], beside]),
            self.sides(roof, letters),
            self.boxes(
                roof,
                &[
                    (What::JoistRun, 4, 1),
                    (What::JoistSpacing, 2, 1),
                    (What::DeckAction, 4, 1),
                    (What::OldBoards, 2, 1),
                    (What::Board, 2, 1),
                    (What::Mat, 1, 1),
                    (What::Layers, 1, 1),
                    (What::Colour, 2, 1),
                    (What::Surface, 2, 1),
                    (What::OldCovering, 2, 1),
                    (What::Tip, 2, 1),
                ],
            ),
            self.legend(
                roof,
                &[
                    What::SideFlashing,
                    What::SideGutter,
                    What::OldBoards,
                    What::Board,
                    What::Mat,
                    What::Colour,
                    What::Surface,
                    What::OldCovering,
                    What::Tip,
                ],
            ),
        ]
    }

    /// What comes through a roof, and what not every one has at its edges.
    fn through_roof(&self, roof: u8, roofs: u8) -> Vec<Block> {
        vec![
            heading(2, &format!("{}: openings, outlets, doors, edges", called(roof, roofs))),
            self.table(
                roof,
                ("Opening", 8),
                &[
                    ("rooflight, hatch, chimney, pipe", 13, What::OpeningName),
                    ("finish", 17, What::OpeningFinish),
                    ("along the front to it, m", 8, What::OpeningAlong),
                    ("up the roof to it, m", 8, What::OpeningUp),
                    ("its width, m", 8, What::OpeningWidth),
                    ("its depth, m", 8, What::OpeningDepth),
                    ("or pipe, mm across", 8, What::OpeningRound),
                    ("old kerb, mm high", 7, What::OpeningUpstand),
                    ("new kerb, mm × mm", 9, What::OpeningKerb),
                    ("joists cut, mm × mm", 10, What::OpeningTrimmers),
                ],
                numbered(OPENINGS),
            ),
            Block::Columns(vec![
                vec![self.table(
                    roof,
                    ("Outlet", 12),
                    &[
                        ("along, m", 14, What::OutletAlong),
                        ("up, m", 14, What::OutletUp),
                        ("pipe, mm", 14, What::OutletSize),
                        ("water over, mm", 14, What::OutletHead),
                        ("leaf guard", 10, What::OutletStrainer),
                    ],
                    numbered(OUTLETS),
                )],
                vec![self.table(
                    roof,
                    ("Door", 10),
                    &[
                        ("in side", 12, What::DoorSide),
                        ("from its start, m", 16, What::DoorFrom),
                        ("width, m", 14, What::DoorWidth),
                        ("sill over old roof, mm", 18, What::DoorSill),
                    ],
                    numbered(DOORS),
                )],
            ]),
            heading(3, "Low wall, tiles above, box gutter, overflow"),
            self.boxes(
                roof,
                &[
                    (What::CopingSide, 4, 1),
                    (What::CopingHeight, 2, 1),
                    (What::CopingWidth, 2, 1),
                    (What::CopingCover, 4, 1),
                    (What::CopingBy, 4, 1),
                    (What::CopingBoard, 3, 1),
                    (What::BoxBoard, 5, 1),
                    (What::BoxWidth, 3, 1),
                    (What::BoxDepth, 2, 1),
                    (What::BoxFall, 1, 1),
                    (What::BoxOutletAt, 2, 1),
                    (What::BoxOutletSize, 2, 1),
                    (What::BoxOutletHead, 2, 1),
                    (What::OverflowSide, 3, 1),
                    (What::OverflowAt, 2, 1),
                    (What::OverflowWidth, 2, 1),
                    (What::OverflowHeight, 2, 1),
                    (What::OverflowAbove, 3, 1),
                    (What::TilesCovering, 3, 1),
                    (What::TilesGauge, 2, 1),
                    (What::TilesCover, 2, 1),
                    (What::TilesPitch, 1, 1),
                    (What::TilesBy, 4, 1),
                    (What::RoofAboveArea, 8, 1),
                    (What::RoofAbovePitch, 4, 1),
                ],
            ),
            self.legend(roof, &[What::TilesCovering]),
        ]
    }

    /// What not every roof has under its covering.
    fn more_of_roof(&self, roof: u8, roofs: u8) -> Vec<Block> {
        vec![
            heading(2, &format!("{}: joists, insulation, patches", called(roof, roofs))),
            heading(3, "Joists off the spacing"),
            self.boxes(roof, &[(What::JoistFirst, 6, 1), (What::JoistLast, 6, 1)]),
            heading(3, "Insulation, from the ceiling to the covering"),
            self.boxes(
                roof,
                &[
                    (What::BuildKind, 4, 1),
                    (What::BuildWork, 5, 1),
                    (What::UValueNow, 3, 1),
                    (What::CeilingName, 6, 1),
                    (What::CeilingThickness, 3, 1),
                    (What::CeilingLambda, 3, 1),
                    (What::JoistBreadth, 3, 1),
                    (What::JoistDepth, 3, 1),
                    (What::VapourWidth, 3, 1),
                    (What::VapourLength, 3, 1),
                    (What::InsulationBoard, 6, 1),
                    (What::Overlay, 6, 1),
                    (What::BetweenName, 4, 1),
                    (What::BetweenThickness, 2, 1),
                    (What::BetweenLambda, 2, 1),
                    (What::Void, 2, 1),
                    (What::VentGap, 2, 1),
                ],
            ),
            self.legend(roof, &[What::InsulationBoard, What::Overlay]),
            heading(3, "An old laminate that stays: repaired, coated, or both"),
            self.boxes(roof, &[(What::Trims, 6, 1), (What::Prepare, 6, 1)]),
            self.table(
                roof,
                ("Patch", 6),
                &[
                    ("what and where, as it is cut back", 24, What::PatchName),
                    ("along the front to it, m", 10, What::PatchAlong),
                    ("up the roof to it, m", 10, What::PatchUp),
                    ("its width, m", 9, What::PatchWidth),
                    ("its depth, m", 9, What::PatchDepth),
                    ("of it along a trim or wall, m", 11, What::PatchAtEdge),
                    ("layers", 7, What::PatchLayers),
                    ("board let in", 14, What::PatchDeck),
                ],
                numbered(PATCHES),
            ),
        ]
    }

    /// The sides of a roof: a box for each finish that there is.
    fn sides(&self, roof: u8, letters: Vec<String>) -> Block {
        let at = |item: u8, what: What| Ask { roof, item, what };
        let finishes = self.questions.get(&at(1, What::SideFinish)).map(|question| self.lists.choices(question).words);
        let finishes = finishes.unwrap_or_default();
        let mut columns =
            vec![("Turn into it: left (or empty), right, left 45".to_owned(), 13), ("Length, m".to_owned(), 13)];
        // Beside a column for the gutter under an edge, the one built into it is named in full.
        let named = |word: &String| if word == Finish::Gutter.word() { "box gutter".to_owned() } else { word.clone() };
        columns.extend(finishes.iter().map(|word| (capital(&named(word)), 7)));
        columns.extend([
            ("Height free at the wall, mm".to_owned(), 12),
            ("Flashing at the wall".to_owned(), 13),
            ("Gutter under it".to_owned(), 20),
        ]);
        let row = |(name, item): (String, u8)| {
            let ticks = finishes.iter().map(|word| {
                let question = self.questions.get(&at(item, What::SideFinish));
                FormFilling::Ticks(
                    question.map(|q| FormTick { word: String::new(), name: q.tick(word) }).into_iter().collect(),
                )
            });
            let mut cells = vec![self.filling(at(item, What::SideTurn)), self.filling(at(item, What::SideLength))];
            cells.extend(ticks);
            cells.extend(
                [What::SideUpstand, What::SideFlashing, What::SideGutter].map(|what| self.filling(at(item, what))),
            );
            (name, cells)
        };
        let rows = letters.into_iter().zip(1..).map(row).collect();
        Block::BoxTable(BoxTable { of: "Side".to_owned(), share: 6, columns, rows })
    }

    fn end(&self) -> Vec<Block> {
        vec![
            heading(2, "Extras"),
            paragraph("What is done beside the roof: a fascia, a soffit, a cowl. One of the two sums for each."),
            self.table(
                0,
                ("Extra", 6),
                &[
                    ("what", 44, What::ExtraItem),
                    ("it costs us, £", 14, What::ExtraCost),
                    ("or sold for, £", 14, What::ExtraPrice),
                    ("offered with a box to tick", 12, What::ExtraOptional),
                ],
                numbered(EXTRAS),
            ),
            heading(2, "Notes"),
            Block::Boxes(vec![FormBox {
                label: "What the office must know: rot, ceilings below, neighbours, what was promised".to_owned(),
                ..self.a_box(job(What::Notes), 12, 16)
            }]),
            heading(2, "Shown and measured"),
            paragraph(
                "The customer has shown the roof and what is to be done. Nothing is ordered or agreed by this: the quote says what \
                 is done and what it costs.",
            ),
            Block::Boxes(vec![
                self.a_box(job(What::ShownBy), 6, 1),
                FormBox { label: "Day".to_owned(), twelfths: 2, lines: 2, filling: FormFilling::Hand },
                FormBox { label: "Signature".to_owned(), twelfths: 4, lines: 2, filling: FormFilling::Hand },
                self.a_box(job(What::SurveyedBy), 6, 1),
                FormBox { label: "Day".to_owned(), twelfths: 2, lines: 2, filling: FormFilling::Hand },
                FormBox { label: "Signature".to_owned(), twelfths: 4, lines: 2, filling: FormFilling::Hand },
            ]),
        ]
    }
}

// ---- The sketch ----------------------------------------------------------------------------------------------------------

/// Room for a sketch: a grid, with a small roof beside it that shows how its sides are lettered.
fn sketch() -> Figure {
    const WIDTH: f64 = 246.0;
    const HEIGHT: f64 = 182.0;
    const STEP: f64 = 14.0;
    let mut scene = Scene { width: WIDTH, height: HEIGHT, ..Scene::default() };
    let faint = Pen { ink: Ink::Grey(0.8), width: 0.35, dash: None };
    let spot = |x: f64, y: f64| Spot { x, y };
    let mut x = STEP;
    while x < WIDTH {
        scene.marks.push(Mark::Line { spots: vec![spot(x, 0.0), spot(x, HEIGHT)], pen: faint });
        x += STEP;
    }
    let mut y = STEP;
    while y < HEIGHT {
        scene.marks.push(Mark::Line { spots: vec![spot(0.0, y), spot(WIDTH, y)], pen: faint });
        y += STEP;
    }
    let frame = vec![spot(0.0, 0.0), spot(WIDTH, 0.0), spot(WIDTH, HEIGHT), spot(0.0, HEIGHT)];
    let pen = Pen { ink: Ink::Grey(0.45), width: 0.7, dash: None };
    scene.marks.push(Mark::Area { rings: vec![frame], fill: None, pen: Some(pen) });
    lettered(&mut scene, spot(WIDTH - 78.0, 6.0));
    Figure {
        scene: scene.into(),
        caption: "Stand below: A from left to right, then round.".to_owned(),
        alt:
            "Squared paper for a sketch, with a small example of a roof whose sides are lettered A to F anticlockwise \
              from the front"
                .to_owned(),
    }
}

/// A small roof with lettered sides in the corner of the sketch.
fn lettered(scene: &mut Scene, at: Spot) {
    let spot = |x: f64, y: f64| Spot { x: at.x + x, y: at.y + y };
    let ground = vec![spot(0.0, 0.0), spot(72.0, 0.0), spot(72.0, 60.0), spot(0.0, 60.0)];
    let pen = Pen { ink: Ink::Grey(0.6), width: 0.5, dash: None };
    scene.marks.push(Mark::Area { rings: vec![ground], fill: Some(Ink::White), pen: Some(pen) });
    let roof = [(14.0, 46.0), (40.0, 46.0), (40.0, 30.0), (60.0, 30.0), (60.0, 12.0), (14.0, 12.0)];
    let ring: Vec<Spot> = roof.iter().map(|&(x, y)| spot(x, y)).collect();
    let line = Pen { ink: Ink::Accent, width: 1.1, dash: None };
    scene.marks.push(Mark::Area { rings: vec![ring], fill: Some(Ink::AccentTint(0.9)), pen: Some(line) });
    let letters = [
        ("A", 27.0, 56.0),
        ("B", 46.5, 44.0),
        ("C", 53.0, 40.5),
        ("D", 66.5, 24.0),
        ("E", 37.0, 9.0),
        ("F", 7.5, 32.0),
    ];
    for (letter, x, y) in letters {
        scene.marks.push(Mark::Text {
            at: spot(x, y),
            text: letter.to_owned(),
            size: 8.0,
            bold: true,
            ink: Ink::Black,
            anchor: Anchor::Middle,
            turn: 0.0,
            ground: false,
        });
    }
}
