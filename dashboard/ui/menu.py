"""The menu: sections, pages, the tabs of a page, and addresses of the release before.

A page's title, its name in the menu and its address are the same words. Tabs are pages of their own
in one row of links under the title; only the first of them is in the menu.
"""

SECTIONS = {
    "Owner": {
        "month": "The month",
        "first_time_fix": "First-time fix",
        "callbacks": "Callbacks",
        "repeat_visits": "Return trips",
    },
    "Lead technician": {
        "misdiagnosis": "Misdiagnosis",
        "root_cause_mix": "Root causes",
        "complaint_sheet": "Complaint sheet",
        "order_of_tests": "Order of tests",
    },
    "Readings": {
        "reading_distribution": "Readings",
        "meter_check": "Meter check",
    },
    "Prices and parts": {
        "flat_rate": "Flat rates",
        "van_stock": "Van stock",
    },
    "Records": {
        "records": "What was loaded",
        "add_records": "Add records",
        "settings": "Settings",
    },
}
TABS = {  # page in the menu → the pages that share its row of tabs
    "month": {"changes": "Changes and targets", "season": "Season"},
    "callbacks": {"parts_credit": "Parts credit"},
    "misdiagnosis": {"mix_ups": "Mix-ups", "technician_card": "Technician's card"},
    "root_cause_mix": {"no_fault_found": "No fault found"},
    "complaint_sheet": {"what_to_test_next": "What to test next"},
    "order_of_tests": {"power_of_tests": "How reliable is each test?"},
    "reading_distribution": {"one_reading": "One reading", "limit_review": "Limit review"},
    "flat_rate": {
        "price_list": "Price list",
        "one_repair": "One repair",
        "profit_per_hour": "Profit per hour",
    },
    "records": {
        "recording": "What we don't write down",
        "how_far_to_trust": "How far to trust this",
    },
}
BY_LINK = {"job": "One job", "jobs": "Jobs"}  # opened from a list or by its number
WITHOUT_FILTERS = {"job", "one_reading", "records", "add_records", "settings"}
# Addresses of the release before, open until the next one. The first page itself has the address
# "/"; "/month" leads to it, too.
OLD_ADDRESSES = {
    "calculator": "one_reading",
    "confusion": "mix_ups",
    "month": "month",
    "month_signals": "month",
    "next_test": "what_to_test_next",
    "test_order": "order_of_tests",
    "test_power": "power_of_tests",
}
IN_MENU = {name: title for section in SECTIONS.values() for name, title in section.items()}
TITLES = IN_MENU | {name: title for tabs in TABS.values() for name, title in tabs.items()} | BY_LINK


def home_of(name: str) -> str:
    """Return the page of the menu to which a page belongs: itself, or the first of its tabs."""
    return next((home for home, tabs in TABS.items() if name in tabs), name)


def section_of(name: str) -> str | None:
    """Return the section of the menu that holds a page; None for a page opened by link only."""
    home = home_of(name)
    return next((section for section, pages in SECTIONS.items() if home in pages), None)


def row_of_tabs(name: str) -> list[str]:
    """Return the pages of the row of tabs that a page is in, itself among them; or nothing."""
    home = home_of(name)
    return [home, *TABS[home]] if home in TABS else []
