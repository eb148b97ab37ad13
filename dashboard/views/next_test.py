"""Next test: after given readings of a past job, how likely is each cause, what to test next?"""

import pandas as pd
import streamlit as st

from dashboard import charts_diagnosis, page, words
from dashboard.chains import build_chain, chain_rows
from dashboard.complaint_choice import choose_complaint
from dashboard.explain import read_job, reading_words
from dashboard.stats.next_test import Verdict, next_tests, posterior

this = page.begin("Given what was measured, what next?")
table = this.measure("test_order")
if table.empty:
    st.info(
        "Cannot be said from these records: no reading of a complaint whose tests the register "
        "knows is in this filter."
    )
    st.stop()
counts = table.groupby(["appliance_kind", "symptom"])["jobs"].first()
kind, symptom = choose_complaint(counts, this.labels)
one = table[(table["appliance_kind"] == kind) & (table["symptom"] == symptom)]
rows = chain_rows(one, lambda name: this.rows(name.removeprefix("pages/")))[kind, symptom]
chain = build_chain(rows)

jobs = this.rows("chain_jobs", kind=kind, complaint=symptom)
number = st.selectbox(
    "Past job",
    jobs["job_id"].tolist(),
    key="past",
    bind="query-params",
)
if number is None:
    st.info("No job of this complaint with a reading is in this filter.")
    st.stop()
job = read_job(lambda name: this.rows(name, job_id=number))
usable = job.readings[
    job.readings["test_point"].isin(chain.names) & job.readings["zone"].isin(["inside", "outside"])
].drop_duplicates("test_point")
if usable.empty:
    st.info("No reading of this job is inside or outside limits at a test of this chain.")
    st.stop()
done = st.slider("After how many readings", 0, len(usable), min(1, len(usable)), key="after")
taken = usable.head(done)
verdicts = [Verdict(row.test_point, row.zone == "outside") for row in taken.itertuples()]

left, right = st.columns(2)
with left:
    st.subheader("What they knew")
    for row in taken.itertuples():
        st.markdown(f"{row.seq}. {reading_words(row, this.labels)}")
    if not verdicts:
        st.markdown("Nothing measured yet: only what this complaint usually is.")
    later = usable.iloc[done:].head(1)
    final = job.facts.final_cause
    with st.expander("What they did next, and what it was"):
        for row in later.itertuples():
            st.markdown(f"Next they made: {reading_words(row, this.labels)}")
        if words.is_missing(final):
            st.markdown("The cause was never recorded.")
        else:
            st.markdown(f"It turned out as **{this.labels.of('cause', final, kind)}**.")
        st.page_link("views/job.py", label="The whole job", query_params={"job": number})
with right:
    st.subheader("The best next test")
    offered = next_tests(chain, verdicts)
    for place, each in enumerate(offered[:5], start=1):
        name = this.labels.of("test_point", each.test)
        told = (
            f"{each.minutes_to_go:.0f} expected minutes to go, outside limits in "
            f"{words.percent(each.outside_chance)}"
        )
        st.markdown(f"{place}. **{name}**: {told}" if place == 1 else f"{place}. {name}: {told}")
    if not offered:
        st.markdown("No test of this chain is left.")

st.subheader("How likely is each cause?")
before, after = chain.mix, posterior(chain, verdicts)
likely = pd.DataFrame(
    {
        "cause": list(after),
        "label": [this.labels.of("cause", cause, kind) for cause in after],
        "before": [before[cause] for cause in after],
        "after": list(after.values()),
    }
).sort_values(["after", "cause"], ascending=[False, True])
likely["is_final"] = False
page.chart(
    charts_diagnosis.posterior(likely.head(12)),
    alt="; ".join(
        f"{r.label}: {words.percent(r.after)} (before {words.percent(r.before)})"
        for r in likely.head(6).itertuples()
    ),
    key="posterior",
)
st.caption(
    f"Cause mix: {words.counted(rows.mix.n, 'own job')} blended with the register's general "
    "weights; how often a cause makes a test read outside is the register's judgement. Readings "
    "are taken as independent given the cause, doubtful ones are left out. A reading makes causes "
    "more or less likely, it strikes none out."
)
page.show_cautions("one_reading", "live", "lock_out", "local_law", "records")
