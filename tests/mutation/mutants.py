"""Mutants of a module: its source with one small change in one function, made with mutmut's operators and libcst.

Added to mutmut's are changes that matter where rules stand in expressions: ``any`` and ``all``, ``min`` and ``max``
swapped, the condition of a comprehension left out, a condition reversed. Left out are texts in another case.
"""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import NamedTuple

import libcst as cst
import libcst.matchers as m
from mutmut.mutation.mutators import mutation_operators

SWAPPED = {"any": "all", "all": "any", "min": "max", "max": "min"}
PASSED_BY = m.Annotation() | m.Decorator() | m.Call(func=m.Name("isinstance") | m.Name("len"))


class Mutant(NamedTuple):
    """A changed module; ``was`` and ``now`` are the lines that the change touches, each without its indent."""

    function: str
    was: str
    now: str
    source: str
    lines: range
    """Numbers of the lines that it touches."""


def mutants(source: str, many: int | None = None, dice: Random | None = None) -> Iterator[Mutant]:
    """All mutants of a module, in the order of its lines; or at most so *many*, as the *dice* fall."""
    finder = _Finder()
    module = cst.parse_module(source)
    module.visit(finder)
    found = list(enumerate(finder.found))
    if many is not None and dice is not None:
        dice.shuffle(found)
    lines, made = source.splitlines(), dict[int, Mutant]()
    for place, (function, old, new) in found:
        changed = module.deep_replace(old, new).code
        was, now, where = _differing(lines, changed.splitlines())
        if was != now:
            made[place] = Mutant(function, was, now, changed, where)
        if len(made) == many:
            break
    yield from (made[place] for place in sorted(made))


class _Finder(cst.CSTVisitor):
    def __init__(self) -> None:
        self.found: list[tuple[str, cst.CSTNode, cst.CSTNode]] = []
        self._names: list[str] = []
        self._inside = 0

    def on_visit(self, node: cst.CSTNode) -> bool:
        if m.matches(node, PASSED_BY) or _is_docstring(node):
            return False
        if isinstance(node, cst.FunctionDef | cst.ClassDef):
            self._names.append(node.name.value)
        self._inside += isinstance(node, cst.FunctionDef)
        if self._inside:
            self.found += [(".".join(self._names), node, new) for new in _changes(node)]
        return True

    def on_leave(self, original_node: cst.CSTNode) -> None:
        if isinstance(original_node, cst.FunctionDef | cst.ClassDef):
            self._names.pop()
        self._inside -= isinstance(original_node, cst.FunctionDef)


def _changes(node: cst.CSTNode) -> Iterator[cst.CSTNode]:
    for kind, operator in mutation_operators:
        if isinstance(node, kind):
            found = list(operator(node))
            yield from found[:1] if isinstance(node, cst.BaseString) else found
    if isinstance(node, cst.Call) and isinstance(node.func, cst.Name) and node.func.value in SWAPPED:
        yield node.with_changes(func=cst.Name(SWAPPED[node.func.value]))
    if isinstance(node, cst.CompFor) and node.ifs:
        yield node.with_changes(ifs=())
    if isinstance(node, cst.If):
        inner = node.test.with_changes(lpar=[cst.LeftParen()], rpar=[cst.RightParen()])
        space = cst.SimpleWhitespace(" ")
        yield node.with_changes(
            test=cst.UnaryOperation(cst.Not(whitespace_after=cst.SimpleWhitespace("")), inner),
            whitespace_before_test=space,
        )


def _is_docstring(node: cst.CSTNode) -> bool:
    return m.matches(node, m.SimpleStatementLine(body=[m.Expr(value=m.SimpleString())]))


def _differing(old: list[str], new: list[str]) -> tuple[str, str, range]:
    """The lines between the first and the last in which two texts differ, and their numbers."""
    shorter = min(len(old), len(new))
    first = next((i for i in range(shorter) if old[i] != new[i]), shorter)
    last = next((i for i in range(shorter - first) if old[-1 - i] != new[-1 - i]), shorter - first)
    was, now = (" ".join(" ".join(text[first : len(text) - last]).split()) for text in (old, new))
    return was, now, range(first + 1, len(old) - last + 1)
