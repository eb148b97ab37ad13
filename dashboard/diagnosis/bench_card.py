"""A proposed order → the bench card: words, limits and cautions put together."""

from collections.abc import Mapping, Sequence
from typing import cast

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.diagnosis.bench_card_html import Card, CardLine, CardTest, card_lines
from dashboard.diagnosis.chain_rows import ChainRows, ordered_tests
from dashboard.diagnosis.chains import SPEAKS_FROM
from dashboard.diagnosis.order_rules import first_checks, is_live, needed_before
from dashboard.rows import Row, each_row
from dashboard.stats.sequencing.exact import Step
from dashboard.text.cautions import of_hazards, of_kind
from dashboard.text.format import capitalized, counted
from dashboard.text.limits import should_read

LOOKS = ("observation", "temperature", "temperature difference")
REMARKS = ("one_reading", "limits", "local_law", "records")


def card_tests(rows: ChainRows, steps: Sequence[Step], labels: Labels) -> list[CardTest]:
    """Return the steps of an order with their words and hazards."""
    tests, limits = rows.tests.set_index("test_point"), rows.limits.set_index("test_point")
    access = rows.access.set_index("access_level")
    # one teardown tree serves both fuels: an electric dryer has no burner behind its lower panel
    absent = set() if "gas" in of_kind(rows.tests["appliance_kind"].iloc[0]) else {"gas"}
    result = []
    for step in steps:
        row: Row = tests.loc[step.test]
        opened = [node for node in step.opened if node != "none"]
        result.append(
            CardTest(
                labels.of("test_point", step.test),
                should_read(limits.loc[step.test]),
                float(row.test_min),
                tuple(_opening(cast(Row, access.loc[node])) for node in opened),
                _hazards(*(access.loc[node].hazards for node in opened)) - absent,
                _hazards(row.hazards) - absent,
                is_live(row.hazards),
                bool(row.is_energised),
                row.access_level == "none" and row.quantity == "observation",
            )
        )
    return result


def all_steps(rows: ChainRows, steps: Sequence[Step]) -> tuple[list[Step], list[Step]]:
    """Return every test as a technician walks it, and those left for when nothing was found.

    First what needs nothing opened, free looks before live checks, as the register orders them;
    then the steps of the order of minutes, looks first where a cover comes off; then what
    only narrows, in the register's order.
    """
    first = _in_front(rows)
    later = [step.test for step in with_looks(rows, steps) if step.test not in first]
    walked = _after_their_needs(rows, list(dict.fromkeys([*first, *later])))
    tests = ordered_tests(rows).sort_values("register_position")["test_point"]
    opened: set[str] = set()
    left = [test for test in tests if test not in walked and _narrows(rows, test)]
    return _opening_once(rows, walked, opened), _opening_once(rows, left, opened)


def _in_front(rows: ChainRows) -> list[str]:
    """Return the first checks and every look that needs nothing opened, live checks last."""
    tests = ordered_tests(rows).sort_values("register_position")
    live = tests["hazards"].map(is_live)
    is_front = tests["test_point"].isin([*first_checks(rows), *_free_looks(tests)["test_point"]])
    waiting = {later for _, later in needed_before(rows)}
    is_front &= ~tests["test_point"].isin(waiting)
    names = tests["test_point"]
    return [*names[is_front & ~live], *names[is_front & live]]


def _after_their_needs(rows: ChainRows, names: list[str]) -> list[str]:
    """Return the tests with each free look that needs others right after the last of those."""
    free = _free_looks(ordered_tests(rows))["test_point"]
    for look in [test for test in free if test not in names]:
        places = [names.index(a) for a, b in needed_before(rows) if b == look and a in names]
        if places:
            names.insert(max(places) + 1, look)
    return names


def _free_looks(tests: pd.DataFrame) -> pd.DataFrame:
    """Return the looks at the closed machine that expose nothing live."""
    is_free = (tests["access_level"] == "none") & tests["quantity"].isin(LOOKS)
    return tests[is_free & ~tests["hazards"].map(is_live)]


def _narrows(rows: ChainRows, test: str) -> bool:
    """Return True if some cause shows in a test: one that reads alike for all leads nowhere."""
    of_test = rows.matrix[rows.matrix["test_point"] == test]
    return bool((of_test["outside"].astype(float) > SPEAKS_FROM).any())


def _opening_once(rows: ChainRows, names: Sequence[str], opened: set[str]) -> list[Step]:
    """Return tests as steps, each opening what is not yet open; adds to `opened`."""
    tests = rows.tests.set_index("test_point")
    parents = dict(zip(rows.access["access_level"], rows.access["parent"], strict=True))
    result = []
    for name in names:
        path, node = [], tests.loc[name].access_level
        while isinstance(node, str):
            path.append(node)
            node = parents.get(node)
        new = tuple(each for each in reversed(path) if each not in opened)
        opened |= set(new)
        result.append(Step(name, new, float(cast(Row, tests.loc[name]).test_min), 1.0, 0.0))
    return result


def with_looks(rows: ChainRows, steps: Sequence[Step]) -> list[Step]:
    """Return the steps with the looks that only narrow put first where their cover comes off.

    A look or a temperature settles no part, so it is in no order of minutes; once the cover is off
    it is made before any meter reading there, as frost is read before the heater.
    """
    made = {step.test for step in steps}
    looks = rows.tests[rows.tests["quantity"].isin(LOOKS)].sort_values("register_position")
    is_touched = looks["hazards"].map(is_live) & (looks["quantity"] != "observation")
    looks = looks[~looks["test_point"].isin(made) & ~is_touched]
    result: list[Step] = []
    for step in steps:
        here = looks[looks["access_level"].isin(set(step.opened) - {"none"})]
        result += [
            Step(look.test_point, (), float(look.test_min), step.chance_reached, 0.0)
            for look in each_row(here)
        ]
        result.append(step)
    return result


def _opening(node: Row) -> str:
    return f"Open: {node.label} ({node.open_min:.0f} min, {node.close_min:.0f} to close)"


def _hazards(*cells: object) -> frozenset[str]:
    return frozenset(of_hazards(cells))


def bench_card(
    rows: ChainRows,
    steps: Sequence[Step],
    closing: pd.DataFrame,
    labels: Labels,
    cautions: Mapping[str, tuple[str, str]],
) -> Card:
    """Return the card of an order; `closing`: checks before closing, `cautions`: level and text."""
    kind, symptom = rows.tests["appliance_kind"].iloc[0], rows.tests["symptom"].iloc[0]
    walked, left = all_steps(rows, steps)
    tests = card_tests(rows, [*walked, *left], labels)
    lines = [
        CardLine(*cautions[line.text]) if line.kind == "caution" else line
        for line in card_lines(tests, len(walked))
    ]
    first = [CardLine(*cautions[name]) for name in of_kind(kind)]
    jobs = int(rows.causes["jobs"].sum())
    return Card(
        capitalized(f"{labels.of('appliance_kind', kind)}: {labels.of('symptom', symptom, kind)}"),
        "Free looks first, then the order with the fewest expected minutes under the safety "
        f"rules; cause mix of {counted(jobs, 'own job')} blended with general weights.",
        tuple([line for line in first if line not in lines] + lines),
        tuple(_closing(row, kind, labels) for row in each_row(closing)),
        tuple(CardLine(*cautions[name]) for name in REMARKS),
    )


def _closing(row: Row, kind: str, labels: Labels) -> str:
    test = labels.of("test_point", row.test_point)
    if test[1:2].islower():
        test = test[:1].lower() + test[1:]
    return f"{labels.of('cause', row.cause, kind)}: check {test} ({row.why})"
