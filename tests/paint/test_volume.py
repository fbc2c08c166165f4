"""A long PDF that is set in stretches: the pages and tags of one set at once, shapes in common once, the same bytes."""

from __future__ import annotations

import io
import shutil
import subprocess

import pikepdf
import pypdf
import pytest

from plexusdraw.layout.paper import paper
from plexusdraw.look.theme import load as load_theme
from plexusdraw.model import load
from plexusdraw.paint import runs, typeset, volume
from plexusdraw.sheets.worksheet import class_set
from plexusdraw.sheets.worksheet.spec import Spec

PRINT = load_theme("print")


@pytest.fixture(scope="module")
def pages():
    spec = Spec(forms=4, page=paper("a4"))
    return [page for form in class_set.forms(load("brachial"), spec) for page in (*form.pages, *form.key)]


def bound(pages, told=lambda pages: None, at_once=4):
    made = volume.Volume(PRINT, told)
    for i in range(0, len(pages), at_once):
        made.add(pages[i : i + at_once])
    return made.close()


@pytest.fixture
def short(monkeypatch):
    monkeypatch.setattr(volume, "STRETCH", 5)


@pytest.fixture(scope="module")
def long(pages):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(volume, "STRETCH", 5)
        return bound(pages)


def test_what_is_short_is_as_set_at_once(pages):
    assert bound(pages) == typeset.pdf(pages, PRINT)


def test_pages_say_the_same_in_the_same_order(pages, long):
    once, joined = (pypdf.PdfReader(io.BytesIO(data)) for data in (typeset.pdf(pages, PRINT), long))
    assert [p.extract_text() for p in joined.pages] == [p.extract_text() for p in once.pages]


def test_every_marked_piece_has_its_tag(pages, long):
    """Numbers on a page lead, by the parent tree, to a tag that stands under the document and names that page."""
    with pikepdf.open(io.BytesIO(long)) as held:
        root = held.Root.StructTreeRoot
        nums = {
            int(root.ParentTree.Nums[i]): root.ParentTree.Nums[i + 1] for i in range(0, len(root.ParentTree.Nums), 2)
        }
        (document,) = root.K
        under = {element.objgen for element in document.K}
        assert len(nums) == len(pages) == int(root.ParentTreeNextKey)
        assert sorted(int(page.obj.StructParents) for page in held.pages) == sorted(nums)
        for page in held.pages:
            ids = [
                int(op.operands[1].MCID)
                for op in pikepdf.parse_content_stream(page)
                if str(op.operator) == "BDC" and "/MCID" in op.operands[1]
            ]
            parents = nums[int(page.obj.StructParents)]
            assert sorted(ids) == list(range(len(parents)))
            for element in parents:
                assert element.Pg.objgen == page.obj.objgen
                assert element.P.objgen == document.objgen
                assert element.objgen in under


def test_the_outline_leads_to_every_page(long):
    with pikepdf.open(io.BytesIO(long)) as held:
        item, targets = held.Root.Outlines.First, []
        while item is not None:
            targets.append(item.Dest[0].objgen)
            item = item.get("/Next")
        assert targets == [page.obj.objgen for page in held.pages if page.obj.objgen in targets]
        assert len(targets) == int(held.Root.Outlines.Count)


def test_it_stays_an_accessible_file(pages, long):
    said = long if b"pdfuaid" in long else pikepdf.open(io.BytesIO(long)).Root.Metadata.read_bytes()
    assert b"<pdfuaid:part>1<" in said
    assert b"<xmpTPg:NPages>%d<" % len(pages) in said
    with pikepdf.open(io.BytesIO(long)) as held:
        assert held.Root.MarkInfo.Marked
        assert str(held.Root.Lang) == "en"


def test_shapes_in_common_are_kept_once(pages, long):
    assert len(long) < 0.75 * len(typeset.pdf(pages, PRINT))
    with pikepdf.open(io.BytesIO(long)) as held:
        streams = [s.objgen for page in held.pages for s in page.obj.Contents]
        assert len(streams) > len(set(streams))


def test_same_pages_same_bytes(pages, long, short):
    assert bound(pages, at_once=1) == long


@pytest.mark.skipif(not shutil.which("qpdf"), reason="no qpdf")
def test_it_is_sound(long, tmp_path):
    (tmp_path / "a.pdf").write_bytes(long)
    done = subprocess.run(["qpdf", "--check", tmp_path / "a.pdf"], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="no pdftoppm")
def test_it_looks_the_same(pages, long, tmp_path):
    looks = []
    for name, data in (("once", typeset.pdf(pages, PRINT)), ("long", long)):
        (tmp_path / f"{name}.pdf").write_bytes(data)
        subprocess.run(["pdftoppm", "-r", "40", tmp_path / f"{name}.pdf", tmp_path / name], check=True)
        looks.append([path.read_bytes() for path in sorted(tmp_path.glob(f"{name}-*.ppm"))])
    assert len(looks[0]) == len(pages)
    assert looks[0] == looks[1]


def test_it_tells_how_far_it_is(pages, short):
    told = []
    bound(pages, told.append)
    assert told == sorted(told)
    assert len(told) > 1
    assert told[-1] == len(pages)


def test_a_fault_of_the_typesetter_is_raised(pages, short, monkeypatch):
    monkeypatch.setattr(typeset, "compiled", lambda source: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        bound(pages)


def test_runs_stand_on_the_same_pages():
    found = [list(runs.runs(page, runs.standing(["abxcd", "abyc", "ab"]))) for page in ("abxcd", "abyc")]
    assert found[0] == [(("a", "b"), True), (("x",), False), (("c",), True), (("d",), False)]
    assert found[1] == [(("a", "b"), True), (("y",), False), (("c",), True)]
