"""The command schedule: a timer that loads the inbox every day, for systemd or Windows."""

import argparse
import sys
from datetime import time
from pathlib import Path
from typing import Any

from dashboard.cli.argument_types import clock, path
from dashboard.cli.schedule_files import NAME, service, task, timer
from dashboard.cli.shop import default_database
from dashboard.cli.terminal import say
from dashboard.errors import UserError
from etl.folder.atomic_write import write_whole

SYSTEMD, WINDOWS = "systemd", "windows"


def add_schedule(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command."""
    command = added.add_parser(
        "schedule",
        parents=[common],
        help="print what loads an inbox every day: a systemd timer or a Windows task",
        epilog="example: ohmhours schedule --inbox ~/exports --at 06:30 "
        "--out ~/.config/systemd/user; then: systemctl --user enable --now ohmhours-inbox.timer",
    )
    command.add_argument("--inbox", type=path, required=True, metavar="FOLDER")
    command.add_argument("--at", type=clock, default=time(6, 30), metavar="HH:MM")
    command.add_argument(
        "--for", dest="system", choices=(SYSTEMD, WINDOWS),
        default=WINDOWS if sys.platform == "win32" else SYSTEMD, help="(default: this machine)",
    )  # fmt: skip
    command.add_argument("--out", type=path, metavar="FOLDER", help="write the files there")
    command.set_defaults(run=_schedule)


def _schedule(chosen: argparse.Namespace) -> int:
    files = files_of(chosen.system, _command(chosen), chosen.at)
    for name, content in files.items():
        if chosen.out:
            encoding = "utf-16" if name.endswith(".xml") else "utf-8"
            _write(chosen.out / name, content.encode(encoding))
        else:
            say(f"# {name}\n{content}" if chosen.system == SYSTEMD else content)
    return 0


def files_of(system: str, command: list[str], at: time) -> dict[str, str]:
    """Return the files of a system by name. Raises UserError for a path that none can hold."""
    if any("\n" in word or "\r" in word for word in command):
        raise UserError("a path with a line break cannot be scheduled; rename that folder")
    if system == WINDOWS:
        return {f"{NAME}.xml": task(command, at)}
    return {f"{NAME}.service": service(command), f"{NAME}.timer": timer(at)}


def _command(chosen: argparse.Namespace) -> list[str]:
    database = (chosen.db or default_database()).absolute()
    program = [sys.executable, "-m", "dashboard.cli.main"]
    return [*program, "load", "--inbox", str(chosen.inbox.absolute()), "--db", str(database)]


def _write(place: Path, content: bytes) -> None:
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        write_whole(place, content)
    except OSError as error:
        raise UserError(
            f"{place}: cannot be written ({error.strerror}); name another --out"
        ) from None
    say(f"written: {place}")
