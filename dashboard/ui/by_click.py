"""A click on a chart or row sets a choice on the same page, once; later choices by hand stay."""

import streamlit as st


def set_choice(key: str, click: str | None, source: str) -> None:
    """Set the choice `key` to what was clicked in `source` (a chart or table), if that is new.

    Call before the widget of that key is drawn. None: nothing is clicked.
    """
    noted = f"{key}_from_{source}"
    if click is not None and click != st.session_state.get(noted):
        st.session_state[key] = click
    st.session_state[noted] = click
