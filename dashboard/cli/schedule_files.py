"""What runs a command every day without anybody at the keyboard: systemd and Windows.

Sources: systemd.service(5), systemd.timer(5) and systemd.syntax(7) for the units and their quoting;
the Task Scheduler schema 1.2 for the task; the rules of Microsoft's C runtime for its arguments.
"""

import subprocess
from collections.abc import Sequence
from datetime import time
from xml.etree import ElementTree

NAME = "ohmhours-inbox"
ABOUT = "Ohms & Hours: load what arrived in the inbox"
TASK_NAMESPACE = "http://schemas.microsoft.com/windows/2004/02/mit/task"


def service(command: Sequence[str]) -> str:
    """Return the systemd service that runs a command once."""
    return (
        f"[Unit]\nDescription={ABOUT.replace('%', '%%')}\n\n"
        f"[Service]\nType=oneshot\nExecStart={' '.join(map(_systemd_word, command))}\n"
        "Nice=10\nNoNewPrivileges=true\n"
    )


def timer(at: time) -> str:
    """Return the systemd timer that runs the service every day, later when the machine was off."""
    return (
        f"[Unit]\nDescription={ABOUT}, every day\n\n"
        f"[Timer]\nOnCalendar=*-*-* {at:%H:%M}:00\nPersistent=true\n\n"
        "[Install]\nWantedBy=timers.target\n"
    )


def _systemd_word(word: str) -> str:
    """Quote a word of ExecStart: specifiers and variables mean themselves."""
    plain = word.replace("\\", "\\\\").replace('"', '\\"').replace("%", "%%").replace("$", "$$")
    return f'"{plain}"'


def task(command: Sequence[str], at: time) -> str:
    """Return a task of the Windows Task Scheduler that runs a command every day."""
    root = ElementTree.Element("Task", {"version": "1.2", "xmlns": TASK_NAMESPACE})
    _with(root, "RegistrationInfo", {"Description": ABOUT})
    triggers = ElementTree.SubElement(root, "Triggers")
    daily = _with(
        triggers,
        "CalendarTrigger",
        {"StartBoundary": f"2026-01-01T{at:%H:%M}:00", "Enabled": "true"},
    )
    _with(daily, "ScheduleByDay", {"DaysInterval": "1"})
    _with(
        root,
        "Settings",
        {
            "MultipleInstancesPolicy": "IgnoreNew",
            "DisallowStartIfOnBatteries": "false",
            "StartWhenAvailable": "true",
            "ExecutionTimeLimit": "PT4H",
        },
    )
    actions = ElementTree.SubElement(root, "Actions")
    program, *arguments = command
    _with(actions, "Exec", {"Command": program, "Arguments": subprocess.list2cmdline(arguments)})
    ElementTree.indent(root)
    body = ElementTree.tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-16"?>\n{body}\n'


def _with(parent: ElementTree.Element, name: str, texts: dict[str, str]) -> ElementTree.Element:
    """Add an element with one element for each text."""
    element = ElementTree.SubElement(parent, name)
    for key, text in texts.items():
        ElementTree.SubElement(element, key).text = text
    return element
