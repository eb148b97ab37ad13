"""The menu: sections, pages and their titles, and addresses of the release before."""

SECTIONS = {
    "The owner": {
        "month": "The month",
        "first_time_fix": "First-time fix",
        "callbacks": "Callbacks",
        "month_signals": "Is this month different?",
        "repeat_visits": "Repeat visits",
    },
    "Lead technician": {
        "misdiagnosis": "Misdiagnosis",
        "mix_ups": "Mix-ups",
        "root_cause_mix": "Root causes",
        "order_of_tests": "Order of tests",
        "power_of_tests": "Power of tests",
        "what_to_test_next": "Next test",
        "job": "One job",
    },
    "Readings": {
        "reading_distribution": "Readings",
        "one_reading": "One reading",
        "limit_review": "Limit review",
        "meter_check": "Meter check",
    },
    "Prices and parts": {
        "flat_rate": "Flat rates",
        "one_repair": "One repair",
        "van_stock": "Van stock",
    },
    "Records": {
        "records": "What was loaded",
        "add_records": "Add records",
        "settings": "Settings",
    },
}
# Addresses of the release before, open until the next one. The first page itself has the address
# "/"; "/month" leads to it, too.
OLD_ADDRESSES = {
    "calculator": "one_reading",
    "confusion": "mix_ups",
    "month": "month",
    "next_test": "what_to_test_next",
    "test_order": "order_of_tests",
    "test_power": "power_of_tests",
}
TITLES = {name: title for section in SECTIONS.values() for name, title in section.items()}
