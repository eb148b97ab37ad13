"""The tests of a complaint, for the pages that put them in order."""

import pandas as pd
import streamlit as st

from dashboard.diagnosis.chain_rows import ChainRows, chain_rows
from dashboard.ui.page import Page


def tests_of_all(page: Page) -> pd.DataFrame:
    """Return the measure order_of_tests; without any complaint that has tests, say so and stop."""
    table = page.measure("order_of_tests")
    if table.empty:
        st.info(
            "Cannot be said from these records: no reading of a complaint whose tests the register "
            "knows is in this filter."
        )
        st.stop()
    return table


def tests_of(page: Page, table: pd.DataFrame, kind: str, symptom: str) -> ChainRows:
    """Return what is known of one complaint's tests; its rows of the measure are `.tests`."""
    one = table[(table["appliance_kind"] == kind) & (table["symptom"] == symptom)]
    return chain_rows(one, lambda name: page.rows(name.removeprefix("pages/")))[kind, symptom]
