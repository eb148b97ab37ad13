"""In which unit the times of a claimed table are written; a column that does not say is refused."""

import re

import pyarrow as pa

from etl.mapping.match import Claim
from etl.mapping.schema import TIME_FIELDS, MappingError
from etl.mapping.time_unit import time_unit

BARE = re.compile(r"-?[\d.,]*[1-9][\d.,]*")  # a number without a unit; zero needs none


def time_units(claim: Claim, columns: dict[str, pa.ChunkedArray]) -> dict[str, str]:
    """Return "hours", "minutes" or "" (every cell has its unit) for each time field.

    The mapping says it, else the header does, else every cell must. Raises MappingError, with what
    to write in the mapping, for a column of bare numbers that nothing explains.
    """
    units = {}
    for name in TIME_FIELDS:
        headers = claim.table.columns.get(name, (name,))
        units[name] = claim.table.units.get(name) or time_unit(headers)
        if name in columns and not units[name]:
            _refuse_bare(claim, name, headers, columns[name])
    return units


def _refuse_bare(claim: Claim, name: str, headers: tuple[str, ...], cells: pa.ChunkedArray) -> None:
    bare = sum(1 for text in cells.to_pylist() if text and BARE.fullmatch(text))
    if bare:
        raise MappingError(
            f'{claim.source.shown_file}: column "{headers[0]}" has {bare:,} times without a unit, '
            "and neither its name nor its cells say hours or minutes; write under [table.units] of "
            f'mapping {claim.mapping.name}: {name} = "hours" or {name} = "minutes"'
        )
