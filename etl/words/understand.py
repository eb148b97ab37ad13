"""Each distinct text understood once: tables of texts → tables of meanings."""

from collections.abc import Callable, Iterable

import duckdb
import pyarrow as pa

from etl.words.causes import cause_of
from etl.words.complaints import symptom_of
from etl.words.kinds import kind_of
from etl.words.parts import component_of
from etl.words.statuses import disposition_of, outcome_of

NAMES: dict[str, Callable[[str], str | None]] = {
    "appliance_kind": kind_of,
    "disposition": disposition_of,
    "outcome": outcome_of,
}
OF_A_KIND: dict[str, Callable[[str, str], str | None]] = {
    "symptom": symptom_of,
    "root_cause": cause_of,
    "component": component_of,
}
LONGEST = 400  # characters; a longer text is a report, not a complaint


def meaning(field: str, kind: str, text: str) -> str | None:
    """Return the id that a text means, None where none is certain or it is too long."""
    if len(text) > LONGEST:
        return None
    return NAMES[field](text) if field in NAMES else OF_A_KIND[field](kind, text)


def understand(connection: duckdb.DuckDBPyConnection, texts: str, meanings: str) -> None:
    """Fill the table `meanings` with the ids of the table `texts` (field, kind, text)."""
    rows = connection.table(texts).select("field", "kind", "text").fetchall()
    found = pa.Table.from_pylist(list(_understood(rows)), SCHEMA)
    connection.from_arrow(found).insert_into(meanings)


SCHEMA = pa.schema([(name, pa.string()) for name in ("field", "kind", "text", "id")])


def _understood(rows: Iterable[tuple[str, str, str]]) -> Iterable[dict[str, str]]:
    for field, kind, text in rows:
        id_ = meaning(field, kind, text)
        if id_:
            yield {"field": field, "kind": kind, "text": text, "id": id_}
