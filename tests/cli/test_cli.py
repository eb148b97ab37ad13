"""The commands: exit codes, one-line errors, the same numbers as the pages."""

import csv
import io
import json
import subprocess
import sys
from inspect import isfunction
from pathlib import Path

import pandas as pd
import pytest

from dashboard.cli import main as cli
from dashboard.cli.parser import command_line
from dashboard.evidence.patterns import PATTERNS
from dashboard.measures import MEASURES
from dashboard.server import oidc_config as openid
from etl.mapping.mapping import read_mapping
from tests.ask import measure

JOBS = """job_id,opened_on,closed_on,appliance_kind,symptom,disposition,customer,branch,charged
A,2026-01-01,2026-01-02,washer,leaks,repaired,one,North,100
B,2026-01-01,2026-01-02,washer,leaks,vanished,two,South,100
"""


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    """One good and one bad job."""
    path = tmp_path / "jobs.csv"
    path.write_text(JOBS, encoding="utf-8")
    return path


def run(capsys: pytest.CaptureFixture, *arguments: object) -> tuple[int, str, str]:
    """Run a command in this process and return (exit code, output, errors)."""
    code = cli.main([str(a) for a in arguments])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_load_prints_the_account(capsys, jobs: Path, tmp_path: Path):
    code, out, err = run(capsys, "load", jobs, "--db", tmp_path / "db")
    assert (code, err) == (0, "")
    assert "jobs.csv" in out
    assert "1 × unknown_word" in out
    assert "Published" in out


def test_load_json_has_the_promised_form(capsys, jobs: Path, tmp_path: Path):
    code, out, _ = run(capsys, "load", jobs, "--db", tmp_path / "db", "--json")
    account = json.loads(out)
    (file,) = account["files"]
    assert code == 0
    assert account["published"] is True
    assert (file["file"], file["read"], file["loaded"], file["quarantined"]) == (
        "jobs.csv",
        2,
        1,
        1,
    )
    assert file["reasons"] == {"unknown_word": 1}


def test_check_changes_nothing(capsys, jobs: Path, tmp_path: Path):
    code, out, _ = run(capsys, "load", jobs, "--db", tmp_path / "db", "--check")
    assert code == 0
    assert "nothing was published" in out
    assert not (tmp_path / "db").exists()


def test_check_of_an_unknown_export_proposes_a_mapping(capsys, tmp_path: Path):
    path = tmp_path / "odd.csv"
    path.write_text("Ticket,Date opened,Machine\n1,2026-01-01,washer\n", encoding="utf-8")
    code, out, err = run(capsys, "load", path, "--db", tmp_path / "db", "--check")
    assert code == 1
    assert 'job_id = "Ticket" # 0.95 sure' in out
    assert "required and not found: disposition" in out
    assert err.count("\n") == 1


def test_strict_fails_on_quarantine(capsys, jobs: Path, tmp_path: Path):
    code, _, err = run(capsys, "load", jobs, "--db", tmp_path / "db", "--strict")
    assert code == 1
    assert "1 rows would go to quarantine" in err


WRONG = [
    (["load", "no_such_file.csv"], "no_such_file.csv: no such file"),
    (["measure", "callbacks"], "nothing was loaded yet"),
    (["dashboard", "--host", "0.0.0.0"], "only this machine"),
    (["quarantine"], "nothing was loaded yet"),
    (["accept", "canonical", "symptom", "x", "nope"], "no such id"),
]


@pytest.mark.parametrize(("arguments", "message"), WRONG)
def test_a_failure_is_one_line_and_exit_1(
    capsys, tmp_path: Path, arguments: list[str], message: str
):
    code, _, err = run(capsys, *arguments, "--db", tmp_path / "db")
    assert code == 1
    assert message.lower() in err.lower()
    assert err.startswith("ohmhours: ")
    assert err.count("\n") == 1


@pytest.mark.parametrize(
    "arguments", [["measure", "nonsense"], ["measure", "callbacks", "--from", "May"], ["fly"], []]
)
def test_a_wrong_call_is_exit_2(arguments: list[str], capsys):
    with pytest.raises(SystemExit) as stop:
        cli.main(arguments)
    assert stop.value.code == 2


COMMANDS = ["demo", "load", "quarantine", "accept", "dashboard", "measure"]


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example(command: str, capsys):
    with pytest.raises(SystemExit) as stop:
        cli.main([command, "--help"])
    assert stop.value.code == 0
    assert "example: ohmhours " + command in capsys.readouterr().out


@pytest.mark.parametrize("name", MEASURES)
def test_every_measure_prints_what_the_page_calls(name: str, capsys, sample_shop: Path):
    code, out, _ = run(capsys, "measure", name, "--db", sample_shop, "--format", "csv")
    assert code == 0
    shown = pd.read_csv(io.StringIO(out))
    assert list(shown.columns) == list(measure(sample_shop, name).columns)
    assert len(shown) > 0


def test_measure_filters_and_groups(capsys, sample_shop: Path):
    code, out, _ = run(
        capsys, "measure", "first_time_fix", "--db", sample_shop, "--by", "technician", "--from",
        "2026-01-01", "--where", "branch=Mill Lane", "--format", "json",
    )  # fmt: skip
    groups = {row["group"] for row in json.loads(out)}
    assert code == 0
    assert groups == {"Marlowe", "Osei", "Petrossian", "Quarles"}


@pytest.mark.parametrize("pattern", PATTERNS)
def test_a_pattern_is_counted_as_on_its_page(capsys, sample_shop: Path, pattern: str):
    code, out, _ = run(
        capsys, "measure", "misdiagnosis", "--db", sample_shop, "--pattern", pattern,
        "--format", "csv",
    )  # fmt: skip
    assert code == 0
    shown = pd.read_csv(io.StringIO(out)).iloc[0]
    wanted = measure(sample_shop, "misdiagnosis", pattern=pattern).iloc[0]
    assert (shown.with_pattern, shown.asked) == (wanted.with_pattern, wanted.asked)
    assert shown.with_pattern == shown[pattern]  # the column of the same name counts the same jobs


def test_a_pattern_of_another_measure_is_refused(capsys, sample_shop: Path):
    code, _, err = run(capsys, "measure", "callbacks", "--db", sample_shop, "--pattern", "missed")
    assert code == 1
    assert "callbacks has no patterns" in err


def test_csv_rows_are_the_rows_of_the_measure(capsys, sample_shop: Path):
    _, out, _ = run(
        capsys, "measure", "callbacks", "--db", sample_shop, "--by", "branch", "--format", "csv"
    )
    rows = list(csv.DictReader(io.StringIO(out)))
    table = measure(sample_shop, "callbacks", group_by="branch")
    assert [int(row["mature"]) for row in rows] == table["mature"].tolist()


def test_a_wrong_setting_names_its_key(capsys, jobs: Path, tmp_path: Path):
    (tmp_path / "db").mkdir()
    (tmp_path / "db" / "ohmhours.toml").write_text("callback_window = 30\n", encoding="utf-8")
    code, _, err = run(capsys, "load", jobs, "--db", tmp_path / "db")
    assert code == 1
    assert 'unknown key "callback_window"' in err


@pytest.mark.parametrize(
    ("host", "expected"),
    [("127.0.0.1", True), ("::1", True), ("localhost", True), ("0.0.0.0", False), ("shop", False)],
)
def test_which_hosts_are_this_machine(host: str, expected: bool):
    assert openid.is_loopback(host) is expected


def test_the_program_runs_as_a_command(jobs: Path, tmp_path: Path):
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "dashboard.cli.main",
            "load",
            str(jobs),
            "--db",
            str(tmp_path / "db"),
        ],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr


ODD = """Ticket,Date opened,Closed,Machine,Problem,Status
1,2026-01-01,2026-01-02,washer,no spin,repaired
2,2026-01-01,2026-01-02,washer,no spin,nobody knows
"""


def test_a_check_of_unknown_files_ends_with_the_next_command(capsys, tmp_path: Path):
    for name in ("feb.csv", "mar.csv"):
        (tmp_path / name).write_text(ODD, encoding="utf-8")
    paths = [tmp_path / "feb.csv", tmp_path / "mar.csv"]
    _, out, _ = run(capsys, "load", *paths, "--db", tmp_path / "db", "--check")
    last = out.rstrip().splitlines()[-1]
    assert last.startswith("#   ohmhours load --mapping feb.toml ")
    assert last.endswith(f"--db {tmp_path / 'db'}")
    (tmp_path / "feb.toml").write_text(out, encoding="utf-8")  # one document, both months in it
    assert read_mapping(tmp_path / "feb.toml").tables[0].files == ("feb.csv", "mar.csv")


def test_corrected_rows_load_after_a_load_with_a_named_mapping(capsys, tmp_path: Path):
    db, fix = tmp_path / "db", tmp_path / "fix"
    (tmp_path / "odd.csv").write_text(ODD, encoding="utf-8")
    _, text, _ = run(capsys, "load", tmp_path / "odd.csv", "--db", db, "--check")
    (tmp_path / "odd.toml").write_text(text, encoding="utf-8")
    code, *_ = run(
        capsys, "load", "--mapping", tmp_path / "odd.toml", tmp_path / "odd.csv", "--db", db
    )
    assert code == 0
    run(capsys, "quarantine", "--out", fix, "--db", db)
    (waiting,) = fix.glob("*.csv")
    waiting.write_text(
        waiting.read_text(encoding="utf-8").replace("nobody knows", "repaired"), encoding="utf-8"
    )
    code, out, err = run(capsys, "load", fix, "--db", db)
    assert (code, err) == (0, "")
    assert "Published" in out
    _, out, _ = run(capsys, "quarantine", "--db", db)
    assert "nothing waits" in out


def test_check_leaves_summaries_and_lines_without_their_jobs_out_of_the_mapping(
    capsys, tmp_path: Path
):
    """And says why: the mapping that is printed loads as it is."""
    jobs = "Job,Opened,Closed,Appliance,Problem,Status\n"
    jobs += "".join(f"{n},2025-03-03,2025-03-04,washer,leaks,Done\n" for n in range(100, 120))
    lines = "Job,Item,Part No,Qty,Price,Amount\n"
    lines += "".join(
        f"{n},Labor,,1,90.00,90.00\n{n},Part,W{n}55,2,10.00,20.00\n" for n in range(100, 120)
    )
    sums = "Month,Jobs,Billed\n" + "".join(f"2025-{n:02d},{n},900.50\n" for n in range(1, 10))
    files = {"jobs.csv": jobs, "items.csv": lines, "sums.csv": sums}
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    paths = [tmp_path / name for name in files]
    code, said, _ = run(capsys, "load", "--check", "--db", tmp_path / "db", *paths)
    assert code == 1
    assert "# sums.csv: no jobs, visits, readings or part lines found: left out" in said
    assert "join each line to its row of jobs.csv" in said
    mapping = tmp_path / "by.toml"
    mapping.write_text(said, encoding="utf-8")
    code, out, _ = run(capsys, "load", "--mapping", mapping, "--db", tmp_path / "db", *paths)
    assert code == 0
    assert "items.csv" in out


@pytest.mark.parametrize(
    "call",
    [
        ["demo"], ["dashboard"], ["load", "exports"], ["quarantine"], ["names"], ["explain", "A"],
        ["accept", "shop", "symptom", "word", "leaks"], ["measure", "callbacks"], ["recording"],
        ["sheet", "refrigerator", "warm_fresh_food"], ["report", "--month", "2026-03", "--out", "a.html"],
    ],
    ids=lambda call: call[0],
)  # fmt: skip
def test_every_command_runs_what_its_parser_names(call: list[str]):
    chosen = command_line().parse_args(call)
    assert isfunction(chosen.run)
    assert chosen.run.__module__.startswith("dashboard.cli.")
