"""Every look is decided in one place: what is drawn for each kind of part in each state."""

from dataclasses import replace
from itertools import pairwise

import pytest
from sample import COLUMNS, ROOTS, VIEWS, straight

from plexusdraw import fonts
from plexusdraw.layout.reading import reading_order
from plexusdraw.look import theme
from plexusdraw.look.appearance import marks
from plexusdraw.look.marks import Disc, Path, Plate, Words
from plexusdraw.look.strokes import fitted, length
from plexusdraw.look.theme import contrast
from plexusdraw.scene import Box, Gap, Heading, Label, Note, Panel, Row, Scene, Strand
from plexusdraw.scene.view import View

PRINT = theme.load("print")
TEXT_CONTRAST, STRAND_CONTRAST = 4.5, 3.0
"""WCAG 2.2, success criteria 1.4.3 and 1.4.11."""
EVERY_STATE = [s for s in theme.STATES if s != "hidden"]


def drawn(scene, view, kind, look=PRINT):
    return [m for g in marks(scene, view, look) for m in g.marks if isinstance(m, kind)]


def strings(scene, view):
    return [words.string for words in drawn(scene, view, Words)]


def one(part, *more):
    """A page with one part."""
    parts = (part, *more)
    facts = {"margin": 10, "medium": "paper", "table": "none", "reading": reading_order(parts)}
    return Scene(width=297, height=210, parts=parts, description="d", side="left", roots=ROOTS, **facts)


def strand(minor=False, root="C6", width=1.0):
    return Strand("x", "nerve", root, None, 0, straight((10, 10), (40, 10)), width, minor)


def under(words, earlier, page):
    """Colour under the middle of a line of text."""
    w = fonts.width(words.string, words.size, words.bold)
    x = words.x + w * {"start": 0.5, "middle": 0.0, "end": -0.5}[words.anchor]
    y = words.y - 0.3 * words.size * 25.4 / 72
    for mark in reversed(earlier):
        if isinstance(mark, Plate) and mark.fill:
            if mark.box.x <= x <= mark.box.right and mark.box.y <= y <= mark.box.bottom:
                return mark.fill
        elif isinstance(mark, Disc) and mark.fill and (x - mark.x) ** 2 + (y - mark.y) ** 2 <= mark.r**2:
            return mark.fill
    return page


def contrasts(scene, view, look):
    flat = [m for g in marks(scene, view, look) for m in g.marks]
    for i, words in enumerate(flat):
        if isinstance(words, Words):
            yield words.string, contrast(words.fill, under(words, flat[:i], look.page))


def test_text_contrast_in_every_view(page, view, look):
    assert [c for c in contrasts(page, view, look) if c[1] < TEXT_CONTRAST] == []


@pytest.mark.parametrize("state", EVERY_STATE)
@pytest.mark.parametrize("kind", ["root", "trunk", "division", "cord", "branch", "nerve", "muscle", "skin", "unknown"])
def test_text_contrast_of_every_kind_in_every_state(page, look, kind, state):
    parts = tuple(replace(p, kind=kind) if hasattr(p, "kind") else p for p in page.parts)
    entities = {p.entity: state for p in page.parts if hasattr(p, "entity")}
    words = {p.entity: "paralysed" for p in page.parts if isinstance(p, Row)}
    found = list(contrasts(replace(page, parts=parts), View(asks=False, entities=entities, words=words), look))
    assert len(found) > 40
    assert [c for c in found if c[1] < TEXT_CONTRAST] == []


@pytest.mark.parametrize("kind", [Path, Plate, Disc, Words])
def test_every_kind_of_mark_is_on_the_sample_page(page, kind):
    assert len(drawn(page, VIEWS["injured"](), kind)) > 5


def test_hidden_leaves_no_mark(page):
    everything = {p.entity: "hidden" for p in page.parts if hasattr(p, "entity")}
    groups = marks(page, View(asks=False, entities=everything), PRINT)
    assert {g.entity for g in groups} == {""}


def test_a_hidden_entity_hides_its_strands_whatever_their_state(page):
    view = View(asks=False, entities={"radial-nerve": "hidden"}, strands={("radial-nerve", "C7", None, 0): "highlit"})
    assert not [g for g in marks(page, view, PRINT) if g.entity == "radial-nerve"]


def test_a_gap_goes_with_its_strands():
    gap = Gap("x", "nerve", straight((10, 10), (40, 10)), 3.0)
    assert len(drawn(one(gap, strand()), View(asks=False), Path)) == 2
    assert drawn(one(gap, strand()), View(asks=False, strands={("x", "C6", None, 0): "hidden"}), Path) == []


def test_gap_is_as_blank_as_the_page(look):
    gap = Gap("x", "nerve", straight((10, 10), (40, 10)), 3.0)
    assert drawn(one(gap, strand()), View(asks=False), Path, look)[0].stroke == look.page


def test_panels_leave_the_page_blank_so_that_gaps_do_not_show(page, look):
    """A gap is drawn in the page's colour: on a tinted panel it would be a stain."""
    panels = [m for g in marks(page, View(asks=False), look) if g.entity in [c[2] for c in COLUMNS] for m in g.marks]
    assert not [m for m in panels if isinstance(m, Plate)]


def test_rules_stand_between_columns_on_both_sides(page):
    panels = [p for p in page.parts if isinstance(p, Panel)]
    for side, edges in (("left", [p.box.x for p in panels[1:]]), ("right", [p.box.right for p in panels[1:]])):
        scene = replace(page, parts=tuple(panels), reading=(), side=side)
        assert [m.curve[0][0] for m in drawn(scene, View(asks=False), Path)] == edges


def test_minor_share_is_hollow_and_no_thinner():
    plain, minor = (drawn(one(strand(m)), View(asks=False), Path) for m in (False, True))
    assert len(plain) == 1
    assert [m.stroke for m in minor] == [plain[0].stroke, PRINT.page]
    assert minor[0].width == plain[0].width > minor[1].width > 0


def test_lost_strands_are_grey_dashed_and_say_so():
    (lost,) = drawn(one(strand()), View(asks=False, strands={("x", "C6", None, 0): "lost"}), Path)
    assert lost.stroke == PRINT.look("lost").strand
    assert len(lost.dash) == 2
    assert (lost.root, lost.state) == ("C6", "lost")


def test_weak_strands_keep_their_colour_and_are_dashed():
    (weak,) = drawn(one(strand()), View(asks=False, strands={("x", "C6", None, 0): "weak"}), Path)
    assert weak.stroke == PRINT.pen(1).strand
    assert weak.dash


@pytest.mark.parametrize("run", [0.3, 1.0, 7.3, 120.0])
def test_dashes_begin_and_end_in_the_middle_of_a_dash(run):
    (on, off), offset = fitted((1.0, 0.8), run)
    periods = run / (on + off)
    assert periods == pytest.approx(round(periods))
    assert offset == on / 2


def test_length_of_curves():
    quarter = ((1.0, 0.0), (1.0, 0.5523), (0.5523, 1.0), (0.0, 1.0))
    assert length(straight((0, 0), (3, 4))) == pytest.approx(5)
    assert length(quarter) == pytest.approx(3.14159 / 2, rel=2e-3)


def piece(start, end, at, source=None):
    return replace(strand(), at=at, source=source, curve=straight((start, 10), (end, 10)))


def test_pieces_that_follow_each_other_are_one_stroke():
    scene = one(piece(10, 20.1, -1), piece(19.9, 30.1, 0), piece(29.9, 40, 1))
    (stroke,) = drawn(scene, View(asks=False), Path)
    assert (stroke.curve[0], stroke.curve[-1]) == ((10, 10), (40, 10))


def test_pieces_in_different_states_stay_apart():
    scene = one(piece(10, 20.1, 0), piece(19.9, 30.1, 1), piece(29.9, 40, 2))
    found = drawn(scene, View(asks=False, strands={("x", "C6", None, 1): "lost", ("x", "C6", None, 2): "lost"}), Path)
    assert [(m.state, m.curve[0][0], m.curve[-1][0]) for m in found] == [("plain", 10, 20.1), ("lost", 19.9, 40)]


def test_a_sweep_and_the_stretch_after_it_are_one_stroke():
    bent = replace(strand(), at=-1, source="y", curve=((0, 0), (10, 0), (10, 10), (20.1, 10)))
    (stroke,) = drawn(one(bent, piece(19.9, 30, 0)), View(asks=False), Path)
    assert stroke.curve[:3] == bent.curve[:3]
    assert stroke.curve[-1] == (30, 10)


@pytest.mark.parametrize("other", [piece(25, 30, 1), piece(19.9, 10, 1), replace(piece(19.9, 30, 1), minor=True)])
def test_what_does_not_follow_is_not_joined(other):
    assert len({m.curve[0] for m in drawn(one(piece(10, 20.1, 0), other), View(asks=False), Path)}) > 1


def test_a_blank_middle_covers_the_seam_to_the_next_piece():
    base, hollow = drawn(one(strand(minor=True)), View(asks=False), Path)
    assert hollow.curve[0][0] < base.curve[0][0] < base.curve[-1][0] < hollow.curve[-1][0]


def test_a_rule_makes_way_for_text_that_crosses_it(page):
    label = Label(
        "n", "nerve", "name", (fonts.text("a long name of a nerve", 40, 100, 8),), Box(40, 98, 24, 4), (40, 100)
    )
    panel = Panel("trunks", "trunk", Box(46, 24, 46, 160), 1)
    rules = drawn(one(panel, label), View(asks=False), Path)
    (first, last) = ((m.curve[0][1], m.curve[-1][1]) for m in rules)
    assert first[0] == 24
    assert last[1] == 184
    assert first[1] < label.lines[0].box.y < label.lines[0].box.bottom < last[0]
    assert len(drawn(one(panel, label), View(asks=False, entities={"n": "hidden"}), Path)) == 1


def test_cut_lies_over_everything_and_across_the_bundle(page):
    groups = marks(page, View(asks=False, cuts=(("ulnar-nerve", 0),)), PRINT)
    casing, first, second = groups[-1].marks
    assert [m.stroke for m in (casing, first, second)] == [PRINT.page, PRINT.cut.stroke, PRINT.cut.stroke]
    (x0, y0), (x1, y1) = first.curve[0], first.curve[-1]
    assert x0 == pytest.approx(x1)
    assert {y0, y1} == {154 - 2.6, 154 + 2.6}
    assert second.curve[0][0] - x0 == pytest.approx(PRINT.cut.apart)


def test_cut_that_the_page_has_no_place_for_is_left_out(page):
    assert marks(page, View(asks=False, cuts=(("ulnar-nerve", 99),)), PRINT) == marks(page, View(asks=False), PRINT)


def test_a_blank_stands_in_place_of_the_name(page):
    view = View(asks=True, blanks={("axillary-nerve", "name"): 12})
    assert "axillary n." not in strings(page, view)
    assert "12" in strings(page, view)
    boxes = [m for g in marks(page, view, PRINT) if g.state == "blank" for m in g.marks if isinstance(m, Plate)]
    assert [b.box for b in boxes] == [Box(162, 82, 24, 4)]


@pytest.mark.parametrize("number", [1, 22, 188, 1234])
def test_a_badge_holds_its_number(page, number):
    view = View(asks=True, blanks={("axillary-nerve", "name"): number})
    (group,) = (g for g in marks(page, view, PRINT) if g.state == "blank" and g.label)
    disc, words = (next(m for m in group.marks if isinstance(m, kind)) for kind in (Disc, Words))
    assert fonts.width(words.string, words.size, bold=True) < 2 * disc.r
    assert words.size >= 6


def test_a_key_shows_names_and_numbers_apart(page):
    groups = marks(page, VIEWS["key"](), PRINT)
    for group in groups:
        discs = [m for m in group.marks if isinstance(m, Disc) and m.fill == PRINT.blank.badge]
        names = [m for m in group.marks if isinstance(m, Words) and not m.string.isdigit()]
        for disc in discs:
            for name in names:
                box = fonts.text(name.string, name.x, name.y, name.size, name.anchor, name.bold).box
                assert not Box(disc.x - 0.7 * disc.r, disc.y - 0.7 * disc.r, 1.4 * disc.r, 1.4 * disc.r).meets(box)


def test_a_blank_heading_has_the_width_of_all_blank_headings(page):
    view = View(asks=True, blanks={(stage, "name"): i for i, (*_, stage) in enumerate(COLUMNS, 1)})
    widths = {m.box.w for g in marks(page, view, PRINT) if g.label for m in g.marks if isinstance(m, Plate)}
    assert len(widths) == 1
    assert not {p.text.string for p in page.parts if isinstance(p, Heading)} & set(strings(page, view))


def test_a_root_asked_is_not_told_by_the_table(page):
    shown = strings(page, View(asks=True, blanks={("C6", "name"): 3}))
    assert "C6" not in shown
    assert shown.count("3") == 2


def test_notes_are_replaced_left_out_and_kept(page):
    shown = strings(page, View(asks=False, notes={"title": "Another", "legend": None}))
    assert "Another" in shown
    assert not [s for s in shown if s.startswith(("Brachial", "One strand"))]
    assert [s for s in shown if s.startswith("A schematic")]


def test_a_long_note_is_set_smaller_then_cut_short():
    note = Note("legend", "legend", fonts.text("short", 10, 20, 8), 60)
    for string in ("a little longer than the note that was there before it", "very long " * 40):
        (words,) = drawn(one(note), View(asks=False, notes={"legend": string}), Words)
        assert 6 <= words.size < 8
        assert fonts.width(words.string, words.size) <= 60.01
    assert words.string.endswith("…")


def test_state_in_words_takes_the_colour_of_the_state(page):
    said = {w.string: w.fill for w in drawn(page, VIEWS["injured"](), Words)}
    assert said["paralysed"] == PRINT.look("lost").word
    assert said["slightly weak"] == PRINT.look("weak").word
    assert said["spared"] == PRINT.soft


def row_of(page, muscle):
    return one(next(p for p in page.parts if isinstance(p, Row) and p.entity == muscle))


def test_dots_are_full_for_principal_and_rings_for_minor_roots(page):
    discs = [m for m in drawn(row_of(page, "supraspinatus"), View(asks=False), Disc) if m.stroke]
    assert [d.fill == PRINT.page for d in discs] == [False, True]


def test_lost_dots_are_crosses_heavy_for_principal_roots(page):
    view = View(asks=False, entities={"supraspinatus": "lost"})
    scene = row_of(page, "supraspinatus")
    assert not [m for m in drawn(scene, view, Disc) if m.stroke]
    heavy, _, light, _ = drawn(scene, view, Path)
    assert heavy.width == 2 * light.width


def test_a_dot_may_have_its_own_state(page):
    view = View(asks=False, entities={"triceps-brachii": "weak"}, strands={("triceps-brachii", "C6", None, 0): "lost"})
    scene = row_of(page, "triceps-brachii")
    assert len([m for m in drawn(scene, view, Disc) if m.stroke]) == 3
    assert len(drawn(scene, view, Path)) == 2


def test_labels_tell_what_and_in_which_state(page):
    labels = {g.label for g in marks(page, VIEWS["injured"](), PRINT)}
    assert {"axillary nerve, lost", "radial nerve, partly lost", "deltoid: C5, C6, paralysed"} <= labels
    assert "supraspinatus: C5, C6 (minor), paralysed" in labels


def test_supply_lines_are_softer_than_names(page):
    label = next(p for p in page.parts if isinstance(p, Label) and p.role == "supply")
    (words, *_) = drawn(one(label), View(asks=False), Words)
    assert words.fill == PRINT.kind("nerve").soft != PRINT.kind("nerve").text


def test_root_letters_have_their_strands_hue(page):
    fills = {w.string: w.fill for w in drawn(page, View(asks=False), Words) if w.string in ROOTS}
    assert fills == {root: PRINT.pen(i).text for i, root in enumerate(ROOTS)}


def test_lines_grow_with_the_page_and_never_shrink(page):
    def rule(scale):
        scene = replace(page, width=297 * scale, height=210 * scale)
        return next(m.width for m in drawn(scene, View(asks=False), Path))

    assert rule(2) == pytest.approx(2 * rule(1))
    assert rule(0.5) == rule(1)


def test_neighbours_share_a_group(page):
    groups = marks(page, View(asks=False), PRINT)
    for a, b in pairwise(groups):
        assert (a.entity, a.kind, a.state, a.label) != (b.entity, b.kind, b.state, b.label)


@pytest.mark.parametrize("name", ["print", "lecture", "grayscale"])
def test_strands_reach_the_contrast_of_graphics(page, name):
    look = theme.load(name)
    plain = [m for m in drawn(page, View(asks=False), Path, look) if m.state == "plain" and m.stroke != look.page]
    base = {m.stroke for m in plain} - {p.core for p in look.roots}
    assert len(base) >= 3
    assert min(contrast(stroke, look.page) for stroke in base) >= STRAND_CONTRAST
