"""Changes and targets of a folder with what the records say of them, from a snapshot."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import pandas as pd

from dashboard.changes.compute import Effect, effect_of
from dashboard.changes.targets import Outlook, outlook
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.filters import Filters
from dashboard.measures import measure
from dashboard.notes.changes import AMOUNTS, UP, Change, read_changes, read_targets

YEAR = timedelta(days=365)


@dataclass(frozen=True)
class Judged:
    """A change, its effect, the cells it rests on.

    The sides end at other changes to the same jobs: `cut_by`. `same_day`: others that cannot be
    separated from it.
    """

    change: Change
    effect: Effect
    cells: pd.DataFrame
    first: date
    last: date
    cut_by: tuple[Change, ...]
    same_day: tuple[Change, ...]


def judged_changes(snapshot: Snapshot, filters: Filters | None = None) -> list[Judged]:
    """Return the noted changes, newest first, each with its effect. Raises NotesError."""
    changes = read_changes(snapshot.folder)
    return [_judged(snapshot, each, changes, filters) for each in reversed(changes)]


def _judged(
    snapshot: Snapshot, change: Change, changes: list[Change], filters: Filters | None
) -> Judged:
    others = [other for other in changes if other.id != change.id and may_meet(change, other)]
    day = change.changed_on
    first = max([day - YEAR, *(o.changed_on for o in others if o.changed_on < day)])
    after = [o.changed_on - timedelta(days=1) for o in others if o.changed_on > day]
    last = min([day + YEAR, _as_of(snapshot), *after])
    cells = measure(snapshot, "change_effect", filters, **asked(change, first, last))
    effect = effect_of(
        cells,
        change.way == UP,
        snapshot.settings["min_jobs"],
        is_share=change.measure not in AMOUNTS,
    )
    cut_by = tuple(o for o in others if o.changed_on in (first, last + timedelta(days=1)))
    same_day = tuple(o for o in others if o.changed_on == day)
    return Judged(change, effect, cells, first, last, cut_by, same_day)


def may_meet(change: Change, other: Change) -> bool:
    """Return True unless no job can be touched by both changes."""
    for key in ("branch", "technician", "appliance_kind", "symptom", "part_no"):
        one, two = set(getattr(change, key)), set(getattr(other, key))
        if one and two and not one & two:
            return False
    return True


def asked(change: Change, first: date | None, last: date | None) -> dict[str, Any]:
    """Return the parameters of change_effect and change_jobs; a side without an end has all."""
    return {
        "measured": change.measure,
        "changed_on": change.changed_on,
        "before_from": first,
        "after_to": last,
        "on_branch": change.branch,
        "on_technician": change.technician,
        "on_kind": change.appliance_kind,
        "on_symptom": change.symptom,
        "on_part": change.part_no,
    }


def outlooks(snapshot: Snapshot, filters: Filters | None = None) -> list[Outlook]:
    """Return the targets with their outlook, the nearest first. Raises NotesError."""
    as_of = _as_of(snapshot)
    return [
        outlook(target, months_of(snapshot, target.measure, filters), as_of, snapshot.window_days)
        for target in read_targets(snapshot.folder)
    ]


def months_of(snapshot: Snapshot, measured: str, filters: Filters | None = None) -> pd.DataFrame:
    """Return month, hits, jobs of a measured figure over all records."""
    cells = measure(
        snapshot, "change_effect", filters, measured=measured, changed_on=date(2200, 1, 1)
    )
    return cells.groupby("month", as_index=False)[["hits", "jobs"]].sum()


def _as_of(snapshot: Snapshot) -> date:
    day: date = run(snapshot, "pages/dataset").iloc[0].as_of.date()
    return day
