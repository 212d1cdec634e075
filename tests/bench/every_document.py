"""Every document of the demo and big jobs and of a deal, by kind: pages, least type, bytes, what the validators found, CPU.

    python3 tests/bench/every_document.py target/release/wetout FOLDER [JARS]

FOLDER is what `.ci/run` has made and checked: a folder for each job, `survey` and `deal`. It wants PyPI page-validation and pymupdf
(2.0); with JARS (the class path of `.ci/run`) the reference engine for PDF/A-3a and PDF/UA-1 is asked too, in one process. Least type
is the smallest that a letter stands in anywhere, drawings and notes at the foot of a page included; then the least of running text:
of the size in which most letters of a document stand. CPU is that of the whole command (reading, layout, price, drawings, all pages),
the least of five, where a command of its own makes that one document; the papers of a deal are frozen with what they come of, and
have none. It prints a table in Markdown: from least to most over all documents of a kind. No part of CI.
"""

import platform
import resource
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

import page
import pymupdf

HOUSE = Path(__file__).resolve().parents[2]
FILES = ["--firm", HOUSE / "jobs/firm.yaml", "--prices", HOUSE / "jobs/prices.yaml"]
TIMES = 5
KINDS = ["quote", "order", "method", "survey", "invoice", "receipt", "variation", "handover", "account"]


def kind_of(pdf):
    return next(kind for kind in KINDS if kind in pdf.stem)


def type_sizes(document):
    """How many letters stand in each size, pt."""
    sizes = Counter()
    for sheet in document:
        for block in sheet.get_text("dict")["blocks"]:
            for line in block.get("lines", []):
                for span in line["spans"]:
                    if span["text"].strip():
                        sizes[round(span["size"], 1)] += len(span["text"])
    return sizes


def faults(pdf):
    return sum(len(page.validate_pdf(str(pdf), profile=profile).failures) for profile in ("3a", "ua1"))


def refused(pdfs, jars):
    """The documents in which the reference engine found anything."""
    command = ["java", "-cp", jars, HOUSE / "tests/outside/Reference.java", "must-pass", *pdfs]
    said = subprocess.run(command, capture_output=True, text=True).stdout
    assert f"{len(pdfs)} documents checked" in said, said
    return {pdf for pdf in pdfs if f"{pdf}: " in said}


def cpu(program, kind, folder):
    """CPU of the command that makes one document of a job, in ms; none for what is frozen."""
    job = next((j for j in (HOUSE / f"jobs/{folder}", HOUSE / f"tests/big_jobs/{folder}.yaml") if j.exists()), None)
    with tempfile.TemporaryDirectory() as place:
        out = Path(place, "out")
        if kind == "survey":
            command = [program, "survey", "--date", "2026-11-25", *FILES, "--out", out]
        elif kind in ("quote", "order", "method") and job:
            command = [program, kind, job, *FILES, "--out", out]
        else:
            return None
        spent = []
        for number in range(TIMES):
            command[-1] = out / str(number)
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            subprocess.run(command, check=True, capture_output=True)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            spent.append((after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime) * 1000)
    return min(spent)


def span(values, form="{:.0f}"):
    values = [value for value in values if value is not None]
    ends = [form.format(end) for end in (min(values), max(values))] if values else [""]
    return ends[0] if ends[0] == ends[-1] else " to ".join(ends)


def main():
    program, folder = Path(sys.argv[1]).resolve(), Path(sys.argv[2])
    jars = sys.argv[3] if len(sys.argv) > 3 else None
    pdfs = sorted(folder.glob("*/*.pdf"))
    assert pdfs, "no PDF in the folder"
    not_taken = refused(pdfs, jars) if jars else set()
    load = Path("/proc/loadavg").read_text().split()[0]
    print(f"{time.strftime('%-d %B %Y')}; {platform.machine()}, load {load}; CPU, the least of {TIMES} runs\n")
    print("| document | how many | pages | least type, pt | most of it, pt | kB | page-validation | reference engine | CPU, ms |")
    print("|---|---|---|---|---|---|---|---|---|")
    for kind in KINDS:
        of_kind = [pdf for pdf in pdfs if kind_of(pdf) == kind]
        if not of_kind:
            continue
        opened = [pymupdf.open(pdf) for pdf in of_kind]
        sizes = [type_sizes(document) for document in opened]
        found = sum(faults(pdf) for pdf in of_kind)
        engine = f"{len(not_taken.intersection(of_kind))} refused" if jars else "not asked"
        print(
            f"| {kind} | {len(of_kind)} | {span(len(d) for d in opened)} | {span((min(s) for s in sizes), '{:.1f}')} "
            f"| {span((s.most_common(1)[0][0] for s in sizes), '{:.1f}')} "
            f"| {span((pdf.stat().st_size / 1000 for pdf in of_kind), '{:.1f}')} | {found} faults | {engine} "
            f"| {span(cpu(program, kind, pdf.parent.name) for pdf in of_kind)} |",
            flush=True,
        )
    print("\n| job | quote | order | method |\n|---|---|---|---|")
    for made in sorted({pdf.parent for pdf in pdfs if pdf.stem in ("quote", "order", "method")}):
        bytes_of = [(made / f"{kind}.pdf").stat().st_size for kind in ("quote", "order", "method")]
        print(f"| {made.name} | " + " | ".join(f"{size:,}" for size in bytes_of) + " |")


if __name__ == "__main__":
    main()
