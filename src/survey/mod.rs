//! The survey: what is asked on the ladder, as one table, from which the form is printed, the conversation is led and the
//! job file is written.
//!
//! Given the keys of a job file (their words, limits and sentences come from the reader's own tables) and what the firm and
//! its merchants offer; gives a form to fill in, and from a form that was filled in the text of a job file with everything
//! that is missing or could not be read.

pub mod anew;
mod conversation;
mod draft;
mod filled;
mod firm_talk;
mod job_text;
mod kept;
mod list_columns;
mod list_match;
mod list_memory;
mod list_rows;
mod list_table;
mod list_talk;
mod list_workbook;
mod lists;
mod merchant_list;
mod paper;
mod question;
mod settled;
mod talk;
mod walk_drawing;

pub use conversation::{Conversation, FIRST};
pub use draft::{Draft, Gap};
pub use filled::read;
pub use firm_talk::{FIRM_FIRST, FirmTalk};
pub use job_text::job_text;
pub use list_columns::{KnownHeadings, LIST_COLUMNS, ListFile, ListReading, MerchantList, MerchantRow, OpenColumn};
pub use list_match::{BookArticle, KnownBy, ListMatch, NewRow, PricedRow, beside_book};
pub use list_memory::ListMemory;
pub use list_table::ListNotRead;
pub use list_talk::{ColumnTalk, RowTalk, SlipTalk};
pub use lists::{Lists, listing};
pub use merchant_list::{MatchedList, NONE_OF_THESE, UnsureRow, matched, role_names, template};
pub use paper::{MOST_ROOFS, document};
pub use question::{Ask, SurveyAnswers, SurveyQuestion, SurveySaid, What, questions};
pub use talk::{TakenLine, Talk};
