"""The page of the built-in model, written once, and one browser for all tests of this folder."""

from __future__ import annotations

import shutil

import pytest
from browser import ODD, Browser, browser
from randoms import MODELS

from plexusdraw.model import load
from plexusdraw.page import build


@pytest.fixture(scope="session")
def page_file(commanded):
    return commanded("brachial.html", "page")


@pytest.fixture(scope="session")
def odd_file(tmp_path_factory):
    """The page of a model whose names hold markup."""
    folder = tmp_path_factory.mktemp("odd")
    model, path = folder / "odd.yaml", folder / "odd.html"
    text = (MODELS / "two-stages.yaml").read_text(encoding="utf-8")
    text = text.replace("name: two-stage plexus", f"name: '{ODD} plexus'")
    text = text.replace("name: main nerve", f"name: '{ODD} nerve'").replace(
        "name: second muscle", f"name: '{ODD} muscle'"
    )
    model.write_text(text.replace("second-muscle, front", "script-b-onclick-x-lt-muscle, front"), encoding="utf-8")
    path.write_bytes(build(load(model)))
    return path


@pytest.fixture(scope="session")
def chromium():
    """One for all tests, which are skipped where there is none."""
    lacking = [program for program in ("chromium", "chromedriver") if shutil.which(program) is None]
    if lacking:
        pytest.skip(f"not installed: {', '.join(lacking)}")
    with browser() as found:
        yield found


@pytest.fixture(scope="module")
def one_page(chromium: Browser, page_file):
    """The page opened once for a module whose tests leave nothing behind but the address."""
    chromium.size(1440)
    chromium.media()
    return chromium.open(page_file)


@pytest.fixture
def page(chromium: Browser, page_file):
    """The page as it is when it is opened for the first time."""
    chromium.size(1440)
    chromium.media()
    made = chromium.open(page_file)
    made.run("return plexusdraw.then(({ app }) => { app.modes.test.round = null; app.modes.test.save(); })")
    return made
