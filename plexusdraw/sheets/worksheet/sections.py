"""Forms of a set, made one by one; a form of several kinds is made of a section for each, numbered through.

Each section makes pages of its own; here they become one form: one code, one key, one score.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from plexusdraw import fonts
from plexusdraw.model.plexus import Plexus
from plexusdraw.names.spelling import exact
from plexusdraw.scene import Note
from plexusdraw.scene.view import Page
from plexusdraw.sheets.worksheet import askable, form_page, stamp
from plexusdraw.sheets.worksheet.registry import Maker, kind
from plexusdraw.sheets.worksheet.spec import Form, Spec, points
from plexusdraw.sheets.worksheet.wording import worded

SAID_ELSEWHERE = "Other parts of this form may name what is asked here."


def makers(plexus: Plexus, spec: Spec) -> tuple[Maker, ...]:
    """What makes each section of the forms; nothing is laid out yet. SheetError: no such kind."""

    for name in spec.kinds:
        kind(name)
    stamped = replace(spec, stamp=spec.stamp or stamp.stamp(plexus, spec), more=())
    return tuple(
        kind(name).make(
            plexus if kind(name).own_words else worded(plexus, spec.wording),
            _narrowed(plexus, stamped, name, spec.kinds),
        )
        for name in spec.kinds
    )


def form(made: Sequence[Maker], number: int) -> Form:
    """One form of the set, counted from 1."""
    sections: list[Form] = []
    first = 1
    for maker in made:
        sections.append(maker.form(number, first))
        first += len(sections[-1].questions)
    return sections[0] if len(sections) == 1 else joined(sections)


def joined(sections: Iterable[Form]) -> Form:
    """One form of several sections: its score is that of all."""
    lettered = [replace(s, letter=chr(ord("a") + i)) for i, s in enumerate(sections)]
    questions = tuple(q for s in lettered for q in s.questions)
    code, total = lettered[0].code, points(questions)
    scored = [
        replace(s, pages=_scored(s.pages, code, total), key=_scored(s.key, code, total), letter=s.letter)
        for s in lettered
    ]
    pages, key = (tuple(p for s in scored for p in group(s)) for group in (_pages, _key))
    return Form(code, pages, key, questions, sections=tuple(scored))


def _pages(form: Form) -> tuple[Page, ...]:
    return form.pages


def _key(form: Form) -> tuple[Page, ...]:
    return form.key


def _scored(pages: Sequence[Page], code: str, total: int) -> tuple[Page, ...]:
    """The same pages, which say what the whole form's score is out of."""
    said = {form_page.SCORE: f"/ {total}", form_page.KEY_HEAD: form_page.key_head(code, total)}
    found = []
    for scene, view in pages:
        parts = tuple(_said(p, said[p.key]) if isinstance(p, Note) and p.key in said else p for p in scene.parts)
        found.append(Page(replace(scene, parts=parts), view))
    return tuple(found)


def _said(note: Note, string: str) -> Note:
    text = note.text
    made = fonts.text(string, text.x, text.y, text.size, text.anchor, bold=text.bold)
    return replace(note, text=made, room=made.box.w + 0.1)


def _narrowed(plexus: Plexus, spec: Spec, name: str, kinds: Sequence[str]) -> Spec:
    """The choices of one section: those that its kind takes, and of what is asked about the words that it knows."""
    takes = kind(name).takes
    plain, alone = Spec(), len(kinds) == 1
    if alone:
        return replace(spec, kind=name)
    dropped = {
        option: getattr(plain, option)
        for option in ("count", "only", "word_bank", "detail", "writing", "sources", "prompt")
    }
    ask = tuple(text for text in spec.ask if knows(plexus, name, text)) if "ask" in takes else ()
    hint = SAID_ELSEWHERE if kind(name).worded else ""
    return replace(
        spec, kind=name, ask=ask, hint=hint, **{key: value for key, value in dropped.items() if key not in takes}
    )


def knows(plexus: Plexus, name: str, text: str) -> bool:
    """Whether a word may stand after --ask for one kind."""
    known = kind(name).topics
    if not known:
        known = (*askable.words(plexus), *(s.name for s in plexus.stages), *(s.singular for s in plexus.stages))
    forms = {form for word in (*known, "labels", "all") for form in (exact(word), exact(word).removesuffix("s"))}
    if kind(name).topics:
        forms -= {"labels", "all", "label", "al"}
    return exact(text) in forms


def distinct(form: Form) -> tuple[object, ...]:
    """What makes a form another than its neighbour's: what is asked at each number, not its code or its person."""
    cases = tuple(section.stem.partition(". ")[2] for section in form.whole)
    return (cases, *((q.number, q.key, q.prompt, q.answers, q.choice, q.pairs) for q in form.questions))


def forms(plexus: Plexus, spec: Spec, numbers: Iterable[int] = ()) -> Iterator[Form]:
    """The forms of a class set, or those with these *numbers*, in order; they share one layout.

    Raises:
        FitError: the drawing does not fit its page. SheetError, UnknownNameError: this cannot be asked.
    """
    made = makers(plexus, spec)
    for number in numbers or range(1, spec.forms + 1):
        yield form(made, number)
