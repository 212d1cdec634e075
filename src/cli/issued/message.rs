//! One message as bytes, in the form of RFC 5322 and MIME: words as text and as HTML, and the very files that were issued.
//!
//! Given whom it goes to, its words, the frozen folder and the day; gives the message. What makes it one message and no other (its
//! id, and what parts it) follows from what it holds, so that the same message has the same bytes.

use super::addressed::box_of;
use super::kept::{Frozen, unread};
use super::manifest::KeptFile;
use crate::cli::work::Stopped;
use crate::documents::mail_text::MailText;
use lettre::message::header::{ContentType, HeaderName, HeaderValue};
use lettre::message::{Attachment, Mailbox, Message, MultiPart, SinglePart};
use std::fs;
use std::time::{Duration, UNIX_EPOCH};
use time::OffsetDateTime;

/// One message to be made.
#[derive(Debug, Clone)]
pub(crate) struct Outgoing {
    /// Which of the documents it is: `quote`, `order`, `order-2`, `invoice`, `receipt`, `variation`, `handover`.
    pub(crate) stem: String,
    /// Whom it goes to.
    pub(crate) to: Vec<Mailbox>,
    /// Its words.
    pub(crate) words: MailText,
    /// The files that go with it, by their names in the frozen folder.
    pub(crate) files: Vec<String>,
}

/// What stands in the head of a message besides whom it goes to.
#[derive(Debug, Clone)]
pub(crate) struct Head {
    /// Whom it is from.
    pub(crate) from: Mailbox,
    /// When it was written.
    pub(crate) at: OffsetDateTime,
    /// How often the same was sent to the same people before.
    pub(crate) before: usize,
    /// Whether a mail program is to open it as a draft.
    pub(crate) draft: bool,
}

impl Outgoing {
    /// The addresses, without names.
    pub(crate) fn addresses(&self) -> Vec<String> {
        self.to.iter().map(|to| to.email.to_string()).collect()
    }

    /// The name under which a file is sent: that of the folder, and its own.
    pub(crate) fn sent_as(&self, at: &Frozen, file: &str) -> String {
        format!("{} {file}", at.listed.name)
    }

    /// What makes the message one, all over the world. A second sending of a message that may have arrived has the id of the
    /// first, so that programs that see both show one.
    pub(crate) fn id(&self, at: &Frozen, head: &Head) -> String {
        let to: Vec<String> = self.addresses().iter().map(|to| box_of(to)).collect();
        let what = format!("{}\n{}\n{}\n{}", at.listed.sha256, self.stem, to.join(" "), head.before);
        format!("<{}@{}>", &KeptFile::of("", what.as_bytes()).sha256[..32], head.from.email.domain())
    }

    /// The message.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub(crate) fn bytes(&self, at: &Frozen, head: &Head) -> Result<Vec<u8>, Stopped> {
        let seconds = u64::try_from(head.at.unix_timestamp()).unwrap_or(0);
        let mut message = Message::builder()
            .from(head.from.clone())
            .subject(self.words.subject.clone())
            .date(UNIX_EPOCH + Duration::from_secs(seconds))
            .message_id(Some(self.id(at, head)));
        if head.draft {
            // By this mail programs open it to be sent, not as one that was received.
            message = message.raw_header(HeaderValue::new(HeaderName::new_from_ascii_str("X-Unsent"), "1".to_owned()));
        }
        for to in &self.to {
            message = message.to(to.clone());
        }
        let parted = |n: u8| format!("part-{n}-{}", &at.listed.sha256[..32]);
        let words = MultiPart::alternative()
            .boundary(parted(1))
            .singlepart(SinglePart::plain(self.words.text.clone()))
            .singlepart(SinglePart::html(self.words.html.clone()));
        let mut whole = MultiPart::mixed().boundary(parted(2)).multipart(words);
        for name in &self.files {
            let place = at.folder.join(name);
            let bytes = fs::read(&place).map_err(|error| unread(&place, &error))?;
            let kind = if name.ends_with(".csv") { "text/csv; charset=utf-8" } else { "application/pdf" };
            let kind = ContentType::parse(kind).unwrap_or(ContentType::TEXT_PLAIN);
            whole = whole.singlepart(Attachment::new(self.sent_as(at, name)).body(bytes, kind));
        }
        let made = message.multipart(whole).map_err(|error| {
            Stopped::Usage(format!(
                "the message cannot be made: {error}; look at the addresses of the firm and of whom it goes to"
            ))
        })?;
        Ok(made.formatted())
    }
}
