"""What an argument of a command may be; each refusal is one line of argparse."""

import argparse
from collections.abc import Callable, Sequence
from datetime import date, time
from pathlib import Path

from dashboard.filters import Filters
from dashboard.month.periods import month_days

FILTER_NAMES = ("branch", "technician", "appliance_kind", "symptom")
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


def clock(written: str) -> time:
    """Return a time of the day as hours and minutes."""
    try:
        found = time.fromisoformat(written)
    except ValueError:
        found = None
    if found is None or len(written) != 5:
        raise argparse.ArgumentTypeError(f"{written[:20]!a} is no time like 06:30")
    return found


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


def percent(written: str) -> float:
    """Return a percentage from 1 to 99 as a fraction."""
    plain = written.removesuffix("%")
    if not plain.isascii() or not plain.isdecimal() or not 1 <= int(plain[:4]) <= 99:
        raise argparse.ArgumentTypeError(f"{written[:20]!a} is no percentage from 1 to 99")
    return int(plain) / 100


def condition(names: Sequence[str]) -> Callable[[str], tuple[str, str]]:
    """Return what reads COLUMN=VALUE, the column one of `names`."""

    def read(written: str) -> tuple[str, str]:
        name, found, value = text(written).partition("=")
        if not found or name not in names:
            raise argparse.ArgumentTypeError(
                f"{written[:80]!a}: wanted COLUMN=VALUE with one of {', '.join(names)}"
            )
        return name, value

    return read


def add_filters(command: argparse.ArgumentParser) -> None:
    """Add --from, --to and --where to a command."""
    command.add_argument("--from", dest="start", type=day, metavar="DATE", help="closed from")
    command.add_argument("--to", dest="end", type=day, metavar="DATE", help="closed to")
    command.add_argument(
        "--where",
        action="append",
        default=[],
        type=condition(FILTER_NAMES),
        metavar="COLUMN=VALUE",
        help="only these jobs; columns " + ", ".join(FILTER_NAMES) + "; may be repeated",
    )


def filters_of(chosen: argparse.Namespace) -> Filters:
    """Return the filters of a call."""
    values = {name: tuple(v for n, v in chosen.where if n == name) for name in FILTER_NAMES}
    return Filters(from_date=chosen.start, to_date=chosen.end, **values)
