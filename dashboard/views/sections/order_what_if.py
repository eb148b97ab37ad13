"""Section: other minutes per test, another mix of causes, and the order that follows."""

import pandas as pd
import streamlit as st

from dashboard.diagnosis.chain_rows import ChainRows
from dashboard.diagnosis.compute import Proposal, propose
from dashboard.text import format as words
from dashboard.ui.page import Page

NUMBER, TEXT = st.column_config.NumberColumn, st.column_config.TextColumn


def what_if(
    page: Page, kind: str, point_names: dict[str, str], rows: ChainRows, symptom: str
) -> tuple[dict[str, float], dict[str, float]]:
    """Let the reader change minutes and mix; return minutes by test and weights by cause."""
    with st.expander("What if: other minutes, another mix of causes"):
        left, right = st.columns(2)
        with left:
            minutes = _minutes(point_names, rows, f"minutes_{kind}_{symptom}")
        with right:
            mix = _mix(page, kind, rows, f"mix_{kind}_{symptom}")
        st.caption(
            "Shares are used in proportion; they need not add up to 100. Minutes are those of the "
            "test alone, without opening and closing."
        )
    given = zip(minutes["test_point"], minutes["minutes"], strict=True)
    return (
        {point: float(value) for point, value in given if not words.is_missing(value)},
        {c: float(w or 0) for c, w in zip(mix["cause"], mix["weight"], strict=True)},
    )


def _minutes(point_names: dict[str, str], rows: ChainRows, key: str) -> pd.DataFrame:
    points = rows.tests["test_point"]
    return st.data_editor(
        pd.DataFrame(
            {
                "test_point": points,
                "test": points.map(point_names),
                "minutes": rows.tests["test_min"].astype(float),
            }
        ),
        column_config={
            "test_point": None,
            "test": TEXT("Test", disabled=True),
            "minutes": NUMBER("Minutes", min_value=0, max_value=240),
        },
        hide_index=True,
        key=key,
    )


def _mix(page: Page, kind: str, rows: ChainRows, key: str) -> pd.DataFrame:
    shares = rows.mix.shares
    return st.data_editor(
        pd.DataFrame(
            {
                "cause": list(shares),
                "label": [page.labels.of("cause", cause, kind) for cause in shares],
                "jobs": [each.jobs for each in shares.values()],
                "weight": [100 * each.share for each in shares.values()],
            }
        ),
        column_config={
            "cause": None,
            "label": TEXT("Cause", disabled=True),
            "jobs": NUMBER("Own jobs", disabled=True, format="localized"),
            "weight": NUMBER("Share, %", min_value=0, max_value=100, format="%.1f"),
        },
        hide_index=True,
        key=key,
    )


def proposal_for(
    minutes: dict[str, float], mix: dict[str, float], rows: ChainRows
) -> tuple[Proposal, bool]:
    """Return the proposal and whether the mix is the shop's own."""
    own = {cause: 100 * each.share for cause, each in rows.mix.shares.items()}
    is_own = all(abs(mix[cause] - own[cause]) < 1e-6 for cause in own)
    if is_own:
        return propose(rows, minutes), True
    if sum(mix.values()) <= 0:
        st.warning("The mix holds no share above 0; the shop's own mix is used.")
        return propose(rows, minutes), True
    return propose(rows, minutes, counts={}, weights=mix), False
