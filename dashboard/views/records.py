"""Records: what was loaded, what became of every row, and what the records can support."""

import streamlit as st

from dashboard import page, words

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
        "The rows are loaded; their field stays empty (a complaint becomes “unspecified”) until "
        "the word gets a meaning under [words] in the mapping."
    )
    page.table(
        unknown,
        {
            "field": st.column_config.TextColumn("Field"),
            "appliance_kind": st.column_config.TextColumn("Appliance"),
            "text": st.column_config.TextColumn("They wrote", width="large"),
            "rows": st.column_config.NumberColumn("Rows"),
        },
    )
