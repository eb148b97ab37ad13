"""Many viewers for a long time, a new version every minute: python -m tests.bench.soak.

Each viewer is a websocket session that opens page after page, each of the menu, and asks for new
versions as open pages do. Measured are the waits, the errors, and the server's memory over time. Writes
SOAK.md next to this file; without --db it serves the sample shop.
"""

import argparse
import asyncio
import itertools
import random
import shutil
import sys
import tempfile
import time
from contextlib import AsyncExitStack
from importlib.resources import files
from pathlib import Path

from etl.folder.publish import building, current, only_writer
from etl.load import load
from tests import ask
from tests.bench.soak_report import Soak, errors, report
from tests.bench.viewer import Viewer, viewing
from tests.browser.conftest import AS_SERVED, serving

RESULTS = Path(__file__).with_name("SOAK.md")
VIEWS = Path(__file__).parents[2] / "dashboard" / "views"
PAGES = sorted(path.stem for path in VIEWS.glob("*.py"))
PUBLISHED_EVERY_S, LOOKED_EVERY_S = 60, 1


def resident_mb(process: int | str) -> float:
    """Return the memory that a process (its number, or "self") holds, in MB."""
    status = Path(f"/proc/{process}/status").read_text()
    return int(status.partition("VmRSS:")[2].split()[0]) / 1024


def publish_again(folder: Path) -> None:
    """Publish the same records as a new version: for readers it is as new as any other."""
    with only_writer(folder), building(folder) as target:
        shutil.copyfile(current(folder), target)


async def soak(folder: Path, viewers: int, seconds: float, think_s: float) -> Soak:
    """Serve a folder to so many viewers for so long."""
    found = Soak(int(ask.run(folder, "pages/dataset").iloc[0].jobs), viewers, seconds)
    branches = ask.run(folder, "pages/choices").query("filter == 'branch'")["value"]
    queries = ["", *(f"branch={name.replace(' ', '+')}" for name in branches[:3])]
    with serving(folder, AS_SERVED) as (url, process):
        async with AsyncExitStack() as stack:
            first = await stack.enter_async_context(viewing(url))
            for page in PAGES:
                found.runs.append(await first.open(page))
            found.idle_mb = resident_mb(process.pid)
            others = [
                await stack.enter_async_context(viewing(url, query))
                for _, query in zip(range(viewers), itertools.cycle(queries))
            ]
            found.runs += await asyncio.gather(*(viewer.open("month") for viewer in others))
            found.connected_mb = resident_mb(process.pid)
            end = time.monotonic() + seconds
            watch = asyncio.create_task(_watch(found, process.pid))
            news = asyncio.create_task(_publish(found, folder))
            walks = (_walk(found, v, n, think_s, end) for n, v in enumerate(others))
            await asyncio.gather(*walks)
            for task in (watch, news):
                task.cancel()
    return found


async def _walk(found: Soak, viewer: Viewer, number: int, think_s: float, end: float) -> None:
    """Let one viewer open pages, each in an order of its own, and look at each for a while."""
    order = random.Random(number)
    pages = order.sample(PAGES, len(PAGES))
    await asyncio.sleep(order.random() * think_s)
    for page in itertools.cycle(pages):
        if time.monotonic() > end:
            return
        found.runs.append(await viewer.open(page))
        await asyncio.sleep(think_s * (0.5 + order.random()))
        followed = await viewer.follow(page)
        if followed is not None and followed.error:
            found.runs.append(followed)


async def _watch(found: Soak, process: int) -> None:
    started = time.monotonic()
    while True:
        found.memory.append((time.monotonic() - started, resident_mb(process)))
        await asyncio.sleep(LOOKED_EVERY_S)


async def _publish(found: Soak, folder: Path) -> None:
    while True:
        await asyncio.sleep(PUBLISHED_EVERY_S)
        await asyncio.to_thread(publish_again, folder)
        found.published += 1


def main() -> int:
    """Soak the server with few and with many viewers, and write the report."""
    parser = argparse.ArgumentParser(description="Many viewers for a long time")
    parser.add_argument("--db", type=Path, action="append", help="a database folder, copied first")
    parser.add_argument("--viewers", type=int, nargs="+", default=[20, 50])
    parser.add_argument("--seconds", type=float, default=600)
    parser.add_argument("--think", type=float, default=10, help="seconds at each page")
    parser.add_argument("--note", default="", help="what else the machine did, for the report")
    parser.add_argument("--out", type=Path, default=RESULTS, help="the report's file")
    chosen = parser.parse_args()
    soaks = []
    for place, viewers in itertools.product(chosen.db or [None], chosen.viewers):
        with tempfile.TemporaryDirectory() as scratch:
            folder = Path(scratch) / "db"
            if place:
                shutil.copytree(place, folder)
            else:
                load([Path(str(files("sample_data")))], folder)
            soaks.append(asyncio.run(soak(folder, viewers, chosen.seconds, chosen.think)))
        print(soaks[-1].row(), file=sys.stderr, flush=True)
        chosen.out.write_text(report(soaks, chosen.think, chosen.note), encoding="utf-8")
    return 1 if any(errors(each) for each in soaks) else 0


if __name__ == "__main__":
    sys.exit(main())
