"""Next test: after given readings of a past job, how likely is each cause, what to test next?"""

import pandas as pd
import streamlit as st

from dashboard.diagnosis import charts as charts_diagnosis
from dashboard.diagnosis.chain_rows import ChainRows, ordered_tests
from dashboard.diagnosis.chains import build_chain
from dashboard.job.sentences import Job, read_job, reading_words
from dashboard.rows import each_row
from dashboard.stats.sequencing.chain import Chain
from dashboard.stats.sequencing.next_step import Verdict, is_close, next_tests, posterior
from dashboard.text import format as words
from dashboard.text.cautions import of_hazards, of_kind
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.complaint_picker import choose_complaint
from dashboard.ui.page import Page
from dashboard.views.sections.complaint_tests import tests_of, tests_of_all

PAST, OWN = "A past job", "Readings of your own"


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Given what was measured, what next?")
    table = tests_of_all(page)
    counts = table.groupby(["appliance_kind", "symptom"])["jobs"].first()
    kind, symptom = choose_complaint(counts, page.labels)
    rows = tests_of(page, table, kind, symptom)
    chain = build_chain(rows)

    source = st.segmented_control(
        "Readings", [PAST, OWN], default=PAST, key="readings", bind="query-params", required=True
    )
    verdicts = best_next(page, chain, kind, source, symptom)
    how_likely(page, chain, kind, rows, verdicts)


def best_next(page: Page, chain: Chain, kind: str, source: str, symptom: str) -> list[Verdict]:
    """Let the reader give readings; list the best next tests."""
    left, right = st.columns(2)
    with left:
        verdicts = (
            verdicts_of_past_job(past_job(page, kind, symptom), page, chain, kind)
            if source == PAST
            else verdicts_of_own(page, chain)
        )
    with right:
        st.subheader("The best next test")
        offered = next_tests(chain, verdicts)[:5]
        is_open = is_close(offered)
        if is_open:
            st.markdown("**No clear winner:** all of these are within a minute. Take the safest.")
        for place, each in enumerate(offered, start=1):
            name = page.labels.of("test_point", each.test)
            reason = (
                f"{each.minutes_to_go:.0f} expected minutes to go, outside limits in "
                f"{words.percent(each.outside_chance)}"
            )
            is_best = place == 1 and not is_open
            st.markdown(f"{place}. {f'**{name}**' if is_best else name}: {reason}")
        if not offered:
            st.markdown("No test of this chain is left.")
    return verdicts


def how_likely(
    page: Page, chain: Chain, kind: str, rows: ChainRows, verdicts: list[Verdict]
) -> None:
    """Draw how likely each cause is, before and after the readings."""
    st.subheader("How likely is each cause?")
    before, after = chain.mix, posterior(chain, verdicts)
    likely = pd.DataFrame(
        {
            "cause": list(after),
            "label": [page.labels.of("cause", cause, kind) for cause in after],
            "before": [before[cause] for cause in after],
            "after": list(after.values()),
        }
    ).sort_values(["after", "cause"], ascending=[False, True])
    likely["is_final"] = False
    widgets.chart(
        charts_diagnosis.posterior(likely.head(12)),
        alt="; ".join(
            f"{r.label}: {words.percent(r.after)} (before {words.percent(r.before)})"
            for r in each_row(likely.head(6))
        ),
        key="posterior",
    )
    st.caption(
        f"Cause mix: {words.counted(rows.mix.n, 'own job')} blended with the register's general "
        "weights; how often a cause makes a test read outside is the register's judgement. "
        "Readings are taken as independent given the cause, doubtful ones are left out. A "
        "reading makes causes more or less likely, it strikes none out."
    )
    named = of_hazards(ordered_tests(rows)["hazards"])
    first = dict.fromkeys((*of_kind(kind), *named, "lock_out"))
    widgets.show_cautions(*first, "one_reading", "local_law", "records")


def past_job(page: Page, kind: str, symptom: str) -> Job:
    """Let the reader choose a past job; stop where there is none."""
    jobs = page.rows("chain_jobs", kind=kind, complaint=symptom)
    number = st.selectbox(
        "Past job", jobs["job_id"].tolist(), key="past", bind="query-params", disabled=jobs.empty
    )
    job = read_job(lambda name: page.rows(name, job_id=number)) if number else None
    if job is None:
        st.info("No job of this complaint with a reading is in this filter.")
        st.stop()
    return job


def usable_readings(job: Job, chain: Chain) -> pd.DataFrame:
    """Return the first reading at each test of the chain that is inside or outside limits."""
    judged = job.readings["zone"].isin(["inside", "outside"])
    known = job.readings["test_point"].isin(chain.names)
    return job.readings[judged & known].drop_duplicates("test_point")


def verdicts_of_past_job(job: Job, page: Page, chain: Chain, kind: str) -> list[Verdict]:
    """Let the reader choose how far the job had come; show what was known, and what came next."""
    usable = usable_readings(job, chain)
    if usable.empty:
        st.info("No reading of this job is inside or outside limits at a test of this chain.")
        st.stop()
    done = st.slider("After how many readings", 0, len(usable), 1, key="after")
    st.subheader("What they knew")
    for row in each_row(usable.head(done)):
        st.markdown(f"{row.seq}. {verbatim(reading_words(row, page.labels))}")
    if not done:
        st.markdown("Nothing measured yet: only what this complaint usually is.")
    with st.expander("What they did next, and what it was"):
        for row in each_row(usable.iloc[done:].head(1)):
            st.markdown(f"Next they made: {verbatim(reading_words(row, page.labels))}")
        final = job.facts.final_cause
        st.markdown(
            "The cause was never recorded."
            if words.is_missing(final)
            else f"It turned out as **{page.labels.of('cause', final, kind)}**."
        )
        st.page_link("views/job.py", label="The whole job", query_params={"job": job.facts.job_id})
    return [Verdict(row.test_point, row.zone == "outside") for row in each_row(usable.head(done))]


def verdicts_of_own(page: Page, chain: Chain) -> list[Verdict]:
    """Let the reader say which tests read outside and which inside limits."""
    outside = st.multiselect(
        "Read outside limits",
        chain.names,
        format_func=lambda each: point_name(each, page),
        key="outside",
        bind="query-params",
    )
    inside = st.multiselect(
        "Read inside limits",
        [name for name in chain.names if name not in outside],
        format_func=lambda each: point_name(each, page),
        key="inside",
        bind="query-params",
    )
    st.caption("The page “One reading” says whether a value lies inside its limits.")
    return [Verdict(name, True) for name in outside] + [Verdict(name, False) for name in inside]


def point_name(point: str, page: Page) -> str:
    """Write a test."""
    return page.labels.of("test_point", point)


if __name__ == "__main__":
    shell.show(draw)
