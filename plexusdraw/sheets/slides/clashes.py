"""What keys of a step of an outline cannot stand together, told with the line of the one that cannot do anything."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from plexusdraw.sheets.slides import placeholders
from plexusdraw.sheets.slides.steps import PAGES
from plexusdraw.yamlfile.reader import YamlFile

_SHOWN = ("show", "highlight", "hide", "injure", "partial", "ask", "asked")
_NEEDS: dict[str, tuple[tuple[str, ...], str]] = {
    "way": (("highlight",), "the way of fibres"),
    "supply": (("highlight", "show"), "what a nerve supplies"),
    "loss": (("injure",), "what an injury takes"),
    "site": (("injure",), "where an injury is"),
    "names": (("show", "highlight", "hide", "injure"), "names"),
}


def check(file: YamlFile, raw: dict[str, Any], where: tuple[str | int, ...]) -> None:
    """Note every key of a step that contradicts another."""

    def fault(key: str, message: str, hint: str) -> None:
        file.fault((*where, key), f"{key}: {message}", hint)

    given = {key for key, value in raw.items() if value not in (None, False, [], "")}
    on, asked = raw.get("on", "drawing"), raw.get("asked")
    if "partial" in given and "injure" not in given:
        fault("partial", "nothing is injured here", "Give injure as well.")
    if "asked" in given and "ask" not in given:
        fault("asked", "nothing is asked here", "Give ask as well.")
    if asked in _NEEDS and not given & {*_NEEDS[asked][0]}:
        fault("asked", f"{_NEEDS[asked][1]} cannot be asked here", f"Give {' or '.join(_NEEDS[asked][0])} as well.")
    if asked == "site" and on != "limb":
        fault("asked", "the drawing shows where an injury is", "Ask for the site with on: limb.")
    if asked == "names" and on == "table":
        fault("asked", "there are no names of the drawing on a table", "Leave out on: table.")
    if asked == "way" and on == "table":
        fault("asked", "a table does not show the way of fibres", "Leave out on: table.")
    for key, value in raw.items() if "each" not in given else ():
        if placeholders.of_item(str(value)):
            fault(key, "{name} stands for what a step is repeated for", "Give each as well, or write {{name}}.")
    _beside(on, raw, given, fault)


def _beside(on: str, raw: dict[str, Any], given: set[str], fault: Callable[[str, str, str], None]) -> None:
    """What cannot stand beside a picture, or on a slide without the plexus."""
    alone = on if on in PAGES else "picture" if "picture" in given else ""
    if alone:
        allowed = _of_picture(raw["picture"]) if alone == "picture" else set()
        for key in _SHOWN:
            if key in given and key not in allowed:
                fault(key, f"has no meaning on a slide with {_named(alone)}", f"Leave it out, or {_named(alone)}.")
    if "picture" in given and "on" in given:
        fault("on", "the picture takes the whole slide", "Leave out on, or the picture.")
    asks = "picture" in given and "worksheet" in raw["picture"]
    if "picture" in given and "ask" in given and "hide" not in given and not asks:
        fault("ask", "nothing on the picture is hidden", "Give hide as well.")


def _of_picture(picture: dict[str, Any]) -> set[str]:
    """What may stand beside a picture; a worksheet hides by itself what it asks."""
    return {"ask"} if "worksheet" in picture else {"hide", "ask"}


def _named(alone: str) -> str:
    return "the picture" if alone == "picture" else f"on: {alone}"
