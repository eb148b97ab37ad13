"""How ids are written: labels of kinds, complaints, causes, repairs, parts, tests."""

from collections.abc import Iterable

import pandas as pd

from dashboard.database.cache import bytes_of, cached
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.rows import Cells
from dashboard.text.format import is_missing

MOST_BYTES = 64 * 1024 * 1024


class Labels:
    """Labels by vocabulary field; the same id may read differently in different kinds."""

    def __init__(self, table: pd.DataFrame) -> None:
        self.bytes = bytes_of(table)
        self._by_kind = {
            (row.field, row.kind, row.id): row.label for row in table.itertuples(index=False)
        }
        self._by_id = {(field, id_): label for (field, _, id_), label in self._by_kind.items()}

    def of(self, field: str, id_: str, kind: str = "") -> str:
        """Return the label of an id; an id without one is written with blanks."""
        label = self._by_kind.get((field, kind, id_)) or self._by_id.get((field, id_))
        if label:
            return str(label)
        return str(id_).replace("_", " ") if field in FIELDS_OF_IDS else str(id_)

    def column(self, field: str, ids: Iterable[str | None], kinds: Iterable[str]) -> Cells:
        """Return the label of each id in its kind, None where there is no id."""
        pairs = list(zip(ids, kinds, strict=True))
        known = {
            (id_, kind): None if id_ is None or is_missing(id_) else self.of(field, id_, kind)
            for id_, kind in set(pairs)
        }
        return [known[pair] for pair in pairs]


@cached(MOST_BYTES, lambda labels: labels.bytes)
def read_labels(snapshot: Snapshot) -> Labels:
    """Return the labels of a snapshot; all pages share them."""
    return Labels(run(snapshot, "pages/labels"))


FIELDS_OF_IDS = {
    "appliance_kind",
    "symptom",
    "cause",
    "repair_code",
    "component",
    "disposition",
    "outcome",
    "test_point",
    "test_point_of_all",
}
