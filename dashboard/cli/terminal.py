"""The one door for text to the terminal: nothing in it steers the terminal or stops a command."""

import re
import sys
from collections.abc import Callable
from contextlib import suppress
from io import TextIOWrapper

from dashboard.text.escape_markdown import printable

TOO_LONG = re.compile(r"(\S{300})\S{600,}(\S{60})")


def prepare() -> None:
    """Let signs that the terminal's encoding lacks be written as \\u03a9 in place of an error."""
    for stream in (sys.stdout, sys.stderr):
        with suppress(ValueError, OSError):
            if isinstance(stream, TextIOWrapper):
                stream.reconfigure(errors="backslashreplace")


def say(text: object = "", end: str = "\n") -> None:
    """Write a text to standard output."""
    sys.stdout.write(printable(str(text)) + end)


def complain(text: object) -> None:
    """Write a line to standard error; where that is closed or full, say nothing."""
    with suppress(OSError, ValueError):
        sys.stderr.write(f"ohmhours: {shortened(printable(str(text)))}\n")
        sys.stderr.flush()


def shortened(text: str) -> str:
    """Return a text without the middle of words that are longer than any path."""
    return TOO_LONG.sub(r"\1…\2", text)


def show_step(text: str) -> None:
    """Show a step in place of the last one."""
    with suppress(OSError, ValueError):
        sys.stderr.write(f"\r\x1b[K{printable(text[:70])}")
        sys.stderr.flush()


def progress() -> Callable[[str], None]:
    """Return a function that shows the step in place when standard error is a terminal."""
    return show_step if sys.stderr.isatty() else lambda step: None
