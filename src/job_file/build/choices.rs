//! What is laid on the roof: deck, laminate and topcoat, as far as they are sold.
//!
//! Given what the file says and the sizes of what is sold; gives the choices, or the problems with the nearest thing
//! that is sold. A name is only looked up where a price book was read: without one there is nothing to compare with
//! but the usual boards and mats.

use super::trade;
use crate::job_file::raw::job::{RawDeck, RawLaminate, RawTopcoat};
use crate::job_file::read::suggest;
use crate::model::products::Board;
use crate::model::shape::{DeckAction, DeckChoice, LaminateChoice, TopcoatChoice};
use crate::model::surface::SMOOTH;
use crate::model::{Length, Problem, Products, Rules, SettingPath, Surface, Warned};

/// What can be chosen from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Shelf<'a> {
    /// The sizes.
    pub sizes: &'a Products,
    /// Whether a price book gave them; otherwise they are the usual ones.
    pub from_book: bool,
}

impl Shelf<'_> {
    /// Where a thing was looked for, in words.
    pub(crate) fn whence(self) -> &'static str {
        if self.from_book { "sold in the price book" } else { "among the usual ones, and there is no price book" }
    }
}

/// The deck. `products` is `None` where the price books could not be read.
pub(crate) fn deck(
    raw: RawDeck,
    products: Option<Shelf<'_>>,
    rules: &Rules,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<DeckChoice> {
    let path = path.keys(["deck", "board"]);
    let action = *raw.action.given()?;
    let missing = raw.board.is_missing();
    let key = raw.board.take().map(|t| t.0);
    if action == DeckAction::Keep {
        if key.is_some() {
            found.push(Problem::fault(
                path,
                "the deck is kept, so no board is laid",
                "take `board` out, or choose `new` or `overlay`",
            ));
        }
        return Some(DeckChoice { action, board: None, lifted: None });
    }
    if missing {
        // One that would do: on joists no thin one, over an old deck no thick one.
        let least = if action == DeckAction::Overlay { rules.least_overlay } else { Length::mm(18) };
        let sold = products.into_iter().flat_map(|p| p.sizes.boards.values()).filter(|b| b.thickness >= least);
        let example = sold.min_by_key(|b| b.thickness).map_or_else(|| "osb3-18".to_owned(), |b| b.key.clone());
        found.push(Problem::fault(
            path,
            "a deck that is laid needs `board`",
            format!("add, for example, `board: {example}`"),
        ));
        return None;
    }
    let key = key?;
    if let Some(products) = products {
        let board = board_sold(&key, products, &path, found)?;
        thickness(board, action, rules, &path, found);
    }
    Some(DeckChoice { action, board: Some(key), lifted: None })
}

/// The board of a key, or the problem that nobody sells it.
pub(crate) fn board_sold<'a>(
    key: &str,
    products: Shelf<'a>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<&'a Board> {
    let board = products.sizes.boards.get(key);
    if board.is_none() {
        let sold: Vec<&String> = products.sizes.boards.keys().collect();
        let fault = format!("no board `{key}` is {}", products.whence());
        found.push(Problem::fault(path, fault, suggest::cure(key, &sold)));
    }
    board
}

fn thickness(board: &Board, action: DeckAction, rules: &Rules, path: &SettingPath, found: &mut Vec<Problem>) {
    if action == DeckAction::Overlay && board.thickness < rules.least_overlay {
        found.push(Problem::fault(
            path,
            format!("`{}` is {} thick: too thin to overlay an old deck", board.key, board.thickness),
            format!("choose a board of at least {}, screwed to the joists", rules.least_overlay),
        ));
    }
    if action == DeckAction::New && board.thickness < Length::mm(15) {
        found.push(Problem::warning(
            Warned::Board,
            path,
            format!("`{}` is {} thick: thin for a deck on joists", board.key, board.thickness),
            "18 mm is usual on joists; check the board maker's span table",
        ));
    }
}

/// The laminate.
pub(crate) fn laminate(
    raw: RawLaminate,
    products: Option<Shelf<'_>>,
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<LaminateChoice> {
    let path = path.key("laminate");
    let mat = *raw.mat.given()?;
    let unsaid = raw.layers.is_missing();
    let layers = raw.layers.take().unwrap_or(1);
    if unsaid {
        found.push(Problem::assumed(
            path.key("layers"),
            "the number of layers is not said: one is taken",
            "add `layers: 1`",
        ));
    }
    if let Some(products) = products
        && !products.sizes.mats.contains_key(&mat)
    {
        let sold: Vec<String> = products.sizes.mats.keys().map(u32::to_string).collect();
        let near = products
            .sizes
            .mats
            .keys()
            .min_by_key(|w| w.abs_diff(mat))
            .map_or(String::new(), |w| format!("; the nearest is {w}"));
        found.push(Problem::fault(
            path.key("mat"),
            format!("no mat of {mat} g/m² is {}", products.whence()),
            format!("what is sold: {}{near}", suggest::listed(&sold, "and")),
        ));
    }
    Some(LaminateChoice { mat, layers })
}

/// The topcoat.
pub(crate) fn topcoat(
    raw: RawTopcoat,
    products: Option<Shelf<'_>>,
    surfaces: &[Surface],
    path: &SettingPath,
    found: &mut Vec<Problem>,
) -> Option<TopcoatChoice> {
    let path = path.key("topcoat");
    let unsaid = raw.finish.is_missing();
    let word = if unsaid { Some(SMOOTH.to_owned()) } else { raw.finish.take().map(|t| t.0) };
    let finish = word.and_then(|word| {
        let what = ("a surface of the topcoat", "surfaces");
        trade::named(&word, surfaces, what, path.key("finish"), found)
    });
    if unsaid {
        found.push(Problem::assumed(
            path.key("finish"),
            "the finish of the topcoat is not said: smooth is taken",
            "add `finish: smooth`",
        ));
    }
    let colour = raw.colour.take()?.0.replace('-', " ");
    if let Some(products) = products
        && !products.sizes.colours.is_empty()
        && !products.sizes.colours.contains(&colour)
    {
        found.push(Problem::fault(
            path.key("colour"),
            format!("no topcoat in `{colour}` is {}", products.whence()),
            suggest::cure(&colour, &products.sizes.colours),
        ));
    }
    Some(TopcoatChoice { colour, finish: finish? })
}
