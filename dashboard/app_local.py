"""The pages without sign-in, for who sits at this machine."""

from pathlib import Path

import streamlit as st
from starlette.middleware import Middleware

from dashboard.server.content_policy import ContentPolicy
from dashboard.server.fault_lines import keep_traces
from dashboard.server.origin_guard import SameOrigin
from dashboard.server.warm_up import kept_warm

keep_traces()
GUARDS = [Middleware(ContentPolicy), Middleware(SameOrigin)]
app = st.App(Path(__file__).with_name("app.py"), middleware=GUARDS, lifespan=kept_warm)
