"""The code on a form: the choices of its set, its number, and a check character: "8KW2M-07-X".

Its characters are ten digits and 21 letters, without those that look alike (I and 1, L and 1, O and 0, U and V). The
check character tells any one wrong character and any two that changed places: a weighted sum modulo 31, a prime.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from plexusdraw.errors import SheetError

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTWXYZ"
BASE = len(ALPHABET)
_GENERATOR = 3
"""A primitive root modulo 31: the weights of the first thirty characters all differ."""
_CODE = re.compile(r"([0-9A-Z]{1,60})-([0-9]{2,6})-?([0-9A-Z])")
_ALIKE = str.maketrans("OIL", "011")
PAIR = 2


def of(stamp: str, number: int) -> str:
    """The code of one form, from what the codes of its set begin with."""
    digits = f"{number:02d}"
    return f"{stamp or ALPHABET[0]}-{digits}-{_check(stamp + digits)}"


def parted(code: str) -> tuple[str, int]:
    """What a code begins with, and the number of the form; as it is printed or typed.

    Raises:
        SheetError: this is no code, or a character of it is wrong.
    """
    found = _CODE.fullmatch(plain(code))
    if found is None or int(found[2]) < 1:
        raise SheetError(f'"{code[:40]}" is no code of a form. A code looks like "{of("8KW2M", 7)}".')
    stamp, digits, check = found.groups()
    if any(c not in ALPHABET for c in stamp) or check != _check(stamp + digits):
        raise SheetError(f'the code "{code[:40]}" has a wrong character. Compare it with the form.')
    return stamp, int(digits)


def plain(code: str) -> str:
    """A code as it is printed, from one that was typed: in any case, with blanks, O for 0, I or L for 1."""
    return "".join(code.split()).upper().translate(_ALIKE)


def is_code(text: str) -> bool:
    """Whether a text is a code, as it is printed."""
    try:
        stamp, number = parted(text)
    except SheetError:
        return False
    return of(stamp, number) == text


def _check(text: str) -> str:
    total = sum(ALPHABET.index(c) * pow(_GENERATOR, i + 1, BASE) for i, c in enumerate(text))
    return ALPHABET[total % BASE]


def packed(fields: Iterable[tuple[int, int]]) -> str:
    """Values, each with how many it could have been, as few characters; read by :class:`Unpacker` in the same order."""
    total = 0
    for value, size in reversed(list(fields)):
        assert 0 <= value < size
        total = total * size + value
    text = ""
    while total:
        total, rest = divmod(total, BASE)
        text = ALPHABET[rest] + text
    return text or ALPHABET[0]


def number_fields(value: int) -> Iterator[tuple[int, int]]:
    """The fields of a number of any size, few where it is small."""
    while True:
        value, digit = divmod(value, 16)
        yield digit * PAIR + (value > 0), 16 * PAIR
        if not value:
            return


class Unpacker:
    """Takes the values out of a text one after the other."""

    def __init__(self, text: str) -> None:
        self._rest = 0
        for character in text:
            self._rest = self._rest * BASE + ALPHABET.index(character)

    def take(self, size: int) -> int:
        """The next value, one of *size*."""
        self._rest, value = divmod(self._rest, size)
        return value

    def number(self) -> int:
        """The next number of any size."""
        value, unit = 0, 1
        while True:
            digit, more = divmod(self.take(16 * PAIR), PAIR)
            value += digit * unit
            unit *= 16
            if not more:
                return value

    @property
    def empty(self) -> bool:
        """Whether nothing is left."""
        return self._rest == 0
