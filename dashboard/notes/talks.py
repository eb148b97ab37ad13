"""The talks with technicians: when, and the point agreed; talks.toml in the database folder."""

from datetime import date
from pathlib import Path
from typing import Literal, get_args

from dashboard.access.page_roles import LEAD, OWNER
from dashboard.access.reader import Refused, reader
from dashboard.notes.changes import Day, Text
from dashboard.notes.file import Note, alter_notes, checked_note, read_notes

FILE, TALKS = "talks.toml", "talk"
TalkedOf = Literal["wrong", "not_tested", "against", "missed", "several"]
TALKED_OF: tuple[str, ...] = get_args(TalkedOf)


class Talk(Note):
    """One talk. `measure`: what the agreed point should move, where it is one that is counted."""

    technician: Text
    held_on: Day
    agreed: Text
    measure: TalkedOf | None = None


def read_talks(folder: Path) -> list[Talk]:
    """Return all noted talks. Raises NotesError."""
    return read_notes(folder, FILE, TALKS, Talk)


def last_talk(folder: Path, technician: str) -> Talk | None:
    """Return the last talk with a technician; None without one. Raises NotesError."""
    talks = [talk for talk in read_talks(folder) if talk.technician == technician]
    return max(talks, key=lambda talk: talk.held_on, default=None)


def may_note_talks() -> bool:
    """Return True if the current user may note talks."""
    return reader().role in (OWNER, LEAD)


def note_talk(
    folder: Path, technician: str, held_on: date, agreed: str, measure: str | None
) -> None:
    """Note a talk, in place of one with the same technician on that day.

    Raises NotesError, Refused.
    """
    if not may_note_talks():
        raise Refused("Your role does not note talks. Ask the lead technician.")
    values = {"technician": technician, "held_on": held_on, "agreed": agreed, "measure": measure}
    new = checked_note(Talk, values, "the talk")

    def added(notes: list[Talk]) -> list[Talk]:
        same = (technician, held_on)
        return [*(n for n in notes if (n.technician, n.held_on) != same), new]

    alter_notes(folder, FILE, TALKS, Talk, added)
