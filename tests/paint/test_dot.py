"""The DOT file: nodes at their places, edges along the strands."""

import re
import shutil
import subprocess

import pytest
from sample import VIEWS

from plexusdraw import paint
from plexusdraw.look import theme
from plexusdraw.scene.view import View

PRINT = theme.load("print")


def dot(page, view):
    return paint.paint("dot", [(page, view)], PRINT).decode()


def test_nodes_stand_where_the_page_has_them(page):
    line = next(s for s in dot(page, View(asks=False)).splitlines() if "label=lower" in s)
    x, y = re.search(r'pos="([\d.]+),([\d.]+)!"', line).groups()
    assert (float(x), float(y)) == pytest.approx((70 / 25.4 * 72, (210 - 136) / 25.4 * 72), abs=0.01)


def test_an_edge_has_a_colour_for_each_root(page):
    line = next(s for s in dot(page, View(asks=False)).splitlines() if '"upper-trunk" -> "posterior-cord"' in s)
    assert 'color="#0066a6:#3a9ad6"' in line
    assert "style=solid" in line


def test_lost_edges_are_dashed_and_hidden_ones_absent(page):
    lost = next(s for s in dot(page, VIEWS["injured"]()).splitlines() if '-> "axillary-nerve"' in s)
    assert "style=dashed" in lost
    assert "axillary" not in dot(page, VIEWS["staged"]())


@pytest.mark.skipif(not shutil.which("neato"), reason="graphviz is not installed")
@pytest.mark.parametrize("name", sorted(VIEWS))
def test_graphviz_reads_it_and_keeps_the_places(page, name):
    run = subprocess.run(
        ["neato", "-n", "-Tplain"], input=dot(page, VIEWS[name]()), capture_output=True, text=True, check=True
    )
    assert not run.stderr
    assert run.stdout.count("\nnode ") > 8
