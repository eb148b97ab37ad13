"""How long do the measures take for one reader and for twenty? Random periods, kinds, branches."""

import random
import threading
import time
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from dashboard.database.snapshot import take
from dashboard.filters import Filters
from dashboard.measures import MEASURES, defaults
from tests.ask import run
from tests.bench.messy_dates import DAYS, FIRST_DAY

FILTERS, READERS, WINDOW_S = 30, 20, 20.0


@dataclass(frozen=True)
class Waits:
    """Milliseconds that queries took: the middle, the 95th percentile, and the longest."""

    p50_ms: float
    p95_ms: float
    max_ms: float

    @classmethod
    def of(cls, seconds: list[float]) -> "Waits":
        return cls(*(float(x) * 1000 for x in np.quantile(seconds, (0.5, 0.95, 1))))


class Reader:
    """Asks measures with random filters: 30 days to 5 years, every kind or one, a branch or all."""

    def __init__(self, database: Path, seed: int) -> None:
        self.database, self.random = database, random.Random(seed)
        self.parameters = defaults(take(database)) | {"group_by": "month"}
        choices = run(database, "pages/choices")
        self.kinds, self.branches = (
            choices.loc[choices["filter"] == field, "value"].tolist()
            for field in ("appliance_kind", "branch")
        )

    def filters(self) -> Filters:
        """Draw filters; one kind and one branch in half of them each."""
        length = self.random.randint(30, 5 * 365)
        first = FIRST_DAY + timedelta(days=self.random.randint(0, DAYS - length))
        kinds, branches = (
            (self.random.choice(values),) if self.random.random() < 0.5 else ()
            for values in (self.kinds, self.branches)
        )
        last: date = first + timedelta(days=length)
        return Filters(first, last, appliance_kind=kinds, branch=branches)

    def seconds(self, name: str) -> float:
        """Ask one measure and return how long its rows took to come."""
        asked = self.filters()
        began = time.perf_counter()
        run(self.database, f"measures/{name}", asked, **self.parameters)
        return time.perf_counter() - began


def one_reader(database: Path) -> dict[str, Waits]:
    """Return the waits for each measure, asked one at a time, the slowest first."""
    reader = Reader(database, seed=1)
    for name in MEASURES:
        reader.seconds(name)  # the first query of all opens the database
    waits = {n: Waits.of([reader.seconds(n) for _ in range(FILTERS)]) for n in MEASURES}
    return dict(sorted(waits.items(), key=lambda item: -item[1].p95_ms))


def many_readers(database: Path) -> tuple[float, Waits]:
    """Return queries per second, and the waits, of twenty readers who never pause."""
    spent: list[float] = []
    until = time.perf_counter() + WINDOW_S

    def read(seed: int) -> None:
        reader = Reader(database, seed)
        while time.perf_counter() < until:
            spent.append(reader.seconds(reader.random.choice(MEASURES)))

    began = time.perf_counter()
    threads = [threading.Thread(target=read, args=(100 + i,)) for i in range(READERS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return len(spent) / (time.perf_counter() - began), Waits.of(spent)
