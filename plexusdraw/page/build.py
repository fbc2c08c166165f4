"""From a plexus to one HTML file that needs nothing else.

The picture asked for stands in the page as it is, so that it shows at once, also without scripts. The script, the
other details and namings are packed (deflate, base 85) and unpacked by the browser. The page may load nothing: its
policy allows the script that unpacks, the script that is packed and the one style sheet by their hashes, and fonts and
pictures only as data.
"""

from __future__ import annotations

import json
import re
import zlib
from base64 import b64encode, b85encode
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from hashlib import sha256
from html import escape
from importlib.resources import files
from itertools import count
from math import ceil
from typing import Any, Literal, get_args

from plexusdraw import fonts
from plexusdraw.api import fitting, scenes
from plexusdraw.clinic import report
from plexusdraw.errors import FitError
from plexusdraw.layout.columns.plan import Detail
from plexusdraw.layout.fit import Limb, Options, orientation
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.look.theme import Theme
from plexusdraw.look.theme import load as load_theme
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import Style
from plexusdraw.names.spelling import capital
from plexusdraw.page.answers import asked
from plexusdraw.page.first import inner
from plexusdraw.page.forms import forms
from plexusdraw.page.limb import limb
from plexusdraw.page.payload import payload
from plexusdraw.page.pictures import picture
from plexusdraw.paint.svg import face_rule, paint
from plexusdraw.routes.fibres import of
from plexusdraw.scene import Note, Part, Scene
from plexusdraw.scene.mirror import mirrored
from plexusdraw.scene.view import strand_keys
from plexusdraw.views import titles
from plexusdraw.views.request import Request, view_of

Look = Literal["auto", "light", "dark", "grayscale"]
Scenes = dict[tuple[Detail, Style], Scene]
THEMES = {"light": "print", "dark": "lecture", "grayscale": "grayscale"}
"""Name on the page → name of the theme."""
_RULES = ("plexus", "states", "injury", "findings", "places", "nexttests", "localise", "spelling", "phrases", "roots")
_PICTURE = (
    *("steps", "svg", "widgets", "scene", "view", "canvas", "frame", "room", "lens", "ways", "pointing", "picture"),
    *("limb", "split", "beside"),
)
_PANELS = (
    "address",
    "latin",
    "save",
    "share",
    "finder",
    "card",
    "explore",
    "report",
    "course",
    "injure-panel",
    "search",
)
_QUIZ = ("chance", "questions", "memory", "result", "quiz-face", "quiz")
_FORMS = ("random", "codes", "forms")
_PAGE = (*_PANELS, *_QUIZ, *_FORMS, "teach", "sheet", "focus", "tools", "ruler", "printed", "app", "begin")
FIRST = "inflate"
"""The module that unpacks all others."""
MODULES = (FIRST, *_RULES, *_PICTURE, *_PAGE)
"""Modules of the page, what is needed before what needs it."""
_IMPORT = re.compile(r"^import [^;]*;\n", re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|class|const)\b)", re.MULTILINE)
_COMMENT = re.compile(r"^ *//[^\n]*\n|/\*\*.*?\*/ *\n?", re.MULTILINE | re.DOTALL)
_INDENT = re.compile(r"^ +|(?<=\n)\n+", re.MULTILINE)
_OWN = "".join(map(chr, range(0x20, 0x7F))) + "\xa0–—‘’“”…·×→←↑↓−✓✕"
"""What the page writes besides words of the model; other letters that a reader types may be in another font."""


@dataclass(frozen=True, slots=True)
class Choices:
    """What the page shows first; the reader may change all of it. ``look`` "auto": light or dark as the system is."""

    detail: Detail = "nerves"
    naming: Style = "short"
    side: Limb = "left"
    look: Look = "auto"


MOST_STRANDS, MOST_SUPPLIED = 300, 600
"""What a page holds; more would take minutes to make, and too long to open. The largest plexus has 175 and 102."""
Step = Callable[[int, int], None]
"""Told how many pictures are made, of how many."""


def build(
    plexus: Plexus,
    choices: Choices = Choices(),
    others: Sequence[Plexus] = (),
    step: Step = lambda made, of: None,
) -> bytes:
    """The page as UTF-8. *others*: plexuses to which its reader can switch.

    Raises:
        FitError: the model is too large for a page, or the picture to be shown first fits none.
    """
    for one in (plexus, *others):
        _check_size(one)
    themes = {name: load_theme(theme) for name, theme in THEMES.items()}
    found = _scenes(plexus.drawn, choices)
    first = {"detail": choices.detail, "names": choices.naming, "side": choices.side, "look": choices.look}
    more = [_scenes(other.drawn) for other in others]
    every = sum(map(len, (found, *more)))
    done = count(1)
    own, letters = _content(plexus, found, themes, lambda: step(next(done), every))
    data = {"first": first, "script": _deflated(bundle()), **own}
    if others:
        pairs = zip(others, more, strict=True)
        packed = [_content(other, made, themes, lambda: step(next(done), every)) for other, made in pairs]
        letters = letters.union(*(own_letters for _, own_letters in packed))
        data["models"] = [[other.id, _title(other)] for other in (plexus, *others)]
        data["more"] = [content for content, _ in packed]
    shown = found[choices.detail, choices.naming]
    drawn = plexus.drawn
    scene = _right(drawn, shown, choices.naming) if choices.side == "right" else shown
    first_view = view_of(drawn, of(drawn), scene, Request(title=titles.plain(plexus, choices.naming)))
    svg = paint([(scene, first_view)], themes["light"], embed_fonts=False)
    return _page(plexus, _json(data), inner(svg.decode()), letters).encode()


def _check_size(plexus: Plexus) -> None:
    supplied = len(plexus.muscles) + len(plexus.skin)
    strands = sum(map(len, of(plexus).carried.values()))
    if strands > MOST_STRANDS or supplied > MOST_SUPPLIED:
        raise FitError(
            f"a page holds at most {MOST_STRANDS} strands (one for each root of each segment) and {MOST_SUPPLIED} "
            f"muscles and skin areas, and the {plexus.name} has {strands} and {supplied}. Leave some out in a course "
            "file, or draw it: plexusdraw draw"
        )


def _content(
    plexus: Plexus, found: Scenes, themes: Mapping[str, Theme], step: Callable[[], None]
) -> tuple[dict[str, Any], frozenset[str]]:
    """What is told of a plexus and its pictures, packed; and the letters that it needs.

    Pictures, and what is lit or cut in them, are of the plexus as a convention draws it, as everywhere.
    """
    details = {detail: made for detail in get_args(Detail) if (made := _of_detail(found, detail))}
    model = payload(plexus, details) | {"forms": forms(plexus, found)}
    figures = limb(plexus.drawn, themes)
    content = {
        "model": _packed(model),
        "scenes": _pictures(plexus.drawn, found, themes, step),
        "limb": figures and _packed(figures),
        "figures": figures and {"many": len(figures["figures"]), "shape": figures["wide"] / figures["high"]},
    }
    return content, characters([model, _OWN])


def _of_detail(found: Scenes, detail: Detail) -> list[Scene]:
    return [scene for (own, _), scene in found.items() if own == detail]


def _pictures(plexus: Plexus, found: Scenes, themes: Mapping[str, Theme], step: Callable[[], None]) -> dict[str, str]:
    """Detail and naming → the picture, packed."""
    ask = partial(asked, plexus)
    keys = {
        detail: strand_keys(part for scene in _of_detail(found, detail) for part in scene.parts)
        for detail in dict.fromkeys(detail for detail, _ in found)
    }
    packed = {}
    for (detail, naming), scene in found.items():
        packed[f"{detail} {naming}"] = _packed(
            picture(scene, _right(plexus, scene, naming), titles.plain(plexus, naming), themes, keys[detail], ask)
        )
        step()
    return packed


def _scenes(plexus: Plexus, choices: Choices | None = None) -> Scenes:
    """Every detail and naming that fits a page, as a scene of the left limb.

    Raises:
        FitError: what is chosen does not fit; without choices: nothing fits.
    """
    found: Scenes = {}
    for detail in get_args(Detail):
        for naming in get_args(Style):
            try:
                found[detail, naming] = _scene(plexus, Options(detail, wording=Wording(style=naming)))
            except FitError:
                if choices and (detail, naming) == (choices.detail, choices.naming):
                    raise
    if not found:
        raise FitError(f"no picture of the {plexus.name} fits a page")
    return found


def _scene(plexus: Plexus, options: Options) -> Scene:
    """On A4 where it fits one, so that it prints well; a table takes the room that it needs."""
    if options.detail != "muscles":
        found = fitting(plexus, options)
        if found:
            return found[0]
    large = replace(options, page=paper("fit"))
    return (fitting(plexus, large) or scenes(plexus, large))[0]


def _right(plexus: Plexus, scene: Scene, naming: Style) -> Scene:
    """The same picture of a right limb: of a width in hundredths of a mm, so that it is written as the mirror image."""
    words = orientation(plexus, Options(side="right", wording=Wording(style=naming)))
    made = mirrored(replace(scene, width=ceil(100 * scene.width) / 100))
    return replace(made, parts=tuple(_oriented(part, words, scene.width) for part in made.parts))


def _oriented(part: Part, words: str, room: float) -> Part:
    if not isinstance(part, Note) or part.role != "orientation":
        return part
    return replace(part, text=replace(part.text, string=words), room=room)


def _title(plexus: Plexus) -> str:
    return capital(plexus.name)


def characters(values: Iterable[object]) -> frozenset[str]:
    """All characters in strings of nested values."""
    found: set[str] = set()
    for value in values:
        if isinstance(value, str):
            found.update(value)
        elif isinstance(value, list | tuple):
            found |= characters(value)
        elif isinstance(value, Mapping):
            found |= characters(value.values())
    return frozenset(found)


def _json(value: object) -> str:
    """JSON that ends no script element, whatever a name holds (HTML, restrictions for contents of script)."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c")


def _packed(value: Mapping[str, Any]) -> str:
    return _deflated(_json(value))


def _deflated(text: str) -> str:
    """Raw deflate in base 85 (the digits of RFC 1924, but a comma for "<"), which takes less room than base 64."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    return b85encode(packer.compress(text.encode()) + packer.flush()).decode().replace("<", ",")


def _page(plexus: Plexus, data: str, svg: str, letters: frozenset[str]) -> str:
    script, style = loader(), _style(letters)
    parts = {
        "policy": policy((script, bundle()), style),
        "title": escape(_title(plexus)),
        "style": style,
        "svg": svg,
        "data": data,
        "script": script,
        "caution": escape(report.caution(plexus)),
    }
    return re.sub(r"\{\{(\w+)\}\}", lambda match: parts[match[1]], _web("page.html"))


def policy(scripts: Iterable[str], style: str) -> str:
    """The content security policy (CSP level 3): nothing from outside, no inline code but ours."""
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src {' '.join(map(_hash, scripts))}",
            f"style-src {_hash(style)}",
            "font-src data:",
            "img-src data: blob:",
            "base-uri 'none'",
            "form-action 'none'",
        )
    )


def _hash(text: str) -> str:
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


@cache
def bundle() -> str:
    """All modules as one script in one scope, without comments; top names are unique across modules."""
    return _script(MODULES, "globalThis.plexusdrawBegin = begin;")


@cache
def loader() -> str:
    """The script that unpacks the others. It gives scripts of the reader a promise of the page."""
    return _script((FIRST,), "globalThis.plexusdraw = load();")


def _script(modules: Iterable[str], last: str) -> str:
    texts = [_bare(_web(f"{name}.js")) for name in modules]
    return '"use strict";\n(() => {\n' + "\n".join([*texts, last]) + "\n})();\n"


def _bare(module: str) -> str:
    """A module without imports, exports, comments of types, comments that have lines of their own, and indentation."""
    for pattern in (_COMMENT, _IMPORT, _EXPORT, _INDENT):
        module = pattern.sub("", module)
    return module.strip()


def _style(letters: frozenset[str]) -> str:
    """The style sheet with both faces of the font, for all characters that the page may show."""
    faces = [
        f"{face_rule(data, bold, range_)}\n"
        for bold in (False, True)
        for data, range_ in fonts.faces(letters, bold, measured=True)
    ]
    return "".join(faces) + _web("page.css")


def _web(name: str) -> str:
    return (files("plexusdraw.page") / "web" / name).read_text(encoding="utf-8")
