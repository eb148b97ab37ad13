"""Shops whose technicians are right in a known share of jobs, with readings unlike the register's.

Each p of an outside reading is moved on the logit scale by N(0, 0.7), once for the shop. A quarter of
the jobs are done without a test, and are wrong twice as often as the others.
"""

import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from unittest.mock import patch

import pandas as pd
from scipy.special import expit, logit

from etl.load import load
from sample_data import jobs as simulation
from sample_data import trade
from sample_data.diagnosis import ENOUGH, Finding
from sample_data.meter import reading
from sample_data.worksheet import Shop, Worksheet
from tests.bench.innocents import write

MOVED, UNTESTED, TIMES_AS_WRONG, MADE = 0.7, 0.25, 2.0, 0.95
SOUND = 0.03  # chance that a test reads outside which the register does not link with the cause


@dataclass
class Diagnoser:
    """Diagnoses in place of the simulation's own; `wrong` holds the truth by job number."""

    rng: Random
    right: float
    moved: dict[tuple[str, str, str, str], float] = field(default_factory=dict)
    wrong: dict[str, bool] = field(default_factory=dict)

    def __call__(self, sheet: Worksheet) -> Finding:
        """Return the diagnosis of a job, with its readings, and note whether it is wrong."""
        call, kind = sheet.call, sheet.call.unit.kind
        weights = dict(trade.priors()[kind, call.symptom])
        is_untested = self.rng.random() < UNTESTED
        tests = [] if is_untested else self._tests(sheet, weights)
        usual = (1 - self.right) / (1 + UNTESTED * (TIMES_AS_WRONG - 1))
        part = trade.causes()[kind, call.true_cause]["component"]
        others = {
            cause: weight
            for cause, weight in weights.items()
            if trade.causes()[kind, cause]["component"] not in (part, "none")
        }
        is_wrong = self.rng.random() < usual * (TIMES_AS_WRONG if is_untested else 1)
        self.wrong[sheet.job_id] = is_wrong and bool(others)
        if not self.wrong[sheet.job_id]:
            return Finding(call.true_cause, tests)
        return Finding(self.rng.choices(list(others), list(others.values()))[0], tests)

    def _tests(self, sheet: Worksheet, weights: dict[str, float]) -> list[tuple]:
        """Make tests in the usual order until a cause is likely enough by the register."""
        kind, symptom, true = sheet.call.unit.kind, sheet.call.symptom, sheet.call.true_cause
        made: list[tuple] = []
        for test in trade.chains().get((kind, symptom), []):
            if self.rng.random() > MADE:
                continue
            point = test["test_point"]
            is_outside = self.rng.random() < self._moved(kind, symptom, true, point)
            seen = trade.matrix().get((kind, symptom, true, point), (SOUND, ""))[1]
            shown = reading(self.rng, kind, point, is_outside, seen, sheet.person, frozenset())
            made.append((point, shown, float(test["test_min"])))
            for cause in weights:
                p = trade.matrix().get((kind, symptom, cause, point), (SOUND, ""))[0]
                p = min(max(p, 0.01), 0.99)
                weights[cause] *= p if is_outside else 1 - p
            if max(weights.values()) > ENOUGH * sum(weights.values()):
                break
        return made

    def _moved(self, *key: str) -> float:
        """Return this shop's own chance of an outside reading."""
        if key not in self.moved:
            p = min(max(trade.matrix().get(key, (SOUND, ""))[0], 0.01), 0.99)
            self.moved[key] = float(expit(logit(p) + self.rng.gauss(0, MOVED)))
        return self.moved[key]


def drawn_shop(seed: int, jobs: int, right: float) -> tuple[Shop, dict[str, bool]]:
    """Simulate a shop without planted findings; return it and which diagnoses were wrong."""
    diagnoser = Diagnoser(Random(seed), right)
    with patch.object(simulation, "_diagnosis", diagnoser):
        shop = simulation.simulate(seed, jobs, frozenset())
    return shop, diagnoser.wrong


def loaded(shop: Shop, folder: Path) -> Path:
    """Load a shop's records; return the database folder."""
    with tempfile.TemporaryDirectory() as scratch:
        load(write(shop, Path(scratch)), folder)
    return folder


def truth_of(shop: Shop) -> pd.DataFrame:
    """Return the shop's truth, a row for each job."""
    return pd.DataFrame(shop.truth)
