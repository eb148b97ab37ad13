"""Unknown words and spellings of names, each kind answered in one table."""

from collections.abc import Iterable

import pandas as pd
import streamlit as st

from dashboard.text.escape_markdown import verbatim
from dashboard.ui.column_widths import fitted
from etl.mapping.accepted_words import known_labels
from etl.mapping.spellings import SameName

FIELDS = {
    "appliance_kind": "appliance",
    "symptom": "complaint",
    "root_cause": "cause",
    "repair_code": "repair",
    "disposition": "how it closed",
    "outcome": "how a visit ended",
    "component": "part",
    "test_point": "test point",
    "line_type": "type of line",
    "yes_no": "yes or no",
}
MOST = 200  # words in one table; the next ones follow when these are answered
NOT_ANSWERED = "choose"
SURE_TO_JOIN = 0.9
Words = dict[str, dict[str, str]]  # field → their word → our id or name


def answer_words(unknown: pd.DataFrame, key: str) -> Words:
    """Show unknown words, those that hold jobs back first; return the meanings that were chosen.

    `unknown`: field, appliance_kind, text, rows, jobs_held, perhaps suggestion (an id).
    """
    options = {
        f"{FIELDS.get(field, field)}: {label}": (field, id_)
        for field in dict.fromkeys(unknown["field"])
        for id_, label in sorted(known_labels(field).items(), key=lambda item: item[1].lower())
    }
    kinds = known_labels("appliance_kind")
    labels = {meaning: label for label, meaning in options.items()}
    shown = unknown.head(MOST).reset_index(drop=True)
    suggested = shown.get("suggestion", pd.Series([None] * len(shown)))
    pairs = list(zip(shown["field"], suggested, strict=True))
    frame = pd.DataFrame(
        {
            "They wrote": shown["text"],
            "Kind of word": shown["field"].map(lambda field: FIELDS.get(field, field)),
            "Appliance": shown["appliance_kind"].map(kinds).fillna("any"),
            "Rows": shown["rows"],
            "Jobs gained": shown["jobs_held"],
            "Closest known": [labels.get(pair, "") for pair in pairs],
            "Means": NOT_ANSWERED,
        }
    )
    if suggested.isna().all():
        frame = frame.drop(columns="Closest known")
    means = st.column_config.SelectboxColumn(options=[NOT_ANSWERED, *options])
    config, height = fitted(frame.assign(Means="complaint: as in the list"), {"Means": means})
    answered = st.data_editor(
        frame,
        key=key,
        hide_index=True,
        width="stretch",
        disabled=frame.columns.drop("Means").tolist(),
        column_config=config,
        row_height=height,
    )
    if len(unknown) > MOST:
        st.caption(f"The first {MOST} of {len(unknown):,} words; the others follow.")
    return _chosen(shown, answered["Means"], options)


def _chosen(
    shown: pd.DataFrame, meanings: Iterable[str | None], options: dict[str, tuple[str, str]]
) -> Words:
    chosen: Words = {}
    for field, text, label in zip(shown["field"], shown["text"], meanings, strict=True):
        if label is None or label not in options:
            continue
        of, id_ = options[label]
        if of == field:
            chosen.setdefault(field, {})[text] = id_
        else:
            wanted = FIELDS.get(field, field)
            st.warning(verbatim(f"“{text}” is a word for {wanted}: choose “{wanted}: …” for it."))
    return chosen


def join_spellings(proposed: list[tuple[str, SameName, int]], key: str) -> Words:
    """Show spellings that may be one name; return those that were confirmed.

    `proposed`: field, spelling with its likely name, jobs of the spelling. None is joined unasked.
    """
    takes_all = st.toggle(
        f"Tick those that are at least {SURE_TO_JOIN:.0%} alike", key=f"{key}_all"
    )
    frame = pd.DataFrame(
        {
            "Join": [takes_all and same.confidence >= SURE_TO_JOIN for _, same, _ in proposed],
            "Spelling": [same.spelling for _, same, _ in proposed],
            "Jobs": [jobs for *_, jobs in proposed],
            "may be": [same.name for _, same, _ in proposed],
            "Field": [field for field, *_ in proposed],
            "Likeness": [100 * same.confidence for _, same, _ in proposed],
        }
    )
    answered = st.data_editor(
        frame,
        key=f"{key}_{takes_all}",
        hide_index=True,
        width="stretch",
        disabled=frame.columns.drop("Join").tolist(),
        column_config={"Likeness": st.column_config.NumberColumn(format="%.0f%%")},
    )
    chosen: Words = {}
    for is_same, (field, same, _) in zip(answered["Join"], proposed, strict=True):
        if is_same:
            chosen.setdefault(field, {})[same.spelling] = same.name
    return chosen


def joined(*several: Words) -> Words:
    """Return all the words together; the later answer wins."""
    together: Words = {}
    for words in several:
        for field, meanings in words.items():
            together.setdefault(field, {}).update(meanings)
    return together
