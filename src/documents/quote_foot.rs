//! The foot of the quote's first page: the customer's own photograph of the roof, or the plan of a job of one roof.
//!
//! Given the householder's view; gives what may stand there, the best first. Whoever makes the quote takes the first with which
//! the page ends where it should: nothing that page one says goes over it for the sake of a drawing.

use super::drawings::peeled::{self, CoatTint, LayerLook, PeeledLayer};
use super::drawings::plan_scale::{PT_PER_MM, SCALES};
use super::drawings::several::across_ring;
use super::drawings::{Space, patch_plan};
use super::views::{QuoteView, RoofView};
use crate::model::shape::DeckAction;
use crate::model::{Photo, Point};
use crate::pages::block::{Block, Figure};
use crate::pages::masthead::TEXT;

/// How a picture and the layers of the roof stand with what page one says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FootPlace {
    /// In a column of its own beside it, which has the layers in its foot.
    Beside,
    /// The same, and the layers under it.
    Over,
    /// Under everything, the layers on its right.
    Across,
    /// The layers alone, under everything.
    Layers,
}

/// What may stand in the foot of page one.
#[derive(Debug, Clone)]
pub(super) struct Foot {
    /// Where.
    pub place: FootPlace,
    /// The photograph or the plan.
    pub picture: Block,
    /// What the roof is made of, its layers drawn back.
    pub layers: Option<Figure>,
    /// The roof that is planned here and nowhere else, by the name of its plan's place.
    pub plan_of: Option<&'static str>,
    /// How wide its outline is on paper, pt; nothing of a photograph.
    pub outline: Option<f64>,
}

/// What may stand in the foot, the largest plan first; none is smaller than can be read.
fn all<'v>(view: &'v QuoteView<'_>) -> Box<dyn Iterator<Item = Foot> + 'v> {
    if let Some(first) = view.photos.first() {
        let picture = photo(first);
        let wide = (TEXT.width - GAP) / 2.0;
        return Box::new(LAYERS_HIGH.into_iter().map(move |high| Foot {
            place: FootPlace::Beside,
            picture: picture.clone(),
            layers: layers(view, wide, high),
            plan_of: None,
            outline: None,
        }));
    }
    let scales = SCALES.into_iter().filter(|of| (LARGEST..=SMALLEST).contains(of));
    Box::new(scales.flat_map(|of| at_scale(view, of)))
}

/// The layers alone, of one roof or of two side by side, the largest first: for a page that has room for no plan and would be bare at
/// its foot.
pub(super) fn layers_alone<'v>(view: &'v QuoteView<'_>) -> impl Iterator<Item = Foot> + 'v {
    LAYERS_ALONE_HIGH.into_iter().filter_map(|high| {
        let picture = match (view.roofs.as_slice(), view.old_roofs.as_slice()) {
            // One that is narrow is no plainer for being tall.
            ([_], _) => Block::Figure(layers(view, TEXT.width, high).filter(|of| of.scene.width > of.scene.height)?),
            (roofs @ [_, _], []) => {
                let each = Space::new((TEXT.width - GAP) / 2.0, high - TWO_LOWER);
                let two = layers_of_each(roofs, |roof, layers| {
                    peeled::draw_small(&roof.layout.shape, roof.joists, layers, each)
                });
                Block::Columns(two.map(|figure| vec![Block::Figure(figure)]).collect())
            }
            _ => return None,
        };
        Some(Foot { place: FootPlace::Layers, picture, layers: None, plan_of: None, outline: None })
    })
}

/// The layers of some roofs, each with its name and with what its layers are where the one before has others.
pub(super) fn layers_of_each<'r>(
    roofs: &'r [RoofView<'_>],
    draw: impl Fn(&RoofView<'_>, &[PeeledLayer]) -> Option<Figure> + 'r,
) -> impl Iterator<Item = Figure> + 'r {
    let mut before = Vec::new();
    roofs.iter().filter_map(move |roof| {
        let layers = layers_of(roof);
        let figure = draw(roof, &layers)?;
        let names = peeled::names(&layers).join(", ");
        let caption = match layers == before {
            true => format!("{}, in the same order", roof.name),
            false => format!("{}, from the left: {names}", roof.name),
        };
        before = layers;
        Some(Figure { caption, ..figure })
    })
}

/// What may stand in the foot, each made once, when it is first asked for.
pub(super) struct Feet<'v> {
    made: Vec<Foot>,
    others: Box<dyn Iterator<Item = Foot> + 'v>,
}

impl<'v> Feet<'v> {
    /// Those of a quote, none of them made.
    pub(super) fn of(view: &'v QuoteView<'_>) -> Feet<'v> {
        Feet { made: Vec::new(), others: all(view) }
    }

    /// That of a place, the best at the first.
    pub(super) fn at(&mut self, place: usize) -> Option<&Foot> {
        let lacking = (place + 1).saturating_sub(self.made.len());
        self.made.extend(self.others.by_ref().take(lacking));
        self.made.get(place)
    }
}

/// The plan at 1 to so much, in each place that it fits.
fn at_scale(view: &QuoteView<'_>, of: f64) -> Vec<Foot> {
    let drawn = |space: Space| {
        let plan = plan(view, Space { from: of, at_that_alone: true, ..space }, of)?;
        let scene = &plan.figure.scene;
        let fits = scene.scale == Some(of) && scene.width <= space.width && scene.height <= space.height;
        fits.then_some(plan)
    };
    let (in_column, across) = (drawn(COLUMN), drawn(ACROSS));
    let in_place = |(place, plan, high): (FootPlace, &Option<OnePlan>, f64)| {
        let OnePlan { figure, place: plan_of, outline } = plan.clone()?;
        let (wide, tall) = (figure.scene.width, figure.scene.height);
        let beside = f64::min(TEXT.width - GAP - wide, MOST_LAYERS);
        let room = if place == FootPlace::Over { wide.max(MOST_LAYERS) } else { beside };
        // What it is stands in it, and its scale under it.
        let figure = Figure { caption: String::new(), ..figure };
        Some(Foot {
            place,
            picture: Block::Figure(figure),
            layers: layers(view, room, if place == FootPlace::Across { high.min(tall) } else { high }),
            plan_of: Some(plan_of),
            outline: Some(outline),
        })
    };
    let [high, low] = LAYERS_HIGH;
    let places = [
        (FootPlace::Beside, &in_column, high),
        (FootPlace::Over, &in_column, high),
        (FootPlace::Beside, &in_column, low),
        (FootPlace::Over, &in_column, low),
        (FootPlace::Across, &across, high),
    ];
    places.into_iter().filter_map(in_place).collect()
}

/// The plan of a job of one roof.
#[derive(Clone)]
struct OnePlan {
    figure: Figure,
    /// The name of its place.
    place: &'static str,
    /// How wide the roof is on paper, pt.
    outline: f64,
}

/// That at 1 to so much; none where its outline is narrower than can be read, which need not be drawn to see it.
fn plan(view: &QuoteView<'_>, space: Space, of: f64) -> Option<OnePlan> {
    let wide = |ring: &[Point]| Some(across_ring(ring) * PT_PER_MM / of).filter(|wide| *wide >= NARROWEST);
    match (view.roofs.as_slice(), view.old_roofs.as_slice()) {
        ([roof], []) => {
            let outline = wide(&roof.corners())?;
            Some(OnePlan { figure: roof.plan(space), place: "roof-plan-1", outline })
        }
        ([], [roof]) => {
            let outline = wide(&roof.layout.corners)?;
            Some(OnePlan { figure: patch_plan::draw(roof.layout, space), place: "old-roof-plan-1", outline })
        }
        _ => None,
    }
}

/// What the one roof of a job is made of.
fn layers(view: &QuoteView<'_>, width: f64, height: f64) -> Option<Figure> {
    let [roof] = view.roofs.as_slice() else { return None };
    peeled::draw(&roof.layout.shape, roof.joists, &layers_of(roof), Space::new(width, height))
}

/// A plan in a column leaves the words beside it two fifths of the width; one over the width leaves room for the layers, pt.
const COLUMN: Space = Space::new(280.0, 330.0);
const ACROSS: Space = Space::new(345.0, 290.0);
/// Between two columns, and the most that the layers take, pt.
const GAP: f64 = 19.0;
const MOST_LAYERS: f64 = 226.0;
const LAYERS_HIGH: [f64; 2] = [112.0, 86.0];
const LAYERS_ALONE_HIGH: [f64; 4] = [200.0, 180.0, 160.0, 140.0];
/// By how much lower two of them stand beside each other, pt.
const TWO_LOWER: f64 = 60.0;
/// The scales that such a plan may have, and the least width of its outline, pt.
const LARGEST: f64 = 10.0;
const SMALLEST: f64 = 100.0;
const NARROWEST: f64 = 44.0 * PT_PER_MM;
/// Where its outline is as wide as this, nothing is gained by smaller type, pt.
pub(super) const WIDE_ENOUGH: f64 = 60.0 * PT_PER_MM;

/// A photograph with its caption.
pub(super) fn photo(photo: &Photo) -> Block {
    let caption = photo.caption.clone().unwrap_or_default();
    let alt = if caption.is_empty() { format!("Photograph {}", photo.picture.name) } else { caption.clone() };
    Block::Photo { picture: photo.picture.clone(), caption, alt }
}

/// The layers of a roof from below, in the householder's words.
pub(super) fn layers_of(roof: &RoofView<'_>) -> Vec<PeeledLayer> {
    let layer = |words: &str, look: LayerLook| PeeledLayer { words: words.to_owned(), look };
    let mut layers = match roof.deck {
        DeckAction::New => vec![layer("joists", LayerLook::Joists), layer("new deck", LayerLook::Boards)],
        DeckAction::Overlay => vec![layer("old deck", LayerLook::Boards), layer("new boards", LayerLook::Boards)],
        DeckAction::Keep => vec![layer("your deck", LayerLook::Boards)],
    };
    if roof.insulation.is_some() {
        layers.push(layer("insulation", LayerLook::Insulation));
    }
    if roof.overlay.is_some() {
        layers.push(layer("boards", LayerLook::Boards));
    }
    let coat = CoatTint::named(roof.colour);
    layers.extend([layer("glass fibre", LayerLook::Laminate), layer("topcoat", LayerLook::Topcoat(coat))]);
    layers
}
