"""The changes and targets that the owner notes: changes.toml in the database folder."""

from datetime import date
from pathlib import Path
from typing import Annotated, Literal, get_args

from pydantic import Field

from dashboard.access.page_roles import OWNER
from dashboard.access.reader import Refused, reader
from dashboard.notes.file import Note, NotesError, alter_notes, checked_note, read_notes

FILE = "changes.toml"
CHANGES, TARGETS = "change", "target"
Share = Literal[
    "first_time_fix", "callbacks", "part_needed", "return_trips", "wrong", "not_tested", "against",
    "missed", "several",
]  # fmt: skip
Amount = Literal["minutes", "revenue", "parts_cost"]  # per job; a target is a share
Measured = Literal[Share, Amount]
SHARES: tuple[str, ...] = get_args(Share)
AMOUNTS: tuple[str, ...] = get_args(Amount)
MEASURED = (*SHARES, *AMOUNTS)
UP, DOWN = "up", "down"
WANTED = {name: UP if name in ("first_time_fix", "revenue") else DOWN for name in MEASURED}
MOST_TEXT, MOST_NAMES = 200, 50
Text = Annotated[str, Field(min_length=1, max_length=MOST_TEXT, pattern=r"^[^\x00-\x1f\x7f]*$")]
Names = Annotated[list[Text], Field(max_length=MOST_NAMES)]
Day = Annotated[date, Field(ge=date(1990, 1, 1), le=date(2200, 1, 1))]


class Change(Note):
    """A change in how the shop works. Whom it touches: empty lists mean everybody, everything.

    `measure` should move `way`; a change has the number `id`.
    """

    id: Annotated[int, Field(ge=1)]
    changed_on: Day
    what: Text
    measure: Measured
    way: Literal["up", "down"]
    branch: Names = Field(default_factory=list)
    technician: Names = Field(default_factory=list)
    appliance_kind: Names = Field(default_factory=list)
    symptom: Names = Field(default_factory=list)
    part_no: Names = Field(default_factory=list)

    @property
    def touches_all(self) -> bool:
        """Return True if no job of the shop is untouched."""
        lists = self.branch, self.technician, self.appliance_kind, self.symptom, self.part_no
        return not any(lists)


class Target(Note):
    """A value that a measure shall reach in the month of a day; a fraction of the jobs."""

    id: Annotated[int, Field(ge=1)]
    measure: Share
    value: Annotated[float, Field(gt=0, lt=1)]
    by: Day


def read_changes(folder: Path) -> list[Change]:
    """Return the noted changes, oldest first. Raises NotesError."""
    found = read_notes(folder, FILE, CHANGES, Change)
    return sorted(found, key=lambda change: (change.changed_on, change.id))


def read_targets(folder: Path) -> list[Target]:
    """Return the targets, the nearest first. Raises NotesError."""
    found = read_notes(folder, FILE, TARGETS, Target)
    return sorted(found, key=lambda target: (target.by, target.id))


def may_note() -> bool:
    """Return True if the current user may note changes and targets."""
    return reader().role == OWNER


def note_change(folder: Path, **values: object) -> None:
    """Note a change, under the next free number. Raises NotesError, Refused."""
    _check_owner()

    def added(notes: list[Change]) -> list[Change]:
        number = max((note.id for note in notes), default=0) + 1
        return [*notes, checked_note(Change, {"id": number, **values}, "the change")]

    alter_notes(folder, FILE, CHANGES, Change, added)


def note_target(folder: Path, **values: object) -> None:
    """Note a target, in place of one for the same measure. Raises NotesError, Refused."""
    _check_owner()

    def added(notes: list[Target]) -> list[Target]:
        number = max((note.id for note in notes), default=0) + 1
        new = checked_note(Target, {"id": number, **values}, "the target")
        return [*(note for note in notes if note.measure != new.measure), new]

    alter_notes(folder, FILE, TARGETS, Target, added)


def remove_change(folder: Path, number: int) -> None:
    """Remove a noted change. Raises NotesError when there is none of this number, Refused."""
    _check_owner()

    def left(notes: list[Change]) -> list[Change]:
        if number not in {note.id for note in notes}:
            raise NotesError(f"{FILE}: no change has the number {number}; ohmhours changes lists")
        return [note for note in notes if note.id != number]

    alter_notes(folder, FILE, CHANGES, Change, left)


def remove_target(folder: Path, measure: str) -> None:
    """Remove the target of a measure; nothing happens without one. Raises NotesError, Refused."""
    _check_owner()
    alter_notes(
        folder, FILE, TARGETS, Target, lambda notes: [n for n in notes if n.measure != measure]
    )


def _check_owner() -> None:
    if not may_note():
        raise Refused("Your role does not note changes or targets. Ask the owner of the shop.")
