"""A folder in which exports arrive: what is complete in it is loaded, and moved with its account.

Names of files may hold a customer's name: a moved file gets a name of its day, its place in the run
and its content, and neither accounts nor messages repeat the name that it came under.
"""

import hashlib
import os
import stat
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from etl.folder.atomic_write import write_whole
from etl.folder.errors import UserError
from etl.folder.open_elsewhere import is_open_elsewhere
from etl.folder.regular_file import opened
from etl.folder.writer_lock import Busy
from etl.load_report import Account
from etl.read.paths import READABLE

DONE, TO_FIX = "done", "to_fix"
UNFINISHED = (".part", ".partial", ".tmp", ".temp", ".crdownload", ".download", ".filepart")
SETTLED_S = 60.0  # a file that changed later than this may still be growing
LOOK_TWICE_S = 2.0
Loads = Callable[[Sequence[Path]], Account]


class InboxError(UserError):
    """An inbox that cannot be used."""


@dataclass
class Outcome:
    """What became of the files of one run, as counts; `rows` were loaded, `held` wait."""

    done: int = 0
    to_fix: int = 0
    waiting: int = 0
    rows: int = 0
    held: int = 0
    problems: list[str] = field(default_factory=list)

    @property
    def line(self) -> str:
        """Return the one line of the run."""
        parts = [f"{self.done} loaded ({self.rows:,} rows)", f"{self.to_fix} to fix"]
        parts += [f"{self.waiting} still arriving"] if self.waiting else []
        parts += [f"{self.held:,} rows wait in quarantine"] if self.held else []
        return f"inbox: {', '.join(parts)}{self._why()}"

    def _why(self) -> str:
        return f"; {'; '.join(self.problems)}" if self.problems else ""

    @property
    def code(self) -> int:
        """Return the exit code: 0 when nothing needs a person."""
        return int(bool(self.to_fix or self.problems))


@dataclass(frozen=True)
class _Seen:
    """A file as it was when it was looked at."""

    path: Path
    size: int
    changed_ns: int
    inode: int


def run_inbox(
    inbox: Path, loads: Loads, now: float | None = None, look_twice_s: float = LOOK_TWICE_S
) -> Outcome:
    """Load what is complete in a folder and move it to done/ or to_fix/, its account next to it.

    `loads` loads files and returns their account, or raises a UserError. Files are loaded together,
    since jobs and their visits come in several; where that fails, one by one. A file that is still
    growing, open elsewhere or named as unfinished waits. Raises InboxError without such a folder,
    Busy while another load runs; then nothing was moved.
    """
    if not inbox.is_dir():
        raise InboxError(f"{inbox}: no such folder; make it, or name the one where exports arrive")
    complete, waiting = _complete(inbox, time.time() if now is None else now, look_twice_s)
    outcome = Outcome(waiting=waiting)
    readable = [each for each in complete if each.path.suffix.lower() in READABLE]
    for each in complete:
        if each not in readable:
            text = f"not a kind of file that is read; wanted one of {', '.join(sorted(READABLE))}"
            _move(each, inbox, TO_FIX, text, outcome)
    if readable:
        _load_all(readable, inbox, loads, outcome)
    return outcome


def _load_all(files: list[_Seen], inbox: Path, loads: Loads, outcome: Outcome) -> None:
    """Load all at once, else each alone; move each by what became of it."""
    try:
        account = loads([each.path for each in files])
    except Busy:
        raise
    except UserError as problem:
        if len(files) == 1:
            _move(files[0], inbox, TO_FIX, _without_name(str(problem), files[0].path), outcome)
            return
        for each in files:
            _load_all([each], inbox, loads, outcome)
        return
    for each in files:
        _settle(each, inbox, account, outcome)


def _settle(each: _Seen, inbox: Path, account: Account, outcome: Outcome) -> None:
    """Move a loaded file by its part of the account."""
    from etl.personal.redact_names import shown_file

    own = [part for part in account.files if part.file == shown_file(each.path.name)]
    kept = sum(part.loaded + part.duplicate + part.superseded for part in own)
    held = sum(part.quarantined for part in own)
    lines = [
        f"{part.table}: {part.read:,} rows read, {part.loaded:,} loaded, {part.duplicate:,} "
        f"duplicate, {part.superseded:,} superseded, {part.quarantined:,} need fixing"
        for part in own
    ]
    lines += [f"  {rows:,} × {code}" for part in own for code, rows in part.reasons.items()]
    if not own:
        lines.append("no mapping claims this file; ohmhours load --check FILE proposes one")
    elif held and not kept:
        lines.append("no row of it could be used; correct it and put it into the inbox again")
    where = DONE if own and (kept or not held) else TO_FIX
    if _move(each, inbox, where, "\n".join(lines), outcome) and where == DONE:
        outcome.rows += sum(part.loaded for part in own)
        outcome.held += held


def _complete(inbox: Path, now: float, look_twice_s: float) -> tuple[list[_Seen], int]:
    """Return the files that have arrived whole, by name, and how many are still arriving.

    Folders, links, pipes and hidden files are not looked at.
    """
    first = _seen(inbox)
    if first and look_twice_s:
        time.sleep(look_twice_s)
    again = set(_seen(inbox))
    complete = [each for each in first if each in again and not _is_arriving(each, now)]
    return complete, len(first) - len(complete)


def _seen(inbox: Path) -> list[_Seen]:
    found = []
    for path in sorted(inbox.iterdir()):
        if path.name.startswith((".", "~$")):
            continue
        with suppress(FileNotFoundError):
            state = path.lstat()
            if stat.S_ISREG(state.st_mode):
                found.append(_Seen(path, state.st_size, state.st_mtime_ns, state.st_ino))
    return found


def _is_arriving(each: _Seen, now: float) -> bool:
    if each.path.suffix.lower() in UNFINISHED or not each.size:
        return True
    is_young = abs(now - each.changed_ns / 1e9) < SETTLED_S  # another machine's clock may be ahead
    return is_young or is_open_elsewhere(each.path)


def _move(each: _Seen, inbox: Path, where: str, account: str, outcome: Outcome) -> bool:
    """Move a file and write its account; a file that changed meanwhile stays where it is."""
    if each not in _seen(inbox):
        outcome.waiting += 1
        return False
    folder = inbox / where
    try:
        folder.mkdir(exist_ok=True)
        target = folder / _neutral_name(each)
        write_whole(target.with_suffix(f"{target.suffix}.txt"), f"{account}\n".encode())
        os.replace(each.path, target)
    except OSError as error:
        outcome.problems.append(f"{folder}: cannot be written ({error.strerror})")
        return False
    if where == DONE:
        outcome.done += 1
    else:
        outcome.to_fix += 1
    return True


def _neutral_name(each: _Seen) -> str:
    """Return a name of the day, the time and the content: no word of the old one is in it."""
    with opened(each.path) as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
    suffix = each.path.suffix.lower()
    is_plain = suffix[1:].isalnum() and suffix.isascii() and len(suffix) <= 10
    return f"{datetime.now(UTC):%Y%m%d-%H%M%S}-{digest[:12]}{suffix if is_plain else '.file'}"


def _without_name(text: str, path: Path) -> str:
    """Return a message in which the file is not named."""
    return text.replace(str(path), "this file").replace(path.name, "this file")
