"""Lines of paragraphs as typst sets them, for `tests/typeset.rs`.

Given paragraphs of the demo documents with size and width (written by `WETOUT_PARAGRAPHS=FILE cargo test typeset::lines_are`);
writes them with the lines that PyPI `typst` (0.15.2, optimised line breaks, ragged right, no hyphens) gives them in the same
font, each with its width in pt.

    pip install typst==0.15.2 pymupdf==2.0
    python tests/outside/typeset.py PARAGRAPHS.json > tests/outside/typeset.json
"""

import json
import pathlib
import sys
import tempfile

import pymupdf
import typst

FONTS = pathlib.Path(__file__).resolve().parents[2] / "fonts"


def source(paragraphs):
    """A page for each paragraph, as wide as its measure."""
    yield '#set text(font: "Noto Sans", hyphenate: false, ligatures: false)\n'
    yield '#set par(justify: false, linebreaks: "optimized")\n'
    for paragraph in paragraphs:
        words = json.dumps(paragraph["words"], ensure_ascii=False)
        yield f'#page(width: {paragraph["width"]}pt, height: 600pt, margin: 0pt)'
        yield f'[#text(size: {paragraph["size"]}pt)[#{words}]]\n'


def lines(page):
    """The lines of a page from the top, each with its width."""
    words = sorted(page.get_text("words"), key=lambda word: (round(word[3]), word[0]))
    found = []
    for x0, _, x1, y1, word, *_ in words:
        if found and abs(found[-1]["y"] - y1) < 2:
            found[-1]["words"].append(word)
            found[-1]["x1"] = x1
        else:
            found.append({"y": y1, "words": [word], "x0": x0, "x1": x1})
    return [[" ".join(line["words"]), round(line["x1"] - line["x0"], 2)] for line in found]


def main():
    paragraphs = json.loads(pathlib.Path(sys.argv[1]).read_text())
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder, "paragraphs.typ")
        file.write_text("".join(source(paragraphs)))
        pdf = typst.compile(str(file), font_paths=[str(FONTS)], ignore_system_fonts=True)
    pages = pymupdf.open(stream=pdf)
    assert len(pages) == len(paragraphs), (len(pages), len(paragraphs))
    for paragraph, page in zip(paragraphs, pages):
        paragraph["lines"] = lines(page)
    print(json.dumps(paragraphs, ensure_ascii=False, indent=0))


if __name__ == "__main__":
    main()
