"""A shop of one job a load, to which faults are done; what must hold after each."""

import atexit
import contextlib
import io
import multiprocessing
import shutil
import tempfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from dashboard.cli import main as cli
from dashboard.database import version as versions
from etl.folder.integrity import fault
from etl.folder.publish import current
from etl.folder.writer_lock import LOCK
from tests import ask

HEADER = "job_id,opened_on,closed_on,appliance_kind,symptom,disposition,customer,charged\n"
MONTH = "2026-01"
PRELOADED = ["tests.trust.fault_kills", "duckdb", "pandas", "etl.load", "dashboard.cli.main"]


@dataclass
class FaultShop:
    """The shop's place on the disk, and how many of its exports were loaded."""

    place: Path
    loaded: int = 0

    @property
    def folder(self) -> Path:
        """Return the database folder."""
        return self.place / "db"

    def export(self, number: int) -> Path:
        """Return the export that holds job number so and so, and no other."""
        path = self.place / f"jobs{number}.csv"
        row = f"J{number},2026-01-02,2026-01-03,washer,leaks,repaired,customer {number},120\n"
        path.write_text(HEADER + row, encoding="utf-8")
        return path

    def load(self) -> None:
        """Load the next export; it must work."""
        message = self.run("load", self.export(self.loaded + 1))
        assert message == "", message
        self.loaded += 1

    def run(self, *arguments: object) -> str:
        """Run a command in this process and return what it writes to standard error."""
        out, message = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(message):
            code = cli.main([*map(str, arguments), "--db", str(self.folder)])
        assert "Traceback" not in message.getvalue()
        assert (code == 0) or message.getvalue(), f"{arguments}: code {code} and not a word"
        return message.getvalue()

    def served(self) -> list[str]:
        """Return the jobs that the pages show."""
        return sorted(ask.run(self.folder, "pages/jobs")["job_id"], key=lambda job: int(job[1:]))

    def must_serve(self, *counts: int) -> None:
        """Hold the pages to the first so many jobs, all of them, from a whole version."""
        jobs = self.served()
        assert len(jobs) in counts, f"{len(jobs)} jobs are shown, wanted one of {counts}"
        assert jobs == [f"J{number}" for number in range(1, len(jobs) + 1)]
        assert fault(versions.version(self.folder)) is None

    def must_go_on(self) -> None:
        """Hold the next load to work and to lose nothing; no draft is left behind."""
        self.load()
        self.must_serve(self.loaded)
        assert not [name for name in self.files() if "building-" in name]

    def files(self) -> list[str]:
        """Return the names in the folder, but for the lock, which says who wrote last."""
        return sorted(path.name for path in self.folder.iterdir() if path.name != LOCK)

    def published(self) -> Path:
        """Return the published file."""
        path = current(self.folder)
        assert path is not None
        return path


def shop(place: Path) -> FaultShop:
    """Return a shop after two loads of one job each, in a place of its own."""
    place.mkdir(parents=True, exist_ok=True)
    shutil.copytree(_after_two_loads(), place, dirs_exist_ok=True)
    return FaultShop(place, loaded=2)


@cache
def _after_two_loads() -> Path:
    place = Path(tempfile.mkdtemp(prefix="fault_shop_"))
    atexit.register(shutil.rmtree, place, ignore_errors=True)
    made = FaultShop(place)
    made.load()
    made.load()
    return place


def processes() -> multiprocessing.context.ForkServerContext:
    """Return a source of processes that start in a moment, with everything imported."""
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(PRELOADED)
    return context
