"""Who has signed in, asked at the start of every run of a page; the page for who has not."""

import os
import time
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlsplit

import streamlit as st

from dashboard.access.reader import (
    AT_THE_MACHINE,
    SIGN_IN,
    Reader,
    Refused,
    read_as,
    reader_of,
)
from dashboard.errors import UserError
from dashboard.server.oidc_config import is_loopback
from dashboard.text.escape_markdown import verbatim

NOT_THIS_MACHINE = (
    "These pages are open on this machine only, at 127.0.0.1. For others, set up sign-in as the "
    "README says under “Sign-in and roles” and start them with `ohmhours dashboard`."
)


def identify(settings: Mapping[str, Any] | UserError) -> Reader | str:
    """Set the reader of this run; when none is allowed, return why.

    `settings`: those of the shop, or why they cannot be read.
    """
    read_as(None)
    try:
        found = _signed_in(settings) if os.environ.get(SIGN_IN) else _at_the_machine()
    except Refused as refusal:
        return str(refusal)
    read_as(found)
    return found


def ask(why: str) -> None:
    """Draw the page of who may not read: what to do, and the way to sign in or out."""
    st.title("Ohms & Hours")
    if not os.environ.get(SIGN_IN):
        st.warning(why, icon=":material/lock:")
    elif st.user.is_logged_in:
        st.warning(verbatim(why), icon=":material/lock:")
        st.button("Sign out", on_click=st.logout)
    else:
        st.markdown("What the shop learns from its own finished repairs, for those it lists.")
        st.button("Sign in", type="primary", on_click=st.login)


def show_reader(who: Reader) -> None:
    """Show at the foot of the sidebar who is signed in, with the way out."""
    if not who.email:
        return
    with st.sidebar:
        st.caption(f"Signed in as {verbatim(who.email)}, {who.role}")
        st.button("Sign out", on_click=st.logout)


def _signed_in(settings: Mapping[str, Any] | UserError) -> Reader:
    """Return who the browser's signed cookie names; raise Refused for a stranger."""
    if not st.user.is_logged_in:
        raise Refused("Nobody is signed in.")
    if isinstance(settings, UserError):
        raise Refused("The shop's settings cannot be read. Ask the owner of the shop to fix them.")
    return reader_of(st.user.to_dict(), settings["people"], time.time())


def _at_the_machine() -> Reader:
    """Return the owner when the pages are bound to, and read from, this machine only."""
    address, host = st.get_option("server.address"), st.context.headers.get("Host")
    if host is None:  # nothing is served: a test runs the page
        return AT_THE_MACHINE
    if is_loopback(address or "") and is_loopback(urlsplit(f"//{host}").hostname or ""):
        return AT_THE_MACHINE
    raise Refused(NOT_THIS_MACHINE)
