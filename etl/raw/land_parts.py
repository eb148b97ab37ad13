"""Parts written in one cell: "PN1 x 2; PN2" → one line each; and part lines among invoice lines."""

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import pyarrow as pa

import sql
from etl.mapping.fields import folded
from etl.mapping.match import Claim
from etl.raw.clean_text import on_one_line

LONGEST_CELL = 10_000  # characters; what is longer is not a list of parts
SEPARATORS = re.compile(r"[;,|\n]")
TIMES_AFTER = re.compile(r"(?: ?[×*]| x) ?(\d{1,5}(?:\.\d{1,3})?)$", re.IGNORECASE)
LONGEST_TIMES = 16  # characters of "PN x 2" in which the number of pieces is looked for
TIMES_BEFORE = re.compile(r"(\d{1,5}(?:\.\d{1,3})?) ?(?:[x×*]|pcs?\.?|ea\.?) ", re.IGNORECASE)
IN_BRACKETS = re.compile(r" ?\((?:qty\.?:? ?)?[x×]?(\d{1,5})[x×]?\)$", re.IGNORECASE)
NO_PART = {
    "none", "n/a", "na", "n.a.", "no", "nil", "null", "-", "--", "–", "—", ".", "no part",
    "no parts", "not used", "keine", "kein", "ohne", "aucun", "aucune", "neant", "sans",
}  # fmt: skip


def parts_in(cell: str) -> Iterator[tuple[str, str]]:
    """Give (part number, quantity) of each part that a cell lists, in its order.

    "PN", "PN x 2", "2 x PN", "PN (2)", apart by ; , | or a line end. Words for none give nothing;
    raw JSON and a cell of impossible length are given whole, for quarantine.
    """
    text = " ".join(cell.split()) if "\n" not in cell else cell.strip()
    if text[:1] in ("[", "{") or len(text) > LONGEST_CELL:
        yield text[:200], "1"
        return
    for piece in SEPARATORS.split(text):
        words = " ".join(piece.split())
        if words and words.lower() not in NO_PART:
            yield _part(words)


def _part(words: str) -> tuple[str, str]:
    before = TIMES_BEFORE.match(words)
    if before and words[before.end() :]:
        return words[before.end() :], before[1]
    return _counted(words, IN_BRACKETS) or _counted(words, TIMES_AFTER) or (words, "1")


def _counted(words: str, pattern: re.Pattern[str]) -> tuple[str, str] | None:
    """Take "PN (2)", "PN x 2" and "PN×2" apart; "PNx2" without a blank is a part number."""
    start = max(len(words) - LONGEST_TIMES, 0)
    found = pattern.search(words[start:])
    head = words[: start + found.start()].rstrip() if found else ""
    return (head, found[1]) if found and head else None


def part_columns(ids: dict[str, Any], columns: dict[str, Any]) -> dict[str, Any]:
    """Return the part lines of a column of cells as columns of raw.part_lines."""
    lines = [
        (i, item_no, part_no, quantity)
        for i, cell in enumerate(columns["parts"].to_pylist())
        for item_no, (part_no, quantity) in enumerate(parts_in(cell or ""), start=1)
    ]
    rows = pa.array([line[0] for line in lines], pa.int64())
    picked = pa.table(ids | {"job_id": columns["job_id"]}).take(rows)
    return {name: picked[name] for name in picked.schema.names} | {
        "item_no": pa.array([line[1] for line in lines], pa.int32()),
        "origin": pa.repeat(pa.scalar("column"), len(lines)),
        "part_no": on_one_line(pa.array([line[2] for line in lines], pa.string())),
        "quantity": pa.array([line[3] for line in lines], pa.string()),
    }


def only_parts(claim: Claim) -> Claim:
    """Return a claim of part lines without the invoice lines of other types, which it is not for.

    A line of unknown type stays where it has a part number: it is quarantined, not lost.
    """
    if claim.table.table != "part_lines" or "line_type" not in claim.table.columns:
        return claim
    types = line_types(tuple(sorted(claim.mapping.words.get("line_type", {}).items())))
    said = [types.get(folded(text or "")) for text in _cells(claim, "line_type")]
    numbers = _cells(claim, "part_no")
    keeps = pa.array(
        [
            kind == "part" or (kind is None and bool((number or "").strip()))
            for kind, number in zip(said, numbers, strict=True)
        ],
        pa.bool_(),
    )
    source = replace(
        claim.source,
        table=claim.source.table.filter(keeps),
        row_numbers=claim.source.row_numbers.filter(keeps),
        bad_rows=[],  # they are counted with the jobs of the same file
    )
    return replace(claim, source=source, row_count=source.row_count)


def _cells(claim: Claim, field: str) -> list[str | None]:
    (header, *_) = claim.table.columns[field]
    positions = {folded(name): i for i, name in enumerate(claim.source.header)}
    cells: list[str | None] = claim.source.table.column(positions[folded(header)]).to_pylist()
    return cells


@cache
def line_types(own: tuple[tuple[str, str], ...]) -> dict[str, str]:
    """Return the type of each known word for a line, the mapping's own words first."""
    found = {folded(word): id_ for word, id_ in own}
    for row in sql.lookup("line_types"):
        for word in (row["line_type"], row["label"], *row["synonyms"].split("|")):
            found.setdefault(folded(word), row["line_type"])
    return found
