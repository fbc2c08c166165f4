"""A model, a theme, an outline and labels in which every name tries to be something else than text."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from plexusdraw import borrowed, fonts

NAMES = (
    "<script>document.title=window.run=1</script>",
    "</title></text><image href='//a.b/x' onerror='run=1'/>",
    "]]> --> <!-- &amp; &#65; &lt;",
    "'one' \"two\" `three` \\four\\",
    '#read("/etc/passwd") #panic() $x^2$',
    "*bold* _emphasis_ = heading",
    "= heading - list + numbers / terms",
    "https://example.com/a?b=c",
    "<label> @ref [content] // comment /* more */",
    "\\N \\G \\E \\l <b>bold</b>",
    '"]; evil [URL="http://example.com/"]; "',
    '=HYPERLINK("http://example.com")',
    "+1+1",
    "-1+1|cmd",
    "@SUM(A1)",
    "~= {a=b} #c: %50%d -> e",
    "%50%half",
    "{{title}} {plexus} {name} ${HOME} $(id) %s %(x)s",
    "../../../etc/passwd",
    "[red]red[/red] [link=http://example.com]x[/link]",
)
"""HTML, SVG, XML, strings, typst, DOT, spreadsheets, GIFT, templates, paths, markup of terminals."""
_SCRIPTS = ("🙂 nerve", "العصب الكعبري", "עצב", "正中神経", "n\u0303 e\u0301", "\u202eabc\u202c")
SCRIPTS = tuple(name for name in _SCRIPTS if all(fonts.has_all(c) or borrowed.holder(c) for c in name))
"""Letters that our font lacks, right-to-left, combining, of those that some font here has; the last turns the
direction."""
TITLE = NAMES[0]


def _written(path: Path, value: Any) -> Path:
    """JSON is YAML, except for pairs of surrogates."""
    path.write_text(json.dumps(value, ensure_ascii=False, indent=1), "utf-8")
    return path


def squeezed(text: str) -> str:
    """Text without blanks, since lines are broken at them."""
    return "".join(text.split())


def model(folder: Path, names: tuple[str, ...] = NAMES + SCRIPTS) -> Path:
    """A model whose nerves, muscles, skin area, levels, stages and title are named so."""
    roots = ["C5", "C6"]
    stages = [
        {"id": "roots", "name": "roots", "singular": "root"},
        {"id": "nerves", "name": names[0], "singular": names[1], "order": "free"},
    ]
    segments: list[dict[str, object]] = [{"name": root, "stage": "roots"} for root in roots]
    for i, name in enumerate(names):
        course = [f"muscle-{i}", *([{"place": name, "id": f"level-{i}"}] if i == 0 else []), "skin"]
        nerve = {"name": name, "id": f"nerve-{i}", "stage": "nerves", "from": roots, "course": course, "note": name}
        segments.append(nerve)
    muscles = [
        {"name": f"{name} M", "id": f"muscle-{i}", "roots": ["C5"], "movements": [name]} for i, name in enumerate(names)
    ]
    return _written(
        folder / "model.yaml",
        {
            "plexusdraw": 1,
            "id": "hostile",
            "name": TITLE,
            "limb": names[2],
            "caution": names[4],
            "note": names[18],
            "sources": {names[18]: {"title": names[7]}},
            "stages": stages,
            "segments": segments,
            "muscles": muscles,
            "skin": [{"name": names[3], "id": "skin", "roots": roots, "source": [names[18]]}],
        },
    )


def theme(folder: Path) -> Path:
    """A theme that is named so."""
    return _written(folder / "theme.yaml", {"theme": 1, "name": TITLE, "note": NAMES[4]})


def outline(folder: Path) -> Path:
    """An outline with a slide for each name: title, section, what to say. Without each, {name} is written {{name}}."""
    first = {"section": TITLE, "title": "All", "show": ["everything"], "notes": NAMES[0]}
    texts = [name.replace("{name}", "{{name}}") for name in NAMES]
    steps = [first, *({"section": text, "title": text, "notes": f"{text}\n{text}"} for text in texts)]
    return _written(folder / "outline.yaml", {"outline": 1, "title": TITLE, "steps": steps})


def labels(folder: Path) -> Path:
    """The same words for the nerves of the small model with two stages, as a reader's own."""
    own = {"main nerve": NAMES[0], "side nerve": NAMES[4], "C5": NAMES[9], "C6": NAMES[11]}
    return _written(folder / "labels.yaml", own)
