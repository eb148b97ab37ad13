"""The roles, and the pages that each of them opens."""

OWNER, LEAD, PRICING, TECHNICIAN = "owner", "lead", "pricing", "technician"

PAGES = {
    "month": {OWNER, LEAD},
    "first_time_fix": {OWNER, LEAD, PRICING, TECHNICIAN},
    "callbacks": {OWNER, LEAD, PRICING, TECHNICIAN},
    "repeat_visits": {OWNER, LEAD, PRICING, TECHNICIAN},
    "misdiagnosis": {OWNER, LEAD, TECHNICIAN},
    "mix_ups": {OWNER, LEAD, TECHNICIAN},
    "root_cause_mix": {OWNER, LEAD, PRICING, TECHNICIAN},
    "complaint_sheet": {OWNER, LEAD, TECHNICIAN},
    "order_of_tests": {OWNER, LEAD, TECHNICIAN},
    "power_of_tests": {OWNER, LEAD},
    "what_to_test_next": {OWNER, LEAD, TECHNICIAN},
    "jobs": {OWNER, LEAD, PRICING, TECHNICIAN},
    "job": {OWNER, LEAD, PRICING, TECHNICIAN},
    "reading_distribution": {OWNER, LEAD, TECHNICIAN},
    "one_reading": {OWNER, LEAD, TECHNICIAN},
    "limit_review": {OWNER, LEAD},
    "meter_check": {OWNER, LEAD},
    "flat_rate": {OWNER, LEAD, PRICING},
    "one_repair": {OWNER, LEAD, PRICING},
    "van_stock": {OWNER, LEAD, PRICING},
    "records": {OWNER, LEAD},
    "how_far_to_trust": {OWNER, LEAD},
    "add_records": {OWNER, LEAD},
    "settings": {OWNER},
}
