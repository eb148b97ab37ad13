"""What frames every page: product and shop, the menu's manners, and room well used."""

from collections.abc import Mapping
from typing import Any

import streamlit as st

from dashboard.access.reader import reader
from dashboard.text.escape_markdown import verbatim
from dashboard.ui.menu import SECTIONS, TITLES, home_of, section_of

PRODUCT = "Ohms & Hours"
STYLE = """<style>
[data-testid="stMainBlockContainer"] { padding-top: 4rem; padding-bottom: 3rem; }
[data-testid="stSidebarHeader"] { height: 2.5rem; margin-bottom: 0; }
[data-testid="stHeading"] h1 { font-size: 2.1rem; padding: 0 0 0.25rem; }
[data-testid="stTopNavSection"] { border-radius: 0.25rem; }
%s
</style>"""
CURRENT = """[data-testid="stTopNav"] > :nth-child(%d) [data-testid="stTopNavSection"] {
  font-weight: 700; box-shadow: inset 0 -3px 0 currentColor; }"""
# On a phone the menu lies over the page and stays open after a choice: close it then.
CLOSE_MENU = """<script>
if (!window.ohmsMenuCloses) {
  window.ohmsMenuCloses = true;
  document.addEventListener("click", (event) => {
    const link = event.target.closest('[data-testid="stSidebarNavLink"]');
    if (link && window.innerWidth < 768) {
      setTimeout(() => document.querySelector(
        '[data-testid="stSidebarCollapseButton"] button')?.click(), 150);
    }
  });
}
</script>"""
# The small line in a figure's box has no name for its marks; the box says its range in words.
HIDE_SMALL_LINES = """<script>
if (!window.ohmsLinesHidden) {
  window.ohmsLinesHidden = true;
  const hide = () => document.querySelectorAll(
    '[data-testid="stMetricChart"]:not([aria-hidden])'
  ).forEach((line) => line.setAttribute("aria-hidden", "true"));
  new MutationObserver(hide).observe(document.body, { childList: true, subtree: true });
  hide();
}
</script>"""
SCRIPTS = (
    CLOSE_MENU + HIDE_SMALL_LINES
)  # all that run inline: server/content_policy.py allows no other


def draw(name: str, settings: Mapping[str, Any]) -> None:
    """Draw product and shop, and where the page is; style the page and its menu."""
    section = section_of(name)
    offered = [each for each, pages in SECTIONS.items() if any(map(reader().opens, pages))]
    place = offered.index(section) + 1 if section in offered else 0
    st.html(STYLE % (CURRENT % place) + SCRIPTS, unsafe_allow_javascript=True)
    shop = str(settings.get("shop_name") or "")
    names = f"**{PRODUCT}**" + (f" · {verbatim(shop)}" if shop else "")
    steps = dict.fromkeys(filter(None, (section, TITLES.get(home_of(name)), TITLES.get(name))))
    st.caption(" › ".join((names, *steps)))
