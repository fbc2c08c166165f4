"""A cut that lies beyond the picture: its nerve along its course, with what is lost."""

from __future__ import annotations

import pytest
from randoms import brachial

from plexusdraw.clinic.injury import Injury
from plexusdraw.names import display, sites

PLEXUS = brachial()
LINES = """
return [...document.querySelectorAll("#content .along li")].map(li =>
  [li.dataset.id || "", li.className, li.querySelector(":scope > .word")?.textContent || ""]);
"""
BEYOND = """
const { app } = await plexusdraw, found = [];
for (const { id } of app.plexus.sites) {
  app.set({ mode: "injure", cuts: [id], partial: false });
  const told = [...app.view.unseen.keys()].includes(id);
  found.push([id, told, document.querySelectorAll("#content .along li.cut").length]);
}
return found;
"""


def test_every_cut_that_no_mark_shows_is_marked_along_its_nerve(one_page):
    found = one_page.run(BEYOND)
    assert sum(beyond for _, beyond, _ in found) > 20
    assert [id for id, beyond, marks in found if marks != int(beyond)] == []


@pytest.mark.parametrize("where", ["posterior interosseous nerve", "deep branch of ulnar nerve at palm"])
def test_what_is_told_along_a_nerve_is_what_the_injury_takes(one_page, where):
    site = sites.parse(PLEXUS, where)
    one_page.go(f"mode=injure&cut={site.id}")
    lines = one_page.run(LINES)
    segment = PLEXUS.segments[site.segment]
    injury = Injury(PLEXUS, [site])
    states = {id: o.state for table in (injury.muscles, injury.skin) for id, o in table.items()}
    told = {id: word for id, _, word in lines if id in states}
    assert [id for id in told if id in {item.to for item in segment.course if hasattr(item, "to")}]
    assert told == {id: states[id] if states[id] not in ("spared", "kept") else "" for id in told}
    order = [id for id, *_ in lines if id in told]
    assert order == sorted(order, key=[getattr(item, "to", "") for item in segment.course].index)


def test_places_are_called_after_their_nerves_in_latin(one_page):
    one_page.go("names=latin&mode=injure&cut=ulnar-nerve-at-elbow")
    assert one_page.text("#content .chip") == "nervus ulnaris ad cubitum ×"
    assert one_page.run("return plexusdraw.then(({ app }) => app.heading)").endswith(
        "injury of nervus ulnaris ad cubitum"
    )
    one_page.go("names=latin&mode=find&sign=wrist-drop&weak=deltoid")
    answers = one_page.run("return [...document.querySelectorAll('#content .answer')].map(b => b.textContent)")
    assert answers[0] == "fasciculus posterior"
    assert not [text for text in answers if "cord" in text or "nerve" in text]


def test_kinds_columns_and_title_in_latin(one_page):
    one_page.go("names=latin&show=median-nerve")
    median = PLEXUS.segments["median-nerve"]
    assert one_page.text("h1") == "Plexus brachialis"
    assert one_page.text("#content .card p") == f"nervus · {display(median)}"
    assert one_page.run("return ['h2', 'i'].map(e => document.querySelector(`#content .card ${e}`).lang)") == [
        "la",
        "en",
    ]
    assert "up to trunci" in one_page.run("return document.querySelector('[data-name=upto]').textContent")
    heads = one_page.run("return [...document.querySelectorAll('#view .lens .head')].map(t => t.textContent)")
    assert heads[:3] == ["RADICES", "TRUNCI", "DIVISIONES"]
    assert one_page.text("#limb figcaption") == "Anterior, superficialis"
    one_page.go("names=latin&show=upper-trunk")
    assert one_page.text("#content .card p").startswith("truncus ·")
    one_page.go("names=latin&mode=injure&cut=upper-trunk")
    told = one_page.run("return document.querySelector('#content').textContent")
    assert "reflexus bicipitis" in told
    assert "biceps reflex" not in told
    one_page.go("names=latin&show=deltoid")
    assert one_page.text("#content .card p").startswith("musculus")
    one_page.go("")
    assert one_page.text("h1") == "Brachial plexus"
