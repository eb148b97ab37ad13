"""The choice of one complaint on one kind of appliance, kept in the URL."""

import pandas as pd
import streamlit as st

from dashboard.database.labels import Labels
from dashboard.text.format import capitalized


def choose_complaint(counts: pd.Series, labels: Labels) -> tuple[str, str]:
    """Let the reader choose; `counts` are jobs by (appliance kind, symptom).

    Alphabetical: one looks for an appliance, then for its complaint. The URL holds what is written
    in the list, so no count is in it: it would change.
    """
    keys = {f"{kind}/{symptom}": (kind, symptom) for kind, symptom in counts.index}

    def written(key: str) -> str:
        kind, symptom = keys[key]
        name = f"{labels.of('appliance_kind', kind)}: {labels.of('symptom', symptom, kind)}"
        return capitalized(name)

    chosen = st.selectbox(
        "Complaint",
        sorted(keys, key=written),
        format_func=written,
        key="complaint",
        bind="query-params",
    )
    return keys[chosen]
