"""The page as a file: whole, small, safe, the same each time. No browser."""

from __future__ import annotations

import re
from base64 import b64encode
from hashlib import sha256
from pathlib import Path
from time import process_time

import pytest
import staged
from click.testing import CliRunner
from randoms import MODELS, brachial, small

from plexusdraw.cli.page import command
from plexusdraw.errors import FitError
from plexusdraw.model import load
from plexusdraw.page import Choices, build
from plexusdraw.page.build import MODULES, bundle, loader

WEB = Path(__file__).parents[2] / "plexusdraw" / "page" / "web"
SMALL = str(MODELS / "two-stages.yaml")
ALLOWED = ("http://www.w3.org/",)


@pytest.fixture(scope="module")
def text(page_file):
    return page_file.read_text(encoding="utf-8")


def inside(text, tag):
    return re.findall(rf"<{tag}(?: id=\"style\")?>(.*?)</{tag}>", text, re.DOTALL)


def test_size_with_the_font(page_file):
    assert page_file.stat().st_size < 600_000


@pytest.mark.nightly
def test_size_of_the_largest_plexus(commanded):
    assert commanded("lumbosacral.html", "page", "lumbosacral").stat().st_size < 700_000


@pytest.mark.nightly  # by day the stored page is compared with one made anew
def test_same_bytes_each_time(page_file):
    assert build(brachial()) == page_file.read_bytes()


def test_policy_allows_what_unpacks_what_is_packed_and_one_style_sheet(text):
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', text)[1]
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert rules["default-src"] == "'none'"
    assert inside(text, "script") == [loader()]
    assert rules["script-src"] == f"{digest(loader())} {digest(bundle())}"
    assert rules["style-src"] == digest(*inside(text, "style"))


def digest(code):
    return f"'sha256-{b64encode(sha256(code.encode()).digest()).decode()}'"


def test_nothing_from_outside(text):
    addresses = re.findall(r"(?:https?:)?//[a-z0-9.-]+\.[a-z]{2,}/?", text)
    assert [a for a in addresses if not a.startswith(ALLOWED)] == []
    assert not re.search(r"<(link|iframe|object|embed|img|base)\b", text)
    assert not re.search(r'\s(style|on[a-z]+)="', text)


def test_script_makes_no_markup_and_evaluates_nothing():
    bad = (
        r"\b(eval|Function|innerHTML|outerHTML *=|insertAdjacentHTML|document\.write|fetch|XMLHttp\w+|sendBeacon)(?!\w)"
    )
    assert re.findall(bad, loader() + bundle()) == []


def test_names_at_the_top_of_modules_are_unique():
    texts = [(WEB / f"{name}.js").read_text(encoding="utf-8") for name in MODULES]
    top = r"^(?:export )?(?:async )?(?:function|class|const|let) (\w+)"
    names = [name for text in texts for name in re.findall(top, text, re.MULTILINE)]
    assert sorted(names) == sorted(set(names))


def test_modules_stand_after_what_they_import():
    for i, name in enumerate(MODULES):
        text = (WEB / f"{name}.js").read_text(encoding="utf-8")
        needed = re.findall(r'^import .* from "\./(\w+)\.js";', text, re.MULTILINE)
        assert set(needed) <= set(MODULES[:i]), name


def test_every_module_is_used():
    assert {path.name for path in WEB.iterdir()} == {f"{name}.js" for name in MODULES} | {"page.html", "page.css"}


def test_markup_in_names_ends_no_element(odd_file):
    made = odd_file.read_text(encoding="utf-8")
    assert "</script><b>" not in made
    assert made.count("</script>") == 2


@pytest.mark.parametrize("name", ["caudal", "one-root", "two-stages"])
def test_any_staged_model(name):
    assert b"</html>" in build(small(name), Choices(side="right", look="dark"))


def test_command_writes_the_file(tmp_path):
    path = tmp_path / "plexus.html"
    result = CliRunner().invoke(command, [SMALL, "-o", str(path), "--detail", "framework", "--side", "right"])
    assert result.exit_code == 0, result.output
    assert '"first":{"detail":"framework","names":"short","side":"right"' in path.read_text(encoding="utf-8")


def test_command_needs_a_file():
    assert CliRunner().invoke(command, []).exit_code == 2


def test_a_model_too_large_for_a_page_is_refused_at_once(tmp_path):
    path = tmp_path / "large.yaml"
    path.write_text(staged.model(1, roots=10, stages=5, width=100, branches=20), "utf-8")
    plexus = load(path)
    start = process_time()
    with pytest.raises(FitError, match=r"a page holds at most 300 strands .* has \d+ and \d+\. Leave some out"):
        build(plexus)
    assert process_time() - start < 5
