"""Uploads: their names lead nowhere else, and a bad one stops neither the others nor the server."""

import io
import os
import threading
import time
import tomllib
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from openpyxl import Workbook

from dashboard.loading import uploads
from etl import worker_process
from etl.read import Limits, UnreadableFile, isolated, read_tables

ROOT = Path(__file__).parents[2]
GOOD = b"job_id,opened_on,appliance_kind,disposition\n1,2026-01-01,washer,repaired\n"


@dataclass
class Sent:
    """An upload as the browser sends it."""

    name: str
    content: bytes = GOOD

    @property
    def size(self) -> int:
        return len(self.content)

    def getbuffer(self) -> memoryview:
        return memoryview(self.content)


NAMES = {
    "../../etc/passwd": "passwd",
    "/etc/cron.d/job.csv": "job.csv",
    "..\\..\\boot.csv": "boot.csv",
    "C:\\Windows\\win.ini": "win.ini",
    "..": "upload",
    ".": "upload",
    "": "upload",
    " . ": "upload",
    "nul\x00.csv": "nul_.csv",
    "CON": "_CON",
    "nul.csv": "_nul.csv",
    "Com1.jobs.csv": "_Com1.jobs.csv",
    "console.csv": "console.csv",
    "a<b>|c?.csv": "a_b__c_.csv",
    "exe\u202evsc.csv": "exe_vsc.csv",
    "red\x1b[31m.csv": "red_[31m.csv",
    "two\nlines.csv": "two_lines.csv",
    "Tickets 2026 (März).csv": "Tickets 2026 (März).csv",
}


@pytest.mark.parametrize("name", NAMES)
def test_a_name_leads_nowhere_else(name: str, tmp_path: Path):
    """Devices of Windows: Microsoft, "Naming Files, Paths, and Namespaces" (from memory)."""
    assert uploads.safe_name(name) == NAMES[name]
    (path,) = uploads.saved([Sent(name)], tmp_path)
    assert path.resolve().is_relative_to(tmp_path.resolve())
    assert path.read_bytes() == GOOD


@pytest.mark.parametrize("letter", ["a", "é", "漢"])
def test_a_long_name_keeps_its_kind_and_fits_a_file_system(letter: str):
    name = uploads.safe_name(letter * 400 + ".xlsx")
    assert name.endswith(".xlsx")
    assert len(name.encode()) <= uploads.LONGEST_NAME


def test_a_name_of_half_a_sign_is_written(tmp_path: Path):
    assert uploads.saved([Sent("\ud800.csv")], tmp_path)[0].is_file()


def test_two_files_of_one_name_are_two_files(tmp_path: Path):
    paths = uploads.saved([Sent("jobs.csv", b"one"), Sent("jobs.csv", b"two")], tmp_path)
    assert [path.read_bytes() for path in paths] == [b"one", b"two"]
    assert [path.name for path in paths] == ["jobs.csv", "jobs.csv"]


def test_too_many_or_too_large_uploads_are_refused_at_once():
    assert uploads.refusal([Sent("a.csv")] * uploads.MOST_FILES) is None
    assert "at most 50" in uploads.refusal([Sent("a.csv")] * (uploads.MOST_FILES + 1))

    class Huge(Sent):
        size = uploads.MOST_BYTES

    assert uploads.refusal([Huge("a.csv")]) is None
    assert "at most 500,000,000" in uploads.refusal([Huge("a.csv"), Sent("b.csv")])


def test_the_server_takes_no_file_that_the_page_would_refuse():
    config = tomllib.loads((ROOT / "dashboard/.streamlit/config.toml").read_text(encoding="utf-8"))
    assert config["server"]["maxUploadSize"] << 20 == uploads.LIMITS.max_file_bytes


LARGE = {
    "rows": (b"a,b\n" + b"1,2\n" * 11, Limits(max_rows=10), "too_large"),
    "rows of JSON Lines": (b'{"a":1}\n' * 11, Limits(max_rows=10), "too_large"),
    "columns": (b"a,b,c,d\n1,2,3,4\n", Limits(max_columns=3), "too_many_columns"),
    "bytes": (b"a,b\n" + b"1,2\n" * 11, Limits(max_file_bytes=40), "too_large"),
    "one cell": (b"a,b\n1," + b"x" * 50 + b"\n", Limits(max_cell_chars=40), "line_too_long"),
}


@pytest.mark.parametrize("what", LARGE)
def test_a_file_above_a_limit_is_refused_in_words(what: str, tmp_path: Path):
    content, limits, problem = LARGE[what]
    path = tmp_path / "input"
    path.write_bytes(content)
    with pytest.raises(UnreadableFile) as refused:
        read_tables(path, limits)
    assert refused.value.problem == problem
    assert read_tables(path, Limits())  # without the limit it is read


@pytest.fixture
def good(tmp_path: Path) -> Path:
    """A file that is read without fault."""
    path = tmp_path / "good.csv"
    path.write_bytes(GOOD)
    return path


def answer_by(function: Callable[..., None], monkeypatch: pytest.MonkeyPatch) -> None:
    """Let new children answer by a function of this module, and no idle one be used."""
    monkeypatch.setattr(isolated, "_idle", [])
    monkeypatch.setattr(isolated, "ANSWER", f"{__name__}:{function.__name__}")


def hang(_request: object, _send: object) -> None:
    """Answer no request, in the child."""
    time.sleep(600)


def abort(_request: object, _send: object) -> None:
    """Crash, in the child."""
    os.abort()


def test_a_reader_that_hangs_is_ended_in_time_and_others_read_meanwhile(
    good, tmp_path, monkeypatch
):
    bad = tmp_path / "bad.csv"
    bad.write_bytes(GOOD)
    shown: list[str] = []

    def read_bad() -> None:
        with pytest.raises(UnreadableFile) as refused:
            read_tables(bad, Limits(max_seconds=4))
        shown.append(str(refused.value))

    answer_by(hang, monkeypatch)
    waiting = threading.Thread(target=read_bad)
    waiting.start()
    time.sleep(0.5)
    monkeypatch.undo()
    assert read_tables(good)[0].table.num_rows == 1
    assert waiting.is_alive()  # the other one still hangs
    waiting.join(timeout=30)
    assert shown == [
        "bad.csv: the file is too large (not read within 4 seconds). Split the export; "
        "nothing was changed"
    ]


def test_a_reader_that_crashes_harms_no_other_read(good: Path, monkeypatch):
    answer_by(abort, monkeypatch)
    with pytest.raises(UnreadableFile) as refused:
        read_tables(good)
    assert str(refused.value) == (
        "good.csv: the file could not be read to its end (its process was killed by SIGABRT). Load "
        "it again and if that fails too export it in another format; nothing was changed"
    )
    monkeypatch.undo()
    assert read_tables(good)[0].table.num_rows == 1


def test_no_more_files_are_read_at_once_than_the_machine_bears(good: Path, monkeypatch):
    started, most = [], []

    def count(*arguments, **options):
        child = popen(*arguments, **options)
        started.append(child)
        most.append(sum(each.poll() is None for each in started))
        return child

    popen = worker_process.subprocess.Popen
    answer_by(hang, monkeypatch)
    monkeypatch.setattr(worker_process.subprocess, "Popen", count)

    def refused() -> None:
        with pytest.raises(UnreadableFile):
            read_tables(good, Limits(max_seconds=1))

    threads = [threading.Thread(target=refused) for _ in range(2 * isolated.AT_ONCE)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    assert len(started) == 2 * isolated.AT_ONCE
    assert max(most) <= isolated.AT_ONCE


@pytest.mark.slow
def test_json_that_takes_too_much_memory_is_refused_by_its_own_process(good, tmp_path):
    bomb = tmp_path / "bomb.json"
    bomb.write_bytes(b"[" + b"{}," * 30_000_000 + b"{}]")
    with pytest.raises(UnreadableFile) as refused:
        read_tables(bomb, Limits(max_memory_bytes=3 << 30))
    assert refused.value.problem == "too_large"
    assert "more memory than the limit of 3,221,225,472 bytes" in str(refused.value)
    assert read_tables(good)[0].table.num_rows == 1


def test_names_inside_a_workbook_lead_nowhere_else(tmp_path: Path):
    """A workbook is a ZIP archive: its entries are read in memory, none is ever written out."""
    content = io.BytesIO()
    workbook = Workbook()
    workbook.active.title = "<b>$x$ (a) =1+1"
    workbook.active.append(["job_id", "=opened_on"])
    workbook.active.append(["=1+1", "../../etc/passwd"])
    for row in workbook.active.iter_rows():
        for cell in row:
            cell.data_type = "s"  # text, as exports of text have it; not a formula
    workbook.save(content)
    with zipfile.ZipFile(content, "a") as archive:
        for name in ("../../evil.csv", "/tmp/evil.csv", "..\\evil.csv", "CON", "xl/../../evil.csv"):
            archive.writestr(name, GOOD)
    path = tmp_path / "in" / "a" / "b" / "book.xlsx"
    path.parent.mkdir(parents=True)
    path.write_bytes(content.getvalue())
    (table,) = read_tables(path)
    assert table.sheet == "<b>$x$ (a) =1+1"
    assert table.header == ["job_id", "=opened_on"]
    assert [file for file in tmp_path.rglob("*") if file.is_file()] == [path]
    assert not Path("/tmp/evil.csv").exists()


def test_an_archive_that_is_no_workbook_is_not_unpacked(tmp_path: Path):
    path = tmp_path / "a" / "b.zip"
    path.parent.mkdir()
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("../evil.csv", GOOD)
    with pytest.raises(UnreadableFile, match="holds no workbook"):
        read_tables(path)
    assert not (tmp_path / "evil.csv").exists()
