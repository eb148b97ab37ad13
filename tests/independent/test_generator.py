"""A shop drawn by other code: every planted effect is found, no one else named, every figure counted again."""

from pathlib import Path

import pytest

from etl.load import load
from tests.ask import measure
from tests.independent.findings import PLANTED, named
from tests.independent.generator import Drawn, generate
from tests.independent.invented_shop import CAUSES
from tests.independent.recount import LABOUR, Recount

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def drawn() -> Drawn:
    """A shop with all plants."""
    return generate(1)


@pytest.fixture(scope="module")
def folder(drawn: Drawn, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its database."""
    return loaded(drawn, tmp_path_factory.mktemp("drawn"))


@pytest.fixture(scope="module")
def again(drawn: Drawn) -> Recount:
    """Its rows, counted in plain Python."""
    return Recount(drawn.tables)


def loaded(drawn: Drawn, folder: Path) -> Path:
    """Load a drawn shop and return the database folder."""
    load(drawn.write(folder / "in"), folder / "db")
    return folder / "db"


def test_every_planted_effect_is_named_and_no_other(folder: Path):
    assert named(folder) == {plant: {who} for plant, who in PLANTED.items()}


def test_without_planted_effects_no_one_is_named(tmp_path: Path):
    """One shop; how often somebody is named by chance: make bench."""
    assert not any(named(loaded(generate(0, plants=()), tmp_path)).values())


def test_first_time_fix(folder: Path, again: Recount):
    for by in ("technician", "month"):
        rows = measure(folder, "first_time_fix", group_by=by).set_index("group")
        rows = rows[rows["mature"] > 0]
        shown = dict(
            zip(rows.index, zip(rows["mature"], rows["fixed_first_time"], strict=True), strict=True)
        )
        assert shown == again.fixed("month" if by == "month" else "who")


def test_callbacks_and_the_curve(folder: Path, again: Recount):
    row = measure(folder, "callbacks").iloc[0]
    assert (row.mature, row.callbacks_in_window) == again.callbacks()
    for day in (30, 60, 90):
        assert row[f"km_{day}"] == pytest.approx(again.back_by(day))


def test_reasons_of_further_visits(folder: Path, again: Recount):
    rows = measure(folder, "repeat_visits").set_index("reason")["visits"]
    assert rows.to_dict() == again.reasons()


def test_root_causes(folder: Path, again: Recount):
    rows = measure(folder, "root_cause_mix")
    keys = zip(rows["appliance_kind"], rows["symptom"], rows["cause"], strict=True)
    assert dict(zip(keys, rows["jobs"], strict=True)) == again.causes()


def test_wrong_diagnoses(folder: Path, again: Recount):
    rows = measure(folder, "misdiagnosis", group_by="technician")
    names = ["judged", "corrected", "came_back", "wrong"]
    shown = {row["group"]: tuple(row[names]) for _, row in rows.iterrows() if row["judged"]}
    assert shown == again.wrong()


def test_minutes_and_money_of_each_repair(folder: Path, again: Recount):
    rows = measure(folder, "flat_rate")
    counted = again.prices()
    assert len(rows) == len(counted) == sum(len(both) for both in CAUSES.values())
    for row in rows.itertuples():
        jobs, minutes, charge, left = counted[row.appliance_kind, row.repair_code]
        assert (row.jobs, row.p50_minutes, row.median_charged) == (jobs, minutes, charge)
        assert row.result_now == pytest.approx(left)
    assert pytest.approx(109.3, abs=0.1) == LABOUR  # 69.3 for the technician, 40 for the shop
