//! A mail server on this computer, for tests that send: it speaks as much of RFC 5321 as a client says to it, in the clear, keeps
//! what it is given, and fails at the step that is asked for. TLS and a server of somebody else are tried in `tests/outside/mail.py`.

use std::io::{BufRead, BufReader, Write};
use std::net::{TcpListener, TcpStream};
use std::sync::{Arc, Mutex};
use std::thread;

/// At which step it fails, and how.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fails {
    Nowhere,
    /// It closes as soon as somebody comes.
    AtGreeting,
    /// The password is wrong.
    AtLogin,
    /// It takes no mail from that address.
    AtSender,
    /// Nobody is there of that name.
    AtRecipient,
    /// It is busy.
    ForNow,
    /// It closes in the middle of the message's beginning.
    AtData,
    /// It refuses the whole message.
    AtMessage,
    /// It takes the message, and the answer is lost.
    AtAnswer,
}

/// A message that it was given.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Taken {
    pub login: String,
    pub from: String,
    pub to: Vec<String>,
    pub message: Vec<u8>,
}

/// What has come.
#[derive(Debug, Default)]
struct Came {
    connections: usize,
    taken: Vec<Taken>,
}

/// The server; it ends with the process.
pub struct MailServer {
    pub port: u16,
    came: Arc<Mutex<Came>>,
    fails: Arc<Mutex<Fails>>,
}

impl MailServer {
    pub fn start(fails: Fails) -> MailServer {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let port = listener.local_addr().unwrap().port();
        let (came, fails) = (Arc::new(Mutex::new(Came::default())), Arc::new(Mutex::new(fails)));
        let server = MailServer { port, came: Arc::clone(&came), fails: Arc::clone(&fails) };
        thread::spawn(move || {
            for stream in listener.incoming().map_while(Result::ok) {
                let fails = *fails.lock().unwrap();
                came.lock().unwrap().connections += 1;
                let came = Arc::clone(&came);
                // A client that goes away ends its own conversation, and no test.
                thread::spawn(move || converse(stream, fails, &came));
            }
        });
        server
    }

    /// From now on it fails there.
    pub fn fail(&self, fails: Fails) {
        *self.fails.lock().unwrap() = fails;
    }

    pub fn taken(&self) -> Vec<Taken> {
        self.came.lock().unwrap().taken.clone()
    }

    pub fn connections(&self) -> usize {
        self.came.lock().unwrap().connections
    }
}

fn converse(stream: TcpStream, fails: Fails, came: &Mutex<Came>) -> Option<()> {
    if fails == Fails::AtGreeting {
        return None;
    }
    let mut out = stream.try_clone().ok()?;
    let mut lines = BufReader::new(stream);
    let mut say = |words: &str| out.write_all(format!("{words}\r\n").as_bytes()).ok();
    say("220 mail.example ready")?;
    let mut mail = Taken::default();
    loop {
        let line = line(&mut lines)?;
        let line = String::from_utf8_lossy(&line).into_owned();
        let verb = line.split([' ', ':']).next().unwrap_or_default().to_uppercase();
        let path = || line.split_once('<').and_then(|(_, rest)| Some(rest.split_once('>')?.0.to_owned()));
        match (verb.as_str(), fails) {
            ("EHLO", _) => say("250-mail.example\r\n250-AUTH PLAIN\r\n250 8BITMIME")?,
            ("AUTH", Fails::AtLogin) => say("535 5.7.8 that is not the password")?,
            ("AUTH", _) => {
                mail.login = line.rsplit(' ').next().unwrap_or_default().to_owned();
                say("235 2.7.0 welcome")?;
            }
            ("MAIL", Fails::AtSender) => say("553 5.7.1 not your address")?,
            ("MAIL", Fails::ForNow) => say("451 4.3.2 come back later")?,
            ("MAIL", _) => {
                mail.from = path()?;
                say("250 go on")?;
            }
            ("RCPT", Fails::AtRecipient) => say("550 5.1.1 nobody of that name")?,
            ("RCPT", _) => {
                mail.to.push(path()?);
                say("250 go on")?;
            }
            ("DATA", Fails::AtData) => return None,
            ("DATA", _) => {
                say("354 end with a dot")?;
                mail.message = message(&mut lines)?;
                if fails == Fails::AtMessage {
                    say("554 5.6.0 too much like an advertisement")?;
                    continue;
                }
                came.lock().unwrap().taken.push(std::mem::take(&mut mail));
                if fails == Fails::AtAnswer {
                    return None;
                }
                say("250 2.0.0 taken as number 7")?;
            }
            ("QUIT", _) => {
                say("221 goodbye")?;
                return None;
            }
            _ => say("500 what?")?,
        }
    }
}

/// A line without its end; nothing where the client has gone.
fn line(lines: &mut BufReader<TcpStream>) -> Option<Vec<u8>> {
    let mut line = Vec::new();
    lines.read_until(b'\n', &mut line).ok().filter(|n| *n > 0)?;
    assert!(line.ends_with(b"\r\n"), "a line of a conversation ends with CRLF (RFC 5321, 2.3.8)");
    line.truncate(line.len() - 2);
    Some(line)
}

/// A message as it was before dots were doubled (RFC 5321, 4.5.2).
fn message(lines: &mut BufReader<TcpStream>) -> Option<Vec<u8>> {
    let mut whole = Vec::new();
    loop {
        let line = line(lines)?;
        if line == b"." {
            return Some(whole);
        }
        whole.extend(line.strip_prefix(b".").unwrap_or(&line));
        whole.extend(b"\r\n");
    }
}
