"""Groups in place of their members; words beside names; a reader's own labels."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest
from randoms import brachial, small

from plexusdraw.errors import ModelError
from plexusdraw.model import load
from plexusdraw.model.entities import Group
from plexusdraw.names import from_front, of_limb, own_labels, word
from plexusdraw.names.grouped import grouped
from plexusdraw.yamlfile.form import LONGEST_NAME


def with_groups(**groups):
    """The caudal plexus with these groups alone."""
    made = {id: Group(id=id, name=id, kind="group", members=tuple(members)) for id, members in groups.items()}
    return replace(small("caudal"), groups=MappingProxyType(made))


class TestGrouped:
    """A group's name for all its members."""

    two = staticmethod(lambda: with_groups(ab=("a", "b"), abc=("a", "b", "c"), d=("d",)))

    @pytest.mark.parametrize(
        ("ids", "wanted"),
        [
            ("a b", ("ab",)),
            ("a", ("a",)),
            ("a b c", ("abc",)),
            ("x a y b c z", ("x", "abc", "y", "z")),
            ("c b a", ("abc",)),
            ("b x a", ("ab", "x")),
            ("d", ("d",)),
            ("a c", ("a", "c")),
            ("", ()),
        ],
    )
    def test_where_all_members_stand_in_a_list_the_largest_group_stands_for_them(self, ids, wanted):
        assert grouped(self.two(), ids.split()) == wanted

    def test_the_group_stands_where_the_first_of_its_members_stood(self):
        assert grouped(self.two(), ["x", "b", "y", "a"]) == ("x", "ab", "y")

    def test_members_that_differ_are_not_brought_together(self):
        alike = {"a": "weak", "b": "weak", "c": "paralysed"}
        assert grouped(self.two(), ["a", "b", "c"], alike) == ("ab", "c")
        assert grouped(self.two(), ["a", "b", "c"], dict.fromkeys("abc", 1)) == ("abc",)

    @pytest.mark.parametrize("name", ["brachial", "lumbosacral"])
    def test_of_a_built_in_model_nothing_is_lost_and_nothing_added(self, name):
        plexus = load(name)
        shown = grouped(plexus, plexus.muscles)
        meant = [m for id in shown for m in (plexus.groups[id].members if id in plexus.groups else (id,))]
        assert sorted(meant) == sorted(plexus.muscles)
        assert len(shown) < len(plexus.muscles)


class TestWords:
    """The words beside names."""

    def test_words_of_anatomy_are_latin_beside_latin_names(self):
        assert word("MUSCLES", "latin") == "MUSCULI"
        assert word("seen from the front", "latin") == "aspectus anterior"

    @pytest.mark.parametrize("style", ["english", "short"])
    def test_they_are_english_beside_others(self, style):
        assert word("MUSCLES", style) == "MUSCLES"

    def test_a_word_without_a_latin_one_stays(self):
        assert word("paralysed", "latin") == "paralysed"

    @pytest.mark.parametrize(
        ("style", "side", "wanted"),
        [
            ("english", "", "upper limb"),
            ("english", "left", "left upper limb"),
            ("short", "right", "right upper limb"),
            ("latin", "", "membrum superius"),
            ("latin", "left", "membrum superius sinistrum"),
            ("latin", "right", "membrum superius dextrum"),
        ],
    )
    def test_the_limb_and_its_side(self, style, side, wanted):
        assert of_limb(brachial(), style, side) == wanted

    def test_a_limb_without_a_latin_name_is_called_in_english_with_the_words_beside_it(self):
        plexus = replace(brachial(), limb_latin=None)
        assert of_limb(plexus, "latin", "left") == "left upper limb"
        assert from_front(plexus, "latin", "left") == "left upper limb, seen from the front"

    def test_the_line_at_the_head_of_a_picture_is_of_one_language(self):
        assert from_front(brachial(), "english", "left") == "left upper limb, seen from the front"
        assert from_front(brachial(), "latin", "left") == "membrum superius sinistrum, aspectus anterior"


class TestOwnLabels:
    """A file of the reader's own words."""

    @pytest.fixture
    def read(self, tmp_path):
        def made(text, plexus=None):
            path = tmp_path / "own.yaml"
            path.write_text(text, "utf-8")
            return own_labels.read(plexus or small("caudal"), path)

        return made

    def test_any_spelling_of_a_structure_will_do(self, read):
        found = read("superior band: Oben\nn. femoris fictus: Schenkelnerv\nTL: Heber\nL3: III\n")
        assert found == {"front-band": "Oben", "thigh-nerve": "Schenkelnerv", "toe-lifter": "Heber", "L3": "III"}

    def test_a_place_may_have_one(self, read):
        assert read("thigh nerve at knee: Knie\n") == {"thigh-nerve-at-knee": "Knie"}

    def test_white_space_in_a_text_is_one_blank(self, read):
        assert read('hip nerve: "  to   the\\n hip "\n') == {"hip-nerve": "to the hip"}

    def test_two_spellings_of_one_structure_are_told_with_the_line_of_the_second(self, read):
        with pytest.raises(ModelError) as told:
            read("front band: a\nsuperior band: b\n")
        assert str(told.value).endswith(
            'own.yaml:2: "superior band" has a text already, under another spelling. Keep one.'
        )

    def test_every_unknown_name_is_told_with_its_line(self, read):
        with pytest.raises(ModelError) as told:
            read("front band: a\nnowhere: b\nhip nerve: c\nneither: d\n")
        first, second = str(told.value).splitlines()
        assert "own.yaml:2:" in first
        assert 'called "nowhere"' in first
        assert "own.yaml:4:" in second

    @pytest.mark.parametrize(
        ("text", "says"),
        [
            ("", "not a label file. Write one structure a line"),
            ("{}", "a label file without a label"),
            ("hip nerve: 7\n", f"text of 1 to {LONGEST_NAME} characters"),
            ("hip nerve: ''\n", f"text of 1 to {LONGEST_NAME} characters"),
            (f"hip nerve: {'x' * (LONGEST_NAME + 1)}\n", f"text of 1 to {LONGEST_NAME} characters"),
            ("- hip nerve\n", "radial nerve: N. radialis"),
        ],
    )
    def test_what_is_no_such_file_says_how_one_looks(self, read, text, says):
        with pytest.raises(ModelError, match=says.replace(".", r"\.")):
            read(text)

    def test_a_text_of_the_longest_length_is_taken(self, read):
        assert read(f"hip nerve: {'x' * LONGEST_NAME}\n") == {"hip-nerve": "x" * LONGEST_NAME}
