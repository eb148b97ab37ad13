"""Names of files, sheets and columns, redacted: never a cell that was taken for a header.

A file without a header row, or a sheet or JSON key named after a customer, would put personal data
into messages and into the load report. So a name is shown as written only when its words are those
of the trade; of the others the place is shown: "column 7", "sheet 2". README, Privacy, lists this.
"""

import re
from collections.abc import Sequence
from functools import cache
from pathlib import PurePath

import sql
from etl.mapping.fields import fields, folded
from etl.personal.contact import GONE, contacts, unfolded, without_contact

LEAST_KNOWN, KNOWN_SHARE = 2, 3  # a header row is one with two known names and a third known
MORE_WORDS = """
    a all and at blad by calls columns data date day done export feuil file foglio for from hoja id
    in is jobs lines list month new no not number of old on or orders our out page parts q1 q2 q3 q4
    readings report results row sheet shop tab tabelle table the their tickets time to total type
    used visits week what when where work year january february march april may june july august
    september october november december jan feb mar apr jun jul aug sep oct nov dec mon tue wed thu
    fri sat sun ohm ohms volt volts v amp amps uf c f min psi
"""
WORDS = re.compile(r"[^\W\d_]+|\d+")
DATA = re.compile(r"\d{3}|\d[/.:-]\d|[$€£]\s?\d")
DATES = re.compile(
    r"(?<!\d)(?:19|20)\d\d(?:[-_. ](?:19|20)\d\d(?!\d)|[-_. ]?[01]\d(?:[-_. ]?[0-3]\d)?"
    r"(?:[T_ -]{1,3}[0-2]\d[-_.]?[0-5]\d(?:[-_.]?[0-5]\d)?)?)(?!\d)"
)
STREET = (
    r"(?:street|st|road|rd|avenue|ave|lane|ln|drive|dr|court|ct|way|blvd|boulevard|place|pl|close|"
    r"crescent|terrace|row|square|hill|rue|via|calle)"
)
ADDRESS = re.compile(
    rf"\b\d{{1,5}}[a-z]?[ _,]{{1,2}}(?:[^\W\d_]+[ _.]{{1,2}}){{1,3}}{STREET}\b"
    r"|\b[^\W\d_]{3,30}(?:straße|strasse|str|weg|gasse|platz|allee|laan|straat)\.?[ _]{1,2}\d{1,4}",
    re.IGNORECASE,
)


def shown_file(name: str) -> str:
    """Return a file's name as it is shown and kept: contacts and addresses in it as "…"."""
    name = name.encode("utf-8", "replace").decode()  # a name may be no text
    suffix = PurePath(name).suffix
    stem = name.removesuffix(suffix) if len(suffix) <= 10 else name
    dates = [match.group() for match in DATES.finditer(stem)]
    plain = DATES.sub("\x00", stem)
    blotted = ADDRESS.sub(GONE, without_contact(plain))
    for date in dates:
        blotted = blotted.replace("\x00", date, 1)
    return blotted.replace("\x00", GONE) + (suffix if stem != name else "")


def shown_sheet(name: str | None, number: int) -> str | None:
    """Return a sheet's or JSON list's name as it is shown and kept, "sheet 2" for a foreign one."""
    if name is None or _is_of_the_trade(name):
        return name
    return f"sheet {number}"


def shown_columns(header: Sequence[str], mapped: Sequence[str] = ()) -> list[str]:
    """Return the header as it is shown and kept, "column 7" for a name that may be a cell.

    `mapped` are names that a mapping holds: those are the shop's own words.
    """
    known = {folded(name) for name in mapped}
    is_of_ours = [folded(name) in known or _is_of_the_trade(name) for name in header]
    recognized = sum(is_of_ours)
    is_header = recognized >= LEAST_KNOWN and KNOWN_SHARE * recognized >= len(header)
    return [
        name if ours or (is_header and not _may_be_a_cell(name)) else f"column {number}"
        for number, (name, ours) in enumerate(zip(header, is_of_ours, strict=True), start=1)
    ]


def shape(header: Sequence[str], mapped: Sequence[str] = ()) -> str:
    """Describe a header in words: how many columns, and those that are known by name."""
    shown = shown_columns(header, mapped)
    named = [name for number, name in enumerate(shown, start=1) if name != f"column {number}"]
    known = f", among them {', '.join(named[:12])}" if named else ", none of a name that is known"
    return f"{len(header):,} columns{known}"


def _may_be_a_cell(name: str) -> bool:
    """Return True if a name that no vocabulary knows could be a person, an address or a value."""
    plain = unfolded(name)
    if DATA.search(plain) or ADDRESS.search(plain) or next(contacts(plain), None):
        return True
    words = re.findall(r"[^\W\d_]+", plain)
    capitals = [word for word in words if word[:1].isupper()]
    return len(capitals) >= 2 and not any(word.casefold() in _trade_words() for word in words)


def _is_of_the_trade(name: str) -> bool:
    words = WORDS.findall(folded(name))
    numbers = [word for word in words if word.isdecimal()]
    is_short = len(name) <= 60 and sum(map(len, numbers)) <= 6
    return is_short and all(word in _trade_words() or word.isdecimal() for word in words)


@cache
def _trade_words() -> frozenset[str]:
    """Return the single words of field names, known headers, test points and units."""
    phrases = [text for field in fields() for text in (field.name, *field.header_words)]
    for row in sql.lookup("test_points"):
        phrases += [row["test_point"], *row["synonyms"].split("|")]
    phrases += MORE_WORDS.split()
    return frozenset(word for phrase in phrases for word in WORDS.findall(folded(phrase)))
