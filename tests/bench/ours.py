"""Our load as a contender: python -m tests.bench.ours FOLDER OUT [--until STEP] [--memory LIMIT].

OUT is the database folder; steps.json in it holds the seconds of each step.
"""

import argparse
import json
import time
from collections import Counter
from itertools import pairwise
from pathlib import Path
from typing import Any
from unittest import mock

import duckdb

from etl.load import load

FIRST_OF_FACTS = "core/callback_links"  # the core tables are whole before this step
READING = "reading and landing files"
CLOSING = "last step, account, writing out"


class Reached(Exception):
    """The step is reached up to which the load was wanted."""


class Steps:
    """Notes when each step of a load began."""

    def __init__(self, until: str | None = None) -> None:
        self.until, self.began = until, []

    def __call__(self, step: str) -> None:
        if step == self.until:
            raise Reached
        self.began.append((READING if step.startswith("reading ") else step, time.perf_counter()))

    def seconds(self) -> dict[str, float]:
        """Return the seconds of each step; the last one lasts until now."""
        _, last = self.began[-1]
        spent = Counter({CLOSING: time.perf_counter() - last})
        for (step, began), (_, end) in pairwise(self.began):
            spent[step] += end - began
        return dict(spent)


def main(folder: Path, out: Path, until: str | None = None, memory: str | None = None) -> None:
    """Load every file of a folder, whole or up to a step, under a limit of memory or without."""
    steps, connect = Steps(until), duckdb.connect

    def connect_limited(*arguments: Any, **options: Any) -> duckdb.DuckDBPyConnection:
        connection = connect(*arguments, **options)
        if memory:
            connection.execute(f"SET memory_limit = '{memory}'")
        return connection

    with mock.patch("duckdb.connect", connect_limited):
        try:
            load([folder], out, progress=steps)
        except Reached:
            return
    (out / "steps.json").write_text(json.dumps(steps.seconds()), encoding="utf-8")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--until")
    parser.add_argument("--memory")
    main(**vars(parser.parse_args()))
