//! `mail --send`: hands what was issued over to the firm's mail server, and records that.
//!
//! Given messages; sends each to those who have not had it. Before a message is handed over a record is frozen that it was begun, and
//! after it another that it was taken or refused: whoever finds the first without the second does not know, and sends nothing
//! without being told to. Two runs at once freeze one record, so that one of them sends.

use super::addressed::box_of;
use super::kept::{Frozen, Kept, Mailing, unread};
use super::manifest::{FrozenAs, KeptFile, MailRecord, MailState, Manifest, program};
use super::message::{Head, Outgoing};
use super::smtp::{MailLine, PASSWORD, Unsent};
use super::snapshot::SnapshotFiles;
use crate::cli::terminal;
use crate::cli::work::Stopped;
use crate::documents::wording;
use crate::model::firm::{MailSecurity, MailServer};
use crate::model::limits;
use crate::records::{self, MANIFEST, WriteFault};
use lettre::Address;
use std::env;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use time::format_description::well_known::Rfc3339;

/// The message as it was sent, in the folder of its record.
const SENT: &str = "message.eml";

/// How a document is sent.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Posting<'a> {
    /// The server.
    pub(crate) mail: &'a MailServer,
    /// The folder of the firm file, in which its certificate stands.
    pub(crate) firm_folder: &'a Path,
    /// To those too who have had it, or may have.
    pub(crate) again: bool,
    /// Everything but the sending.
    pub(crate) dry: bool,
}

/// What is known of a message to one address.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Had {
    /// It was taken on that day.
    Sent(String),
    /// It was begun on that day, and nobody knows more.
    Perhaps(String),
}

/// Sends messages, each to those of its addresses that have not had it.
///
/// # Errors
/// What keeps one from being sent; those before it were sent, and are recorded.
pub(crate) fn send(
    home: &Path,
    at: &Frozen,
    messages: &[Outgoing],
    head: &Head,
    way: Posting<'_>,
) -> Result<(), Stopped> {
    let authority = way.mail.certificate.as_ref().map(|name| authority(way.firm_folder, name)).transpose()?;
    let password = env::var(PASSWORD).ok().filter(|password| !password.is_empty());
    if way.mail.user.is_some() && password.is_none() && !way.dry {
        return Err(Stopped::Usage(format!(
            "there is no password for the mail server: set the environment variable {PASSWORD} for this run; it never stands in a \
             file"
        )));
    }
    let now = || Kept::within(home).map_err(|error| unread(home, &error));
    if !way.again {
        refuse_unknown(&now()?, at, messages)?;
    }
    for message in messages {
        let kept = now()?;
        let Some(message) = to_whom_it_is_new(&kept, at, message, way.again)? else { continue };
        let before = sendings(&kept, at, &message);
        let head = Head { before, ..head.clone() };
        terminal::say(&shown(&message, at, &head, way.mail))?;
        if way.dry {
            message.bytes(at, &head)?;
            let lacks = way.mail.user.is_some() && password.is_none();
            let lack = if lacks { format!("; {PASSWORD} is not set yet") } else { String::new() };
            terminal::say(&format!("nothing was sent: this was a trial{lack}\n"))?;
            continue;
        }
        one(&kept, at, (&message, &head), way.mail, (authority.as_deref(), password.as_deref()))?;
    }
    Ok(())
}

/// The certificate of the authority that vouches for the server.
fn authority(folder: &Path, name: &str) -> Result<Vec<u8>, Stopped> {
    let place = folder.join(name);
    let mut bytes = Vec::new();
    let most = limits::CERTIFICATE.most as u64 * 1_000_000;
    let read = File::open(&place).and_then(|file| file.take(most).read_to_end(&mut bytes));
    read.map_err(|error| unread(&place, &error))?;
    Ok(bytes)
}

// ---- Who has had it ---------------------------------------------------------------------------------------------------

/// What is known of a message to an address: its last sending that was not refused.
fn had(kept: &Kept, at: &Frozen, stem: &str, address: &str) -> Option<Had> {
    let wanted = box_of(address);
    let of_it = |m: &&Mailing<'_>| m.begun.document == stem && m.begun.to.iter().any(|to| box_of(to) == wanted);
    let known = |m: &Mailing<'_>| match m.state {
        MailState::Refused => None,
        MailState::Sent => Some(Had::Sent(m.day().to_owned())),
        MailState::Begun => Some(Had::Perhaps(m.day().to_owned())),
    };
    let all = kept.mailings(at);
    all.iter().filter(of_it).filter_map(known).next_back()
}

/// How often a message was taken for all of these addresses.
fn sendings(kept: &Kept, at: &Frozen, message: &Outgoing) -> usize {
    let boxes = |to: &[String]| to.iter().map(|to| box_of(to)).collect::<Vec<_>>();
    let to = boxes(&message.addresses());
    let of_it =
        |m: &&Mailing<'_>| m.state == MailState::Sent && m.begun.document == message.stem && boxes(&m.begun.to) == to;
    kept.mailings(at).iter().filter(of_it).count()
}

/// Nothing at all is sent while it is not known of one message whether it arrived.
fn refuse_unknown(kept: &Kept, at: &Frozen, messages: &[Outgoing]) -> Result<(), Stopped> {
    let all = messages.iter().flat_map(|m| m.addresses().into_iter().map(|to| (m.stem.clone(), to)));
    let open = |(stem, to): (String, String)| match had(kept, at, &stem, &to) {
        Some(Had::Perhaps(day)) => Some(format!("  {stem} to {to}, begun on {day}\n")),
        _ => None,
    };
    let open: String = all.filter_map(open).collect();
    match open.is_empty() {
        true => Ok(()),
        false => Err(Stopped::Usage(format!(
            "not sent: a message may have arrived already, for the server's answer to it was lost:\n{open}ask them, or look \
             into the mailbox's folder of what was sent; if it did not arrive, send it with --again"
        ))),
    }
}

/// The message, to those alone who have not had it; nobody is left where all have.
fn to_whom_it_is_new(kept: &Kept, at: &Frozen, message: &Outgoing, again: bool) -> Result<Option<Outgoing>, Stopped> {
    if again {
        return Ok(Some(message.clone()));
    }
    // Another run may have begun it since all messages were looked at.
    refuse_unknown(kept, at, std::slice::from_ref(message))?;
    let mut left = Outgoing { to: Vec::new(), ..message.clone() };
    for to in &message.to {
        match had(kept, at, &message.stem, to.email.as_ref()) {
            Some(Had::Sent(day)) => terminal::say(&format!(
                "the {} was sent to {} on {day} already, and is not sent again; --again sends it all the same\n",
                message.stem, to.email
            ))?,
            Some(Had::Perhaps(_)) | None => left.to.push(to.clone()),
        }
    }
    Ok(Some(left).filter(|left| !left.to.is_empty()))
}

// ---- One message --------------------------------------------------------------------------------------------------------

fn shown(message: &Outgoing, at: &Frozen, head: &Head, mail: &MailServer) -> String {
    let files: Vec<String> = message.files.iter().map(|file| message.sent_as(at, file)).collect();
    let how = match mail.security {
        MailSecurity::StartTls | MailSecurity::Tls => "secured",
        MailSecurity::Open => "on this computer",
    };
    format!(
        "from     {}\nto       {}\nsubject  {}\nwith     {}\nby       {}, port {}, {how}\n",
        head.from,
        message.addresses().join(", "),
        message.words.subject,
        wording::list(&files),
        mail.server,
        mail.port
    )
}

fn one(
    kept: &Kept,
    at: &Frozen,
    (message, head): (&Outgoing, &Head),
    mail: &MailServer,
    (authority, password): (Option<&[u8]>, Option<&str>),
) -> Result<(), Stopped> {
    let bytes = message.bytes(at, head)?;
    let not_sent = |why: String| Stopped::Usage(format!("the {} was not sent: {why}", message.stem));
    let mut line = MailLine::open(mail, authority, password).map_err(not_sent)?;
    let to: Vec<Address> = message.to.iter().map(|to| to.email.clone()).collect();
    line.address(&head.from.email, &to).map_err(not_sent)?;
    let begun = match begin(kept, at, message, head, &bytes) {
        Ok(begun) => begun,
        Err(stopped) => {
            line.close();
            return Err(stopped);
        }
    };
    match line.hand_over(&bytes) {
        Ok(said) => {
            let record = MailRecord { state: MailState::Sent, said: Some(said), ..begun };
            let place = end(kept, at, &record).map_err(|fault| {
                let told = fault.told("for the job: it is kept beside it");
                Stopped::Usage(format!("it was sent, but that could not be recorded: {told}. Do not send it again"))
            })?;
            terminal::say(&format!("sent\nwrote {}\n", place.display()))?;
            Ok(())
        }
        Err(Unsent::Refused(why)) => {
            let record = MailRecord { state: MailState::Refused, said: Some(why.clone()), ..begun };
            end(kept, at, &record).map_err(|fault| Stopped::Unwritten(fault, "for the job: it is kept beside it"))?;
            Err(not_sent(why))
        }
        Err(Unsent::Unknown(why)) => Err(Stopped::Usage(format!(
            "{why}: it may have arrived. It is recorded as begun, and is not sent again by itself; ask {} whether it came, and \
             if it did not, send it with --again",
            message.addresses().join(" and ")
        ))),
    }
}

/// Freezes that a message is about to be handed over. Where another run has put something there since it was judged who has had
/// it, nothing is sent.
fn begin(kept: &Kept, at: &Frozen, message: &Outgoing, head: &Head, bytes: &[u8]) -> Result<MailRecord, Stopped> {
    let before = kept.mailings(at);
    let record = MailRecord {
        number: before.iter().map(|m| m.begun.number).max().unwrap_or(0) + 1,
        state: MailState::Begun,
        document: message.stem.clone(),
        to: message.addresses(),
        from: head.from.email.to_string(),
        subject: message.words.subject.clone(),
        message_id: message.id(at, head),
        at: head.at.format(&Rfc3339).unwrap_or_default(),
        attachments: message.files.clone(),
        said: None,
    };
    let mut files = vec![(SENT.to_owned(), bytes.to_vec())];
    let name = listed(at, &record, &mut files);
    match records::freeze_upon(&kept.home, &kept.names, &name, &files) {
        Ok(_) => Ok(record),
        Err(fault) if fault.cause.kind() == io::ErrorKind::AlreadyExists => Err(Stopped::Usage(format!(
            "the {} was not sent: another run has issued, recorded or sent something of this job in the meantime; look at `wetout \
             list`, and try it again",
            message.stem
        ))),
        Err(fault) => Err(Stopped::Unwritten(fault, "for the job: it is kept beside it")),
    }
}

/// Freezes how it ended.
fn end(kept: &Kept, at: &Frozen, record: &MailRecord) -> Result<PathBuf, WriteFault> {
    let mut files = Vec::new();
    let name = listed(at, record, &mut files);
    records::freeze(&kept.home, &name, &files)
}

/// Puts the list of its files into a record; gives the name of its folder.
fn listed(at: &Frozen, record: &MailRecord, files: &mut SnapshotFiles) -> String {
    let Manifest { reference, revision, .. } = &at.manifest;
    let suffix = match record.state {
        MailState::Begun => "",
        MailState::Sent => "-sent",
        MailState::Refused => "-refused",
    };
    let manifest = Manifest {
        program: program(),
        reference: reference.clone(),
        revision: revision.clone(),
        holds: FrozenAs::Mail(Box::new(record.clone())),
        files: files.iter().map(|(name, bytes)| KeptFile::of(name, bytes)).collect(),
        before: Some(at.listed.clone()),
    };
    files.push((MANIFEST.to_owned(), manifest.written()));
    format!("{}-mail-{}{suffix}", at.listed.name, record.number)
}
