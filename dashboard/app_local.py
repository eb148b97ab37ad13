"""The pages without sign-in, for who sits at this machine."""

from pathlib import Path

import streamlit as st

from dashboard.server.warm_up import kept_warm

app = st.App(Path(__file__).with_name("app.py"), lifespan=kept_warm)
