"""What the program takes beside programs for general use: document makers and solvers, each given the same content.

    cargo build --release
    python3 tests/bench/side_by_side.py target/release/wetout /tmp/side-by-side

Into the folder that is named last it installs PyPI typst, weasyprint, reportlab, ortools, highspy and pypdf, and nowhere else. It
prints two tables in Markdown. No part of CI: times are CPU of the process and its threads, so that they hold beside other work, on the
machine that is named above them.

Documents. The words of the first three pages of the kitchen's quote, read off our PDF: each line a paragraph, lines that end in a
sum a table of two columns, the same font, A4. The others set that text and no more. Ours reads the job, lays the roof out, cuts,
prices, draws two plans and writes all pages, tagged, with fields to fill in; so it does more in the time that is given for it.

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


def content(pdf):
    """Pages of the quote as lists of paragraphs and rows."""
    from pypdf import PdfReader

    pages = []
    for page in PdfReader(pdf).pages[:3]:
        lines = [line.strip() for line in page.extract_text().splitlines() if line.strip()]
        rows = [re.fullmatch(r"(.*\S)\s+(£?[\d,]+\.\d\d)", line) for line in lines]
        pages.append([("row", row[1], row[2]) if row else ("text", line) for line, row in zip(lines, rows)])
    return pages


def blocks(page):
    """Paragraphs as they are, rows that follow one another as one table."""
    table = []
    for kind, *what in page + [("end",)]:
        if kind == "row":
            table.append(what)
            continue
        if table:
            yield "table", table
            table = []
        if kind == "text":
            yield "text", what[0]


def in_typst(pages, out):
    import typst

    plain = lambda text: json.dumps(text, ensure_ascii=False)
    parts = []
    for page in pages:
        for kind, what in blocks(page):
            if kind == "text":
                parts.append(f"#par[#{plain(what)}]")
            else:
                cells = ", ".join(f"{plain(a)}, {plain(b)}" for a, b in what)
                parts.append(f"#table(columns: (1fr, auto), {cells})")
        parts.append("#pagebreak(weak: true)")
    source = '#set page(paper: "a4")\n#set text(font: "Noto Sans", size: 10pt)\n' + "\n".join(parts)
    place = out.with_suffix(".typ")
    place.write_text(source)
    out.write_bytes(typst.compile(str(place), font_paths=[str(HOUSE / "fonts")]))


def in_weasyprint(pages, out):
    from html import escape

    from weasyprint import HTML

    parts = []
    for page in pages:
        parts.append('<section style="break-after: page">')
        for kind, what in blocks(page):
            if kind == "text":
                parts.append(f"<p>{escape(what)}</p>")
            else:
                rows = "".join(f"<tr><td>{escape(a)}</td><td>{escape(b)}</td></tr>" for a, b in what)
                parts.append(f"<table>{rows}</table>")
        parts.append("</section>")
    font = (HOUSE / "fonts/NotoSans-Regular.ttf").as_uri()
    style = f"@font-face {{ font-family: Own; src: url({font}) }} @page {{ size: A4 }} body {{ font: 10pt Own }} table {{ width: 100% }}"
    HTML(string=f"<style>{style}</style>" + "".join(parts)).write_pdf(out)


def in_reportlab(pages, out):
    from xml.sax.saxutils import escape

    from reportlab.lib.pagesizes import A4
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.platypus import PageBreak, Paragraph, SimpleDocTemplate, Table

    pdfmetrics.registerFont(TTFont("Own", str(HOUSE / "fonts/NotoSans-Regular.ttf")))
    style = ParagraphStyle("own", fontName="Own", fontSize=10, leading=14)
    story = []
    for page in pages:
        for kind, what in blocks(page):
            if kind == "text":
                story.append(Paragraph(escape(what), style))
            else:
                story.append(Table([[Paragraph(escape(a), style), b] for a, b in what], style=[("FONT", (0, 0), (-1, -1), "Own", 10)]))
        story.append(PageBreak())
    SimpleDocTemplate(str(out), pagesize=A4).build(story)


MAKERS = {"typst": in_typst, "weasyprint": in_weasyprint, "reportlab": in_reportlab}


def one_document(name, words, out):
    """In a process of its own: first the whole process is timed from outside, then the making alone from inside."""
    pages = json.loads(Path(words).read_text())
    make = MAKERS[name]
    make(pages, Path(out))
    if sys.argv[-1] == "inside":
        print(best(lambda: make(pages, Path(out))))


def documents(program, folder):
    from pypdf import PdfReader

    def ours(out=folder / "ours"):
        command = [program, "quote", HOUSE / "jobs/kitchen-extension", "--out", out]
        subprocess.run(command, check=True, capture_output=True)

    ours()
    quote = next((folder / "ours").rglob("quote.pdf"))
    words = folder / "words.json"
    words.write_text(json.dumps(content(quote)))
    whole = best(ours)
    reader = PdfReader(quote)
    print("| maker | whole process, ms | beside ours | making alone, ms | pages | file, kB | tagged |")
    print("|---|---|---|---|---|---|---|")
    print(f"| `wetout quote`, from the job file | {whole:.0f} | 1 | | {len(reader.pages)} | {quote.stat().st_size / 1000:.0f} | yes |")
    for name in MAKERS:
        out = folder / f"{name}.pdf"
        command = [sys.executable, __file__, "one", name, words, out]
        try:
            spent = best(lambda: subprocess.run(command, check=True, capture_output=True))
            inside = float(subprocess.run(command + ["inside"], check=True, capture_output=True, text=True).stdout)
        except subprocess.CalledProcessError as error:
            last = (error.stderr or b"").decode() if isinstance(error.stderr, bytes) else error.stderr or ""
            print(f"| {name} | did not run: {last.strip().splitlines()[-1][:80]} | | | | | |")
            continue
        made = PdfReader(out)
        tagged = "yes" if "/StructTreeRoot" in made.trailer["/Root"] else "no"
        print(
            f"| {name} {version(name)} | {spent:.0f} | {spent / whole:.1f} | {inside:.0f} | {len(made.pages)} "
            f"| {out.stat().st_size / 1000:.0f} | {tagged} |"
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
        documents(program, Path(place))
        print(flush=True)
        cutting(program, Path(place))


if __name__ == "__main__":
    main()
