"""The drawing that shows before the script draws its own: the painter's, in as few letters as can be."""

from __future__ import annotations

import re


def inner(svg: str) -> str:
    """The drawing as part of a page, until the script draws its own: no tool tips, no ids, steps for points."""
    bare = re.sub(r"<\?xml[^>]*>\s*|<title>[^<]*</title>(?!<desc)| data-[a-z]+=\"[^\"]*\"", "", svg).strip()
    bare = re.sub(r' d="M([^"]*)"', lambda match: f' d="{_short(match[1])}"', bare).replace(" />", "/>")
    return _flat(_filled_alike(bare))


def _filled_alike(svg: str) -> str:
    """What has no fill takes that from the group of the drawing, if all else says how it is filled."""
    shapes = re.findall(r"<(?:path|rect|circle|text)\b[^>]*>", svg)
    if not all(' fill="' in shape for shape in shapes):
        return svg
    return svg.replace(' fill="none"', "").replace("<g ", '<g fill="none" ', 1)


def _flat(svg: str) -> str:
    """Without groups that say nothing of what they hold; the first says something."""
    held = re.split(r"(</?g\b[^>]*>)", svg)
    bare: list[bool] = []
    kept = []
    for piece in held:
        if piece.startswith("<g"):
            bare.append(piece == "<g>")
        if not (piece.startswith(("<g", "</g")) and bare[-1]):
            kept.append(piece)
        if piece == "</g>":
            bare.pop()
    return "".join(kept)


def _short(path: str) -> str:
    """A path of cubics as steps from the start of each."""
    found, (x, y) = "", (0.0, 0.0)
    numbers = [float(text) for text in re.findall(r"-?[\d.]+", path)]
    points = list(zip(numbers[::2], numbers[1::2], strict=True))
    for i, (letter, many) in enumerate([("M", 1), *[("c", 3)] * (len(points) // 3)]):
        own = points[:1] if not i else points[3 * i - 2 : 3 * i + 1]
        steps = [f"{round(v, 2) + 0.0:g}" for a, b in own for v in (a - x, b - y)]
        found += letter + " ".join(steps)
        x, y = own[many - 1]
    return re.sub(r"(?<!\d)0(?=\.)", "", found).replace(" -", "-")
