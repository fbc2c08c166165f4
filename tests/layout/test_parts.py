"""Small rules of the layout, one by one."""

from __future__ import annotations

import re
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

import plexusdraw
from plexusdraw.errors import FitError
from plexusdraw.layout.checks import texts
from plexusdraw.layout.columns.down import isotonic
from plexusdraw.layout.fit import NO_SUPPLY
from plexusdraw.layout.labels import span
from plexusdraw.layout.paper import paper
from plexusdraw.scene import Dot, Label, Pill, Row, Strand

heights = st.lists(st.floats(-100, 100), min_size=1, max_size=12)


@given(heights, st.data())
def test_isotonic_keeps_the_distances(wanted, data):
    steps = data.draw(st.lists(st.floats(0, 20), min_size=len(wanted) - 1, max_size=len(wanted) - 1))
    found = isotonic(wanted, [1.0] * len(wanted), [*accumulate(steps, initial=0.0)])
    assert all(b - a >= step - 1e-9 for a, b, step in zip(found, found[1:], steps, strict=False))


@given(heights, st.data())
def test_isotonic_is_the_nearest(wanted, data):
    """No other feasible heights are nearer in least squares: checked against random feasible ones."""
    steps = data.draw(st.lists(st.floats(0, 20), min_size=len(wanted) - 1, max_size=len(wanted) - 1))
    found = isotonic(wanted, [1.0] * len(wanted), [*accumulate(steps, initial=0.0)])
    other = [data.draw(st.floats(-100, 100))]
    for step in steps:
        other.append(other[-1] + step + data.draw(st.floats(0, 10)))
    assert distance(found, wanted) <= distance(other, wanted) + 1e-6


def distance(a, b):
    return sum((x - y) ** 2 for x, y in zip(a, b, strict=True))


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("a4", (297, 210)),
        ("A4 portrait", (210, 297)),
        ("letter", (279.4, 215.9)),
        ("16:9", (338.67, 190.5)),
        ("poster", (841, 594)),
        ("250x180", (250, 180)),
        ("180 x 250 mm", (180, 250)),
    ],
)
def test_papers(text, size):
    """ISO 216; ANSI Y14.1; 13.33 x 7.5 in."""
    page = paper(text)
    assert (page.width, page.height) == size


@pytest.mark.parametrize("text", ["a9", "10x10", "99999x10", "letterhead", ""])
def test_unknown_papers_name_the_known(text):
    if not text:
        assert paper(text).name == "a4"
        return
    with pytest.raises(FitError, match=r"a4|between"):
        paper(text)


def test_blanks_of_a_kind_have_one_width(brachial):
    scene = plexusdraw.figure(brachial, detail="muscles").pages()[0].scene
    pills = {(p.kind, round(p.box.w, 6), round(p.box.h, 6)) for p in scene.parts if isinstance(p, Pill)}
    names = {(p.kind, p.role, round(p.blank.w, 6)) for p in scene.parts if isinstance(p, Label)}
    rows = {(p.kind, round(p.blank.w, 6)) for p in scene.parts if isinstance(p, Row)}
    assert len(pills) == len({kind for kind, *_ in pills})
    assert len(names) == len({n[:2] for n in names})
    assert len(rows) == len({kind for kind, _ in rows})


def test_every_muscle_has_a_row_with_its_roots(brachial):
    scene = plexusdraw.figure(brachial, detail="muscles").pages()[0].scene
    dots: dict[str, set[tuple[str, bool]]] = {}
    for row in (p for p in scene.parts if isinstance(p, Row)):
        dots.setdefault(row.entity, set()).update((d.root, d.minor) for d in row.dots)
    for muscle in brachial.muscles.values():
        if muscle.id in ("diaphragm", "longus-colli") or "scalene" in muscle.id or "scalenus" in muscle.id:
            continue  # by twigs that the picture leaves out
        want = {(r, False) for r in muscle.roots if r not in muscle.outside} | {(r, True) for r in muscle.minor}
        assert dots[muscle.id] == want, muscle.id


def test_rows_follow_their_nerves_from_top_to_bottom(brachial):
    scene = plexusdraw.figure(brachial, detail="muscles").pages()[0].scene
    order = [p.entity for p in scene.parts if isinstance(p, Row)]
    first = [
        order.index(m) for m in ("rhomboid-major", "supraspinatus", "deltoid", "pronator-teres", "palmaris-brevis")
    ]
    assert first == sorted(first)


def test_the_right_limb_mirrors_geometry_and_not_text(brachial):
    left = plexusdraw.figure(brachial, detail="muscles").pages()[0].scene
    right = plexusdraw.figure(brachial, detail="muscles", side="right").pages()[0].scene
    assert len(left.parts) == len(right.parts)
    assert [t.string for t in texts(left)][1:3] == [t.string for t in texts(right)][1:3]
    row = next(p for p in right.parts if isinstance(p, Row) and len(p.dots) > 1)
    assert [d.root for d in sorted(row.dots, key=lambda d: d.x)] == [d.root for d in row.dots]
    heads = [p.text for p in right.parts if getattr(p, "role", "") == "table-root" and p.key in brachial.roots]
    assert [t.string for t in sorted(heads, key=lambda t: t.x)] == list(brachial.roots)
    assert any("right upper limb" in t.string for t in texts(right))


def test_dots_stand_under_their_root_on_both_sides(brachial):
    for side in ("left", "right"):
        scene = plexusdraw.figure(brachial, detail="muscles", side=side).pages()[0].scene
        heads = {(p.text.string, round(p.text.x, 2)) for p in scene.parts if getattr(p, "role", "") == "table-root"}
        dots: list[Dot] = [d for p in scene.parts if isinstance(p, Row) for d in p.dots]
        assert {(d.root, round(d.x, 2)) for d in dots} <= heads


def supply(scene):
    """What is written under each nerve."""
    shown = [p for p in scene.parts if isinstance(p, Label) and p.role == "supply"]
    return {p.entity: " ".join(t.string for t in p.lines) for p in shown}


def test_supply_left_out_is_counted(brachial):
    lines = supply(plexusdraw.figure(brachial, detail="nerves").pages()[0].scene)
    assert "more" in lines["radial-nerve"]
    assert lines["thoracodorsal-nerve"] == "latissimus dorsi"


@pytest.mark.parametrize(
    "choices",
    [{"paper": "a4 portrait"}, {"paper": "a5"}, {"naming": "latin"}, {"naming": "english", "with_roots": True}],
    ids=str,
)
def test_narrow_pages_and_long_names_still_say_what_nerves_supply(brachial, choices):
    scene = plexusdraw.figure(brachial, **choices).pages()[0].scene
    lines = supply(scene)
    ends = {p.entity for p in scene.parts if isinstance(p, Label) and p.kind in ("branch", "nerve")}
    assert set(lines) == ends - {"lateral-root-of-median-nerve", "medial-root-of-median-nerve"}
    assert re.search(r"\+\d+ more$", lines["radial-nerve"])
    assert NO_SUPPLY not in " ".join(t.string for t in texts(scene))


def test_where_nothing_of_it_has_room_the_legend_says_so(brachial):
    scene = plexusdraw.figure(brachial, paper="16:9").pages()[0].scene
    assert not supply(scene)
    (legend,) = (p.text.string for p in scene.parts if getattr(p, "role", "") == "legend")
    assert legend.startswith(NO_SUPPLY)


def test_a_tall_page_is_filled(brachial):
    scene = plexusdraw.figure(brachial, paper="a4 portrait").pages()[0].scene
    heights = [y for p in scene.parts if isinstance(p, Strand) for _, y in p.curve]
    assert max(heights) - min(heights) > 0.6 * scene.height


def test_roots_in_brackets_stay_on_one_line(brachial):
    scene = plexusdraw.figure(brachial, naming="english", with_roots=True).pages()[0].scene
    names = [t.string for p in scene.parts if isinstance(p, Label) and p.role == "name" for t in p.lines]
    assert [n for n in names if n.count("(") != n.count(")")] == []
    assert any(n.endswith("(C5, C6)") for n in names)


def test_names_with_commas_are_parted_by_semicolons(brachial):
    english = supply(plexusdraw.figure(brachial, naming="english").pages()[0].scene)
    assert "pectoralis minor; pectoralis major, sternocostal part" in english["medial-pectoral-nerve"]
    short = supply(plexusdraw.figure(brachial).pages()[0].scene)
    assert not any(";" in line for line in short.values())


def test_latin_names_head_the_columns_too_and_roots_keep_their_letters(brachial):
    """Terminologia Anatomica 1998, from memory: plexus brachialis, its radices, trunci, divisiones, fasciculi."""
    scene, view = plexusdraw.figure(brachial, naming="latin").pages()[0]
    found = [t.string for t in texts(scene)]
    assert view.title == "Plexus brachialis"
    assert {"RADICES", "TRUNCI", "DIVISIONES", "FASCICULI"} <= set(found)
    assert {*brachial.roots} <= set(found)
    assert "musculi rhomboidei" in supply(scene)["dorsal-scapular-nerve"]


def test_latin_names_head_tables_courses_and_limbs(brachial):
    """Words as common practice has them, no source; English where the names are."""
    rows = {
        t.string
        for t in texts(plexusdraw.figure(brachial, naming="latin", paper="fit", detail="muscles").pages()[0].scene)
    }
    assert {"MUSCULI", "CUTIS"} <= rows
    course = {
        t.string
        for t in texts(plexusdraw.figure(brachial, naming="latin", paper="a3", nerve="ulnar nerve").pages()[0].scene)
    }
    assert {"RADICES, LOCI", "NERVUS ET RAMI", "MUSCULI ET CUTIS", "cutis: eminentia hypothenaris"} <= course
    limb = {t.string for t in texts(plexusdraw.figure(brachial, naming="latin", limb="muscles").pages()[0].scene)}
    assert {"Anterior, superficialis", "Posterior, profundus"} & limb
    assert not {"MUSCLES", "SKIN", "Front, superficial"} & (rows | course | limb)


def test_a_slide_too_small_for_long_names_asks_for_short_ones():
    with pytest.raises(FitError, match="it fits with --names short"):
        plexusdraw.figure("cervical", paper="16:9", naming="latin", text_size=1.1).pages()


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_name_says_where_the_strands_end_that_it_names(brachial, side):
    """Measured on the curves: the middle of those that end farthest from the roots."""
    scene = plexusdraw.figure(brachial, side=side).pages()[0].scene
    ends: dict[str, list[tuple[float, float]]] = {}
    for part in scene.parts:
        if isinstance(part, Strand):
            x, y = part.curve[-1]
            ends.setdefault(part.entity, []).append((x if side == "left" else -x, y))
    named = [p for p in scene.parts if isinstance(p, Label) and p.strands_y is not None]
    assert {p.entity for p in named} >= {s.id for s in brachial.staged("branches")}
    for label in named:
        far = max(x for x, _ in ends[label.entity])
        ys = [y for x, y in ends[label.entity] if x > far - 0.2]
        assert label.strands_y == pytest.approx((min(ys) + max(ys)) / 2, abs=0.01), label.entity


@pytest.mark.parametrize(
    ("roots", "said"),
    [
        ("C5", "C5"),
        ("C5 C6", "C5, C6"),
        ("C5 C6 C7 C8 T1", "C5–T1"),
        ("C5 C6 C8 T1", "C5, C6, C8, T1"),
        ("C5 C7 C8 T1", "C5, C7–T1"),
        ("C5 C7 T1", "C5, C7, T1"),
    ],
)
def test_a_run_of_roots_leaves_none_out(brachial, roots, said):
    assert span(roots.split(), brachial.roots) == said
