from __future__ import annotations

import sys

import pytest

from plexusdraw.errors import ModelError
from plexusdraw.yamlfile import document

BOMB = "a: &a [1,1,1,1,1,1,1,1,1]\n" + "".join(
    f"{b}: &{b} [{','.join([f'*{a}'] * 9)}]\n" for a, b in zip("abcdefg", "bcdefgh", strict=True)
)


@pytest.fixture(params=["c", "pure"])
def parser(request, monkeypatch):
    """Both parsers: the compiled one, and the pure one that stands in where it is not installed."""
    if request.param == "pure":
        monkeypatch.setitem(sys.modules, "ruamel.yaml.cyaml", None)


def parse(text: str) -> object:
    return document.parse(text, "f.yaml").value


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("a: 1", 1),
        ("a: 0o17", 15),
        ("a: 1.5", 1.5),
        ("a: true", True),
        ("a: ~", None),
        ("a: 'x'", "x"),
        ("a: yes", "yes"),
        ("a: no", "no"),
        ("a: on", "on"),
        ("a: 2020-01-01", "2020-01-01"),
        ("x: &x [1]\na: *x", [1]),
    ],
)
def test_scalars_follow_yaml_1_2(text, value):
    found = parse(text)
    assert isinstance(found, dict)
    assert found["a"] == value


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a: [", "not valid YAML"),
        ("a: b: c", "f.yaml:1: not valid YAML"),
        ("a: 1\na: 2", 'f.yaml:2: key "a" stands twice'),
        ("a: !tag b", "f.yaml:1: tag !tag is not allowed"),
        ("a: !!python/none b", "is not allowed"),
        ("<<: {a: 1}", "a key must be plain text"),
        ("[1]: 2", "a key must be plain text"),
        ("a: \x00", "f.yaml:1: control character U+0000"),
        ("a: b\n\x07", "f.yaml:2: control character U+0007"),
        ("a: *none", "f.yaml:1: not valid YAML"),
        ("--- a\n--- b", "not valid YAML"),
        ("[" * 5000, "not valid YAML"),
        ("a: &x [*x]", "too deeply nested"),
        (BOMB, "too many values"),
        ("a: \ud800", "not valid YAML"),
    ],
)
def test_what_may_not_be_there(text, words):
    with pytest.raises(ModelError) as caught:
        parse(text)
    assert words in str(caught.value)


def test_both_parsers_agree(monkeypatch):
    text = document.read_text(document.Path(__file__).parent.parent / "models" / "caudal.yaml")
    compiled = document.parse(text, "f")
    monkeypatch.setitem(sys.modules, "ruamel.yaml.cyaml", None)
    pure = document.parse(text, "f")
    assert compiled.value == pure.value
    for i in range(len(pure.value["segments"])):
        assert compiled.line(("segments", i)) == pure.line(("segments", i)) > 0


def test_lines_are_those_of_the_text():
    found = document.parse("a: 1\nb:\n  - x\n  - {c: 2}\n", "f")
    assert found.line(("b",)) == 2
    assert found.line(("b", 1)) == 4
    assert found.line(("b", 1, "c")) == 4
    assert found.line(("b", 1, "not there")) == 4


def test_files_that_cannot_be_read(tmp_path):
    with pytest.raises(ModelError, match="cannot be read"):
        document.read_text(tmp_path / "none.yaml")
    with pytest.raises(ModelError, match="cannot be read"):
        document.read_text(tmp_path)
    latin = tmp_path / "latin.yaml"
    latin.write_bytes(b"a: 1\nname: na\xefve\n")
    with pytest.raises(ModelError, match=r"latin\.yaml:2: not UTF-8"):
        document.read_text(latin)
    big = tmp_path / "big.yaml"
    big.write_bytes(b"#" * (document.MAX_BYTES + 1))
    with pytest.raises(ModelError, match="larger than 4 MB"):
        document.read_text(big)


def test_a_byte_order_mark_is_no_fault(tmp_path):
    path = tmp_path / "bom.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1")
    assert parse(document.read_text(path)) == {"a": 1}
