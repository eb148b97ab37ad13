"""Every fault that dashboard/docs/faults.md lists, done to a small shop: python -m tests.trust.faults.

After each the last good version is shown, one line says what helps, nothing is lost, and the next
load works; a fault after which that does not hold is marked FAILED, and the exit code is 1.
"""

import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.trust import fault_disk as disk
from tests.trust import fault_files as files
from tests.trust import fault_kills as kills


@dataclass(frozen=True)
class Fault:
    """A fault: what does it, how often in full and in brief, and what a person meets after it."""

    name: str
    do: Callable[[Path, int], None]
    moments: int
    in_brief: int
    shown: str
    helps: str

    def row(self) -> str:
        """Return the fault's line of the table."""
        return f"| {self.name} | {self.shown} | {self.helps} |"


HEAD = "| fault | the pages show | what helps |\n| --- | --- | --- |"
LAST = "the last good version"
BEFORE = "the version before it, and say so"
WAY_BACK = "`ohmhours restore FILE`, or `ohmhours undo` and load again what came since"
FAULTS = (
    Fault(
        "load killed, at 200 moments of its run",
        kills.load_killed_at_moments,
        200,
        2,
        LAST,
        "load again",
    ),
    Fault(
        "load killed before every step of its publishing",
        kills.load_killed_at_every_step,
        100,
        4,
        LAST,
        "load again",
    ),
    Fault(
        "report killed before every step of its writing",
        kills.report_killed_at_every_step,
        100,
        8,
        LAST + "; the former report stands",
        "report again",
    ),
    Fault(
        "backup and restore killed before every step",
        kills.backup_killed_at_every_step,
        100,
        4,
        LAST + "; between the last two steps of a restore, which replaces a folder, both are "
        "next to its name",
        "the same command again; what was replaced is in `….replaced-…`",
    ),
    Fault(
        "settings killed before every step of their saving",
        kills.settings_killed_at_every_step,
        20,
        4,
        LAST + "; the former settings stand, or the new ones",
        "save again",
    ),
    Fault("disk full", disk.disk_full, 1, 1, LAST, "free some space, then again"),
    Fault("folder read-only", disk.folder_read_only, 1, 1, LAST, "make it writable, or another `--db`"),
    Fault("database file damaged, at 40 places", files.file_damaged, 40, 4, BEFORE, WAY_BACK),
    Fault("database file cut short, at 20 places", files.file_cut_short, 20, 3, BEFORE, WAY_BACK),
    Fault("file of another program in its place", files.file_of_another_program, 1, 1, BEFORE, WAY_BACK),
    Fault("newest version deleted", files.newest_version_gone, 1, 1, BEFORE, WAY_BACK),
    Fault("pointer deleted", files.pointer_deleted, 1, 1, LAST, "nothing needed"),
    Fault("pointer deleted while pages read", files.pointer_deleted_while_read, 20, 3, LAST, "nothing needed"),
    Fault("pointer garbled", files.pointer_garbled, 1, 1, LAST + ", and say so", "`ohmhours undo`"),
    Fault("key deleted or damaged", files.key_lost, 1, 1, LAST, "`ohmhours restore FILE --replace`"),
    Fault("clock moved back", files.clock_moved_back, 1, 1, LAST, "by days: set the clock; rows that waited for their day: load their file again"),
    Fault("two loads at once", files.two_loads_at_once, 1, 1, LAST, "wait for the first, load again"),
    Fault(
        "database of an older version of the program",
        files.older_program,
        1,
        1,
        "what helps",
        "load any export, even one loaded before",
    ),
    Fault(
        "database of a newer version of the program",
        files.newer_program,
        1,
        1,
        BEFORE,
        "update the program",
    ),
)  # fmt: skip


def main(names: Sequence[str]) -> int:
    """Do all faults, or those whose name holds one of the words; print the table."""
    chosen = [f for f in FAULTS if not names or any(name in f.name for name in names)]
    print(HEAD)
    failed = 0
    for fault in chosen:
        started = time.monotonic()
        with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as place:
            try:
                fault.do(Path(place) / "shop", fault.moments)
                print(fault.row(), flush=True)
            except disk.CannotTry as reason:
                print(f"| {fault.name} | not tried: {reason} | |", flush=True)
            except Exception:
                failed += 1
                traceback.print_exc()
                print(f"| {fault.name} | FAILED | |", flush=True)
        print(f"{fault.name}: {time.monotonic() - started:.0f} s", file=sys.stderr)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
