"""The README is true: commands, pages, settings and the numbers of its guided tour."""

import re
from pathlib import Path

import pytest

from dashboard.cli import main as cli
from dashboard.filters import Filters
from dashboard.month.periods import month_days
from dashboard.settings.file import SETTINGS
from dashboard.ui.menu import TITLES
from etl.mapping.mapping import read_mapping
from sample_data.shop import GUESSING_TECHNICIAN
from tests.ask import measure
from tests.repo import docs
from tests.repo.docs import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
ALL = docs.text()


@pytest.mark.parametrize("command", sorted(set(re.findall(r"^ohmhours (\w+)", ALL, re.M))))
def test_every_command_of_the_documents_exists(command: str, capsys):
    with pytest.raises(SystemExit) as stop:
        cli.main([command, "--help"])
    assert stop.value.code == 0


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: setting.key)
def test_every_setting_is_documented(setting):
    assert f"| `{setting.key}` |" in docs.text("settings")


def test_every_page_of_the_measures_table_is_in_the_menu():
    table = README.split("| measure | question | page |")[1].split("\n\n")[0]
    pages = re.findall(r"^\| `\w+` \| .+ \| (.+) \|$", table, re.M)
    assert len(pages) > 10
    for page in pages:
        assert page in TITLES.values()


def test_the_mapping_in_the_documents_can_be_read(tmp_path: Path):
    (text,) = re.findall(r"```toml\n(name = .+?)```", docs.text("records"), re.S)
    path = tmp_path / "our_shop.toml"
    path.write_text(text, encoding="utf-8")
    assert read_mapping(path).name == "our_shop"


def test_every_picture_and_link_is_there():
    for page in docs.PAGES:
        for target in re.findall(r"\]\(([\w./]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), (page.name, target)


def test_the_guided_tour_shows_the_numbers_of_the_sample_shop(sample_shop: Path):
    month = measure(sample_shop, "month_signals").set_index("month").loc["2026-03"]
    assert f"{month.fixed_first_time} of {month.mature} repairs" in README
    first, last = month_days("2026-03")
    repeats = measure(sample_shop, "repeat_visits", Filters(from_date=first, to_date=last))
    missing = repeats.set_index("reason").loc["part_needed", "visits"]
    assert f"{missing} of the further visits" in README
    guesses = measure(sample_shop, "misdiagnosis", group_by="technician", pattern="not_tested")
    planted = guesses.set_index("group").loc[GUESSING_TECHNICIAN]
    assert (
        f"{planted.with_pattern:.0f} of {GUESSING_TECHNICIAN}'s {planted.asked:.0f} jobs" in README
    )
    assert f"{planted.expected:.0f} expected" in README
    top = measure(sample_shop, "flat_rate")["repair_code"].head(2).tolist()
    assert all("drain_pump" in code for code in top)
