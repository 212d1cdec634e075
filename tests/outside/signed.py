"""Sends the quote of the demo kitchen round: it is issued, filled in by four programs that share no code (those of
`fill_pdfs.py`), and accepted as it comes back. Then what nobody may accept comes back: fields pressed into the page, a file under a
password, a total that somebody has rewritten, a note laid over the price. A variation order goes the same way, and comes back spoilt
in three of them.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install page-validation pikepdf pypdf pypdfium2 pymupdf
    npm install --omit=optional --prefix /tmp/npm pdfjs-dist@4.8.69
    /tmp/venv/bin/python tests/outside/signed.py target/debug/wetout /tmp/npm
"""

import json
import logging
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import pikepdf
import pymupdf
from fill_pdfs import by_pypdf, fillers, flattened, under_a_password

JOBS = Path(__file__).parents[2] / "jobs"
AGREED = {"Agreed: Name": "Zoë Okafor", "Agreed: Date": "20 January 2027"}
WRITTEN = {"Acceptance: Name": "Zoë Okafor", "Acceptance: Date": "2 December 2026"}
# The heavier mat, the topcoat in brick red, and that the page on cancelling was read.
TICKED = ["Tick", "Tick 3", "Tick 5"]


def filled(fill, quote, out):
    fill(str(quote), WRITTEN | {name: "/Yes" for name in TICKED}, str(out))
    return out


def rewritten(quote, out):
    """Whatever page holds the price is drawn anew with a figure of another kind: any mark that is not ours."""
    with pikepdf.open(quote) as pdf:
        page = pdf.pages[0]
        page.contents_add(b"BT /F1 9 Tf 60 400 Td (1,000.00) Tj ET")
        pdf.save(out)


def noted_over(quote, out):
    document = pymupdf.open(quote)
    document[2].add_freetext_annot(pymupdf.Rect(300, 200, 500, 240), "agreed: 5,000.00")
    document.save(out)


def noted_over_the_total(quote, out):
    document = pymupdf.open(quote)
    document[6].add_freetext_annot(pymupdf.Rect(400, 300, 540, 330), "1,000.00")
    document.save(out)


class Desk:
    """A firm's folder with the kitchen in it, its quote issued."""

    def __init__(self, wetout, folder):
        self.wetout, self.folder = wetout, Path(folder)
        for name in ("firm.yaml", "prices.yaml", "logo.png"):
            shutil.copy(JOBS / name, self.folder)
        shutil.copytree(JOBS / "kitchen-extension", self.folder / "k")
        assert self.run("issue", "k", "quote").returncode == 0
        self.quote = self.folder / "k/issued/26-041-A/quote.pdf"
        self.order = self.folder / "k/issued/26-041-variation-1/variation.pdf"

    def total_with_both(self):
        """What the engine asks for a job that was written with what is ticked: never worked out from an offer."""
        job = (self.folder / "k/job.yaml").read_text()
        changed = job.replace("{mat: 450,", "{mat: 600,").replace("dark grey", "brick red")
        assert "{mat: 600," in changed and "colour: brick red" in changed
        (self.folder / "both.yaml").write_text(changed)
        return json.loads(self.run("price", "both.yaml", "--json").stdout)["total"]

    def vary(self):
        """From accepted to a variation order that waits for its signature."""
        for words in (
            ("accept", "k", "--on", "2026-12-02", "--name", "Zoë Okafor"),
            ("variation", "k", "k/found.yaml", "--on", "2027-01-19"),
        ):
            assert self.run(*words).returncode == 0

    def run(self, *words):
        return subprocess.run([self.wetout, *words], cwd=self.folder, capture_output=True, text=True, timeout=60)

    def recorded(self):
        return sorted(entry.name for entry in (self.folder / "k/issued").iterdir())


def accepted_faults(wetout, modules):
    for name, fill in fillers(modules).items():
        with tempfile.TemporaryDirectory() as folder:
            desk = Desk(wetout, folder)
            total = f"total    {desk.total_with_both()}"
            back = filled(fill, desk.quote, desk.folder / "signed.pdf")
            done = desk.run("accept", "k", str(back))
            for words in ("as answered on 2026-12-02 by Zoë Okafor", "Topcoat in brick red", "Heavier", total):
                if done.returncode or words not in done.stdout:
                    yield f"{name}: no `{words}` in {done.stdout}{done.stderr}"
            if "Topcoat in green" in done.stdout:
                yield f"{name}: more is taken than was ticked"
            order = desk.run("order", "k", "--out", "o")
            if "made from what was accepted" not in order.stderr:
                yield f"{name}: the order knows nothing of it: {order.stderr}"


def refused_faults(wetout):
    for spoil, words in (
        (flattened, "were pressed into its pages"),
        (under_a_password, "it is encrypted"),
        (rewritten, "page 1 of the file"),
        (noted_over, "laid over page 3"),
        (noted_over_the_total, "laid over page 7"),
    ):
        with tempfile.TemporaryDirectory() as folder:
            desk = Desk(wetout, folder)
            signed = filled(by_pypdf, desk.quote, desk.folder / "signed.pdf")
            spoilt = desk.folder / "spoilt.pdf"
            spoil(signed, spoilt)
            done = desk.run("accept", "k", str(spoilt))
            if done.returncode != 2 or words not in done.stderr or desk.recorded() != ["26-041-A"]:
                yield f"{spoil.__name__}: {done.returncode}, {desk.recorded()}, {done.stdout}{done.stderr}"


def varied_faults(wetout, modules):
    for name, fill in fillers(modules).items():
        with tempfile.TemporaryDirectory() as folder:
            desk = Desk(wetout, folder)
            desk.vary()
            back = desk.folder / "signed.pdf"
            fill(str(desk.order), AGREED, str(back))
            done = desk.run("variation", "k", "--signed", str(back))
            words = "26-041-VAR-1, as answered on 2027-01-20 by Zoë Okafor"
            if done.returncode or words not in done.stdout or "26-041-variation-1-agreed" not in desk.recorded():
                yield f"{name}: {done.stdout}{done.stderr}"
    for spoil, words in (
        (flattened, "were pressed into its pages"),
        (under_a_password, "it is encrypted"),
        (rewritten, "page 1 of the file has more on it than what was issued"),
    ):
        with tempfile.TemporaryDirectory() as folder:
            desk = Desk(wetout, folder)
            desk.vary()
            back, spoilt = desk.folder / "signed.pdf", desk.folder / "spoilt.pdf"
            by_pypdf(str(desk.order), AGREED, str(back))
            spoil(back, spoilt)
            done = desk.run("variation", "k", "--signed", str(spoilt))
            if done.returncode != 2 or words not in done.stderr or "26-041-variation-1-agreed" in desk.recorded():
                yield f"{spoil.__name__}, an order: {done.returncode}, {desk.recorded()}, {done.stdout}{done.stderr}"


def main():
    logging.getLogger("pypdf").setLevel(logging.ERROR)
    wetout, modules = str(Path(sys.argv[1]).resolve()), sys.argv[2]
    faults = [*accepted_faults(wetout, modules), *refused_faults(wetout), *varied_faults(wetout, modules)]
    if faults:
        sys.exit("\n".join(faults))
    print("a quote and a variation order filled in by four programs are taken, and five and three that were spoilt are not")


if __name__ == "__main__":
    main()
