"""A second set of attacks, written without the first: special files, odd limits, customers in cells."""

import os
import random
import time
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet

import sql
from tests.trust.attacks.calls import called
from tests.trust.attacks.tally import Tally
from tests.trust.fault_shop import shop

OWN_FILES = (
    "CURRENT", "ohmhours.toml", "limits.csv", "meters.csv", "unit.key", "mappings/x.toml",
)  # fmt: skip
ODD = ("", "x", "1e999", "-1", "nan", "9" * 400, "٣", "1,5", "0x10", "\x1b[2J", "=1", "2026-99-99")
HEAD = "job_id,opened_on,closed_on,appliance_kind,symptom,disposition,notes,customer,serial\n"
ROWS = (
    "A,2026-01-01,2026-01-02,Marge 212-555-0142,leaks,repaired,,,",
    "B,2026-01-01,2026-01-02,washer,leaks for fenwick＠example．com,repaired,,,",
    "C,2026-01-01,2026-01-02,washer,leaks,done by +44 20 7946 0018,,,",
    "D,bad,2026-01-02,washer,leaks,repaired,Marge at 7 Quillstone Lane,Marge,SNX99",
    'E,2026-01-01,2026-01-02,washer,leaks,repaired,"x" y,Fenwick',
)
PERSONAL = ("212-555-0142", "7946 0018", "Quillstone", "SNX99", "fenwick")


def special_files(place: Path, tally: Tally) -> None:
    """A pipe, a folder, a link to itself or a device in place of each file of the folder."""
    made = shop(place)
    (made.folder / "mappings").mkdir()
    for name in OWN_FILES:
        path, kept = made.folder / name, made.folder / f"{name}.kept"
        for make in (
            os.mkfifo,
            os.mkdir,
            lambda p: os.symlink(p, p),
            lambda p: os.symlink("/dev/zero", p),
        ):
            if path.exists():
                path.rename(kept)
            make(path)
            for call in (
                ("load", made.export(50)),
                ("measure", "callbacks"),
                ("backup", place / "x.zip"),
                ("accept", "canonical", "symptom", "q", "leaks"),
            ):
                started = time.monotonic()
                code, _, message = called(*call, "--db", made.folder)
                is_refused = (
                    code in (0, 1) and message.count("\n") <= 2 and time.monotonic() - started < 20
                )
                tally.must(is_refused, (name, call, message))
                (place / "x.zip").unlink(missing_ok=True)
            path.rmdir() if path.is_dir() and not path.is_symlink() else path.unlink()
            if kept.exists():
                kept.rename(path)


def odd_limits(place: Path, tally: Tally) -> None:
    """Lines of limits.csv drawn of odd values: used, or refused in one line."""
    made, seed = shop(place), random.Random(3)
    heads = list(sql.lookup("tolerances")[0])
    for _ in range(30):
        row = [seed.choice(ODD) for _ in heads]
        row[heads.index("test_point")] = seed.choice(["defrost_heater_ohm", "", "x"])
        line = ",".join(f'"{value}"' for value in row)
        (made.folder / "limits.csv").write_text(f"{','.join(heads)}\n{line}\n", encoding="utf-8")
        code, _, message = called("backup", place / "x.zip", "--db", made.folder)
        tally.must(code in (0, 1) and message.count("\n") <= 1 and "\x1b" not in message, message)
        (place / "x.zip").unlink(missing_ok=True)


def customers_in_cells(place: Path, tally: Tally) -> None:
    """Contacts and customers in cells of any column, and as columns of a Parquet file."""
    made = shop(place)
    path = place / "p.parquet"
    table = pa.table({"Marge Fenwick": ["x"], "212-555-0142": ["y"], "Quillstone": [[1]]})
    pyarrow.parquet.write_table(table, path)
    for call in (("load", path), ("load", "--check", path)):
        _, out, message = called(*call, "--db", made.folder)
        tally.must(not any(each in out + message for each in (*PERSONAL, "Marge")), out + message)
    for number, row in enumerate(ROWS):
        (export := place / f"cells{number}.csv").write_text(f"{HEAD}{row}\n", encoding="utf-8")
        for call in (
            ("load", "--check", export),
            ("load", export, "--json"),
            ("quarantine", "--out", place / "q"),
        ):
            _, out, message = called(*call, "--db", made.folder)
            tally.must(not any(each in out + message for each in PERSONAL), out + message)
        files = [file for file in (*made.folder.rglob("*"), *place.glob("q/*")) if file.is_file()]
        kept = b"".join(file.read_bytes() for file in files)
        tally.must(not any(each.encode() in kept for each in PERSONAL), row)
