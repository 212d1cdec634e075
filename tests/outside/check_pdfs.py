"""Has the demo documents checked by open validators from PyPI: pdfua and outloud (parts of PDF/UA-1), pdf_oxide
(PDF/A-3a, PDF/UA). Each covers a part of its standard; none of them is a certificate, and we say "checked by".

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install pdfua outloud pdf_oxide
    /tmp/venv/bin/python tests/outside/check_pdfs.py FOLDER
"""

import json
import subprocess
import sys
from pathlib import Path

import pdf_oxide

# What outloud finds and we mean: the headings of groups inside a table (Trims, Mat and bandage, …) are header cells that
# span it (TBL-010); a table's headings repeated on its next page are artifacts, for they were read once (TAG-002).
OUR_CHOICE = {"TBL-010", "TAG-002"}


def tool(name):
    return str(Path(sys.executable).parent / name)


def by_pdfua(pdf):
    run = subprocess.run([tool("pdfua"), "check", str(pdf)], capture_output=True, text=True)
    return [] if run.returncode == 0 else [f"pdfua: {run.stdout.strip()}"]


def by_pdf_oxide(pdf):
    faults = []
    document = pdf_oxide.PdfDocument(str(pdf))
    for name, result in [("PDF/A-3a", document.validate_pdf_a("3a")), ("PDF/UA", document.validate_pdf_ua())]:
        faults += [f"pdf_oxide {name}: {e}" for e in result["errors"]]
    return faults


def by_outloud(pdf):
    run = subprocess.run([tool("outloud"), str(pdf), "--json", "-", "-q"], capture_output=True, text=True)
    text = run.stdout[run.stdout.index("{") : run.stdout.rindex("}") + 1]
    found = json.loads(text)
    findings = [f for one in found["results"] for f in one["findings"]]
    errors = [f for f in findings if f["severity"] == "error"]
    return [f"outloud: {f}" for f in errors if f["rule"] not in OUR_CHOICE]


def main():
    pdfs = sorted(Path(sys.argv[1]).rglob("*.pdf"))
    assert pdfs, "no PDF to check"
    faults = [f"{pdf}: {f}" for pdf in pdfs for check in (by_pdfua, by_pdf_oxide, by_outloud) for f in check(pdf)]
    print("\n".join(faults))
    print(f"{len(pdfs)} documents checked by pdfua, outloud and pdf_oxide")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
