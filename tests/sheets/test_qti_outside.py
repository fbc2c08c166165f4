"""QTI as programs of others read it: a converter, and a renderer that marks answers in Chromium (both from npm).

They are fetched when the test runs, so it runs where NIGHTLY is set: NIGHTLY=1 pytest -m nightly tests/sheets
"""

from __future__ import annotations

import shutil
import subprocess
import threading
import zipfile
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer

import pytest
from formpages import PRINT, brachial

from plexusdraw.sheets.worksheet import class_set, export, qti
from plexusdraw.sheets.worksheet.spec import Spec

pytestmark = [
    pytest.mark.nightly,
    pytest.mark.skipif(not (shutil.which("npm") and shutil.which("chromium")), reason="no npm, or no Chromium"),
    pytest.mark.filterwarnings("ignore::ResourceWarning"),
]
WANTED = ("@citolab/qti-components@7.27.4", "@citolab/qti-convert@0.3.52")
KINDS = {
    "choice": Spec(kind="choice", count=21),
    "match": Spec(kind="match", level=4),
    "label": Spec(),
    "injury": Spec(kind="injury", forms=2),
    "site": Spec(kind="site"),
    "table": Spec(kind="table"),
    "draw": Spec(kind="draw"),
    "cards": Spec(kind="cards", count=16, ask=("roots", "supply")),
}
PAGE = """<!doctype html><meta charset="utf-8"><script src="node_modules/@citolab/qti-components/cdn/index.global.js">
</script><body><qti-item><item-container></item-container></qti-item>"""
SHOW = """
const [url, done] = [arguments[0], arguments[1]];
const held = document.querySelector("item-container");
addEventListener("qti-assessment-item-connected", event => {
  const item = event.composedPath()[0]; window.item = item;
  setTimeout(async () => {
    const root = item.getRootNode(), images = [...root.querySelectorAll("img")];
    await Promise.all(images.map(image => image.decode()));
    done({text: item.innerText, wide: images.map(i => i.naturalWidth), alts: images.map(i => i.alt),
      choices: root.querySelectorAll("qti-simple-choice").length,
      associables: root.querySelectorAll("qti-simple-associable-choice").length,
      boxes: root.querySelectorAll("qti-text-entry-interaction").length});
  }, 120);
}, {once: true});
held.itemURL = url;
"""
MARK = """
item.resetResponses(); item.updateResponseVariable("RESPONSE", arguments[0]); item.processResponse();
return Number(item.getOutcome("SCORE").value);
"""


@pytest.fixture(scope="module")
def outside(tmp_path_factory):
    """A folder with the two programs in it."""
    folder = tmp_path_factory.mktemp("outside")
    command = ["npm", "install", "--no-audit", "--no-fund", "--prefix", str(folder), *WANTED]
    done = subprocess.run(command, capture_output=True, text=True, cwd=folder, check=False)
    if done.returncode:
        pytest.skip(f"npm fetched nothing: {done.stderr.strip().splitlines()[-1:]}")
    (folder / "page.html").write_text(PAGE)
    return folder


@pytest.fixture(scope="module")
def address(outside):
    """The folder as a web site on this machine."""

    class Quiet(SimpleHTTPRequestHandler):
        def log_message(self, *_):
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(outside)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="module")
def driver():
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    for flag in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-background-networking"):
        options.add_argument(flag)
    options.binary_location = shutil.which("chromium")
    made = webdriver.Chrome(options=options, service=Service(shutil.which("chromedriver")))
    made.set_script_timeout(20)
    yield made
    made.quit()


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_converted_shown_and_marked(kind, outside, address, driver):
    made = list(class_set.forms(brachial(), KINDS[kind]))
    path = outside / f"{kind}.zip"
    path.write_bytes(export.write(made, path, PRINT))
    run = ["node_modules/.bin/qti-convert-pkg", path.name]
    subprocess.run(run, cwd=outside, check=True, capture_output=True)
    with zipfile.ZipFile(outside / f"{kind}-qti3.zip") as package:
        package.extractall(outside / kind)
        assert sum(name.startswith("items/") for name in package.namelist()) == sum(len(f.questions) for f in made)
    for form in made:
        for question in form.questions:
            driver.get(f"{address}/page.html")
            shown = driver.execute_async_script(SHOW, f"{address}/{kind}/items/{qti._id(form, question)}.xml")
            _look(shown, question)
            for response, score in _responses(question):
                assert driver.execute_script(MARK, response) == pytest.approx(score), (question, response)


def _look(shown, question):
    """Whether all of the question is on the screen."""
    assert all(width > 300 for width in shown["wide"])
    assert all(shown["alts"])
    if question.choice:
        assert shown["choices"] == len(question.choice.options)
        assert question.choice.prompt in shown["text"]
    elif question.pairs:
        assert shown["associables"] == len(question.pairs.left) + len(question.pairs.right)
    elif question.wanted == 1 and not question.drawn:
        assert shown["boxes"] == 1
        assert question.prompt in shown["text"]


def _responses(question):
    """Responses, with the points that they earn."""
    if question.choice:
        ids = [qti.letter(i) for i in range(len(question.choice.options))]
        right = [i for i, o in zip(ids, question.choice.options, strict=True) if o.right]
        wrong = [i for i in ids if i not in right]
        if question.choice.several:
            yield from ((right, len(right)), (wrong, 0), ([*right, wrong[0]], len(right) - 1))
        else:
            yield from ((i, float(i in right)) for i in ids)
    elif question.pairs:
        pairs = [f"L{i} R{at}" for i, at in enumerate(question.pairs.partner)]
        yield from ((pairs, len(pairs)), (pairs[1:], len(pairs) - 1), ([f"L0 {pairs[1].split()[1]}"], 0))
    elif question.wanted == 1 and not question.drawn:
        yield from ((text, 1) for text in question.spellings())
        yield from ((text.upper(), 1) for text in question.answers)
        yield "nonsense", 0
