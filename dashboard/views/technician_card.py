"""Technician's card: one page for a talk, with jobs, questions, and what was agreed last time."""

import streamlit as st

from dashboard.card.load import Card, CardPattern, card_of, technicians
from dashboard.card.paper import NOTE, html
from dashboard.card.sentences import NONE_STANDS_OUT
from dashboard.changes.figures import NAMES
from dashboard.errors import UserError
from dashboard.filters import Filters
from dashboard.notes.changes import MOST_TEXT
from dashboard.notes.talks import TALKED_OF, may_note_talks, note_talk
from dashboard.rows import each_row
from dashboard.text.escape_markdown import verbatim
from dashboard.text.format import MISSING, capitalized
from dashboard.ui import job_cards, navigation, shell, widgets
from dashboard.ui.job_cards import JobCard
from dashboard.ui.page import Page
from dashboard.views.sections.offer_paper import offer_paper


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What do we talk about with this technician?")
    names = technicians(page.snapshot)
    if not names:
        st.info("Cannot be said from these records: no job names a technician.")
        st.stop()
    name = choose(page, names)
    card = card_of(page.snapshot, name, page.filters)
    st.caption(verbatim(f"{covers(card, page.filters)} {card.few}"))
    the_card(page, card)
    print_or_share(card)
    if may_note_talks():
        note(page, name)
    st.caption(NOTE)
    widgets.show_cautions("one_reading")
    widgets.how_counted("misdiagnosis")


def covers(card: Card, filters: Filters) -> str:
    """Say which jobs the card is about: without dates in the filters, those of a year."""
    is_chosen = filters.from_date is not None or filters.to_date is not None
    why = "" if is_chosen else ", the last year of the records"
    return f"This card covers jobs closed {card.period}{why}."


def choose(page: Page, names: list[str]) -> str:
    """Let the reader choose a technician; one of the filter first. A technician has no choice."""
    if len(names) == 1:
        st.markdown(f"**{verbatim(names[0])}**")
        return names[0]
    wanted = page.filters.technician
    first = names.index(wanted[0]) if wanted and wanted[0] in names else 0
    return st.selectbox("Technician", names, index=first, key="card_of", bind="query-params")


def the_card(page: Page, card: Card) -> None:
    """Write the card."""
    st.markdown(verbatim(card.first_time_fix))
    link(card, "first_time_fix", "See these jobs on First-time fix")
    st.subheader("What goes well")
    st.markdown("\n".join(f"- {verbatim(line)}" for line in card.well))
    st.subheader("To talk about")
    if not card.patterns:
        st.markdown(NONE_STANDS_OUT)
    for place, pattern in enumerate(card.patterns):
        st.markdown(f"**{verbatim(pattern.finding)}**")
        st.markdown(f"Ask: *{verbatim(pattern.question)}*")
        link(
            card, "misdiagnosis", "See all jobs of this pattern", pattern=pattern.pattern or "wrong"
        )
        job_cards.show(jobs_of(pattern), "the technician's card", f"telling_{place}")
    st.subheader("Since the last talk")
    st.markdown(verbatim(card.since_talk))
    st.subheader("What to write down")
    st.markdown(verbatim(card.not_written))
    st.subheader("Meter")
    st.markdown("\n".join(f"- {verbatim(line)}" for line in card.meter))


def jobs_of(pattern: CardPattern) -> list[JobCard]:
    """Return the jobs of a pattern, each with what was replaced and what it turned out to be."""
    return [
        JobCard(
            row.job_id,
            (
                f"{capitalized(row.complaint)}, closed {row.closed}",
                f"Replaced {row.replaced}.{chance_words(row.chance)}",
                f"Turned out to be: {row.outcome}.",
            ),
        )
        for row in each_row(pattern.jobs)
    ]


def chance_words(chance: str) -> str:
    """Say the chance that the part was at fault all the same; nothing where it is not known."""
    return "" if chance == MISSING else f" Chance that it was at fault: {chance}."


def link(card: Card, page: str, label: str, **query: str) -> None:
    """Lead to the jobs behind a number: the page that counts them, for this technician and time."""
    wanted = {"technician": card.technician, "to": f"{card.last}", **query}
    if card.first is not None:
        wanted["from"] = f"{card.first}"
    st.page_link(navigation.path_of(page), label=label, query_params=wanted)


def print_or_share(card: Card) -> None:
    """Offer the card as a file."""
    offer_paper("Download card", lambda: html(card), "card")


def note(page: Page, name: str) -> None:
    """Draw the form that notes a talk."""
    with st.expander("Note a talk"), st.form("note_talk", clear_on_submit=True):
        day = st.date_input("Held on", value=page.dataset.as_of.date(), key="talk_on")
        agreed = st.text_input("Point agreed", max_chars=MOST_TEXT, key="talk_agreed")
        measure = st.selectbox(
            "What should fall",
            [None, *TALKED_OF],
            format_func=lambda each: "nothing that is counted" if each is None else NAMES[each],
        )
        if st.form_submit_button("Note this talk", type="primary"):
            try:
                note_talk(page.folder, name, day, agreed, measure)
            except UserError as problem:
                st.error(f"Not saved. {verbatim(problem)}")
            else:
                st.rerun()


if __name__ == "__main__":
    shell.show(draw)
