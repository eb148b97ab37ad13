"""A third set, written without the other two: contacts of four countries, odd calls, damaged backups."""

import json
import os
import random
import time
import zipfile
from pathlib import Path

import openpyxl

from etl.personal.contact import without_contact
from tests.trust.attacks.calls import called
from tests.trust.attacks.tally import Tally
from tests.trust.fault_shop import FaultShop, shop

# Numbers kept free for fiction: NANP 555-01xx, Ofcom 020 7946 0xxx and 01632 960xxx, Germany
# (BNetzA) 030 23125 xxx and 0152 28817386, France (ARCEP) 01 99 00 xx xx, 06 39 98 xx xx. From memory.
SPELLINGS = (
    "030 / 23 12 50 12", "030/2312512", "(030) 23125-012", "+49 (0) 30 23125 012", "0049 30 23125012",
    "+49.30.23125.012", "0152-28817386", "01522 8817386", "0152 288 173 86", "Tel.: 030-23 12 50 12",
    "01 99 00 12 34", "01.99.00.12.34", "01-99-00-12-34", "+33 1 99 00 12 34", "+33 (0)1 99 00 12 34",
    "0033199001234", "06 39 98 12 34", "+33.6.39.98.12.34", "0199001234", "01 99 001 234",
    "1-212-555-0142", "1 (212) 555 0142", "+1(212)555-0142", "212.555.0142x7", "212-555-0142, ext 7",
    "tel:+1-212-555-0142", "212 555–0142", "(212)555.0142", "[212] 555-0142", "212 | 555 | 0142",
    "212*555*0142", "212~555~0142", "212, 555, 0142", "01632 960 123", "+44 1632 960123",
    "(01632) 960123", "020-7946-0018", "02079460018", "0044 20 7946 0018", "１-２１２-５５５-０１４２",
    "२१२५५५०१४२", "212\u202f555\u202f0142", "212\u2060555\u20600142", "212\u00ad555\u00ad0142",
)  # fmt: skip
MAILS = (
    "otto@example.org", "otto.q@shop.example", "OTTO@EXAMPLE.ORG", "<otto@example.org>",
    "mailto:otto@example.org", "otto﹫example.org", "otto@example․org", "otto{at}example.org",
    "otto (at) example (dot) org", "otto AT example DOT org", "otto@sub.example.museum",
    "otto_q@example.org.", "otto+x@example.org;", "o.t.t.o@example.org", "otto@ example.org",
)  # fmt: skip
FRAMES = (
    "{}",
    "Kunde {} anrufen",
    "appeler {} svp",
    "call:{}.",
    "“{}”",
    "no heat;{};24V",
    "\t{}\n",
)
HEADS = (
    "job_id,opened_on,closed_on,appliance_kind,symptom,disposition,customer,serial,notes,brand\n"
)
WHO = ("Ottokar", "Brunnquell", "Lindenweg", "SN77341", "23125012", "otto@")
ARGUMENTS = (
    "measure", "callbacks", "first_time_fix", "explain", "report", "quarantine", "accept", "names",
    "sheet", "undo", "load", "--check", "--json", "--strict", "--db", "--by", "--where", "--from",
    "--to", "--month", "--out", "--format", "--mapping", "--replace", "--help", "--", "-h", "-1",
    "technician", "branch", "brand", "2026-02-30", "2026-02", "02/2026", "1e9", "inf", "-0", "0x1f",
    "²", "١", "é" * 300, "a" * 70_000, "\ud800", "\x7f", "\x9b31m", "\u2029", "\ufeff", "%n", "$(id)",
    "`id`", "${HOME}", ";", "|", "&", ">x", "..", "...", "/", "//", "/proc/1/mem", "/dev/tty",
    "/dev/stdin", "CON", "x:y", "file:///etc/passwd", "s3://x/y", "kind=refrigerator", "kind==",
    "=kind", "kind=", "a=b=c", "{}", "[]", "null", "None", "True", "--by=", "--where=", "--db=",
)  # fmt: skip
CALLS = 600
SECONDS = 60  # no file may take longer, on a busy machine too


def spellings(place: Path, tally: Tally) -> None:
    """Telephone numbers of four countries and addresses, in other frames: nothing is left."""
    for contact in (*SPELLINGS, *MAILS):
        for frame in FRAMES:
            left = without_contact(frame.format(contact)).replace("24V", "")
            is_gone = not any(map(str.isdigit, left)) and "otto" not in left.casefold()
            tally.must(is_gone, (contact, frame, left))


def cells_of_workbooks(place: Path, tally: Tally) -> None:
    """Customers in cells of OpenDocument, Excel and JSON files: in no table, message or log."""
    made = shop(place)
    row = ["K1", "2026-01-01", "2026-01-02", "washer", "leaks, Ottokar at 030 23125012", "repaired",
           "Ottokar Brunnquell", "SN77341", "mail otto@example.org", "x"]  # fmt: skip
    for write in (_ods, _xlsx, _json):
        path = write(place, HEADS.strip().split(","), row)
        for call in (("load", "--check", path), ("load", path), ("quarantine",)):
            code, out, message = called(*call, "--db", made.folder)
            shown = out + message
            tally.must(code == 0, (write.__name__, call, message))
            tally.must(not any(each in shown for each in WHO[1:]), (write.__name__, shown))
        kept = b"".join(each.read_bytes() for each in made.folder.rglob("*") if each.is_file())
        for each in WHO[1:]:
            tally.must(each.encode() not in kept, (write.__name__, each))


def _ods(place: Path, *rows: list[str]) -> Path:
    """Write the smallest OpenDocument spreadsheet (OASIS ODF 1.3, part 3, 9.1) of these rows."""
    cells = (
        "".join(
            f'<table:table-cell office:value-type="string"><text:p>{cell}</text:p></table:table-cell>'
            for cell in row
        )
        for row in rows
    )
    lines = "".join(f"<table:table-row>{each}</table:table-row>" for each in cells)
    names = "".join(
        f' xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
        for name in ("office", "table", "text")
    )
    with zipfile.ZipFile(path := place / "jobs.ods", "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr(
            "content.xml",
            f"<office:document-content{names}><office:body><office:spreadsheet>"
            f'<table:table table:name="jobs">{lines}</table:table>'
            "</office:spreadsheet></office:body></office:document-content>",
        )
        archive.writestr("META-INF/manifest.xml", "<manifest/>")
    return path


def _xlsx(place: Path, *rows: list[str]) -> Path:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    book.active["G2"].comment = openpyxl.comments.Comment("Brunnquell, Lindenweg 7", "Brunnquell")
    book.properties.creator = "Ottokar Brunnquell"
    book.save(path := place / "jobs.xlsx")
    return path


def _json(place: Path, heads: list[str], row: list[str]) -> Path:
    path = place / "jobs.json"
    path.write_text(json.dumps([dict(zip(heads, row, strict=True))]), encoding="utf-8")
    return path


def other_calls(place: Path, tally: Tally) -> None:
    """Six hundred calls of words in any order: an exit code of ours, no trace, nothing steered."""
    made, seed = shop(place), random.Random(77)
    os.environ["XDG_STATE_HOME"] = str(place / "state")
    before = made.served()
    for _ in range(CALLS):
        words = [seed.choice(ARGUMENTS) for _ in range(seed.randrange(1, 7))]
        if "--db" not in words:
            words += ["--db", str(made.folder)]
        if "--out" in words:
            words += ["--out", str(place / "out")]
        here = os.getcwd()
        os.chdir(place)
        try:
            code, out, message = called(*words)
        finally:
            os.chdir(here)
        is_ours = code in (0, 1, 2) and "Traceback" not in out + message
        is_plain = "\x9b" not in message and "\x1b" not in message and len(message) < 20_000
        tally.must(
            is_ours and is_plain and (code == 2 or message.count("\n") <= 2), (words, code, message)
        )
    tally.must(set(made.served()) <= set(before), "records changed")


def damaged_backups(place: Path, tally: Tally) -> None:
    """Backups cut, with turned bytes, glued, packed another way: refused, or whole."""
    made, seed = shop(place), random.Random(5)
    called("backup", place / "shop.zip", "--db", made.folder)
    whole = (place / "shop.zip").read_bytes()
    for number in range(40):
        spoilt = bytearray(whole)
        if number % 3 == 0:
            spoilt = spoilt[: seed.randrange(len(whole))]
        elif number % 3 == 1:
            for _ in range(seed.randrange(1, 20)):
                spoilt[seed.randrange(len(spoilt))] ^= 1 << seed.randrange(8)
        else:
            at = seed.randrange(len(whole))
            spoilt[at:at] = seed.randbytes(seed.randrange(1, 5000))
        (place / "bad.zip").write_bytes(spoilt)
        _refused_or_whole(made, place, tally, number)
    for method in (zipfile.ZIP_STORED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA):
        with (
            zipfile.ZipFile(place / "shop.zip") as old,
            zipfile.ZipFile(place / "bad.zip", "w", method) as new,
        ):
            for name in reversed(old.namelist()):
                new.writestr(name, old.read(name))
        _refused_or_whole(made, place, tally, method)


def _refused_or_whole(made: FaultShop, place: Path, tally: Tally, what: object) -> None:
    target = place / "new"
    code, _, message = called("restore", place / "bad.zip", "--db", target)
    if code == 0:
        tally.must(FaultShop(place).served() == ["J1", "J2"], what)
        again = called("measure", "callbacks", "--format", "csv", "--db", target)
        tally.must(
            again == called("measure", "callbacks", "--format", "csv", "--db", made.folder), what
        )
        for path in sorted(target.rglob("*"), reverse=True):
            path.rmdir() if path.is_dir() else path.unlink()
        target.rmdir()
    else:
        tally.must(code == 1 and message.count("\n") == 1 and not target.exists(), (what, message))


def bombs(place: Path, tally: Tally) -> None:
    """Small files that unpack, nest or repeat far too much: one line each, soon."""
    place.mkdir(parents=True)
    big = zipfile.ZipInfo("content.xml")
    for name in ("a.ods", "a.xlsx", "a.zip"):
        with zipfile.ZipFile(place / name, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
            archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
            with archive.open(big, "w", force_zip64=True) as entry:
                for _ in range(600):
                    entry.write(b" " * (1 << 20))
    (place / "deep.json").write_text("[" * 300_000 + "]" * 300_000)
    (place / "keys.json").write_text('[{"' + '":{"'.join("a" * 5000) + '":1' + "}" * 5001 + "]")
    (place / "wide.csv").write_text(",".join(f"c{i}" for i in range(70_000)) + "\n")
    (place / "quote.csv").write_text('a,b\n"' + "x\n" * 2_000_000)
    entity = "".join(f'<!ENTITY e{i} "{f"&e{i - 1};" * 10 if i else "x" * 99}">' for i in range(12))
    with zipfile.ZipFile(place / "entities.ods", "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", f"<!DOCTYPE d [{entity}]><d>&e11;</d>")
    for path in sorted(place.iterdir()):
        started = time.monotonic()
        code, out, message = called("load", "--check", path, "--db", place / "db")
        is_refused = code == 1 and message.count("\n") == 1 and "Traceback" not in out + message
        is_soon = time.monotonic() - started < SECONDS
        tally.must(is_refused and is_soon and len(message) < 2000, (path.name, code, message[:300]))
