"""Which role may run which query and open which page."""

from dashboard.access.page_roles import TECHNICIAN
from dashboard.access.reader import Reader, Refused

# queries that do not carry the name of the one page that shows them; those of no page are common
SHOWN_ON = {
    "measures/month_review": "month",
    "measures/month_reasons": "month",
    "measures/month_signals": "first_time_fix",
    "measures/callback_curve": "callbacks",
    "measures/early_parts": "callbacks",
    "measures/model_groups": "price_list",
    "pages/parts_costs": "price_list",
    "pages/no_fault_jobs": "no_fault_found",
    "pages/no_fault_tests": "no_fault_found",
    "pages/season_jobs": "season",
    "measures/change_effect": "misdiagnosis",  # the trend of the technician's own card, too
    "pages/card_parts": "technician_card",
    "pages/change_jobs": "changes",
    "measures/recording": "misdiagnosis",  # a part of the technician's own card, too
    "pages/month_jobs": "month",
    "pages/jobs_not_fixed": "month",
    "pages/diagnosis_jobs": "misdiagnosis",
    "pages/diagnosis_parts": "misdiagnosis",
    "pages/diagnosis_strata": "misdiagnosis",
    "pages/habits": "misdiagnosis",
    "pages/pattern_parts": "misdiagnosis",
    "pages/limit_readings": "limit_review",
    "pages/mix_up_jobs": "mix_ups",
    "pages/test_jobs": "order_of_tests",
    "pages/diagnoses": "flat_rate",
    "pages/sheet_causes": "complaint_sheet",
    "pages/sheet_choices": "complaint_sheet",
    "pages/sheet_jobs": "complaint_sheet",
    "pages/sheet_last_jobs": "complaint_sheet",
    "pages/sheet_minutes": "complaint_sheet",
    "pages/sheet_parts": "complaint_sheet",
    "pages/sheet_repairs": "complaint_sheet",
    "pages/accounts": "records",
    "pages/support": "records",
    "pages/quarantine_reasons": "records",
    "pages/unknown_words": "records",
    "pages/joined_names": "records",
    "pages/written_names": "records",
}
# what a technician may query although it cannot be narrowed to his own jobs: it is about no person
WITHOUT_NAMES = {
    "pages/labels",
    "pages/choices",
    "pages/dataset",
    "pages/chain_access",
    "pages/chain_before_closing",
    "pages/chain_limits",
    "pages/chain_matrix",
    "pages/chain_tests",
    "pages/judged_reading",
    "pages/joined_spellings",
    "pages/limits",
    "pages/meters",
    "pages/outcomes_by_kind",
    "pages/part_outcomes",
    "pages/sheet_causes",
    "pages/sheet_choices",
    "pages/sheet_jobs",
    "pages/sheet_minutes",
    "pages/sheet_parts",
    "pages/sheet_repairs",
}
JOB_NUMBERS = {"job_id", "first_job", "second_job"}


def check_page(reader: Reader, page: str) -> None:
    """Raise Refused unless the reader opens this page."""
    if not reader.opens(page):
        raise Refused(f"The role {reader.role} does not open this page. Ask the owner of the shop.")


def check_query(reader: Reader, name: str, parameters: set[str] | frozenset[str]) -> None:
    """Raise Refused unless the reader may run this query, which takes these parameters."""
    folder, _, stem = name.partition("/")
    page = {"measures": stem, "load_report": "records"}.get(folder)
    page = SHOWN_ON.get(name, page)
    if page is not None:
        check_page(reader, page)
    is_own = TECHNICIAN in parameters or parameters & JOB_NUMBERS or name in WITHOUT_NAMES
    if reader.role == TECHNICIAN and not is_own:
        raise Refused("This figure cannot be shown for one technician. Ask the owner of the shop.")
