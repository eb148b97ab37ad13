"""The words that messy records are written in, all from our own vocabulary (sql/lookups)."""

import re
from collections import defaultdict
from dataclasses import dataclass
from functools import cache

import numpy as np
import pyarrow as pa

import sql


@dataclass(frozen=True)
class Pool:
    """Groups of texts in one array, so that a text is drawn by its group's number."""

    texts: pa.Array
    starts: np.ndarray
    counts: np.ndarray

    @classmethod
    def of(cls, groups: list[list[str | None]]) -> "Pool":
        counts = np.array([len(group) for group in groups])
        texts = pa.array([text for group in groups for text in group], pa.string())
        return cls(texts, np.cumsum(counts) - counts, counts)

    def places(self, rng: np.random.Generator, groups: np.ndarray) -> np.ndarray:
        """Return where one text of each group stands, drawn at random."""
        return self.starts[groups] + (rng.random(len(groups)) * self.counts[groups]).astype(int)

    def draw(self, rng: np.random.Generator, groups: np.ndarray) -> pa.Array:
        """Return one text of each group, drawn at random."""
        return self.texts.take(pa.array(self.places(rng, groups)))


def folded(text: str) -> str:
    """Return a word as sql/core/text_macros.sql folds it: lower case, one blank between words."""
    return re.sub(r"[\W_]+", " ", re.sub(r"['’`]", "", text.lower())).strip()


@cache
def vocabulary() -> tuple[tuple[str, str, str, str], ...]:
    """Return (field, kind, folded word, id), as sql/core/vocabulary.sql has them.

    An id comes before labels and synonyms, the words for parts in three languages come last; a word
    that could mean two ids is left out.
    """
    meanings: dict[tuple[str, str, str], set[str]] = {}
    for entries in ([(*entry[:3], [entry[2]]) for entry in _entries()], _entries(), _part_words()):
        found = defaultdict(set)
        for field, kind, id_, texts in entries:
            for text in texts:
                found[field, kind, folded(text)].add(id_)
        meanings = found | meanings
        for row in sql.lookup("ambiguous_words"):
            meanings.setdefault(("component", row["kind"], folded(row["word"])), set())
    return tuple((*key, *ids) for key, ids in meanings.items() if len(ids) == 1 and key[2])


def _entries() -> list[tuple[str, str, str, list[str]]]:
    named = {
        "appliance_kind": ("kinds", "kind"),
        "disposition": ("dispositions", "disposition"),
        "outcome": ("visit_outcomes", "outcome"),
        "symptom": ("symptoms", "symptom"),
        "root_cause": ("causes", "cause"),
        "repair_code": ("repair_codes", "repair"),
        "component": ("components", "component"),
        "test_point": ("test_points", "test_point"),
    }
    entries = []
    for field, (table, key) in named.items():
        for row in sql.lookup(table):
            texts = [text for text in (row.get("synonyms") or "").split("|") if text]
            texts += [row["label"]] if row.get("label") and field != "test_point" else []
            kinds = row.get("kinds", "" if field == "appliance_kind" else row.get("kind", ""))
            entries += [(field, kind, row[key], texts) for kind in kinds.split("|")]
    return entries + [("component", "", row["component"], []) for row in sql.lookup("components")]


def _part_words() -> list[tuple[str, str, str, list[str]]]:
    kinds = {row["component"]: row["kinds"].split("|") for row in sql.lookup("components")}
    return [
        ("component", kind, row["component"], row["words"].split("|"))
        for row in sql.lookup("component_words")
        for kind in kinds[row["component"]]
    ]


@cache
def _spellings() -> dict[tuple[str, str, str], list[str]]:
    """Return how people write each id: its words as listed, in capitals, with a full stop."""
    clear = set(vocabulary())
    written = defaultdict(list)
    for field, kind, id_, texts in _entries():
        for text in (id_, *texts):
            if (field, kind, folded(text), id_) in clear:
                forms = (text, text, text.upper(), text.capitalize(), f"{text}.")
                written[field, kind, id_] += forms
    return dict(written)


def words(field: str, kind: str, id_: str) -> list[str]:
    """Return the spellings of one id of one appliance kind ('' = of any)."""
    return _spellings()[field, kind, id_]
