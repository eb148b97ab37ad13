"""The printed chances and the wrong-diagnosis rate against the truth of the sample shop."""

from pathlib import Path

import pandas as pd
import pytest

from tests.evidence.truth import judged_parts, precision_and_recall, tenths, true_components


@pytest.fixture(scope="module")
def parts(sample_shop: Path) -> pd.DataFrame:
    truth = pd.read_csv(Path("sample_data/truth.csv"), dtype=str)
    return judged_parts(sample_shop, true_components(truth[truth["record"] == "job"]))


def test_the_printed_chance_is_within_10_points_of_the_true_share_in_every_tenth(
    parts: pd.DataFrame,
):
    table = tenths(parts)
    assert len(table) == 10
    assert (table["chance"] - table["right"]).abs().max() < 0.10


def test_outcomes_flag_few_right_parts_and_most_wrong_ones(
    parts: pd.DataFrame,
):
    precision, recall = precision_and_recall(parts)
    assert precision >= 0.95  # 98% and 83% when last printed by tests.bench.verdicts
    assert recall >= 0.80
