"""A mapping for an unknown export: columns matched to fields by header and values."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import sql
from etl.mapping.assign import Refuses, Seen, assigned
from etl.mapping.column_values import ColumnValues
from etl.mapping.field_fit import MOST
from etl.mapping.fields import TABLES, fields_of, folded
from etl.mapping.header_words import meanings
from etl.mapping.proposal import Match, Proposal
from etl.mapping.schema import LINE_FIELDS, NET_OF, TIME_FIELDS
from etl.mapping.tax_columns import with_tax_named
from etl.mapping.time_unit import time_unit, unit_of_values
from etl.mapping.written_habits import currency, date_order, decimal_sign
from etl.read import SourceTable

UNIT_WORDS = {"ohm", "ohms", "volt", "volts", "v", "amp", "amps", "a", "uf", "reading"}
DATE_FIELDS = ("opened_on", "closed_on", "arrived_at", "left_at")
NUMBER_FIELDS = (
    "charged", "parts_charged", "labour_charged", "unit_cost", "unit_charge", "minutes_on_job",
    "travel_minutes", "line_amount", "line_price", "line_quantity", "line_minutes",
    "charged_with_tax", "tax", "line_tax", "line_amount_with_tax",
)  # fmt: skip
SIGNATURES: dict[str, tuple[tuple[str, ...], ...]] = {  # one field of each group makes the table
    "jobs": (("job_id",), ("appliance_kind", "symptom", "disposition", "opened_on")),
    "visits": (
        ("job_id",),
        ("technician",),
        ("arrived_at", "minutes_on_job", "visit_no", "outcome", "travel_minutes"),
    ),
    "readings": (("job_id",), ("test_point",), ("value",)),
    "part_lines": (
        ("job_id",),
        ("part_no",),
        ("quantity", "unit_cost", "unit_charge", "component"),
    ),
}
MISSING_COST, REPEATED_COST, UNIQUE_COST = 3.0, 2.0, 1.0


def propose(source: SourceTable, table: str | None = None) -> Proposal:
    """Return the best proposal for one source table; `table` names what it is known to hold.

    The table is the one whose fields account best for all columns, by header and by values.
    """
    seen = Seen.of(source)
    tables = TABLES[1:] if source.is_nested else TABLES
    candidates = [proposal_of(seen, name) for name in ([table] if table else tables)]
    return max(candidates, key=lambda proposal: _quality(proposal, seen))


def _quality(proposal: Proposal, seen: Seen) -> float:
    """Return what the matches are worth, less what the table cannot be without."""
    found = {match.field: match for match in proposal.matches}
    worth = sum({match.header: match.confidence for match in proposal.matches}.values())
    for group in SIGNATURES[proposal.table]:
        worth -= MISSING_COST if not any(name in found for name in group) else 0
    key = found.get("job_id")
    is_unique = key is not None and seen.values[key.header].uniqueness > 0.95
    is_sure = key is not None and seen.values[key.header].count >= 10
    if is_sure and proposal.table == "jobs" and not is_unique:
        worth -= REPEATED_COST
    if is_sure and proposal.table != "jobs" and is_unique:
        worth -= UNIQUE_COST
    return worth


def proposal_of(
    seen: Seen, table: str, refuses: Refuses | None = None, fixed: Sequence[Match] = ()
) -> Proposal:
    """Return the proposal for a source that holds this table."""
    source = seen.source
    chosen = _with_one_day(assigned(seen, table, refuses or _is_of_lines, fixed), table)
    chosen = _with_day_of_clocks(chosen, seen)
    chosen = with_tax_named(chosen, seen) if table == "jobs" else chosen
    found = {match.field: match for match in chosen}
    used = {match.header for match in chosen}
    readings = tuple(
        (header, point)
        for header in source.header
        if table == "jobs" and header not in used and (point := test_point_word(header))
    )
    used |= {header for header, _ in readings}
    makes_numbers = (
        table == "jobs" and "job_id" not in found and {"opened_on", "customer"} <= set(found)
    )
    units, asked = _time_units(seen, found)
    asked += _tax_asked(found) if table == "jobs" else ()
    asked += _zone_asked(seen, chosen)
    dates = seen.columns([m.header for m in chosen if m.field in DATE_FIELDS])
    numbers = seen.columns([m.header for m in chosen if m.field in NUMBER_FIELDS])
    return Proposal(
        source.file,
        source.sheet,
        table,
        tuple(chosen),
        tuple(
            name
            for name, wanted in fields_of(table).items()
            if wanted.is_required and name not in found and not (name == "job_id" and makes_numbers)
        ),
        tuple(header for header in source.header if header not in used),
        readings,
        date_order(dates),
        decimal_sign(numbers),
        currency(numbers),
        units,
        makes_numbers=makes_numbers,
        asked=asked,
    )


def _with_one_day(chosen: list[Match], table: str) -> list[Match]:
    """Take the one day of a job for the day it was opened and closed: without it no job closes."""
    days = [match for match in chosen if match.field in ("opened_on", "closed_on")]
    if table != "jobs" or len(days) != 1:
        return chosen
    other = "closed_on" if days[0].field == "opened_on" else "opened_on"
    return [*chosen, replace(days[0], field=other)]


def _with_day_of_clocks(chosen: list[Match], seen: Seen) -> list[Match]:
    """Put the column of the day before times of a time sheet that are only times of day."""
    clocks = [
        match
        for match in chosen
        if match.field in ("arrived_at", "left_at")
        and seen.values[match.header].shares["clock"] > MOST
    ]
    used = {match.header for match in chosen}
    day = next(
        (h for h, v in seen.values.items() if h not in used and v.count and _is_day(h, v)),
        None,
    )
    if not clocks or day is None:
        return chosen
    return [*(replace(match, header=day) for match in clocks), *chosen]


def _is_day(header: str, values: ColumnValues) -> bool:
    """Say whether a column holds days; numbers of days only under a header that says so."""
    is_named = any("date" in word for word in meanings(header))
    return values.shares["date"] > MOST or (is_named and values.shares["day_number"] > MOST)


def _is_of_lines(header: str, field: str) -> bool:
    """Say whether a field is for invoice lines only, which propose_lines looks for."""
    return field == "line_type" or field in LINE_FIELDS


def _time_units(
    seen: Seen, found: dict[str, Match]
) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
    """Return hours or minutes of each time whose header does not say it, and what is asked."""
    units, asked = [], []
    for name in TIME_FIELDS:
        if name not in found or time_unit([found[name].header]):
            continue
        unit = unit_of_values(seen.columns([found[name].header]))
        if unit:
            units.append((name, unit))
        elif unit is None:
            asked.append(
                f'are the times in "{found[name].header}" hours or minutes? Write under '
                f'[table.units]: {name} = "hours" or {name} = "minutes"'
            )
    return tuple(units), tuple(asked)


def _zone_asked(seen: Seen, chosen: Sequence[Match]) -> tuple[str, ...]:
    """Ask for the shop's zone where times have an offset: in another zone it may be another day."""
    headers = [m.header for m in chosen if m.field in DATE_FIELDS]
    header = next((h for h in headers if seen.values[h].shares.get("offset", 0) > 0.5), None)
    if header is None:
        return ()
    return (
        f'in which time zone is the shop? The times in "{header}" have an offset. Write at the '
        'top: time_zone = "America/Chicago" (or yours)',
    )


def _tax_asked(found: dict[str, Match]) -> tuple[str, ...]:
    """Ask how much of an amount is tax where no column says it."""
    return tuple(
        f'how much of "{found[name].header}" is tax? No column says it. Write the rate in percent '
        'under [table.constants]: tax_rate = "20"'
        for name, others in NET_OF.items()
        if name in found and found.keys().isdisjoint(others)
    )


def test_point_word(header: str) -> str | None:
    """Return the word of a test point that a header names, its unit left out; None when none."""
    plain = folded(header)
    bare = " ".join(word for word in plain.split() if word not in UNIT_WORDS)
    return next((word for word in (plain, bare) if word in _test_point_words()), None)


@cache
def _test_point_words() -> frozenset[str]:
    return frozenset(
        folded(word)
        for row in sql.lookup("test_points")
        for word in (row["test_point"], *row["synonyms"].split("|"))
        if len(word) > 1
    )
