"""What the table says of a muscle or skin area is in the frame of the picture, however little else is as far out."""

from __future__ import annotations

import pytest
from randoms import small

from plexusdraw.page import build

OUT = """
const { app } = await plexusdraw;
for (let i = 0; i < 9; i += 1) app.picture.zoomBy(1);
const { x, y, w, h } = app.picture.frameBox;
const words = [...document.querySelectorAll("#view [data-kind=muscle] text, #view [data-kind=skin] text")];
const told = words.filter(t => ["paralysed", "lost"].includes(t.textContent) && t.checkVisibility());
const out = ({ x: left, y: top, width, height }) => left < x || left + width > x + w || top < y || top + height > y + h;
return [told.length, told.filter(t => out(t.getBBox())).length];
"""


@pytest.mark.parametrize("side", ["left", "right"])
def test_every_word_of_a_row_is_in_the_frame(chromium, tmp_path, side):
    plexus = small("caudal")
    (tmp_path / "page.html").write_bytes(build(plexus))
    page = chromium.open(tmp_path / "page.html", f"detail=muscles&side={side}&mode=injure&cut={','.join(plexus.roots)}")
    told, out = page.run(OUT)
    assert told > 5
    assert out == 0
