"""One page run or command answers from one version, one reading of the settings, one reader."""

from collections import Counter
from datetime import date
from io import BufferedReader
from pathlib import Path

import pytest

from dashboard import measures
from dashboard.access.reader import Reader, Refused, read_as
from dashboard.cli import main as cli
from dashboard.database import query
from dashboard.database.snapshot import take
from dashboard.filters import Filters
from dashboard.pricing.repair_prices import repair_prices
from dashboard.settings.file import FILE
from dashboard.van_stock.contents import filled, needed
from etl.folder import regular_file
from etl.folder.versions import POINTER
from tests.shop_builder import shop
from tests.test_pages import check, opened

ONE = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one
Z      | 2026-06-01 | 2026-06-02 | washer         | leaks   | cancelled   | two
"""
TWO = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
B      | 2026-01-03 | 2026-01-04 | washer         | leaks   | repaired    | three
"""
SINCE = date(2025, 12, 1)


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> Counter:
    """How often the pointer and the settings file were read, by name."""
    seen: Counter = Counter()
    read_text, opened_file = Path.read_text, regular_file.opened

    def counted(self: Path, *args, **options) -> str:
        seen[self.name] += 1
        return read_text(self, *args, **options)

    def counted_opened(path: Path) -> BufferedReader:
        seen[path.name] += 1
        return opened_file(path)

    monkeypatch.setattr(Path, "read_text", counted)
    monkeypatch.setattr(regular_file, "opened", counted_opened)
    return seen


def test_a_snapshot_answers_from_its_version_after_a_publish(tmp_path: Path):
    before = take(shop(tmp_path, jobs=ONE))
    shop(tmp_path, jobs=TWO)
    assert measures.measure(before, "callbacks").iloc[0].repaired == 1
    assert query.run(before, "pages/dataset").iloc[0].jobs == 2
    assert measures.measure(take(before.folder), "callbacks").iloc[0].repaired == 2


def test_a_cached_answer_is_never_one_of_another_version(tmp_path: Path):
    """Published, asked, gone back: a process asked again must answer from the version it is on."""
    first = take(shop(tmp_path, jobs=ONE))
    second = take(shop(tmp_path, jobs=TWO))
    answers = [measures.measure(s, "callbacks").iloc[0].repaired for s in (second, first, second)]
    assert answers == [2, 1, 2]


def test_a_snapshot_keeps_the_settings_that_it_was_taken_with(tmp_path: Path):
    before = take(shop(tmp_path, jobs=ONE))
    (before.folder / FILE).write_text("callback_window_days = 365\n", encoding="utf-8")
    assert measures.measure(before, "callbacks").iloc[0].mature == 1
    assert measures.measure(take(before.folder), "callbacks").iloc[0].mature == 0


def test_snapshots_are_equal_when_version_settings_and_view_are(tmp_path: Path):
    folder = shop(tmp_path, jobs=ONE)
    first = take(folder)
    assert first == take(folder)
    (folder / FILE).write_text('[people]\n"a@b.example" = "owner"\n', encoding="utf-8")
    assert first == take(folder)  # who may sign in changes no number
    (folder / FILE).write_text("min_jobs = 7\n", encoding="utf-8")
    assert first != take(folder)


def test_the_window_of_every_query_is_the_setting(tmp_path: Path):
    folder = shop(tmp_path, jobs=ONE)
    (folder / FILE).write_text("callback_window_days = 365\n", encoding="utf-8")
    snapshot = take(folder)
    given = query.run(snapshot, "measures/callbacks", window_days=365)
    assert query.run(snapshot, "measures/callbacks").equals(given)
    assert given.iloc[0].mature == 0


@pytest.fixture
def with_settings(sample_shop: Path):
    """The sample shop with a settings file that changes nothing."""
    (sample_shop / FILE).touch()
    yield sample_shop
    (sample_shop / FILE).unlink()


@pytest.mark.parametrize("page", ["month", "van_stock", "callbacks"])
def test_a_page_reads_pointer_and_settings_once(page, with_settings, monkeypatch, reads):
    app = opened(page, with_settings, monkeypatch)
    reads.clear()
    check(app.run())
    assert (reads[POINTER], reads[FILE]) == (1, 1)


@pytest.mark.parametrize(
    "command",
    [["measure", "order_of_tests"], ["report", "--month", "2026-03", "--out", "month.html"]],
)
def test_a_command_reads_pointer_and_settings_once(command, with_settings, tmp_path, reads):
    arguments = [str(tmp_path / a) if a.endswith(".html") else a for a in command]
    assert cli.main([*arguments, "--db", str(with_settings)]) == 0
    assert (reads[POINTER], reads[FILE]) == (1, 1)


@pytest.fixture
def as_technician():
    """Read as a technician, who opens neither flat rates nor van stock."""
    yield lambda: read_as(Reader("technician", "t@shop.example", "Cole"))
    read_as(None)


@pytest.mark.parametrize(
    "ask",
    [
        lambda s: needed(s, Filters()),
        lambda s: filled(s, Filters(), 5000.0, True),
        lambda s: repair_prices(s, Filters(), SINCE),
        lambda s: measures.measure(s, "flat_rate"),
    ],
)
def test_what_was_cached_for_one_role_is_refused_to_another(ask, sample_shop, as_technician):
    ask(take(sample_shop))
    as_technician()
    with pytest.raises(Refused):
        ask(take(sample_shop))


def test_a_technician_gets_own_figures_although_the_owner_asked_first(sample_shop, as_technician):
    whole = measures.measure(take(sample_shop), "callbacks")
    names = query.run(take(sample_shop), "pages/choices").query("filter == 'technician'")["value"]
    read_as(Reader("technician", "t@shop.example", names.iloc[0]))
    own = measures.measure(take(sample_shop), "callbacks")
    assert own.iloc[0].repaired < whole.iloc[0].repaired
