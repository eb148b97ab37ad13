"""Attacks by calls of commands: odd arguments, hostile texts, broken settings and mappings."""

import contextlib
import io
import os
import random
import re
from pathlib import Path

from dashboard.cli import main as cli
from tests.cli.test_odd_calls import drawn
from tests.trust.attacks.tally import Tally
from tests.trust.fault_shop import shop
from tests.trust.hostile_shop import PAYLOADS, SQL

STEERING = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
CALLS = 500


def called(*arguments: object) -> tuple[int, str, str]:
    """Run a command in this process; return exit code, standard output and standard error."""
    out, message = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(message):
        try:
            code = cli.main([str(each) for each in arguments])
        except SystemExit as stop:
            code = int(stop.code or 0)
    return code, out.getvalue(), message.getvalue()


def odd_calls(place: Path, tally: Tally) -> None:
    """Five hundred calls, drawn: an exit code of ours, at most two lines, no trace."""
    made = shop(place)
    seed = random.Random(2026)
    for _ in range(CALLS):
        call = drawn(seed, made.folder, [str(place / "missing"), str(place)])
        with contextlib.chdir(place):
            code, out, message = called(*call)
        is_ours = code in (0, 1, 2) and "Traceback" not in out + message
        tally.must(is_ours and (code == 2 or message.count("\n") <= 2), (call, code, message))


def hostile_texts(place: Path, tally: Tally) -> None:
    """Payloads as constants and names of a mapping, as file names and arguments: none steers."""
    made = shop(place)
    for number, payload in enumerate(PAYLOADS):
        plain = payload.replace("/", "_").replace("\0", "_")
        path = place / f"{number} {plain}.csv"
        path.write_text("No,In,What,Says,Ended\n1,2026-01-01,washer,leaks,repaired\n")
        mapping = place / "own.toml"
        quoted = (
            payload.encode("unicode_escape").decode().replace("\\x", "\\u00").replace('"', '\\"')
        )
        mapping.write_text(MAPPING.replace("PAYLOAD", quoted), encoding="utf-8")
        calls = [
            ("load", "--check", path, "--mapping", mapping),
            ("explain", payload),
            ("accept", payload, "symptom", payload, payload),
            ("measure", "callbacks", "--where", f"technician={payload}"),
        ]
        for call in calls:
            code, out, message = called(*call, "--db", made.folder)
            is_shown = not STEERING.search(out + message) and "Traceback" not in message
            tally.must(is_shown and code in (0, 1, 2), (call, out, message))


MAPPING = """
name = "own PAYLOAD"
title = "PAYLOAD"
[[table]]
table = "jobs"
columns = { job_id = "No", opened_on = "In", appliance_kind = "What", symptom = "Says", disposition = "Ended" }
constants = { branch = "PAYLOAD", technician = "PAYLOAD" }
"""


def statements(place: Path, tally: Tally) -> None:
    """SQL in every text of a call: the shop is what it was."""
    made = shop(place)
    for payload in SQL:
        for name in ("branch", "technician", "appliance_kind", "symptom"):
            called("measure", "first_time_fix", "--where", f"{name}={payload}", "--db", made.folder)
            tally.must(made.served() == ["J1", "J2"], (name, payload))
        called("explain", payload, "--db", made.folder)
        called("accept", "canonical", "symptom", payload, "leaks", "--db", made.folder)
        tally.must(made.served() == ["J1", "J2"], payload)


def broken_settings(place: Path, tally: Tally) -> None:
    """Settings and mappings of wrong kinds: one line with the key, nothing changed."""
    made = shop(place)
    (made.folder / "mappings").mkdir()
    values = ("[]", "{}", "[[1]]", "true", '"x"', "-1", "1e400", "9" * 400, "nan", "2026-01-01")
    for key in ("min_jobs", "as_of", "people", "service_volts", "parts_slabs", "wage_per_hour"):
        for value in values:
            (made.folder / "ohmhours.toml").write_text(f"{key} = {value}\n")
            code, _, message = called("explain", "J1", "--db", made.folder)
            tally.must(
                (code == 1 and key in message and message.count("\n") == 1) or code == 0, message
            )
    (made.folder / "ohmhours.toml").unlink()
    for key in ("name", "date_order", "time_zone", "fold_case", "table", "words"):
        for value in values:
            (made.folder / "mappings" / "own.toml").write_text(f"{key} = {value}\n")
            code, _, message = called("load", made.export(9), "--db", made.folder)
            tally.must(code == 1 and message.count("\n") == 1 and "own.toml" in message, message)


def encodings(place: Path, tally: Tally) -> None:
    """Output in ascii and cp1252, to a full device and to a closed pipe."""
    made = shop(place)
    for encoding in ("ascii", "cp1252", "latin-1"):
        out = io.TextIOWrapper(io.BytesIO(), encoding)
        with contextlib.redirect_stdout(out):
            code = cli.main(["explain", "J1", "--db", str(made.folder)])
        tally.must(code == 0, encoding)
    if os.path.exists("/dev/full"):
        with open("/dev/full", "w", encoding="ascii") as full, contextlib.redirect_stdout(full):
            message = io.StringIO()
            with contextlib.redirect_stderr(message):
                code = cli.main(["explain", "J1", "--db", str(made.folder)])
            tally.must(code == 1 and message.getvalue().count("\n") == 1, message.getvalue())
            with contextlib.suppress(OSError):
                full.close()
