//! One conversation with a mail server (RFC 5321), step by step, so that it is known how far a message came.
//!
//! Given the server of the firm file and a password; gives a connection that is secured and logged in, which takes one message. Up
//! to the answer to the last line of a message nothing was taken, whatever went wrong; where that answer is lost, nobody here knows.
//! Every refusal is told in the installer's words, with the server's own behind them.

use crate::model::firm::{MailSecurity, MailServer};
use lettre::Address;
use lettre::transport::smtp::Error;
use lettre::transport::smtp::authentication::{Credentials, Mechanism};
use lettre::transport::smtp::client::{Certificate, CertificateStore, SmtpConnection, TlsParameters};
use lettre::transport::smtp::commands::{Data, Mail, Rcpt};
use lettre::transport::smtp::extension::ClientId;
use std::error::Error as _;
use std::time::Duration;

/// The environment variable in which the password is given.
pub(crate) const PASSWORD: &str = "WETOUT_MAIL_PASSWORD";

/// How long each answer is waited for. RFC 5321, 4.5.3.2 lets a server take five minutes; nobody sits before a terminal for that.
const PATIENCE: Duration = Duration::from_secs(60);
/// How long it is waited for that the connection is secured. A server that is not believed may never say another word.
const SHORT_PATIENCE: Duration = Duration::from_secs(15);
/// How long the answer to a whole message is waited for: RFC 5321, 4.5.3.2.6. To give up sooner would leave a message about which
/// nobody knows whether it arrived.
const LAST_PATIENCE: Duration = Duration::from_secs(600);

/// Why a message was not taken, in words, with the cure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Unsent {
    /// The server has refused it.
    Refused(String),
    /// It may have arrived: the server's answer is lost.
    Unknown(String),
}

/// A connection that takes one message.
pub(crate) struct MailLine {
    connection: SmtpConnection,
    server: String,
}

impl MailLine {
    /// Connects, secures the connection and logs in. `authority` is the certificate of the only authority that is believed, where
    /// the firm names one.
    ///
    /// # Errors
    /// What went wrong, with its cure. Nothing was sent.
    pub(crate) fn open(
        mail: &MailServer,
        authority: Option<&[u8]>,
        password: Option<&str>,
    ) -> Result<MailLine, String> {
        let wrong = |error: &Error| connecting(mail, error);
        let tls = tls(mail, authority)?;
        let hello = ClientId::default();
        let from_the_start = tls.as_ref().filter(|_| mail.security == MailSecurity::Tls);
        let place = (mail.server.as_str(), mail.port);
        let mut connection = SmtpConnection::connect(place, Some(PATIENCE), &hello, from_the_start, None)
            .map_err(|error| wrong(&error))?;
        if let Some(tls) = tls.filter(|_| mail.security == MailSecurity::StartTls) {
            if !connection.can_starttls() {
                connection.abort();
                return Err(format!(
                    "{} offers no way to secure the connection on port {}; ask whoever keeps your mailbox for the port, and whether \
                     it is `security: tls`",
                    mail.server, mail.port
                ));
            }
            let _ = connection.set_timeout(Some(SHORT_PATIENCE));
            connection.starttls(&tls, &hello).map_err(|error| wrong(&error))?;
            let _ = connection.set_timeout(Some(PATIENCE));
        }
        if let (Some(user), Some(password)) = (&mail.user, password) {
            let known = Credentials::new(user.clone(), password.to_owned());
            let done = connection.auth(&[Mechanism::Plain, Mechanism::Login], &known);
            done.map_err(|error| logging_in(mail, user, &error))?;
        }
        Ok(MailLine { connection, server: mail.server.clone() })
    }

    /// Says whom a message is from and whom it goes to.
    ///
    /// # Errors
    /// Which of them the server does not take. Nothing was sent to anybody.
    pub(crate) fn address(&mut self, from: &Address, to: &[Address]) -> Result<(), String> {
        let server = self.server.clone();
        self.connection.command(Mail::new(Some(from.clone()), Vec::new())).map_err(|error| {
            let cure = "check `from` and `user` under `mail` in the firm file: most servers take mail from the mailbox's own address alone";
            refused(&server, &format!("mail from {from}"), cure, &error)
        })?;
        for one in to {
            self.connection.command(Rcpt::new(one.clone(), Vec::new())).map_err(|error| {
                let cure = "check the address with them, and say it with `--to`";
                refused(&server, &format!("mail to {one}"), cure, &error)
            })?;
        }
        Ok(())
    }

    /// Hands the message over; gives what the server said when it took it.
    ///
    /// # Errors
    /// Whether it was refused, or may have arrived.
    pub(crate) fn hand_over(mut self, message: &[u8]) -> Result<String, Unsent> {
        let server = self.server.clone();
        let cure = "its words say why; put that right and send it again";
        let not_taken = |error: &Error| refused(&server, "the message", cure, error);
        self.connection.command(Data).map_err(|error| Unsent::Refused(not_taken(&error)))?;
        let _ = self.connection.set_timeout(Some(LAST_PATIENCE));
        // The dot that ends it is sent on a line of its own, with the end of the line before it.
        match self.connection.message(message.strip_suffix(b"\r\n").unwrap_or(message)) {
            Ok(answer) => {
                let said = in_one_line(&answer.message().collect::<Vec<_>>().join(" "));
                let _ = self.connection.set_timeout(Some(PATIENCE));
                let _ = self.connection.quit();
                Ok(said)
            }
            Err(error) if error.status().is_some() => Err(Unsent::Refused(not_taken(&error))),
            Err(error) => Err(Unsent::Unknown(format!(
                "the connection to {server} was lost before it said whether it has taken the message ({})",
                cause(&error)
            ))),
        }
    }

    /// Ends a connection that takes no message after all.
    pub(crate) fn close(mut self) {
        let _ = self.connection.quit();
    }
}

/// What secures the connection; nothing on this very computer, where the firm file says so.
fn tls(mail: &MailServer, authority: Option<&[u8]>) -> Result<Option<TlsParameters>, String> {
    if mail.security == MailSecurity::Open {
        return Ok(None);
    }
    let mut tls = TlsParameters::builder(mail.server.clone());
    if let Some(authority) = authority {
        let certificate = Certificate::from_pem(authority).ok().filter(|_| is_certificate(authority)).ok_or_else(|| {
            "the file that `certificate` names holds no certificate; save it in the form called PEM, which begins with \
             `-----BEGIN CERTIFICATE-----`"
                .to_owned()
        })?;
        tls = tls.certificate_store(CertificateStore::None).add_root_certificate(certificate);
    }
    let built = tls.build();
    built.map(Some).map_err(|error| {
        format!("`certificate` cannot be used: {}; ask whoever keeps the mail server for a new one", cause(&error))
    })
}

fn is_certificate(pem: &[u8]) -> bool {
    String::from_utf8_lossy(pem).contains("-----BEGIN CERTIFICATE-----")
}

// ---- What went wrong ----------------------------------------------------------------------------------------------------

fn connecting(mail: &MailServer, error: &Error) -> String {
    let (server, port, cause) = (&mail.server, mail.port, cause(error));
    // The words of the library that checks certificates (rustls): it hands on no type that could be asked instead.
    if cause.contains("invalid peer certificate") {
        return format!(
            "the certificate of {server} is not believed ({cause}), so that nothing was sent: somebody else may be answering in its \
             place; check `server` in the firm file, and where the server has an authority of its own name its certificate with \
             `certificate:`"
        );
    }
    if error.status().is_some() {
        return format!("{server} takes no mail at the moment: it says “{cause}”; try again later");
    }
    if cause.contains("corrupt message") || cause.contains("InvalidContentType") {
        return format!(
            "{server} does not secure the connection from its beginning on port {port}; try `security: starttls` and port 587"
        );
    }
    format!(
        "there is no connection to {server}, port {port} ({cause}); check that this computer is online, and `server`, `port` and \
         `security` under `mail` in the firm file"
    )
}

fn logging_in(mail: &MailServer, user: &str, error: &Error) -> String {
    let (server, cause) = (&mail.server, cause(error));
    match error.status() {
        Some(_) if error.is_permanent() => format!(
            "{server} does not let {user} in: it says “{cause}”; check `user` in the firm file and the password in {PASSWORD}: many \
             mailboxes want a password of its own for programs, which is made in their settings"
        ),
        Some(_) => format!("{server} lets nobody in at the moment: it says “{cause}”; try again later"),
        None if error.is_client() => format!(
            "{server} asks for no password, or for one in a way that this program does not know; ask whoever keeps your mailbox for \
             its server for programs"
        ),
        None => connecting(mail, error),
    }
}

fn refused(server: &str, what: &str, cure: &str, error: &Error) -> String {
    let cause = cause(error);
    match error.status() {
        Some(_) if error.is_permanent() => format!("{server} does not take {what}: it says “{cause}”; {cure}"),
        Some(_) => {
            format!("{server} does not take {what} at the moment: it says “{cause}”; try again in a quarter of an hour")
        }
        None => format!("the connection to {server} was lost ({cause}); nothing was sent: try again"),
    }
}

/// What is behind an error, in the words of whoever said it: the server, the system, or the library that checks certificates.
fn cause(error: &Error) -> String {
    let mut deepest: &dyn std::error::Error = error;
    while let Some(source) = deepest.source() {
        deepest = source;
    }
    let code = error.status().map(|code| format!("{code} ")).unwrap_or_default();
    let said = match error.source() {
        Some(_) => deepest.to_string(),
        None => error.to_string(),
    };
    in_one_line(&format!("{code}{said}"))
}

fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
