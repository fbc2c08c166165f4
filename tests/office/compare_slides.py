"""Slides opened by an office suite against our own PDF: ``python tests/office/compare_slides.py [THEME]``.

Converts the default lecture of the brachial plexus to PDF with LibreOffice (``soffice``), takes the place of every
word of both with ``pdftotext -bbox``, and tells the largest distance of the middles of words. Exit 1 where a word is
missing, or one of a name, heading, title or table row is more than 1 mm off. Lines of running text at the foot (legend,
caution) are told apart: the suite rounds advance widths, which adds up over a line of 300 mm. Heavy, so a command of
its own and not one of the tests.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from html import unescape
from pathlib import Path
from tempfile import TemporaryDirectory

from plexusdraw import fonts
from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.paint.pptx import Slide
from plexusdraw.scene import MM_PER_PT, Note
from plexusdraw.sheets.slides.lecture import Lecture, render

LIMIT_MM = 1.0
_WORD = re.compile(r'<word xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*?)</word>')
_FONTS = """<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir>{}</dir><dir>/usr/share/fonts</dir><cachedir>{}</cachedir></fontconfig>
"""

Words = dict[str, list[tuple[float, float]]]


def main(theme: str = "print", page: str = "16:9") -> int:
    """Print what was found; 0 where all is within the limit."""
    lecture = Lecture(load("brachial"), Options("muscles", paper(page)), themes.load(theme))
    with TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "ours.pdf").write_bytes(render(lecture, "pdf"))
        (folder / "deck.pptx").write_bytes(render(lecture, "pptx"))
        _convert(folder)
        ours, theirs = _pages(folder / "ours.pdf"), _pages(folder / "deck.pdf")
    if len(ours) != len(theirs):
        print(f"{len(ours)} slides, {len(theirs)} in the converted file")
        return 1
    names: list[float] = []
    running: list[float] = []
    wrong = 0
    for number, (slide, a, b) in enumerate(zip(lecture.slides, ours, theirs, strict=True), start=1):
        lost = [word for word in {**a, **b} if len(a.get(word, ())) != len(b.get(word, ()))]
        near, foot = _distances(slide, a, b)
        names += near
        running += foot
        if lost or max(near) > LIMIT_MM:
            wrong += 1
            print(f"slide {number}: {max(near):.2f} mm, not found: {', '.join(lost) or 'none'}")
    print(f"{len(ours)} slides, {len(names)} words of names, headings, titles and rows: {_said(names)}")
    print(f"{len(running)} words of running text at the foot: {_said(running)}")
    return int(bool(wrong))


def _said(found: list[float]) -> str:
    return f"largest distance {max(found):.2f} mm, mean {sum(found) / len(found):.2f} mm"


def _distances(slide: Slide, ours: Words, theirs: Words) -> tuple[list[float], list[float]]:
    """Distance of each of our words from the nearest like it, mm: of names and the like, of running text."""
    lines = [p.text.box for p in slide.scene.parts if isinstance(p, Note) and p.role in ("legend", "caution")]
    found: tuple[list[float], list[float]] = ([], [])
    for word, places in ours.items():
        for x, y in places:
            far = min((((x - a) ** 2 + (y - b) ** 2) ** 0.5 for a, b in theirs.get(word, ())), default=None)
            if far is not None:
                found[any(box.y <= y <= box.bottom for box in lines)].append(far)
    return found


def _convert(folder: Path) -> None:
    """deck.pptx to deck.pdf, with our typeface at hand."""
    config = folder / "fonts.conf"
    config.write_text(_FONTS.format(fonts.paths()[0], folder / "cache"))
    command = ["soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless", "--convert-to", "pdf"]
    environment = {**os.environ, "FONTCONFIG_FILE": str(config)}
    done = subprocess.run(
        [*command, "deck.pptx"], cwd=folder, env=environment, capture_output=True, text=True, check=True
    )
    if not (folder / "deck.pdf").exists():
        raise SystemExit(f"the office suite made no PDF: {done.stdout}{done.stderr}")


def _pages(pdf: Path) -> list[Words]:
    """Middles of the words of each page, mm, by word."""
    done = subprocess.run(["pdftotext", "-bbox", str(pdf), "-"], capture_output=True, text=True, check=True)
    made = []
    for page in done.stdout.split("<page ")[1:]:
        words: Words = {}
        for x0, y0, x1, y1, word in _WORD.findall(page):
            middle = ((float(x0) + float(x1)) / 2 * MM_PER_PT, (float(y0) + float(y1)) / 2 * MM_PER_PT)
            words.setdefault(unescape(word), []).append(middle)
        made.append(words)
    return made


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:3]))
