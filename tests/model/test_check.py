"""Each rule of a model file, broken once: the message has the line and says what to do."""

from __future__ import annotations

import re

import pytest
from randoms import MODELS

from plexusdraw.errors import ModelError
from plexusdraw.model import load

CAUDAL = (MODELS / "caudal.yaml").read_text("utf-8")

FAULTS = [
    ("from: [L3, L4]", "from: [L3, L44]", 'parent "L44" is not in this file. Did you mean L4?'),
    ("course: [hip-nerve]", "course: [hip-nerf]", 'branch "hip-nerf" is not in this file. Did you mean hip-nerve'),
    ("course: [hip-nerve]", "course: [Hip nerve]", "Did you mean hip-nerve?"),
    ("course: [hip-nerve]", "course: [hip-nerve, hip-nerve]", "hip-nerve leaves twice"),
    ("course: [hip-nerve]", "course: [hip-nerve, s1-dermatome]", "s1-dermatome is a dermatome, which has no nerve"),
    ("course: [hip-nerve]", "course: [{to: hip-nerve, roots: [L3]}]", "only what a muscle or skin gets is narrowed"),
    (
        "course: [hip-muscle], side",
        "course: [hip-muscle, front-band], side",
        "cycle: front-band → hip-nerve → front-band",
    ),
    ("{name: S2, stage: roots}", "{name: S2, stage: rots}", 'stage "rots" is not in this file. Did you mean roots?'),
    ("{name: S2, stage: roots}", "{name: S2, stage: roots, from: [L3]}", "a root comes from nothing"),
    ("{name: S2, stage: roots}", "{name: S2, stage: roots}\n  - {name: S3, stage: roots}", "S3 reaches no muscle"),
    (
        "{name: S2, stage: roots}",
        "{name: S2, stage: roots}\n  - {name: lost nerve}",
        "lost nerve: no segment leads to it",
    ),
    ("from: [back-band], plane", "from: [shin-nerve], plane", "cycle:"),
    (
        "name: front half, stage: halves, from: [front-band",
        "name: front half, stage: halves, from: [rear-half, front-band",
        "parent rear-half lies in halves",
    ),
    (
        "name: front half, stage: halves, from: [front-band, back-band]",
        "name: front half, stage: halves",
        "front half: no segment leads to it",
    ),
    (
        "{name: joining root, from: [front-half], minor: [L5]}",
        "{name: joining root, from: [front-half], minor: [L9]}",
        'root "L9" is not in this file',
    ),
    ("    roots: [L3, L4]\n", "    roots: [L3, L4, S1, S9]\n", 'root "S9" is not in this file'),
    (
        "{name: groin nerve, roots: [L3], minor",
        "{name: groin nerve, roots: [L3, S1], minor",
        "groin nerve: S1 does not arrive there (arriving: L3, L4)",
    ),
    (
        "{name: knee extensor, latin: musculus extensor genus, roots: [L3, L4]",
        "{name: knee extensor, roots: [L3, L4, S2]",
        "knee extensor: S2 does not arrive there (arriving: L3, L4)",
    ),
    (
        "{name: hip muscle, roots: [L3, L4]",
        "{name: hip muscle, roots: [], minor: [L3]",
        "hip muscle: no principal root",
    ),
    ("{name: hip muscle, roots: [L3, L4]", "{name: hip muscle, roots: [L3], minor: [L3]", "L3 is principal and minor"),
    (
        "{name: hip muscle, roots",
        "{name: idle muscle, roots: [L3]}\n  - {name: hip muscle, roots",
        "idle muscle: no nerve leads to it",
    ),
    ("{name: hip muscle, roots", "{name: hip nerve, roots", 'id "hip-nerve" is taken by line'),
    (
        "roots: [], minor: [S1, S2]",
        "roots: [], minor: [L3]",
        "deep branch of shin nerve to knee flexor: L3, which knee flexor does not list",
    ),
    (
        "members: [knee-extensor, knee-flexor]",
        "members: [knee-extensor, knee-flexer]",
        'member "knee-flexer" is not in this file. Did you mean knee-flexor',
    ),
    (
        "muscles: [knee-extensor], roots: [L4]",
        "muscles: [knee-extensor], roots: [S2]",
        "knee reflex: none of its muscles takes S2",
    ),
    (
        "when: {lost: [toe-lifter]}",
        "when: {lost: [toe-lifted]}",
        'root or reflex "toe-lifted" is not in this file. Did you mean toe-lifter',
    ),
    ("when: {lost: [toe-lifter]}", "when: {cut: [toe-lifter]}", 'segment or place "toe-lifter" is not in this file'),
    ("when: {lost: [toe-lifter]}", "when: {}", "a rule that says nothing"),
    ("source: [made-up]", "source: [made-upp]", 'source "made-upp" is not in this file. Did you mean made-up'),
    ("dermatome: S1", "dermatome: L5, minor: [S1]", "a dermatome has no other roots"),
    ("dermatome: S1", "dermatome: S1, roots: [S2]", "roots stand beside its dermatome"),
    ("dermatome: S1", "dermatome: []", "dermatome"),
    ("dermatome: S1", "dermatome: [S1, L1]", "L1"),
    ("dermatome: S1", "dermatome: [L3, S1], areas: [sole-skin]", "none of its areas lists L3"),
    ("course: [hip-nerve]", "course: [hip-nerve, hip-joint]", "write it into the note of its nerve"),
    (
        "- {id: bands, name",
        "- {id: idle, name: idle, singular: idle}\n  - {id: bands, name",
        'stage "idle" has no segment',
    ),
    (
        "- {id: bands, name",
        "- {id: roots, name: idle, singular: idle}\n  - {id: bands, name",
        'stage "roots" stands twice',
    ),
    ("{name: S2, stage: roots}", '{name: "!!", stage: roots}', "its name gives no id"),
]
FORM = [
    ("plane: posterior", "plain: posterior", 'unknown key "plain" in segments, rear half. Did you mean plane'),
    (
        "plane: posterior",
        "plane: posterier",
        '"posterier" is not posterior, middle or anterior. Did you mean posterior?',
    ),
    ("{name: S2, stage: roots}", "{stage: roots}", 'segments, entry 5 has no "name". Add name: ...'),
    (
        "{name: S2, stage: roots}",
        "{name: 2, stage: roots}",
        "entry 5, name: must be text, not 2. Put it in quotes.",
    ),
    ("{name: S2, stage: roots}", "5", "segments, entry 5: must be a mapping, not 5"),
    ("from: [L3, L4]", "from: L3", 'segments, front band, from: must be a list, not "L3"'),
    ("course: [hip-nerve]", "course: [{too: hip-nerve}]", 'unknown key "too"'),
    (
        "{place: groin}",
        "{place: groin, plce: 1}",
        'unknown key "plce" in segments, thigh nerve, course, groin. Did you mean place?',
    ),
    ("side: cranial", "side: cranial, drawn: 1", "drawn: must be true or false, not 1"),
    ("plexusdraw: 1", "plexusdraw: 2", "plexusdraw: 2 is not 1. The form that is known here is plexusdraw: 1."),
    ("members: [knee-extensor, knee-flexor]", "members: []", "members: must be a list of 1 or more."),
    ("plexusdraw: 1", "plexusdraw: true", "plexusdraw: true is not 1"),
    ("{name: S2, stage: roots}", '{name: "", stage: roots}', "segments, entry 5, name: must be text, not nothing."),
    ("{name: S2, stage: roots}", "{name: S2, stage: [roots]}", "segments, S2, stage: must be text, not a list."),
    (
        "{place: groin}",
        "{place: groin, xyz: 1}",
        "thigh nerve, course, groin. Known: place, id, latin, label, synonyms, note, source, variable.",
    ),
    ("course: [hip-nerve]", "course: [{to: hip-nerve, xyz: 1}]", "Known: to, roots, minor."),
    ("when: {lost: [toe-lifter]}", "when: {any: [{all: [{lsot: []}]}]}", "all, entry 1. Did you mean lost?"),
    ("made-up: {title:", "title: {titel:", 'unknown key "titel" in sources, title. Did you mean title?'),
    ("made-up: {title:", '"": {title:', "a name in sources: must be text, not nothing."),
    (
        "  - {id: roots,",
        "  - {<x>: 1, id: roots,",
        'unknown key "<x>" in stages, roots. Known: id, name, singular,',
    ),
    ("plexusdraw: 1", "plexusdraw: 1\n[]: 1", "a key must be plain text"),
    ("plexusdraw: 1", "plexusdraw: 1\n'[key]': 1", 'unknown key "[key]". Known: plexusdraw, id, name'),
    ("{name: S2, stage: roots}", f"{{name: {'x' * 121}, stage: roots}}", "name: is longer than 120 characters."),
    (
        "{name: S2, stage: roots}",
        f"{{name: S2, stage: roots, note: {'x' * 2001}}}",
        "note: is longer than 2000 characters.",
    ),
    ("{name: S2, stage: roots}", "{name: S2, stage: roots, latin: ' '}", "latin: must be text that can be seen"),
    ("{name: S2, stage: roots}", "{name: S2, stage: roots, label: '\u200b'}", "label: must be text that can be seen"),
    ("source: {nerve: [made-up]", "source: {nerve: made-up", 'source, nerve: must be a list, not "made-up".'),
]


@pytest.mark.parametrize(("old", "new", "words"), [*FAULTS, *FORM])
def test_each_fault_is_told_with_its_line(tmp_path, old, new, words):
    assert old in CAUDAL
    path = tmp_path / "wrong.yaml"
    path.write_text(CAUDAL.replace(old, new, 1), "utf-8")
    with pytest.raises(ModelError) as caught:
        load(path)
    message = str(caught.value)
    assert words in message
    assert message.startswith(str(path))


def test_the_line_is_that_of_the_fault(tmp_path):
    path = tmp_path / "wrong.yaml"
    path.write_text(CAUDAL.replace("plane: posterior", "plain: posterior"), "utf-8")
    line = next(i for i, text in enumerate(CAUDAL.splitlines(), 1) if "plane: posterior" in text)
    with pytest.raises(ModelError, match=rf"wrong\.yaml:{line}: unknown key"):
        load(path)


def test_a_plexus_of_which_nothing_is_drawn_is_told(tmp_path):
    text = (MODELS / "odd-targets.yaml").read_text("utf-8")
    path = tmp_path / "unseen.yaml"
    path.write_text(re.sub(r"(, stage: \w+)", r"\1, drawn: false", text), "utf-8")
    with pytest.raises(ModelError, match="yaml:13: no segment of a stage is drawn: pictures would be empty"):
        load(path)


def test_all_faults_are_told_at_once(tmp_path):
    path = tmp_path / "wrong.yaml"
    text = CAUDAL.replace("from: [L3, L4]", "from: [L3, L44]").replace("[knee-extensor, knee-flexor]", "[nobody]")
    path.write_text(text, "utf-8")
    with pytest.raises(ModelError) as caught:
        load(path)
    lines = str(caught.value).splitlines()
    assert len(lines) == 2
    assert "L44" in lines[0]
    assert "nobody" in lines[1]


def test_a_file_that_is_no_model(tmp_path):
    path = tmp_path / "list.yaml"
    path.write_text("- 1\n", "utf-8")
    with pytest.raises(ModelError, match="not a model file"):
        load(path)


LINKED = """
plexusdraw: 1
id: linked
name: linked plexus
stages:
  - {id: roots, name: roots, singular: root}
  - {id: nerves, name: nerves, singular: nerve}
segments:
  - {name: A1, stage: roots, course: [%s]}
  - {name: link, from: [A1], course: [%s]}
  - {name: twig, course: [twig-muscle]}
  - {name: nerve, stage: nerves, from: [link], course: [arm, leg]}
muscles:
  - {name: arm, roots: [A1]}
  - {name: leg, roots: [A1]}
  - {name: twig muscle, roots: [A1]}
"""


@pytest.mark.parametrize(
    ("root", "link", "said"),
    [
        ("twig, arm", "", "line 9: A1: arm would be in no picture, as no name ends there. Give it a branch: "),
        ("twig", "leg", "line 10: link: a link has no place in pictures for leg. Put it into the course"),
        ("", "twig", "line 10: link: a link has no place in pictures for twig. Put it into the course"),
        ("twig", "", ""),
    ],
)
def test_what_would_be_in_no_picture_is_refused_with_the_way_out(root, link, said, tmp_path):
    path = tmp_path / "linked.yaml"
    path.write_text(LINKED % (root, link), "utf-8")
    if not said:
        assert load(path).id == "linked"
        return
    with pytest.raises(ModelError) as told:
        load(path)
    assert said.replace("line ", "linked.yaml:") in str(told.value)


TWO_PART = (MODELS / "two-part.yaml").read_text("utf-8")


def told(tmp_path, text):
    """What is said of a file, without its path."""
    path = tmp_path / "wrong.yaml"
    path.write_text(text, "utf-8")
    with pytest.raises(ModelError) as caught:
        load(path)
    return [line.removeprefix(f"{path}:") for line in str(caught.value).splitlines()]


@pytest.mark.parametrize(("old", "new", "words"), FAULTS)
def test_the_line_that_is_told_holds_what_is_told_of_it(tmp_path, old, new, words):
    """The entry that is named stands in the line, or what leaves it there."""
    text = CAUDAL.replace(old, new, 1)
    for said in told(tmp_path, text):
        number, _, message = said.partition(": ")
        line = text.splitlines()[int(number) - 1]
        named = [message.partition(":")[0], *re.findall(r'"([^"]+)"', message), *re.findall(r"[\w-]+", message)[:3]]
        assert any(name in line or name.replace("-", " ") in line for name in named), (said, line)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (
            "{name: inner nerve, stage: nerves, from: [inner-part-of-great-nerve]",
            "{name: inner nerve, stage: nerves, from: [great-nerve]",
            "inner nerve: great nerve has parts that keep apart. Name one of its parts: "
            "inner-part-of-great-nerve, outer-part-of-great-nerve.",
        ),
        (
            "    stage: sheath\n",
            "    stage: roots\n",
            "great nerve: only a segment of a later stage has parts. "
            "Give it a stage after the first, or write its parts as branches of their own.",
        ),
        (
            "    stage: sheath\n",
            "    stage: sheath\n    from: [front-of-a1]\n",
            "great nerve: from stands beside its parts. Move it into the parts.",
        ),
        (
            "    stage: sheath\n",
            "    stage: sheath\n    roots: [A1]\n",
            "great nerve: roots stands beside its parts. Move it into the parts.",
        ),
        (
            "    stage: sheath\n",
            "    stage: sheath\n    roots: [A2]\n    minor: [A1]\n",
            "great nerve: minor stands beside its parts. Move it into the parts.",
        ),
        (
            "    stage: sheath\n",
            "    stage: sheath\n    variable: {A9: x}\n",
            "great nerve: variable stands beside its parts. Move it into the parts.",
        ),
        (
            "    stage: sheath\n",
            "    stage: sheath\n    course: [inner-twig]\n",
            "great nerve: course stands beside its parts. Move it into the parts.",
        ),
    ],
)
def test_what_a_nerve_of_parts_may_not_say(tmp_path, old, new, words):
    text = TWO_PART.replace(old, new, 1)
    assert text != TWO_PART
    found = [said for said in told(tmp_path, text) if words in said]
    assert found, told(tmp_path, text)
    line = text.splitlines()[int(found[0].partition(":")[0]) - 1]
    assert words.partition(":")[0] in line


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            "when: {cut: [great-nerve]}",
            "when: {cut: [great-nerv]}",
            'flail foot: segment or place "great-nerv" is not in this file. Did you mean great-nerve',
        ),
        ("when: {cut: [great-nerve]}", "when: {cut: [great-nerve-at-notch]}", ""),
        ("when: {cut: [great-nerve]}", "when: {all: [{lost: [calf]}, {}]}", "flail foot: a rule that says nothing."),
        ("inner-twig, {place: mid thigh}]", "{place: mid thigh}]", "inner twig: no segment leads to it."),
    ],
)
def test_signs_and_branches_of_a_nerve_of_parts(tmp_path, old, new, says):
    text = TWO_PART.replace(old, new, 1)
    assert text != TWO_PART
    if says:
        assert any(says in said for said in told(tmp_path, text))
        return
    path = tmp_path / "right.yaml"
    path.write_text(text, "utf-8")
    assert load(path).signs["flail-foot"].when.cut == ("great-nerve-at-notch",)


@pytest.mark.parametrize(
    ("added", "says"),
    [
        (
            "regions: [{name: part, nerves: [hip-nerf]}]",
            'part: nerve "hip-nerf" is not in this file. Did you mean hip-nerve',
        ),
        ("remarks: [{place: kne, note: x}]", 'remark: place "kne" is not in this file. Did you mean knee'),
        ("remarks: [{place: knee, note: x, source: [nope]}]", 'remark on knee: source "nope" is not in this file'),
    ],
)
def test_parts_and_remarks_name_what_is_there(tmp_path, added, says):
    (said,) = told(tmp_path, f"{CAUDAL}\n{added}\n")
    assert says in said
    assert int(said.partition(":")[0]) == len(CAUDAL.splitlines()) + 2


def test_each_round_of_checks_waits_for_the_one_before(tmp_path):
    """An unknown parent is told; that roots then do not arrive is no further fault."""
    wrong = CAUDAL.replace("from: [L3, L4]", "from: [L3, L44]")
    wrong = wrong.replace("{name: hip muscle, roots: [L3, L4]", "{name: hip muscle, roots: [S2]")
    assert len(told(tmp_path, wrong)) == 1


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "{name: S2, stage: roots}",
            "{name: S2, stage: roots}\n  - {name: lost nerve}",
            "lost nerve: no segment leads to it. Put it in the course of one, or add from: [...].",
        ),
        (
            "name: front half, stage: halves, from: [front-band, back-band]",
            "name: front half, stage: halves",
            "front half: no segment leads to it. Add from: [...].",
        ),
        (
            "{name: hip nerve, course",
            "{name: hip nerve, roots: [], course",
            "hip nerve: no root reaches it. Check where it comes from.",
        ),
        (
            "{to: knee-flexor, roots: [], minor: [S1, S2]}",
            "{to: knee-flexor, roots: [], minor: [S1, L3]}",
            "deep branch of shin nerve to knee flexor: L3, which knee flexor does not list. Check both lists.",
        ),
        (
            "{name: S2, stage: roots}",
            "{name: S2, stage: roots, from: [L3]}",
            "S2: a root comes from nothing. Take from: out.",
        ),
        (
            "dermatome: S1",
            "dermatome: S1, areas: [inner-leg-skin]",
            "S1 dermatome: inner leg skin does not list S1. Take it out of the areas, or give it the root.",
        ),
        (
            "{name: inner leg skin, roots: [L4]",
            "{name: inner leg skin, areas: [sole-skin], roots: [L4]",
            "inner leg skin: only a dermatome has areas. Take them out.",
        ),
    ],
)
def test_whole_messages_with_their_lines(tmp_path, old, new, message):
    text = CAUDAL.replace(old, new, 1)
    found = dict(said.partition(": ")[::2] for said in told(tmp_path, text))
    assert message in found.values()
    number = next(number for number, said in found.items() if said == message)
    name = message.partition(" to ")[0].partition(":")[0]
    assert name in text.splitlines()[int(number) - 1]
