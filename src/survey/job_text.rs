//! Answers as the text of a job file, with a comment for whoever reads it, and a remark wherever something is missing.
//!
//! Given the answers and the lists; gives the text in the order of the demo jobs. What could not be read is never written as a
//! value: it stands as a remark at its place and in the list of gaps, so that the file can be read whatever the form said.

use super::draft::{Draft, Gap};
use super::lists::{Lists, NOTHING};
use super::question::{
    AnswerKind, AnswerNeed, Ask, DOORS, EXTRAS, OPENINGS, OUTLETS, PATCHES, SIDES, SurveyAnswers, SurveyQuestion,
    SurveySaid, TIES, What, letter, questions,
};
use super::settled::{settled, side_of};
use crate::job_file::reference::length_of;
use crate::job_file::scalar;
use crate::model::{Access, Finish, Length};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// Most photographs that are looked for.
const MOST_PHOTOS: u32 = 100;

/// The text of a job file. `photos` are the names of pictures that lie in its folder; `roofs` is how many roofs were asked about.
pub fn job_text(answers: &SurveyAnswers, roofs: u8, lists: &Lists, photos: &[String]) -> Draft {
    let mut writer = JobWriter::new(answers, lists, roofs);
    writer.whole(roofs, photos);
    writer.finished("# A job from a survey.\n")
}

/// Writes the text of a job.
pub(super) struct JobWriter<'a> {
    answers: &'a SurveyAnswers,
    lists: &'a Lists,
    questions: BTreeMap<Ask, SurveyQuestion>,
    body: String,
    /// Remarks that wait for the line that they are about.
    pending: Vec<String>,
    gaps: Vec<Gap>,
    /// Questions whose answer was looked for.
    asked: BTreeSet<Ask>,
}

/// Settings of a group in braces.
type Pairs = Vec<(&'static str, String)>;

impl<'a> JobWriter<'a> {
    /// Nothing yet, of answers about so many roofs.
    pub(super) fn new(answers: &'a SurveyAnswers, lists: &'a Lists, roofs: u8) -> JobWriter<'a> {
        let questions = questions(roofs).into_iter().map(|q| (q.ask, q)).collect();
        let (body, pending, gaps, asked) = (String::new(), Vec::new(), Vec::new(), BTreeSet::new());
        JobWriter { answers, lists, questions, body, pending, gaps, asked }
    }

    // ---- Answers ------------------------------------------------------------------------------------------------------

    fn of_job(&mut self, what: What) -> Option<String> {
        self.answer(Ask { roof: 0, item: 0, what })
    }

    fn of_roof(&mut self, roof: u8, what: What) -> Option<String> {
        self.answer(Ask { roof, item: 0, what })
    }

    /// An answer as the file takes it; one that is missing where it should not be, or that cannot be read, is noted.
    fn answer(&mut self, ask: Ask) -> Option<String> {
        let need = self.questions.get(&ask)?.need;
        self.answer_if(ask, need != AnswerNeed::Free)
    }

    fn answer_if(&mut self, ask: Ask, wanted: bool) -> Option<String> {
        self.asked.insert(ask);
        let question = self.questions.get(&ask)?.clone();
        match self.answers.said.get(&ask) {
            None if wanted => {
                let cure = self.example(&question);
                self.note(&question, None, "", &cure);
                None
            }
            None => None,
            Some(SurveySaid::Words(words)) => match settled(&question, words, self.lists) {
                Ok(value) => Some(value),
                Err(wrong) => {
                    self.note(&question, Some(words), &wrong.fault, &wrong.cure);
                    None
                }
            },
            Some(SurveySaid::Several(words)) => {
                self.note(&question, Some(&words.join(", ")), "several are ticked", "tick one of them");
                None
            }
            Some(SurveySaid::Contradictory) => {
                let fault = "it is ticked by its value and not by its look, or the other way round";
                self.note(&question, Some("a box"), fault, "tick it anew, or write it into the file");
                None
            }
        }
    }

    /// How an answer could look, with the key of the file that takes it.
    fn example(&self, question: &SurveyQuestion) -> String {
        let list = self.lists.choices(question);
        let words = match question.kind {
            AnswerKind::SideLetter => Sides::of(self.answers, question.ask.roof).names(),
            _ => list.words,
        };
        let key = question.key.rsplit('.').next().unwrap_or_default();
        match (words.is_empty() || list.free, self.lists.explained(question)) {
            (false, _) if words.len() <= 8 => format!("`{key}`, one of {}", words.join(", ")),
            (_, Some(about)) if question.kind != AnswerKind::Lines && !about.example.starts_with(['[', '{']) => {
                match about.example.as_str() {
                    "" => String::new(),
                    example => format!("for example `{key}: {example}`"),
                }
            }
            _ => String::new(),
        }
    }

    fn note(&mut self, question: &SurveyQuestion, said: Option<&str>, fault: &str, cure: &str) {
        let page = self.answers.pages.get(&question.ask).copied();
        let said = said.map(one_line);
        let gap = Gap { page, name: question.name.clone(), said, fault: fault.to_owned(), cure: cure.to_owned() };
        self.pending.push(gap.to_string());
        self.gaps.push(gap);
    }

    /// Notes what is wrong with an answer beside others.
    fn refuse(&mut self, ask: Ask, fault: &str, cure: &str) {
        if let Some(question) = self.questions.get(&ask).cloned() {
            let said = self.answers.words(ask).unwrap_or_default().to_owned();
            self.note(&question, Some(&said), fault, cure);
        }
    }

    /// Whether anything was said to any of these.
    fn any(&self, roof: u8, item: u8, whats: &[What]) -> bool {
        whats.iter().any(|&what| self.answers.said.contains_key(&Ask { roof, item, what }))
    }

    // ---- Lines --------------------------------------------------------------------------------------------------------

    /// A line, below the remarks that wait for it.
    fn line(&mut self, indent: usize, text: &str) {
        for remark in std::mem::take(&mut self.pending) {
            let _ = writeln!(self.body, "{:indent$}# {remark}", "");
        }
        let _ = writeln!(self.body, "{:indent$}{text}", "");
    }

    /// Remarks that no line follows.
    fn remarks(&mut self, indent: usize) {
        for remark in std::mem::take(&mut self.pending) {
            let _ = writeln!(self.body, "{:indent$}# {remark}", "");
        }
    }

    /// A setting with what it is for, or the remark why it is not there.
    fn setting(&mut self, indent: usize, key: &str, what: What, roof: u8) {
        let ask = Ask { roof, item: 0, what };
        let value = self.answer(ask);
        let about = self.questions.get(&ask).map_or("", |question| question.key);
        self.value(indent, key, value.map(|value| plain(&value)), about);
    }

    fn value(&mut self, indent: usize, key: &str, value: Option<String>, about: &str) {
        let purpose = self.lists.purpose(about).trim_end_matches('.').to_owned();
        match value {
            Some(value) if purpose.is_empty() => self.line(indent, &format!("{key}: {value}")),
            Some(value) => self.line(indent, &format!("{key}: {value} # {}", one_line(&purpose))),
            None => {
                let example = self.lists.example(about).to_owned();
                self.unsaid(indent, key, &example);
            }
        }
    }

    /// The remarks about a setting that is not there; where nothing was said, with the line that only wants its mark taken away.
    fn unsaid(&mut self, indent: usize, key: &str, example: &str) {
        let missing = !self.pending.is_empty() && self.gaps.last().is_some_and(|gap| gap.said.is_none());
        self.remarks(indent);
        if missing && !example.is_empty() {
            let _ = writeln!(self.body, "{:indent$}# {key}: {example}", "");
        }
    }

    // ---- The job ------------------------------------------------------------------------------------------------------

    /// What belongs to one job alone: its numbers, days, people and place, and what is asked of each place anew.
    pub(super) fn who_and_where(&mut self, titled: bool) {
        self.setting(0, "reference", What::Reference, 0);
        if titled {
            self.setting(0, "title", What::Title, 0);
        }
        self.setting(0, "prepared", What::SurveyedOn, 0);
        self.setting(0, "start", What::Start, 0);
        self.customer();
        self.site();
        self.body.push('\n');
        self.setting(0, "asbestos", What::Asbestos, 0);
        self.access();
    }

    fn whole(&mut self, roofs: u8, photos: &[String]) {
        self.who_and_where(true);
        let told: Vec<u8> = (1..=roofs).filter(|roof| self.answers.tells_of(*roof)).collect();
        let told = if told.is_empty() { vec![1] } else { told };
        self.body.push_str("\nroofs:\n");
        for roof in told {
            self.roof(roof);
        }
        self.body.push('\n');
        self.setting(0, "flashing", What::FlashingBy, 0);
        self.setting(0, "boundary", What::Boundary, 0);
        if let Some(note) = self.of_job(What::DeliveryNote) {
            self.line(0, &format!("delivery: {{note: {}}} # add earliest and latest", scalar(&note)));
        }
        self.remarks(0);
        self.extras();
        self.photographs(roofs, photos);
        self.body.push_str(BESIDES);
    }

    fn customer(&mut self) {
        self.body.push_str("\ncustomer:\n");
        self.setting(2, "name", What::CustomerName, 0);
        let address = self.of_job(What::CustomerAddress);
        self.value(2, "address", address.map(|lines| address_list(&lines)), "customer.address");
        self.setting(2, "phone", What::CustomerPhone, 0);
        self.setting(2, "email", What::CustomerEmail, 0);
    }

    fn site(&mut self) {
        self.body.push_str("\nsite:\n");
        let address = self.of_job(What::SiteAddress).map_or("same".to_owned(), |lines| address_list(&lines));
        self.value(2, "address", Some(address), "site.address");
        self.setting(2, "eaves_height", What::EavesHeight, 0);
        self.setting(2, "built_before_2000", What::BuiltBefore, 0);
        self.setting(2, "access", What::WayIn, 0);
        self.setting(2, "hospital", What::Hospital, 0);
    }

    fn access(&mut self) {
        let about = "# always asked, because always forgotten: yes, no or a sum";
        self.body.push('\n');
        let at = self.body.len();
        let mut answered = false;
        for access in Access::all() {
            let (tick, sum) = (What::Access(access), What::AccessSum(access));
            let sum = self.of_job(sum);
            let ask = Ask { roof: 0, item: 0, what: tick };
            let ticked = self.answer_if(ask, sum.is_none());
            let value = match (ticked.as_deref(), sum) {
                (Some("no"), Some(_)) => {
                    self.refuse(ask, "a sum stands beside it", "take one of the two");
                    None
                }
                (_, Some(sum)) => Some(sum),
                (ticked, None) => ticked.map(str::to_owned),
            };
            answered |= value.is_some();
            self.value(2, access.key(), value.map(|value| plain(&value)), "");
        }
        // A group with nothing in it would be one that was forgotten.
        let head = if answered { format!("access: {about}\n") } else { format!("# access: {about}\n") };
        self.body.insert_str(at, &head);
    }

    fn extras(&mut self) {
        let mut lines = Vec::new();
        for item in 1..=EXTRAS {
            let whats = [What::ExtraItem, What::ExtraCost, What::ExtraPrice, What::ExtraOptional];
            if !self.any(0, item, &whats) {
                continue;
            }
            let at = |what| Ask { roof: 0, item, what };
            let named = self.answer_if(at(What::ExtraItem), true);
            let cost = self.answer(at(What::ExtraCost));
            let price = self.answer_if(at(What::ExtraPrice), cost.is_none());
            let optional = self.answer(at(What::ExtraOptional));
            let pairs = [("item", named.map(|t| scalar(&t))), ("cost", cost), ("price", price), ("optional", optional)];
            lines.push((std::mem::take(&mut self.pending), braces(given(pairs))));
        }
        if lines.is_empty() {
            return;
        }
        self.body.push_str("\nextras: # beside the roof, each with its own sum\n");
        for (remarks, line) in lines {
            self.pending = remarks;
            self.line(2, &format!("- {line}"));
        }
    }

    /// Photographs that lie in the folder as entries, the others as remarks.
    fn photographs(&mut self, roofs: u8, there: &[String]) {
        let (mut found, mut absent) = (Vec::new(), Vec::new());
        for roof in 1..=roofs {
            let Some(numbers) = self.of_roof(roof, What::RoofPhotos) else { continue };
            let name = self.answers.words(Ask { roof, item: 0, what: What::RoofName }).unwrap_or("roof").to_owned();
            let listed = numbers_of(&numbers);
            let lying: Vec<&String> =
                there.iter().filter(|file| number_of(file).is_some_and(|n| listed.contains(&n))).collect();
            found.extend(lying.iter().map(|file| format!("- {{file: {}, caption: {}}}", scalar(file), scalar(&name))));
            let lie = |n: &u32| lying.iter().any(|file| number_of(file) == Some(*n));
            if listed.is_empty() || listed.iter().any(|n| !lie(n)) {
                absent.push(format!(
                    "photographs {}: {}; add each as {{file: …, caption: …}}",
                    one_line(&name),
                    one_line(&numbers)
                ));
            }
        }
        if !found.is_empty() {
            self.body.push_str("\nphotos:\n");
            found.iter().for_each(|line| self.line(2, line));
        }
        self.pending.extend(absent);
        if !self.pending.is_empty() {
            self.body.push('\n');
            self.remarks(0);
        }
    }

    // ---- A roof -------------------------------------------------------------------------------------------------------

    fn roof(&mut self, roof: u8) {
        let name = self.of_roof(roof, What::RoofName);
        if let Some(name) = &name {
            self.line(2, &format!("- name: {}", scalar(name)));
        }
        let work = self.of_roof(roof, What::Work);
        match (&name, &work) {
            (Some(_), work) => self.value(4, "work", work.clone(), "roofs.work"),
            (None, work) => {
                let work = work.as_deref().unwrap_or(NEW);
                self.line(2, &format!("- work: {work} # roof {roof} of the form"));
            }
        }
        let sides = Sides::of(self.answers, roof);
        match work.filter(|work| work != NEW) {
            Some(work) => self.old_roof(roof, &sides, &work),
            None => self.new_roof(roof, &sides),
        }
    }

    fn new_roof(&mut self, roof: u8, sides: &Sides) {
        self.misplaced(
            roof,
            What::is_of_old_roof,
            "it is asked of an old laminate that stays",
            "tick that at “What is done”, or leave this empty",
        );
        self.outline(roof, sides);
        self.edges(roof, sides);
        self.openings(roof);
        self.side_setting(roof, sides, "falls_to", What::FallsTo);
        self.setting(4, "fall", What::Fall, roof);
        self.setting(4, "firrings", What::Firrings, roof);
        let run = self.of_roof(roof, What::JoistRun);
        let spacing = self.of_roof(roof, What::JoistSpacing);
        let (first, last) = (self.of_roof(roof, What::JoistFirst), self.of_roof(roof, What::JoistLast));
        let joists = (run.is_some() || spacing.is_some())
            .then(|| braces(given([("run", run), ("spacing", spacing), ("first", first), ("last", last)])));
        self.value(4, "joists", joists, "roofs.joists");
        self.setting(4, "measured_to", What::MeasuredTo, roof);
        self.side_setting(roof, sides, "way_off", What::WayOff);
        let action = self.of_roof(roof, What::DeckAction);
        let boarded = action.as_deref().is_some_and(|action| action != "keep");
        let board = self.answer_if(Ask { roof, item: 0, what: What::Board }, boarded);
        let deck = braces(given([("action", action), ("board", board.map(|b| scalar(&b)))]));
        self.value(4, "deck", Some(deck), "roofs.deck");
        let (mat, layers) = (self.of_roof(roof, What::Mat), self.of_roof(roof, What::Layers));
        self.value(4, "laminate", Some(braces(given([("mat", mat), ("layers", layers)]))), "roofs.laminate");
        self.topcoat(roof);
        self.strip(roof);
        if let Some(area) = self.of_roof(roof, What::WallAbove) {
            self.value(4, "wall_above", Some(format!("{{area: {area}}}")), "roofs.wall_above");
        }
        self.remarks(4);
        self.roof_above(roof);
        self.outlets(roof);
        self.build_up(roof);
    }

    /// A roof whose laminate stays: patches, a new topcoat, or both.
    fn old_roof(&mut self, roof: u8, sides: &Sides, work: &str) {
        let cure = "leave this empty, or tick `new` at “What is done”";
        self.misplaced(roof, What::is_of_new_roof, "nothing of it is done where the old laminate stays", cure);
        let (repaired, coated) = (work.contains("repair"), work.contains("topcoat"));
        self.outline(roof, sides);
        let trims = self.answer_if(Ask { roof, item: 0, what: What::Trims }, coated);
        let finished = |side| self.answers.said.contains_key(&Ask { roof, item: side, what: What::SideFinish });
        if trims.as_deref() == Some("topcoat") || (1..=sides.count).any(finished) {
            self.line(4, "edges:");
            for side in 1..=sides.count {
                let finish = self.answer(Ask { roof, item: side, what: What::SideFinish });
                let name = scalar(&sides.name(side));
                self.line(6, &format!("{name}: {} # {}", braces(given([("finish", finish)])), letter(side)));
            }
        }
        self.openings(roof);
        if repaired {
            self.patches(roof);
        }
        let ask = |what| Ask { roof, item: 0, what };
        let (mat, layers) = match repaired {
            true => (self.answer_if(ask(What::Mat), true), self.answer(ask(What::Layers))),
            false => {
                self.unrepaired(roof);
                (None, None)
            }
        };
        let laminate = (mat.is_some() || layers.is_some()).then(|| braces(given([("mat", mat), ("layers", layers)])));
        self.value(4, "laminate", laminate, "roofs.laminate");
        self.topcoat(roof);
        self.value(4, "trims", trims, "roofs.trims");
        let prepare = self.answer_if(ask(What::Prepare), coated);
        self.value(4, "prepare", prepare, "roofs.prepare");
    }

    /// Tells what was said of mat and patches where there are none.
    fn unrepaired(&mut self, roof: u8) {
        let of_mat = |what: What| matches!(what, What::Mat | What::Layers) || is_of_patches(what);
        let cure = "leave this empty, or tick `repair and topcoat` at “What is done”";
        self.misplaced(roof, of_mat, "a roof that is only topcoated takes no mat", cure);
    }

    /// Tells what was said of a roof that is of the other kind.
    fn misplaced(&mut self, roof: u8, is: fn(What) -> bool, fault: &str, cure: &str) {
        let said: Vec<Ask> = self.answers.said.keys().filter(|ask| ask.roof == roof && is(ask.what)).copied().collect();
        for ask in said {
            self.asked.insert(ask);
            self.refuse(ask, fault, cure);
        }
        self.remarks(4);
    }

    fn topcoat(&mut self, roof: u8) {
        let (colour, surface) = (self.of_roof(roof, What::Colour), self.of_roof(roof, What::Surface));
        let topcoat = given([("colour", colour.map(|c| scalar(&c))), ("finish", surface.map(|s| scalar(&s)))]);
        self.value(4, "topcoat", Some(braces(topcoat)), "roofs.topcoat");
    }

    fn patches(&mut self, roof: u8) {
        let mut lines = Vec::new();
        for item in 1..=PATCHES {
            let at = |what| Ask { roof, item, what };
            let told =
                self.answers.said.keys().any(|ask| ask.roof == roof && ask.item == item && is_of_patches(ask.what));
            if !told && item > 1 {
                continue;
            }
            let name = self.answer(at(What::PatchName));
            let place = self.pair(at(What::PatchAlong), at(What::PatchUp), false);
            let size = self.pair(at(What::PatchWidth), at(What::PatchDepth), true);
            let [edge, layers, deck] =
                [What::PatchAtEdge, What::PatchLayers, What::PatchDeck].map(|what| self.answer(at(what)));
            let pairs = given([
                ("name", name.map(|name| scalar(&name))),
                ("at", place),
                ("size", size),
                ("layers", layers),
                ("deck", deck.map(|deck| scalar(&deck))),
                ("at_edge", edge),
            ]);
            if pairs.is_empty() {
                self.remarks(4);
                continue;
            }
            lines.push((std::mem::take(&mut self.pending), braces(pairs)));
        }
        self.list("patches: # as each is cut back; the laps are added", lines);
    }

    fn roof_above(&mut self, roof: u8) {
        let whats = [What::RoofAboveArea, What::RoofAbovePitch];
        if self.any(roof, 0, &whats) {
            let [area, pitch] = whats.map(|what| self.answer_if(Ask { roof, item: 0, what }, true));
            let above = given([("area", area), ("pitch", pitch)]);
            self.value(4, "roof_above", (!above.is_empty()).then(|| braces(above)), "roofs.roof_above");
        }
    }

    // ---- What it is made of --------------------------------------------------------------------------------------------

    fn build_up(&mut self, roof: u8) {
        let said = |ask: &&Ask| ask.roof == roof && (What::BuildKind..=What::UValueNow).contains(&ask.what);
        if !self.answers.said.keys().any(|ask| said(&ask)) {
            return;
        }
        let ask = |what| Ask { roof, item: 0, what };
        let kind = self.answer_if(ask(What::BuildKind), true);
        let warm = kind.as_deref() == Some(WARM);
        let mut lines: Vec<(Vec<String>, String)> = Vec::new();
        self.part(&mut lines, "kind", kind);
        let work = self.answer_if(ask(What::BuildWork), true);
        self.part(&mut lines, "work", work);
        let ceiling = [What::CeilingName, What::CeilingThickness, What::CeilingLambda];
        let ceiling = self.sheet(roof, ceiling).map(|sheet| format!("[{sheet}]"));
        self.part(&mut lines, "ceiling", ceiling);
        let [breadth, depth] = [What::JoistBreadth, What::JoistDepth].map(|what| self.answer_if(ask(what), true));
        let between = self.sheet(roof, [What::BetweenName, What::BetweenThickness, What::BetweenLambda]);
        let joists = given([("breadth", breadth), ("depth", depth), ("between", between)]);
        self.part(&mut lines, "joists", Some(joists).filter(|pairs| !pairs.is_empty()).map(braces));
        let roll = [What::VapourWidth, What::VapourLength];
        if self.any(roof, 0, &roll) {
            let [width, length] = roll.map(|what| self.answer_if(ask(what), true));
            let roll = given([("roll_width", width), ("roll_length", length)]);
            self.part(&mut lines, "vapour", Some(roll).filter(|pairs| !pairs.is_empty()).map(braces));
        }
        let board = self.answer_if(ask(What::InsulationBoard), warm);
        let insulation = given([("board", board.map(|board| scalar(&board)))]);
        self.part(&mut lines, "insulation", Some(insulation).filter(|pairs| !pairs.is_empty()).map(braces));
        let overlay = self.answer_if(ask(What::Overlay), warm).map(|board| scalar(&board));
        self.part(&mut lines, "overlay", overlay);
        for (key, what) in [("void", What::Void), ("vent_gap", What::VentGap)] {
            let value = self.answer(ask(what));
            self.part(&mut lines, key, value);
        }
        let existing = self.answer(ask(What::UValueNow)).map(|value| format!("{{u_value: {value}}}"));
        self.part(&mut lines, "existing", existing);
        let last = std::mem::take(&mut self.pending);
        if lines.iter().any(|(_, line)| !line.is_empty()) {
            self.line(4, "build_up: # from the ceiling to the covering");
        }
        for (remarks, line) in lines {
            self.pending = remarks;
            match line.is_empty() {
                true => self.remarks(6),
                false => self.line(6, &line),
            }
        }
        self.pending = last;
        self.remarks(6);
    }

    /// A setting of the build-up with the remarks that it brought; without a value the remarks alone.
    fn part(&mut self, lines: &mut Vec<(Vec<String>, String)>, key: &str, value: Option<String>) {
        let line = value.map_or_else(String::new, |value| format!("{key}: {value}"));
        lines.push((std::mem::take(&mut self.pending), line));
    }

    /// A layer of one material, where anything was said of it.
    fn sheet(&mut self, roof: u8, whats: [What; 3]) -> Option<String> {
        if !self.any(roof, 0, &whats) {
            return None;
        }
        let [name, thickness, lambda] = whats.map(|what| self.answer_if(Ask { roof, item: 0, what }, true));
        let pairs = given([("name", name.map(|name| scalar(&name))), ("thickness", thickness), ("lambda", lambda)]);
        (!pairs.is_empty()).then(|| braces(pairs))
    }

    /// A setting that names a side.
    fn side_setting(&mut self, roof: u8, sides: &Sides, key: &str, what: What) {
        let ask = Ask { roof, item: 0, what };
        let side = self.side(ask, sides).map(|side| scalar(&sides.name(side)));
        let about = self.questions.get(&ask).map_or("", |question| question.key);
        if side.is_some() {
            return self.value(4, key, side, about);
        }
        let is_drip =
            |item| self.answers.words(Ask { roof, item, what: What::SideFinish }) == Some(Finish::Drip.word());
        let low = (1..=sides.count).find(|side| is_drip(*side)).unwrap_or(1);
        self.unsaid(4, key, &scalar(&sides.name(low)));
    }

    /// A side that there is.
    fn side(&mut self, ask: Ask, sides: &Sides) -> Option<u8> {
        let side = self.answer(ask).and_then(|said| side_of(&said))?;
        if side > sides.count {
            self.refuse(ask, "this side has no length", &format!("the sides are A to {}", letter(sides.count)));
            return None;
        }
        Some(side)
    }

    fn outline(&mut self, roof: u8, sides: &Sides) {
        let mut legs: Vec<(Vec<String>, Pairs, Option<Length>)> = Vec::new();
        for side in 1..=sides.count {
            let at = |what| Ask { roof, item: side, what };
            let unsaid = side > 1 && !self.answers.said.contains_key(&at(What::SideTurn));
            let turn = self.answer(at(What::SideTurn)).or(unsaid.then(|| "left".to_owned()));
            let go = self.answer(at(What::SideLength));
            let length = go.as_deref().and_then(length_of);
            let pairs = given([("edge", Some(scalar(&sides.name(side)))), ("turn", turn), ("go", go)]);
            legs.push((std::mem::take(&mut self.pending), pairs, length));
        }
        let ties = self.ties(roof, sides);
        let lengths: Vec<Option<Length>> = legs.iter().map(|leg| leg.2).collect();
        let turned = (2..=sides.count).any(|item| {
            self.answers.words(Ask { roof, item, what: What::SideTurn }).is_some_and(|turn| turn != "left")
        });
        self.line(4, "outline: # A is the side you stand below; then round, as the letters on the sketch go");
        match (lengths.as_slice(), &ties) {
            ([Some(a), Some(b), Some(c), Some(d)], ties) if a == c && b == d && !turned && ties.is_empty() => {
                let (width, depth) = (side_text(&legs[0].1), side_text(&legs[1].1));
                self.line(6, &format!("rectangle: {{width: {width}, depth: {depth}}}"));
            }
            _ => {
                self.line(6, "walk:");
                for (side, (remarks, pairs, _)) in (1..).zip(legs) {
                    self.pending = remarks;
                    self.line(8, &format!("- {} # {}", braces(pairs), letter(side)));
                }
            }
        }
        if !ties.is_empty() {
            self.line(6, "ties: # from corner to corner; a corner is called by the two sides that meet there");
            for (remarks, pairs) in ties {
                self.pending = remarks;
                self.line(8, &format!("- {}", braces(pairs)));
            }
        }
    }

    fn ties(&mut self, roof: u8, sides: &Sides) -> Vec<(Vec<String>, Pairs)> {
        let mut ties = Vec::new();
        for item in 1..=TIES {
            if !self.any(roof, item, &[What::TieFrom, What::TieTo, What::TieLength]) {
                continue;
            }
            let at = |what| Ask { roof, item, what };
            let [from, to] = [What::TieFrom, What::TieTo].map(|what| self.corner(at(what), sides));
            let is = self.answer_if(at(What::TieLength), true);
            if let (Some(from), Some(to), Some(is)) = (from, to, is) {
                let pairs = vec![("from", scalar(&from)), ("to", scalar(&to)), ("is", is)];
                ties.push((std::mem::take(&mut self.pending), pairs));
            }
        }
        ties
    }

    /// A corner that there is, by the names of its sides.
    fn corner(&mut self, ask: Ask, sides: &Sides) -> Option<String> {
        let said = self.answer_if(ask, true)?;
        let (a, b) = said.split_once('/')?;
        let (a, b) = (side_of(a)?, side_of(b)?);
        let next = |side: u8| if side == sides.count { 1 } else { side + 1 };
        if a.max(b) > sides.count || (next(a) != b && next(b) != a) {
            let cure = format!("name two sides that meet: A/B to {}/A", letter(sides.count));
            self.refuse(ask, "these two sides do not meet", &cure);
            return None;
        }
        Some(format!("{}/{}", sides.name(a), sides.name(b)))
    }

    fn edges(&mut self, roof: u8, sides: &Sides) {
        let ladder = self.together(roof, &[What::LadderSide, What::LadderAt], sides);
        let coping = self.coping(roof, sides);
        let overflow = self.overflow(roof, sides);
        let doors = self.doors(roof, sides);
        let [under, gutter] = [Finish::Step, Finish::Gutter].map(|finish| self.has(roof, sides, finish));
        let under = self.under(roof, under);
        let gutter = self.box_gutter(roof, gutter);
        self.line(4, "edges:");
        for side in 1..=sides.count {
            let at = |what| Ask { roof, item: side, what };
            let coped = coping.as_ref().filter(|(coped, _)| *coped == side).map(|(_, pairs)| pairs.clone());
            let finish = self.answer(at(What::SideFinish));
            let is = |kind: Finish| finish.as_deref() == Some(kind.word());
            let upstand = self.answer_if(at(What::SideUpstand), is(Finish::Wall) && coped.is_none());
            let upstand = upstand.filter(|_| coped.is_none());
            let flashing = self.answer(at(What::SideFlashing));
            let hung = self.answer(at(What::SideGutter)).map(|gutter| scalar(&gutter));
            let opened = overflow.as_ref().filter(|(one, _)| *one == side).map(|(_, pairs)| pairs.clone());
            let at_ladder = ladder.as_ref().filter(|(one, _)| *one == side).map(|(_, at)| at.clone());
            let pairs = given([
                ("finish", finish.clone()),
                ("gutter", hung),
                ("upstand", upstand),
                ("flashing", flashing),
                ("overflow", opened),
                ("ladder_point", at_ladder),
                ("coping", coped),
                ("under", under.clone().filter(|_| is(Finish::Step))),
                ("box_gutter", gutter.clone().filter(|_| is(Finish::Gutter))),
            ]);
            let here: Vec<&Door> = doors.iter().filter(|door| door.side == side).collect();
            let name = scalar(&sides.name(side));
            let value = match here.is_empty() {
                true => braces(pairs),
                false => self.stretches(roof, side, pairs, &here),
            };
            self.line(6, &format!("{name}: {value} # {}", letter(side)));
        }
    }

    /// Whether a side has this finish.
    fn has(&self, roof: u8, sides: &Sides, finish: Finish) -> bool {
        let of = |item| self.answers.words(Ask { roof, item, what: What::SideFinish });
        (1..=sides.count).any(|side| of(side).is_some_and(|word| word.eq_ignore_ascii_case(finish.word())))
    }

    /// A side and what is said of it, where either is given.
    fn together(&mut self, roof: u8, [which, value]: &[What; 2], sides: &Sides) -> Option<(u8, String)> {
        if !self.any(roof, 0, &[*which, *value]) {
            return None;
        }
        let side = self.wanted_side(Ask { roof, item: 0, what: *which }, sides);
        let value = self.answer_if(Ask { roof, item: 0, what: *value }, true);
        Some((side?, value?))
    }

    fn wanted_side(&mut self, ask: Ask, sides: &Sides) -> Option<u8> {
        match self.answers.said.contains_key(&ask) {
            true => self.side(ask, sides),
            false => self.answer_if(ask, true).and(None),
        }
    }

    fn coping(&mut self, roof: u8, sides: &Sides) -> Option<(u8, String)> {
        let whats = [
            What::CopingSide,
            What::CopingHeight,
            What::CopingWidth,
            What::CopingCover,
            What::CopingBy,
            What::CopingBoard,
        ];
        if !self.any(roof, 0, &whats) {
            return None;
        }
        let side = self.wanted_side(Ask { roof, item: 0, what: What::CopingSide }, sides);
        let [height, width, cover] = [What::CopingHeight, What::CopingWidth, What::CopingCover]
            .map(|what| self.answer_if(Ask { roof, item: 0, what }, true));
        let [by, board] = [What::CopingBy, What::CopingBoard].map(|what| self.of_roof(roof, what));
        let board = board.map(|board| scalar(&board));
        let pairs =
            given([("wall_height", height), ("wall_width", width), ("cover", cover), ("by", by), ("board", board)]);
        Some((side?, braces(pairs)))
    }

    /// The opening by which water leaves when every outlet is blocked, and its side.
    fn overflow(&mut self, roof: u8, sides: &Sides) -> Option<(u8, String)> {
        let rows = [What::OverflowAt, What::OverflowWidth, What::OverflowHeight, What::OverflowAbove];
        if !self.any(roof, 0, &[&[What::OverflowSide][..], &rows].concat()) {
            return None;
        }
        let side = self.wanted_side(Ask { roof, item: 0, what: What::OverflowSide }, sides);
        let [at, width, height, above] = rows.map(|what| self.answer_if(Ask { roof, item: 0, what }, true));
        let pairs = given([("at", at), ("width", width), ("height", height), ("above", above)]);
        Some((side?, braces(pairs)))
    }

    /// The roof above a step. What was said of one where there is no step is told.
    fn under(&mut self, roof: u8, step: bool) -> Option<String> {
        let rows = [
            ("covering", What::TilesCovering),
            ("gauge", What::TilesGauge),
            ("cover", What::TilesCover),
            ("pitch", What::TilesPitch),
            ("by", What::TilesBy),
        ];
        self.detail(roof, &rows, step, Finish::Step)
    }

    fn box_gutter(&mut self, roof: u8, gutter: bool) -> Option<String> {
        let rows = [("width", What::BoxWidth), ("depth", What::BoxDepth), ("fall", What::BoxFall)];
        let outlet = [("at", What::BoxOutletAt), ("size", What::BoxOutletSize)];
        let mut outlet = self.detail(roof, &outlet, gutter, Finish::Gutter);
        let mut rest = self.detail(roof, &rows, gutter, Finish::Gutter);
        self.besides(roof, &mut outlet, ("head", What::BoxOutletHead), Finish::Gutter);
        self.besides(roof, &mut rest, ("board", What::BoxBoard), Finish::Gutter);
        rest.map(|rest| match outlet {
            Some(outlet) => format!("{}, outlet: {outlet}}}", rest.trim_end_matches('}')),
            None => rest,
        })
    }

    fn detail(&mut self, roof: u8, rows: &[(&'static str, What)], is: bool, finish: Finish) -> Option<String> {
        let mut pairs = Vec::new();
        for &(key, what) in rows {
            let ask = Ask { roof, item: 0, what };
            if !is && self.answers.said.contains_key(&ask) {
                self.asked.insert(ask);
                let fault = format!("no side of this roof is finished `{}`", finish.word());
                self.refuse(ask, &fault, "tick that finish, or leave this empty");
            } else if let Some(value) = self.answer_if(ask, is) {
                pairs.push((key, plain(&value)));
            }
        }
        is.then(|| braces(pairs))
    }

    /// A setting that the group of a finish can do without.
    fn besides(&mut self, roof: u8, group: &mut Option<String>, (key, what): (&'static str, What), finish: Finish) {
        if !self.any(roof, 0, &[what]) {
            return;
        }
        let more = self.detail(roof, &[(key, what)], group.is_some(), finish).filter(|more| more != "{}");
        if let (Some(group), Some(more)) = (group.as_mut(), more) {
            let rest = group.trim_end_matches('}').to_owned();
            let comma = if rest == "{" { "" } else { ", " };
            *group = format!("{rest}{comma}{}", more.trim_start_matches('{'));
        }
    }

    fn doors(&mut self, roof: u8, sides: &Sides) -> Vec<Door> {
        let mut doors = Vec::new();
        for item in 1..=DOORS {
            let whats = [What::DoorSide, What::DoorFrom, What::DoorWidth, What::DoorSill];
            if !self.any(roof, item, &whats) {
                continue;
            }
            let at = |what| Ask { roof, item, what };
            let side = self.wanted_side(at(What::DoorSide), sides);
            let [from, width] = [What::DoorFrom, What::DoorWidth]
                .map(|what| self.answer_if(at(what), true).as_deref().and_then(length_of));
            let sill = self.answer_if(at(What::DoorSill), true);
            if let (Some(side), Some(from), Some(width), Some(sill)) = (side, from, width, sill) {
                doors.push(Door { item, side, from, width, sill });
            }
        }
        doors.sort_by_key(|door| (door.side, door.from));
        doors
    }

    /// An edge in stretches: before a door, the door, behind it.
    fn stretches(&mut self, roof: u8, side: u8, pairs: Pairs, doors: &[&Door]) -> String {
        let whole = self.answers.words(Ask { roof, item: side, what: What::SideLength });
        let whole = whole.and_then(|said| {
            let question = self.questions.get(&Ask { roof, item: side, what: What::SideLength })?;
            length_of(&settled(question, said, self.lists).ok()?)
        });
        let (mut parts, mut gone) = (Vec::new(), Length::ZERO);
        let stretch = |go: Option<Length>, pairs: &Pairs| {
            let go = go.map(|go| ("go", metres(go)));
            braces(go.into_iter().chain(pairs.iter().cloned()).collect())
        };
        // They are measured from where the side starts, and a stretch from where it does itself.
        for (key, what) in [("overflow", What::OverflowSide), ("ladder_point", What::LadderSide)] {
            if pairs.iter().any(|(own, _)| *own == key) {
                let cure = format!("write `{key}` into the file, at the stretch of the side in which it lies");
                self.refuse(Ask { roof, item: 0, what }, "there is a door in this side", &cure);
            }
        }
        let pairs: Pairs = pairs.into_iter().filter(|(key, _)| !["overflow", "ladder_point"].contains(key)).collect();
        for door in doors {
            let at = Ask { roof, item: door.item, what: What::DoorFrom };
            let end = door.from + door.width;
            if door.from < gone || whole.is_some_and(|whole| end > whole) {
                self.refuse(at, "this door does not lie within its side, clear of the others", "measure it again");
                continue;
            }
            if door.from > gone {
                parts.push(stretch(Some(door.from - gone), &pairs));
            }
            let sill: Pairs = pairs
                .iter()
                .filter(|(key, _)| *key == "finish")
                .cloned()
                .chain([("sill", door.sill.clone())])
                .collect();
            let last = whole == Some(end);
            parts.push(stretch((!last).then_some(door.width), &sill));
            gone = end;
        }
        if whole.is_none_or(|whole| whole > gone) {
            parts.push(stretch(None, &pairs));
        }
        format!("[{}]", parts.join(", "))
    }

    fn openings(&mut self, roof: u8) {
        let mut lines = Vec::new();
        for item in 1..=OPENINGS {
            let whats = [
                What::OpeningName,
                What::OpeningFinish,
                What::OpeningAlong,
                What::OpeningUp,
                What::OpeningWidth,
                What::OpeningDepth,
                What::OpeningRound,
                What::OpeningKerb,
                What::OpeningTrimmers,
                What::OpeningUpstand,
            ];
            if !self.any(roof, item, &whats) {
                continue;
            }
            let at = |what| Ask { roof, item, what };
            let round = self.answer(at(What::OpeningRound));
            let name = self.answer_if(at(What::OpeningName), true);
            let place = self.pair(at(What::OpeningAlong), at(What::OpeningUp), true);
            let size = self.pair(at(What::OpeningWidth), at(What::OpeningDepth), round.is_none());
            let finish = self.answer_if(at(What::OpeningFinish), round.is_none());
            let built = [What::OpeningKerb, What::OpeningTrimmers, What::OpeningUpstand];
            let [kerb, trimmers, upstand] = built.map(|what| self.answer(at(what)));
            let pairs = given([
                ("name", name.map(|name| scalar(&name))),
                ("at", place),
                ("size", size),
                ("round", round),
                ("finish", finish),
                ("kerb", kerb),
                ("trimmers", trimmers),
                ("upstand", upstand),
            ]);
            lines.push((std::mem::take(&mut self.pending), braces(pairs)));
        }
        self.list("holes: # openings and pipes, from the front left corner: along the front, then up the roof", lines);
    }

    fn outlets(&mut self, roof: u8) {
        let mut lines = Vec::new();
        for item in 1..=OUTLETS {
            let whats = [What::OutletAlong, What::OutletUp, What::OutletSize, What::OutletHead, What::OutletStrainer];
            if !self.any(roof, item, &whats) {
                continue;
            }
            let at = |what| Ask { roof, item, what };
            let place = self.pair(at(What::OutletAlong), at(What::OutletUp), true);
            let size = self.answer_if(at(What::OutletSize), true);
            let [head, strainer] = [What::OutletHead, What::OutletStrainer].map(|what| self.answer(at(what)));
            lines.push((
                std::mem::take(&mut self.pending),
                braces(given([("at", place), ("size", size), ("head", head), ("strainer", strainer)])),
            ));
        }
        self.list("outlets:", lines);
    }

    /// A list below a key of a roof.
    fn list(&mut self, key: &str, lines: Vec<(Vec<String>, String)>) {
        if lines.is_empty() {
            return;
        }
        self.line(4, key);
        for (remarks, line) in lines {
            self.pending = remarks;
            self.line(6, &format!("- {line}"));
        }
    }

    /// Two lengths in brackets.
    fn pair(&mut self, first: Ask, second: Ask, wanted: bool) -> Option<String> {
        let wanted = wanted || [first, second].iter().any(|ask| self.answers.said.contains_key(ask));
        let (first, second) = (self.answer_if(first, wanted), self.answer_if(second, wanted));
        Some(format!("[{}, {}]", first?, second?))
    }

    fn strip(&mut self, roof: u8) {
        let covering = self.of_roof(roof, What::OldCovering);
        let bare = covering.as_deref() == Some(NOTHING);
        let comes_off = covering.is_some() && !bare;
        let tip = self.answer_if(Ask { roof, item: 0, what: What::Tip }, comes_off);
        let new_deck = self.answers.words(Ask { roof, item: 0, what: What::DeckAction }) == Some("new");
        let boards = self.answer_if(Ask { roof, item: 0, what: What::OldBoards }, comes_off && new_deck);
        let strip = match covering {
            Some(_) if bare => Some(NOTHING.to_owned()),
            Some(covering) => {
                let words = [("covering", Some(covering)), ("tip", tip), ("boards", boards)];
                Some(braces(given(words.map(|(key, said)| (key, said.map(|said| scalar(&said)))))))
            }
            None => None,
        };
        self.value(4, "strip", strip, "roofs.strip");
    }

    // ---- The end ------------------------------------------------------------------------------------------------------

    /// The text under some first words, with everything that is to be seen to above it.
    pub(super) fn finished(mut self, first: &str) -> Draft {
        let remark = |what| Ask { roof: 0, item: 0, what };
        let mut head = format!("{first}{HEAD}");
        for (what, words) in
            [(What::SurveyedBy, "surveyed by"), (What::ShownBy, "the roof was shown by"), (What::Notes, "notes:")]
        {
            let ask = remark(what);
            self.asked.insert(ask);
            for line in self.answers.words(ask).into_iter().flat_map(str::lines).filter(|line| !line.trim().is_empty())
            {
                let _ = writeln!(head, "# {words} {}", one_line(line));
            }
        }
        for (page, field, words) in &self.answers.astray {
            let _ = writeln!(
                head,
                "# page {page}, “{}”, which this program does not ask: {}",
                one_line(field),
                one_line(words)
            );
        }
        if !self.gaps.is_empty() {
            let _ = writeln!(head, "#\n# Still to be seen to; each stands once more at its place:");
            for gap in &self.gaps {
                let _ = writeln!(head, "# - {gap}");
            }
        }
        let unasked = |ask: &Ask| {
            !self.answers.said.contains_key(ask) && !self.gaps.iter().any(|g| g.name == self.questions[ask].name)
        };
        let empty: Vec<String> = self
            .asked
            .iter()
            .filter(|ask| ask.item == 0 && unasked(ask))
            .map(|ask| self.questions[ask].name.clone())
            .collect();
        Draft { text: format!("{head}\n{}", self.body), gaps: self.gaps, empty }
    }
}

const HEAD: &str = "\
# `wetout check` says what is wrong, doubtful or assumed; `wetout help KEY` what a key is for.
";

const BESIDES: &str = "
# What can stand here besides: conditions (the weather), options, order_lines, quote, price, lift, roof_class.
# `wetout help job` lists every key.
";

/// The work by which a roof is laid anew.
const NEW: &str = "new";

/// The kind of roof whose insulation lies over its deck.
const WARM: &str = "warm";

/// Whether it is asked of one patch.
fn is_of_patches(what: What) -> bool {
    (What::PatchName..=What::PatchDeck).contains(&what)
}

/// The sides of a roof that were told of, and what they are called.
struct Sides {
    count: u8,
}

impl Sides {
    fn of(answers: &SurveyAnswers, roof: u8) -> Sides {
        let told = |item: &u8| {
            let asked = What::SideTurn..=What::SideGutter;
            let of_it = |ask: &Ask| ask.roof == roof && ask.item == *item && asked.contains(&ask.what);
            answers.said.keys().any(of_it)
        };
        Sides { count: (1..=SIDES).rev().find(told).unwrap_or(4).max(3) }
    }

    /// What they are called in the job.
    fn names(&self) -> Vec<String> {
        (1..=self.count).map(|side| self.name(side)).collect()
    }

    /// What a side is called in the job: four sides have names that everybody knows.
    fn name(&self, side: u8) -> String {
        match (self.count, side) {
            (4, 1) => "front".to_owned(),
            (4, 2) => "right".to_owned(),
            (4, 3) => "back".to_owned(),
            (4, 4) => "left".to_owned(),
            _ => format!("side {}", letter(side)),
        }
    }
}

/// A door over a side.
struct Door {
    item: u8,
    side: u8,
    from: Length,
    width: Length,
    sill: String,
}

/// A value that needs no quotes where a fall or a dimension stands.
fn plain(value: &str) -> String {
    let figures = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit() || c == '.');
    let fall = value.strip_prefix("existing ").unwrap_or(value);
    match fall.split_once(':') {
        Some((one, many)) if figures(one) && figures(many) => value.to_owned(),
        _ => scalar(value),
    }
}

fn metres(length: Length) -> String {
    format!("{} m", length.metres().normalize())
}

fn side_text(pairs: &Pairs) -> String {
    pairs.iter().find(|(key, _)| *key == "go").map(|(_, value)| value.clone()).unwrap_or_default()
}

fn given<const N: usize>(pairs: [(&'static str, Option<String>); N]) -> Pairs {
    pairs.into_iter().filter_map(|(key, value)| Some((key, value?))).collect()
}

fn braces(pairs: Pairs) -> String {
    let pairs: Vec<String> = pairs.into_iter().map(|(key, value)| format!("{key}: {value}")).collect();
    format!("{{{}}}", pairs.join(", "))
}

/// The lines of an address; one line is parted at its commas.
fn address_list(said: &str) -> String {
    let lines: Vec<&str> = said.split(['\n', '\r']).map(str::trim).filter(|line| !line.is_empty()).collect();
    let parts: Vec<String> = match lines.as_slice() {
        [one] => one.split(',').map(one_line).filter(|part| !part.is_empty()).collect(),
        lines => lines.iter().map(|line| one_line(line.trim_end_matches(','))).collect(),
    };
    let parts: Vec<String> = parts.iter().map(|part| scalar(part)).collect();
    format!("[{}]", parts.join(", "))
}

/// Words as they can stand in a comment: on one line, without signs that steer.
fn one_line(words: &str) -> String {
    let plain: String = words.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The numbers of a list: `412-415, 420`.
fn numbers_of(said: &str) -> BTreeSet<u32> {
    let mut all = BTreeSet::new();
    for part in said.split([',', ';', ' ']).map(str::trim).filter(|part| !part.is_empty()) {
        let ends: Vec<Option<u32>> = part.split(['-', '–']).map(|end| end.trim().parse().ok()).collect();
        match ends.as_slice() {
            [Some(one)] => drop(all.insert(*one)),
            [Some(first), Some(last)] if last >= first && last - first < MOST_PHOTOS => all.extend(*first..=*last),
            _ => {}
        }
    }
    all
}

/// The number of a picture: the last figures of its name.
fn number_of(file: &str) -> Option<u32> {
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let digits = stem.len() - stem.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    stem[stem.len() - digits..].parse().ok()
}
