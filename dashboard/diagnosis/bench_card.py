"""A proposed order → the bench card: words, limits and cautions put together."""

from collections.abc import Mapping, Sequence

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.diagnosis.bench_card_html import Card, CardLine, CardTest, card_lines
from dashboard.diagnosis.chains import ChainRows, first_checks, is_live
from dashboard.job.sentences import limits_words
from dashboard.stats.sequencing.exact import Step
from dashboard.text.cautions import of_hazards, of_kind
from dashboard.text.format import counted

REMARKS = ("one_reading", "limits", "local_law", "records")
OTHER_LIMITS = {
    "qualitative": "look, listen, turn by hand",
    "ratio_to_nameplate": "within the nameplate's range",
    "sum_rule": "the three windings must add up",
}


def card_tests(rows: ChainRows, steps: Sequence[Step], labels: Labels) -> list[CardTest]:
    """Return the steps of an order with their words and hazards."""
    tests, access = rows.tests.set_index("test_point"), rows.access.set_index("access_level")
    # one teardown tree serves both fuels: an electric dryer has no burner behind its lower panel
    absent = set() if "gas" in of_kind(rows.tests["appliance_kind"].iloc[0]) else {"gas"}
    result = []
    for step in steps:
        row = tests.loc[step.test]
        opened = [node for node in step.opened if node != "none"]
        result.append(
            CardTest(
                labels.of("test_point", step.test),
                _limits(row),
                float(row.test_min),
                tuple(_opening(access.loc[node]) for node in opened),
                _hazards(*(access.loc[node].hazards for node in opened)) - absent,
                _hazards(row.hazards) - absent,
                is_live(row.hazards),
                bool(row.is_energised),
            )
        )
    return result


def free_looks(rows: ChainRows, steps: Sequence[Step]) -> list[Step]:
    """Return the first checks that only narrow, and so are in no order of minutes, as steps."""
    made = {step.test for step in steps}
    minutes = rows.tests.set_index("test_point")["test_min"]
    return [
        Step(test, (), float(minutes[test]), 1.0, 0.0)
        for test in first_checks(rows)
        if test not in made
    ]


def _opening(node: pd.Series) -> str:
    return f"Open: {node.label} ({node.open_min:.0f} min, {node.close_min:.0f} to close)"


def _limits(row: pd.Series) -> str:
    if row.limit_basis != "absolute":
        return OTHER_LIMITS.get(row.limit_basis, "")
    words = limits_words(row.low, row.high, row.unit)
    return f"inside {words}" if words else ""


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
    lines = [
        CardLine(*cautions[line.text]) if line.kind == "caution" else line
        for line in card_lines(card_tests(rows, [*free_looks(rows, steps), *steps], labels))
    ]
    first = [CardLine(*cautions[name]) for name in of_kind(kind)]
    jobs = int(rows.causes["jobs"].sum())
    return Card(
        f"{labels.of('appliance_kind', kind)}: {labels.of('symptom', symptom, kind)}",
        f"Order with the fewest expected minutes under the safety rules; cause mix of "
        f"{counted(jobs, 'own job')} blended with general weights.",
        tuple([line for line in first if line not in lines] + lines),
        tuple(
            f"{labels.of('test_point', row.test_point)}, when the finding is "
            f"{labels.of('cause', row.cause, kind).lower()}: {row.why}"
            for row in closing.itertuples()
        ),
        tuple(CardLine(*cautions[name]) for name in REMARKS),
    )
