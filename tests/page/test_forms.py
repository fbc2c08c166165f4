"""Forms of the page are those of ``plexusdraw worksheet --form``: the same code, blanks, numbers and names."""

from __future__ import annotations

import csv
import json
import random
import shutil
import subprocess
from dataclasses import replace
from hashlib import sha512
from pathlib import Path

import pytest
from click.testing import CliRunner
from randoms import brachial

from plexusdraw.cli.worksheet import command
from plexusdraw.layout.columns.plan import DETAILS
from plexusdraw.layout.labels import Wording
from plexusdraw.layout.paper import paper
from plexusdraw.model import load
from plexusdraw.page import build
from plexusdraw.page.build import _web
from plexusdraw.sheets.worksheet import askable, codes, different, sections, stamp
from plexusdraw.sheets.worksheet.spec import Spec

NODE = shutil.which("node")
MADE = """
const { app } = await plexusdraw;
const { forms } = app.modes.teach, found = [];
for (const { shown, many, number, ...wish } of arguments[0]) {
  forms.clear();
  Object.assign(forms, wish, { seed: BigInt(wish.seed), several: many > 1, many, on: true });
  await app.set({ mode: "teach", ...shown });
  found.push([forms.code(number), forms.blanks(number).map((label) => forms.answer(app.scene.labels[label][0]))]);
}
return found;
"""
TYPED = """
const { app } = await plexusdraw;
const { forms } = app.modes.teach, found = [];
await app.set({ mode: "teach" });
for (const code of arguments[0]) {
  const said = document.querySelector("#form-code");
  said.value = code;
  said.form.requestSubmit();
  await app.refresh();
  const { blanks } = app.viewOf(forms.request());
  found.push([forms.code(), [...blanks].map(([label, i]) => [i, forms.answer(app.scene.labels[label][0])])]);
}
return found;
"""


@pytest.mark.skipif(NODE is None, reason="node is not installed")
def test_chance_is_python_s(tmp_path):
    (tmp_path / "package.json").write_text('{"type": "module"}', "utf-8")
    (tmp_path / "random.js").write_text(_web("random.js"), "utf-8")
    shutil.copy(Path(__file__).parent / "chance.mjs", tmp_path)
    dice = random.Random(3)
    texts = ["", "é" * 40, *("".join(dice.choices("abc/ 123", k=size)) for size in (*range(105, 135), 239, 240, 300))]
    choices = []
    for i in range(120):
        many = dice.randint(1, 90)
        choices.append([f"{i}/0/blanks", many, dice.randint(1, many), dice.randint(1, 2000)])
    bounds = [[f"{bits}", str(dice.getrandbits(bits) | 1 << bits)] for bits in range(1, 100)]
    asked = json.dumps({"texts": texts, "choices": choices, "bounds": bounds})
    made = subprocess.run(
        [str(NODE), "chance.mjs"], cwd=tmp_path, input=asked, capture_output=True, encoding="utf-8", check=True
    )
    said = json.loads(made.stdout)
    assert said["sums"] == [sha512(text.encode()).hexdigest() for text in texts]
    assert said["choices"] == [different.choice(*rest, random.Random(seed)) for seed, *rest in choices]
    for text, order in zip(texts, said["orders"], strict=True):
        wanted = list(range(30))
        random.Random(text).shuffle(wanted)
        assert order == wanted
    for (seed, most), draws in zip(bounds, said["draws"], strict=True):
        chance = random.Random(seed)
        assert draws == [str(chance.randrange(int(most))) for _ in range(20)]


def words(plexus):
    return [word for word in askable.words(plexus) if word != askable.SUPPLY]


def some_wishes(plexus, dice, many):
    """What a reader may set on the page."""
    for _ in range(many):
        detail = dice.choice(DETAILS)
        drawn = [i for i, word in enumerate(words(plexus)) if word != askable.MUSCLES or detail == "muscles"]
        yield {
            "shown": {
                "detail": detail,
                "names": dice.choice(["short", "english", "latin"]),
                "side": dice.choice(["left", "right"]),
            },
            "ask": dice.sample(drawn, dice.randint(1, len(drawn))),
            "seed": str(dice.choice([1, 7, dice.randrange(10**12)])),
            "many": dice.choice([1, 2, 30]),
            "number": dice.randint(1, 30),
            "count": dice.choice([0, 0, 1, 12]),
            "choosing": dice.choice(["anew", "anew", "same", "all"]),
        }


def form_of(plexus, code):
    """What Python makes of a code: numbers and names."""
    told = stamp.read(plexus, code, Wording())
    assert not told.changed
    form = sections.form(sections.makers(plexus, told.spec), told.number)
    assert form.code == code
    return [[question.number, question.answers[0]] for question in form.questions]


@pytest.mark.parametrize("many", [6, pytest.param(50, marks=pytest.mark.nightly)])
def test_forms_of_random_settings_are_those_of_the_command(page, many):
    same_forms(page, brachial(), random.Random(many), many)


@pytest.mark.nightly
def test_forms_of_the_lower_limb_are_those_of_the_command(chromium, tmp_path):
    plexus = load("lumbosacral")
    (tmp_path / "page.html").write_bytes(build(plexus))
    same_forms(chromium.open(tmp_path / "page.html"), plexus, random.Random(2), 25)


@pytest.mark.parametrize("many", [3, pytest.param(25, marks=pytest.mark.nightly)])
def test_forms_follow_a_convention_of_drawing(chromium, tmp_path, many):
    plexus = load("brachial", ["axillary-from-radial"])
    (tmp_path / "page.html").write_bytes(build(plexus))
    same_forms(chromium.open(tmp_path / "page.html"), plexus, random.Random(many), many)


def same_forms(page, plexus, dice, many):
    wishes = list(some_wishes(plexus, dice, many))
    for wish, (code, names) in zip(wishes, page.run(MADE, wishes), strict=True):
        assert [[i, name] for i, name in enumerate(names, start=1)] == form_of(plexus, code), wish


def some_specs(dice, many):
    """Label forms as the command makes them, on any paper, with words in any order."""
    for _ in range(many):
        detail = dice.choice([None, "framework", "nerves"])
        some = [word for word in words(brachial()) if word != askable.MUSCLES]
        yield Spec(
            ask=tuple(dice.sample(some, dice.randint(0, len(some)))),
            detail=detail,
            seed=dice.randrange(1000),
            forms=dice.choice([1, 5]),
            count=dice.choice([0, 0, 9]),
            choosing=dice.choice(["anew", "all", "same"]),
            side=dice.choice(["left", "right"]),
            wording=Wording(dice.choice(["short", "english", "latin"])),
            page=paper(dice.choice(["a4", "letter", "a3", "a4 portrait"])),
            writing=dice.choice(["auto", "lines"]),
        )


@pytest.mark.parametrize("many", [4, pytest.param(25, marks=pytest.mark.nightly)])
def test_a_code_that_is_typed_makes_the_form_of_the_command(page, many):
    specs = [replace(spec, stamp=stamp.stamp(brachial(), spec)) for spec in some_specs(random.Random(many), many)]
    asked = [spec.code(i) for i, spec in enumerate(specs, start=1)]
    for code, (said, lines) in zip(asked, page.run(TYPED, [text.lower() for text in asked]), strict=True):
        assert said == code
        told = stamp.read(brachial(), code, Wording())
        fits = replace(told.spec, page=paper("a3"))  # where all can be laid out
        form = sections.form(sections.makers(brachial(), fits), told.number)
        assert lines == [[question.number, question.answers[0]] for question in form.questions], told


@pytest.mark.parametrize(
    ("spec", "why"),
    [
        (Spec(kind="injury"), "plain label forms"),
        (Spec(level=4), "plain label forms"),
        (Spec(word_bank=True), "plain label forms"),
        (Spec(only="radial nerve"), "plain label forms"),
        (Spec(ask=("supply",)), "plain label forms"),
        (None, "no code"),
    ],
)
def test_what_the_page_does_not_make_is_told(page, spec, why):
    code = replace(spec, stamp=stamp.stamp(brachial(), spec)).code(1) if spec else "X"
    page.go("mode=teach")
    page.run("document.querySelector('#form-code').value = arguments[0]", code)
    page.run("document.querySelector('#form-code').form.requestSubmit()")
    assert why in page.text("#content form .message")
    wrong = codes.of(stamp.stamp(brachial(), Spec()), 1)
    page.run(
        "document.querySelector('#form-code').value = arguments[0]", wrong[:-1] + ("2" if wrong[-1] != "2" else "3")
    )
    page.run("document.querySelector('#form-code').form.requestSubmit()")
    assert "wrong character" in page.text("#content form .message")


PRINTED = """
const { app } = await plexusdraw;
dispatchEvent(new Event("beforeprint"));
const items = s => [...s.querySelectorAll("li")].map(li => li.textContent);
const blanks = s => s.querySelectorAll("g[data-state=blank]:has(text)").length;
const title = s => s.querySelector("b, h2").textContent;
const sheets = [...document.querySelectorAll("#paper section")];
const made = sheets.map(s => [title(s), items(s), blanks(s), s.textContent]);
dispatchEvent(new Event("afterprint"));
return made;
"""


def set_field(page, id, value):
    page.run(
        "const e = document.getElementById(arguments[0]); e.value = arguments[1]; e.dispatchEvent(new Event('change'))",
        id,
        value,
    )


def test_forms_then_their_keys_as_the_command_exports_them(page, tmp_path):
    page.go("mode=teach")
    page.run("document.querySelector('#content fieldset input:not(:checked)').click()")
    choose = "[...document.querySelectorAll('#content label')].find(e => e.textContent === 'Forms').nextSibling.id"
    set_field(page, page.run(f"return {choose}"), "4")
    set_field(page, "form-seed", "42")
    made = page.run(PRINTED)
    assert len(made) == 8
    for (title, lines, blanks, text), (key, answers, *_) in zip(made[:4], made[4:], strict=True):
        assert key == f"{title}: key"
        assert len(lines) == blanks == len(answers) > 10
        assert not any(answer in text for answer in answers if len(answer) > 12)
    assert len({tuple(answers) for _, answers, *_ in made[4:]}) == 4
    code = made[2][0].removeprefix("Form ")
    arguments = ["--form", code, "-o", str(tmp_path / "x.pdf"), "--export", str(tmp_path / "x.csv")]
    assert CliRunner().invoke(command, arguments).exit_code == 0
    rows = list(csv.DictReader((tmp_path / "x.csv").read_text("utf-8-sig").splitlines()))
    assert [(row["form"], row["number"], row["answers"]) for row in rows] == [
        (code, str(i), answer) for i, answer in enumerate(made[6][1], start=1)
    ]


def test_forms_are_in_the_address_and_survive_a_reload(page):
    page.go("mode=teach")
    set_field(page, "form-seed", "9")
    page.wait("return location.hash.includes('form=')")
    made = page.run(PRINTED)
    page.driver.refresh()
    page.wait("return document.documentElement.classList.contains('ready')")
    assert page.run("return document.querySelector('#form-seed').value") == "9"
    assert page.run(PRINTED) == made


def test_fields_of_a_form_keep_their_focus(page):
    page.go("mode=teach")
    page.run("const e = document.querySelector('#content fieldset input'); e.focus(); e.click()")
    assert page.run("return document.activeElement === document.querySelector('#content fieldset input')")
    assert page.run("return plexusdraw.then(({ app }) => app.view.blanks.size)") > 10


def test_a_link_that_the_sheet_does_not_ask_stays_named_on_the_page(page):
    page.go("mode=teach&detail=framework")
    with_it, without = page.run("""
      const { app } = await plexusdraw;
      const { forms } = app.modes.teach, [link] = forms.known.links;
      const asked = () => forms.blanks(1).some((label) => app.scene.labels[label][0] === link);
      forms.ask = forms.known.ask.map((_, i) => i);
      const found = [asked()];
      forms.known.unasked = { "framework short": [link] };
      return [...found, asked()];
    """)
    assert (with_it, without) == (True, False)
