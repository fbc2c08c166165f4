"""Files whose values are of another kind, size or script than meant, in YAML that can be read."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from copy import deepcopy
from typing import Any

Dice = random.Random
Tree = Any
Place = tuple[Any, Any]
"""What holds a value, and the key or index at which it does."""

NUMBERS = (0, -1, 1, 2, 3, 99, 0.5, 1e-9, 10**30, -(10**30), 1e308, float("nan"), float("inf"), float("-inf"))
TEXTS = (
    "",
    " ",
    "\u200b",
    "***",
    "ABDUCTOR",
    "constructor",
    "__proto__",
    "roots",
    "labels",
    "muscles",
    "supply",
    "all",
    "none",
    "α+β",
    "1/2",
    "C5",
    "العصب الكعبري",
    "עצב",
    "\u202eabc\u202c",
    "正中神経",
    "🙂",
    "𝒜𝒷",
    "e\u0301",
    "É",
    "ﬁ",
    "a:b",
    "# a",
    "=1+1",
    "<b>&amp;",
    "x" * 60,
    "many words " * 20,
    "preganglionic",
    "C5 preganglionic",
    "free",
    "posterior",
    "2026-01-01",
)
WHOLES = (
    None,
    True,
    False,
    [],
    {},
    [[]],
    [None],
    [{}],
    {"a": 1},
    ["a", "a"],
    {"to": "nowhere"},
    [1, 2],
    {"place": "x"},
)
KEYS = ("minor", "roots", "from", "course", "stage", "drawn", "plane", "offshoot", "side", "label", "latin", "synonyms")
MORE = ("note", "variable", "id", "name", "order", "movements", "parts", "reaches", "only", "via", "passes", "source")
DEEP = 60


def bent(tree: Tree, dice: Dice, times: int = 1) -> Tree:
    """The values of a file with so many of them, or of its entries, changed."""
    made = {"": deepcopy(tree)}
    for _ in range(times):
        dice.choice(_CHANGES)(made[""], dice)
    return made[""]


def written(tree: Tree, deep: int = 0) -> str:
    """A tree as YAML: an entry a line down to the third level, so that faults have lines."""
    if isinstance(tree, dict) and tree and deep < _LINES:
        pairs = (f"{' ' * deep}{json.dumps(str(k), ensure_ascii=False)}:{_below(v, deep)}" for k, v in tree.items())
        return "\n".join(pairs)
    if isinstance(tree, list) and tree and deep < _LINES:
        return "\n".join(f"{' ' * deep}- {_flow(value)}" for value in tree)
    return " " * deep + _flow(tree)


_LINES = 2


def _below(value: Tree, deep: int) -> str:
    whole = isinstance(value, dict | list) and value and deep + 1 < _LINES
    return f"\n{written(value, deep + 1)}" if whole else f" {_flow(value)}"


def _flow(value: Tree) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(str(k), ensure_ascii=False)}: {_flow(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_flow, value)) + "]"
    if isinstance(value, float):
        text = repr(value)
        return {"nan": ".nan", "inf": ".inf", "-inf": "-.inf"}.get(text, text)
    return json.dumps(value, ensure_ascii=False)


def _places(tree: Tree) -> Iterator[Place]:
    steps = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    for step, value in list(steps):
        yield tree, step
        yield from _places(value)


def _some(tree: Tree, dice: Dice, kind: type | tuple[type, ...] = object) -> Place | None:
    found = [place for place in _places(tree) if isinstance(place[0][place[1]], kind)]
    return dice.choice(found) if found else None


def _other(tree: Tree, dice: Dice) -> None:
    """A value of any kind in the place of another."""
    place = _some(tree, dice)
    if place:
        place[0][place[1]] = deepcopy(dice.choice(dice.choice((NUMBERS, TEXTS, WHOLES))))


def _alike(tree: Tree, dice: Dice) -> None:
    """Another value of the same kind."""
    place = _some(tree, dice, (str, int, float))
    if place:
        old = place[0][place[1]]
        place[0][place[1]] = dice.choice(TEXTS) if isinstance(old, str) else dice.choice(NUMBERS)


def _dressed(tree: Tree, dice: Dice) -> None:
    """A text in capitals, turned, with signs at its ends."""
    place = _some(tree, dice, str)
    if place:
        old = place[0][place[1]]
        more = (f"{old} 🙂", f" {old}", f"{old}\u0301", f"{old} ק", f"({old})", f"{old}.", f"{old}, {old}", f"{old}:1")
        place[0][place[1]] = dice.choice((old.upper(), old.capitalize(), old[::-1], old[:1], *more))


def _named(tree: Tree, dice: Dice) -> None:
    """A text that stands elsewhere in the file: a cycle, a second entry of one name, a stage that is another's."""
    here, there = _some(tree, dice, str), _some(tree, dice, str)
    if here and there:
        here[0][here[1]] = there[0][there[1]]


def _moved(tree: Tree, dice: Dice) -> None:
    """A value that stands elsewhere in the file, of any kind."""
    here, there = _some(tree, dice), _some(tree, dice)
    if here and there:
        here[0][here[1]] = deepcopy(there[0][there[1]])


def _gone(tree: Tree, dice: Dice) -> None:
    place = _some(tree, dice)
    if place:
        del place[0][place[1]]


def _twice(tree: Tree, dice: Dice) -> None:
    """An entry of a list once more, with or without a name of its own."""
    place = _some(tree, dice, list)
    items = place[0][place[1]] if place else []
    if items:
        more = deepcopy(dice.choice(items))
        if isinstance(more, dict) and "name" in more and dice.random() < 0.5:
            more["name"] = f"{more['name']} too"
        items.insert(dice.randrange(len(items) + 1), more)


def _turned(tree: Tree, dice: Dice) -> None:
    place = _some(tree, dice, list)
    if place:
        dice.shuffle(place[0][place[1]])


def _more(tree: Tree, dice: Dice) -> None:
    """A key that an entry of a model may have, with a value that stands elsewhere or none that fits."""
    place, there = _some(tree, dice, dict), _some(tree, dice)
    if place and there:
        value = deepcopy(there[0][there[1]]) if dice.random() < 0.6 else dice.choice(TEXTS)
        place[0][place[1]][dice.choice(KEYS + MORE)] = value


def _unseen(tree: Tree, dice: Dice) -> None:
    place = _some(tree, dice, dict)
    if place:
        place[0][place[1]][dice.choice(("drawn", "offshoot", "variable"))] = dice.choice((True, False))


def _nested(tree: Tree, dice: Dice) -> None:
    place = _some(tree, dice)
    if place:
        value: Tree = place[0][place[1]]
        for _ in range(dice.choice((1, 1, 2, DEEP))):
            value = [value] if dice.random() < 0.7 else {"name": value}
        place[0][place[1]] = value


_CHANGES = (
    _other,
    _alike,
    _alike,
    _alike,
    _dressed,
    _dressed,
    _named,
    _named,
    _moved,
    _gone,
    _gone,
    _twice,
    _twice,
    _turned,
    _more,
    _more,
    _unseen,
    _nested,
)
