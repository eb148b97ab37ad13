"""The inbox: what is complete is loaded and moved with its account; everything else stays."""

import os
import time
from pathlib import Path

import pytest

from dashboard.cli.main import main
from etl.folder.publish import only_writer
from etl.folder.writer_lock import Busy
from etl.inbox import InboxError, run_inbox
from etl.load import load
from etl.load_report import Account
from tests.ask import measure

JOBS = """job_id,opened_on,closed_on,appliance_kind,symptom,disposition,technician
1,2026-01-05,2026-01-06,refrigerator,warm_fresh_food,repaired,Ann
2,2026-01-08,2026-01-09,washer,wont_drain,repaired,Ann
3,2026-03-08,2026-03-09,washer,wont_drain,repaired,Ann
"""
VISITS = """job_id,visit_no,technician,arrived_at,minutes_on_job,outcome
1,1,Ann,2026-01-06 09:00,30,completed
2,1,Ann,2026-01-09 09:00,40,completed
"""
LATER = time.time() + 3600


@pytest.fixture
def inbox(tmp_path: Path) -> Path:
    folder = tmp_path / "inbox"
    folder.mkdir()
    return folder


def put(inbox: Path, **files: str) -> None:
    for name, text in files.items():
        stem, _, suffix = name.rpartition("_")
        (inbox / f"{stem}.{suffix}").write_text(text, encoding="utf-8")


def ran(inbox: Path, folder: Path):
    return run_inbox(inbox, lambda paths: load(paths, folder), LATER, look_twice_s=0)


def moved(folder: Path) -> list[Path]:
    return sorted(path for path in folder.glob("*") if path.suffix != ".txt")


def test_files_of_one_export_are_loaded_together_and_moved_with_their_accounts(inbox, tmp_path):
    put(inbox, jobs_csv=JOBS, visits_csv=VISITS)
    found = ran(inbox, tmp_path / "db")
    assert (found.done, found.to_fix, found.rows, found.code) == (2, 0, 5, 0)
    assert measure(tmp_path / "db", "first_time_fix")["repaired"].iloc[0] == 3
    assert [path for path in inbox.iterdir() if path.is_file()] == []
    for path in moved(inbox / "done"):
        assert "rows read" in path.with_suffix(".csv.txt").read_text(encoding="utf-8")


def test_one_bad_file_does_not_hold_the_others(inbox, tmp_path):
    put(inbox, jobs_csv=JOBS, visits_csv='job_id,visit_no\n"1,1\n', photo_jpeg="no table")
    found = ran(inbox, tmp_path / "db")
    assert (found.done, found.to_fix, found.code) == (1, 2, 1)
    accounts = [p.read_text(encoding="utf-8") for p in (inbox / "to_fix").glob("*.txt")]
    assert any("not a kind of file" in text for text in accounts)
    assert not any("visits.csv" in text for text in accounts)


def test_a_file_that_no_mapping_claims_is_to_be_fixed(inbox, tmp_path):
    put(inbox, jobs_csv=JOBS, other_csv="a,b\n1,2\n3,4\n")
    found = ran(inbox, tmp_path / "db")
    assert (found.done, found.to_fix) == (1, 1)


def test_names_of_customers_go_nowhere(inbox, tmp_path):
    (inbox / "Mrs Ada Grünwald 555-0142.csv").write_text(JOBS, encoding="utf-8")
    (inbox / "Ada Grünwald.csv").write_text("a\n1\n", encoding="utf-8")
    found = ran(inbox, tmp_path / "db")
    written = [path.name for path in inbox.rglob("*")]
    texts = [path.read_text(encoding="utf-8") for path in inbox.rglob("*.txt")]
    assert not [text for text in (*written, *texts, found.line) if "Gr" in text or "0142" in text]


def test_a_file_that_still_arrives_waits(inbox, tmp_path):
    put(inbox, jobs_csv=JOBS, visits_part=VISITS, empty_csv="")
    young = run_inbox(inbox, lambda paths: load(paths, tmp_path / "db"), look_twice_s=0)
    assert (young.done, young.waiting, young.code) == (0, 3, 0)
    assert ran(inbox, tmp_path / "db").done == 1
    assert sorted(path.name for path in inbox.iterdir()) == ["done", "empty.csv", "visits.part"]


def test_a_file_that_grows_between_two_looks_waits(inbox, tmp_path, monkeypatch):
    put(inbox, jobs_csv=JOBS[:60])

    def grows(_seconds: float) -> None:
        (inbox / "jobs.csv").write_text(JOBS, encoding="utf-8")

    monkeypatch.setattr("etl.inbox.time.sleep", grows)
    found = run_inbox(inbox, lambda paths: load(paths, tmp_path / "db"), LATER)
    assert (found.done, found.waiting) == (0, 1)


@pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="needs /proc")
def test_a_file_open_in_another_process_waits(inbox, tmp_path):
    import subprocess
    import sys

    put(inbox, jobs_csv=JOBS)
    code = f"f = open({str(inbox / 'jobs.csv')!r}, 'a'); print('open', flush=True); input()"
    with subprocess.Popen(
        [sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout.readline() == "open\n"
        assert ran(inbox, tmp_path / "db").waiting == 1
        other.communicate("\n")
    assert ran(inbox, tmp_path / "db").done == 1


def test_only_regular_files_are_touched(inbox, tmp_path):
    secret = tmp_path / "elsewhere.csv"
    secret.write_text(JOBS, encoding="utf-8")
    (inbox / "link.csv").symlink_to(secret)
    os.mkfifo(inbox / "pipe.csv")
    (inbox / "folder.csv").mkdir()
    (inbox / ".hidden.csv").write_text(JOBS, encoding="utf-8")
    found = ran(inbox, tmp_path / "db")
    assert (found.done, found.to_fix, found.waiting) == (0, 0, 0)
    assert secret.exists()
    assert len(list(inbox.iterdir())) == 4


def test_a_file_changed_during_the_load_stays_for_the_next_run(inbox, tmp_path):
    put(inbox, jobs_csv=JOBS)

    def loads(paths) -> Account:
        account = load(paths, tmp_path / "db")
        (inbox / "jobs.csv").write_text(
            JOBS + "4,2026-04-01,2026-04-02,washer,leaks,repaired,Ann\n"
        )
        return account

    found = run_inbox(inbox, loads, LATER, look_twice_s=0)
    assert (found.done, found.waiting) == (0, 1)
    assert ran(inbox, tmp_path / "db").done == 1
    assert measure(tmp_path / "db", "first_time_fix")["repaired"].iloc[0] == 4


def test_while_another_load_runs_nothing_moves(inbox, tmp_path):
    put(inbox, jobs_csv=JOBS)
    with only_writer(tmp_path / "db"), pytest.raises(Busy):
        ran(inbox, tmp_path / "db")
    assert [path.name for path in inbox.iterdir()] == ["jobs.csv"]


def test_a_folder_that_is_not_there_is_named(tmp_path):
    with pytest.raises(InboxError, match="no such folder"):
        ran(tmp_path / "none", tmp_path / "db")


def aged(inbox: Path) -> None:
    for path in inbox.iterdir():
        os.utime(path, (time.time() - 600,) * 2)


def test_the_command_writes_one_line_and_the_paper_of_the_mature_month(inbox, tmp_path, capsys):
    """Records to March 9: February holds no job, January is mature; its paper comes once."""
    put(inbox, jobs_csv=JOBS, visits_csv=VISITS)
    aged(inbox)
    call = ["load", "--inbox", str(inbox), "--db", str(tmp_path / "db")]
    assert main(call) == 0
    (line,) = capsys.readouterr().out.splitlines()
    assert "2 loaded (5 rows), 0 to fix" in line
    assert "paper written: 2026-01" in line
    assert "January 2026" in (inbox / "papers" / "month_2026-01.html").read_text(encoding="utf-8")
    assert main(call) == 0
    assert "paper" not in capsys.readouterr().out


def test_the_command_fails_with_one_line_where_a_person_is_needed(inbox, tmp_path, capsys):
    put(inbox, jobs_csv="a,b\n1,2\n")
    aged(inbox)
    assert main(["load", "--inbox", str(inbox), "--db", str(tmp_path / "db")]) == 1
    assert "1 to fix" in capsys.readouterr().out


def test_inbox_and_paths_exclude_each_other(inbox, tmp_path, capsys):
    for call in (["load"], ["load", "x.csv", "--inbox", str(inbox)]):
        with pytest.raises(SystemExit) as stop:
            main([*call, "--db", str(tmp_path / "db")])
        assert stop.value.code == 2
    capsys.readouterr()
