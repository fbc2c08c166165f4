"""Several tagged PDFs of the typesetter as one: pages, tags and outline in order, shapes in common kept once."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from hashlib import sha256
from io import BytesIO
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Page, Pdf

from plexusdraw.paint import runs

WORTH_SHARING = 500
"""Bytes from which on what stands on several pages is kept once."""
_END = b"EMC"
_NAMES = re.compile(rb"/[A-Za-z]\w*")
_SHAPE = b"/Artifact"
_SPACE = "/c0"
_PLAIN = {_SHAPE, b"/Type", b"/Layout", _SPACE.encode()}
"""Names in shapes that mean the same on every page."""


def joined(files: Sequence[bytes]) -> bytes:
    """One PDF of the pages of all; same files, same bytes."""
    made = pikepdf.open(BytesIO(files[0]))
    for data in files[1:]:
        with pikepdf.open(BytesIO(data)) as further:
            _append(made, further)
    _share(made)
    _describe(made)
    held = BytesIO()
    made.save(
        held,
        deterministic_id=True,
        compress_streams=True,
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
    )
    return held.getvalue()


def _append(made: Pdf, further: Pdf) -> None:
    start = len(made.pages)
    made.pages.extend(further.pages)  # first: what refers to these pages then refers to the copies
    _append_tags(made, made.copy_foreign(further.Root.StructTreeRoot), made.pages[start:])
    if Name.Outlines in made.Root and Name.Outlines in further.Root:
        _append_outline(made, made.copy_foreign(further.Root.Outlines))


def _append_tags(made: Pdf, tree: Object, pages: Sequence[Page]) -> None:
    """The tags of the *pages* behind those that are there; numbers of pages in the tree go on."""
    own = made.Root.StructTreeRoot
    (document,), (more,) = own.K, tree.K
    for element in more.K:
        element.P = document
    document.K.extend(more.K)
    base = int(own.ParentTreeNextKey)
    for key, parents in _numbers(tree.ParentTree):
        own.ParentTree.Nums.append(base + key)
        own.ParentTree.Nums.append(parents)
    for page in pages:
        page.obj.StructParents = base + int(page.obj.StructParents)
    own.ParentTreeNextKey = base + int(tree.ParentTreeNextKey)


def _numbers(tree: Object) -> Iterator[tuple[int, Object]]:
    """Keys and values of a number tree."""
    for kid in tree.get(Name.Kids, []):
        yield from _numbers(kid)
    if Name.Nums in tree:
        for i in range(0, len(tree.Nums), 2):
            yield int(tree.Nums[i]), tree.Nums[i + 1]


def _append_outline(made: Pdf, outline: Object) -> None:
    own = made.Root.Outlines
    item: Object | None = outline.get(Name.First)
    if item is None:
        return
    if Name.First in own:
        own.Last.Next, outline.First.Prev = outline.First, own.Last
    else:
        own.First, own.Count = outline.First, 0
    while item is not None:
        item.Parent = own
        item = item.get(Name.Next)
    own.Last = outline.Last
    own.Count = int(own.Count) + int(outline.Count)


def _share(made: Pdf) -> None:
    """Keep runs of shapes that stand on several pages in streams of their own, to which these pages refer."""
    pages = [page.obj for page in made.pages]
    spaces: list[Any] = [page.Resources.get(Name.ColorSpace, {}) for page in pages]
    if not all(_SPACE in space for space in spaces):
        return
    known: dict[bytes, bytes] = {}  # what stands on many pages is held once
    pieces = [[known.setdefault(piece, piece) for piece in _pieces(page)] for page in pages]
    del known
    where = runs.standing(pieces)
    kept: dict[bytes, Object] = {}
    for page, space, parts in zip(pages, spaces, pieces, strict=True):
        space[_SPACE] = spaces[0][_SPACE]
        own = b""
        streams: list[Object] = []
        for run, shared in runs.runs(parts, where):
            text = b"".join(run)
            if not shared or len(text) < WORTH_SHARING or not all(map(_plain, run)):
                own += text
                continue
            if own:
                streams.append(made.make_stream(own))
                own = b""
            if text not in kept:
                kept[text] = made.make_stream(text)
            streams.append(kept[text])
        if own:
            streams.append(made.make_stream(own))
        page.Contents = Array(streams)


def _pieces(page: Object) -> list[bytes]:
    """The content of a page, cut after each marked piece."""
    *marked, rest = page.Contents.read_bytes().split(_END)
    return [*(part + _END for part in marked), rest + b"\n"]


def _plain(piece: bytes) -> bool:
    """Whether a piece is a shape, and needs no resource of its page but the one colour space."""
    return piece.startswith(_SHAPE) and {*_NAMES.findall(piece)} <= _PLAIN


def _describe(made: Pdf) -> None:
    """The number of pages in the metadata, and ids of its own."""
    held: bytes = made.Root.Metadata.read_bytes()
    held = re.sub(rb"(<xmpTPg:NPages>)\d+", rb"\g<1>%d" % len(made.pages), held)
    id = sha256(b"".join(page.obj.Contents[-1].read_bytes() for page in made.pages)).hexdigest()[:32].encode()
    held = re.sub(rb"(<xmpMM:(?:Instance|Document)ID>)[^<]*", rb"\g<1>" + id, held)
    made.Root.Metadata = made.make_stream(held, Dictionary(Type=Name.Metadata, Subtype=Name.XML))
