"""Words understood in a load: complaints, causes, kinds and ends of jobs of foreign shops."""

import time
from pathlib import Path

import duckdb

from etl.folder import publish
from etl.words.understand import meaning
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind     | fuel | symptom                        | root_cause              | disposition
1      | 2026-01-05 | 2026-01-06 | Kühl-Gefrierkombi  |      | Gefrierfach kalt, Kühlteil warm| Abtauheizung defekt     | erledigt
2      | 2026-01-05 | 2026-01-06 | lave-linge         |      | ne vidange pas                 | pompe bouchée           | réparé
3      | 2026-01-05 | 2026-01-06 | wm                 |      | no noise, just a burning smell | belt and motor          | paid
4      | 2026-01-05 | 2026-01-06 | dishwasher         |      | standing water in tub          | glass in drain pump     | not worth fixing
5      | 2026-01-05 | 2026-01-06 | tumbledryer        | gas  | no burning smell, just no heat | open igniter            | invoiced
6      | 2026-01-05 |            | Waschmaschine      |      | no leak                        |                         | awaiting parts
"""
VISITS = """
job_id | visit_no | technician | outcome
1      | 1        | T1         | Kunde nicht angetroffen
1      | 2        | T1         | Reparatur abgeschlossen
"""


def test_a_load_understands_words_of_three_languages(tmp_path: Path) -> None:
    folder = shop(tmp_path, jobs=JOBS, visits=VISITS)
    with duckdb.connect(str(publish.current(folder)), read_only=True) as connection:
        jobs = connection.execute(
            "SELECT appliance_kind, symptom, root_cause, disposition FROM core.jobs ORDER BY job_id"
        ).fetchall()
        outcomes = connection.execute("SELECT outcome FROM core.visits ORDER BY visit_no")
        assert outcomes.fetchall() == [("no_access",), ("completed",)]
    assert jobs == [
        ("refrigerator", "warm_fresh_food", "defrost_heater_open", "repaired"),
        ("washer", "wont_drain", "drain_pump_blocked", "repaired"),
        ("washer", "burning_smell", None, "repaired"),
        ("dishwasher", "wont_drain", "drain_pump_blocked", "beyond_repair"),
        ("dryer_gas", "no_heat", "igniter_open", "repaired"),
        ("washer", "unspecified", None, "open"),
    ]


def test_a_hundred_thousand_texts_take_less_than_a_minute() -> None:
    texts = [
        f"no heat {number}, drum turns, customer says since yesterday" for number in range(2000)
    ]
    started = time.process_time()
    assert {meaning("symptom", "dryer_gas", text) for text in texts} == {"no_heat"}
    assert (time.process_time() - started) * 50 < 60
