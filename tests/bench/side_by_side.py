"""What the program takes beside programs for general use: document makers and solvers, each given the same content.

    cargo build --locked --release && cargo build --locked --release --features bench --example words
    python3 tests/bench/side_by_side.py target/release/wetout /tmp/side-by-side [PART OF A JOB'S NAME | documents]

Into the folder that is named second it installs PyPI typst, weasyprint, reportlab, ortools, highspy, pypdf, pikepdf and
page-validation, and nowhere else. It prints tables in Markdown; pictures of what was made stay in the folder as PDFs. No part of CI: times are CPU of the process and its threads, so that they hold beside other work, on the
machine that is named above them.

Documents. The words of the first three pages of the kitchen's quote, and of all of its order, read off the tags of our PDF:
headings, paragraphs, items of lists and tables with their heading cells and groups, in the same fonts, A4. Of each maker two files are
asked for where it can make them: with tags (typst: PDF/UA-1; weasyprint: PDF/UA-1 and `pdf_tags`; reportlab knows none), and to be kept
(PDF/A-3a of typst and weasyprint). Of ours stand there the whole document and, in a row of its own, the very same words set by the very same engine
(`tests/bench/words.rs`), which is always tagged, PDF/A-3a and PDF/UA-1. What is not equal: the whole document (the quote has seven pages) has
letterhead, logo, drawings, fields and an attached file, all of which the others leave out, and its time holds reading the job, layout, cutting and
price before a word is set; the others and our words alone get their words ready made.

Cutting. The runs of trims of each demo and big job, group by group, from `takeoff --json`, with the models of
tests/outside/cutting.py: CP-SAT joins and cuts the runs; HiGHS cuts the pieces as we joined them (arc flow). Ours is the whole
command, reading, boards and mat included; no part of it that cuts alone can be timed from outside.
"""

import json
import platform
import re
import resource
import subprocess
import sys
import tempfile
import time
import venv
from pathlib import Path

HOUSE = Path(__file__).resolve().parents[2]
PACKAGES = ["typst==0.15.2", "weasyprint==70.0", "reportlab==5.1.0", "ortools==9.15.6755", "highspy==1.16.0", "pypdf==7.1.1"]
PACKAGES += ["pikepdf==10.18.0", "page-validation==0.11.0"]
TIMES = 7
# Of the jobs whose trims are cut, those with this in their names: all, unless a fourth word says otherwise.
ONLY = sys.argv[3] if len(sys.argv) == 4 else ""


def worked():
    """CPU of this process, and of those that it has waited for, in ms."""
    own, waited = (resource.getrusage(whose) for whose in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return (own.ru_utime + own.ru_stime + waited.ru_utime + waited.ru_stime) * 1000


def best(work, times=TIMES):
    """The least of several runs."""
    spent = []
    for _ in range(times):
        start = worked()
        work()
        spent.append(worked() - start)
    return min(spent)


def machine():
    model = re.search(r"model name\s*: (.*)", Path("/proc/cpuinfo").read_text())
    cores = Path("/proc/cpuinfo").read_text().count("processor\t")
    return f"{model[1] if model else platform.machine()}, {cores} cores, {platform.system()} {platform.release()}, load {Path('/proc/loadavg').read_text().split()[0]}"


# ---- Documents ---------------------------------------------------------------------------------------------------------


HEADINGS = {f"/H{level}" for level in range(1, 7)}


def content(pdf, pages):
    """What the tags of a PDF's first pages say: ("heading", level, words), ("text", words), ("item", words) and ("table", rows), a
    row a list of (heading or not, columns that it spans, words)."""
    import pikepdf

    with pikepdf.open(pdf) as opened:
        shown = {sheet.objgen: marks_of(sheet) for sheet in opened.pages[:pages]}
        return list(blocks_of(opened.Root.StructTreeRoot.K, shown))


def marks_of(sheet):
    """The words of each marked content of a page, by its number."""
    import pikepdf

    read = {name: reader_of(font) for name, font in sheet.Resources.Font.items()}
    found, number, letters = {}, None, None
    for words, operator in pikepdf.parse_content_stream(sheet):
        match str(operator):
            case "BDC" if "/MCID" in words[1]:
                number = int(words[1].MCID)
            case "BDC" | "BMC" | "EMC":
                number = None
            case "Tf":
                letters = read[str(words[0])]
            case "Tj" | "TJ" if number is not None:
                parts = words[0] if str(operator) == "TJ" else [words[0]]
                shown = b"".join(bytes(part) for part in parts if isinstance(part, pikepdf.String))
                found[number] = found.get(number, "") + letters(shown)
    return found


def reader_of(font):
    """What turns a font's bytes into letters: a code page, or its own table by the byte or two of a glyph (ISO 32000-1, 9.10.3). A code
    that the table does not know is a fault of this script."""
    if font.get("/Encoding") == "/WinAnsiEncoding":
        return lambda shown: shown.decode("cp1252")
    wide = 2 if font.Subtype == "/Type0" else 1
    table, text = {}, font.ToUnicode.read_bytes().decode()
    plain = lambda code: bytes.fromhex(code).decode("utf-16-be")
    for part in re.findall(r"beginbfchar(.*?)endbfchar", text, re.S):
        for code, letter in re.findall(r"<(\w+)>\s*<(\w+)>", part):
            table[bytes.fromhex(code)] = plain(letter)
    for part in re.findall(r"beginbfrange(.*?)endbfrange", text, re.S):
        for first, last, letter in re.findall(r"<(\w+)>\s*<(\w+)>\s*<(\w+)>", part):
            for step in range(int(last, 16) - int(first, 16) + 1):
                table[(int(first, 16) + step).to_bytes(wide, "big")] = chr(int(letter, 16) + step)
    return lambda shown: "".join(table[shown[i : i + wide]] for i in range(0, len(shown), wide))


def words_of(node, shown, sheet=None):
    """The words of a node and of those under it, without those of pages that are left out."""
    import pikepdf

    if isinstance(node, pikepdf.Array):
        return "".join(words_of(kid, shown, sheet) for kid in node)
    if isinstance(node, int):
        return shown.get(sheet, {}).get(node, "")
    sheet = node.Pg.objgen if "/Pg" in node else sheet
    if "/MCID" in node:
        return shown.get(sheet, {}).get(int(node.MCID), "")
    return words_of(node.K, shown, sheet) if "/K" in node and node.get("/S") not in ("/Lbl", "/Form", "/Figure", "/Note") else ""


def blocks_of(node, shown):
    import pikepdf

    for kid in node if isinstance(node, pikepdf.Array) else [node]:
        if not isinstance(kid, pikepdf.Dictionary) or "/S" not in kid:
            continue
        tag = str(kid.S)
        if tag in HEADINGS or tag in ("/P", "/LBody", "/Caption"):
            words = words_of(kid, shown).strip()
            if words:
                yield ("heading", int(tag[2]), words) if tag in HEADINGS else ("item" if tag == "/LBody" else "text", words)
        elif tag == "/Table":
            rows = [[cell(c, shown) for c in kids(row)] for row in rows_of(kid)]
            if any(words for row in rows for *_, words in row):
                yield ("table", rows)
        elif "/K" in kid and tag not in ("/Form", "/Figure", "/Note"):
            yield from blocks_of(kid.K, shown)


def kids(node):
    """What stands under a node: one alone is no array."""
    import pikepdf

    return node.K if isinstance(node.K, pikepdf.Array) else [node.K]


def rows_of(node):
    for kid in kids(node):
        if str(kid.S) == "/TR":
            yield kid
        else:
            yield from rows_of(kid)


def cell(node, shown):
    import pikepdf

    kinds = node.get("/A", {})
    spans = [kind.ColSpan for kind in (kinds if isinstance(kinds, pikepdf.Array) else [kinds]) if "/ColSpan" in kind]
    return (str(node.S) == "/TH", int(spans[0]) if spans else 1, words_of(node, shown).strip())


def columns_of(rows):
    return max(sum(span for _, span, _ in row) for row in rows)


def in_typst(words, out, standard="ua-1"):
    import typst

    plain = lambda text: json.dumps(text, ensure_ascii=False)
    parts = []
    for kind, *what in words:
        match kind:
            case "heading":
                parts.append(f"#heading(level: {what[0]}, {plain(what[1])})")
            case "text":
                parts.append(f"#par[#{plain(what[0])}]")
            case "item":
                parts.append(f"#list([#{plain(what[0])}])")
            case "table":
                rows = [", ".join(f"table.cell(colspan: {span}, {plain(text)})" for _, span, text in row) for row in what[0]]
                head = f"table.header({rows[0]}), " if all(heading for heading, *_ in what[0][0]) else f"{rows[0]}, "
                parts.append(f"#table(columns: {columns_of(what[0])}, {head}{', '.join(rows[1:])})")
    source = '#set document(title: "Words")\n#set page(paper: "a4")\n#set text(font: "Noto Sans", size: 10pt, lang: "en")\n'
    place = out.with_suffix(".typ")
    place.write_text(source + "\n".join(parts))
    fonts = [str(HOUSE / "fonts")]
    out.write_bytes(typst.compile(str(place), font_paths=fonts, ignore_system_fonts=True, pdf_standards=standard))


def in_weasyprint(words, out, standard="pdf/ua-1"):
    from html import escape

    from weasyprint import HTML

    parts = []
    for kind, *what in words:
        match kind:
            case "heading":
                parts.append(f"<h{what[0]}>{escape(what[1])}</h{what[0]}>")
            case "text":
                parts.append(f"<p>{escape(what[0])}</p>")
            case "item":
                parts.append(f"<ul><li>{escape(what[0])}</li></ul>")
            case "table":
                tags = lambda heading: "th" if heading else "td"
                cells = lambda row: "".join(f"<{tags(h)} colspan={n}>{escape(text)}</{tags(h)}>" for h, n, text in row)
                parts.append("<table>" + "".join(f"<tr>{cells(row)}</tr>" for row in what[0]) + "</table>")
    faces = "".join(
        f"@font-face {{ font-family: Own; font-weight: {weight}; src: url({(HOUSE / 'fonts' / file).as_uri()}) }} "
        for weight, file in ((400, "NotoSans-Regular.ttf"), (700, "NotoSans-Bold.ttf"))
    )
    style = f"{faces}@page {{ size: A4 }} body {{ font: 10pt Own }} table {{ width: 100%; text-align: left }}"
    page = f"<html lang=en><title>Words</title><style>{style}</style>{''.join(parts)}</html>"
    HTML(string=page).write_pdf(out, pdf_variant=standard, pdf_tags=True)


def in_reportlab(words, out):
    from xml.sax.saxutils import escape

    from reportlab.lib.pagesizes import A4
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.platypus import Paragraph, SimpleDocTemplate, Table

    for name, file in (("Own", "NotoSans-Regular.ttf"), ("OwnBold", "NotoSans-Bold.ttf")):
        pdfmetrics.registerFont(TTFont(name, str(HOUSE / "fonts" / file)))
    style = ParagraphStyle("own", fontName="Own", fontSize=10, leading=14)
    bold = ParagraphStyle("bold", parent=style, fontName="OwnBold")
    story = []
    for kind, *what in words:
        if kind == "table":
            filled = [[cell for h, n, text in row for cell in [Paragraph(escape(text), bold if h else style)] + [""] * (n - 1)] for row in what[0]]
            columns = columns_of(what[0])
            story.append(Table([row + [""] * (columns - len(row)) for row in filled]))
        else:
            mark = "• " if kind == "item" else ""
            story.append(Paragraph(mark + escape(what[-1]), bold if kind == "heading" else style))
    SimpleDocTemplate(str(out), pagesize=A4).build(story)


MAKERS = {
    "typst": in_typst,
    "typst, PDF/A-3a": lambda words, out: in_typst(words, out, "a-3a"),
    "weasyprint": in_weasyprint,
    "weasyprint, PDF/A-3a": lambda words, out: in_weasyprint(words, out, "pdf/a-3a"),
    "reportlab": in_reportlab,
}


def one_document(name, words, out):
    """In a process of its own: first the whole process is timed from outside, then the making alone from inside."""
    pages = json.loads(Path(words).read_text())
    make = MAKERS[name]
    make(pages, Path(out))
    if sys.argv[-1] == "inside":
        print(best(lambda: make(pages, Path(out))))


def tags_of(pdf):
    """How many structure elements a PDF has, and of which kinds most."""
    import pikepdf

    def kinds(node):
        for kid in node if isinstance(node, pikepdf.Array) else [node]:
            if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
                yield str(kid.S)[1:]
                yield from kinds(kid.get("/K", pikepdf.Array()))

    with pikepdf.open(pdf) as opened:
        if "/StructTreeRoot" not in opened.Root:
            return "none"
        found = list(kinds(opened.Root.StructTreeRoot.K))
    return f"{len(found)} (TH {found.count('TH')}, TD {found.count('TD')})"


def faults_of(pdf):
    import page

    return " / ".join(str(len(page.validate_pdf(str(pdf), profile=profile).failures)) for profile in ("3a", "ua1"))


def documents(program, folder, kept):
    from pypdf import PdfReader

    for kind, taken in (("quote", 3), ("order", 99)):
        def ours(out=folder / kind):
            command = [program, kind, HOUSE / "jobs/kitchen-extension", "--out", out]
            subprocess.run(command, check=True, capture_output=True)

        ours()
        made = next((folder / kind).rglob(f"{kind}.pdf"))
        words = folder / f"{kind}.json"
        words.write_text(json.dumps(content(made, taken)))
        letters = sum(len(text) for text in re.findall(r'"((?:[^"\\]|\\.)*)"', words.read_text()))
        whole = best(ours)
        print(f"The {kind}'s words: {len(json.loads(words.read_text()))} blocks, some {letters} letters.\n")
        print("| maker | whole process, ms | beside ours | making alone, ms | pages | file, kB | structure elements | PDF/A-3a / PDF/UA-1 faults | what else it holds |")
        print("|---|---|---|---|---|---|---|---|---|")
        row(f"`wetout {kind}`, the whole document from the job file", whole, whole, None, made)
        words_alone(program, words, whole, kept / f"words-{kind}.pdf")
        for name in MAKERS:
            out = kept / f"{re.sub('[^a-z0-9]+', '-', name.lower())}-{kind}.pdf"
            command = [sys.executable, __file__, "one", name, words, out]
            try:
                spent = best(lambda: subprocess.run(command, check=True, capture_output=True))
                inside = float(subprocess.run(command + ["inside"], check=True, capture_output=True, text=True).stdout)
            except subprocess.CalledProcessError as error:
                last = (error.stderr or b"").decode() if isinstance(error.stderr, bytes) else error.stderr or ""
                print(f"| {name} | did not run: {last.strip().splitlines()[-1][:80]} | | | | | | | |")
                continue
            row(f"{name} ({version(name.split(',')[0])})", spent, whole, inside, out)
        print(flush=True)


def words_alone(program, words, whole, out):
    """The same words by our own engine: `cargo build --locked --release --features bench --example words`, beside the program."""
    maker = Path(program).parent / "examples/words"
    if not maker.exists():
        return print("| our engine, the same words | not built | | | | | | | |")
    command = [maker, words, out]
    spent = best(lambda: subprocess.run(command, check=True))
    inside = float(subprocess.run([*command, str(10 * TIMES)], check=True, capture_output=True, text=True).stdout)
    row("our engine, the same words", spent, whole, inside, out)


def held(pdf):
    """What of a PDF is more than words: fonts that are embedded, pictures, lines drawn, fields, attached files, profile."""
    import pikepdf

    with pikepdf.open(pdf) as opened:
        root, fonts, pictures = opened.Root, set(), set()
        for sheet in opened.pages:
            resources = sheet.get("/Resources", {})
            for font in resources.get("/Font", {}).values():
                below = font.DescendantFonts[0] if "/DescendantFonts" in font else font
                fonts.add((str(below.BaseFont), "/FontFile2" in below.get("/FontDescriptor", {}) or "/FontFile3" in below.get("/FontDescriptor", {})))
            pictures |= {picture.objgen for picture in resources.get("/XObject", {}).values()}
        found = [(sum(whole for _, whole in fonts), "fonts"), (sum(not whole for _, whole in fonts), "fonts not embedded")]
        found += [(len(pictures), "pictures"), (len(root.AcroForm.Fields) if "/AcroForm" in root else 0, "fields")]
        found += [(len(opened.attachments), "attached files"), (len(root.get("/OutputIntents", [])), "colour profile")]
        found += [(figures(root), "figures with alternative text")]
        return ", ".join(f"{count} {what}" for count, what in found if count)


def figures(root):
    """Figures among the tags."""
    import pikepdf

    def under(node):
        for kid in node if isinstance(node, pikepdf.Array) else [node]:
            if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
                yield str(kid.S)
                yield from under(kid.get("/K", pikepdf.Array()))

    return list(under(root.StructTreeRoot.K)).count("/Figure") if "/StructTreeRoot" in root else 0


def row(maker, spent, whole, inside, pdf):
    from pypdf import PdfReader

    alone = "" if inside is None else f"{inside:.0f}"
    print(
        f"| {maker} | {spent:.0f} | {spent / whole:.1f} | {alone} | {len(PdfReader(pdf).pages)} "
        f"| {pdf.stat().st_size / 1000:.1f} | {tags_of(pdf)} | {faults_of(pdf)} | {held(pdf)} |",
        flush=True,
    )


def version(name):
    from importlib.metadata import version as of

    return of(name)


# ---- Cutting -----------------------------------------------------------------------------------------------------------


def groups(laid):
    """Runs, stock, pieces and what we found, for each group of trims that is bought in lengths."""
    rules = laid["layout"]["rules"]
    for group in laid["layout"]["trims"]:
        stock = sorted({bar["stock"] for bar in group["bars"]})
        if group["counted_in"] != "lengths" or len(stock) != 1:
            continue
        runs, pieces = [], []
        for run in group["runs"]:
            lengths = [piece["length"] for piece in run["pieces"]]
            runs.append((sum(lengths) - rules["trim_lap"] * (len(lengths) - 1), 0))
            pieces += lengths
        yield group["finish"], rules, stock, runs, pieces, group["proof"]


def cutting(program, folder):
    sys.path.insert(0, str(HOUSE / "tests/outside"))
    from cutting import arc_flow, joined, merged

    jobs = sorted(HOUSE.glob("jobs/*/job.yaml")) + [HOUSE / "tests/big_jobs/twelve-roofs.yaml"]
    if ONLY:
        jobs = [job for job in jobs if ONLY in str(job)]
    print("| job | groups | runs | ours: lengths (proven) | whole `takeoff`, ms | CP-SAT: lengths (proven) | ms | HiGHS on our pieces | ms |")
    print("|---|---|---|---|---|---|---|---|---|")
    files = ["--firm", HOUSE / "jobs/firm.yaml", "--prices", HOUSE / "jobs/prices.yaml"]
    for job in jobs:
        command = [program, "takeoff", job, "--json", *files]
        laid = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)
        whole = best(lambda: subprocess.run(command, capture_output=True, check=True))
        found = list(groups(laid))
        ours = sum(proof["found"] for *_, proof in found), sum(proof["bound"] for *_, proof in found)
        sat, flow, spent, without = [0, 0], [0, 0], [0.0, 0.0], 0
        for _, rules, stock, runs, pieces, _ in found:
            start = worked()
            try:
                outcome = joined([(stock[0], 1)], rules["kerf"], rules["trim_lap"], rules["shortest_piece"], 0, runs)
                sat = [sat[0] + outcome[0], sat[1] + outcome[1]]
            except AssertionError:  # no plan at all within the 20 s that the model is given
                without += 1
            spent[0] += worked() - start
            start = worked()
            outcome = arc_flow([(stock[0], 1)], rules["kerf"], merged(pieces))
            flow = [flow[0] + outcome[0], flow[1] + outcome[1]]
            spent[1] += worked() - start
        said = lambda lengths, bound: f"{lengths} (yes)" if lengths == bound else f"{lengths} (no, {bound})"
        name = job.parent.name if job.stem == "job" else job.stem
        print(
            f"| {name} | {len(found)} | {sum(len(g[3]) for g in found)} | {said(*ours)} | {whole:.0f} "
            f"| {said(*sat)}{f', none for {without}' if without else ''} | {spent[0]:.0f} | {said(*flow)} | {spent[1]:.0f} |",
            flush=True,
        )


def main():
    if sys.argv[1] == "one":
        return one_document(*sys.argv[2:5])
    program, folder = str(Path(sys.argv[1]).resolve()), Path(sys.argv[2])
    python = folder / "venv/bin/python"
    if not python.exists():
        venv.create(folder / "venv", with_pip=True)
    if Path(sys.executable).resolve().parent != python.resolve().parent or sys.prefix == sys.base_prefix:
        subprocess.run([python, "-m", "pip", "install", "--quiet", *PACKAGES], check=True)
        sys.exit(subprocess.run([python, __file__, program, folder, *sys.argv[3:]]).returncode)
    print(f"{time.strftime('%-d %B %Y')}; {machine()}; CPU, the least of {TIMES} runs\n", flush=True)
    with tempfile.TemporaryDirectory(dir=folder) as place:
        documents(program, Path(place), folder)
        if ONLY != "documents":
            cutting(program, Path(place))


if __name__ == "__main__":
    main()
