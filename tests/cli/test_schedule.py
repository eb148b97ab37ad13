"""What a schedule writes: units that systemd takes, a task that the schema takes."""

import shutil
import subprocess
from datetime import time
from pathlib import Path
from xml.etree import ElementTree

import pytest

from dashboard.cli.main import main
from dashboard.cli.schedule_files import TASK_NAMESPACE, service, task, timer

COMMAND = ["/opt/a b/python", "-m", "dashboard.cli.main", "load", "--inbox", '/x/50% "of" $HOME\\y']


def words_of(line: str) -> list[str]:
    """Read ExecStart as systemd.syntax(7) and systemd.service(5) say: quotes, \\, %% and $$."""
    words, place = [], 0
    while place < len(line):
        assert line[place] == '"'
        place, word = place + 1, ""
        while line[place] != '"':
            if line[place] in "\\%$":
                assert line[place] == "\\" or line[place + 1] == line[place]
                place += 1
            word, place = word + line[place], place + 1
        words.append(word)
        place += 2
    return words


def test_systemd_reads_the_command_as_it_was():
    (line,) = [each for each in service(COMMAND).splitlines() if each.startswith("ExecStart=")]
    assert words_of(line.removeprefix("ExecStart=")) == COMMAND


@pytest.mark.skipif(shutil.which("systemd-analyze") is None, reason="needs systemd")
def test_systemd_takes_both_units(tmp_path: Path):
    (tmp_path / "x.service").write_text(service(["/bin/true"]), encoding="utf-8")
    (tmp_path / "x.timer").write_text(timer(time(6, 30)), encoding="utf-8")
    found = subprocess.run(
        ["systemd-analyze", "verify", str(tmp_path / "x.timer")], capture_output=True, text=True
    )
    assert found.returncode == 0, found.stderr


def test_the_timer_says_when_and_catches_up():
    assert "OnCalendar=*-*-* 06:05:00\n" in timer(time(6, 5))
    assert "Persistent=true" in timer(time(6, 5))


def test_the_windows_task_has_the_order_of_its_schema():
    """Task Scheduler schema 1.2, taskType: RegistrationInfo, Triggers, …, Settings, …, Actions."""
    root = ElementTree.fromstring(task(["C:\\a b\\py.exe", "-m", "x", "C:\\in box\\"], time(6, 30)))
    name = f"{{{TASK_NAMESPACE}}}"
    assert [each.tag.removeprefix(name) for each in root] == [
        "RegistrationInfo", "Triggers", "Settings", "Actions",
    ]  # fmt: skip
    (run,) = root.iter(f"{name}Exec")
    assert [each.text for each in run] == ["C:\\a b\\py.exe", '-m x "C:\\in box\\\\"']
    assert root.find(f".//{name}StartBoundary").text == "2026-01-01T06:30:00"


def test_the_command_writes_the_files(tmp_path: Path, capsys):
    call = ["schedule", "--inbox", str(tmp_path), "--db", str(tmp_path / "db"), "--out"]
    assert main([*call, str(tmp_path / "a"), "--for", "systemd"]) == 0
    assert main([*call, str(tmp_path / "b"), "--for", "windows", "--at", "22:15"]) == 0
    assert {path.name for path in (tmp_path / "a").iterdir()} == {
        "ohmhours-inbox.service", "ohmhours-inbox.timer",
    }  # fmt: skip
    xml = (tmp_path / "b" / "ohmhours-inbox.xml").read_bytes()
    assert b"2\x002\x00:\x001\x005" in xml
    ElementTree.fromstring(xml)
    capsys.readouterr()


def test_a_time_that_is_none_is_refused(tmp_path: Path, capsys):
    with pytest.raises(SystemExit):
        main(["schedule", "--inbox", str(tmp_path), "--at", "25:00"])
    assert "is no time like 06:30" in capsys.readouterr().err
