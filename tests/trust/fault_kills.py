"""SIGKILL: at moments spread over a run, and before every single step on the shop's files."""

import io
import os
import signal
import sys
import time
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from types import ModuleType
from unittest.mock import patch

from dashboard.cli import main as cli
from dashboard.settings.file import read_settings, write_settings
from tests.trust.fault_shop import MONTH, FaultShop, processes, shop

STEPS = ("open", "os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.link")
MOST_STEPS, MOST_SETTING_STEPS = 100, 20


def command(arguments: list[str], place: Path, step: int | None) -> None:
    """Run a command; with a step, die before the step-th touch of a file under `place`."""
    if step is not None:
        _die_before(place, step)
    said = io.StringIO()
    with redirect_stdout(io.StringIO()), redirect_stderr(said):
        code = cli.main(arguments)
    print(said.getvalue() if code else "", end="", file=sys.stderr)
    sys.exit(code)


def _die_before(place: Path, step: int) -> None:
    left = [step]

    def hook(event: str, values: tuple) -> None:
        if event not in STEPS or not any(str(place) in str(value) for value in values[:2]):
            return
        if left[0] == 0:
            os.kill(os.getpid(), signal.SIGKILL)
        left[0] -= 1

    sys.addaudithook(hook)


def load_killed_at_moments(place: Path, moments: int) -> None:
    """Kill loads at moments spread evenly over a run, each of a further job."""
    made = shop(place)
    _killed(_load(made, 1), place)  # killed never: the processes' own start is not measured
    started = time.monotonic()
    _killed(_load(made, 1), place)
    seconds, killed = time.monotonic() - started, 0
    for moment in range(moments):
        after = seconds * (moment + 0.5) / moments
        killed += _killed(_load(made, made.loaded + 1), place, after=after)
        made.must_serve(made.loaded, made.loaded + 1)
        made.loaded = len(made.served())
    assert killed >= moments / 2, f"only {killed} of {moments} loads were still running"
    made.must_go_on()


def load_killed_at_every_step(place: Path, moments: int) -> None:
    """Kill loads before each step on the folder's files, the publishing among them."""
    made = shop(place)

    def check() -> None:
        made.must_serve(made.loaded, made.loaded + 1)
        made.loaded = len(made.served())

    _at_steps(lambda: _load(made, made.loaded + 1), made.folder, moments, check)
    made.must_go_on()


def settings_killed_at_every_step(place: Path, moments: int) -> None:
    """Kill savings of settings before each step: the former value stands, or the new one, whole."""
    made = shop(place)
    write_settings(made.folder, {"callback_window_days": 30, "shop_name": "One"})
    for number in range(moments):
        wanted = {"callback_window_days": 31 + number, "shop_name": f"Shop {number}"}
        before = read_settings(made.folder)
        was_killed = _killed(wanted, made.folder, step=number % MOST_STEPS, run=save_settings)
        found = read_settings(made.folder)
        assert found in (before, before | wanted), "settings of two savings at once"
        assert was_killed or found == before | wanted
        made.must_serve(made.loaded)
        if not was_killed:
            break
    else:
        assert moments < MOST_SETTING_STEPS, "no saving lived"
    write_settings(made.folder, {"callback_window_days": 60})
    made.must_go_on()


def save_settings(values: dict, place: Path, step: int | None) -> None:
    """Save settings; die before the step-th touch of a file under `place`."""
    read_settings(place)
    if step is not None:
        _die_before(place, step)
    write_settings(place, values)


def report_killed_at_every_step(place: Path, moments: int) -> None:
    """Kill reports before each step on their file: the former report stands, or the new one."""
    made = shop(place)
    file = place / "report" / "month.html"
    file.parent.mkdir()
    written = ["report", "--month", MONTH, "--out", str(file), "--db", str(made.folder)]
    assert cli_code(made, *written[:-2]) == 0
    whole = file.read_bytes()

    def check() -> None:
        assert file.read_bytes() == whole
        made.must_serve(made.loaded)

    _at_steps(lambda: written, file.parent, moments, check)
    made.must_go_on()


def backup_killed_at_every_step(place: Path, moments: int) -> None:
    """Kill backups and restores before each step: what has the name asked for is whole."""
    made = shop(place)
    file = place / "kept" / "shop.zip"
    file.parent.mkdir()
    write = ["backup", str(file), "--db", str(made.folder)]
    read = ["restore", str(file), "--db", str(made.folder), "--replace"]

    def check() -> None:
        if not made.folder.exists():  # killed between two renamings: both folders are there
            (former,) = place.glob("db.replaced-*")
            os.replace(former, made.folder)
        made.must_serve(made.loaded)

    _at_steps(lambda: write, file.parent, moments, lambda: file.unlink(missing_ok=True))
    assert cli_code(made, "backup", str(file)) == 0
    _at_steps(lambda: read, place, moments, check)
    made.must_go_on()


def cli_code(made: FaultShop, *arguments: str) -> int:
    """Run a command that must work."""
    message = made.run(*arguments)
    assert message == "", message
    return 0


def _load(made: FaultShop, number: int) -> list[str]:
    return ["load", str(made.export(number)), "--db", str(made.folder)]


def _at_steps(
    run: Callable[[], list[str]], place: Path, moments: int, check: Callable[[], None]
) -> None:
    """Kill a command before its first, second, … step until it lives; at most `moments` times."""
    every = max(1, 16 // moments)
    for step in range(0, MOST_STEPS, every):
        was_killed = _killed(run(), place, step=step)
        check()
        if not was_killed:
            assert step > 1, "no step was found to be killed at"
            return
    raise AssertionError(f"more than {MOST_STEPS} steps")


def _killed(
    arguments: list[str] | dict,
    place: Path,
    *,
    after: float | None = None,
    step: int | None = None,
    run: Callable[..., None] = command,
) -> bool:
    """Run a command in a process of its own; say whether it was killed before its end."""
    process = processes().Process(target=run, args=(arguments, place, step))
    with patch.dict(sys.modules, {"__main__": ModuleType("__main__")}):
        process.start()  # it would run what stands there: tests of pages leave app.py
    process.join(after)
    process.kill()
    process.join()
    assert process.exitcode in (0, -signal.SIGKILL), f"{arguments} ended with {process.exitcode}"
    return process.exitcode != 0
