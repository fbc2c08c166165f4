"""Ctrl-C, and the system's requests to stop: what is half written goes, then the program ends, without a traceback.

It ends by the signal itself, so that a shell or a script sees why. Nothing is raised: an exception that comes at any
moment would now and then be lost, since Python ignores those in its callbacks.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from plexusdraw import output

_SIGNALS = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))
_SHOW_CURSOR = b"\x1b[?25h\n"


def at_once() -> None:
    """From here on Ctrl-C ends the program where it stands: while it is being loaded there is nothing to clean up."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, signal.SIG_DFL)


@contextmanager
def tidily() -> Iterator[None]:
    """While this lasts, a signal to stop removes what is half written first.

    A signal that is ignored, as by ``nohup``, stays ignored.
    """
    before = {number: signal.getsignal(number) for number in _SIGNALS}
    for number, handler in before.items():
        if handler in (signal.SIG_DFL, signal.default_int_handler):
            signal.signal(number, _stop)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _stop(number: int, _: FrameType | None) -> None:
    output.abandon()
    if sys.stderr is not None and sys.stderr.isatty() and os.environ.get("TERM") != "dumb":
        os.write(sys.stderr.fileno(), _SHOW_CURSOR)  # a progress bar hides it
    signal.signal(number, signal.SIG_DFL)
    signal.raise_signal(number)
