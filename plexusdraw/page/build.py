"""From a plexus to one HTML file that needs nothing else.

The picture asked for stands in the page as it is, so that it shows at once, also without scripts. The other
details and namings are packed (deflate, base64) and unpacked by the browser when they are asked for. The page may load
nothing: its policy allows the one script and the one style sheet by their hashes, and fonts and pictures only as data.
"""

from __future__ import annotations

import json
import re
import zlib
from base64 import b64encode
from dataclasses import asdict, dataclass, replace
from functools import cache
from hashlib import sha256
from html import escape
from importlib.resources import files
from typing import Any, Literal, get_args

from plexusdraw import fonts
from plexusdraw.api import scenes
from plexusdraw.clinic import report
from plexusdraw.errors import FitError
from plexusdraw.layout.columns.plan import Detail
from plexusdraw.layout.fit import Limb, Options
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.look.theme import Theme
from plexusdraw.look.theme import load as load_theme
from plexusdraw.model.plexus import Plexus
from plexusdraw.names import Style
from plexusdraw.page.drawings import characters, drawing
from plexusdraw.page.payload import truth
from plexusdraw.paint.svg import paint
from plexusdraw.routes.fibres import of
from plexusdraw.scene import Scene
from plexusdraw.scene.mirror import mirrored
from plexusdraw.views import titles
from plexusdraw.views.request import Request, view_of

Look = Literal["auto", "light", "dark", "grayscale"]
THEMES = {"light": "print", "dark": "lecture", "grayscale": "grayscale"}
"""Name on the page → name of the theme."""
_RULES = ("plexus", "states", "injury", "findings", "localise", "lighting", "spelling")
_PICTURE = ("strokes", "scene", "marks", "paint", "views", "picture")
_PAGE = ("address", "widgets", "save", "card", "explore", "harm", "search", "quiz", "app")
MODULES = (*_RULES, *_PICTURE, *_PAGE)
"""Modules of the page, what is needed before what needs it."""
_IMPORT = re.compile(r"^import [^;]*;\n", re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|class|const)\b)", re.MULTILINE)
_COMMENT = re.compile(r"^ *(?://[^\n]*|/\*\*.*?\*/ *)\n", re.MULTILINE | re.DOTALL)
_INDENT = re.compile(r"^ +|(?<=\n)\n+", re.MULTILINE)
_LATIN = "".join(map(chr, (*range(0x20, 0x7F), *range(0xA0, 0x100)))) + "–—‘’“”…·×→←↑↓−✓✕"


@dataclass(frozen=True, slots=True)
class Choices:
    """What the page shows first; the reader may change all of it. ``look`` "auto": light or dark as the system is."""

    detail: Detail = "nerves"
    naming: Style = "short"
    side: Limb = "left"
    look: Look = "auto"


def build(plexus: Plexus, choices: Choices = Choices()) -> bytes:
    """The page as UTF-8.

    Raises:
        FitError: the picture to be shown first fits no page.
    """
    themes = {name: load_theme(theme) for name, theme in THEMES.items()}
    found = _scenes(plexus, choices)
    shown = found[choices.detail, choices.naming]
    first = {"detail": choices.detail, "names": choices.naming, "side": choices.side, "look": choices.look}
    model = truth(plexus)
    letters = characters([model, _LATIN])
    looks = {name: _theme(theme) for name, theme in themes.items()}
    data = {
        "first": first,
        "model": _packed({"truth": model, "themes": looks, "widths": _widths(letters)}),
        "scenes": {
            f"{detail} {naming}": _packed(drawing(scene, titles.plain(plexus, naming)))
            for (detail, naming), scene in found.items()
        },
    }
    scene = mirrored(shown) if choices.side == "right" else shown
    first_view = view_of(plexus, of(plexus), scene, Request(title=titles.plain(plexus, choices.naming)))
    svg = paint([(scene, first_view)], themes["light"], embed_fonts=False)
    return _page(plexus, _json(data), _inner(svg.decode()), letters).encode()


def _inner(svg: str) -> str:
    """The drawing as part of a page, without the tool tips of its groups."""
    return re.sub(r"<\?xml[^>]*>\s*|<title>[^<]*</title>(?!<desc)", "", svg).strip()


def _widths(letters: frozenset[str]) -> dict[str, Any]:
    """Advance widths at 1 pt, mm."""
    made: dict[str, Any] = {"other": round(fonts.width("\ufffe", 1.0), 4)}
    for name, bold in (("regular", False), ("bold", True)):
        made[name] = {c: round(fonts.width(c, 1.0, bold), 4) for c in sorted(letters)}
    return made


def _scenes(plexus: Plexus, choices: Choices) -> dict[tuple[Detail, Style], Scene]:
    """Every detail and naming that fits a page → scene of the left limb."""
    found: dict[tuple[Detail, Style], Scene] = {}
    for detail in get_args(Detail):
        for naming in get_args(Style):
            try:
                found[detail, naming] = _scene(plexus, Options(detail, wording=Wording(style=naming)))
            except FitError:
                if (detail, naming) == (choices.detail, choices.naming):
                    raise
    return found


def _scene(plexus: Plexus, options: Options) -> Scene:
    """On A4 where it fits one, so that it prints well; a table takes the room that it needs."""
    if options.detail != "muscles":
        try:
            return scenes(plexus, options)[0]
        except FitError:
            pass
    return scenes(plexus, replace(options, page=paper("fit")))[0]


def _title(plexus: Plexus) -> str:
    return plexus.name[:1].upper() + plexus.name[1:]


def _theme(theme: Theme) -> dict[str, Any]:
    values = asdict(replace(theme, note="")) | {"kinds": {}, "states": {}}
    return values | {
        "kinds": {name: asdict(kind) for name, kind in theme.kinds.items()},
        "states": {name: asdict(look) for name, look in theme.states.items()},
    }


def _json(value: object) -> str:
    """JSON that ends no script element, whatever a name holds (HTML, restrictions for contents of script)."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c")


def _packed(value: dict[str, Any]) -> str:
    """Raw deflate in base64."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    return b64encode(packer.compress(_json(value).encode()) + packer.flush()).decode()


def _page(plexus: Plexus, data: str, svg: str, letters: frozenset[str]) -> str:
    script, style = bundle(), _style(letters)
    parts = {
        "policy": policy(script, style),
        "title": escape(_title(plexus)),
        "style": style,
        "svg": svg,
        "data": data,
        "script": script,
        "caution": escape(report.caution(plexus)),
    }
    return re.sub(r"\{\{(\w+)\}\}", lambda match: parts[match[1]], _web("page.html"))


def policy(script: str, style: str) -> str:
    """The content security policy (CSP level 3): nothing from outside, no inline code but ours."""
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src {_hash(script)}",
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
    texts = [_bare(_web(f"{name}.js")) for name in MODULES]
    return '"use strict";\n(() => {\n' + "\n".join(texts) + "\nstart();\n})();\n"


def _bare(module: str) -> str:
    """A module without imports, exports, comments that have lines of their own, and indentation."""
    for pattern in (_COMMENT, _IMPORT, _EXPORT, _INDENT):
        module = pattern.sub("", module)
    return module.strip()


def _style(letters: frozenset[str]) -> str:
    """The style sheet with both faces of the font, for all characters that the page may show."""
    faces = [
        f'@font-face{{font-family:"{fonts.FAMILY}";font-weight:{700 if bold else 400};'
        f"src:url(data:font/woff;base64,{b64encode(fonts.subset(letters, bold)).decode()})format('woff')}}\n"
        for bold in (False, True)
    ]
    return "".join(faces) + _web("page.css")


def _web(name: str) -> str:
    return (files("plexusdraw.page") / "web" / name).read_text(encoding="utf-8")
