"""How fast a lecture is made, and how large it is: ``python tests/benchmarks/slides.py [MODEL]``."""

from __future__ import annotations

import sys
from time import perf_counter

from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.model import load
from plexusdraw.sheets.slides.lecture import Lecture, pictures, render


def main(model: str = "brachial") -> None:
    """Print seconds and slides a second of each step, and sizes of files."""
    lecture = Lecture(load(model), Options("muscles", paper("16:9")), themes.load("lecture"))
    start = perf_counter()
    pages = lecture.pages
    print(f"layout ({len(pages)} pages): {perf_counter() - start:.2f} s")
    count = 0
    for name in ("views", "pptx", "pdf", "handout", "svg"):
        start = perf_counter()
        size = _made(lecture, name)
        count = len(lecture.slides)
        taken = perf_counter() - start
        print(f"{name:8} {count} slides in {taken:5.2f} s, {count / taken:6.1f} slides a second, {size / 1e6:.2f} MB")


def _made(lecture: Lecture, name: str) -> int:
    """Make it, and tell its size in bytes."""
    if name == "views":
        return 0 * len(lecture.slides)
    if name == "svg":
        return sum(len(data) for _, data in pictures(lecture, "svg"))
    if name == "handout":
        return len(render(lecture, "pdf", handout=3))
    return len(render(lecture, name))


if __name__ == "__main__":
    main(*sys.argv[1:2])
