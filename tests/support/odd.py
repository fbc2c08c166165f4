"""Random models that are odd in every way that a model file allows: most pass ``check``, and then every command."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

from randoms import rows

from plexusdraw.model.ids import kebab

Rows = dict[str, Any]
Dice = random.Random

SYMBOLS = ("***", "α+β", "♦", "(–)", "§ 1", "+", "°", "№ 7", "?!", "C5/C6")
WORDS = ("roots", "nerves", "all", "constructor", "__proto__", "everything", "toString", "table", "supply", "Strang")
LONG = "a name of a nerve that goes on and on, and then on for a good while longer than any label has room for"


def odd(seed: int) -> Rows:
    """A model with one to four twists, the same each time for a number; it may or may not pass ``check``."""
    dice = random.Random(f"odd {seed}")
    size = dice.choice(
        ({"roots": 1}, {"roots": 2, "stages": 2}, {"roots": 3, "stages": 3}, {"roots": 5}, {"stages": 5})
    )
    model = rows(seed, width=2, **size)
    for twist in dice.sample(TWISTS, dice.randint(1, 4)):
        twist(model, dice)
    return model


def _any(model: Rows, dice: Dice, staged: bool | None = None) -> Rows:
    """A segment; *staged*: one with a stage after the first, or one without a stage."""
    first = model["stages"][0]["id"]
    kinds = {None: lambda s: True, True: lambda s: s.get("stage", first) != first, False: lambda s: "stage" not in s}
    found: list[Rows] = [segment for segment in model["segments"] if kinds[staged](segment)]
    return dice.choice(found)


def _unseen(model: Rows, dice: Dice) -> None:
    _any(model, dice, staged=dice.random() < 0.8)["drawn"] = False


def _unseen_column(model: Rows, dice: Dice) -> None:
    stage = dice.choice(model["stages"][1:])["id"]
    for segment in model["segments"]:
        if segment.get("stage") == stage:
            segment["drawn"] = False


def _link(model: Rows, dice: Dice) -> None:
    """A link from one or two stages to a segment of the last."""
    last = model["stages"][-1]["id"]
    before = [s for s in model["segments"] if s.get("stage") not in (None, last)]
    ends = [s for s in model["segments"] if s.get("stage") == last]
    parents = [_id(s) for s in dice.sample(before, min(len(before), dice.randint(1, 3)))]
    end = dice.choice(ends)
    model["segments"].append({"name": "a link", "from": parents})
    end["from"] = [*end["from"], "a-link"]


def _skipped(model: Rows, dice: Dice) -> None:
    """A segment that comes from any stage before its own."""
    order = [stage["id"] for stage in model["stages"]]
    segment = _any(model, dice, staged=True)
    at = order.index(segment["stage"])
    before = [s for s in model["segments"] if s.get("stage") in order[:at]]
    segment["from"] = sorted({_id(s) for s in dice.sample(before, min(2, len(before)))})


def _capital(model: Rows, dice: Dice) -> None:
    for stage in model["stages"]:
        word = stage["singular"]
        stage["singular"] = dice.choice((word.capitalize(), word.upper(), f"Strang {stage['id']}"))
        stage["name"] = stage["name"].title()


def _named(names: tuple[str, ...]) -> Callable[[Rows, Dice], None]:
    def twist(model: Rows, dice: Dice) -> None:
        for name in dice.sample(names, min(len(names), 3)):
            row = dice.choice([*model["segments"], *model["muscles"], *model["skin"]])
            row["id"] = row.get("id") or _id(row)
            row["name"] = name

    return twist


def _twins(model: Rows, dice: Dice) -> None:
    table = model[dice.choice(("segments", "segments", "muscles"))]
    for row in dice.sample(table, min(2, len(table))):
        row["id"] = _id(row)
        row["name"] = "twin"


def _stage_words(model: Rows, dice: Dice) -> None:
    for stage, word in zip(
        model["stages"], dice.sample(("***", "nerves", "Muscles", "all", "labels", "1+2"), 6), strict=False
    ):
        stage[dice.choice(("name", "singular"))] = word


def _without(table: str) -> Callable[[Rows, Dice], None]:
    def twist(model: Rows, dice: Dice) -> None:
        gone = {_id(row) for row in model[table]}
        if table == "muscles":
            for segment in model["segments"]:
                segment["course"] = [i for i in segment.get("course", ()) if not (isinstance(i, str) and i in gone)]
        elif model["muscles"]:
            model["segments"] = [s for s in model["segments"] if s["name"] != "skin nerve"]
            model["muscles"].append(
                {"name": "all of it", "roots": [s["name"] for s in model["segments"] if s.get("stage") == "s0"]}
            )
            model["segments"].append({"name": "to all", "from": model["muscles"][-1]["roots"], "course": ["all-of-it"]})
        else:
            return
        model[table] = []

    return twist


def _many_roots(model: Rows, dice: Dice) -> None:
    wide = rows(dice.randrange(99), roots=dice.choice((12, 40)), stages=dice.choice((2, 3)), width=2)
    model.update(wide)


def _free(model: Rows, dice: Dice) -> None:
    for stage in model["stages"][1:]:
        stage["order"] = "free"


def _blank(model: Rows, dice: Dice) -> None:
    row = dice.choice([*model["segments"], *model["muscles"], *model["skin"]])
    row[dice.choice(("label", "latin", "note"))] = dice.choice((" ", "", "\u200b", "***"))


def _planes(model: Rows, dice: Dice) -> None:
    for segment in model["segments"]:
        segment["plane"] = dice.choice(("posterior", "middle", "anterior"))


def _grouped(model: Rows, dice: Dice) -> None:
    ids = [_id(row) for row in model["muscles"]]
    if ids:
        model["groups"] = [{"name": "Group +", "members": dice.sample(ids, min(3, len(ids)))}]
        rooted = dice.choice([row for row in model["muscles"] if row["roots"]])
        model["reflexes"] = [{"name": "a jerk", "muscles": [_id(rooted)], "roots": rooted["roots"][:1]}]
        model["signs"] = [{"name": "a sign!", "when": {"lost": [_id(rooted)]}}]


def _offshoots(model: Rows, dice: Dice) -> None:
    for segment in model["segments"]:
        if "stage" not in segment and dice.random() < 0.5:
            segment |= {"offshoot": True, "side": dice.choice(("cranial", "caudal"))}


def _id(row: Rows) -> str:
    return str(row.get("id") or kebab(row["name"]))


TWISTS: tuple[Callable[[Rows, Dice], None], ...] = (
    _unseen,
    _unseen,
    _unseen_column,
    _link,
    _link,
    _skipped,
    _capital,
    _named(SYMBOLS),
    _named(WORDS),
    _named((LONG,)),
    _twins,
    _stage_words,
    _without("muscles"),
    _without("skin"),
    _many_roots,
    _free,
    _blank,
    _planes,
    _grouped,
    _offshoots,
)
