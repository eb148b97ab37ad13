"""Jobs: the list behind a number on another page."""

from typing import Any

import streamlit as st

from dashboard.access.queries import check_page
from dashboard.access.reader import reader
from dashboard.callbacks.sentences import RETURN_REASONS
from dashboard.database.labels import Labels
from dashboard.job.lists import ALTERNATIVES, LISTS, JobList
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import job_table, navigation, shell
from dashboard.ui.menu import TITLES
from dashboard.ui.page import Page

CHOSEN = "chosen_list"
SUBJECTS = (  # column of the labels, parameter of the link
    ("test_point", "test_point"), ("cause", "cause"), ("component", "component"),
    ("symptom", "complaint"),
)  # fmt: skip
UNKNOWN = (
    "This link names no list of jobs. Open one by a click on a chart or table of another page."
)


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Which jobs are behind the number?")
    name = st.query_params.get("list", "")
    if name not in LISTS:
        st.info(UNKNOWN)
        st.stop()
    if name in ALTERNATIVES:
        name = choose(name)
    chosen = LISTS[name]
    check_page(reader(), chosen.home)
    asked = parameters(chosen, page.snapshot.window_days)
    jobs = page.rows(chosen.query, **asked)
    days = words.counted(asked["window_days"], "day")
    title = chosen.title.format(of=subject(page), days=days)
    st.subheader(verbatim(f"{words.counted(len(jobs), 'job')} {title}"))
    st.page_link(
        navigation.path_of(chosen.home),
        label=f"Back to {TITLES[chosen.home]}",
        icon=":material/arrow_back:",
        query_params=navigation.kept_query(),
    )
    job_table.show(jobs, page.labels, f"jobs {title}")


def choose(name: str) -> str:
    """Let the reader switch between the lists of one number; the address always names the list.

    Not bound to the address: Streamlit takes a bound parameter out where it equals the default,
    and the link would then name no list.
    """
    options = ALTERNATIVES[name]
    st.session_state[CHOSEN] = name
    chosen = st.segmented_control(
        "Show", list(options), format_func=options.__getitem__, key=CHOSEN, on_change=_note_list,
        required=True,
    )  # fmt: skip
    return chosen or name


def _note_list() -> None:
    st.query_params["list"] = st.session_state[CHOSEN]


def parameters(chosen: JobList, window_days: int) -> dict[str, Any]:
    """Return what the link asks of the list's SQL file; a parameter left out is NULL."""
    query = st.query_params
    window = query.get("within", "")
    return {
        "group_by": query.get("group_by"),
        "group_value": query.get("group"),
        "reason": query.get("reason"),
        "part_no": query.get("part_no"),
        "kind": query.get("kind"),
        "component": query.get("component"),
        "complaint": query.get("complaint"),
        "cause": query.get("cause"),
        "first": query.get("first"),
        "final": query.get("final"),
        "test_point": query.get("test_point"),
        "use_recorded": query.get("recorded") == "true",
        "window_days": int(window) if window.isdecimal() else window_days,
        **chosen.fixed,
    }


def reason_words(reason: str | None, labels: Labels) -> str | None:
    """Write the reason of a return trip or the one why a job is not counted."""
    if reason is None:
        return None
    return RETURN_REASONS.get(reason) or labels.of("disposition", reason)


def subject(page: Page) -> str:
    """Say what the link asks for: ": March 2026", ": Fan motor, refrigerator"."""
    query, labels = st.query_params, page.labels
    kind = query.get("kind", "")
    names = [query.get("part_no"), reason_words(query.get("reason"), labels)]
    if group := query.get("group"):
        by = query.get("group_by", "")
        names.append(words.month(group) if by == "month" else labels.of(by, group))
    if first := query.get("first"):
        final = labels.of("component", query.get("final", ""), kind)
        names.append(f"{labels.of('component', first, kind)} turned out to be {final}")
    for field, key in SUBJECTS:
        if value := query.get(key):
            names.append(labels.of(field, value, kind))
    if kind:
        names.append(labels.of("appliance_kind", kind))
    said = ", ".join(each for each in names if each)
    return f": {said}" if said else ""


if __name__ == "__main__":
    shell.show(draw)
