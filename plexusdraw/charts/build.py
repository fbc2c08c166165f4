"""Rows of a chart file → Chart. Notes every fault with its line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from plexusdraw.charts import partition
from plexusdraw.charts.chart import (
    VIEWS,
    Bone,
    Chart,
    Closeup,
    KeyPoint,
    Line,
    Muscle,
    Outline,
    Patch,
    Tiling,
    Tilings,
    View,
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
        given = self.rows.get("views", {})
        made = (View(id, **row) for id, row in given.items())
        self.views = tuple(made) or VIEWS
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
            views=self.views,
            landmarks=MappingProxyType(self.landmarks),
            outlines=MappingProxyType(outlines),
            tilings=self._tilings(skin),
            muscles=tuple(self._muscle(row, ("muscles", i)) for i, row in enumerate(rows.get("muscles", ()))),
            bones=tuple(self._bone(row, i) for i, row in enumerate(rows.get("bones", ()))),
            lines=tuple(line for i, row in enumerate(rows.get("lines", ())) for line in self._lines(row, i)),
            points=tuple(self._key_point(row, i) for i, row in enumerate(rows.get("points", ()))),
            closeup=Closeup(close["from"], close["scale"]) if close else None,
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

    def _tilings(self, skin: Outline | None) -> Tilings:
        """The areas of all pictures and views."""
        wanted = ["skin", *(["dermatomes"] if self.rows.get("dermatomes") else [])]
        return Tilings(wanted if skin else (), lambda picture: self._views(skin.curve, picture) if skin else {})

    def _views(self, whole: Curve, picture: str) -> Mapping[str, Tiling]:
        rows = self.rows[picture]
        for id in rows:
            self._view(id, (picture, id))
        for view in self.views:
            if view.id not in rows:
                line = self.document.line((picture,))
                self.faults.add(line, f'{picture}: no areas of the view "{view.id}"', "Each view has its own.")
        return {view.id: self._tiling(whole, picture, view.id) for view in self.views if view.id in rows}

    def _tiling(self, whole: Curve, picture: str, view: str) -> Tiling:
        row, path = self.rows[picture][view], (picture, view)
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
            point, latin = _point(area["at"][0]), area.get("latin", "")
            patches.append(Patch(area["area"], area.get("name", ""), tuple(held), point, latin))
        for k, piece in enumerate(found):
            if k not in owner:
                x, y = (sum(p[n] for p in piece) / len(piece) for n in (0, 1))
                where = f"near [{y:.0f}, {x:.0f}]"
                self.faults.add(self.document.line(path), f"{picture}, {view}: the piece {where} is in no area")
        return Tiling(tuple(patches))

    def _key_point(self, row: Row, index: int) -> KeyPoint:
        self._sourced(row, ("points", index))
        return KeyPoint(row["area"], row["name"], self._view(row["view"], ("points", index)), _point(row["at"]))

    def _bone(self, row: Row, index: int) -> Bone:
        views = self._shown(row, ("bones", index))
        if row.get("outline"):
            knots = [Knot(_point(p), p[2] if len(p) > 2 else "") for p in row["outline"]]
            return Bone(row["bone"], views, outline(knots)[0])
        points = [_point(p) for p in row["path"]]
        return Bone(row["bone"], views, spindle(points[:1], points[1:-1], points[-1:], row["widths"]).belly)

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
        way = (_mean(origin), *via, _mean(insertion))
        if len({*way}) == 1:
            hint = "Give it another landmark, or places on the way (via)."
            self.faults.add(self.document.line(path), f"{row['muscle']}: begins and ends in one place", hint)
            insertion = [(x + 1.0, y) for x, y in insertion]
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
            view=self._view(row["view"], path),
            layer=row["layer"],
            shape=shape,
            origin=tuple(row["from"]),
            insertion=tuple(row["to"]),
            path=way,
            sources=tuple(row["source"]),
            across=row.get("across", False),
        )

    def _lines(self, row: Row, index: int) -> list[Line]:
        points = [_point(p) for p in row["places"]]
        curve = spline(points, closed=row.get("closed", False))
        of, strong = row.get("of", "all"), row.get("strong", False)
        return [Line(view, curve, of, strong) for view in self._shown(row, ("lines", index))]

    def _shown(self, row: Row, path: Path_) -> tuple[str, ...]:
        """The views of a row: the one that it names, else all."""
        return (self._view(row["view"], path),) if row.get("view") else tuple(view.id for view in self.views)

    def _view(self, id: str, path: Path_) -> str:
        known = {view.id: view for view in self.views}
        if id not in known:
            self.unknown(path, "view", id, known)
        return id

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


def _point(place: Sequence[Any]) -> Point:
    """[down, across] → (x, y)."""
    return (float(place[1]), float(place[0]))


def _mean(points: Sequence[Point]) -> Point:
    return (sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points))
