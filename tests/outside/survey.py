"""Sends the survey form round: written by the program, filled in by four programs that share no code (those of
`fill_pdfs.py`), and read back: the same job each time, which can be checked, laid out and priced. The empty
form is checked by open validators, and again filled in. Then forms come back that nobody may read.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install page-validation pdfua outloud pdf_oxide pikepdf pypdf pypdfium2 pymupdf
    npm install --omit=optional --prefix /tmp/npm pdfjs-dist@4.8.69
    /tmp/venv/bin/python tests/outside/survey.py target/debug/wetout /tmp/npm
"""

import json
import logging
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import page
import pikepdf
import pypdf
from check_pdfs import CHECKS
from fill_pdfs import OWN_FAULTS, fillers, flattened, under_a_password

JOBS = Path(__file__).parents[2] / "jobs"

# The demo kitchen, insulated, as its installer would have written it down, lengths in the units of the boxes. All invented.
WORDS = {
    "Reference": "26-091",
    "What the job is": "Kitchen extension",
    "Surveyed on": "25/11/2026",
    "Customer's name": "Zoë Okafor",
    "Customer's address": "14 Sallow Close, Anytown, ZZ9 9ZZ",
    "Customer's telephone": "01632 960182",
    "Height of the eaves, m": "2.6",
    "Nearest boundary, m": "1.2",
    "Roof 1: Name of the roof": "Main roof",
    "Roof 1, side A: length, m": "5.2",
    "Roof 1, side B: length, m": "3400 mm",
    "Roof 1, side C: length, m": "5.2",
    "Roof 1, side D: length, m": "3.4",
    "Roof 1, side A: gutter under it": "half-round 112 mm",
    "Roof 1, side C: height free at the wall, mm": "560",
    "Roof 1: Falls to side": "A",
    "Roof 1: Fall": "1:40",
    "Roof 1: Joist spacing, mm": "400",
    "Roof 1: Board": "osb3-18",
    "Roof 1: Mat, g/m²": "450",
    "Roof 1: Layers": "1",
    "Roof 1: Colour of the topcoat": "dark grey",
    "Roof 1: Surface": "smooth",
    "Roof 1: Old covering": "felt",
    "Roof 1: It leaves by": "skip",
    "Roof 1: Old boards, mm": "18",
    "Roof 1, opening 1: what it is": "rooflight",
    "Roof 1, opening 1: along the front to it, m": "1.8",
    "Roof 1, opening 1: up the roof to it, m": "1.1",
    "Roof 1, opening 1: its width, m": "1",
    "Roof 1, opening 1: its depth, m": "1.0",
    "Roof 1, tie 1: from corner": "A/D",
    "Roof 1, tie 1: to corner": "B/C",
    "Roof 1, tie 1: distance, m": "6.213",
    "In the price: parking, at £": "18.00",
    "Roof 1: U-value now, W/m²K": "0.8",
    "Roof 1: Ceiling below": "plasterboard",
    "Roof 1: Ceiling thickness, mm": "12.5",
    "Roof 1: Ceiling's lambda, W/mK": "0.21",
    "Roof 1: Joist width, mm": "47",
    "Roof 1: Joist depth, mm": "150",
    "Roof 1: Vapour layer, roll width, m": "2",
    "Roof 1: Roll length, m": "25",
    "Roof 1: Insulation over the deck": "pir-160",
    "Roof 1: Board over it": "osb3-18",
    # The shed beside it, whose laminate stays.
    "Roof 2: Name of the roof": "Shed",
    "Roof 2, side A: length, m": "2.4",
    "Roof 2, side B: length, m": "1.8",
    "Roof 2, side C: length, m": "2.4",
    "Roof 2, side D: length, m": "1.8",
    "Roof 2: Mat, g/m²": "450",
    "Roof 2: Colour of the topcoat": "dark grey",
    "Roof 2, patch 1: what and where": "blister by the door",
    "Roof 2, patch 1: along the front to it, m": "0.5",
    "Roof 2, patch 1: up the roof to it, m": "0.6",
    "Roof 2, patch 1: its width, m": "0.6",
    "Roof 2, patch 1: its depth, m": "450 mm",
    "Roof 2, patch 1: layers": "2",
}
TICKS = [
    "Was it built before 2000?, yes",
    "Asbestos in covering, soffit, gutter or lining?, no",
    "In the price: scaffold or edge protection, yes",
    "In the price: permits and licences for the road or the skip, no",
    "Who cuts the flashing in?, us",
    "Roof 1: Measured to, battens",
    "Roof 1, side A: finish, drip",
    "Roof 1, side B: finish, raised",
    "Roof 1, side C: finish, wall",
    "Roof 1, side D: finish, raised",
    "Roof 1: Joists run, front to back",
    "Roof 1: Deck, new",
    "Roof 1, opening 1: finish, kerb",
    "Roof 1: Insulated as, warm",
    "Roof 1: For the Regulations it is, renovated",
    "Roof 2: What is done, repair and topcoat",
    "Roof 2: Faces of the trims, leave",
    "Roof 2: The abraded face, wipe",
]


def given():
    return WORDS | {name: "/Yes" for name in TICKS}


class Office:
    """A firm's folder with an empty form in it."""

    def __init__(self, wetout, folder):
        self.wetout, self.folder = wetout, Path(folder)
        for name in ("firm.yaml", "prices.yaml", "logo.png"):
            shutil.copy(JOBS / name, self.folder)
        assert self.run("survey", "--roofs", "2").returncode == 0
        self.form = self.folder / "survey.pdf"

    def run(self, *words):
        return subprocess.run([self.wetout, *words], cwd=self.folder, capture_output=True, text=True, timeout=60)


def form_faults(form):
    for check in CHECKS:
        yield from check(form)
    names = set(pypdf.PdfReader(form).get_fields())
    yield from (f"there is no field `{name}`" for name in given() if name not in names)
    with pikepdf.open(form) as pdf:
        told = [str(field.TU) for field in pdf.Root.AcroForm.Fields]
        if len(told) != len(set(told)):
            yield "two fields are called alike"


def round_trip_faults(wetout, modules):
    jobs = {}
    for name, fill in fillers(modules).items():
        with tempfile.TemporaryDirectory() as folder:
            office = Office(wetout, folder)
            if name == "pypdf":
                yield from form_faults(office.form)
            filled = office.folder / "filled.pdf"
            fill(str(office.form), given(), str(filled))
            for profile in ("3a", "ua1"):
                for fault in page.validate_pdf(str(filled), profile=profile).failures:
                    if OWN_FAULTS.get(name, "none") not in fault.rule_id:
                        yield f"{name}, {profile}: {fault}"
            done = office.run("new", "k", "--from", "filled.pdf")
            if done.returncode or "not read" in done.stdout:
                yield f"{name}: {done.stdout}{done.stderr}"
                continue
            jobs[name] = (office.folder / "k/job.yaml").read_text()
            if "strip: {covering: felt, tip: skip, boards: 18 mm}" not in jobs[name]:
                yield f"{name}: what comes off is not read as it was written: {jobs[name]}"
            for command in ("check", "price", "make"):
                ran = office.run(command, "k")
                if ran.returncode:
                    yield f"{name}: {command}: {ran.stderr}"
            laid = json.loads(office.run("takeoff", "k", "--json").stdout)
            area = next(line["quantity"] for line in laid["lines"] if line["id"] == "roof.area")
            if abs(float(area) - (5.2 * 3.4 - 1.0)) > 0.02:
                yield f"{name}: the roof has {area} m²"
            again = office.run("new", "k", "--from", "filled.pdf")
            if again.returncode != 2 or "is there already" not in again.stderr:
                yield f"{name}: a job was written over: {again.stdout}{again.stderr}"
    if len(set(jobs.values())) != 1:
        yield f"not the same job from each: {jobs}"


def with_a_script(form, out):
    with pikepdf.open(form) as pdf:
        pdf.Root.OpenAction = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS=pikepdf.String("app.alert(1)"))
        pdf.save(out)


def of_somebody_else(form, out):
    with pikepdf.open(form) as pdf:
        for number, field in enumerate(pdf.Root.AcroForm.Fields):
            field.T = pikepdf.String(f"Field {number}")
        pdf.save(out)


def refused_faults(wetout):
    for spoil, words in (
        (flattened, "no fields to fill in"),
        (under_a_password, "it is encrypted"),
        (with_a_script, "a script"),
        (of_somebody_else, "belongs to a survey form"),
    ):
        with tempfile.TemporaryDirectory() as folder:
            office = Office(wetout, folder)
            spoil(office.form, office.folder / "spoilt.pdf")
            done = office.run("new", "k", "--from", "spoilt.pdf")
            if done.returncode != 2 or words not in done.stderr or (office.folder / "k").exists():
                yield f"{spoil.__name__}: {done.returncode} {done.stdout}{done.stderr}"


def main():
    logging.getLogger("pypdf").setLevel(logging.ERROR)
    wetout, modules = str(Path(sys.argv[1]).resolve()), sys.argv[2]
    faults = [*round_trip_faults(wetout, modules), *refused_faults(wetout)]
    if faults:
        sys.exit("\n".join(faults))
    print("a survey form filled in by four programs gives the same job, and four that were spoilt give none")



if __name__ == "__main__":
    main()
