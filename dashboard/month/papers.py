"""The month's paper, written without anybody asking, as soon as the month is mature."""

from datetime import date, timedelta
from pathlib import Path

from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.month.load import month_html, months_of
from dashboard.month.periods import month_days
from etl.folder.atomic_write import write_whole


def write_papers(snapshot: Snapshot, place: Path) -> list[str]:
    """Write the paper of each mature month that has none yet; return those months.

    Mature: its last day is the callback window or more before the records end. The first time only
    the newest such month is written, later every one since the last paper. Raises OSError.
    """
    as_of = run(snapshot, "pages/dataset").iloc[0].as_of
    months = [] if as_of is None else months_of(snapshot)
    mature = [m for m in months if is_mature(m, as_of.date(), snapshot.window_days)]
    written = [path.stem.removeprefix("month_") for path in place.glob("month_????-??.html")]
    wanted = [m for m in mature if m > max(written)] if written else mature[-1:]
    if wanted:
        place.mkdir(parents=True, exist_ok=True)
    for month in wanted:
        write_whole(place / f"month_{month}.html", month_html(snapshot, month).encode("utf-8"))
    return wanted


def is_mature(month: str, as_of: date, window_days: int) -> bool:
    """Return True if every repair of the month is past the callback window."""
    _, last = month_days(month)
    return last + timedelta(days=window_days) <= as_of
