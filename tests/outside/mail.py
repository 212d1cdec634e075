"""Reads the drafts of a demo quote, order, invoice, variation order and handover with Python's own `email` package (policy `default`, RFC 5322 and MIME), and sends the
quote to a server that somebody else wrote (PyPI aiosmtpd) under TLS, with certificates made for the occasion (PyPI trustme). The
drafts are then broken on purpose, and each break must be found.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install aiosmtpd trustme
    /tmp/venv/bin/python tests/outside/mail.py target/debug/wetout
"""

import email
import email.policy
import logging
import os
import shutil
import socket
import ssl
import subprocess
import sys
import tempfile
import warnings
from pathlib import Path

import trustme
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult

JOBS = Path(__file__).parents[2] / "jobs"
USUAL = "server: smtp.harrow-teal.example, port: 587, security: starttls"
FIRM = "Żółć & Zoë's Flat Roofs"
TITLE = "Anbau Küche, Nº 14 — “back”"
PASSWORD = "s3cret of this run"


class Desk:
    """A firm's folder with the kitchen in it, in letters beyond ASCII, its quote and its order issued."""

    def __init__(self, wetout, folder):
        self.wetout, self.folder = wetout, Path(folder)
        for name in ("prices.yaml", "logo.png"):
            shutil.copy(JOBS / name, self.folder)
        shutil.copytree(JOBS / "kitchen-extension", self.folder / "k")
        self.firm = (JOBS / "firm.yaml").read_text().replace("name: Harrow & Teal Flat Roofs", f'name: "{FIRM}"')
        (self.folder / "firm.yaml").write_text(self.firm)
        job = self.folder / "k/job.yaml"
        job.write_text(job.read_text().replace("title: Kitchen extension", f'title: "{TITLE}"'))
        for document in ("quote", "order"):
            self.must("issue", "k", document)
        self.issued = self.folder / "k/issued"

    def must(self, *words):
        done = self.run(*words)
        assert done.returncode == 0, done.stderr

    def play(self):
        """From accepted to handed over."""
        self.must("accept", "k", "--on", "2026-12-02", "--name", "Zoë Okafor")
        self.must("invoice", "k", "--stage", "1", "--on", "2026-12-03")
        self.must("variation", "k", "k/found.yaml", "--on", "2027-01-19")
        self.must("handover", "k", "--on", "2027-01-22")

    def run(self, *words, **environment):
        env = {k: v for k, v in os.environ.items() if k != "WETOUT_MAIL_PASSWORD"} | environment
        return subprocess.run([self.wetout, *words], cwd=self.folder, capture_output=True, text=True, timeout=60, env=env)

    def by(self, settings):
        (self.folder / "firm.yaml").write_text(self.firm.replace(USUAL, settings))


# ---- Drafts ----


def faults_of(message, to, subject, frozen, files, unsent):
    """What is wrong with a message as bytes."""
    for line in message.split(b"\r\n"):
        if len(line) > 998 or b"\n" in line or b"\r" in line:
            yield f"a line of {len(line)} octets, or one that ends otherwise: {line[:60]}"
    read = email.message_from_bytes(message, policy=email.policy.default)
    defects = [*read.defects, *(defect for part in read.walk() for defect in part.defects)]
    defects += [defect for value in read.values() for defect in getattr(value, "defects", ())]
    if defects:
        yield f"defects: {defects}"
    (sender,) = read["From"].addresses
    if (sender.display_name, sender.addr_spec) != (FIRM, "office@harrow-teal.example"):
        yield f"from {sender}"
    if [one.addr_spec for one in read["To"].addresses] != [to]:
        yield f"to {read['To']}"
    if read["Subject"] != subject:
        yield f"subject {read['Subject']!r}"
    if read["Date"].datetime is None or read["Date"].datetime.isoformat() != "2026-12-02T12:00:00+00:00":
        yield f"date {read['Date']}"
    if not read["Message-ID"].strip("<>").endswith("@harrow-teal.example"):
        yield f"id {read['Message-ID']}"
    if (read["X-Unsent"] == "1") != unsent:
        yield f"X-Unsent {read['X-Unsent']}"
    if len(read.keys()) != len(set(map(str.lower, read.keys()))) or "bcc" in map(str.lower, read.keys()):
        yield f"fields {read.keys()}"
    plain, marked = read.get_body(("plain",)), read.get_body(("html",))
    words = plain.get_content() if plain else ""
    if FIRM not in words or not marked or "<p>" not in marked.get_content():
        yield "the words are not there as text and as HTML"
    carried = {part.get_filename(): part.get_payload(decode=True) for part in read.iter_attachments()}
    wanted = {f"{frozen.name} {file}": (frozen / file).read_bytes() for file in files}
    if carried != wanted:
        yield f"carries {carried.keys()}, not as frozen"


QUOTE = ("r.okafor@home.example", f"Your quote 26-041: {TITLE}", "26-041-A", ["quote.pdf"])
ORDER = ("orders@coldharbour.example", f"Order 26-041-1 from {FIRM}", "26-041-B", ["order.pdf", "order.csv"])

# What is frozen under a number of its own: its draft bears the folder's name alone.
NUMBERED = {
    "invoice": (QUOTE[0], f"Request for payment 26-041-INV-1: {TITLE}", "26-041-invoice-1", ["invoice.pdf"]),
    "variation": (QUOTE[0], f"Variation order 26-041-VAR-1: {TITLE}", "26-041-variation-1", ["variation.pdf"]),
    "handover": (QUOTE[0], f"Your roof is finished: {TITLE}", "26-041-handover-1", ["handover.pdf"]),
}

BREAKS = {
    "another file": lambda m: m.replace(b"JVBERi0", b"JVBERi1", 1),
    "a line without its carriage return": lambda m: m.replace(b"\r\n", b"\n", 1),
    "a long line": lambda m: m.replace(b"X-Unsent: 1", b"X-Unsent: 1\r\nX-Long: " + b"x" * 999),
    "a field more": lambda m: m.replace(b"X-Unsent: 1", b"X-Unsent: 1\r\nBcc: a@home.example"),
    "somebody else": lambda m: m.replace(b"r.okafor@", b"k.okafor@"),
    "no end": lambda m: m[: len(m) // 2],
    "another day": lambda m: m.replace(b"02 Dec", b"03 Dec"),
    "no words": lambda m: m.replace(b"text/plain", b"text/x-none"),
}


def draft_faults(desk):
    desk.play()
    for document, (to, subject, name, files) in {"quote": QUOTE, "order": ORDER, **NUMBERED}.items():
        out = desk.folder / "out"
        done = desk.run("mail", "k", document, "--out", str(out), "--today", "2026-12-02")
        if done.returncode:
            yield f"{document}: {done.stderr}"
            continue
        draft = f"{name}.eml" if document in NUMBERED else f"{name}-{document}.eml"
        message = (out / draft).read_bytes()
        judge = lambda m: list(faults_of(m, to, subject, desk.issued / name, files, unsent=True))
        yield from (f"{document}: {fault}" for fault in judge(message))
        for what, spoil in BREAKS.items() if document in ("quote", "variation") else ():
            if spoil(message) == message or not judge(spoil(message)):
                yield f"{document}: {what} was not found"


# ---- A server of somebody else ----


class Post:
    """Keeps what it is given."""

    def __init__(self):
        self.taken = []

    async def handle_DATA(self, server, session, envelope):
        secured = server.transport.get_extra_info("ssl_object") is not None
        self.taken.append((secured, envelope.mail_from, envelope.rcpt_tos, envelope.original_content))
        return "250 OK taken"


def let_in(server, session, envelope, mechanism, login):
    known = login.password == PASSWORD.encode() and login.login == b"office@harrow-teal.example"
    return AuthResult(success=known, handled=False)


def served(post, certificate, security):
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    certificate.configure_cert(context)
    common = {"hostname": "127.0.0.1", "port": 0, "authenticator": let_in, "auth_required": True}
    if security == "tls":
        return Controller(post, ssl_context=context, auth_require_tls=False, **common)
    return Controller(post, tls_context=context, require_starttls=True, **common)


class AnyPort:
    """A controller on a port that was free."""

    def __init__(self, controller):
        self.controller = controller

    def __enter__(self):
        self.controller.port = free_port()
        self.controller.start()
        return self.controller.port

    def __exit__(self, *_):
        self.controller.stop()


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def sending_faults(wetout):
    ours, strangers = trustme.CA(), trustme.CA()
    here, elsewhere = ours.issue_cert("localhost", "127.0.0.1"), ours.issue_cert("mail.elsewhere.example")
    for security in ("starttls", "tls"):
        for what, certificate, authority, password, words in (
            ("sent", here, ours, PASSWORD, None),
            ("a stranger's authority", here, strangers, PASSWORD, "is not believed"),
            ("no authority of its own", here, None, PASSWORD, "is not believed"),
            ("another name", elsewhere, ours, PASSWORD, "is not believed"),
            ("a wrong password", here, ours, "guessed", "the password in WETOUT_MAIL_PASSWORD"),
        ):
            with tempfile.TemporaryDirectory() as folder:
                desk, post = Desk(wetout, folder), Post()
                with AnyPort(served(post, certificate, security)) as port:
                    named = ""
                    if authority:
                        authority.cert_pem.write_to_path(str(desk.folder / "authority.pem"))
                        named = ", certificate: authority.pem"
                    desk.by(f"server: localhost, port: {port}, security: {security}{named}")
                    mail = ("mail", "k", "quote", "--send", "--today", "2026-12-02")
                    done = desk.run(*mail, WETOUT_MAIL_PASSWORD=password)
                    again = desk.run(*mail, WETOUT_MAIL_PASSWORD=password) if words is None else None
                kept = sorted(entry.name for entry in desk.issued.iterdir())
                yield from (f"{security}, {what}: {f}" for f in sent_faults(desk, post, done, again, words, kept))


def sent_faults(desk, post, done, again, words, kept):
    if words is not None:
        if done.returncode != 2 or words not in done.stderr or post.taken or kept != ["26-041-A", "26-041-B"]:
            yield f"{done.returncode}, {len(post.taken)} taken, {kept}, {done.stdout}{done.stderr}"
        return
    if done.returncode or len(post.taken) != 1 or "26-041-A-mail-1-sent" not in kept:
        yield f"{done.returncode}, {len(post.taken)} taken, {kept}, {done.stdout}{done.stderr}"
        return
    if again.returncode or "is not sent again" not in again.stdout:
        yield f"sent twice: {again.stdout}{again.stderr}"
    secured, sender, to, message = post.taken[0]
    to_whom, subject, name, files = QUOTE
    if not secured or sender != "office@harrow-teal.example" or to != [to_whom]:
        yield f"secured {secured}, from {sender}, to {to}"
    yield from faults_of(message, to_whom, subject, desk.issued / name, files, unsent=False)


def clear_faults(wetout):
    """A server that offers no TLS is told nothing, neither a password nor a price."""
    post = Post()
    with tempfile.TemporaryDirectory() as folder:
        desk = Desk(wetout, folder)
        with AnyPort(Controller(post, hostname="127.0.0.1", port=0)) as port:
            for security, words in (("starttls", "offers no way to secure"), ("tls", "port")):
                desk.by(f"server: localhost, port: {port}, security: {security}")
                done = desk.run("mail", "k", "quote", "--send", WETOUT_MAIL_PASSWORD=PASSWORD)
                if done.returncode != 2 or words not in done.stderr or post.taken:
                    yield f"in the clear, {security}: {done.stdout}{done.stderr}"


def main():
    # What the server thinks of clients that hang up is no part of the result.
    logging.getLogger("mail.log").setLevel(logging.CRITICAL)
    warnings.simplefilter("ignore")
    wetout = str(Path(sys.argv[1]).resolve())
    with tempfile.TemporaryDirectory() as folder:
        faults = list(draft_faults(Desk(wetout, folder)))
    faults += [*sending_faults(wetout), *clear_faults(wetout)]
    print("\n".join(faults))
    print(f"five drafts read, {2 * len(BREAKS)} broken ones found; sent under TLS in two ways, and not in ten others")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
