"""The colours and typeface of a theme as those of a slide deck, so that they are changed in one place.

Slots of ECMA-376 part 1, 20.1.6.2 (clrScheme): ``tx1`` the ink, ``bg1`` the page, ``tx2`` notes, ``bg2`` what marks a
name as new; ``accent1`` and so on the pens of the roots, cranial first, then the bars of a cut.
"""

from __future__ import annotations

from colorsys import hls_to_rgb, rgb_to_hls
from typing import Any

from plexusdraw import fonts
from plexusdraw.look.theme import Colour, Theme

_A = "{http://schemas.openxmlformats.org/drawingml/2006/main}"
_ACCENTS = 6
Element = Any
"""An lxml element."""
_NEAR = 9
"""A tint or shade of a slot may differ by this much of 255 in a channel."""
_SLOTS = {"tx1": "dk1", "bg1": "lt1", "tx2": "dk2", "bg2": "lt2"}


class Palette:
    """Colours of a theme → colours of the deck, as XML; for *roots* roots."""

    def __init__(self, theme: Theme, roots: int) -> None:
        pens = [theme.pen(i).strand for i in range(min(roots, _ACCENTS))]
        spare = [theme.cut.stroke, *(pen.strand for pen in theme.roots[len(pens) :]), *[theme.ink] * _ACCENTS]
        self.accents = [*pens, *spare][:_ACCENTS]
        new = theme.look("highlit").fill or theme.kind("default").fill or theme.page
        self.slots: dict[str, Colour] = {"tx1": theme.ink, "bg1": theme.page, "tx2": theme.soft, "bg2": new}
        self.slots |= {f"accent{i}": colour for i, colour in enumerate(self.accents, start=1)}
        self._known: dict[tuple[Colour, int | None], str] = {}

    def colour(self, colour: Colour, root: int | None = None) -> str:
        """A colour as ``a:schemeClr``, also a tint or shade of one, else as ``a:srgbClr``; *root*: its pen's index."""
        key = (colour, root)
        if key not in self._known:
            self._known[key] = self._find(colour, root)
        return self._known[key]

    def fill(self, colour: Colour | None, root: int | None = None) -> str:
        """A fill of shapes, strokes and letters."""
        return f"<a:solidFill>{self.colour(colour, root)}</a:solidFill>" if colour else "<a:noFill/>"

    def _find(self, colour: Colour, root: int | None) -> str:
        own = [f"accent{root + 1}"] if root is not None and root < _ACCENTS else []
        names = [*own, *self.slots]
        exact = next((name for name in names if self.slots[name] == colour), None)
        if exact:
            return f'<a:schemeClr val="{exact}"/>'
        for name in names:
            shifted = _shift(self.slots[name], colour)
            if shifted:
                return f'<a:schemeClr val="{name}">{shifted}</a:schemeClr>'
        return f'<a:srgbClr val="{colour[1:]}"/>'


def _shift(base: Colour, wanted: Colour) -> str:
    """Changes of saturation and lightness that make *wanted* of *base*; empty if the hue is another."""
    h, l0, s0 = rgb_to_hls(*_rgb(base))
    _, l1, s1 = rgb_to_hls(*_rgb(wanted))
    if not (0.02 < l0 < 0.98 and s0 > 0.02):
        return ""
    sat = s1 / s0
    mod = l1 / l0 if l1 <= l0 else (1 - l1) / (1 - l0)
    got = hls_to_rgb(h, l1, min(1.0, s1))
    if sat > 2.0 or max(abs(a - b) for a, b in zip(got, _rgb(wanted), strict=True)) > _NEAR / 255:
        return ""
    parts = [(name, value) for name, value in (("satMod", sat), ("lumMod", mod)) if abs(value - 1) > 0.004]
    parts += [("lumOff", 1 - mod)] if l1 > l0 else []  # all of it for white
    return "".join(f'<a:{name} val="{round(value * 100_000)}"/>' for name, value in parts)


def _rgb(colour: Colour) -> tuple[float, float, float]:
    return int(colour[1:3], 16) / 255, int(colour[3:5], 16) / 255, int(colour[5:7], 16) / 255


def themed(blob: bytes, theme: Theme, palette: Palette) -> bytes:
    """A theme part (XML) with our colours and typeface."""
    from pptx.opc.oxml import serialize_part_xml  # noqa: PLC0415
    from pptx.oxml import parse_xml  # noqa: PLC0415

    root: Element = parse_xml(blob)
    root.set("name", f"plexusdraw {theme.name}")
    colours = root.find(f".//{_A}clrScheme")
    colours.set("name", f"plexusdraw {theme.name}")
    values = {_SLOTS.get(name, name): colour for name, colour in palette.slots.items()}
    values |= {"hlink": palette.accents[0], "folHlink": theme.soft}
    for slot in colours:
        _set_colour(slot, values[str(slot.tag).removeprefix(_A)])
    for font in root.iterfind(f".//{_A}fontScheme/*/{_A}latin"):
        # A reader without the font takes another sans serif of variable pitch: 34 is swiss 0x20 + variable 2.
        font.attrib.clear()
        font.attrib.update({"typeface": fonts.FAMILY, "pitchFamily": "34", "charset": "0"})
    return bytes(serialize_part_xml(root))


def _set_colour(slot: Element, colour: Colour) -> None:
    for child in list(slot):
        slot.remove(child)
    slot.append(slot.makeelement(f"{_A}srgbClr", {"val": colour[1:]}))
