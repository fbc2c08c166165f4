"""Text of a YAML 1.2 file → plain values, with the line of each.

Only what a data file needs: mappings with text keys, lists, text, whole and decimal numbers, true/false,
nothing. No tags, no merge keys. Aliases are understood, but what they expand to is limited.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, Any

from plexusdraw import inputs
from plexusdraw.errors import ModelError, PlexusdrawError

if TYPE_CHECKING:
    from ruamel.yaml.nodes import Node

ENDINGS = (".yaml", ".yml")
MAX_BYTES = 4_000_000
MAX_DEPTH = 40
DEEPEST = 200
"""Nesting at which parsing stops; up to here a fault is told with its line."""
MOST_SHOWN = 30
"""Faults listed before the rest are only counted."""
MOST_FOUND = 100
"""Faults after which a reader may stop: a file of another kind has one in every line."""
MAX_NODES = 400_000
"""Values after aliases are expanded; a file of 2,000 segments has about 30,000."""

Value = Any
Path_ = tuple[str | int, ...]

_FORBIDDEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")
"""Controls, halves of pairs, noncharacters: not in YAML (1.2, section 5.1), nor, written as escapes, in a name."""
_LONGEST_NUMBER = 40
_LONGEST_FAULT = 600
_TAG = "tag:yaml.org,2002:"
_TEXT = f"{_TAG}str"
_WORDS = {"null", "bool", "int", "float", "str", "timestamp"}


def is_yaml(path: str | PurePath) -> bool:
    """Whether a name is that of a YAML file, in capitals too."""
    return PurePath(path).suffix.lower() in ENDINGS


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a file: 1-based line (0: the file as a whole), what, and what to do."""

    line: int
    message: str
    hint: str = ""


@dataclass
class Faults:
    """Faults of one file, gathered so that all are reported at once, as an *error* of its room."""

    path: str
    error: type[PlexusdrawError] = ModelError
    found: list[Fault] = field(default_factory=list)

    @property
    def full(self) -> bool:
        """Whether there are so many that no more need be looked for."""
        return len(self.found) >= MOST_FOUND

    def add(self, line: int, message: str, hint: str = "") -> None:
        """Note a fault; what it quotes of the file is brought onto one line and cut where it is long."""
        self.found.append(Fault(line, _one_line(message), _one_line(hint)))

    def lines(self) -> Iterator[str]:
        """Each fault as "file:12: message. hint", in the order of the file, none twice."""
        for fault in sorted(dict.fromkeys(self.found), key=lambda f: f.line):
            place = f"{self.path}:{fault.line}" if fault.line else self.path
            yield f"{place}: {fault.message}." + (f" {fault.hint}" if fault.hint else "")

    def check(self) -> None:
        """Raise the error if there are any."""
        if self.found:
            lines = list(self.lines())
            rest = len(lines) - MOST_SHOWN
            if rest > 0:
                least = "at least " if self.full else ""
                lines[MOST_SHOWN:] = [f"{self.path}: and {least}{rest} more faults like these"]
            raise self.error("\n".join(lines))


@dataclass(frozen=True)
class Document:
    """Values of a file, and the node tree that knows their lines."""

    value: Value
    node: Node | None
    _keys: dict[int, dict[str, tuple[Node, int]]] = field(default_factory=dict, repr=False, compare=False)

    def line(self, path: Path_ = ()) -> int:
        """1-based line of the value at *path*; steps that are not there are passed over."""
        node, line = self.node, _line(self.node)
        for step in path:
            found = self._child(node, step)
            if found is not None:
                node, line = found
        return line

    def _child(self, node: Node | None, step: str | int) -> tuple[Node, int] | None:
        """The child at a key or index, and the line to report for it: a key's own line."""
        value = getattr(node, "value", None)
        if not isinstance(value, list) or not value:
            return None
        if isinstance(step, int):
            there = 0 <= step < len(value) and not isinstance(value[step], tuple)
            return (value[step], _line(value[step])) if there else None
        if not isinstance(value[0], tuple):
            return None
        if id(node) not in self._keys:
            self._keys[id(node)] = {
                key.value: (child, _line(key)) for key, child in value if isinstance(key.value, str)
            }
        return self._keys[id(node)].get(step)


def plain_values(node: Node, faults: Faults, known: Mapping[int, Value] | None = None) -> Value:
    """What a node tree holds as plain values; what may not be there is noted. *known*: values by the ids of nodes."""
    return _Plain(faults, known or {}).value(node, 0)


def node_lines(node: Node) -> list[Any]:
    """The line of a value and those of all that it holds, in order: a number, or such a list where that holds more."""
    if not isinstance(node.value, list):
        return [_line(node)]
    pairs = [child if isinstance(child, tuple) else (child, child) for child in node.value]
    below = [[_line(key), *node_lines(child)[1:]] for key, child in pairs]
    return [_line(node), *(lines if len(lines) > 1 else lines[0] for lines in below)]


def read_text(path: Path, error: type[PlexusdrawError] = ModelError) -> str:
    """Text of a file of at most MAX_BYTES bytes in UTF-8; the *error* says what is wrong with it."""
    inputs.read(path)
    try:
        with path.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except OSError as cause:
        raise error(f"{path}: cannot be read: {cause.strerror or cause}.") from cause
    except ValueError as cause:  # a NUL in the name
        raise error(f"{str(path)!r}: cannot be the name of a file: {cause}.") from cause
    if len(data) > MAX_BYTES:
        raise error(f"{path}: larger than {MAX_BYTES // 1_000_000} MB. A plexus needs far less.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as cause:
        line = data.count(b"\n", 0, cause.start) + 1
        raise error(f"{path}:{line}: not UTF-8 text. Save the file in UTF-8.") from cause


def parse(text: str, path: str, error: type[PlexusdrawError] = ModelError) -> Document:
    """Parse YAML; the *error* holds the place of a syntax fault, a tag, a key given twice."""
    faults = Faults(path, error)
    node = _compose(text, faults)
    faults.check()
    value = None if node is None else plain_values(node, faults)
    faults.check()
    return Document(value, node)


def _single_node(text: str) -> Node | None:
    """The only document's node tree: by the C parser where it is installed, else by the pure one."""
    from ruamel.yaml.error import MarkedYAMLError  # noqa: PLC0415

    try:
        from ruamel.yaml.cyaml import CSafeLoader  # noqa: PLC0415
    except ImportError:
        from ruamel.yaml import YAML  # noqa: PLC0415

        pure: Node | None = YAML(typ="safe", pure=True).compose(text)
        return pure

    class Shallow(CSafeLoader):
        """Stops where nesting is deep: the C parser goes down without end, and takes the process with it."""

        depth = 0

        def descend_resolver(self, parent: Node | None, index: object) -> None:
            """Called by the parser before it goes into a node."""
            self.depth += 1
            if self.depth > DEEPEST and parent is not None:
                raise MarkedYAMLError(problem="nested too deeply", problem_mark=parent.start_mark)

        def ascend_resolver(self) -> None:
            """Called by the parser after a node."""
            self.depth -= 1

    node: Node | None = Shallow(text).get_single_node()
    return node


def _compose(text: str, faults: Faults) -> Node | None:
    from ruamel.yaml.error import MarkedYAMLError, YAMLError  # noqa: PLC0415

    bad = _FORBIDDEN.search(text)
    if bad is not None:
        faults.add(text.count("\n", 0, bad.start()) + 1, _forbidden(bad[0]), "Remove it.")
        return None
    try:
        return _single_node(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark is not None else 0
        faults.add(line, f"not valid YAML: {error.problem or error.context}", "Check indent and quotes.")
    except YAMLError as error:
        faults.add(0, f"not valid YAML: {str(error).splitlines()[0]}")
    except (RecursionError, ValueError) as error:
        faults.add(0, f"not valid YAML: {'nested too deeply' if isinstance(error, RecursionError) else error}")
    return None


class _Plain:
    """Turns nodes into plain values and notes what may not be there."""

    def __init__(self, faults: Faults, known: Mapping[int, Value]) -> None:
        from ruamel.yaml import nodes  # noqa: PLC0415

        self.kinds, self.known = nodes, known
        self.faults = faults
        self.count = 0

    def _is_bare(self, node: Any) -> bool:  # noqa: ANN401
        """Whether a node is text without escapes, as most are: it has been looked at with the whole file already."""
        return type(node) is self.kinds.ScalarNode and node.tag == _TEXT and node.style != '"'

    def value(self, node: Node, depth: int) -> Value:
        self.count += 1
        if self.count > MAX_NODES or depth > MAX_DEPTH:
            if not self.faults.found or self.faults.found[-1].message != _TOO_MUCH:
                self.faults.add(_line(node), _TOO_MUCH, "Check its aliases and nesting.")
            return None
        if self._is_bare(node):
            return node.value
        if id(node) in self.known:
            return self.known[id(node)]
        kind = str(node.tag).removeprefix(_TAG)
        if isinstance(node, self.kinds.ScalarNode):
            return self._scalar(node, kind)
        if kind not in ("map", "seq"):
            self.faults.add(_line(node), f"tag {node.tag} is not allowed", "Leave it out.")
        if isinstance(node, self.kinds.MappingNode):
            return self._mapping(node, depth)
        return [self.value(child, depth + 1) for child in node.value]

    def _mapping(self, node: Node, depth: int) -> dict[str, Value]:
        found: dict[str, Value] = {}
        for key, child in node.value:
            if not self._is_bare(key):
                kind = str(key.tag).removeprefix(_TAG)
                if not isinstance(key, self.kinds.ScalarNode) or kind == "merge":
                    self.faults.add(_line(key), "a key must be plain text", "Write the entries out.")
                    continue
                self._scalar(key, kind)
            if key.value in found:
                self.faults.add(_line(key), f'key "{key.value}" stands twice', "Keep one.")
            found[key.value] = self.value(child, depth + 1)
        return found

    def _scalar(self, node: Node, kind: str) -> Value:
        text: str = node.value
        if kind not in _WORDS:
            self.faults.add(_line(node), f"tag {node.tag} is not allowed", "Leave it out.")
        bad = _FORBIDDEN.search(text)
        if bad is not None:
            self.faults.add(_line(node), _forbidden(bad[0]), "Remove it.")
        if kind == "null":
            return None
        if kind == "bool":
            return text.lower() == "true"
        if kind in ("int", "float"):
            return _number(text)
        return text


_TOO_MUCH = "too many values or too deeply nested"


def _forbidden(character: str) -> str:
    kind = "control" if unicodedata.category(character) == "Cc" else "not valid YAML:"
    return f"{kind} character U+{ord(character):04X}"


def _one_line(text: str) -> str:
    """What a message quotes, without line breaks and controls that a terminal would obey, and not too long."""
    short = text if len(text) <= _LONGEST_FAULT else f"{text[: _LONGEST_FAULT - 1]}…"
    return "".join(c if c.isprintable() else repr(c)[1:-1] if c != "\n" else " " for c in short)


def _number(text: str) -> int | float | str:
    if len(text) > _LONGEST_NUMBER:
        return text
    for kind in (lambda t: int(t, 0), int, float):
        try:
            return kind(text)
        except ValueError:
            continue
    return text


def _line(node: Node | None) -> int:
    return node.start_mark.line + 1 if node is not None and node.start_mark is not None else 0
