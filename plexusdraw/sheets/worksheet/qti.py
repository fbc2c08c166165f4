"""QTI 2.2, the open standard of questions and tests, as a content package: a manifest, one test, items, pictures.

Names and order of elements are those of the information model "IMS Question and Test Interoperability 2.2" and of "IMS
Content Packaging 1.1"; items are marked by its standard templates. What is right stands in response declarations
alone, where a platform marks by it; a list without options is marked by a person, who alone is shown what is right.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree as Tree
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from plexusdraw import paint
from plexusdraw.look.lines import clean
from plexusdraw.look.theme import Theme
from plexusdraw.sheets.worksheet import picture
from plexusdraw.sheets.worksheet.gift import asked
from plexusdraw.sheets.worksheet.spec import Choice, Form, Pairs, Question, letter

QTI = "http://www.imsglobal.org/xsd/imsqti_v2p2"
PACKAGE = "http://www.imsglobal.org/xsd/imscp_v1p1"
SCHEMAS: Mapping[str, str] = {
    QTI: "http://www.imsglobal.org/xsd/qti/qtiv2p2/imsqti_v2p2.xsd",
    PACKAGE: "http://www.imsglobal.org/xsd/qti/qtiv2p2/qtiv2p2_imscpv1p2_v1p0.xsd",
}
TEMPLATES = "http://www.imsglobal.org/question/qti_v2p2/rptemplates/"
ITEM, TEST, FILE = "imsqti_item_xmlv2p2", "imsqti_test_xmlv2p2", "webcontent"
MADE = (1980, 1, 1, 0, 0, 0)
"""Date of every file in the package: the first that the format can say, so that the bytes are the same each time."""
WIDE_PX = 900
"""Width at which a picture is shown; it scales without loss."""
LINE_CHARACTERS = 40
Element = Tree.Element


def package(forms: Sequence[Form], path: Path, theme: Theme) -> bytes:
    """The questions of all forms as one package; same forms, same bytes."""
    files: dict[str, bytes] = {}
    items: list[tuple[Form, Question, str]] = []
    for form in forms:
        for i, page in enumerate(picture.pages(form), start=1):
            files[_picture(form, i)] = paint.paint(picture.FORMAT, [picture.cropped(page)], theme)
        for question in form.questions:
            name = f"items/{_id(form, question)}.xml"
            files[name] = _written(item(form, question))
            items.append((form, question, name))
    files["test.xml"] = _written(_test(forms, path.stem))
    return _zipped({"imsmanifest.xml": _written(_manifest(items, path.stem)), **files})


def _zipped(files: Mapping[str, bytes]) -> bytes:
    held = BytesIO()
    with ZipFile(held, "w") as made:
        for name, data in files.items():
            entry = ZipInfo(name, MADE)
            entry.compress_type, entry.create_system, entry.external_attr = ZIP_DEFLATED, 3, 0o644 << 16
            made.writestr(entry, data)
    return held.getvalue()


def _id(form: Form, question: Question) -> str:
    return f"form-{form.label}-question-{question.number}"


def _picture(form: Form, place: int) -> str:
    return f"pictures/form-{form.label}-{place}.{picture.FORMAT}"


def _root(tag: str, space: str, **attributes: str) -> Element:
    kept = {
        "xmlns": space,
        "xmlns:xsi": "http://www.w3.org/2001/XMLSchema-instance",
        "xsi:schemaLocation": f"{space} {SCHEMAS[space]}",
    }
    return Tree.Element(tag, kept | attributes)


def _add(parent: Element, tag: str, text: str = "", **attributes: str) -> Element:
    made = Tree.SubElement(parent, tag, {key: clean(value) for key, value in attributes.items()})
    made.text = clean(text) or None
    return made


def _written(root: Element) -> bytes:
    Tree.indent(root)
    text: str = Tree.tostring(root, "unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'.encode()


def _manifest(items: Iterable[tuple[Form, Question, str]], name: str) -> Element:
    """What the package holds, and which item needs which picture."""
    made = _root("manifest", PACKAGE, identifier="package")
    about = _add(made, "metadata")
    _add(about, "schema", "QTIv2.2 Package")
    _add(about, "schemaversion", "1.0.0")
    _add(made, "organizations")
    held = _add(made, "resources")
    test = _resource(held, "test", TEST, "test.xml")
    shown: dict[str, str] = {}
    for form, question, href in items:
        entry = _resource(held, _id(form, question), ITEM, href)
        for place in picture.places(form, question):
            id = shown.setdefault(_picture(form, place), f"picture-{form.label}-{place}")
            _add(entry, "dependency", identifierref=id)
        _add(test, "dependency", identifierref=_id(form, question))
    for href, id in shown.items():
        _resource(held, id, FILE, href)
    return made


def _resource(held: Element, id: str, kind: str, href: str) -> Element:
    made = _add(held, "resource", identifier=id, type=kind, href=href)
    _add(made, "file", href=href)
    return made


def _test(forms: Sequence[Form], title: str) -> Element:
    """One test with a section for each form; a caution stands over its section."""
    made = _root("assessmentTest", QTI, identifier="test", title=clean(title) or "Questions")
    _add(made, "outcomeDeclaration", identifier="SCORE", cardinality="single", baseType="float")
    part = _add(made, "testPart", identifier="part", navigationMode="nonlinear", submissionMode="simultaneous")
    for form in forms:
        section = _add(
            part, "assessmentSection", identifier=f"form-{form.label}", title=f"Form {form.label}", visible="true"
        )
        if form.caution:
            _add(_add(section, "rubricBlock", view="candidate"), "p", form.caution)
        for question in form.questions:
            id = _id(form, question)
            _add(section, "assessmentItemRef", identifier=id, href=f"items/{id}.xml")
    total = _add(_add(_add(made, "outcomeProcessing"), "setOutcomeValue", identifier="SCORE"), "sum")
    _add(total, "testVariables", variableIdentifier="SCORE")
    return made


def item(form: Form, question: Question) -> Element:
    """One question, complete in words and picture."""
    made = _root("assessmentItem", QTI, identifier=_id(form, question))
    made.set("title", f"Form {form.label}, question {question.number}")
    made.set("adaptive", "false")
    made.set("timeDependent", "false")
    made.set("xml:lang", "en")
    body = Tree.Element("itemBody")
    for place in picture.places(form, question):
        _shown(body, form, place)
    said = asked(form, question)
    if question.choice is not None:
        rule = _choice(made, body, question.choice, said)
    elif question.pairs is not None:
        rule = _match(made, body, question.pairs, said)
    elif question.drawn:
        rule = _by_hand(made, body, "uploadInteraction", "file", said, question)
    elif question.wanted > 1:
        rule = _by_hand(made, body, "extendedTextInteraction", "string", said, question)
    else:
        rule = _typed(made, body, question, said)
    made.append(body)
    if rule:
        _add(made, "responseProcessing", template=TEMPLATES + rule)
    return made


def _shown(body: Element, form: Form, place: int) -> None:
    page = picture.pages(form)[place - 1]
    cropped = picture.cropped(page).scene
    size = {"width": str(WIDE_PX), "height": str(round(WIDE_PX * cropped.height / cropped.width))}
    _add(_add(body, "p"), "img", src=f"../{_picture(form, place)}", alt=picture.alt(page), **size)


def _declared(item: Element, cardinality: str, base: str, right: Iterable[str] = ()) -> Element:
    made = _add(item, "responseDeclaration", identifier="RESPONSE", cardinality=cardinality, baseType=base)
    values = list(right)
    if values:
        held = _add(made, "correctResponse")
        for value in values:
            _add(held, "value", value)
    return made


def _score(item: Element, most: float) -> None:
    made = _add(item, "outcomeDeclaration", identifier="SCORE", cardinality="single", baseType="float")
    made.set("normalMaximum", f"{most:g}")
    _add(_add(made, "defaultValue"), "value", "0")


def _mapped(declared: Element, values: Iterable[tuple[str, float]], most: float | None = None, **more: str) -> None:
    """Points for each response; together not below 0 nor above *most*."""
    bounds = {} if most is None else {"lowerBound": "0", "upperBound": f"{most:g}"}
    held = _add(declared, "mapping", defaultValue="0", **bounds)
    for value, worth in values:
        _add(held, "mapEntry", mapKey=value, mappedValue=f"{worth:g}", **more)


def _choice(item: Element, body: Element, choice: Choice, said: str) -> str:
    """One of several, or all that apply: then a point for each right one, and one off for each wrong one."""
    ids = [letter(i) for i in range(len(choice.options))]
    right = [id for id, option in zip(ids, choice.options, strict=True) if option.right]
    declared = _declared(item, "multiple" if choice.several else "single", "identifier", right)
    if choice.several:
        worth = ((id, 1.0 if option.right else -1.0) for id, option in zip(ids, choice.options, strict=True))
        _mapped(declared, worth, len(right))
    _score(item, len(right))
    asks = _add(body, "choiceInteraction", responseIdentifier="RESPONSE", shuffle="true")
    asks.set("maxChoices", "0" if choice.several else "1")
    _add(asks, "prompt", said)
    for id, option in zip(ids, choice.options, strict=True):
        _add(asks, "simpleChoice", option.text, identifier=id)
    return "map_response" if choice.several else "match_correct"


def _match(item: Element, body: Element, pairs: Pairs, said: str) -> str:
    """Two sets, a point for each pair."""
    joined = [f"L{i} R{at}" for i, at in enumerate(pairs.partner)]
    _mapped(_declared(item, "multiple", "directedPair", joined), ((pair, 1.0) for pair in joined), len(joined))
    _score(item, len(joined))
    asks = _add(body, "matchInteraction", responseIdentifier="RESPONSE", shuffle="false")
    asks.set("maxAssociations", str(len(joined)))
    _add(asks, "prompt", said)
    for side, texts in (("L", pairs.left), ("R", pairs.right)):
        held = _add(asks, "simpleMatchSet")
        for i, text in enumerate(texts):
            _add(held, "simpleAssociableChoice", text, identifier=f"{side}{i}", matchMax="1")
    return "map_response"


def _typed(item: Element, body: Element, question: Question, said: str) -> str:
    """A line to write on, marked by every spelling that is right, in capitals or not."""
    declared = _declared(item, "single", "string", question.answers[:1])
    spelled = dict.fromkeys(clean(text) for text in question.spellings())
    _mapped(declared, ((text, 1.0) for text in _folded(spelled)), caseSensitive="false")
    _score(item, 1)
    _add(body, "p", said)
    line = _add(body, "p", "Answer: ")
    _add(line, "textEntryInteraction", responseIdentifier="RESPONSE", expectedLength=str(LINE_CHARACTERS))
    return "map_response"


def _folded(texts: Iterable[str]) -> Iterator[str]:
    """The texts that differ in more than capitals."""
    known = set()
    for text in texts:
        if text and text.casefold() not in known:
            known.add(text.casefold())
            yield text


def _by_hand(item: Element, body: Element, tag: str, base: str, said: str, question: Question) -> str:
    """What a person marks: a text, or the file of a drawing. Only the person is shown what is right."""
    _declared(item, "single", base)
    _score(item, question.points)
    scorer = _add(body, "rubricBlock", view="scorer")
    _add(scorer, "p", f"{question.points} points: {'; '.join(question.answers)}")
    asks = _add(body, tag, responseIdentifier="RESPONSE")
    _add(asks, "prompt", said)
    return ""
