"""Themes: read whole or refused with every fault; the built-in ones can be told apart by everyone."""

from itertools import combinations, pairwise
from math import dist
from pathlib import Path

import pytest

from plexusdraw.errors import ThemeError
from plexusdraw.look import theme

NAMES = theme.names()

DEFICITS = {
    "none": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}
"""Machado, Oliveira and Fernandes 2009, severity 1.0, on linear RGB (memory)."""


def oklab(colour: str, deficit: str) -> tuple[float, float, float]:
    """Ottosson 2020 (memory), after the deficit."""
    linear = [
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4
        for c in (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    ]
    r, g, b = (min(1, max(0, sum(m * v for m, v in zip(row, linear, strict=True)))) for row in DEFICITS[deficit])
    long, mid, short = (
        (x * r + y * g + z * b) ** (1 / 3)
        for x, y, z in (
            (0.4122214708, 0.5363325363, 0.0514459929),
            (0.2119034982, 0.6806995451, 0.1073969566),
            (0.0883024619, 0.2817188376, 0.6299787005),
        )
    )
    return (
        0.2104542553 * long + 0.7936177850 * mid - 0.0040720468 * short,
        1.9779984951 * long - 2.4285922050 * mid + 0.4505937099 * short,
        0.0259040371 * long + 0.7827717662 * mid - 0.8086757660 * short,
    )


def written(folder: Path, text: str) -> Path:
    path = folder / "own.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def faults(folder: Path, text: str) -> list[str]:
    with pytest.raises(ThemeError) as caught:
        theme.load(written(folder, text))
    return [line.rpartition("own.yaml:")[2] for line in str(caught.value).splitlines()]


def test_the_three_themes_come_with_the_package():
    assert NAMES == ("grayscale", "lecture", "print")
    assert [theme.load(name).name for name in NAMES] == list(NAMES)


def test_print_is_the_default_on_white():
    assert theme.load() == theme.load("print")
    assert theme.load().page == "#ffffff"


@pytest.mark.parametrize("name", NAMES)
def test_every_state_has_a_look(name):
    assert set(theme.load(name).states) == set(theme.STATES)


@pytest.mark.parametrize("name", NAMES)
def test_ten_roots_have_ten_pens(name):
    """The lumbosacral plexus has as many: T12, L1 to L5, S1 to S4 (common practice, no source)."""
    look = theme.load(name)
    pens = [(p.strand, p.core, p.core_dash) for p in map(look.pen, range(10))]
    assert len(set(pens)) == 10


@pytest.mark.parametrize("name", NAMES)
def test_strands_and_letters_of_roots_stand_out_from_the_page(name):
    look = theme.load(name)
    for pen in look.roots:
        assert theme.contrast(pen.strand, look.page) >= 3.0
        assert theme.contrast(pen.text, look.page) >= 4.5


@pytest.mark.parametrize("deficit", DEFICITS)
@pytest.mark.parametrize("name", ["print", "lecture"])
def test_five_roots_differ_for_every_colour_vision(name, deficit):
    """0.02 is about a just noticeable difference in Oklab (memory); neighbours need several."""
    seen = [oklab(pen.strand, deficit) for pen in theme.load(name).roots[:5]]
    assert min(dist(a, b) for a, b in pairwise(seen)) > 0.09
    assert min(dist(a, b) for a, b in combinations(seen, 2)) > 0.05


@pytest.mark.parametrize("name", ["print", "lecture"])
def test_neighbouring_roots_differ_in_tone(name):
    strands = [pen.strand for pen in theme.load(name).roots[:5]]
    assert min(theme.contrast(a, b) for a, b in pairwise(strands)) > 1.25


def test_grayscale_holds_only_greys():
    text = (theme._folder() / "grayscale.yaml").read_text(encoding="utf-8")
    look = theme.load("grayscale")
    for colour in {word.strip('",{}[] \n') for word in text.split() if word.startswith('"#')}:
        assert colour[1:3] == colour[3:5] == colour[5:7]
    assert {look.page[1:3], look.page[3:5]} == {"ff"}


def test_grayscale_neighbours_differ_in_tone_or_pattern():
    pens = theme.load("grayscale").roots
    for a, b in pairwise(pens):
        assert theme.contrast(a.strand, b.strand) > 1.5 or a.core_dash != b.core_dash


def test_unknown_kind_looks_like_default():
    look = theme.load()
    assert look.kind("ganglion") == look.kinds["default"]


def test_contrast_of_black_and_white_is_21():
    """WCAG 2.2, definition of contrast ratio."""
    assert theme.contrast(theme.Colour("#000000"), theme.Colour("#ffffff")) == pytest.approx(21)
    assert theme.contrast(theme.Colour("#777777"), theme.Colour("#ffffff")) == pytest.approx(4.48, abs=0.005)


def test_mix():
    assert theme.mix(theme.Colour("#000000"), theme.Colour("#ff8040"), 0.5) == "#804020"


def test_own_theme_takes_the_rest_from_print(tmp_path):
    own = theme.load(written(tmp_path, 'theme: 1\nname: own\npage: "#FFFFEE"\nstates: {lost: {dash: [2, 2]}}\n'))
    base = theme.load("print")
    assert own.page == "#ffffee"
    assert own.states["lost"].dash == (2.0, 2.0)
    assert own.states["lost"].strand == base.states["lost"].strand
    assert own.roots == base.roots


def test_own_theme_may_be_based_on_another(tmp_path):
    (tmp_path / "first.yml").write_text('theme: 1\nbased-on: lecture\nink: "#ffffff"\n', encoding="utf-8")
    own = theme.load(written(tmp_path, 'theme: 1\nbased-on: first.yml\nsoft: "#eeeeee"\n'))
    assert (own.ink, own.soft, own.page) == ("#ffffff", "#eeeeee", theme.load("lecture").page)


def test_all_faults_at_once_with_lines_and_hints(tmp_path):
    text = """theme: 1
pgae: "#ffffff"
ink: blue
roots: []
states:
  lost: {dash: 3, mix: 2}
  highlight: {}
kinds:
  trunk: {fil: none}
"""
    assert faults(tmp_path, text) == [
        '2: unknown key "pgae". Did you mean page, planes, panels?',
        """3: ink: must be a colour, not "blue". Write it like "#0072b2", in quotes.""",
        "4: roots: must be a list of 1 or more.",
        "6: states, lost, mix: must be a number from 0 to 1, not 2.",
        "6: states, lost, dash: must be a list, not 3.",
        '7: unknown key "highlight" in states. Did you mean highlit, slight?',
        '9: unknown key "fil" in kinds, trunk. Did you mean fill?',
    ]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", '1: not a theme. A theme begins with "theme: 1".'),
        ("- a\n", '1: not a theme. A theme begins with "theme: 1".'),
        ("page: 1\n", '1: not a theme. A theme begins with "theme: 1".'),
        ("theme: 2\n", "1: theme: 2 is not 1. The form that is known here is theme: 1."),
        ("theme: 1\nbased-on: prnt\n", '2: no theme "prnt". Did you mean print?'),
        ("theme: 1\nbased-on: dusk\n", '2: no theme "dusk". Known: grayscale, lecture, print.'),
        ("theme: 1\nbased-on: own.yaml\n", '2: based on itself, by way of "own.yaml".'),
        ("theme: 1\npanels: none\n", '2: panels: must be a mapping, not "none".'),
        ("theme: 1\nkinds: []\n", "2: kinds: must be a mapping, not a list."),
        ("theme: 1\nkinds: {cord: 1}\n", "2: kinds, cord: must be a mapping, not 1."),
        ("theme: 1\nname: 3\n", "2: name: must be text, not 3. Put it in quotes."),
        ("theme: 1\npage: none\n", """2: page: must be a colour, not "none". Write it like "#0072b2", in quotes."""),
        ("theme: 1\nminor: true\n", "2: minor: must be a number from 0 to 1, not true."),
        ("theme: 1\npage: root\n", """2: page: must be a colour, not "root". Write it like "#0072b2", in quotes."""),
        ("theme: 1\nink: #000000\n", """2: ink: must be a colour, not nothing. Write it like "#0072b2", in quotes."""),
        (
            "theme: 1\nkinds: {cord: {fill: root}}\n",
            """2: kinds, cord, fill: must be a colour or none, not "root". Write it like "#0072b2", in quotes.""",
        ),
        (
            "theme: 1\nkinds: {cord: {text: none}}\n",
            """2: kinds, cord, text: must be a colour or root, not "none". Write it like "#0072b2", in quotes.""",
        ),
        ('theme: 1\nroots: [{strand: "#000000"}]\n', '2: roots, entry 1 has no "text". Add text: ...'),
        (
            "theme: 1\nrules: {leader_width: 1}\n",
            '2: unknown key "leader_width" in rules. Did you mean leader-width, leader?',
        ),
        ("theme: 1\ncut: {apart: 101}\n", "2: cut, apart: must be a number from 0 to 100, not 101."),
        ("theme: 1\nagain: [1, x]\n", '2: again, entry 2: must be a number from 0 to 100, not "x".'),
        ("theme: 1\nagain: [1]\n", "2: again: must be up to 8 pairs of a dash and a gap. Such as [2, 1]."),
    ],
)
def test_single_faults(tmp_path, text, fault):
    assert faults(tmp_path, text) == [fault]


def test_syntax_fault_and_missing_file(tmp_path):
    assert faults(tmp_path, "theme: [\n")[0].startswith(("1:", "2:"))
    with pytest.raises(ThemeError, match=r"nowhere\.yaml: cannot be read"):
        theme.load(tmp_path / "nowhere.yaml")


def test_unknown_name_suggests_and_lists():
    with pytest.raises(
        ThemeError, match=r'unknown theme "lectur"\. Did you mean lecture\? There are: grayscale, lecture'
    ):
        theme.load("lectur")


@pytest.mark.parametrize("name", NAMES)
def test_a_built_in_theme_has_the_form_of_any_other(name):
    """It is trusted at start, so its form is checked here; what ``print`` lacks, nothing would give it."""
    assert theme.load(theme._folder() / f"{name}.yaml") == theme.load(name)


def test_a_fault_is_told_in_the_file_that_has_it(tmp_path):
    (tmp_path / "first.yml").write_text("theme: 1\n\nink: 3\n", encoding="utf-8")
    with pytest.raises(ThemeError, match=r'first\.yml:3: ink: must be a colour, not 3\. Write it like "#0072b2"'):
        theme.load(written(tmp_path, "theme: 1\nbased-on: first.yml\n"))


def test_faults_of_form_and_an_unknown_base_are_told_at_once(tmp_path):
    assert [line[:2] for line in faults(tmp_path, "theme: 1\nbased-on: prnt\nink: 3\n")] == ["2:", "3:"]
