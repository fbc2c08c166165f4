"""Names on the screen: on the picture, off strands and texts that are not theirs, each large enough to read."""

from __future__ import annotations

import pytest

SIZES = [(390, 844), (820, 1180), (1024, 768), (1440, 900)]
ADDRESSES = [
    "",
    "names=latin",
    "side=right",
    "detail=muscles",
    "detail=framework&names=english",
    "mode=injure&cut=upper-trunk",
    "show=median-nerve",
]
MEASURE = """
const { app } = await plexusdraw;
const svg = app.picture.svg, matrix = svg.getScreenCTM(), edge = svg.getBoundingClientRect();
const seen = e => e.checkVisibility() && e.getClientRects().length;
const box = e => { const { left, top, right, bottom } = e.getBoundingClientRect(); return [left, top, right, bottom]; };
const shown = app.picture.lens.placed.map(({ id }) => [id, app.picture.lens.nodes.get(id).nodes.map(box)]);
const own = [...svg.querySelectorAll("g[aria-hidden]:not(.lens) > g:not(.tiny)")].flatMap(g =>
  [...g.querySelectorAll("text")].filter(seen).map(t => [g.dataset.entity || g.dataset.kind, [box(t)]]));
const heads = [...svg.querySelectorAll(".lens .head")].map(t => ["head " + t.textContent, [box(t)]]);
const strands = [];
for (const path of svg.querySelectorAll("[data-entity] > path[data-root]")) {
  if (!seen(path)) continue;
  const many = Math.ceil(path.getTotalLength()), half = Number(path.getAttribute("stroke-width")) / 2 * matrix.a;
  for (let i = 0; i <= many; i += 1) {
    const { x, y } = path.getPointAtLength(i);
    strands.push([path.parentNode.dataset.entity, x * matrix.a + matrix.e, y * matrix.d + matrix.f, half]);
  }
}
return { edge: [edge.left, edge.top, edge.right, edge.bottom], shown, texts: [...own, ...heads], strands };
"""


def meets(a, b, slack=1.0):
    return a[0] < b[2] - slack and b[0] < a[2] - slack and a[1] < b[3] - slack and b[1] < a[3] - slack


def whole(boxes):
    """What a name takes, without the air over and under its letters."""
    left, top, right, bottom = (f(box[i] for box in boxes) for i, f in enumerate((min, min, max, max)))
    return left, top + 2, right, bottom - 2


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("address", ADDRESSES)
def test_no_name_lies_off_the_picture_or_on_what_is_not_its_own(one_page, size, address):
    one_page.size(*size)
    one_page.go(address)
    one_page.run("return plexusdraw.then(({ app }) => app.picture.setZoom(0))")
    found = one_page.run(MEASURE)
    names = [(id, whole(boxes)) for id, boxes in found["shown"]]
    assert len(names) > 5
    assert len(found["strands"]) > 500
    left, top, right, bottom = found["edge"]
    for i, (id, box) in enumerate(names):
        assert box[0] >= left - 1, id
        assert box[1] >= top - 1, id
        assert box[2] <= right + 1, id
        assert box[3] <= bottom + 1, id
        others = [*names[:i], *((other, whole(boxes)) for other, boxes in found["texts"] if other != id)]
        assert [other for other, there in others if meets(box, there)] == [], id
        strands = [(e, (x - h, y - h, x + h, y + h)) for e, x, y, h in found["strands"] if e != id]
        assert {entity for entity, there in strands if meets(box, there, 0.5)} == set(), id


@pytest.mark.parametrize("size", SIZES)
def test_every_nerve_of_the_last_column_has_its_whole_name(one_page, size):
    """The margin holds the longest name, on both sides of the body."""
    one_page.size(*size)
    for side in ("left", "right"):
        one_page.go(f"side={side}")
        one_page.run("return plexusdraw.then(({ app }) => app.picture.setZoom(0))")
        placed = one_page.run("""
          const { app } = await plexusdraw;
          return app.picture.lens.placed.map(({ id, lines }) => [id, lines.join(" ")]);
        """)
        assert ["musculocutaneous-nerve", "musculocutaneous n."] in placed
        assert ["ulnar-nerve", "ulnar n."] in placed


def test_names_on_plates_and_heads_of_columns(page):
    """A large screen shows every name, trunks to cords on plates, and what each column is."""
    plates, hidden, heads = page.run("""
      const { app } = await plexusdraw, { lens, items } = app.picture;
      const plates = lens.placed.filter(({ plate }) => plate).map(({ id }) => id);
      const heads = [...document.querySelectorAll("#view .lens .head")].map(t => t.textContent);
      return [plates, items.filter(({ id }) => lens.isHidden(id)).map(({ id }) => id), heads];
    """)
    assert {"upper-trunk", "middle-trunk", "lower-trunk", "lateral-cord", "posterior-cord", "medial-cord"} <= {*plates}
    assert sum("division" in id for id in plates) == 6
    assert hidden == []
    assert heads == ["ROOTS", "TRUNKS", "DIVISIONS", "CORDS", "TERMINAL BRANCHES"]


def test_a_name_without_room_can_still_be_reached_and_is_told(page):
    page.size(390, 844)
    hidden = page.run("""
      const { app } = await plexusdraw, { lens, items } = app.picture;
      app.picture.setZoom(0);
      return items.filter(({ id }) => lens.isHidden(id)).map(({ element }) =>
        [element.getAttribute("aria-label"), element.getAttribute("role"), element.checkVisibility()]);
    """)
    assert hidden
    assert all(label and role == "button" and visible for label, role, visible in hidden)


@pytest.mark.parametrize("size", [(1280, 720), (1440, 900), (1920, 1080)])
def test_plexus_and_limb_share_the_screen(page, size):
    """The plexus fills its part in one direction, the figures are seen whole, none hides another."""
    page.size(*size)
    view, svg, figures, room = page.run("""
      const box = e => { const b = e.getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom]; };
      const all = s => [...document.querySelectorAll(s)].map(box);
      return [box(document.querySelector("#view")), box(document.querySelector("#view svg")),
        all("#limb figure svg"), box(document.querySelector("#limb"))];
    """)
    wide, high = (svg[2] - svg[0]) / (view[2] - view[0]), (svg[3] - svg[1]) / (view[3] - view[1])
    assert max(wide, high) > 0.97
    assert min(wide, high) > 0.6
    assert view[3] - view[1] >= 0.55 * size[1]
    assert all(f[3] - f[1] >= 90 and f[1] >= room[1] and f[3] <= room[3] + 1 for f in figures)


def test_a_tap_works_out_no_place_anew(page):
    """What a name's place rests on stays as it was, so nothing is laid out again."""
    for mode in ("explore", "injure"):
        page.go(f"mode={mode}")
        same = page.run("""
          const { app } = await plexusdraw, { lens } = app.picture, before = lens.found;
          app.mode.pick("upper-trunk", null);
          app.mode.pick("C8", null);
          return before === lens.found;
        """)
        assert same
