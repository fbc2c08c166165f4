"""Rows of a model file → Plexus. Notes ids given twice; what the ids mean is checked afterwards."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any, TypeVar

from plexusdraw.model.entities import (
    Alternative,
    CourseItem,
    Entity,
    Exit,
    Group,
    LimbLatin,
    Outside,
    Place,
    Prevalence,
    Reflex,
    Region,
    Remark,
    Rule,
    Scenario,
    Segment,
    Sign,
    Source,
    Stage,
    Target,
    Variant,
)
from plexusdraw.model.ids import kebab, place_name
from plexusdraw.model.plexus import Plexus
from plexusdraw.yamlfile.document import Document, Faults, Path_

GIVEN_SOURCES = (
    Source("common practice", "common practice, no source", "what the trade takes for granted"),
    Source("memory", "from memory", "no source opened for it"),
)
"""Sources that every model may name without listing them."""

E_ = TypeVar("E_", bound=Entity)
Row = Mapping[str, Any]
"""An entry of the file; its form is that of :mod:`plexusdraw.model.schema`."""


class Builder:
    """Builds one plexus from one file whose form is right."""

    def __init__(self, document: Document, faults: Faults) -> None:
        self.rows: Row = document.value
        self.document, self.faults = document, faults
        self.lines: dict[str, int] = {}
        self.course_lines: dict[tuple[str, int], int] = {}
        """Line of each course item, by segment id and position."""
        self.singular = {stage["id"]: stage["singular"] for stage in self.rows["stages"]}
        self.first = self.rows["stages"][0]["id"]

    def plexus(self) -> Plexus:
        """The whole plexus; faults are noted, not raised."""
        rows = self.rows
        segments, wholes = self._segments()
        sources = {id: Source(id, row["title"], row.get("note", "")) for id, row in rows.get("sources", {}).items()}
        return Plexus(
            id=rows["id"],
            name=rows["name"],
            latin=rows.get("latin", ""),
            limb=rows.get("limb", "limb"),
            limb_latin=LimbLatin(**rows["limb_latin"]) if rows.get("limb_latin") else None,
            chart=rows.get("chart", ""),
            stages=self._stages(),
            segments=_with_parents(segments),
            muscles=self._table("muscles", self._muscle),
            skin=self._table("skin", self._skin),
            groups=self._table("groups", self._group),
            sources=MappingProxyType({source.id: source for source in GIVEN_SOURCES} | sources),
            reflexes=self._table("reflexes", self._reflex),
            signs=self._table("signs", self._sign),
            outside=self._table("outside", self._outside),
            scenarios=self._table("scenarios", self._scenario),
            remarks=self._remarks(),
            synonyms=_ids(rows, "synonyms"),
            note=rows.get("note", ""),
            caution=rows.get("caution", ""),
            path=self.faults.path,
            wholes=wholes,
            regions=self._table("regions", self._region),
            variants=self._variants(),
        )

    def _variants(self) -> Mapping[str, Variant]:
        taken, self.lines = self.lines, {}  # ids of their own: a variant may be called as the nerve that it changes
        made = self._table("variants", self._variant)
        self.lines = taken
        return made

    def _variant(self, row: Row, common: dict[str, Any], _path: Path_) -> Variant:
        found = (Prevalence(p["value"], p.get("where", ""), _sources(p)) for p in row.get("prevalence", ()))
        added = [change for change in row["changes"] if "add" in change]
        adds = tuple(name for change in added for name in _texts(change.get("name")) + _texts(change.get("synonyms")))
        return Variant(**common, kind=row.get("kind", "variant"), prevalence=tuple(found), adds=adds)

    def claim(self, id: str, path: Path_) -> int:
        """Line of an entry; notes an id that is taken or empty."""
        line = self.document.line(path)
        self._take(id, line)
        return line

    def _take(self, id: str, line: int) -> None:
        if not id:
            self.faults.add(line, "its name gives no id", "Add id: ... in letters or digits.")
        elif id in self.lines:
            hint = "Rename one, or give it an id of its own."
            self.faults.add(line, f'id "{id}" is taken by line {self.lines[id]}', hint)
        else:
            self.lines[id] = line

    def _stages(self) -> tuple[Stage, ...]:
        seen: set[str] = set()
        used = {row.get("stage") for row in self.rows["segments"]}
        for i, row in enumerate(self.rows["stages"]):
            line = self.document.line(("stages", i))
            if row["id"] in seen:
                self.faults.add(line, f'stage "{row["id"]}" stands twice', "Keep one.")
            elif row["id"] not in used:
                self.faults.add(line, f'stage "{row["id"]}" has no segment', "Take it out, or add one.")
            seen.add(row["id"])
        return tuple(
            Stage(row["id"], row["name"], row["singular"], row.get("order", "given"), row.get("latin", ""))
            for row in self.rows["stages"]
        )

    def _table(self, key: str, make: Callable[[Row, dict[str, Any], Path_], E_]) -> Mapping[str, E_]:
        found: dict[str, E_] = {}
        for i, row in enumerate(self.rows.get(key, ())):
            entity = make(row, self._common(row, (key, i)), (key, i))
            found.setdefault(entity.id, entity)
        return MappingProxyType(found)

    def _common(self, row: Row, path: Path_, name: str = "", id: str = "") -> dict[str, Any]:
        name = name or row["name"]
        id = row.get("id") or id or kebab(name)
        return {
            "id": id,
            "name": name,
            "latin": row.get("latin", ""),
            "label": row.get("label", ""),
            "synonyms": _ids(row, "synonyms"),
            "sources": _sources(row),
            "note": row.get("note", ""),
            "line": self.claim(id, path),
        }

    def _segments(self) -> tuple[Mapping[str, Segment], Mapping[str, Segment]]:
        """All segments, parts where their whole stands; and the wholes."""
        found: dict[str, Segment] = {}
        wholes: dict[str, Segment] = {}
        for i, row in enumerate(self.rows.get("segments", ())):
            made = self._segment(row, self._common(row, ("segments", i)), ("segments", i))
            if not row.get("parts"):
                found.setdefault(made.id, made)
                continue
            if made.course:
                self.faults.add(made.line, f"{made.name}: course stands beside its parts", "Move it into the parts.")
            parts = [self._part(made, part, ("segments", i, "parts", j)) for j, part in enumerate(row["parts"])]
            whole = self._whole(made, parts)
            wholes.setdefault(made.id, whole)
            shared = {item.name for item in whole.course if isinstance(item, Place)}
            for part in parts:
                found.setdefault(part.id, replace(part, course=tuple(_plain(item, shared) for item in part.course)))
        return MappingProxyType(found), MappingProxyType(wholes)

    def _part(self, whole: Segment, row: Row, path: Path_) -> Segment:
        made = self._segment({**row, "stage": whole.stage}, self._common(row, path), path)
        return replace(made, kind=whole.kind, whole=whole.id, side=whole.side, drawn=whole.drawn)

    def _whole(self, made: Segment, parts: Sequence[Segment]) -> Segment:
        """With the places that all its parts have; those are of the whole."""
        places = [item for item in parts[0].course if isinstance(item, Place)]
        rest = [{item.name for item in part.course if isinstance(item, Place)} for part in parts[1:]]
        shared = [place for place in places if all(place.name in names for names in rest)]
        course = tuple(self._place_of_whole(made, place) for place in shared)
        return replace(made, parts=tuple(part.id for part in parts), course=course)

    def _place_of_whole(self, whole: Segment, place: Place) -> Place:
        full = place_name(whole.name, place.name, place.synonyms)
        self._take(kebab(full), place.line)
        return replace(place, id=kebab(full), full_name=full, full_latin=_joined(whole.latin, place.latin))

    def _segment(self, row: Row, common: dict[str, Any], path: Path_) -> Segment:
        stage: str | None = row.get("stage")
        minor, roots = _ids(row, "minor"), _maybe_ids(row, "roots")
        latin = common["name"] if stage == self.first else common["latin"]  # roots keep their letters
        return Segment(
            **common,
            kind="nerve" if stage is None else self.singular.get(stage, stage),
            stage=stage,
            parents=_ids(row, "from"),
            course=self._course(row, common, (*path, "course"), latin),
            only_roots=None if roots is None else tuple(dict.fromkeys((*roots, *minor))),
            minor=minor,
            variable=_mapping(row, "variable"),
            plane=row.get("plane", "middle"),
            side=row.get("side"),
            passes_behind=row.get("passes") == "behind",
            drawn=row.get("drawn", True),
            offshoot=row.get("offshoot", False),
            loop=row.get("loop", False),
            reaches=_ids(row, "reaches"),
        )

    def _course(self, row: Row, common: dict[str, Any], path: Path_, latin: str) -> tuple[CourseItem, ...]:
        items = row.get("course", ())
        for at in range(len(items)):
            self.course_lines[common["id"], at] = self.document.line((*path, at))
        return tuple(self._course_item(item, common["name"], latin, (*path, at)) for at, item in enumerate(items))

    def _course_item(self, item: str | Row, segment: str, latin: str, path: Path_) -> CourseItem:
        if isinstance(item, str):
            return Exit(item)
        if "to" in item:
            return Exit(item["to"], _maybe_ids(item, "roots"), _maybe_ids(item, "minor"))
        full = place_name(segment, item["place"], _ids(item, "synonyms"))
        common = self._common(item, path, item["place"], kebab(full))
        told = _joined(latin, common["latin"])
        return Place(**common, kind="place", full_name=full, full_latin=told, variable=_mapping(item, "variable"))

    def _muscle(self, row: Row, common: dict[str, Any], _path: Path_) -> Target:
        return Target(
            **common,
            kind="muscle",
            **_supply(row),
            movements=_ids(row, "movements"),
            testable=row.get("testable", True),
            trick=row.get("trick", ""),
        )

    def _skin(self, row: Row, common: dict[str, Any], _path: Path_) -> Target:
        named = row.get("dermatome") or ()
        roots = (named,) if isinstance(named, str) else tuple(dict.fromkeys(named))
        supply = _supply(row)
        if roots and {*supply["roots"]} - {*roots}:
            hint = "Take roots out: they are those of the dermatome."
            self.faults.add(common["line"], f"{common['name']}: roots stand beside its dermatome", hint)
        supply["roots"] = roots or supply["roots"]
        areas = _ids(row, "areas")
        return Target(**common, kind="skin", **supply, area=row.get("area", ""), dermatome=roots, areas=areas)

    def _group(self, row: Row, common: dict[str, Any], _path: Path_) -> Group:
        return Group(**common, kind="group", members=_ids(row, "members"))

    def _region(self, row: Row, common: dict[str, Any], _path: Path_) -> Region:
        return Region(**common, kind="region", nerves=_ids(row, "nerves"))

    def _outside(self, row: Row, common: dict[str, Any], _path: Path_) -> Outside:
        return Outside(
            **common,
            kind=row.get("kind", "muscle"),
            nerve=row.get("nerve", ""),
            nerve_latin=row.get("nerve_latin", ""),
            roots=_ids(row, "roots"),
            minor=_ids(row, "minor"),
            movements=_ids(row, "movements"),
            cut=self._places(row),
        )

    def _reflex(self, row: Row, common: dict[str, Any], _path: Path_) -> Reflex:
        muscles, roots, minor = _ids(row, "muscles"), _ids(row, "roots"), _ids(row, "minor")
        return Reflex(**common, kind="reflex", muscles=muscles, roots=roots, minor=minor)

    def _sign(self, row: Row, common: dict[str, Any], _path: Path_) -> Sign:
        return Sign(**common, kind="sign", when=self._rule(row["when"]))

    def _scenario(self, row: Row, common: dict[str, Any], _path: Path_) -> Scenario:
        others = (Alternative(_ids(other, "sites"), other.get("note", "")) for other in row.get("alternatives", ()))
        return Scenario(
            **common,
            kind="scenario",
            sites=_ids(row, "sites"),
            usually=row.get("usually", ""),
            alternatives=tuple(others),
        )

    def _remarks(self) -> Mapping[str, Remark]:
        found: dict[str, Remark] = {}
        for i, row in enumerate(self.rows.get("remarks", ())):
            line = self.document.line(("remarks", i))
            if row["place"] in found:
                self.faults.add(line, f'remark on "{row["place"]}" stands twice', "Keep one.")
            found[row["place"]] = Remark(row["place"], row["note"], _ids(row, "source"), line)
        return MappingProxyType(found)

    def _places(self, row: Row) -> tuple[str, ...]:
        """Ids under ``cut``, whatever their case."""
        if not row.get("cut"):
            return ()
        known = {kebab(id).lower(): id for id in reversed(self.lines)}
        return tuple(known.get(kebab(id).lower(), id) for id in _ids(row, "cut"))

    def _rule(self, row: Row) -> Rule:
        return Rule(
            _ids(row, "lost"),
            _ids(row, "weak"),
            _ids(row, "spared"),
            self._places(row),
            tuple(self._rule(part) for part in row.get("all", ())),
            tuple(self._rule(part) for part in row.get("any", ())),
        )


def _plain(item: CourseItem, shared: set[str]) -> CourseItem:
    """A place that the whole has too leaves its other names to it."""
    return replace(item, synonyms=()) if isinstance(item, Place) and item.name in shared else item


def _joined(segment: str, place: str) -> str:
    """Latin of a place with its segment's; a place says by itself where it lies ("in canali carpi")."""
    return f"{segment} {place}" if segment and place else ""


def _ids(row: Row, key: str) -> tuple[str, ...]:
    return tuple(row.get(key, ()))


def _maybe_ids(row: Row, key: str) -> tuple[str, ...] | None:
    return None if row.get(key) is None else tuple(row[key])


def _mapping(row: Row, key: str) -> Mapping[str, str]:
    return MappingProxyType(dict(row.get(key, {})))


def _texts(value: object) -> tuple[str, ...]:
    """A text, or those of a list: the form of what a variant adds is checked where it is applied."""
    return tuple(text for text in (value if isinstance(value, list) else (value,)) if text and isinstance(text, str))


def _sources(row: Row) -> tuple[str, ...]:
    """All source ids of an entry, each once; they may stand by part (nerve, roots, movements)."""
    source = row.get("source", ())
    parts = source.values() if isinstance(source, dict) else [source]
    return tuple(dict.fromkeys(id for part in parts for id in part))


def _supply(row: Row) -> dict[str, Any]:
    minor = _ids(row, "outside_minor")
    outside = dict(row.get("outside", {}))
    return {
        "roots": _ids(row, "roots"),
        "minor": _ids(row, "minor"),
        "variable": _mapping(row, "variable"),
        "outside": MappingProxyType(outside | {root: "" for root in minor if root not in outside}),
        "outside_minor": minor,
        "examine": row.get("examine", ""),
    }


def _with_parents(segments: Mapping[str, Segment]) -> Mapping[str, Segment]:
    """Parents of each segment in model order: those it comes "from" and those in whose course it stands."""
    givers: dict[str, set[str]] = {id: set(segment.parents) for id, segment in segments.items()}
    for segment in segments.values():
        for item in segment.course:
            if isinstance(item, Exit) and item.to in givers:
                givers[item.to].add(segment.id)
    rank = {id: i for i, id in enumerate(segments)}
    return MappingProxyType(
        {
            id: replace(segment, parents=tuple(sorted(givers[id], key=lambda p: (rank.get(p, len(rank)), p))))
            for id, segment in segments.items()
        }
    )
