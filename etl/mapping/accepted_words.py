"""Words that a shop gives a meaning to: checked, kept in the raw tables, true of all history."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

import sql
from etl.mapping.schema import NAME_FIELDS, WORD_FIELDS, MappingError

SOURCES = {
    "appliance_kind": ("kinds", "kind"),
    "symptom": ("symptoms", "symptom"),
    "root_cause": ("causes", "cause"),
    "repair_code": ("repair_codes", "repair"),
    "disposition": ("dispositions", "disposition"),
    "outcome": ("visit_outcomes", "outcome"),
    "component": ("components", "component"),
    "test_point": ("test_points", "test_point"),
    "line_type": ("line_types", "line_type"),
    "yes_no": ("yes_no", "answer"),
}


@dataclass(frozen=True)
class AcceptedWord:
    """A word of one mapping with the id that it means from now on."""

    mapping: str
    field: str
    word: str
    id: str


@cache
def known_ids(field: str) -> frozenset[str]:
    """Return the ids of a vocabulary."""
    name, column = SOURCES[field]
    return frozenset(row[column] for row in sql.lookup(name))


@cache
def known_labels(field: str) -> dict[str, str]:
    """Return what the trade calls each id of a vocabulary; no two ids share a name.

    A complaint or cause that kinds call by several names has the most frequent one.
    """
    name, column = SOURCES[field]
    called: dict[str, Counter[str]] = {}
    for row in sql.lookup(name):
        called.setdefault(row[column], Counter())[row.get("label") or row[column]] += 1
    labels = {id_: names.most_common(1)[0][0] for id_, names in called.items()}
    shared = {label for label, count in Counter(labels.values()).items() if count > 1}
    return {
        id_: f"{label} ({id_.replace('_', ' ')})" if label in shared else label
        for id_, label in labels.items()
    }


def check_words(words: Iterable[AcceptedWord]) -> None:
    """Raise MappingError for a field that has no vocabulary or an id that is not in it."""
    for word in words:
        if word.field in NAME_FIELDS and word.id.strip():
            continue
        if word.field not in WORD_FIELDS:
            wanted = ", ".join((*WORD_FIELDS, *NAME_FIELDS))
            raise MappingError(f"{word.field}: no vocabulary; wanted {wanted}")
        if word.id not in known_ids(word.field):
            raise MappingError(
                f'{word.mapping}: "{word.word}" = "{word.id}" under [words.{word.field}]: '
                f"no such id; see sql/lookups/{SOURCES[word.field][0]}.csv"
            )
