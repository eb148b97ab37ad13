"""Attacks on a whole shop: keys, backups, versions, roles."""

import hashlib
import json
import os
import shutil
import zipfile
from pathlib import Path

import duckdb
from starlette.datastructures import Headers

from dashboard.access.page_roles import LEAD, OWNER, PRICING, TECHNICIAN
from dashboard.access.reader import Reader
from dashboard.database.connection import connection
from dashboard.database.version import version
from dashboard.server.origin_guard import is_of_this_address
from tests.server.test_origin_guard import HERE, OTHERS
from tests.trust.attacks.calls import called
from tests.trust.attacks.tally import Tally
from tests.trust.fault_shop import FaultShop, shop
from tests.trust.test_locked_connection import FILES as STATEMENTS

OTHER_KEY = "ab" * 32 + "\n"
KEYS = ("", "x", "00" * 31, "z" * 64, "00" * 33, OTHER_KEY, "\0" * 64, "é" * 32)


def wrong_keys(place: Path, tally: Tally) -> None:
    """Another key, no key, half a key: load, accept and backup refuse and change nothing."""
    made = shop(place)
    whole = (made.folder / "unit.key").read_text()
    for key in KEYS:
        (made.folder / "unit.key").write_text(key, encoding="utf-8")
        _all_refuse(made, key, tally)
    (made.folder / "unit.key").unlink()
    _all_refuse(made, "gone", tally)
    os.mkfifo(made.folder / "unit.key")
    _all_refuse(made, "pipe", tally)
    (made.folder / "unit.key").unlink()
    (made.folder / "unit.key").write_text(whole)
    made.must_go_on()


def _all_refuse(made: FaultShop, key: str, tally: Tally) -> None:
    before = made.files()
    for call in (
        ("load", made.export(99)),
        ("accept", "canonical", "symptom", "x", "leaks"),
        ("backup", made.place / "none.zip"),
    ):
        code, _, message = called(*call, "--db", made.folder)
        is_whole = made.files() == before and not (made.place / "none.zip").exists()
        tally.must(code == 1 and message.count("\n") == 1 and is_whole, (key, call, message))


def useless_backups(place: Path, tally: Tally) -> None:
    """Backups of a shop whose parts cannot be used: refused, by the name of the part."""
    made = shop(place)
    (made.folder / "mappings").mkdir()
    spoils = {
        "ohmhours.toml": ("min_jobs = -1", "x", "\0", "[[["),
        "limits.csv": ("nonsense\n1\n", "\0", "test_point\nx\n"),
        "meters.csv": ("nonsense\n1\n",),
        "mappings/own.toml": ("", "name = 1", "\0"),
        "mappings/a\\b.toml": ("",),
    }
    for name, contents in spoils.items():
        for content in contents:
            (made.folder / name).write_text(content)
            code, _, message = called("backup", place / "shop.zip", "--db", made.folder)
            is_named = code == 1 and Path(name).name.split("\\")[-1] in message
            tally.must(is_named and not (place / "shop.zip").exists(), (name, content, message))
            left = [path.name for path in place.iterdir() if "unfinished" in path.name]
            tally.must(not left, left)
            (made.folder / name).unlink()


def crafted_backups(place: Path, tally: Tally) -> None:
    """Backups with wrong sizes, names, hashes, forms: nothing is written outside, or at all."""
    made = shop(place)
    called("backup", place / "shop.zip", "--db", made.folder)
    with zipfile.ZipFile(place / "shop.zip") as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    listed = json.loads(parts["contents.json"])
    key = next(part for part in listed["parts"] if part["name"] == "unit.key")
    changes = [
        {"size": 1}, {"size": -1}, {"size": 1 << 60}, {"size": "65"}, {"size": True}, {"sha256": "0" * 64},
        {"sha256": None}, {"name": "../unit.key"}, {"name": "/unit.key"}, {"name": "mappings/../x.toml"},
        {"name": "mappings/.x.toml"}, {"name": "x" * 5000}, {"name": 7}, {"more": 1}, {"name": "CURRENT"},
    ]  # fmt: skip
    documents = [
        {**listed, "parts": [*(p for p in listed["parts"] if p is not key), key | change]}
        for change in changes
    ]
    documents += [
        [],
        {},
        1,
        None,
        {"form": listed["form"]},
        {**listed, "parts": {}},
        listed["parts"],
    ]
    documents += [{**listed, "parts": listed["parts"] * 2}, {**listed, "form": "x" * 9000}]
    texts = [json.dumps(each).encode() for each in documents]
    texts += [b"[" * 100_000, b"", b"\xff", b" " * (1 << 25), b'{"form":' + b"9" * 5000 + b"}"]
    for text in texts:
        with zipfile.ZipFile(place / "evil.zip", "w", zipfile.ZIP_DEFLATED) as archive:
            for name, content in (parts | {"contents.json": text}).items():
                archive.writestr(name, content)
        code, _, message = called("restore", place / "evil.zip", "--db", place / "new")
        is_clean = not list(place.glob("new*"))
        tally.must(code == 1 and message.count("\n") == 1 and is_clean, (text[:80], message))


def another_shops_key(place: Path, tally: Tally) -> None:
    """A whole backup in which the key is another: restore refuses it."""
    made = shop(place)
    called("backup", place / "shop.zip", "--db", made.folder)
    with zipfile.ZipFile(place / "shop.zip") as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    parts["unit.key"] = OTHER_KEY.encode()
    listed = json.loads(parts["contents.json"])
    for part in listed["parts"]:
        if part["name"] == "unit.key":
            part["sha256"] = hashlib.sha256(parts["unit.key"]).hexdigest()
    parts["contents.json"] = json.dumps(listed).encode()
    with zipfile.ZipFile(place / "other.zip", "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    code, _, message = called("restore", place / "other.zip", "--db", place / "new")
    tally.must(code == 1 and "another key" in message and not list(place.glob("new*")), message)


def origins_and_roles(place: Path, tally: Tally) -> None:
    """Websockets of other addresses, files of other persons and of former roles."""
    for origin in OTHERS:
        tally.must(not is_of_this_address(Headers({"origin": origin, "host": HERE})), origin)
    readers = [
        Reader(role, email, name)
        for email in ("a@shop.example", "b@shop.example")
        for role, name in ((OWNER, None), (LEAD, None), (PRICING, None), (TECHNICIAN, "A"), (TECHNICIAN, "B"))
    ]  # fmt: skip
    for one in readers:
        for other in readers:
            tally.must((one.mark == other.mark) == (one == other), (one, other))


def locked_connection(place: Path, tally: Tally) -> None:
    """Statements that would leave the file: each is refused, and nothing is written."""
    made = shop(place)
    made.must_serve(2)
    (made.folder / "secret.csv").write_text("a,b\n1,2\n", encoding="utf-8")
    shutil.copy(made.published(), made.folder / "other.duckdb")
    opened = connection(version(made.folder)).cursor()
    before = made.files()
    for statement in STATEMENTS.values():
        try:
            opened.execute(statement.format(folder=made.folder)).fetchall()
            is_refused = False
        except duckdb.Error:
            is_refused = True
        tally.must(is_refused and made.files() == before, statement)
