"""A load in the background of the pages: its steps, its end with a reason, and a way to stop it."""

import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from dashboard.loading.panel import uploaded_line
from dashboard.loading.process import RunningLoad
from etl import worker_process
from etl.mapping.file_name import free_name
from etl.mapping.mapping import bundled_mappings
from etl.mapping.match import mapping_of
from etl.mapping.toml_writer import mapping_text
from etl.read import read_tables
from tests.etl.test_cancellation import JOBS, SAMPLE, content
from tests.shop_builder import shop

EXPORTS = [SAMPLE / "tickets_2026.csv", SAMPLE / "trips_2026.csv", SAMPLE / "readings.jsonl"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop of one job."""
    return shop(tmp_path_factory.mktemp("one"), jobs=JOBS)


def running(folder: Path, paths: list[Path] = EXPORTS, is_check: bool = False) -> RunningLoad:
    return RunningLoad(paths, folder, None, None, {}, is_check)


@pytest.mark.parametrize("is_check", [True, False])
def test_a_load_is_stopped_in_its_middle_and_leaves_all_as_it_was(folder: Path, is_check: bool):
    before = content(folder)
    load = running(folder, is_check=is_check)
    while load.end is None and not load.step.startswith(("staged", "core")):
        time.sleep(0.02)
    load.stop()
    assert load.wait(30)
    assert load.end.stopped == "stopped; nothing was changed"
    assert content(folder) == before
    assert not Path(load._scratch.name).exists()


def test_a_load_that_will_not_stop_is_ended_by_force(folder: Path, monkeypatch):
    """A process that ignores the signal: what it was building is removed all the same."""
    is_deaf = folder / "building-deaf.duckdb"
    code = (
        "import signal, sys, time; signal.signal(signal.SIGTERM, signal.SIG_IGN); "
        "open(sys.argv[1], 'w').close(); time.sleep(60)"
    )
    command = [sys.executable, "-c", code, str(is_deaf)]
    monkeypatch.setattr(worker_process, "command", lambda _: command)
    monkeypatch.setattr(worker_process, "PATIENCE_SECONDS", 0.2)
    load = running(folder)
    while not is_deaf.exists():
        time.sleep(0.02)
    load.stop()
    assert load.wait(10)
    assert load.end.stopped == "stopped; nothing was changed"
    assert not is_deaf.exists()


def test_a_load_that_cannot_be_done_says_why(folder: Path, tmp_path: Path):
    other = tmp_path / "menu.csv"
    other.write_text("dish,price\nsoup,4\n", encoding="utf-8")
    load = running(folder, [other])
    assert load.wait(30)
    assert "menu.csv" in load.end.problem


def test_a_load_that_dies_is_reported_with_its_cause(folder: Path):
    load = running(folder)
    load._worker.kill()
    assert load.wait(30)
    assert "the load was cut off: its process was killed by SIGKILL" in load.end.problem
    assert "load the files again" in load.end.problem


def few_tickets(folder: Path) -> Path:
    """Write the first of the sample shop's tickets, whose header its mapping claims."""
    lines = EXPORTS[0].read_text(encoding="utf-8").splitlines(keepends=True)
    path = folder / EXPORTS[0].name
    path.write_text("".join(lines[:101]), encoding="utf-8")
    return path


def test_a_check_publishes_nothing_and_a_load_keeps_its_mapping(tmp_path: Path):
    path, kept = few_tickets(tmp_path), tmp_path / "db" / "mappings" / "mine.toml"
    mapping, _ = mapping_of(read_tables(path)[0], bundled_mappings(tmp_path))
    for is_check in (True, False):
        load = RunningLoad([path], tmp_path / "db", mapping, kept, {}, is_check)
        assert load.wait(60)
        assert load.end.account.published is kept.exists() is not is_check
        assert (tmp_path / "db" / "CURRENT").exists() is not is_check


def test_two_uploads_of_one_name_are_both_read(tmp_path: Path):
    paths = []
    for number, day in ((1, "2026-01-02"), (2, "2026-01-03")):
        path = tmp_path / str(number) / "export.csv"
        path.parent.mkdir()
        path.write_text(
            "job_id,opened_on,closed_on,appliance_kind,disposition\n"
            f"{number},2026-01-01,{day},washer,repaired\n",
            encoding="utf-8",
        )
        paths.append(path)
    load = running(tmp_path / "db", paths)
    assert load.wait(60)
    assert [file.loaded for file in load.end.account.files] == [1, 1]
    assert uploaded_line(["export.csv", "export.csv", "x.csv"], load.end.account) == (
        "3 files uploaded: export.csv, export.csv, x.csv; not read: x.csv."
    )


def test_a_kept_mapping_is_never_overwritten_by_another_source(tmp_path: Path):
    """The page gives a second source a name of its own; a race for one name keeps the first."""
    path, kept = few_tickets(tmp_path), tmp_path / "db" / "mappings" / "our_shop.toml"
    mapping, _ = mapping_of(read_tables(path)[0], bundled_mappings(tmp_path))
    kept.parent.mkdir(parents=True)
    first = mapping_text(replace(mapping, title="the first"))
    kept.write_text(first, encoding="utf-8")
    load = RunningLoad([path], tmp_path / "db", mapping, kept, {}, False)
    assert load.wait(60)
    assert "our_shop.toml is another source's" in load.end.problem
    assert kept.read_text(encoding="utf-8") == first
    assert free_name("our shop", ["our_shop", "our_shop_2"]) == "our shop_3"
