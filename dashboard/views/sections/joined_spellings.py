"""The line under a comparison that says how many spellings were joined into its names."""

import streamlit as st

from dashboard.rows import Row
from dashboard.text import format as words
from dashboard.ui.page import Page

PEOPLE = ("technician", "branch")


def say_joined(page: Page, group_by: str) -> None:
    """Say how many written spellings the names of a comparison stand for; nothing for none."""
    if group_by not in PEOPLE:
        return
    row: Row = page.rows("joined_spellings", group_by=group_by).iloc[0]
    if row.spellings:
        st.caption(joined_sentence(row))


def joined_sentence(row: Row) -> str:
    """Say how many spellings were joined into how many names."""
    spellings = words.counted(row.spellings, "other spelling")
    was = "was" if row.spellings == 1 else "were"
    names = words.counted(row.names, "name")
    return f"{spellings} {was} joined into {names} by the shop: see “What was loaded”."
