"""Attacks by files: customers where no customer is wanted, contacts, endless files, formulas."""

import csv
import io
import os
import time
from pathlib import Path

import pandas as pd

from dashboard.loading.uploads import safe_name
from dashboard.text.csv_export import csv_text
from etl.mapping.file_name import mapping_file_name
from etl.personal.contact import without_contact
from tests.etl.personal.test_contact import ADDRESSES, NUMBERS
from tests.etl.personal.test_redact_names import CANARIES, FILES
from tests.etl.read.test_slow_files import far_cell
from tests.etl.test_csv_formula_guard import CELLS, SIGNS
from tests.trust.attacks.calls import called
from tests.trust.attacks.tally import Tally
from tests.trust.hostile_shop import PAYLOADS

PIECES = (" ", "a", "1", "@", "x1", "PN x ", "; ", "(", '"', "9R", "1/", "é")
SECONDS = 30  # no file of these may take longer


def customers(place: Path, tally: Tally) -> None:
    """Customers as headers, sheets, keys and file names: in no message and no version."""
    for write in FILES:
        (folder := place / write.__name__).mkdir(parents=True)
        path, db = str(write(folder)), folder / "db"
        for arguments in (["load", "--check", path], ["load", path], ["quarantine"]):
            _, out, message = called(*arguments, "--db", db)
            shown = (out + message).replace(path, "")
            tally.must(not any(canary in shown for canary in CANARIES), (write.__name__, shown))
        kept = b"".join(file.read_bytes() for file in db.rglob("*") if file.is_file())
        tally.must(not any(c.encode() in kept for c in CANARIES), (write.__name__, "database"))


def contacts(place: Path, tally: Tally) -> None:
    """Telephone numbers and addresses in every spelling: no digit and no name is left."""
    for contact in (*NUMBERS, *ADDRESSES):
        for frame in ("{}", "Türe, {}!", "({})", "a {} b"):
            left = without_contact(frame.format(contact))
            tally.must(not any(map(str.isdigit, left)) and "jane" not in left, (contact, left))


def endless(place: Path, tally: Tally) -> None:
    """Pipes, devices, folders and sparse files for every command that opens one."""
    place.mkdir(parents=True)
    os.mkfifo(place / "pipe.csv")
    (place / "sparse.csv").touch()
    os.truncate(place / "sparse.csv", 1 << 40)
    far_cell(place / "far.xlsx")
    paths = [place / name for name in ("pipe.csv", "sparse.csv", "far.xlsx")]
    for path in (*paths, Path("/dev/zero"), Path("/dev/full"), place):
        for call in (("load", path), ("restore", path), ("load", "x.csv", "--mapping", path)):
            started = time.monotonic()
            code, _, message = called(*call, "--db", place / "db")
            is_refused = code == 1 and message.count("\n") == 1
            tally.must(is_refused and time.monotonic() - started < SECONDS, (call, message))
    for piece in PIECES:
        text = (piece * 200_000)[:200_000]
        started = time.monotonic()
        without_contact(text)
        tally.must(time.monotonic() - started < 1, piece)


def formulas(place: Path, tally: Tally) -> None:
    """Formulas in exported cells, split at any sign."""
    for cell in (*CELLS, *PAYLOADS):
        text = csv_text(pd.DataFrame({"name": [cell], "n": [-1.5]}))
        for sign in (",", ";", "\t", "|"):
            cells = [
                each for line in csv.reader(io.StringIO(text), delimiter=sign) for each in line
            ]
            bad = [each for each in cells if each.startswith(SIGNS)]
            numbers = set('-+0123456789.,n"ax')
            tally.must(all(not set(each) - numbers for each in bad), (cell, bad))


def names(place: Path, tally: Tally) -> None:
    """Names of uploads and mappings: none leads out of its folder."""
    for name in (*PAYLOADS, "..", ".", "/", "a/../b", "CON", "nul.csv", "x" * 5000, "\udcff"):
        for made in (safe_name(name), mapping_file_name(name)):
            path = (place / made).resolve()
            tally.must(path.parent == place.resolve() and len(made.encode()) < 256, (name, made))
