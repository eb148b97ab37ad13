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
    """Groups of texts, one beside the other, so that a text is drawn by its group's number."""

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
    """Return (field, kind, folded word, id); a word that could mean two ids is left out."""
    meanings = defaultdict(set)
    for field, kind, id_, texts in _entries():
        for text in (id_, *texts):
            meanings[field, kind, folded(text)].add(id_)
    for row in sql.lookup("ambiguous_words"):
        meanings["component", row["kind"], folded(row["word"])] |= {"one", "another"}
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
    return entries


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
