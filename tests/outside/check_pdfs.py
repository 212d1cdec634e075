"""Has the demo documents checked by open validators from PyPI: page-validation (PDF/A-3a and PDF/UA-1, every rule that a
machine can judge), pdfua and outloud (parts of PDF/UA-1), pdf_oxide (PDF/A-3a, PDF/UA). None of them is a certificate,
and we say "checked by". Then it breaks a document on purpose: a validator that finds nothing there is blind.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install page-validation pdfua outloud pdf_oxide pikepdf
    /tmp/venv/bin/python tests/outside/check_pdfs.py FOLDER FOLDER_FOR_BROKEN_ONES
"""

import json
import subprocess
import sys
from pathlib import Path

import page
import pdf_oxide
import pikepdf
from pikepdf import Dictionary, Name, String

# What outloud finds and we mean: the headings of groups inside a table (Trims, Mat and bandage, …) are header cells that
# span it (TBL-010), and each cell names its group and its column; a table's headings repeated on its next page are
# artifacts, for they were read once (TAG-002). `spoken.py` holds what is read aloud.
OUR_CHOICE = {"TBL-010", "TAG-002"}


def tool(name):
    return str(Path(sys.executable).parent / name)


def by_pdfua(pdf):
    run = subprocess.run([tool("pdfua"), "check", str(pdf)], capture_output=True, text=True)
    return [] if run.returncode == 0 else [f"pdfua: {run.stdout.strip()}"]


def by_page_validation(pdf):
    reports = [(profile, page.validate_pdf(str(pdf), profile=profile)) for profile in ("3a", "ua1")]
    return [f"page-validation {profile}: {fault}" for profile, report in reports for fault in report.failures]


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


CHECKS = (by_page_validation, by_pdfua, by_pdf_oxide, by_outloud)


def elements(node):
    for kid in node if isinstance(node, pikepdf.Array) else [node]:
        if isinstance(kid, Dictionary) and "/S" in kid:
            yield kid
            yield from elements(kid.get("/K", pikepdf.Array()))


def first(pdf, tag):
    return next(e for e in elements(pdf.Root.StructTreeRoot.K) if e.S == tag)


def without_language(pdf):
    del pdf.Root.Lang


def without_colour_profile(pdf):
    del pdf.Root.OutputIntents


def with_untagged_marks(pdf):
    pdf.pages[0].contents_add(b" q 0 0 0 rg 10 10 5 5 re f Q ", prepend=False)


def with_a_figure_untold(pdf):
    del first(pdf, "/Figure")["/Alt"]


def with_a_heading_left_out(pdf):
    first(pdf, "/H1").S = Name.H3


def with_fields_untold(pdf):
    for field in pdf.Root.AcroForm.Fields:
        for key in ("/TU", "/Contents"):
            if key in field:
                del field[key]
    for element in elements(pdf.Root.StructTreeRoot.K):
        if element.S == "/Form" and "/Alt" in element:
            del element["/Alt"]


def with_words_beside_a_field(pdf):
    form = first(pdf, "/Form")
    beside = pdf.make_indirect(Dictionary(S=Name.Lbl, P=form))
    form.K = pikepdf.Array([beside, *(form.K if isinstance(form.K, pikepdf.Array) else [form.K])])
    form.K.append(form.K[-1])


def with_a_script(pdf):
    pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS=String("app.alert(1)"))


def without_a_font(pdf):
    del pdf.pages[0].Resources.Font.F0.FontDescriptor["/FontFile2"]


def in_other_colours(pdf):
    pdf.pages[0].contents_add(b" /Artifact BMC 1 0 0 0 k 10 10 5 5 re f EMC ", prepend=False)


BREAKAGES = (
    without_language,
    without_colour_profile,
    with_untagged_marks,
    with_a_figure_untold,
    with_a_heading_left_out,
    with_fields_untold,
    with_words_beside_a_field,
    with_a_script,
    without_a_font,
    in_other_colours,
)


def unseen(quote, folder):
    """The breakages of a quote that page-validation does not find."""
    for breakage in BREAKAGES:
        broken = folder / f"{breakage.__name__}.pdf"
        with pikepdf.open(quote) as pdf:
            breakage(pdf)
            pdf.save(broken, object_stream_mode=pikepdf.ObjectStreamMode.generate, fix_metadata_version=False)
        if not by_page_validation(broken):
            yield f"page-validation does not notice a quote {breakage.__name__.replace('_', ' ')}"


def main():
    pdfs = sorted(Path(sys.argv[1]).rglob("*.pdf"))
    assert pdfs, "no PDF to check"
    faults = [f"{pdf}: {f}" for pdf in pdfs for check in CHECKS for f in check(pdf)]
    quote = next(pdf for pdf in pdfs if pdf.name == "quote.pdf")
    broken = Path(sys.argv[2])
    broken.mkdir(parents=True, exist_ok=True)
    faults += unseen(quote, broken)
    print("\n".join(faults))
    print(f"{len(pdfs)} documents checked by page-validation, pdfua, outloud and pdf_oxide; {len(BREAKAGES)} broken ones too")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
