//! From the roof's millimetres to paper: the scale, the scale bar, and the choice of a scale that fits.
//!
//! Given points on plan; gives spots on paper. The front of the roof lies at the foot of the drawing.

use super::drawing::{Drawing, pen, spot};
use super::labels::box_of;
use super::{LEAST_SIZE, Space};
use crate::model::Point;
use crate::pages::scene::{Anchor, Ink, Scene, Spot};
use crate::takeoff::layout::shape::{Direction, RoofShape};

/// Points in a millimetre: 72 to the inch of 25.4 mm.
pub const PT_PER_MM: f64 = 72.0 / 25.4;

/// The scales that people have a ruler for, largest first.
const SCALES: [f64; 11] = [10.0, 20.0, 25.0, 50.0, 75.0, 100.0, 200.0, 250.0, 500.0, 1000.0, 2000.0];

/// A plan's scale, as 1 to `of`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanScale {
    /// 1 to this.
    pub of: f64,
}

impl PlanScale {
    /// Where a point of the roof lies on paper.
    pub fn at(self, p: Point) -> Spot {
        spot(self.pt(p.x as f64), -self.pt(p.y as f64))
    }

    /// A length on the roof, mm, as it is on paper, pt.
    pub fn pt(self, mm: f64) -> f64 {
        mm * PT_PER_MM / self.of
    }

    /// A ring on paper.
    pub fn ring(self, ring: &[Point]) -> Vec<Spot> {
        ring.iter().map(|p| self.at(*p)).collect()
    }

    /// A direction on plan, on paper.
    pub fn way(self, d: Direction) -> super::drawing::Way {
        super::drawing::Way { x: d.x, y: -d.y }
    }

    /// `Scale 1:50`.
    pub fn words(self) -> String {
        format!("Scale 1:{}", self.of)
    }
}

/// Draws `shape` at the largest scale at which the whole drawing fits the space.
pub fn fitted(space: Space, shape: &RoofShape, draw: impl Fn(PlanScale) -> Drawing) -> Scene {
    fitted_ring(space, &shape.ring(), draw)
}

/// The same of an outline by its corners.
pub fn fitted_ring(space: Space, ring: &[Point], draw: impl Fn(PlanScale) -> Drawing) -> Scene {
    let (low, high) = box_of(&PlanScale { of: 1.0 }.ring(ring));
    // Where the outline alone does not fit, nothing need be drawn to see it.
    let outline_fits = |of: &f64| (high.x - low.x) / of <= space.width && (high.y - low.y) / of <= space.height;
    let mut last = Scene::default();
    for of in SCALES.into_iter().filter(outline_fits) {
        last = draw(PlanScale { of }).finish();
        if last.width <= space.width && last.height <= space.height {
            break;
        }
    }
    last
}

/// A scale bar in metres with the scale in words, its top left at `at`; gives its width.
pub fn scale_bar(sheet: &mut Drawing, frame: PlanScale, at: Spot) -> f64 {
    let metre = frame.pt(1000.0);
    let unit =
        [0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0].into_iter().find(|u| u * metre >= 22.0).unwrap_or(100.0);
    for i in 0..4 {
        let x = at.x + f64::from(i) * unit * metre;
        let right = x + unit * metre;
        let fill = if i % 2 == 0 { Ink::Black } else { Ink::White };
        let ring = vec![spot(x, at.y), spot(right, at.y), spot(right, at.y + 4.0), spot(x, at.y + 4.0)];
        sheet.area(vec![ring], Some(fill), Some(pen(Ink::Black, 0.5)));
    }
    for i in [0, 2, 4] {
        let x = at.x + f64::from(i) * unit * metre;
        sheet.words(spot(x, at.y + 12.0), &format!("{}", f64::from(i) * unit), LEAST_SIZE, false, Anchor::Middle);
    }
    let end = at.x + 4.0 * unit * metre;
    let words = format!("metres · {}", frame.words());
    sheet.words(spot(end + 8.0, at.y + 5.5), &words, 7.5, true, Anchor::Start);
    end + 8.0 + super::drawing::text_width(&words, 7.5) - at.x
}
