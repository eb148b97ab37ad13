"""The one door for text to the terminal: nothing in it steers the terminal or stops a command."""

import sys
from contextlib import suppress
from io import TextIOWrapper

from dashboard.text.escape_markdown import printable


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
        sys.stderr.write(f"ohmhours: {printable(str(text))}\n")
        sys.stderr.flush()


def show_step(text: str) -> None:
    """Show a step in place of the last one."""
    with suppress(OSError, ValueError):
        sys.stderr.write(f"\r\x1b[K{printable(text[:70])}")
        sys.stderr.flush()
