"""The app: the current reader, the pages that this reader may open, and the chosen one."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

import streamlit as st
from streamlit.navigation.page import StreamlitPage

from dashboard.access.page_roles import PAGES
from dashboard.access.reader import Reader
from dashboard.database.admission import RUNS
from dashboard.server import sign_in
from dashboard.settings.file import database_folder, settings_or_problem
from dashboard.ui import shell
from dashboard.ui.menu import IN_MENU, OLD_ADDRESSES, SECTIONS, TITLES

FIRST = "first"  # address of the first page within Streamlit, which shows it as "/"

st.set_page_config(
    page_title="Ohms & Hours", page_icon=str(Path(__file__).with_name("icon.png")), layout="wide"
)
settings = settings_or_problem(database_folder())
reader = sign_in.identify(settings)
opened = [name for name in PAGES if isinstance(reader, Reader) and reader.opens(name)]


def view(name: str, address: str | None = None) -> StreamlitPage:
    """Return a page: in the menu of who opens it; its address is known to all, to be refused."""
    is_first = name == "month" and name in opened and address is None
    is_shown = name in opened and name in IN_MENU and address is None
    return st.Page(
        f"views/{name}.py",
        title=TITLES[name],
        default=is_first,
        url_path=FIRST if is_first else address,
        visibility="visible" if is_shown else "hidden",
    )


def to_the_first() -> None:
    """Go on to the first page that the reader opens."""
    st.switch_page(f"views/{opened[0]}.py")


pages = {section: [view(name) for name in entries] for section, entries in SECTIONS.items()}
hidden = [view(name) for name in TITLES if name not in IN_MENU]
if "month" in opened:
    hidden += [view(name, address) for address, name in OLD_ADDRESSES.items()]
else:  # the first page has no address but "/": every page keeps its own
    hidden += [st.Page(to_the_first, title="Ohms & Hours", default=True, visibility="hidden")]
    hidden += [view(name, old) for old, name in OLD_ADDRESSES.items() if old != "month"]
chosen = st.navigation(pages | {"": hidden}, position="top" if opened else "hidden")
if isinstance(reader, str):
    sign_in.ask(reader)
    st.stop()
address = chosen.url_path or opened[0]
name = OLD_ADDRESSES.get(address, address)
with RUNS.running():
    shell.prepare(settings, name)
    sign_in.show_reader(reader)
    shell.follow_new_versions()
    shell.open_view(chosen, name)
