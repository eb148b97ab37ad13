"""A master and two workers of Spark on this machine: python -m tests.spark.cluster [JOBS …].

Loads messy records by DuckDB and on the cluster, compares every table of core, and writes the time of
each step, for every number of jobs, to tests/bench/RESULTS.md. The two workers are processes of
their own, with one core and 1 GB each; over several machines nothing was tried.
"""

import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from etl.steps import TO_FACTS
from tests.bench.ours import CLOSING, Steps
from tests.bench.results import write_section

HERE = Path(__file__).parent
LOOPBACK = "127.0.0.1"
WAIT_S = 60.0
STEPS_SHOWN = 20


@contextmanager
def standalone(folder: Path, workers: int = 2) -> Iterator[str]:
    """Start a master and workers, give the master's URL, stop them at the end."""
    port = _free_port()
    master = f"spark://{LOOPBACK}:{port}"
    with ExitStack() as running:
        at = ("--host", LOOPBACK, "--webui-port", "0")
        running.enter_context(_started(folder, "master.Master", *at, "--port", str(port)))
        _wait_for(port)
        for _ in range(workers):
            running.enter_context(
                _started(folder, "worker.Worker", *at, "-c", "1", "-m", "1g", master)
            )
        yield master


@contextmanager
def _started(folder: Path, role: str, *arguments: str) -> Iterator[None]:
    import pyspark

    home = Path(pyspark.__file__).parent
    with (folder / "cluster.log").open("a") as log:
        process = subprocess.Popen(
            [home / "bin" / "spark-class", f"org.apache.spark.deploy.{role}", *arguments],
            env=os.environ | {"SPARK_HOME": str(home), "SPARK_WORKER_DIR": str(folder)},
            stdout=log,
            stderr=log,
        )
        try:
            yield
        finally:
            process.terminate()
            process.wait(WAIT_S)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind((LOOPBACK, 0))
        return probe.getsockname()[1]


def _wait_for(port: int) -> None:
    until = time.monotonic() + WAIT_S
    while time.monotonic() < until:
        with socket.socket() as probe:
            if probe.connect_ex((LOOPBACK, port)) == 0:
                return
        time.sleep(0.2)
    raise TimeoutError(f"no master listens on port {port} after {WAIT_S:.0f} s")


@dataclass(frozen=True)
class Compared:
    """One number of jobs loaded twice: seconds of each step by engine, and rows that differ."""

    jobs: int
    duckdb_s: dict[str, float]
    spark_s: dict[str, float]
    differing: dict[str, int]


def compared(jobs: int, folder: Path, master: str) -> Compared:
    """Load that many messy jobs by DuckDB and on the cluster."""
    from tests.spark.parity import differing_rows, published
    from tests.spark.two_loads import load_twice, records

    paths = records(folder / "in", jobs, with_sample=False)
    watches = Steps(), Steps()
    ours, theirs = load_twice(paths, folder, master, watches)
    found = differing_rows(published(ours), published(theirs))
    return Compared(jobs, *(_until_loaded(watch.seconds()) for watch in watches), found)


def _until_loaded(seconds: dict[str, float]) -> dict[str, float]:
    """Return the seconds of the steps; what follows the last one belongs to it, not what came after."""
    last = seconds.pop(TO_FACTS[-1])
    return seconds | {CLOSING: last}


def lines(runs: list[Compared], busy: float) -> list[str]:
    """Return the section of RESULTS.md: the steps that took Spark longest with the most jobs."""
    most, least = runs[-1], runs[0]
    slowest = sorted(most.spark_s, key=lambda step: -most.spark_s[step])[:STEPS_SHOWN]
    counts = [f"DuckDB, {run.jobs:,} | Spark, {run.jobs:,}" for run in runs]
    heads = [
        f"| step, s | {' | '.join(counts)} | growth on Spark |",
        "| --- " * (2 * len(runs) + 2) + "|",
    ]
    whole = {
        "the whole load": [
            sum(each.values()) for run in runs for each in (run.duckdb_s, run.spark_s)
        ]
    }
    rows = whole | {
        step: [each.get(step, 0.0) for run in runs for each in (run.duckdb_s, run.spark_s)]
        for step in slowest
    }
    differing = sum(sum(run.differing.values()) for run in runs)
    return [
        f"{date.today()}, a master and two workers with a core and 1 GB each on one machine, load average "
        f"{busy:.1f} when it began. Growth: seconds with {most.jobs:,} jobs / seconds with {least.jobs:,}. "
        f"{differing} rows differ in {len(most.differing)} tables.",
        "",
        *heads,
        *(_line(name, seconds) for name, seconds in rows.items()),
    ]


def _line(name: str, seconds: list[float]) -> str:
    growth = f"{seconds[-1] / seconds[1]:.1f}" if seconds[1] else ""
    return f"| {name} | {' | '.join(f'{s:.1f}' for s in seconds)} | {growth} |"


def main(counts: list[int]) -> int:
    """Compare the loads of every number of jobs and write the section; 0 when no row differs."""
    os.environ |= {"SPARK_CONF_DIR": str(HERE / "conf"), "SPARK_LOCAL_IP": LOOPBACK}
    busy, runs = os.getloadavg()[0], []
    with tempfile.TemporaryDirectory() as scratch, standalone(Path(scratch)) as master:
        for jobs in sorted(counts):
            runs.append(compared(jobs, Path(scratch) / f"{jobs}", master))
            differing = sum(runs[-1].differing.values())
            print(f"{jobs:,} jobs: {differing} differing rows on {master}", flush=True)
    section = lines(runs, busy)
    write_section("Spark, a master and two workers", section)
    print("\n".join(section))
    return int(any(sum(run.differing.values()) for run in runs))


if __name__ == "__main__":
    sys.exit(main([int(jobs) for jobs in sys.argv[1:]] or [500]))
