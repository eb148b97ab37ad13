"""Records: what was loaded, what became of every row, and what the records can support."""

from functools import partial

import streamlit as st

from dashboard.database import query as data
from dashboard.errors import UserError
from dashboard.settings.file import for_load
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import page
from etl.load import accept_words
from etl.mapping.accepted_words import AcceptedWord, known_ids
from etl.quarantine import to_mend, waiting_sources

TITLE = "What was loaded?"
ACCOUNT = {
    "load_no": st.column_config.NumberColumn("Load"),
    "file": st.column_config.TextColumn("File", width="medium"),
    "sheet": st.column_config.TextColumn("Sheet"),
    "table_name": st.column_config.TextColumn("Holds"),
    "mapping": st.column_config.TextColumn("Mapping"),
    "read": st.column_config.NumberColumn("Rows read"),
    "loaded": st.column_config.NumberColumn("Loaded"),
    "duplicate": st.column_config.NumberColumn("Duplicate"),
    "superseded": st.column_config.NumberColumn("Superseded"),
    "quarantined": st.column_config.NumberColumn("In quarantine"),
    "unmapped": st.column_config.TextColumn("Columns not used"),
}

this = page.begin(TITLE)
accounts = this.rows("accounts")
read, quarantined = int(accounts["read"].sum()), int(accounts["quarantined"].sum())
st.markdown(
    f"**{read:,} rows of {words.counted(accounts['file'].nunique(), 'file')} were read; "
    f"{quarantined:,} wait in quarantine.** Each row is counted once: "
    "read = loaded + duplicate + superseded + quarantined."
)
page.table(accounts, ACCOUNT)
page.download(accounts, "account")

st.subheader("What these records can support")
needs = this.rows("support")
page.table(
    needs,
    {
        "question": st.column_config.TextColumn("Question", width="large"),
        "needs": st.column_config.TextColumn("Needs", width="medium"),
        "jobs_with": st.column_config.NumberColumn("Closed jobs that have it"),
        "jobs": st.column_config.NumberColumn("of"),
        "verdict": st.column_config.TextColumn("So"),
    },
)

st.subheader("Why rows wait in quarantine")
reasons = this.rows("quarantine_reasons")
if reasons.empty:
    st.caption("Nothing waits.")
else:
    page.table(
        reasons,
        {
            "table_name": st.column_config.TextColumn("Table"),
            "title": st.column_config.TextColumn("Reason", width="medium"),
            "field": st.column_config.TextColumn("Field"),
            "rows": st.column_config.NumberColumn("Rows"),
            "remedy": st.column_config.TextColumn("What to do", width="large"),
        },
    )

st.subheader("Words that are not understood")
unknown = this.rows("unknown_words")
if unknown.empty:
    st.caption("Every word was understood.")
else:
    st.caption(
        "The rows are loaded with the field empty (a complaint becomes “unspecified”); an unknown "
        "appliance or ending keeps its row in quarantine. A meaning given here counts for all that "
        "was ever loaded."
    )
    page.table(
        unknown,
        {
            "field": st.column_config.TextColumn("Field"),
            "appliance_kind": st.column_config.TextColumn("Appliance"),
            "text": st.column_config.TextColumn("They wrote", width="large"),
            "rows": st.column_config.NumberColumn("Rows"),
            "suggestion": st.column_config.TextColumn("Closest known word"),
        },
    )
    place = st.selectbox(
        "Word",
        range(len(unknown)),
        format_func=lambda i: (
            f"{unknown['text'].iloc[i]} ({unknown['field'].iloc[i]}, "
            f"{words.counted(int(unknown['rows'].iloc[i]), 'row')})"
        ),
        key="unknown_word",
    )
    row = unknown.iloc[place]
    ids = sorted(known_ids(row["field"]))
    suggestion = row["suggestion"]
    meaning = st.selectbox(
        "means",
        ids,
        index=ids.index(suggestion) if suggestion in ids else None,
        format_func=lambda id_: this.labels.of(row["field"], id_, row["appliance_kind"]),
        key=f"meaning_{place}",
    )
    if st.button("Accept", disabled=meaning is None):
        accepted = AcceptedWord(row["mapping"], row["field"], row["text"], meaning)
        try:
            accept_words(page.folder(), [accepted], for_load(this.settings))
        except UserError as problem:
            st.error(verbatim(problem))
        else:
            st.rerun()

st.subheader("Rows to mend")
ask = partial(data.records, page.folder())
waiting = waiting_sources(ask) if quarantined else []
if waiting:
    st.caption(
        "Mend them in a spreadsheet and add the file again: a mended row takes the place of the "
        "one that waits. Customers and serials stand in them as keys."
    )
for source in waiting:
    page.offer(
        f"{verbatim(source.file_name)} ({words.counted(source.count, 'row')})",
        partial(to_mend, ask, source),
        source.file_name,
        "text/csv",
        key=f"mend_{source.file_name}",
    )
