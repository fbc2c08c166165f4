"""Rows of a chart file → Chart. Notes every fault with its line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from plexusdraw.charts import partition
from plexusdraw.charts.chart import (
    SIDES,
    Bone,
    Chart,
    Closeup,
    KeyPoint,
    Line,
    Muscle,
    Outline,
    Patch,
    Side,
    Tiling,
)
from plexusdraw.charts.splines import Knot, digit, outline, sheet, spindle, spline
from plexusdraw.scene import Curve, Point
from plexusdraw.yamlfile.document import Document, Faults, Path_

Row = Mapping[str, Any]
GIVEN_SOURCES = {"memory": "from memory", "common practice": "common practice, no source"}


class Builder:
    """Builds one chart from one file whose form is right."""

    def __init__(self, document: Document, faults: Faults) -> None:
        self.rows: Row = document.value
        self.document, self.faults = document, faults
        self.landmarks = {id: _point(place) for id, place in self.rows["landmarks"].items()}
        self.sources = GIVEN_SOURCES | {id: row["title"] for id, row in self.rows.get("sources", {}).items()}

    def chart(self) -> Chart:
        """The whole chart; faults are noted, not raised."""
        rows = self.rows
        outlines = {name: self._outline(items, ("outlines", name)) for name, items in rows["outlines"].items()}
        skin = outlines.get("skin")
        if skin is None:
            self.faults.add(self.document.line(("outlines",)), 'no outline "skin"', "Each chart needs one.")
        close = rows.get("closeup")
        return Chart(
            id=rows["id"],
            name=rows["name"],
            path=self.faults.path,
            landmarks=MappingProxyType(self.landmarks),
            outlines=MappingProxyType(outlines),
            tile=lambda: self.tilings(skin),
            muscles=tuple(self._muscle(row, ("muscles", i)) for i, row in enumerate(rows.get("muscles", ()))),
            bones=tuple(self._bone(row) for row in rows.get("bones", ())),
            lines=tuple(line for row in rows.get("lines", ()) for line in _lines(row)),
            points=tuple(self._key_point(row, i) for i, row in enumerate(rows.get("points", ()))),
            closeup=Closeup({"front": close["front"], "back": close["back"]}, close["from"], close["scale"])
            if close
            else None,
            absent=MappingProxyType({row["muscle"]: row["why"] for row in rows.get("absent", ())}),
            sources=MappingProxyType(self.sources),
        )

    def _outline(self, items: Sequence[Any], path: Path_) -> Outline:
        knots = [knot for i, item in enumerate(items) for knot in self._knots(item, (*path, i))]
        if len(knots) < 3:
            self.faults.add(self.document.line(path), "an outline needs at least three places")
            knots = [Knot((0.0, 0.0)), Knot((1.0, 0.0)), Knot((0.0, 1.0))]
        return Outline(*outline(knots), tuple(knots))

    def _knots(self, item: Any, path: Path_) -> list[Knot]:  # noqa: ANN401  # a row of several forms
        if isinstance(item, list):
            return [Knot(_point(item), item[2] if len(item) > 2 else "")]
        if "digit" in item:
            row = self.rows.get("digits", {}).get(item["digit"])
            if row is None:
                self.unknown(path, "digit", item["digit"], self.rows.get("digits", {}))
                return []
            if len(row["half"]) != len(row["axis"]) - 1:
                line = self.document.line(("digits", item["digit"], "half"))
                hint = "The tip has none."
                self.faults.add(line, f"{item['digit']}: needs half a width for each place but the last", hint)
                return []
            return [Knot(p) for p in digit([_point(p) for p in row["axis"]], row["half"])]
        run = self.rows.get("runs", {}).get(item["run"])
        if run is None:
            self.unknown(path, "run", item["run"], self.rows.get("runs", {}))
            return []
        return [k for i, part in enumerate(run) for k in self._knots(part, ("runs", item["run"], i))]

    def tilings(self, skin: Outline | None) -> Mapping[str, Mapping[Side, Tiling]]:
        """The areas of all pictures and views."""
        wanted = [picture for picture in ("skin", "dermatomes") if skin and self.rows.get(picture)]
        return {p: {side: self._tiling(skin.curve, p, side) for side in SIDES} for p in wanted} if skin else {}

    def _tiling(self, whole: Curve, picture: str, side: Side) -> Tiling:
        row, path = self.rows[picture][side], (picture, side)
        borders = [spline([_point(p) for p in places]) for places in row["borders"]]
        try:
            found = partition.pieces(whole, borders)
        except partition.CrossedTwiceError as error:
            line = self.document.line((*path, "borders", error.args[0]))
            self.faults.add(line, "this border crosses one area more than once", "Make it two borders.")
            return Tiling(())
        owner: dict[int, str] = {}
        patches: list[Patch] = []
        for i, area in enumerate(row["areas"]):
            line = self.document.line((*path, "areas", i))
            held: list[Curve] = []
            for place in area["at"]:
                at = next((k for k, piece in enumerate(found) if partition.holds(piece, _point(place))), None)
                if at is None:
                    self.faults.add(line, f"{area['area']}: {place} lies outside the outline", "[down, across].")
                elif at in owner:
                    self.faults.add(line, f"{area['area']}: {place} lies in the area of {owner[at]}", "Add a border.")
                else:
                    owner[at] = area["area"]
                    held.append(found[at])
            patches.append(Patch(area["area"], area.get("name", ""), tuple(held), _point(area["at"][0])))
        for k, piece in enumerate(found):
            if k not in owner:
                x, y = (sum(p[n] for p in piece) / len(piece) for n in (0, 1))
                where = f"near [{y:.0f}, {x:.0f}]"
                self.faults.add(self.document.line(path), f"{picture}, {side}: the piece {where} is in no area")
        return Tiling(tuple(patches))

    def _key_point(self, row: Row, index: int) -> KeyPoint:
        self._sourced(row, ("points", index))
        return KeyPoint(row["area"], row["name"], row["view"], _point(row["at"]))

    def _bone(self, row: Row) -> Bone:
        sides = SIDES if row.get("view", "both") == "both" else (row["view"],)
        if row.get("outline"):
            knots = [Knot(_point(p), p[2] if len(p) > 2 else "") for p in row["outline"]]
            return Bone(row["bone"], sides, outline(knots)[0])
        points = [_point(p) for p in row["path"]]
        return Bone(row["bone"], sides, spindle(points[:1], points[1:-1], points[-1:], row["widths"]).belly)

    def _muscle(self, row: Row, path: Path_) -> Muscle:
        origin = [self._landmark(id, (*path, "from")) for id in row["from"]]
        insertion = [self._landmark(id, (*path, "to")) for id in row["to"]]
        via = [_point(p) for p in row.get("via", ())]
        further = [
            [self._landmark(p, (*path, "tendons", i)) if isinstance(p, str) else _point(p) for p in places]
            for i, places in enumerate(row.get("tendons", ()))
        ]
        lead, tendon = float(row.get("lead", 0)), float(row.get("tendon", 0))
        if not 0 <= lead + tendon < 0.9:
            self.faults.add(self.document.line(path), "lead and tendon are shares of the path, together under 0.9")
            lead = tendon = 0.0
        self._sourced(row, path)
        if any(row.get("edges", ())):
            sides = [[_point(p) for p in places] for places in row["edges"]]
            shape = sheet(origin, sides, insertion, row.get("label", 0.5))
        elif row.get("widths"):
            shape = spindle(origin, via, insertion, row["widths"], lead, tendon, further, row.get("label", 0.5))
        else:
            self.faults.add(self.document.line(path), f"{row['muscle']}: has no widths", "Or two edges, of a sheet.")
            shape = spindle(origin, via, insertion, (1.0,))
        return Muscle(
            id=row["muscle"],
            side=row["view"],
            layer=row["layer"],
            shape=shape,
            origin=tuple(row["from"]),
            insertion=tuple(row["to"]),
            path=(_mean(origin), *via, _mean(insertion)),
            sources=tuple(row["source"]),
            across=row.get("across", False),
        )

    def _landmark(self, id: str, path: Path_) -> Point:
        if id not in self.landmarks:
            self.unknown(path, "landmark", id, self.landmarks)
            return (0.0, 0.0)
        return self.landmarks[id]

    def _sourced(self, row: Row, path: Path_) -> None:
        for id in row.get("source", ()):
            if id not in self.sources:
                self.unknown((*path, "source"), "source", id, self.sources)

    def unknown(self, path: Path_, what: str, id: str, known: Mapping[str, Any]) -> None:
        """Note a name that leads nowhere."""
        from difflib import get_close_matches  # noqa: PLC0415

        close = get_close_matches(id, sorted(known), n=3, cutoff=0.6)
        hint = f"Did you mean {', '.join(close)}?" if close else "Give it an entry, or take the name out."
        self.faults.add(self.document.line(path), f'{what} "{id}" is not in this file', hint)


def _lines(row: Row) -> list[Line]:
    points = [_point(p) for p in row["places"]]
    curve = spline(points, closed=row.get("closed", False))
    sides = SIDES if row.get("view", "both") == "both" else (row["view"],)
    return [Line(side, curve, row.get("of", "all")) for side in sides]


def _point(place: Sequence[Any]) -> Point:
    """[down, across] → (x, y)."""
    return (float(place[1]), float(place[0]))


def _mean(points: Sequence[Point]) -> Point:
    return (sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points))
