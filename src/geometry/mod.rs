//! Plane geometry in whole millimetres: regions, rings and intervals.
//!
//! Given points and rings; gives areas, distances and sets of polygons. Knows nothing of roofs.

pub mod region;
pub mod segment;
