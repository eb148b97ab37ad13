"""A form that shows some of the shop's settings and saves them next to the database."""

from collections.abc import Mapping, Sequence
from math import inf
from pathlib import Path
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.errors import UserError
from dashboard.rows import each_row
from dashboard.settings.file import may_save, write_settings
from dashboard.settings.types import Setting, SlabsSetting, TextSetting
from dashboard.text.escape_markdown import verbatim


def settings_form(
    title: str, shown: Sequence[Setting], current: Mapping[str, Any], folder: Path, key: str
) -> None:
    """Draw the settings in a closed box; saving writes them and reruns the page.

    Who may not change them is shown none.
    """
    if not all(may_save(each.key) for each in shown):
        return
    with st.expander(title), st.form(key):
        numbers = [each for each in shown if not isinstance(each, SlabsSetting)]
        columns = st.columns(3)
        chosen = {
            each.key: _field(each, current[each.key], columns[i % 3], key)
            for i, each in enumerate(numbers)
        }
        for each in shown:
            if isinstance(each, SlabsSetting):
                chosen[each.key] = _slabs(each, current[each.key], key)
        if st.form_submit_button("Save these settings", type="primary"):
            _save(folder, {k: v for k, v in chosen.items() if v != current[k]})


def _save(folder: Path, changed: dict[str, Any]) -> None:
    if not changed:
        st.caption("Nothing was changed.")
        return
    try:
        write_settings(folder, changed)
    except UserError as problem:
        st.error(f"Not saved. {verbatim(problem)}")
        return
    st.rerun()


def _field(setting: Setting, value: Any, place: Any, key: str) -> Any:
    if not isinstance(setting, TextSetting):
        return _number(setting, value, place, key)
    title = setting.key.replace("_", " ").capitalize()
    return place.text_input(title, value, help=setting.meaning, key=f"{key}_{setting.key}")


def _number(setting: Setting, value: Any, place: Any, key: str) -> Any:
    kind, is_fine = type(setting.default), (setting.high or 0) <= 3
    return place.number_input(
        setting.key.replace("_", " ").capitalize(),
        min_value=kind(setting.low),
        max_value=kind(setting.high),
        value=kind(value),
        step=1 if kind is int else 0.01 if is_fine else 1.0,
        format="%d" if kind is int else "%.3f" if is_fine else "%.2f",
        help=f"{setting.meaning} ({setting.unit})",
        key=f"{key}_{setting.key}",
    )


def _slabs(setting: SlabsSetting, value: tuple[Any, ...], key: str) -> tuple[Any, ...]:
    """Draw the slabs as rows; an empty end means that the last slab has none."""
    st.markdown(f"**{setting.key.replace('_', ' ').capitalize()}**: {setting.meaning}.")
    st.caption(
        "Slabs always rise; one factor on the whole cost would make a dearer part cheaper. Leave "
        "the last “up to” empty; no row at all gives parts the target margin."
    )
    table = pd.DataFrame(
        [(None if edge == inf else edge, factor) for edge, factor in value],
        columns=["up_to", "factor"],
        dtype="float64",
    )
    edited = st.data_editor(
        table,
        num_rows="dynamic",
        hide_index=True,
        key=f"{key}_{setting.key}",
        column_config={
            "up_to": st.column_config.NumberColumn("Part cost up to", min_value=0.0),
            "factor": st.column_config.NumberColumn("Factor", min_value=1.0, max_value=20.0),
        },
    )
    rows = each_row(edited.dropna(how="all"))
    return tuple((inf if pd.isna(r.up_to) else float(r.up_to), float(r.factor)) for r in rows)
