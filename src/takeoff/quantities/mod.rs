//! The lines of the take-off: what the placed pieces come to, each with its working, and what must be bought.
//!
//! Given the layout and the firm's rules; gives lines, needs and the steps that lead to them. No piece is placed here.

pub mod bandage_lines;
pub mod box_gutter_lines;
pub mod deck_lines;
mod discs;
pub mod fall_lines;
pub mod goods_lines;
pub mod insulation_lines;
pub mod line;
pub mod mat_lines;
pub mod night_sheet;
pub mod noggin_lines;
pub mod old_roof_lines;
pub mod opening_lines;
pub mod over_deck_lines;
pub mod parapet_lines;
pub mod preservative;
pub mod resin;
pub mod sill_lines;
pub mod spare_lines;
pub mod sundries;
pub mod tie_lines;
pub mod trim_lines;
pub mod vent_lines;
pub mod working;
