"""A length without a unit is a fault that waits to happen: every public one says what it is counted in.

What counts as a length: a field of a public dataclass, and what a public function or property returns, if it is a
number with a point, a point of the page, or a collection of these (a curve has its unit where its type is named). Its
unit must stand where a reader finds it: in its own docstring or its name; for a field also in that of its class; or in
that of the module, which then speaks of lengths. What has no unit says so: a share, a factor, how many times.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "plexusdraw"
ROOMS = ("layout", "scene", "look", "sheets")
FILES = sorted(file for room in ROOMS for file in (PACKAGE / room).rglob("*.py"))
UNIT = re.compile(
    r"\b(mm|millimetres|pt|points|ems?|degrees|pixels|shares?|percent|factors?|multiples?|ratios?|times|contrast"
    r"|luminance)\b",
    re.IGNORECASE,
)
IN_NAME = re.compile(r"_(mm|pt|ems?|share|shares|factor)$")
LENGTH = re.compile(r"\b(float|Point)\b")


def says(*texts: str | None) -> bool:
    """Whether a unit stands in one of the docstrings."""
    return any(UNIT.search(text) for text in texts if text)


def is_length(annotation: ast.expr | None) -> bool:
    """Whether something of this type holds lengths; what takes or makes them is asked elsewhere."""
    text = ast.unparse(annotation) if annotation else ""
    return bool(LENGTH.search(text)) and "Callable" not in text


def is_dataclass(node: ast.ClassDef) -> bool:
    return any(ast.unparse(decorator).startswith("dataclass") for decorator in node.decorator_list)


def lengths(path: Path) -> Iterator[tuple[str, bool]]:
    """Each public length of a file, and whether it has a unit."""
    tree = ast.parse(path.read_text("utf-8"))
    module = ast.get_docstring(tree) or ""
    general = module if "ength" in module else ""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            yield from returned(node, "", general)
        elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            if is_dataclass(node):
                yield from fields(node, general)
            for method in node.body:
                if isinstance(method, ast.FunctionDef):
                    yield from returned(method, f"{node.name}.", general)


def returned(node: ast.FunctionDef, owner: str, general: str) -> Iterator[tuple[str, bool]]:
    if not node.name.startswith("_") and is_length(node.returns):
        yield owner + node.name, says(ast.get_docstring(node), general) or bool(IN_NAME.search(node.name))


def fields(node: ast.ClassDef, general: str) -> Iterator[tuple[str, bool]]:
    above = ast.get_docstring(node)
    for item, following in zip(node.body, [*node.body[1:], None], strict=True):
        if isinstance(item, ast.AnnAssign) and is_length(item.annotation):
            own = following.value if isinstance(following, ast.Expr) else None
            text = own.value if isinstance(own, ast.Constant) and isinstance(own.value, str) else ""
            name = ast.unparse(item.target)
            yield f"{node.name}.{name}", says(text, above, general) or bool(IN_NAME.search(name))


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_every_public_length_has_a_unit(path):
    assert [name for name, told in lengths(path) if not told] == []


def test_a_length_without_a_unit_is_found(tmp_path):
    """Guards the test above."""
    path = tmp_path / "x.py"
    path.write_text(
        "@dataclass\nclass A:\n    'A box.'\n    w: float\n    h: float\n    'Height, mm.'\n    size_pt: float\n"
        "def f() -> float:\n    'How far.'\n\ndef g() -> dict[str, float]:\n    'How far, mm.'\n"
        "def h() -> int:\n    'How many.'\n",
        encoding="utf-8",
    )
    assert list(lengths(path)) == [("A.w", False), ("A.h", True), ("A.size_pt", True), ("f", False), ("g", True)]
