"""How long does a whole answer take, SQL and Python, without any filter? And a one-job shop?"""

import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from secrets import token_hex

from dashboard.database.snapshot import take
from dashboard.measures import MEASURES, measure
from tests.shop_builder import shop

TRIES = 3
JOB = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition
{job}      | 2026-01-01 | 2026-01-02 | fridge         | leaks   | repaired
"""


@dataclass(frozen=True)
class Spent:
    """Seconds by the clock and seconds of processor, of all threads of this process."""

    wall_s: float
    cpu_s: float


def whole_answers(database: Path) -> dict[str, Spent]:
    """Return what each measure takes when it is asked first, the dearest first."""
    snapshot = take(database)
    spent = {}
    for name in MEASURES:
        wall, cpu = time.perf_counter(), time.process_time()
        measure(snapshot, name)
        spent[name] = Spent(time.perf_counter() - wall, time.process_time() - cpu)
    return dict(sorted(spent.items(), key=lambda item: -item[1].cpu_s))


def one_job_shop() -> Spent:
    """Return what the tests' smallest shop takes to build: the least of a few tries."""
    tries = []
    with tempfile.TemporaryDirectory(prefix="ohmhours_bench_") as scratch:
        for number in range(TRIES + 1):  # the first one also imports
            drawn = JOB.format(job=token_hex(4))  # the same rows again would be copied, not loaded
            wall, cpu = time.perf_counter(), time.process_time()
            shop(Path(scratch) / str(number), jobs=drawn)
            tries.append(Spent(time.perf_counter() - wall, time.process_time() - cpu))
    return min(tries[1:], key=lambda spent: spent.cpu_s)
