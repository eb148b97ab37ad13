"""A shop whose every text was written by somebody who means harm; what it does is real trade.

Each payload is written as a whole value or as its beginning, where a formula or a heading would
start. No page, file or message may do anything with it but show it.
"""

import csv
from pathlib import Path

from etl.load import load
from sample_data.jobs import Shop, simulate
from sample_data.make import JOBS, SEED
from sample_data.shop import ALL_PLANTS
from tests.bench.innocents import write

RAN = "window.ran"  # what a script that runs would set
ELSEWHERE = "evil.invalid"  # reserved by RFC 2606: no such host can be there
MARKUP = (
    f"<img src=x onerror={RAN}=1>",
    f"<script>{RAN}=2</script>",
    f"<svg onload={RAN}=3>",
    f"<a href='http://{ELSEWHERE}/a'>t</a>",
    f"</title></text><b onclick={RAN}=4>b</b>",
)
MARKDOWN = (
    f"[here](javascript:{RAN}=5)",
    f"![p](http://{ELSEWHERE}/p.png)",
    f"http://{ELSEWHERE}/auto",
    f"www.{ELSEWHERE}",
    f"spy@{ELSEWHERE}",
    "**bold** _low_ ~~gone~~ `code`",
    "# heading",
    ":material/flag: :smile: :red[red]",
    "$\\frac{1}{2}$ and $$x^2$$",
    "| a | b |",
)
SQL = ("'; DROP TABLE core.jobs; --", "x' OR '1'='1", "\"; ATTACH '/tmp/x'; --", "$technician")
FORMULAS = (
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(A1)",
    f'=HYPERLINK("http://{ELSEWHERE}")',
    "＝1+1",
    "=cmd|' /C calc'!A0",
)
PATHS = ("../../etc/passwd", "/etc/passwd", "C:\\Windows\\win.ini", "NUL", "CON.csv", "~root")
CONTROLS = ("a\x1b[31mred\x1b]0;t\x07", "user\u202etxt.exe", "one\r\n# two", "\u2066x\u2069")
TEMPLATES = ("{{7*7}}", "%s%n%x", "{0.__class__}", "%{customdata[0]}", "<br>line")
PAYLOADS = MARKUP + MARKDOWN + SQL + FORMULAS + PATHS + CONTROLS + TEMPLATES
SHOWN = MARKUP + MARKDOWN + SQL + FORMULAS + PATHS + TEMPLATES  # as landed, letter by letter
IN_PARTS = tuple(each for each in SHOWN if not each.startswith("{"))  # JSON is no part number

PEOPLE = (  # nine technicians, two branches: each with a payload of its own
    f"<img src=x onerror={RAN}=6>",
    f"[Ann](javascript:{RAN}=7)",
    "=1+1",
    f"http://{ELSEWHERE}/tech",
    "~~Sam~~ | x |",
    ":red[Rob]:smile:",
    "$E=mc^2$ and $p$",  # whose meter reads high, so that a page names him
    "*Eve* __low__ `x`",
    f"<a href='http://{ELSEWHERE}/t'>Tom</a>",
)
BRANCHES = (f"![b](http://{ELSEWHERE}/b.png)", f"# North <b onclick={RAN}=8>b</b> $x$")
EARLY = "DZ8842-E"
CURRENCY = f"<i>${RAN}$</i>"
FILES = {
    "jobs": "jobs =1+1 [x](javascript:1) $y$ <b>.csv",
    "visits": "visits :smile: *v*.csv",
    "readings": "readings `r` # $z$.csv",
    "part_lines": f"part_lines www.{ELSEWHERE}.csv",
}


def hostile_shop(folder: Path) -> Path:
    """Load the shop below a folder and return its database folder."""
    shop = simulate(SEED, JOBS, ALL_PLANTS)  # of its size: every finding is there
    _rename_everything(shop)
    (folder / "in").mkdir()
    paths = [path.rename(path.with_name(FILES[path.stem])) for path in write(shop, folder / "in")]
    load([*paths, _unknown_words(folder / "in")], folder / "db")
    return folder / "db"


def numbered(prefixes: tuple[str, ...], number: int, name: object) -> str:
    """Return a payload with a name behind it, so that each is another text."""
    return f"{prefixes[number % len(prefixes)]} {name}"


def _rename_everything(shop: Shop) -> None:
    """Write payloads into every text field that no vocabulary reads."""
    people = dict(
        zip(sorted({job["technician"] for job in shop.jobs} - {None}), PEOPLE, strict=True)
    )
    branches = dict(zip(sorted({job["branch"] for job in shop.jobs}), BRANCHES, strict=True))
    jobs = {job["job_id"]: numbered(SHOWN, i, job["job_id"]) for i, job in enumerate(shop.jobs)}
    parts = sorted({line["part_no"] for line in shop.part_lines})
    names = {part: numbered(IN_PARTS, i, part) for i, part in enumerate(parts)}
    names[EARLY] = f"{MARKUP[0]} {EARLY}"  # the part that fails early, which the pages name in bold
    for i, job in enumerate(shop.jobs):
        job |= {
            "technician": people.get(job["technician"]),
            "branch": branches[job["branch"]],
            "callback_of": jobs.get(job["callback_of"]),
            "brand": numbered(PAYLOADS, i, job["brand"]),
            "model": numbered(PAYLOADS, i + 1, job["model"]),
            "customer": numbered(PAYLOADS, i + 2, job["customer"]),
            "currency": CURRENCY,
        }
    for visit in shop.visits:
        visit["technician"] = people.get(visit["technician"])
    for line in shop.part_lines:
        line["part_no"] = names[line["part_no"]]
    for i, reading in enumerate(shop.readings):
        reading["meter"] = numbered(PAYLOADS, i, reading["meter"])
    for row in (*shop.jobs, *shop.visits, *shop.readings, *shop.part_lines):
        row["job_id"] = jobs[row["job_id"]]


def _unknown_words(folder: Path) -> Path:
    """Write jobs whose complaint, cause, repair, kind, ending and charge are payloads."""
    path = folder / "more jobs.csv"
    fields = ("symptom", "root_cause", "repair_code", "appliance_kind", "disposition", "charged")
    usual = dict(zip(fields, ("leaks", "", "", "washer", "repaired", "100"), strict=True))
    with path.open("w", newline="", encoding="utf-8") as file:
        heads = ["job_id", "opened_on", "closed_on", *fields, "=remark <b> $x$"]
        writer = csv.DictWriter(file, heads)
        writer.writeheader()
        for i, payload in enumerate(PAYLOADS):
            for field in fields:
                row = usual | {field: payload, heads[-1]: payload}
                days = {"opened_on": "2026-10-01", "closed_on": "2026-10-02"}
                writer.writerow({"job_id": f"w{i}{field}"} | days | row)
    return path
