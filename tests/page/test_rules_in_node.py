"""The page's live rules against Python's in plain node: random models and injuries, findings and spellings."""

from __future__ import annotations

import json
import random
import shutil
import subprocess
from contextlib import suppress
from pathlib import Path

import pytest
from night import by_day
from randoms import brachial, random_plexus, rows, small, write

from plexusdraw import courses
from plexusdraw.clinic import report
from plexusdraw.clinic.findings import BY_GRADE, finding, graded_text
from plexusdraw.clinic.injury import Injury
from plexusdraw.clinic.localise import localise
from plexusdraw.errors import FindingsError
from plexusdraw.model import load
from plexusdraw.names import lookup, sites, spelling
from plexusdraw.names.cited import plain
from plexusdraw.page.build import _RULES, _web
from plexusdraw.page.payload import payload
from plexusdraw.routes import fibres

HERE = Path(__file__).parent
NODE = shutil.which("node")
PROTOTYPE = ["constructor", "__proto__", "toString", "hasOwnProperty"]
"""Names that every object of the script's language has of itself."""
pytestmark = pytest.mark.skipif(NODE is None, reason="node is not installed; the tests in the browser check less")


@pytest.fixture(scope="module")
def rules(tmp_path_factory):
    """The modules of the rules, and what runs them."""
    folder = tmp_path_factory.mktemp("rules")
    (folder / "package.json").write_text('{"type": "module"}', "utf-8")
    for name in _RULES:
        (folder / f"{name}.js").write_text(_web(f"{name}.js"), "utf-8")
    shutil.copy(HERE / "rules.mjs", folder)
    return folder


def ask(rules, cases):
    """What the rules say of cases: a model, and what is asked of it."""
    asked = json.dumps(cases)
    made = subprocess.run(
        [str(NODE), "rules.mjs"], cwd=rules, input=asked, capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert made.returncode == 0, made.stderr
    return json.loads(made.stdout)


def near(value):
    """The same value, numbers to 0.001, since the two languages round ties differently."""
    if isinstance(value, dict):
        return {key: near(v) for key, v in value.items()}
    if isinstance(value, list):
        return [near(v) for v in value]
    return pytest.approx(value, abs=0.0011) if isinstance(value, float) else value


def case(plexus, *, injuries=(), findings=(), texts=()):
    return {
        "model": payload(plexus, {}),
        "injuries": [
            {"sites": [s.id for s in i.sites], "partial": i.partial, "pieces": pieces(plexus)} for i in injuries
        ],
        "findings": [
            [{"kind": f.kind, "about": f.about, "name": f.name, "movement": f.movement} for f in some]
            for some in findings
        ],
        "texts": list(texts),
    }


def pieces(plexus):
    """Every piece of every strand: segment, root, position, and the parent from which it comes."""
    carried = fibres.of(plexus)
    found = []
    for segment in plexus.segments.values():
        found += [
            [segment.id, root, at, ""] for root in carried.carried[segment.id] for at in range(len(segment.course) + 1)
        ]
        for parent in segment.parents:
            found += [[segment.id, root, 0, parent] for root in carried.between(parent, segment.id)]
    return found


def some_injuries(plexus, dice, many):
    places = sites.all_sites(plexus)
    for _ in range(many):
        yield Injury(plexus, dice.sample(places, min(len(places), dice.randint(1, 4))), partial=dice.random() < 0.25)


def some_findings(plexus, dice, many):
    for _ in range(many):
        names = dice.sample(list(plexus.muscles), min(len(plexus.muscles), dice.randint(1, 5)))
        yield [finding(plexus, dice.choice(["weak", "paralysed", "slight", "spared"]), name) for name in names]


def same_injuries(injuries, found):
    for injury, said in zip(injuries, found["injuries"], strict=True):
        wish = report.injury(injury)
        for sign in wish["signs"]:
            sign["note"] = plain(injury.plexus, sign["note"])  # the page shows no ids of sources
        assert said["report"] == near(wish), injury.sites
        wanted = [injury.strand(s, r, at, source or None) for s, r, at, source in pieces(injury.plexus)]
        assert said["strands"] == wanted, injury.sites


@pytest.mark.nightly
def test_random_models_and_injuries(rules, tmp_path):
    asked, wanted = [], []
    for seed in range(40):
        dice = random.Random(seed)
        plexus = random_plexus(tmp_path, seed, stages=dice.randint(2, 5), roots=dice.randint(2, 6))
        injuries = list(some_injuries(plexus, dice, 10))
        findings = list(some_findings(plexus, dice, 4))
        asked.append(case(plexus, injuries=injuries, findings=findings))
        wanted.append((plexus, injuries, findings))
    for found, (plexus, injuries, findings) in zip(ask(rules, asked), wanted, strict=True):
        same_injuries(injuries, found)
        for some, said in zip(findings, found["findings"], strict=True):
            assert said == near(report.localise(localise(plexus, some, 10))), [f.about for f in some]


@pytest.mark.parametrize("model", ["brachial", "caudal", "two-stages", "odd-targets", "two-part"])
def test_random_injuries_of_known_models(rules, model):
    plexus = brachial() if model == "brachial" else small(model)
    injuries = list(some_injuries(plexus, random.Random(5), 80))
    (found,) = ask(rules, [case(plexus, injuries=injuries)])
    same_injuries(injuries, found)
    assert model != "brachial" or any(o.disputed for i in injuries for o in i.muscles.values())


@pytest.mark.parametrize("model", ["brachial", "cervical", "lumbosacral", "two-part"])
def test_what_has_a_name_has_one_in_the_page(rules, model):
    """A nerve of several parts and its places too."""
    plexus = small(model) if model == "two-part" else load(model)
    (found,) = ask(rules, [case(plexus)])
    assert sorted(found["entities"]) == sorted(entity.id for entity in plexus.entities())


CONVENTIONS = sorted(v.id for v in brachial().variants.values() if v.kind == "convention")
OF_DRAWING = [id for id in CONVENTIONS if load("brachial", [id]).drawing]


@pytest.mark.parametrize("convention", by_day(CONVENTIONS, OF_DRAWING))
def test_a_convention_changes_what_is_drawn_and_no_result(rules, convention):
    plexus = load("brachial", [convention])
    dice = random.Random(11)
    injuries = [Injury(plexus, [site]) for site in sites.all_sites(plexus)] + list(some_injuries(plexus, dice, 20))
    findings = list(some_findings(plexus, dice, 4))
    asked = case(plexus, injuries=injuries, findings=findings)
    of_drawing = pieces(plexus.drawn)
    for injury in asked["injuries"]:
        injury["pieces"] = of_drawing
    (found,) = ask(rules, [asked])
    for injury, said in zip(injuries, found["injuries"], strict=True):
        for told in ("muscles", "movements", "skin", "reflexes"):
            assert said["report"][told] == near(report.injury(injury)[told]), injury.sites
        cut = [sites.on_drawing(plexus, site) for site in injury.sites]
        shown = Injury(plexus.drawn, cut, injury.partial)
        assert said["strands"] == [shown.strand(s, r, at, source or None) for s, r, at, source in of_drawing]
    for some, said in zip(findings, found["findings"], strict=True):
        assert said == near(report.localise(localise(plexus, some, 10))), [f.about for f in some]


def test_a_dermatome_of_two_roots_among_findings(rules):
    plexus = small("odd-targets")
    numb, weak = finding(plexus, "numb", "F2–F3 dermatome"), finding(plexus, "weak", "wagger")
    asked = [[numb], [numb, weak], [numb, finding(plexus, "feels", "base skin")]]
    (found,) = ask(rules, [case(plexus, findings=asked)])
    assert found["findings"] == [near(report.localise(localise(plexus, some, 10))) for some in asked]


@pytest.mark.parametrize(
    ("model", "choice"),
    [
        ("brachial", "variants: [martin-gruber]\nkeep: [terminal branches, deltoid, biceps brachii]"),
        ("brachial", "variants: [martin-gruber]\nleave-out: [brachialis, C8 dermatome]"),
        ("lumbosacral", "keep: [tibial nerve, semitendinosus]"),
    ],
)
def test_what_a_course_leaves_out_counts_in_the_page_too(rules, tmp_path, model, choice):
    (tmp_path / "course.yaml").write_text(f"course: 1\nname: c\nbased-on: {model}\n{choice}\n", "utf-8")
    plexus, dice = courses.load(tmp_path / "course.yaml"), random.Random(7)
    assert plexus.unseen
    injuries, findings = list(some_injuries(plexus, dice, 60)), list(some_findings(plexus, dice, 4))
    (found,) = ask(rules, [case(plexus, injuries=injuries, findings=findings)])
    for injury, said in zip(injuries, found["injuries"], strict=True):
        assert said["report"]["movements"] == near(report.injury(injury)["movements"]), injury.sites
        assert said["report"]["muscles"] == near(report.injury(injury)["muscles"]), injury.sites
    for some, said in zip(findings, found["findings"], strict=True):
        assert said == near(report.localise(localise(plexus, some, 10))), [f.about for f in some]


def test_random_findings_of_the_arm(rules):
    """Muscles, skin, dermatomes, reflexes and signs of the known model, as localise has them."""
    plexus, dice = brachial(), random.Random(9)
    among = {
        ("weak", "paralysed", "slight", "spared"): list(plexus.muscles),
        ("numb", "feels"): [area.id for area in plexus.skin.values()],
        ("numb",): [area.id for area in plexus.skin.values() if area.dermatome],
        ("reflex-lost", "reflex-kept"): list(plexus.reflexes),
        ("sign", "no-sign"): list(plexus.signs),
    }
    asked = []
    while len(asked) < 24:
        chosen = (dice.choice(list(among)) for _ in range(dice.randint(1, 5)))
        about = {dice.choice(among[kinds]): dice.choice(kinds) for kinds in chosen}
        some = [finding(plexus, kind, id) for id, kind in about.items()]
        with suppress(FindingsError):
            asked.append((some, near(report.localise(localise(plexus, some, 10)))))
    (found,) = ask(rules, [case(plexus, findings=[some for some, _ in asked])])
    for (some, wanted), said in zip(asked, found["findings"], strict=True):
        assert said == wanted, [f.text for f in some]


def test_names_that_every_object_has(rules, tmp_path):
    model = rows(3)
    ids = ["R1", "part-1-0", "part-2-0", "muscle-0-of-part-3-0"]
    text = json.dumps(model)
    for id, other in zip(ids, PROTOTYPE, strict=True):
        text = text.replace(f'"{id}"', f'"{other}"')
    renamed = json.loads(text)
    for entry in (*renamed["segments"], *renamed["muscles"]):
        old = entry["name"]
        key = old if old.startswith("R") else old.lower().replace(" ", "-")
        if key in ids:
            entry["id"] = PROTOTYPE[ids.index(key)]
    plexus = load(write(tmp_path, renamed))
    assert set(PROTOTYPE) <= {e.id for e in plexus.entities()}
    injuries = list(some_injuries(plexus, random.Random(2), 40))
    (found,) = ask(rules, [case(plexus, injuries=injuries, texts=PROTOTYPE)])
    same_injuries(injuries, found)


def some_texts(plexus, dice):
    """Names as they are, and as readers may write them: accents, plurals, cases, other words between."""
    forms = [form for e in plexus.entities() for form in lookup.forms(plexus, e)]
    yield from forms
    words = sorted({word for form in forms for word in form.split()})
    for _ in range(600):
        made = [dice.choice(words) for _ in range(dice.randint(1, 4))]
        made = [word + dice.choice(["", "", "s", "es", "'s", ".", "é"]) for word in made]
        yield dice.choice([" ", "-", "  ", ", "]).join(made).translate({ord("u"): dice.choice("uüU")})
    yield from (
        "",
        "branches",
        "axes",
        "Straße",
        "biceps",
        "plexus",
        "gas",
        "Ñ",
        "interossei",
        "the of",
        "nn. pectorales",
    )


def test_spellings(rules):
    plexus = brachial()
    texts = list(some_texts(plexus, random.Random(4)))
    (found,) = ask(rules, [case(plexus, texts=texts)])
    by_exact, by_core = {}, {}
    for entity in plexus.entities():
        for form in lookup.forms(plexus, entity):
            by_exact.setdefault(spelling.exact(form), {})[entity.id] = None
            by_core.setdefault(tuple(sorted(core(form))), {})[entity.id] = None
    for text, said in zip(texts, found["texts"], strict=True):
        assert said["core"] == " ".join(core(text)), text
        wanted = by_exact.get(spelling.exact(text)) or by_core.get(tuple(sorted(core(text))), {})
        if spelling.exact(text):
            assert set(said["found"]) == set(wanted), text


def test_strengths_in_words(rules):
    """What a text tells of strength is what it tells Python, whatever else stands in it."""
    dice, plexus = random.Random(9), brachial()
    texts = [
        "".join(
            dice.choice(["deltoid ", "M", "mrc ", "grade ", "4", "3", "0", "7", "/5", "/", "+", "-", "=", " ", "C5 "])
            for _ in range(6)
        )
        for _ in range(500)
    ]
    (found,) = ask(rules, [case(plexus, texts=texts)])
    told = 0
    for text, said in zip(texts, found["texts"], strict=True):
        grade, rest = graded_text(text)
        hints = {"strength", "mrc", "grade", "power"} & set(spelling.tokens(rest))
        kinds = [BY_GRADE[grade]] if grade is not None else ["weak", "numb", "sign", "reflex-lost"]
        assert hints or said["phrase"]["kinds"] == kinds, text
        assert said["phrase"]["rest"] == " ".join(w for w in spelling.tokens(rest) if w not in ("mrc", "grade")), text
        told += grade is not None
    assert told > 50


def core(text):
    return spelling.canonical(spelling.tokens(text))
