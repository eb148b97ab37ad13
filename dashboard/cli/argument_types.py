"""What an argument of a command may be; each refusal is one line of argparse."""

import argparse
from datetime import date
from pathlib import Path

from dashboard.month.periods import month_days

EARLIEST, LATEST = 1900, 2200  # years of a shop's records


def text(written: str) -> str:
    """Return a text that is one; raise for bytes that are no UTF-8, and for NUL."""
    if "\0" in written or (
        not written.isascii() and written != written.encode("utf-8", "replace").decode()
    ):
        raise argparse.ArgumentTypeError(f"{written[:40]!a} holds bytes that are no text in UTF-8")
    return written


def path(written: str) -> Path:
    """Return a path; raise for a NUL."""
    if "\0" in written:
        raise argparse.ArgumentTypeError(f"{written[:40]!a} is no path: it holds a NUL")
    return Path(written)


def port(written: str) -> int:
    """Return a port that there is."""
    if not written.isascii() or not written.isdecimal() or not 1 <= int(written[:6]) <= 65535:
        raise argparse.ArgumentTypeError(f"{written[:20]!a} is no port from 1 to 65535")
    return int(written)


def day(written: str) -> date:
    """Return a day."""
    try:
        return date.fromisoformat(written)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{written[:40]!a} is no date like 2026-03-31") from None


def month(written: str) -> str:
    """Return a month as written."""
    wrong = argparse.ArgumentTypeError(f"{written[:20]!a} is no month like 2026-10")
    try:
        first, _ = month_days(written)
    except (ValueError, OverflowError):
        raise wrong from None
    if not EARLIEST <= first.year <= LATEST:
        raise wrong
    return written


def shown_path(written: str) -> Path:
    """Return a path that the database engine can open: its name is text in UTF-8."""
    return Path(text(written))
