"""The choice of one complaint on one kind of appliance, kept in the URL."""

import pandas as pd
import streamlit as st

from dashboard.database.labels import Labels
from dashboard.text.format import capitalized

UNREADABLE = "unspecified"


def choose_complaint(
    counts: pd.Series, labels: Labels, opens_on: tuple[str, str] | None = None
) -> tuple[str, str]:
    """Let the reader choose; `counts` are jobs by (appliance kind, symptom).

    At first `opens_on` is chosen, else the complaint with the most jobs that says what is wrong.
    Alphabetical: one looks for an appliance, then for its complaint. The URL holds what is written
    in the list, so no count is in it: it would change.
    """
    keys = {f"{kind}/{symptom}": (kind, symptom) for kind, symptom in counts.index}

    def written(key: str) -> str:
        kind, symptom = keys[key]
        name = f"{labels.of('appliance_kind', kind)}: {labels.of('symptom', symptom, kind)}"
        return capitalized(name)

    options = sorted(keys, key=written)
    chosen = st.selectbox(
        "Complaint",
        options,
        index=options.index("/".join(opens_on or _most(counts))),
        format_func=written,
        key="complaint",
        bind="query-params",
    )
    return keys[chosen]


def _most(counts: pd.Series) -> tuple[str, str]:
    """Return the complaint with the most jobs, a readable one where there is any."""
    readable = counts[counts.index.get_level_values(1) != UNREADABLE]
    ordered = (counts if readable.empty else readable).sort_index()
    kind, symptom = ordered.index[int(ordered.to_numpy().argmax())]
    return str(kind), str(symptom)
