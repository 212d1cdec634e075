//! From blocks to placed pages: Markdown, text, tables, flow, pager, scenes.
//!
//! Given blocks (headings, paragraphs, tables, figures) and fonts; gives pages of placed items. Knows nothing of roofs.

mod beside;
pub mod block;
pub mod blocks;
pub mod border;
mod boxes;
mod cards;
pub mod colour;
pub mod fitting;
pub mod flow;
pub mod fonts;
pub mod image;
mod jpeg;
mod kept_texts;
pub mod lesser;
pub mod links;
pub mod listing;
pub mod markdown;
pub mod masthead;
pub mod own_fonts;
pub mod page;
pub mod pager;
pub mod pictures;
pub mod piece;
pub mod pointers;
pub(crate) mod quotes;
pub mod scene;
pub mod setting;
pub mod svg;
pub mod table;
pub mod template_place;
pub mod text;
pub mod unparted;
