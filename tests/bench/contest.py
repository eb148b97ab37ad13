"""Contenders run in turn, each in a process of its own: wall time, processor time, peak memory."""

import os
import shutil
import statistics
import sys
from collections import defaultdict
from collections.abc import Sequence
from pathlib import Path

from etl.folder.shop_key import KEY_FILE, unit_key
from tests.bench.ours import FIRST_OF_FACTS
from tests.bench.process import Run, run

RIVALS = ("floor", "pandas", "pandas, distinct", "polars")
OURS = ("ours to core", "ours", "a day added")
MODULES = {
    "floor": ("tests.bench.rivals.floor",),
    "pandas": ("tests.bench.rivals.pandas_notebook",),
    "pandas, distinct": ("tests.bench.rivals.pandas_distinct",),
    "polars": ("tests.bench.rivals.polars_pipeline",),
    "ours to core": ("tests.bench.ours", "--until", FIRST_OF_FACTS),
    "ours": ("tests.bench.ours",),
    "a day added": ("tests.bench.ours",),
    "ours in 1 GB": ("tests.bench.ours", "--memory", "1GB"),
}


class Contest:
    """Runs contenders over the files of one folder; what each writes is in its own folder.

    "a day added" loads the files of the folder `day` into a copy of what "ours" made.
    """

    def __init__(self, files: Path, scratch: Path, day: Path | None = None) -> None:
        self.files, self.scratch, self.day = files, scratch, day
        self.runs: dict[str, list[Run]] = defaultdict(list)
        (scratch / "key").mkdir(parents=True)
        unit_key(scratch / "key")

    def out(self, name: str) -> Path:
        """Return the folder where a contender writes."""
        return self.scratch / name.replace(",", "").replace(" ", "_")

    def rounds(self, names: Sequence[str], count: int) -> None:
        """Run every contender once, then every one again, so that a slow hour hits all of them."""
        for number in range(1, count + 1):
            for name in names:
                self.runs[name].append(self._run(name))
                last = self.runs[name][-1]
                print(f"round {number}, {name}: {last.wall_s:.1f} s", file=sys.stderr, flush=True)

    def median(self, name: str) -> Run:
        """Return the median of each number over the runs of one contender."""
        runs = self.runs[name]
        return Run(
            statistics.median(run.wall_s for run in runs),
            statistics.median(run.cpu_s for run in runs),
            statistics.median(run.peak_mb for run in runs),
        )

    def _run(self, name: str) -> Run:
        files, out = self._prepared(name)
        module, *options = MODULES[name]
        arguments = [sys.executable, "-m", module, str(files), str(out), *options]
        environment = os.environ | {"OHMHOURS_BENCH_KEY": str(self.scratch / "key")}
        try:
            return run(arguments, environment)
        except RuntimeError as error:
            raise RuntimeError(f"{name}: {error}") from None

    def _prepared(self, name: str) -> tuple[Path, Path]:
        """Return where a contender finds its files and where it writes, with what it begins with."""
        out = self.out(name)
        shutil.rmtree(out, ignore_errors=True)
        if name == "a day added":
            return self.day, shutil.copytree(self.out("ours"), out)
        out.mkdir()
        shutil.copy(self.scratch / "key" / KEY_FILE, out / KEY_FILE)
        return self.files, out
