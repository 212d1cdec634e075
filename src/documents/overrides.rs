//! What the firm has of its own in place of what is built in: templates and fonts.
//!
//! Given by whoever reads the firm's folders; read when a document is made. A name that no document uses is a problem.

use crate::pages::own_fonts::FontFile;

/// What the firm has of its own in place of what is built in.
#[derive(Debug, Clone, Default)]
pub struct Overrides {
    /// Name (`quote.md`) and text of each template.
    pub templates: Vec<(String, String)>,
    /// Fonts.
    pub fonts: Vec<FontFile>,
}
