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
    assert "teaching aid" in page.text("footer")
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


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--models", "brachial,brachial"], "twice"),
        (["--models", ","], "at least one"),
        (["cervical", "--models", "brachial"], "not both"),
    ],
)
def test_wrong_use(tmp_path, arguments, said):
    result = CliRunner().invoke(command, [*arguments, "-o", str(tmp_path / "x.html")])
    assert result.exit_code == 2
    assert said in result.output
