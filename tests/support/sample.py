"""A page made by hand with every kind of part, and views with every state: painters are tested on it."""

from __future__ import annotations

import pytest

from plexusdraw import fonts
from plexusdraw.layout.reading import reading_order
from plexusdraw.look import theme
from plexusdraw.scene import (
    Box,
    Curve,
    Dot,
    Gap,
    Heading,
    Label,
    Leader,
    Note,
    Panel,
    Part,
    Pill,
    Point,
    Row,
    Scene,
    Spot,
    Strand,
)
from plexusdraw.scene.view import View

ROOTS = ("C5", "C6", "C7", "C8", "T1")
PITCH, WIDTH, THIN = 1.53, 1.3, 0.8
COLUMNS = ((10.0, 46.0, "roots"), (46.0, 92.0, "trunks"), (92.0, 138.0, "cords"), (138.0, 200.0, "branches"))
SINGULAR = {"roots": "root", "trunks": "trunk", "cords": "cord", "branches": "branch"}
CAUTION = "A schematic for teaching: variants are common, and no picture replaces an examination."


def straight(a: Point, b: Point) -> Curve:
    third = ((b[0] - a[0]) / 3, (b[1] - a[1]) / 3)
    return (a, (a[0] + third[0], a[1] + third[1]), (b[0] - third[0], b[1] - third[1]), b)


def sweep(a: Point, b: Point) -> Curve:
    h = 0.52 * (b[0] - a[0])
    return (a, (a[0] + h, a[1]), (b[0] - h, b[1]), b)


def bundle(
    entity: str,
    kind: str,
    roots: str,
    a: Point,
    b: Point,
    source: str | None = None,
    at: int = 0,
    thin: bool = False,
    minor: str = "",
) -> list[Part]:
    names = roots.split()
    pitch, width = (0.95, THIN) if thin else (PITCH, WIDTH)
    made: list[Part] = []
    for i, root in enumerate(names):
        off = (i - (len(names) - 1) / 2) * pitch
        curve = sweep if source else straight
        piece = curve((a[0] - 0.1, a[1] + off), (b[0] + 0.1, b[1] + off))
        made.append(Strand(entity, kind, root, source, -1 if source else at, piece, width, root in minor.split()))
    return made


def pill(entity: str, kind: str, name: str, x: float, y: float, size: float = 8.0) -> Pill:
    box = Box(x - 8, y - 2.6, 16, 5.2)
    text = fonts.text(name, x, y + 0.334 * size * 25.4 / 72, size, "middle", bold=True)
    return Pill(entity, kind, box, text, (box.x, y))


def label(entity: str, kind: str, name: str, x: float, y: float, supply: str = "", size: float = 8.5) -> list[Part]:
    base = y + 0.334 * size * 25.4 / 72
    line = fonts.text(name, x, base, size, bold=True)
    made: list[Part] = [Label(entity, kind, "name", (line,), Box(x, y - 2, 24, 4), (x, y))]
    if supply:
        lines = tuple(
            fonts.text(s, x, base + 3.4 * (i + 1), 7) for i, s in enumerate(fonts.wrap(supply, 34, 7, max_lines=2))
        )
        made.append(Label(entity, kind, "supply", lines, Box(x, y + 2.5, 24, 3.6), (x, y + 4.3)))
    return made


def row(entity: str, name: str, y: float, main: str, minor: str = "") -> Row:
    xs = {root: 262 + 3.6 * i for i, root in enumerate(ROOTS)}
    dots = tuple(Dot(r, xs[r], y - 0.9, 1.05, r in minor.split()) for r in ROOTS if r in (main + " " + minor).split())
    empty = tuple((xs[r], y - 0.9) for r in ROOTS if r not in {d.root for d in dots})
    return Row(
        entity,
        "muscle",
        fonts.text(name, 258, y, 7, "end"),
        dots,
        empty,
        fonts.text("", 281, y, 7, bold=True),
        Box(232, y - 2.6, 26, 3.3),
        fonts.text("", 230.5, y, 6.5, "end", bold=True),
    )


def scene() -> Scene:  # noqa: PLR0912
    parts: list[Part] = []
    for i, (left, right, stage) in enumerate(COLUMNS):
        parts.append(Panel(stage, SINGULAR[stage], Box(left, 24, right - left, 160), i))
    for left, right, stage in COLUMNS:
        text = fonts.text(stage.upper(), (left + right) / 2, 30, 8, "middle", bold=True)
        parts.append(Heading(stage, SINGULAR[stage], text))
    ys = dict(zip(ROOTS, (50.0, 66.0, 94.0, 128.0, 144.0), strict=True))
    parts += bundle("long-thoracic-nerve", "nerve", "C5 C6 C7", (30, 62), (44, 170), "C7", thin=True)
    parts += bundle("long-thoracic-nerve", "nerve", "C5 C6 C7", (44, 170), (50, 170), at=0, thin=True)
    for root, y in ys.items():
        if root == "C7":
            parts.append(Gap(root, "root", straight((30, y), (44, y)), 2.4))
        parts += bundle(root, "root", root, (20, y), (48, y))
    trunks = {"upper-trunk": ("C5 C6", 58.0), "middle-trunk": ("C7", 94.0), "lower-trunk": ("C8 T1", 136.0)}
    for trunk, (roots, y) in trunks.items():
        for i, root in enumerate(roots.split()):
            off = (i - (len(roots.split()) - 1) / 2) * PITCH
            parts += bundle(trunk, "trunk", root, (48, ys[root]), (62, y + off), root)
        parts += bundle(trunk, "trunk", roots, (62, y), (84, y), at=0)
    parts += bundle("suprascapular-nerve", "nerve", "C5 C6", (76, 57.2), (92, 42), "upper-trunk", thin=True)
    parts += bundle("suprascapular-nerve", "nerve", "C5 C6", (92, 42), (98, 42), thin=True)
    parts += bundle("lateral-cord", "cord", "C5 C6", (84, 58), (106, 58 - PITCH / 2), "upper-trunk", minor="C5")
    parts += bundle("posterior-cord", "cord", "C5 C6", (84, 58), (106, 100 - 1.5 * PITCH), "upper-trunk")
    parts += bundle("posterior-cord", "cord", "C8 T1", (84, 136), (106, 100 + 1.5 * PITCH), "lower-trunk", minor="T1")
    parts += bundle("posterior-cord", "cord", "C7", (84, 94), (106, 100), "middle-trunk")
    parts.append(Gap("lateral-cord", "cord", sweep((86, 93), (104, 60)), 2.6))
    parts += bundle("lateral-cord", "cord", "C7", (84, 94), (106, 58 + PITCH), "middle-trunk")
    parts += bundle("medial-cord", "cord", "C8 T1", (84, 136), (106, 146), "lower-trunk")
    cords = {"lateral-cord": ("C5 C6 C7", 58.0), "posterior-cord": ("C5 C6 C7 C8 T1", 100.0)}
    cords["medial-cord"] = ("C8 T1", 146.0)
    for cord, (roots, y) in cords.items():
        minor = {"lateral-cord": "C5", "posterior-cord": "T1"}.get(cord, "")
        parts += bundle(cord, "cord", roots, (106, y), (132, y), minor=minor)
    ends = {
        "musculocutaneous-nerve": ("C5 C6 C7", 58.0, "lateral-cord", 58.0),
        "axillary-nerve": ("C5 C6", 84.0, "posterior-cord", 100 - 1.5 * PITCH),
        "radial-nerve": ("C5 C6 C7 C8 T1", 106.0, "posterior-cord", 100.0),
        "ulnar-nerve": ("C8 T1", 154.0, "medial-cord", 146.0),
    }
    for nerve, (roots, y, cord, start) in ends.items():
        parts += bundle(nerve, "branch", roots, (132, start), (150, y), cord, minor="T1" if nerve[0] == "r" else "")
        parts += bundle(nerve, "branch", roots, (150, y), (160, y), minor="T1" if nerve[0] == "r" else "")
    for trunk, (_, y) in trunks.items():
        parts.append(pill(trunk, "trunk", trunk.split("-")[0], 70, y))
    for cord, (_, y) in cords.items():
        parts.append(pill(cord, "cord", cord.split("-")[0], 118, y))
    for root, y in ys.items():
        text = fonts.text(root, 18, y + 1.3, 11, "end", bold=True)
        parts.append(Label(root, "root", "name", (text,), Box(11, y - 2, 8, 4), (12, y)))
    parts += label("long-thoracic-nerve", "nerve", "long thoracic n.", 52, 170, "serratus anterior")
    parts += label("suprascapular-nerve", "nerve", "suprascapular n.", 100, 42, "supraspinatus, infraspinatus")
    for nerve, name, supply in (
        ("musculocutaneous-nerve", "musculocutaneous n.", "coracobrachialis, biceps, brachialis"),
        ("axillary-nerve", "axillary n.", "deltoid, teres minor"),
        ("radial-nerve", "radial n.", "triceps, brachioradialis, wrist and finger extensors"),
        ("ulnar-nerve", "ulnar n.", "flexor carpi ulnaris, intrinsic muscles of the hand"),
    ):
        parts += label(nerve, "branch", name, 162, ends[nerve][1], supply)
    parts += table()
    for entity, kind, at, x, y, half in (
        ("upper-trunk", "trunk", 0, 62.0, 58.0, 1.5),
        ("ulnar-nerve", "branch", 0, 152.0, 154.0, 1.5),
        ("long-thoracic-nerve", "nerve", 0, 47.0, 170.0, 1.4),
    ):
        parts.append(Spot(entity, kind, at, x, y, 0.0, half))
    parts += [
        Note("title", "title", fonts.text("", 10, 17, 15, bold=True), 190),
        Note(
            "orientation",
            "orientation",
            fonts.text("Left upper limb, seen from the front", 287, 17, 7, "end"),
            60,
        ),
        Note(
            "legend",
            "legend",
            fonts.text("One strand for each root; light core: minor.", 10, 191, 7),
            277,
        ),
        Note("caution", "caution-0", fonts.text(CAUTION, 10, 195, 7), 277),
    ]
    return Scene(
        width=297,
        height=210,
        margin=10,
        medium="paper",
        table="beside",
        parts=tuple(parts),
        reading=reading_order(parts),
        description="Roots C5 to T1 run into three trunks, cords and nerves.",
        side="left",
        roots=ROOTS,
    )


MUSCLES = (
    ("serratus-anterior", "serratus anterior", "C5 C6 C7", "", "long-thoracic-nerve"),
    ("supraspinatus", "supraspinatus", "C5", "C6", "suprascapular-nerve"),
    ("infraspinatus", "infraspinatus", "C5 C6", "", "suprascapular-nerve"),
    ("biceps-brachii", "biceps brachii", "C5 C6", "", "musculocutaneous-nerve"),
    ("deltoid", "deltoid", "C5 C6", "", "axillary-nerve"),
    ("triceps-brachii", "triceps brachii", "C6 C7 C8", "T1", "radial-nerve"),
    ("flexor-carpi-ulnaris", "flexor carpi ulnaris", "C8 T1", "C7", "ulnar-nerve"),
)


def table() -> list[Part]:
    parts: list[Part] = [Note("table-heading", "table-heading", fonts.text("MUSCLES", 232, 40, 8, bold=True), 26)]
    for i, root in enumerate(ROOTS):
        parts.append(Note("table-root", root, fonts.text(root, 262 + 3.6 * i, 40, 6, "middle", bold=True), 3.6))
    for i, (entity, name, main, minor, nerve) in enumerate(MUSCLES):
        y = 48 + 6.0 * i
        parts.append(Leader(nerve, "nerve", sweep((205, 60 + 14.0 * i), (228, y - 0.9))))
        parts.append(row(entity, name, y, main, minor))
    return parts


LOST = ("upper-trunk", "suprascapular-nerve", "axillary-nerve")


def plain() -> View:
    return View(asks=False, title="Brachial plexus")


def injured() -> View:
    strands = {}
    for part in scene().parts:
        if isinstance(part, Strand) and part.root in ("C5", "C6"):
            before = part.kind == "root" or (part.entity[0] == "l" and part.kind == "nerve") or part.source in ROOTS
            if not before:
                strands[part.entity, part.root, part.source, part.at] = "lost"
    for muscle, *_ in MUSCLES[1:5]:
        strands |= {(muscle, root, None, 0): "lost" for root in ("C5", "C6")}
    strands["triceps-brachii", "C6", None, 0] = "lost"
    strands["medial-cord", "C8", None, 0] = "weak"
    return View(
        asks=False,
        title="Injury of the upper trunk",
        entities={
            "suprascapular-nerve": "lost",
            "axillary-nerve": "lost",
            "radial-nerve": "weak",
            "triceps-brachii": "weak",
            "musculocutaneous-nerve": "weak",
            **{m: "lost" for m, *_ in MUSCLES[1:5]},
        },
        strands=strands,
        words={
            **{m: "paralysed" for m, *_ in MUSCLES[1:5]},
            "triceps-brachii": "slightly weak",
            "serratus-anterior": "spared",
        },
        cuts=(("upper-trunk", 0), ("ulnar-nerve", 0), ("long-thoracic-nerve", 0)),
        notes={
            "legend": "Grey and dashed: fibres lost. Bars: the injury.",
        },
    )


def traced() -> View:
    entities = {part.entity: "dimmed" for part in scene().parts if hasattr(part, "entity")}
    entities |= dict.fromkeys(
        (
            "C7",
            "middle-trunk",
            "posterior-cord",
            "radial-nerve",
            "triceps-brachii",
            "roots",
            "trunks",
            "cords",
            "branches",
        ),
        "plain",
    )
    entities |= {"radial-nerve": "highlit", "middle-trunk": "highlit", "triceps-brachii": "highlit"}
    strands = {
        (p.entity, p.root, p.source, p.at): "highlit" if p.root == "C7" and p.entity in entities else "dimmed"
        for p in scene().parts
        if isinstance(p, Strand)
    }
    return View(asks=False, entities=entities, strands=strands, title="Where C7 goes")


def asked(answers: bool = False) -> View:
    keys = [(p.entity, "name") for p in scene().parts if isinstance(p, Pill)]
    keys += [
        (p.entity, "name") for p in scene().parts if isinstance(p, Label) and p.role == "name" and p.kind != "root"
    ]
    keys += [("axillary-nerve", "supply"), ("C6", "name"), ("deltoid", "name"), ("supraspinatus", "name")]
    numbered = {key: i for i, key in enumerate(keys, 1)}
    if answers:
        return View(asks=False, title="Brachial plexus", answers=numbered)
    return View(asks=True, title="Brachial plexus", blanks=numbered)


def staged() -> View:
    hidden = [
        p.entity for p in scene().parts if hasattr(p, "entity") and getattr(p, "kind", "") in ("branch", "muscle")
    ]
    entities = dict.fromkeys(hidden, "hidden") | {"medial-cord": "highlit", "branches": "hidden"}
    strands = {("lateral-cord", root, None, 0): "blank" for root in ROOTS}
    return View(asks=False, entities=entities, strands=strands, title="Brachial plexus", notes={"title": None})


VIEWS = {
    "plain": plain,
    "injured": injured,
    "traced": traced,
    "asked": asked,
    "key": lambda: asked(True),
    "staged": staged,
}


@pytest.fixture(scope="session")
def page():
    """The sample scene."""
    return scene()


@pytest.fixture(params=sorted(VIEWS))
def view(request):
    """Each of the sample's views."""
    return VIEWS[request.param]()


@pytest.fixture(params=theme.names())
def look(request):
    """Each of the built-in themes."""
    return theme.load(request.param)
