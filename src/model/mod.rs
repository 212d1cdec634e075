//! What a job is: shapes, choices, rules and product sizes, in units that cannot be mixed up.
//!
//! Given nothing from outside; gives the plain values that every later layer reads.
//! No files, no money and no serde in here.

pub mod access;
pub mod as_found;
pub mod build_up;
pub mod by;
pub mod coping;
pub mod covering;
pub mod fall;
pub mod fire;
pub mod firm;
pub mod flashing;
pub mod goods;
pub mod gutter;
pub mod hands;
pub mod job;
pub mod lift;
pub mod limits;
pub mod line_id;
pub mod old_roof;
pub mod photo;
pub mod picture;
pub mod problem;
pub mod products;
pub mod quantity;
pub mod refused;
pub mod role;
pub mod rules;
pub mod section;
pub mod shape;
pub mod silence;
pub mod surface;
pub mod tipping;
pub mod trade;
pub mod under_tiles;
pub mod units;
pub mod van;
pub mod warned;
pub mod whereabouts;
pub mod words;
pub mod written_day;

pub use access::Access;
pub use coping::{Coping, Cover};
pub use covering::Covering;
pub use fall::RoofFall;
pub use firm::Firm;
pub use flashing::Flashing;
pub use job::Job;
pub use line_id::LineId;
pub use old_roof::OldRoof;
pub use photo::Photo;
pub use problem::{Level, Problem};
pub use products::Products;
pub use role::Role;
pub use rules::Rules;
pub use section::Section;
pub use shape::{Edge, Finish, Hole, HoleForm, Outline, Point, Roof};
pub use surface::Surface;
pub use tipping::Tipping;
pub use trade::Trade;
pub use under_tiles::{PitchedCovering, UnderTiles};
pub use units::{Area, Fall, Length, Mass, Range};
pub use van::VanStock;
pub use warned::Warned;
pub use whereabouts::{SettingPath, Whereabouts};
