"""From complaint to diagnosis: tests in order, each reading weighed against what is known."""

from dataclasses import dataclass
from random import Random

from sample_data import trade
from sample_data.meter import Shown, reading
from sample_data.shop import (
    GUESS_SHARE,
    GUESSED_COMPONENT,
    GUESSING_TECHNICIAN,
    NEVER_MADE,
    POOR_ORDER,
    Technician,
)

ENOUGH = 0.9


@dataclass(frozen=True)
class Finding:
    """The diagnosis with the tests made, in order: (test point, value as written, minutes).

    `rival` is the next likely cause of another component where the readings left it close.
    """

    cause: str
    tests: list[tuple[str, Shown, float]]
    is_guess: bool = False
    rival: str = ""


def order_of_tests(kind: str, symptom: str, plants: frozenset[str]) -> list[dict[str, str]]:
    """Return the shop's usual order; the planted poor order opens the machine first."""
    never = NEVER_MADE.get((kind, symptom), ())
    chain = trade.chains().get((kind, symptom), [])
    tests = [test for test in chain if test["test_point"] not in never]
    if "poor_order" in plants and (kind, symptom) == POOR_ORDER:
        return sorted(tests, key=lambda test: -float(test["reach_min"]) - float(test["test_min"]))
    return tests


def diagnose(
    rng: Random,
    kind: str,
    symptom: str,
    true_cause: str,
    person: Technician,
    plants: frozenset[str],
) -> Finding:
    """Make tests until one cause is likely enough, or name the cause that the person expects."""
    weights = dict(trade.priors()[kind, symptom])
    weights.setdefault(true_cause, 0.05)  # a return called by another word of its family
    guessed = _guess(rng, kind, weights, person, plants)
    tests: list[tuple[str, Shown, float]] = []
    for test in order_of_tests(kind, symptom, plants):
        if rng.random() > 0.95:
            continue
        _make_test(rng, kind, symptom, true_cause, test, person, plants, weights, tests)
        if max(weights.values()) > ENOUGH * sum(weights.values()):
            break
        if guessed and len(tests) >= 2:
            return Finding(guessed, tests, is_guess=True)
    cause = guessed or _concluded(rng, weights, person)
    return Finding(cause, tests, guessed is not None, _rival(kind, weights, cause))


def _guess(
    rng: Random, kind: str, weights: dict[str, float], person: Technician, plants: frozenset[str]
) -> str | None:
    if "guessing_technician" not in plants or person.name != GUESSING_TECHNICIAN:
        return None
    boards = [c for c in weights if trade.causes()[kind, c]["component"] == GUESSED_COMPONENT]
    return boards[0] if boards and rng.random() < GUESS_SHARE else None


def _make_test(
    rng: Random,
    kind: str,
    symptom: str,
    true_cause: str,
    test: dict[str, str],
    person: Technician,
    plants: frozenset[str],
    weights: dict[str, float],
    tests: list[tuple[str, Shown, float]],
) -> None:
    """Draw one reading and weigh every cause by how likely it makes that reading."""
    point = test["test_point"]
    chance, seen = trade.matrix().get((kind, symptom, true_cause, point), (0.03, ""))
    is_outside = rng.random() < chance
    minutes = float(test["test_min"]) * rng.lognormvariate(0, 0.25) * person.pace
    tests.append(
        (point, reading(rng, kind, point, is_outside, seen, person, plants), round(minutes, 1))
    )
    for cause in weights:
        p_out, _ = trade.matrix().get((kind, symptom, cause, point), (0.03, ""))
        p_out = min(max(p_out, 0.01), 0.99)
        weights[cause] *= p_out if is_outside else 1 - p_out


def _rival(kind: str, weights: dict[str, float], cause: str) -> str:
    """Return the likeliest cause of another component that is left close to this one, or none."""
    causes = trade.causes()
    part = causes[kind, cause]["component"]
    others = [each for each in weights if causes[kind, each]["component"] != part]
    rival = max(sorted(others), key=lambda each: weights[each], default="")
    return rival if rival and weights[cause] <= 5 * weights[rival] else ""


def _concluded(rng: Random, weights: dict[str, float], person: Technician) -> str:
    """Take the likeliest cause; where two are close the less skilled sometimes take the second."""
    ranked = sorted(weights, key=lambda cause: (-weights[cause], cause))
    first, second = ranked[0], ranked[min(1, len(ranked) - 1)]
    is_clear = weights[first] > 5 * weights[second]
    return first if rng.random() < (0.98 if is_clear else person.skill) else second
