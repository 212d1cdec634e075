//! Plane geometry in whole millimetres: lengths and areas, points, segments, rings, stretches, regions.
//!
//! Given points and rings; gives areas, distances and sets of polygons. It stands below the model, which is made of its
//! points and lengths, and knows nothing of roofs; every helper for points and whole numbers stands here once.

pub mod interval;
pub(crate) mod least_squares;
pub mod measure;
pub(crate) mod network;
pub mod point;
pub mod region;
pub mod ring;
pub mod segment;
pub mod slope;
pub mod whole;
