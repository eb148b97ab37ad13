"""Does the program find every plant of the second generator? python -m tests.bench.second_shop [SHOPS].

Draws shops with all plants and as many without any (tests/independent/generator.py shares no code
with the program), loads them, and counts what each page names. Writes its section of RESULTS.md.
"""

import platform
import sys
import tempfile
import time
from collections import Counter
from datetime import date
from pathlib import Path

from etl.load import load
from tests.bench.results import RESULTS, write_section
from tests.independent.findings import PLANTED, named
from tests.independent.generator import generate
from tests.independent.invented_shop import PLANTS

SHOPS, JOBS = 6, 3000


def names_in(seed: int, plants: tuple) -> dict[str, set]:
    """Return what the pages name in one drawn shop."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        load(generate(seed, plants, JOBS).write(folder / "in"), folder / "db")
        return named(folder / "db")


def counted(shops: int) -> tuple[Counter, Counter, Counter]:
    """Return by plant: shops in which it is found, with innocents named, named without plants."""
    found, innocents, no_difference = Counter(), Counter(), Counter()
    for seed in range(shops):
        with_plants, without = names_in(seed, PLANTS), names_in(seed, ())
        for plant, who in PLANTED.items():
            found[plant] += who in with_plants[plant]
            innocents[plant] += bool(with_plants[plant] - {who})
            no_difference[plant] += bool(without[plant])
        print(seed, with_plants, without, file=sys.stderr, flush=True)
    return found, innocents, no_difference


def main() -> None:
    """Draw the shops and write the table."""
    shops = int(sys.argv[1]) if len(sys.argv) > 1 else SHOPS
    start = time.monotonic()
    found, innocents, no_difference = counted(shops)
    lines = [
        f"{shops} shops of {JOBS:,} complaints with every plant and {shops} with none, seeds from 0; "
        f"{date.today()}, Python {platform.python_version()}, {time.monotonic() - start:.0f} s.",
        "",
        "| planted | found | an innocent named | named, nothing planted |",
        "| --- | --- | --- | --- |",
        *(
            f"| {p} {PLANTED[p]} | {found[p]} | {innocents[p]} | {no_difference[p]} |"
            for p in PLANTED
        ),
    ]
    write_section("Plants of the second generator", lines)
    print(RESULTS.read_text(encoding="utf-8"))


if __name__ == "__main__":
    main()
