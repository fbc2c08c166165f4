"""Nothing that a course leaves out is mentioned in any output of any command: read from the bytes."""

from __future__ import annotations

import io
import json
import re
import zipfile
import zlib
from base64 import b85decode
from functools import cache
from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner

from plexusdraw.cli.main import cli
from plexusdraw.courses import load
from plexusdraw.model import load as load_model
from plexusdraw.names.spelling import tokens

KEPT = (
    "deltoid, biceps brachii, triceps brachii, brachioradialis, extensor digitorum, flexor carpi ulnaris, "
    "first dorsal interosseous, abductor pollicis brevis, opponens pollicis, abductor digiti minimi, supraspinatus, "
    "infraspinatus, upper lateral arm, C6 dermatome, hypothenar palm, trapezius"
)
PARTS = re.compile(r"""["<>;|·\n]|\s{2,}""")
"""Between two texts: quotes of JSON, tags, columns of a table."""
COURSES = {
    "keep": f"keep: [{KEPT}]\nvariants: [martin-gruber]\n",
    "leave-out": "leave-out: [long thoracic nerve, latissimus dorsi, brachialis, pronator teres, posterior arm]\n",
}


@cache
def secrets(text):
    """Names of what a course keeps and of the rest, as words, each by its first."""
    course, base = load(text), load_model("brachial", load(text).applied)
    kept = {words for entity in course.entities() for words in spelt(entity)} | {tokens(course.latin)}
    gone = {words for entity in base.entities() if entity.id in course.taught.left_out for words in spelt(entity)}
    return by_first(kept), by_first(words for words in gone - kept if len("".join(words)) > 3)


def by_first(names):
    found = {}
    for name in filter(None, names):
        found.setdefault(name[0], []).append(name)
    return found


def spelt(entity):
    texts = (entity.name, entity.latin, getattr(entity, "full_name", ""), entity.id.replace("-", " "), *entity.synonyms)
    return {tokens(text) for text in texts if text}


def found(text, path):
    """Mentions in a text of what the course leaves out."""
    kept, gone = secrets(str(path))
    return sorted({told for part in PARTS.split(text) for told in mentions(tokens(part), kept, gone)})


def mentions(words, kept, gone):
    told, beyond = set(), 0
    for i, word in enumerate(words):
        longest = max((len(name) for name in kept.get(word, ()) if words[i : i + len(name)] == name), default=0)
        beyond = max(beyond, i + longest)  # words of a longer name that is kept say nothing
        told |= {
            " ".join(words[max(0, i - 3) : i + len(name) + 3])
            for name in gone.get(word, ())
            if words[i : i + len(name)] == name and i + len(name) > beyond
        }
    return told


@pytest.fixture(scope="module")
def courses(tmp_path_factory):
    return tmp_path_factory.mktemp("courses")


@pytest.fixture(params=COURSES)
def course(request, courses, tmp_path, monkeypatch):
    """The file of a course; one path for all tests, so that its secrets are looked up once."""
    monkeypatch.chdir(tmp_path)
    path = courses / f"{request.param}.yaml"
    path.write_text(f"course: 1\nname: First year\n{COURSES[request.param]}", "utf-8")
    return path


def run(*words):
    """What a command writes to the terminal."""
    wide = {"COLUMNS": "1000"}  # a name that is broken in a table is not told from its pieces
    done = CliRunner(env=wide).invoke(cli, [str(word) for word in words])
    assert done.exit_code == 0, (words, done.output, done.exception)
    return done.stdout


def of_pdf(data):
    reader = pypdf.PdfReader(io.BytesIO(data))
    return "\n".join(page.extract_text() for page in reader.pages) + json.dumps(dict(reader.metadata or {}))


def of_zip(data):
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        return "\n".join(packed.read(name).decode("utf-8", "replace") for name in packed.namelist() if "xml" in name)


def bare(svg):
    """The text, ids and labels of an SVG, without its typeface."""
    return re.sub(r"base64,[A-Za-z0-9+/=]+", "", svg).replace("-", " ")


def test_the_reader_of_leaks_sees_one(course):
    assert found("the long thoracic nerve", course)
    assert found("supplies brachialis, in part", course)
    assert not found("biceps brachii and deltoid", course)


DRAWN = [
    ["--detail", "framework"],
    ["--detail", "nerves"],
    ["--detail", "muscles"],
    ["--names", "latin"],
    ["--show-roots", "--by", "plane"],
    ["--nerve", "ulnar nerve"],
    ["--nerve", "radial nerve"],
    ["--limb", "skin"],
    ["--limb", "muscles"],
    ["--limb", "dermatomes"],
    ["--detail", "muscles", "--injure", "lower trunk"],
    ["--limb", "muscles", "--injure", "posterior cord"],
    ["--highlight", "C7", "--detail", "muscles"],
    ["--hide", "labels"],
]


@pytest.mark.parametrize("course", ["keep"], indirect=True)
@pytest.mark.parametrize("choices", DRAWN, ids=" ".join)
def test_no_picture_mentions_what_is_left_out(course, choices):
    run("draw", course, *choices, "--paper", "a3", "-o", "x.svg")
    text = Path("x.svg").read_text("utf-8")
    assert "A selection" in text
    assert found(bare(text), course) == []


def test_no_text_mentions_what_is_left_out(course):
    plexus = load(str(course))
    kinds = ("", "roots", "nerves", "muscles", "skin", "groups", "places", "sites", "scenarios", "reflexes", "signs")
    for what in (*kinds, "outside", "variants", "sources"):
        told = run("list", course, *([what] if what else [])) + run("list", course, *([what] if what else []), "--json")
        assert found(told, course) == [], what
    for entity in plexus.entities():
        if entity.kind not in ("sign", "scenario"):
            told = run("trace", course, entity.id) + run("trace", course, entity.id, "--json")
            assert found(told.replace("-", " "), course) == [], entity.id


def test_no_injury_mentions_what_is_left_out(course):
    for place in ("C5", "C7", "lower trunk", "posterior cord", "ulnar nerve at elbow", "median nerve", "Erb palsy"):
        for more in (["--why"], ["--json", "--why"]):
            assert found(run("injure", course, place, *more).replace("-", " "), course) == [], place
    run("injure", course, "lower trunk", "-o", "case.pdf")
    told = of_pdf(Path("case.pdf").read_bytes())
    assert "A selection" in told
    assert found(told, course) == []


def test_no_answer_mentions_what_is_left_out(course):
    findings = ["--weak", "deltoid", "--spared", "triceps brachii", "--numb", "upper lateral arm"]
    run("localise", course, *findings, "-o", "found.pdf")
    assert found(of_pdf(Path("found.pdf").read_bytes()), course) == []
    for more in ([], ["--json"]):
        assert found(run("localise", course, *findings, "--allow-variants", *more).replace("-", " "), course) == []
        told = run("compare", course, "C8", "ulnar nerve at elbow", *more)
        assert found(told.replace("-", " "), course) == []


@pytest.mark.parametrize("course", ["keep"], indirect=True)
@pytest.mark.parametrize(
    "kind", ["label", "draw", "table", "injury", "site", "recall", "match", "choice", "cards", "shade", "limb"]
)
def test_no_worksheet_mentions_what_is_left_out(course, kind):
    key = [] if kind == "cards" else ["--key", "after"]
    run("worksheet", course, "--kind", kind, "--paper", "a3", *key, "-o", "x.pdf", "--export", "x.gift")
    data = Path("x.pdf").read_bytes()
    assert found(of_pdf(data), course) == []
    assert found(Path("x.gift").read_text("utf-8"), course) == []
    if kind != "cards":
        assert "A selection" in of_pdf(data)


@pytest.mark.parametrize("course", ["keep"], indirect=True)
def test_no_slide_mentions_what_is_left_out(course):
    run("slides", course, "-o", "x.pptx")
    text = of_zip(Path("x.pptx").read_bytes())
    assert "A selection" in text
    told = re.sub(r"<[^>]*>", "\n", text) + "\n".join(re.findall(r'(?:name|descr|title)="([^"]*)"', text))
    assert found(told.replace("-", " "), course) == []


@pytest.mark.slow
@pytest.mark.parametrize("course", ["keep"], indirect=True)
def test_no_part_of_the_page_mentions_what_is_left_out(course):
    run("page", course, "-o", "x.html")
    html = Path("x.html").read_text("utf-8")
    data = re.search(r'<script[^>]*type="application/json"[^>]*>(.*?)</script>', html, re.DOTALL)
    assert data is not None
    held = json.loads(data[1])
    packed = [held["model"], *held["scenes"].values()]
    text = html[: data.start()] + "\n".join(
        zlib.decompress(b85decode(part.replace(",", "<")), -zlib.MAX_WBITS).decode() for part in packed
    )
    text = re.sub(r"base64,[A-Za-z0-9+/=]+", "", text).replace("-", " ")
    assert "another muscle" in text
    assert found(text, course) == []
