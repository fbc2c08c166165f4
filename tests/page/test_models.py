"""Several plexuses in one page."""

from __future__ import annotations

import pytest
from click.testing import CliRunner
from randoms import small

from plexusdraw.cli.page import command
from plexusdraw.page import build

NAMED = "return document.documentElement.matches('.ready') && document.querySelector('h1').textContent === "


@pytest.fixture(scope="module")
def two_file(tmp_path_factory):
    path = tmp_path_factory.mktemp("two") / "two.html"
    path.write_bytes(build(small("two-stages"), others=[small("two-part")]))
    return path


def test_switch_and_back(chromium, two_file):
    page = chromium.open(two_file)
    first = page.text("h1")
    assert "not for diagnosis" in page.text("footer")
    page.run("""
      const select = [...document.querySelectorAll("#choices select")].find(s => s.labels[0].textContent === "Plexus");
      select.value = "two-part";
      select.dispatchEvent(new Event("change"));
    """)
    page.wait(NAMED + "'Two-part plexus'")
    assert "Invented." in page.text("footer")
    page.run("return plexusdraw.then(({ app }) => app.set({ mode: 'injure', cuts: ['A1'] }))")
    page.wait("return location.hash === '#model=two-part&mode=injure&cut=A1'")
    page.run("location.hash = ''")
    page.wait(f"{NAMED}{first!r}")
    assert [line for line in page.log() if "SEVERE" in line] == []


def test_a_nerve_of_several_parts_is_chosen_like_any_other(chromium, two_file):
    """Told of, cut as a whole at the place that is chosen, mended: the picture names it, not its parts."""
    page = chromium.open(two_file, "model=two-part")
    page.log()
    page.run("return plexusdraw.then(({ app }) => app.mode.pick('great-nerve', null))")
    assert page.text("#content .card h2") == "Great nerve"
    assert "inner nerve" in page.text("#content .card")
    page.go("model=two-part&mode=injure")
    said = page.run("""
      const { app } = await plexusdraw, cuts = [];
      for (const id of ["great-nerve", "great-nerve", "great-nerve-at-mid-thigh", "great-nerve"]) {
        app.mode.pick(id, null);
        cuts.push([app.shown.cuts.join(), [...app.mode.pressed()].join()]);
      }
      return cuts;
    """)
    mid = "great-nerve-at-mid-thigh"
    assert said == [["great-nerve", "great-nerve"], ["", ""], [mid, "great-nerve"], ["", ""]]
    page.go("model=two-part&mode=injure&cut=great-nerve")
    assert "flail foot" in page.text("#content .result")
    asked = page.run("return plexusdraw.then(({ app }) => app.modes.test.made.names('labels'))")
    assert {"inner-nerve", "great-nerve"} <= set(asked)
    page.go("model=two-part&mode=teach&step=3")
    page.run("return plexusdraw.then(({ app }) => { app.mode.tap = 'cut'; app.mode.pick('great-nerve', null); })")
    assert page.text("#said") == "Cut: great nerve."
    assert page.log() == []


HEADS = """
return plexusdraw.then(({ app }) => {
  const seen = [...document.querySelectorAll("#view text")].filter(t => t.checkVisibility());
  return seen.map(t => t.textContent.toLowerCase()).filter(text => text.includes("great nerve"));
});
"""


def test_the_head_of_a_column_does_not_say_what_is_asked(chromium, two_file):
    """The sheath and the nerve in it are called alike."""
    page = chromium.open(two_file, "model=two-part")
    assert page.run(HEADS)
    for address in ("labels=numbers", "mode=test&kind=place&about=great-nerve"):
        page.go(f"model=two-part&{address}")
        page.run("document.querySelector('#content .main')?.click()")
        assert page.run(HEADS) == []


def test_a_twig_that_is_not_drawn_is_sought_at_the_name_of_its_nerve(chromium, two_file):
    """Not before it, where no part of that nerve is named."""
    page = chromium.open(two_file, "model=two-part&detail=framework&mode=injure&cut=inner-twig")
    assert page.run("return plexusdraw.then(({ app }) => [...app.view.beyond])") == ["great-nerve"]
    assert page.text("#content .along h2") == "Along inner part of great nerve"


def test_another_plexus_is_seen_in_the_same_way(chromium, two_file):
    page = chromium.open(two_file, "mode=injure&names=latin&side=right&look=dark&cut=A1")
    page.run("""
      const select = [...document.querySelectorAll("#choices select")].find(s => s.labels[0].textContent === "Plexus");
      select.value = "two-part";
      select.dispatchEvent(new Event("change"));
    """)
    page.wait("return document.documentElement.matches('.ready') && location.hash.includes('model=two-part')")
    page.wait("return globalThis.plexusdraw?.then(({ app }) => app.model === 'two-part')")
    shown = page.run("return plexusdraw.then(({ app }) => app.shown)")
    assert {name: shown[name] for name in ("mode", "names", "side", "look", "cuts")} == {
        "mode": "injure",
        "names": "latin",
        "side": "right",
        "look": "dark",
        "cuts": [],
    }
    assert [line for line in page.log() if "SEVERE" in line] == []


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--models", "brachial,brachial"], "twice"),
        (["--models", ","], "is empty"),
        (["cervical", "--models", "brachial"], "not both"),
    ],
)
def test_wrong_use(tmp_path, arguments, said):
    result = CliRunner().invoke(command, [*arguments, "-o", str(tmp_path / "x.html")])
    assert result.exit_code == 2
    assert said in result.output
