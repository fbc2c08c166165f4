"""Questions on the page: from Python's pool, explained, repeated; and set tests by address."""

from __future__ import annotations

import random

import pytest
from night import by_day
from randoms import brachial

from plexusdraw import names
from plexusdraw.clinic.injury import injure
from plexusdraw.model import load
from plexusdraw.names.accepted import accepted
from plexusdraw.page.quiz import questions
from plexusdraw.sheets.worksheet import pool

ROUND = "return plexusdraw.then(page => page.app.modes.test.round)"
BEGIN = "document.querySelector('#content .main').click()"
ANSWER = """
const [right] = arguments;
const { app } = await plexusdraw;
const { question } = app.modes.test.round;
const wrong = question.options.find(option => !option.right);
if (question.kind === "place") return app.modes.test.pick(right ? question.id : wrong.id);
const i = question.options.findIndex(option => option.right === right);
document.querySelectorAll("#content .options button")[i].click();
"""
NEXT = "document.querySelector('#content .main').click()"
MADE = """
const { app } = await plexusdraw;
const { made } = app.modes.test;
let seed = 7;
const dice = () => (seed = (seed * 16807) % 2147483647) / 2147483647;
const found = [];
for (let i = 0; i < 100 && found.length < 200; i += 1) found.push(...made.round(arguments[0], "labels", 40, dice));
return found.slice(0, 200);
"""
KINDS = ["roots", "origins", "muscles", "movements", "skin", "injuries", "sites"]


@pytest.mark.parametrize("model", by_day(["brachial", "lumbosacral", "cervical"], ["brachial"]))
@pytest.mark.parametrize("kind", KINDS)
def test_200_questions_of_a_kind_are_python_s(chromium, commanded, model, kind):
    page = chromium.open(commanded(f"{model}.html", "page", *([model] if model != "brachial" else [])), "mode=test")
    known = {
        (about, prompt, right): dict(wrong)
        for topic, about, prompt, right, wrong in questions(load(model))
        if topic == kind
    }
    made = page.run(MADE, kind)
    assert len(made) == (200 if known else 0)
    for question in made:
        (right,) = (option["text"] for option in question["options"] if option["right"])
        wrong = known[question["about"], question["prompt"], right]
        others = [option for option in question["options"] if not option["right"]]
        assert len(others) == 3
        assert all(wrong[option["text"]] == option["why"] != "" for option in others)


def test_every_question_is_one_of_the_worksheets():
    """Each with the very answers that a worksheet of the same chance has."""
    kit = pool.kit(brachial(), 2)
    subjects = {(s.topic, s.about): s for topic in pool.TOPICS.values() for s in topic(kit)}
    asked = {(topic, about, prompt, right): dict(wrong) for topic, about, prompt, right, wrong in questions(brachial())}
    assert {topic for topic, *_ in asked} == set(pool.TOPICS)
    for topic, about, prompt, right in random.Random(1).sample(sorted(asked), 200):
        found = (subjects[topic, about].make(random.Random(f"{topic} {about} {draw}")) for draw in range(4))
        same = [c for c in found if c and c.prompt == prompt and right in {o.text for o in c.options if o.right}]
        assert same
        assert all(asked[topic, about, prompt, right][o.text] == o.why for c in same for o in c.options if not o.right)


def test_muscles_asked_after_an_injury_are_paralysed():
    for topic, about, _, right, wrong in questions(brachial()):
        if topic == "injuries":
            state = (
                {o.name: (o.state, o.disputed) for o in injure(brachial(), [about.replace("-", " ")]).muscles.values()}
                if about in brachial().segments
                else None
            )
            if state:
                assert state[right] == ("paralysed", False)
                assert {state[text] for text, _ in wrong} == {("spared", False)}


@pytest.mark.parametrize("kind", ["name", "place"])
def test_wrong_names_are_near_and_told_apart(page, kind):
    page.go("mode=test")
    for question in page.run(MADE, kind):
        options = {option["id"]: option for option in question["options"]}
        assert len(options) == 4
        assert [id for id, option in options.items() if option["right"]] == [question["id"]]
        assert all(
            option["why"] for option in options.values() if not option["right"] and option["id"] not in brachial().roots
        )
    near = page.run("return plexusdraw.then(({ app }) => app.modes.test.made.nearest('radial-nerve').slice(0, 4))")
    assert {brachial().segments[id].stage for id in near} == {brachial().segments["radial-nerve"].stage}


@pytest.mark.parametrize("detail", ["nerves", "muscles"])
def test_every_right_spelling_of_worksheets_is_right(page, detail):
    told = []
    plexus = brachial()
    shown = page.run("return plexusdraw.then(({ app }) => Object.keys(app.plexus.data.right[arguments[0]]))", detail)
    sheet = [plexus.entity(id) for id in shown]
    for entity in sheet:
        told += [(text, entity.id) for text in (names.display(entity), *accepted(plexus, entity, sheet))]
    judge = """
      return plexusdraw.then(({ app }) => arguments[0].map(([text, id]) => app.speller.judge(text, id, arguments[1])));
    """
    wrong = [pair for pair, said in zip(told, page.run(judge, told, detail), strict=True) if said != "right"]
    assert wrong == []


def test_a_round_explains_and_repeats(page):
    page.go("mode=test&kind=muscles&count=5")
    page.run(BEGIN)
    page.run(ANSWER, False)
    told = page.text("#content .result")
    assert "✕ No, it is:" in told
    assert "You chose" in told
    assert page.run("return document.querySelectorAll('#content .reasons li').length") == 2
    assert page.run("return document.querySelectorAll('#view path[data-state=highlit]').length") > 0
    first = page.run(ROUND)["question"]
    again = page.run(ROUND)["queue"][3]
    assert (again["about"], again["again"]) == (first["about"], True)
    page.run(NEXT)
    for _ in range(5):
        page.run(ANSWER, True)
        page.run(NEXT)
    assert "5 of 6 right" in page.text("#content .result")
    assert page.run("return document.querySelectorAll('#content .answers > li').length") == 6


def test_why_is_told_of_what_was_asked_with_small_shares(page):
    tell = """
      const { app } = await plexusdraw, { made } = app.modes.test;
      return arguments[0].map(([kind, about]) => {
        const question = made.make(kind, about, () => 0.3);
        return [made.told(question), made.describe(made.told(question)), question.options.find(o => o.right).text];
      });
    """
    page.go("mode=test")
    (_, median, roots), (area, where, right), (muscle, how, lost), (segment, _, _), (root, joins, _) = page.run(
        tell,
        [
            ["roots", "median-nerve"],
            ["skin", "ulnar-nerve"],
            ["injuries", "upper-trunk"],
            ["sites", "radial-nerve-at-spiral-groove"],
            ["name", "C8"],
        ],
    )
    assert roots == "C5, C6, C7, C8, T1"
    assert median.startswith("C6, C7, C8, T1 (small share: C5); from ")
    assert brachial().skin[area].name == right
    assert "of ulnar nerve" in where
    assert brachial().muscles[muscle].name == lost
    assert "; from " in how
    assert segment == "radial-nerve"
    assert (root, "lower trunk" in joins) == ("C8", True)


@pytest.mark.parametrize("kind", KINDS)
def test_after_an_answer_a_phone_shows_what_was_told_and_the_way_on(page, kind):
    page.size(390, 844)
    page.go(f"mode=test&kind={kind}&count=5")
    page.run(BEGIN)
    for _ in range(3):
        page.run(ANSWER, False)
        seen = page.run("""
          const { app } = await plexusdraw, across = (r, s) => r.left < s.right && r.right > s.left;
          const inside = (r, s) => r.top >= s.top - 1 && r.bottom <= s.bottom + 1 && across(r, s);
          const box = e => e.getBoundingClientRect(), id = app.modes.test.seen();
          const name = document.querySelector(`#view .hit[data-id="${id}"]`);
          return [Boolean(id), app.view.numbers.has(id), inside(box(name), box(document.querySelector("#view"))),
            inside(box(document.querySelector("#content .next .main")), box(document.querySelector("#panel")))];
        """)
        assert seen == [True, False, True, True]
        page.run(NEXT)


def test_what_is_hidden_stays_hidden_after_an_answer(page):
    page.go("mode=test&kind=name&about=labels&look=light")
    page.run(BEGIN)
    page.run(ANSWER, False)
    blank = page.run("return document.querySelectorAll('#view g[data-state=blank]').length")
    assert blank > 20
    assert (
        page.run("return plexusdraw.then(({ app }) => app.view.numbers.has(app.modes.test.round.question.id))") is False
    )


def test_blanks_keep_their_secret(page):
    page.go("mode=test&kind=name")
    page.run(BEGIN)
    html = page.run("return document.querySelector('#view').innerHTML.replace(/data-id=\"[^\"]*\"/g, '')")
    assert "trunk" not in html.replace('data-kind="trunk"', "")
    assert "radial" not in html


DAY = 86_400_000
CLOCK = "return plexusdraw.then(({ app }) => { app.modes.test.memory.now = () => arguments[0]; })"
RIPE = "return plexusdraw.then(({ app }) => app.modes.test.memory.ripe().length)"


def test_mistakes_come_back_after_1_3_and_7_days(page):
    page.go("mode=test&kind=roots&count=5")
    line = {"kind": "roots", "about": "ulnar-nerve", "prompt": "p", "right": "r", "given": "g", "when": 0}
    add = "return plexusdraw.then(({ app }) => app.modes.test.memory.add({ ...arguments[0], verdict: arguments[1] }))"
    day = 0
    page.run(CLOCK, 0)
    page.run(add, line, "wrong")
    for wait in (1, 3, 7):
        page.run(CLOCK, (day + wait) * DAY - 1)
        assert page.run(RIPE) == 0
        day += wait
        page.run(CLOCK, day * DAY)
        assert page.run(RIPE) == 1
        page.run(BEGIN)
        assert page.run(ROUND)["question"]["about"] == "ulnar-nerve"
        page.run("return plexusdraw.then(({ app }) => app.modes.test.stop(true))")
        page.run(add, line, "right")
    page.run(CLOCK, 1000 * DAY)
    assert page.run(RIPE) == 0


def test_results_are_kept_only_when_asked(page):
    page.go("mode=test&kind=muscles")
    page.run(BEGIN)
    page.run(ANSWER, True)
    page.run("[...document.querySelectorAll('#content button')].find(b => b.textContent === 'End').click()")
    assert page.run("return localStorage.length") == 0
    page.run("document.querySelector('.kept input').click()")
    assert page.run("return localStorage.length") == 1
    page.run("[...document.querySelectorAll('.kept button')].at(-1).click()")
    assert page.run("return localStorage.length") == 0


def test_csv_is_quoted_and_holds_no_formula(page):
    made = page.run("""
      const { app } = await plexusdraw;
      let blob = null;
      URL.createObjectURL = given => { blob = given; return "blob:nothing"; };
      HTMLAnchorElement.prototype.click = function () {};
      const line = { when: 0, kind: "name", about: "x", prompt: 'a "b", c', given: "=1+1", right: "r" };
      app.modes.test.memory.lines = [{ ...line, verdict: "wrong" }];
      app.modes.test.csv.disabled = false;
      app.modes.test.csv.click();
      return blob.text();
    """)
    assert made.splitlines()[1] == '1970-01-01T00:00:00.000Z,name,x,"a ""b"", c",\'=1+1,r,wrong'


# --- set tests ---

SET = "mode=test&kind=mixed&count=8&seed=7"


def all_of(page):
    made = page.run(ROUND)
    return [
        (q["kind"], q["about"], q["prompt"], [o["text"] for o in q["options"]])
        for q in (made["question"], *made["queue"])
    ]


def test_a_seed_gives_the_same_test_and_another_seed_another(page, chromium, page_file):
    forms = []
    for seed in ("7", "7", "8"):
        page = chromium.open(page_file, f"mode=test&kind=mixed&count=20&seed={seed}")
        page.run("sessionStorage.clear()")
        page.run(BEGIN)
        forms.append(all_of(page))
        page.run("sessionStorage.clear()")
    assert forms[0] == forms[1] != forms[2]
    assert len(forms[0]) == 20
    assert len({kind for kind, *_ in forms[0]}) == 9


PRESS = "[...document.querySelectorAll('#content button')].find(b => b.textContent === arguments[0]).click()"


def test_a_test_is_set_with_what_is_typed_or_not_at_all(page):
    page.go("mode=test&kind=skin")
    fill = "document.getElementById(arguments[0]).value = arguments[1]"
    told = "return document.querySelector('#content details .message').textContent"
    for field, wrong in (("set-time", "soon"), ("set-time", "5.5"), ("set-seed", "a b")):
        page.run(fill, field, wrong)
        page.run(PRESS, "Open the test")
        assert wrong in page.run(told)
        assert "seed" not in page.run("return location.hash")
        page.run(fill, field, "7")
    page.run("navigator.clipboard.writeText = () => Promise.reject(new Error('no'))")
    page.run(PRESS, "Copy the address")
    page.wait("return document.querySelector('#content .to-copy textarea')")
    address = page.run("return document.activeElement.value")
    assert address.partition("#")[2] == "mode=test&kind=skin&seed=7&time=7"


def test_a_set_test_says_how_many_questions_there_are(page):
    page.go("mode=test&kind=roots&about=radial-nerve&count=40&seed=2")
    (many,) = page.run("return plexusdraw.then(({ app }) => [app.modes.test.made.many('roots', 'radial-nerve')])")
    assert 0 < many < 40
    assert f"{many} question" in page.text("#content .result")


def test_a_set_test_tells_nothing_until_its_end(page):
    page.go(SET)
    assert "holds its answers" in page.text("#content")
    page.run(BEGIN)
    for i in range(8):
        assert page.run("return document.querySelectorAll('#view g[data-state=blank]').length") > 20
        assert page.run("return document.querySelector('#content .verdict')") is None
        page.click("#tab-explore")
        assert page.run("return plexusdraw.then(({ app }) => app.shown.mode)") == "test"
        page.run(ANSWER, i > 1)
    assert "Form 7: 6 of 8 right" in page.text("#content .result")
    page.run("dispatchEvent(new Event('beforeprint'))")
    assert page.run("return document.querySelectorAll('#paper .answers > li').length") == 8
    page.run("dispatchEvent(new Event('afterprint'))")


def test_a_test_goes_on_after_a_reload(page):
    page.go(SET)
    page.run(BEGIN)
    page.run(ANSWER, True)
    before = page.run(ROUND)["question"]
    page.driver.refresh()
    page.wait("return document.documentElement.classList.contains('ready')")
    assert page.run(ROUND)["question"] == before
    assert "Question 2 of 8" in page.text("#content")
    page.run("sessionStorage.clear()")


def test_the_time_ends_a_test(page):
    page.go(SET + "&time=5")
    page.run(BEGIN)
    assert "left" in page.text(".clock")
    page.run(
        "return plexusdraw.then(({ app }) => { app.modes.test.round.ends = Date.now() - 1; app.modes.test.tick(); })"
    )
    assert "The time was over" in page.text("#content")


@pytest.mark.parametrize("kind", ["name", "place"])
def test_question_and_asked_thing_are_in_view_on_a_phone(page, kind):
    page.size(390, 844)
    page.go(f"mode=test&kind={kind}&count=10")
    page.run(BEGIN)
    for _ in range(4):
        seen = page.run("""
          const inside = box => box.top >= 0 && box.bottom <= innerHeight && box.left >= 0 && box.right <= innerWidth;
          const { app } = await plexusdraw;
          const { question } = app.modes.test.round;
          const asked = document.querySelector(question.kind === "name" ? "#view .asked rect" : "#view svg");
          const box = asked.getBoundingClientRect(), view = document.querySelector("#view").getBoundingClientRect();
          const across = box.left >= view.left - 1 && box.right <= view.right + 1;
          const within = across && box.top >= view.top - 1 && box.bottom <= view.bottom + 1;
          return [inside(document.querySelector("#content .question").getBoundingClientRect()), within];
        """)
        assert seen == [True, True]
        page.run(ANSWER, True)
        page.run(NEXT)


def test_by_keyboard_alone(page):
    from selenium.webdriver import ActionChains
    from selenium.webdriver.common.keys import Keys

    page.go("mode=test&kind=muscles&count=5")
    page.run("document.querySelector('#content .main').focus()")
    ActionChains(page.driver).send_keys(Keys.ENTER).perform()
    assert page.run("return document.activeElement.className") == "question"
    ActionChains(page.driver).send_keys("2").perform()
    assert page.run("return document.activeElement.textContent") == "Next"
    assert page.text("#said").startswith(("Right:", "No, it is:"))
    ActionChains(page.driver).send_keys(Keys.ENTER).perform()
    assert "Question 2" in page.text("#content")
