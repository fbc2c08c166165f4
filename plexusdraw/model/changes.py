"""Variants applied to a model file before it is built: entries set, added and removed by id.

A change names what it changes, never a place in the file, so that it holds when the file is edited:

* ``set: ID`` and the keys that the entry then has. A list is replaced, or edited: ``{add: [...], remove: [...]}``, with
  ``after: ID`` or ``before: ID`` where the order matters.
* ``add: TABLE`` (segments, muscles, ...) and the keys of the new entry; ``before: ID`` or ``after: ID`` places it.
* ``remove: ID``: the entry, and its mentions in courses, ``from``, groups and reflexes.

The tree of nodes is changed, not the values, so that everything built from it knows its line, that of the change
included.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field
from difflib import get_close_matches
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from plexusdraw.model.ids import kebab, place_name
from plexusdraw.yamlfile.document import Document, Faults, Path_, Value, plain_values

if TYPE_CHECKING:
    from ruamel.yaml.nodes import Node

TABLES = ("segments", "muscles", "skin", "groups", "outside", "reflexes", "signs", "regions")
_MENTIONS = ("course", "from", "members", "muscles", "areas", "reaches", "nerves")
"""Keys whose lists hold ids of other entries; what is removed is taken out of them."""
_EDITS = ("add", "remove", "after", "before")
_LIST, _TEXT = "tag:yaml.org,2002:seq", "tag:yaml.org,2002:str"


@dataclass
class _Editor:
    """The tree of one file while changes are made to it."""

    root: Node
    faults: Faults
    known: dict[int, Value]
    """Id of a node → what it holds, of those that no change has touched."""
    done: dict[tuple[str, str], str] = field(default_factory=dict)
    """(entry, key) → name of the variant that set it."""
    edited: dict[tuple[str, str], str] = field(default_factory=dict)
    """(entry, key) → name of the variant that took something out of the list there, or put it in."""
    removed: dict[str, str] = field(default_factory=dict)
    """Entry → name of the variant that removed it."""
    rooted: str = ""
    """Name of the variant that changed which roots there are, since where a plexus begins and ends is one thing."""

    def apply(self, variant: str, changes: Sequence[Mapping[str, Any]], nodes: Sequence[Node]) -> None:
        """All changes of one variant, in their order."""
        for row, node in zip(changes, nodes, strict=True):
            if "add" in row:
                self._add(variant, row, node)
            elif "remove" in row:
                self._remove(variant, row["remove"], node)
            else:
                self._set(variant, row["set"], node)

    def _set(self, variant: str, id: str, change: Node) -> None:
        entry = self._entry(variant, id, change)
        if entry is None:
            return
        for key, value in change.value:
            if key.value == "set":
                continue
            edited = _is_edit(value)
            place = (id, key.value)
            before = self.done.get(place) or self.edited.get(place)
            if not edited and self._clashes(variant, before, f'"{key.value}" of {id}', key):
                continue
            (self.edited if edited else self.done)[place] = variant
            if key.value in ("name", "place") and _get(entry, "id") is None:
                entry.value.append((_said(key, "id"), _said(value, id)))  # another name, the same id
            self._put(variant, entry, key, value, id)

    def _clashes(self, variant: str, before: str | None, what: str, node: Node) -> bool:
        """Whether another variant has changed the same already, so that one of the two would be lost; it is noted."""
        if not before or before == variant:
            return False
        message = f"{variant}: {what} is already set by {before}"
        self.faults.add(_line(node), message, "These two do not combine; choose one.")
        return True

    def _roots_clash(self, variant: str, entry: Node) -> bool:
        """As :meth:`_clashes`, where an entry that comes or goes is a root."""
        first, stage = _get(self.root, "stages"), _get(entry, "stage")
        if stage is None or first is None or stage.value != _entry_id(first.value[0]):
            return False
        clashes = self._clashes(variant, self.rooted, "the row of roots", entry)
        self.rooted = variant
        return clashes

    def _put(self, variant: str, entry: Node, key: Node, value: Node, id: str) -> None:
        at = next((i for i, (old, _) in enumerate(entry.value) if old.value == key.value), len(entry.value))
        there = entry.value[at][1] if at < len(entry.value) else None
        new = self._edited(variant, there, value, f"{key.value} of {id}", entry) if _is_edit(value) else value
        entry.value[at : at + 1] = [(key, new)]

    def _edited(self, variant: str, there: Node | None, edit: Node, what: str, entry: Node) -> Node:
        """A list with items taken out and put in; one that is not there yet is empty."""
        from ruamel.yaml.nodes import SequenceNode  # noqa: PLC0415

        made = SequenceNode(_LIST, _items(there), edit.start_mark)
        if there is not None and not _is_list(there):
            self.faults.add(_line(edit), f"{variant}: {what} is no list, of which parts come and go", "Set all of it.")
            return made
        places = {item: id for id, item in _places_of(entry)}
        for item in self._listed(variant, edit, "remove"):
            kept = [node for node in made.value if item.value not in (_id_of(node), places.get(node))]
            if len(kept) == len(made.value):
                self.faults.add(_line(item), f"{variant}: {_told(item)} is not in {what}")
            made.value = kept
        at = self._place(variant, edit, made.value, places)
        made.value[at:at] = self._listed(variant, edit, "add")
        return made

    def _listed(self, variant: str, edit: Node, key: str) -> list[Node]:
        """What an edit takes out or puts in."""
        found = _get(edit, key)
        if found is not None and not _is_list(found):
            self.faults.add(_line(found), f"{variant}: {key} wants a list", "Write it in brackets: [...].")
        return _items(found)

    def _add(self, variant: str, row: Mapping[str, Any], change: Node) -> None:
        table = row["add"]
        if table not in TABLES:
            near = get_close_matches(table, TABLES, n=1)
            hint = f"Did you mean {near[0]}?" if near else f"Choose from {', '.join(TABLES)}."
            self.faults.add(_line(change), f'{variant}: no table "{table}"', hint)
            return
        entry = copy(change)
        entry.value = [(key, value) for key, value in change.value if key.value not in ("add", "after", "before")]
        rows = _get(self.root, table)
        if rows is None:
            self.faults.add(
                _line(change), f'{variant}: the model has no table "{table}"', "Give it one, with an entry."
            )
            return
        if not self._roots_clash(variant, entry):
            rows.value.insert(self._place(variant, change, rows.value), entry)

    def _remove(self, variant: str, id: str, change: Node) -> None:
        entry = self._entry(variant, id, change)
        if entry is None or self._roots_clash(variant, entry):
            return
        others = [by for (of, _), by in (*self.done.items(), *self.edited.items()) if of == id and by != variant]
        if self._clashes(variant, next(iter(others), None), id, change):
            return
        self.removed[id] = variant
        for _, rows in self._tables():
            rows.value = [row for row in rows.value if row is not entry]
            for row in rows.value:
                for i, (key, value) in enumerate(row.value):
                    if key.value in _MENTIONS and id in map(_id_of, _items(value)):
                        row.value[i] = (key, _without(value, id))
                        self.known.pop(_key(row), None)

    def _place(
        self, variant: str, where: Node, items: Sequence[Node], places: Mapping[Node, str] = MappingProxyType({})
    ) -> int:
        for word, step in (("before", 0), ("after", 1)):
            wish = _get(where, word)
            if wish is None:
                continue
            for i, item in enumerate(items):
                if wish.value in (_id_of(item), _entry_id(item), places.get(item)):
                    return i + step
            self.faults.add(_line(wish), f"{variant}: nothing there is called {_told(wish)}")
        return len(items)

    def _entry(self, variant: str, id: str, change: Node) -> Node | None:
        found: dict[str, Node] = {_entry_id(row): row for _, rows in self._tables() for row in rows.value}
        places: dict[str, tuple[Node, Node]] = {}
        if id not in found:
            places = {id: (node, row) for row in found.values() for id, node in _places_of(row)}
        if id in found or id in places:
            node, row = places.get(id) or (found[id], found[id])
            self.known.pop(_key(row), None)
            return node
        if self._clashes(variant, self.removed.get(id), id, change):
            return None
        near = get_close_matches(id, [*found, *places], n=1)
        hint = f"Did you mean {near[0]}?" if near else "An id is a name in kebab case."
        self.faults.add(_line(change), f'{variant}: the model has no "{id}"', hint)
        return None

    def _tables(self) -> Iterator[tuple[str, Node]]:
        for key, rows in self.root.value:
            if key.value in TABLES:
                yield key.value, rows


def applied(document: Document, variants: Sequence[int], faults: Faults) -> Document:
    """The document with the variants at these places of its table ``variants`` applied in their order.

    Faults are noted with the file and line of the change.
    """
    if not variants or document.node is None:
        return document
    known: dict[int, Value] = {}
    root = _copied(document, known)
    editor = _Editor(root, faults, known)
    rows = document.value["variants"]
    table = _get(document.node, "variants")
    assert table is not None
    for i in variants:
        nodes = _get(table.value[i], "changes")
        editor.apply(rows[i]["name"], rows[i].get("changes", ()), () if nodes is None else nodes.value)
    return Document(plain_values(root, faults, known), root)


def _copied(document: Document, known: dict[int, Value]) -> Node:
    """The tree as far down as changes reach: tables, entries and their keys are new, what they hold is shared.

    *known* takes what the entries and all that is shared hold, by the ids of their nodes.
    """
    assert document.node is not None
    made = copy(document.node)
    made.value = []
    for key, rows in document.node.value:
        values = document.value[key.value]
        if key.value in TABLES:
            table = copy(rows)
            table.value = [_entry_copy(row) for row in rows.value]
            made.value.append((key, table))
            known |= {_key(row): entry for row, entry in zip(table.value, values, strict=True)}
        else:
            made.value.append((key, rows))
            known[_key(rows)] = values
    return made


def _entry_copy(row: Node) -> Node:
    made = copy(row)
    made.value = []
    for key, value in row.value:
        new = value
        if key.value == "course":  # places in it may be set
            new = copy(value)
            new.value = [copy(item) if isinstance(item.value, list) else item for item in value.value]
            for item in new.value:
                item.value = list(item.value) if isinstance(item.value, list) else item.value
        made.value.append((key, new))
    return made


_key = id  # where "id" is that of an entry


def _said(node: Node, text: str) -> Node:
    """A text, with the line of a node."""
    from ruamel.yaml.nodes import ScalarNode  # noqa: PLC0415

    return ScalarNode(_TEXT, text, node.start_mark)


def _without(items: Node, id: str) -> Node:
    made = copy(items)
    made.value = [item for item in _items(items) if _id_of(item) != id]
    return made


def _id_of(item: Node) -> str:
    """The id that a list item names: plain, or as ``to``."""
    if isinstance(item.value, str):
        return item.value
    to = _get(item, "to")
    return "" if to is None else str(to.value)


def _entry_id(row: Node) -> str:
    id, name = _get(row, "id"), _get(row, "name")
    return str(id.value) if id is not None else kebab(str(name.value)) if name is not None else ""


def _places_of(row: Node) -> Iterator[tuple[str, Node]]:
    """Places in the course of an entry, by id."""
    course, name = _get(row, "course"), _get(row, "name")
    if name is None:
        return
    for item in _items(course):
        place = _get(item, "place")
        if place is not None:
            id, also = _get(item, "id"), _get(item, "synonyms")
            known = tuple(str(s.value) for s in _items(also))
            yield str(id.value) if id is not None else kebab(place_name(str(name.value), str(place.value), known)), item


def _get(node: Node, key: str) -> Node | None:
    if not isinstance(node.value, list):
        return None
    for at, value in node.value if _is_mapping(node) else ():
        if at.value == key:
            found: Node = value
            return found
    return None


def _items(node: Node | None) -> list[Node]:
    """What a list holds; what stands where one should, nothing: its form is checked when all is changed."""
    return list(node.value) if node is not None and _is_list(node) else []


def _is_list(node: Node) -> bool:
    return isinstance(node.value, list) and node.tag == _LIST


def _told(node: Node) -> str:
    """What a node says, for a message."""
    return f'"{node.value}"' if isinstance(node.value, str) else "what stands here"


def _is_mapping(node: Node) -> bool:
    return isinstance(node.value, list) and bool(node.value) and isinstance(node.value[0], tuple)


def _is_edit(node: Node) -> bool:
    """Whether a value edits a list rather than replaces it."""
    return _is_mapping(node) and all(key.value in _EDITS for key, _ in node.value)


def _line(node: Node) -> int:
    return int(node.start_mark.line) + 1


__all__ = ["TABLES", "Path_", "applied"]
