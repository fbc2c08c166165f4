"""A kind of file from its form to its faults: with lines, in plain words, all at once."""

from __future__ import annotations

from typing import Annotated, Literal

import pytest
from pydantic import AfterValidator, Field

from plexusdraw.errors import SheetError, UnknownNameError
from plexusdraw.yamlfile import form, reader
from plexusdraw.yamlfile.document import MOST_FOUND
from plexusdraw.yamlfile.form import ONE_OR_MORE, Ids, Row, Text, ToldError, Wanted, between, may_be_left_out


def even(value: int) -> int:
    if value % 2:
        raise ToldError("must be even", "Add one.")
    return value


class Lesson(Row):
    title: Text
    minutes: Annotated[int, between(5, 90, "whole number")] = may_be_left_out()
    seats: Annotated[int, AfterValidator(even)] = may_be_left_out()


class WeekFile(Row):
    week: Literal[1]
    based_on: Text = may_be_left_out("based-on")
    level: Literal["easy", "hard"] = "easy"
    share: float = 0.5
    open: bool = True
    number: int = 1
    days: Annotated[int, Wanted("a whole number of 1 or more", ge=1)] = 1
    keep: Annotated[Ids, ONE_OR_MORE, Field(max_length=3)] = may_be_left_out()
    names: dict[Text, Text] = may_be_left_out()
    lessons: list[Lesson] = may_be_left_out()


KIND = reader.Kind("exam week", 'It begins with "week: 1".', lambda: WeekFile, key="week", error=SheetError)


def opened(text: str) -> reader.YamlFile:
    return reader.from_text(KIND, text, "w.yaml")


def faults(text: str) -> list[str]:
    return list(opened(text).faults.lines())


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("based-on: [x]", "based-on: must be text, not a list."),
        ("based-on: 3", "based-on: must be text, not 3. Put it in quotes."),
        ("based-on:", "based-on: must be text, not nothing."),
        ("basd-on: x", 'unknown key "basd-on". Did you mean based-on?'),
        (
            "zzz: x",
            'unknown key "zzz". Known: week, based-on, level, share, open, number, days, keep, names, lessons.',
        ),
        ("level: hrad", 'level: "hrad" is not easy or hard. Did you mean hard?'),
        ("level: 7", "level: 7 is not easy or hard."),
        ("share: much", 'share: must be a number, not "much".'),
        ("open: 1", "open: must be true or false, not 1."),
        ("number: 1.5", "number: must be a whole number, not 1.5."),
        ("number: true", "number: must be a whole number, not true."),
        ("days: 0", "days: must be a whole number of 1 or more, not 0."),
        ("keep: {a: b}", "keep: must be a list, not a mapping."),
        ("keep: [a, 2]", "keep, entry 2: must be text, not 2. Put it in quotes."),
        ("keep: [a, b, c, d]", "keep: has more than 3 entries."),
        ("names: [a]", "names: must be a mapping, not a list."),
        ("names: {a: [b]}", "names, a: must be text, not a list."),
        ('names: {"": b}', "a name in names: must be text, not nothing."),
        ("lessons: [3]", "lessons, entry 1: must be a mapping, not 3."),
        ("lessons: [{}]", 'lessons, entry 1 has no "title". Add title: ...'),
        ("lessons: [{title: A, minutes: 91}]", "lessons, A, minutes: must be a whole number from 5 to 90, not 91."),
        ("lessons: [{title: A, minute: 9}]", 'unknown key "minute" in lessons, A. Did you mean minutes?'),
        ("lessons: [{title: A, seats: 9}]", "lessons, A, seats: must be even. Add one."),
        (f"based-on: {'x' * 2001}", "based-on: is longer than 2000 characters."),
    ],
)
def test_a_fault_is_told_in_plain_words(line, told):
    assert faults(f"week: 1\n{line}\n") == [f"w.yaml:2: {told}"]


def test_what_is_right_is_right():
    text = "week: 1\nbased-on: x\nshare: 1\nkeep: one\nnames: {a: b}\nlessons: [{title: A, minutes: 5, seats: 2}]\n"
    assert faults(text) == []
    assert opened(text).value["keep"] == "one", "the values are those of the file"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "w.yaml:1: not an exam week. It begins"),
        ("- week: 1", "w.yaml:1: not an exam week. It begins"),
        ("# of another kind\ntheme: 1", "w.yaml:2: not an exam week. It begins"),
        ("open: true\nweek: 2", "w.yaml:2: week: 2 is not 1. The form that is known here is week: 1."),
        ("week: true", "w.yaml:1: week: true is not 1."),
        ("week: 1.0", "w.yaml:1: week: 1.0 is not 1."),
        ("week: [", "w.yaml:"),
        ("week: 1\nweek: 1", 'w.yaml:2: key "week" stands twice'),
    ],
)
def test_another_kind_of_file_is_told_as_that_alone(text, told):
    with pytest.raises(SheetError) as caught:
        opened(text)
    assert str(caught.value).startswith(told)
    assert "\n" not in str(caught.value)


def test_a_file_that_cannot_be_read_raises_the_error_of_its_kind(tmp_path):
    with pytest.raises(SheetError, match=r"none\.yaml: cannot be read"):
        reader.read(KIND, tmp_path / "none.yaml")


WRONG = "week: 1\nlessons:\n  - {title: A}\n  - {title: 2}\n  - {title: C, x: 1}\n  - {title: D}\nkeep: 3\n"


def test_faults_of_form_and_of_meaning_are_told_together():
    file = opened(WRONG)
    for place, lesson in file.entries("lessons"):
        with file.noting(place):
            if lesson["title"] == "D":
                raise UnknownNameError('nothing is called "D". Did you mean A?')
    assert list(file.entries("keep")) == list(file.entries("nothing")) == []
    with pytest.raises(SheetError) as caught:
        file.check()
    assert str(caught.value).splitlines() == [
        "w.yaml:4: lessons, entry 2, title: must be text, not 2. Put it in quotes.",
        'w.yaml:5: unknown key "x" in lessons, C. Known: title, minutes, seats.',
        'w.yaml:6: nothing is called "D". Did you mean A?',
        "w.yaml:7: keep: must be a list, not 3.",
    ]


def test_entries_end_where_no_more_faults_need_be_found():
    """A list of names that all lead nowhere would take minutes, since near ones are looked for."""
    file = opened("week: 1\nlessons:\n" + "".join(f"- {{title: L{i}}}\n" for i in range(300)))
    for place, _ in file.entries("lessons"):
        file.fault(place, f"wrong in {place[1]}")
    assert len(file.faults.found) == MOST_FOUND


def test_sound_is_what_holds_and_stands_in_no_fault():
    file = opened(WRONG)
    assert [i for i in range(4) if file.sound(("lessons", i))] == [0, 3]
    assert file.sound(("lessons", 2, "title"))
    assert not file.sound(("lessons",))
    assert not file.sound(("keep", 0)), "within what is no list at all"


def test_a_trusted_file_is_not_held_against_its_form():
    def form() -> type[Row]:
        raise AssertionError

    kind = reader.Kind("week", "", form, key="week")
    assert reader.from_text(kind, "week: 1\nx: 1", "w.yaml", trusted=True).value == {"week": 1, "x": 1}


def test_the_json_schema_has_the_limits_and_the_names_of_the_file():
    schema = form.json_schema(WeekFile)
    assert schema["properties"]["days"]["minimum"] == 1
    assert "based-on" in schema["properties"]
    assert schema["$defs"]["Lesson"]["properties"]["minutes"]["maximum"] == 90
    assert form.rows(WeekFile) == {WeekFile, Lesson}
