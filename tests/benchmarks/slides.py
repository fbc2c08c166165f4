"""How fast a lecture is made, and how large it is: ``python tests/benchmarks/slides.py [MODEL]``.

Processor seconds. The deck is written beside python-pptx writing shapes of the same kinds, number, points, texts and
colours in its documented way: ``add_group_shape``, ``build_freeform`` (which has straight lines alone), ``add_textbox``
and ``add_shape``. The aim is a ratio of at most 1.5.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from io import BytesIO
from time import process_time
from typing import Any

from pptx import Presentation
from pptx.dml.color import RGBColor
from pptx.enum.shapes import MSO_SHAPE
from pptx.util import Pt

from plexusdraw.layout.fit import Options
from plexusdraw.layout.paper import paper
from plexusdraw.look import theme as themes
from plexusdraw.look.appearance import marks
from plexusdraw.look.marks import Disc, Fill, Lines, Mark, Path, Plate, Words
from plexusdraw.model import load
from plexusdraw.paint import pptx
from plexusdraw.paint.pptx_geometry import box_of, emu, ends
from plexusdraw.paint.pptx_shapes import gathered
from plexusdraw.scene import Point
from plexusdraw.sheets.slides.lecture import Lecture, pictures, render

COMPARED = 8
"""The first slides are enough: the library takes longer than all that is timed before."""


def main(model: str = "brachial") -> None:
    """Print seconds and slides a second of each step, sizes of files, and the ratio to python-pptx."""
    lecture = Lecture(load(model), Options("nerves", paper("16:9"), remark=False), themes.load("lecture"))
    start = process_time()
    pages = lecture.pages
    print(f"layout ({len(pages)} pages): {process_time() - start:.2f} s")
    for name in ("views", "pptx", "pdf", "handout", "svg"):
        start = process_time()
        size = _made(lecture, name)
        count = len(lecture.slides)
        taken = process_time() - start
        print(f"{name:8} {count} slides in {taken:5.2f} s, {count / taken:6.1f} slides a second, {size / 1e6:.2f} MB")
    print(beside_the_library(lecture.slides[:COMPARED], lecture))


def _made(lecture: Lecture, name: str) -> int:
    """Make it, and tell its size in bytes."""
    if name == "views":
        return 0 * len(lecture.slides)
    if name == "svg":
        return sum(len(data) for _, data in pictures(lecture, "svg"))
    if name == "handout":
        return len(render(lecture, "pdf", handout=3))
    return len(render(lecture, name))


def beside_the_library(slides: Sequence[pptx.Slide], lecture: Lecture) -> str:
    """Our writing of a deck beside python-pptx's of the same shapes, in words."""
    start = process_time()
    shapes = by_the_library(slides)
    floor = process_time() - start
    start = process_time()
    pptx.deck(slides, lecture.theme, lecture.outline.title)
    ours = process_time() - start
    return f"deck: {ours:.2f} s; python-pptx writes the same {shapes} shapes in {floor:.2f} s; ratio {ours / floor:.2f}"


def by_the_library(slides: Sequence[pptx.Slide]) -> int:
    """Write all shapes by the builders of python-pptx, and count them."""
    made = Presentation()
    count = 0
    for slide in slides:
        shapes = made.slides.add_slide(made.slide_layouts[6]).shapes
        for group in gathered(marks(slide.scene, slide.view, slide.theme)):
            into = shapes.add_group_shape().shapes if len(group.marks) > 1 else shapes
            for mark in group.marks:
                _write(into, mark)
                count += 1
        if slide.notes:
            made.slides[-1].notes_slide.notes_text_frame.text = slide.notes
    made.save(BytesIO())
    return count


def _write(shapes: Any, mark: Mark) -> None:
    box = [emu(length) for length in _sides(mark)]
    match mark:
        case Words():
            frame = shapes.add_textbox(*box).text_frame
            run = frame.paragraphs[0].add_run()
            run.text, run.font.size, run.font.bold = mark.string, Pt(mark.size), mark.bold
            run.font.color.rgb = RGBColor.from_string(mark.fill[1:])
        case Plate() | Disc():
            kind = MSO_SHAPE.OVAL if isinstance(mark, Disc) else MSO_SHAPE.ROUNDED_RECTANGLE
            _colour(shapes.add_shape(kind, *box), mark.fill, mark.stroke, mark.width)
        case Path():
            _colour(_freeform(shapes, [mark.curve]), None, mark.stroke, mark.width)
        case Fill():
            _colour(_freeform(shapes, mark.curves, close=True), mark.fill, mark.stroke, mark.width)
        case Lines():
            made = _freeform(shapes, [ends(mark.lines)[i : i + 2] for i in range(0, 2 * len(mark.lines), 2)])
            _colour(made, None, mark.stroke, mark.width)


def _sides(mark: Mark) -> tuple[float, float, float, float]:
    box = box_of(mark)
    return box.x, box.y, box.w, box.h


def _freeform(shapes: Any, curves: Sequence[Sequence[Point]], *, close: bool = False) -> Any:
    builder = None
    for first, *rest in ([(emu(x), emu(y)) for x, y in curve] for curve in curves):
        if builder is None:
            builder = shapes.build_freeform(*first)
        else:
            builder.move_to(*first)
        builder.add_line_segments(rest, close=close)
    assert builder is not None
    return builder.convert_to_shape()


def _colour(shape: Any, fill: str | None, stroke: str | None, width: float) -> None:
    if fill:
        shape.fill.solid()
        shape.fill.fore_color.rgb = RGBColor.from_string(fill[1:])
    else:
        shape.fill.background()
    if stroke:
        shape.line.color.rgb = RGBColor.from_string(stroke[1:])
        shape.line.width = emu(width)


if __name__ == "__main__":
    main(*sys.argv[1:2])
