"""Forms of files as pydantic models, and the one place that turns pydantic's errors into faults with lines.

Imported where a user's file is read, and not for those that come with the tool: pydantic takes longer to import than
a picture to draw.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from types import UnionType
from typing import TYPE_CHECKING, Annotated, Any, Union, get_args, get_origin
from unicodedata import category

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetPydanticSchema,
    StringConstraints,
    Tag,
    ValidationError,
)
from pydantic_core import core_schema

from plexusdraw.yamlfile.reader import close, near, shown

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler
    from pydantic_core import CoreSchema, ErrorDetails

    from plexusdraw.yamlfile.document import Document, Faults, Path_

LONGEST = 2000
"""Most characters of a text."""


def _seen(value: str) -> str:
    """The text, unless nothing of it can be seen: blanks, and signs that only format."""
    if not value[0].isalnum() and all(category(sign)[0] in "ZC" for sign in value):
        raise ToldError("must be text that can be seen, not blanks")
    return value


Text = Annotated[str, StringConstraints(min_length=1, max_length=LONGEST), AfterValidator(_seen)]
Said = Annotated[str, StringConstraints(max_length=LONGEST), AfterValidator(lambda value: value and _seen(value))]
"""A text that may be empty, which says no more than that it is left out."""
LONGEST_NAME = 120
"""Most characters of a text that stands on a picture: one that no page can hold is told where it is written."""
Name = Annotated[Text, StringConstraints(max_length=LONGEST_NAME)]
Named = Annotated[Said, StringConstraints(max_length=LONGEST_NAME)]
"""A name that may be empty."""
Ids = list[Text]
ONE_OR_MORE = BeforeValidator(lambda value: [value] if isinstance(value, str) else value)
"""Beside a list of texts: one text may stand for a list of one."""


class Row(BaseModel):
    """A mapping with known keys."""

    # Only the outermost row needs a validator of its own; building one for each row doubles the start.
    model_config = ConfigDict(extra="forbid", strict=True, defer_build=True)


class ToldError(ValueError):
    """Raised by a validator of a room: a fault in words of its own, such as "must be even"."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.hint = hint


class Wanted:
    """Beside a type: what is wanted, in plain words, whatever pydantic would say of a value that is not so."""

    def __init__(self, words: str, hint: str = "", **limits: float) -> None:
        self.words, self.hint, self.limits = words, hint, limits

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:  # noqa: ANN401
        """Called by pydantic: the form of the type, with its limits."""
        schema: Any = {**handler(source), **self.limits}
        return core_schema.no_info_wrap_validator_function(self._checked, schema)

    def _checked(self, value: object, handler: core_schema.ValidatorFunctionWrapHandler) -> object:
        try:
            return handler(value)
        except ValidationError as error:
            raise ToldError(f"must be {self.words}, not {shown(value)}", self.hint) from error


def between(least: float, most: float, kind: str = "number") -> Wanted:
    """Beside a type of number: the least and the most that it may be."""
    return Wanted(f"a {kind} from {least:g} to {most:g}", ge=least, le=most)


def one_of(names: Iterable[str]) -> GetPydanticSchema:
    """Beside the type of a text: the words that it may be, where a table has them."""
    words = list(names)
    return GetPydanticSchema(lambda source, handler: core_schema.literal_schema(words))


def may_be_left_out(alias: str | None = None) -> Any:  # noqa: ANN401
    """Default of a key that may be left out, and then means nothing; *alias*: its name in a file."""
    return Field(default=None, alias=alias)


def check(form: type[BaseModel], document: Document, faults: Faults) -> list[Path_]:
    """Note where a file has another form than this. Returns the places."""
    try:
        form.model_validate(document.value)
    except ValidationError as error:
        found: list[Path_] = []
        for detail in error.errors(include_url=False, include_input=True):
            path = _told_path(detail)
            found.append(path)
            if not faults.full:
                faults.add(document.line(path), *_explain(detail, path, form, document))
        return found
    return []


def json_schema(form: type[BaseModel]) -> dict[str, Any]:
    """JSON Schema (2020-12) of a kind of file, for editors that check while one types."""
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **form.model_json_schema(by_alias=True)}


def rows(form: type[BaseModel]) -> set[type[BaseModel]]:
    """All rows that may stand in a file."""
    found: set[type[BaseModel]] = set()
    ahead = [form]
    while ahead:
        row = ahead.pop()
        if row not in found:
            found.add(row)
            ahead += [r for field in row.model_fields.values() for r in _rows_in(field.annotation)]
    return found


def keys(row: type[BaseModel]) -> list[str]:
    """The keys that may stand in a row, as a file has them."""
    return [field.alias or name for name, field in row.model_fields.items()]


def tag(name: str) -> str:
    """Name of one of several forms of a value; no key of a file can be called so."""
    return f"\0{name}"


def _is_tag(step: str | int) -> bool:
    return isinstance(step, str) and step.startswith("\0")


_KEY = "[key]"
"""Pydantic's last step where a key itself is wrong."""


def _told_path(detail: ErrorDetails) -> Path_:
    """Where a value stands: without the steps that say which form it has, or that its key is meant."""
    path = tuple(step for step in detail["loc"] if not _is_tag(step))
    return path[:-1] if path[-1:] == (_KEY,) and detail["type"].startswith("string") else path


_TYPES = {
    "string_type": "text",
    "list_type": "a list",
    "dict_type": "a mapping",
    "model_type": "a mapping",
    "model_attributes_type": "a mapping",
    "bool_type": "true or false",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "string_too_short": "text",
}
_LIMITS = {
    "too_short": "must be a list of {min_length} or more",
    "too_long": "has more than {max_length} entries",
    "string_too_long": "is longer than {max_length} characters",
}


def _explain(detail: ErrorDetails, path: Path_, form: type[BaseModel], document: Document) -> tuple[str, str]:
    """Message and hint, in the words of the file's author, for one error of pydantic."""
    kind, value = detail["type"], detail["input"]
    last = str(path[-1]) if path else ""
    above, place = _place(path[:-1], document), _place(path, document) or "the file"
    if kind == "missing":
        return f'{above or "the file"} has no "{last}"', f"Add {last}: ..."
    if kind == "extra_forbidden":
        known = [key for row in _rows_at(form, detail["loc"][:-1]) for key in keys(row)]
        return f'unknown key "{last}"' + (f" in {above}" if above else ""), near(last, known)
    if len(path) < len(detail["loc"]) and detail["loc"][-1] == _KEY:
        place = f"a name in {above or 'the file'}"
    context = detail.get("ctx", {})
    told = context.get("error")
    if isinstance(told, ToldError):
        return f"{place}: {told}", told.hint
    if kind == "literal_error":
        allowed = str(context["expected"]).replace("'", "")
        choices = allowed.replace(" or ", ", ").split(", ")
        hint = close(value, choices) if isinstance(value, str) else ""
        return f"{place}: {shown(value)} is not {allowed}", hint
    if kind in _TYPES:
        hint = "Put it in quotes." if kind == "string_type" and not isinstance(value, dict | list | None) else ""
        return f"{place}: must be {_TYPES[kind]}, not {shown(value)}", hint
    if kind == "too_long" and isinstance(value, str):
        kind = "string_too_long"
    if kind in _LIMITS:
        return f"{place}: {_LIMITS[kind].format(**context)}", ""
    return f"{place}: {detail['msg'][:1].lower()}{detail['msg'][1:]}", ""


_LONGEST_STEP = 60


def _place(path: Path_, document: Document) -> str:
    """The keys that lead to a place, an entry of a list by its name: "segments, upper trunk, course"."""
    words: list[str] = []
    value: object = document.value
    for step in path:
        if isinstance(step, int):
            value = value[step] if isinstance(value, list) and step < len(value) else None
            words.append(_name(value) or f"entry {step + 1}")
        else:
            value = value.get(step) if isinstance(value, dict) else None
            words.append(step)
    return ", ".join(word if len(word) <= _LONGEST_STEP else f"{word[:_LONGEST_STEP]}…" for word in words)


def _name(entry: object) -> str:
    """What an entry of a list calls itself; empty where it has no name."""
    if not isinstance(entry, dict):
        return ""
    return next(
        (entry[key] for key in ("name", "place", "title") if isinstance(entry.get(key), str) and entry[key].strip()), ""
    )


def _rows_at(form: type[BaseModel], path: tuple[str | int, ...]) -> list[type[BaseModel]]:
    """The rows that may stand at a place, by pydantic's path to it."""
    kinds: list[Any] = [form]
    for step in path:
        if _is_tag(step):
            kinds = [part for kind in kinds for part in _parts(kind) if Tag(str(step)) in get_args(part)]
        else:
            kinds = [inner for kind in kinds for option in _options(kind) for inner in _into(option, step)]
    return [row for kind in kinds for row in _rows_in(kind)]


def _options(kind: Any) -> Iterator[Any]:  # noqa: ANN401
    """The types of which a value may be, without what stands beside them."""
    origin = get_origin(kind)
    if origin in (Annotated, Union, UnionType):
        for part in get_args(kind)[: 1 if origin is Annotated else None]:
            yield from _options(part)
    else:
        yield kind


def _into(kind: Any, step: str | int) -> Iterator[Any]:  # noqa: ANN401
    """The type of what stands at a key or an index."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        yield from (field.annotation for name, field in kind.model_fields.items() if step == (field.alias or name))
    elif get_origin(kind) in (list, dict):
        yield get_args(kind)[-1]


def _rows_in(kind: Any) -> Iterator[type[BaseModel]]:  # noqa: ANN401
    """The rows of which a type is made."""
    return (part for part in _parts(kind) if isinstance(part, type) and issubclass(part, BaseModel))


def _parts(kind: Any) -> Iterator[Any]:  # noqa: ANN401
    yield kind
    for part in get_args(kind):
        yield from _parts(part)
