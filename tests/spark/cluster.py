"""A master and two workers of Spark on this machine: python -m tests.spark.cluster [JOBS].

Loads messy records by DuckDB and on the cluster and compares every table of core. The two workers are
processes of their own, with one core and 1 GB each; over several machines nothing was tried.
"""

import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

HERE = Path(__file__).parent
LOOPBACK = "127.0.0.1"
WAIT_S = 60.0


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


def main(jobs: int) -> int:
    """Load that many messy jobs twice and print which rows differ; 0 when none does."""
    os.environ |= {"SPARK_CONF_DIR": str(HERE / "conf"), "SPARK_LOCAL_IP": LOOPBACK}
    from tests.spark.parity import differing_rows, published
    from tests.spark.two_loads import load_twice, records

    with tempfile.TemporaryDirectory() as scratch, standalone(Path(scratch)) as master:
        folder = Path(scratch)
        paths = records(folder / "in", jobs, with_sample=False)
        ours, theirs = load_twice(paths, folder, master)
        found = differing_rows(published(ours), published(theirs))
    for table, rows in found.items():
        print(f"{table}: {rows} differing rows")
    print(f"{jobs:,} jobs, {len(found)} tables, {sum(found.values())} differing rows on {master}")
    return int(any(found.values()))


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 500))
