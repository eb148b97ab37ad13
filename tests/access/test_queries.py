"""Who may read what: the table of roles, the check of every query, own figures, aliases."""

import re
import threading
from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest

from dashboard.access.names import Sight, aliases
from dashboard.access.page_roles import PAGES
from dashboard.access.queries import SHOWN_ON, check_query
from dashboard.access.reader import (
    AT_THE_MACHINE,
    SIGN_IN,
    Reader,
    Refused,
    kept,
    read_as,
    reader,
    reader_of,
)
from dashboard.database.query import parameters_of
from dashboard.filters import GROUPS, Filters
from dashboard.measures import MEASURES
from dashboard.settings.file import SettingsError, read_settings, write_settings
from dashboard.ui.menu import TITLES
from tests import ask
from tests.repo import docs
from tests.shop_builder import shop

ROOT = Path(__file__).parents[2]
ROLES = ("owner", "lead", "pricing", "technician")
QUERIES = sorted(
    f"{folder}/{path.stem}"
    for folder in ("measures", "pages")
    for path in (ROOT / "sql" / folder).glob("*.sql")
)
COLE = Reader("technician", "cole@shop.example", "Cole")
PIA = Reader("pricing", "pia@shop.example")
NOW = 1_790_000_000.0
PEOPLE = {"Ada@Shop.Example": "owner", "cole@shop.example": {"technician": "Cole"}}
CLAIMS = {"email": "ada@shop.example", "email_verified": True, "iat": NOW - 60}


@pytest.fixture(autouse=True)
def no_reader_afterwards() -> Iterator[None]:
    yield
    read_as(None)


@pytest.fixture(scope="module")
def two_people(tmp_path_factory) -> Path:
    """Cole and Dana: each a job of his own, and one job that both worked on."""
    return shop(
        tmp_path_factory.mktemp("two"),
        jobs="""
        job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | technician | branch | customer
        C1     | 2026-01-01 | 2026-01-01 | dryer          | no_heat | repaired    | Cole       | Mill   | one
        D1     | 2026-01-02 | 2026-01-02 | dryer          | no_heat | repaired    | Dana       | Mill   | two
        CD     | 2026-02-01 | 2026-02-09 | washer         | leaks   | repaired    | Dana       | Quay   | three
        D2     | 2026-02-20 | 2026-02-20 | washer         | leaks   | repaired    | Dana       | Quay   | three
        """,
        visits="""
        job_id | visit_no | arrived_at       | technician | outcome
        C1     | 1        | 2026-01-01 08:00 | Cole       | completed
        D1     | 1        | 2026-01-02 08:00 | Dana       | completed
        CD     | 1        | 2026-02-01 08:00 | Cole       | part_needed
        CD     | 2        | 2026-02-09 08:00 | Dana       | completed
        D2     | 1        | 2026-02-20 08:00 | Dana       | completed
        """,
        readings="""
        job_id | visit_no | seq | test_point      | value
        C1     | 1        | 1   | element         | OL
        D1     | 1        | 1   | element         | 10.4 ohm
        """,
        part_lines="""
        job_id | visit_no | part_no | component       | quantity | unit_cost
        C1     | 1        | 1       | E-1     | heating element | 1        | 20
        D1     | 1        | 1       | E-1     | heating element | 1        | 20
        """,
    )


def test_every_page_has_a_line_in_the_table_and_no_line_is_of_no_page():
    assert set(PAGES) == {path.stem for path in (ROOT / "dashboard" / "views").glob("*.py")}
    assert all(roles <= set(ROLES) and "owner" in roles for roles in PAGES.values())


@pytest.mark.parametrize("role", ROLES)
def test_the_documents_say_which_pages_a_role_opens(role: str):
    table = (
        docs.text("sign_in")
        .split("| page | owner | lead | pricing | technician |")[1]
        .split("\n\n")[0]
    )
    rows = re.findall(r"^\| (.+?) \| (.+?) \| (.+?) \| (.+?) \| (.+?) \|$", table, re.M)[1:]
    place = 1 + ("owner", "lead", "pricing", "technician").index(role)
    said = {row[0] for row in rows if row[place] == "yes"}
    assert said == {TITLES[page] for page, roles in PAGES.items() if role in roles}


def test_pages_that_change_the_records_are_not_for_pricing_or_technicians():
    for page in ("records", "add_records", "settings"):
        assert not PAGES[page] & {"pricing", "technician"}


@pytest.mark.parametrize("name", QUERIES)
def test_every_query_is_of_a_page_or_can_be_narrowed_to_a_technician(name: str):
    """A new query that is neither is refused to technicians until somebody decides."""
    read_as(Reader("technician", "x@y.example", "X"))
    try:
        check_query(reader(), name, parameters_of(name))
    except Refused:
        page = SHOWN_ON.get(name, name.split("/")[1])
        assert name in {"pages/dispositions", "pages/observed_days"} or page in PAGES


def test_at_the_machine_the_owner_reads(two_people: Path):
    assert reader() == AT_THE_MACHINE
    assert len(ask.measure(two_people, "first_time_fix", group_by="technician")) == 2


def test_where_sign_in_is_needed_no_query_runs_before_it(two_people: Path, monkeypatch):
    monkeypatch.setenv(SIGN_IN, "1")
    with pytest.raises(Refused, match="nobody is signed in"):
        ask.run(two_people, "pages/labels")


def test_who_reads_in_one_thread_reads_in_no_other(monkeypatch):
    monkeypatch.setenv(SIGN_IN, "1")
    read_as(AT_THE_MACHINE)
    found: list[str] = []

    def ask() -> None:
        try:
            found.append(reader().role)
        except Refused:
            found.append("nobody")

    thread = threading.Thread(target=ask)
    thread.start()
    thread.join()
    assert found == ["nobody"]


def test_a_file_made_later_is_made_for_who_asked():
    read_as(PIA)
    make = kept(lambda: reader().role)
    read_as(COLE)
    assert (make(), reader().role) == ("pricing", "technician")


def cells(folder: Path, name: str) -> set[str]:
    """Return all that a query shows the current reader, however grouped; nothing when it is refused."""
    names: set[str] = set()
    about = {"job_id": "CD", "first_job": "CD", "second_job": "C1", "window_days": 30}
    for group_by in GROUPS:
        try:
            table = ask.run(folder, name, group_by=group_by, **about, **read_settings(folder))
        except Refused:
            return set()
        names |= {str(cell) for column in table for cell in table[column]}
    return names


@pytest.mark.parametrize("name", QUERIES)
def test_a_technician_gets_no_row_of_others(name: str, two_people: Path):
    """But the visits and calls of a job that he worked on, where others go by an alias."""
    read_as(COLE)
    names = cells(two_people, name)
    assert "Dana" not in names
    if "technician" in parameters_of(name):
        assert not names & {"Technician A", "Technician B", "D1", "D2"}


@pytest.mark.parametrize("name", QUERIES)
def test_pricing_sees_no_name(name: str, two_people: Path):
    read_as(PIA)
    assert not cells(two_people, name) & {"Cole", "Dana"}


@pytest.mark.parametrize("name", ["measures/first_time_fix", "pages/jobs", "pages/choices"])
def test_at_the_machine_the_same_queries_show_names(name: str, two_people: Path):
    """Or the two tests above could not fail."""
    assert cells(two_people, name) >= {"Cole", "Dana"}


@pytest.mark.parametrize("measure", MEASURES)
def test_what_is_kept_for_one_reader_is_not_shown_to_another(measure: str, two_people: Path):
    def seen(who: Reader) -> str:
        read_as(who)
        try:
            return ask.measure(two_people, measure, group_by="technician").to_csv()
        except Refused:
            return "refused"

    first = seen(AT_THE_MACHINE)
    for who in (PIA, COLE):
        names = seen(who)
        assert "Dana" not in names
        assert (names == "refused") == (not who.opens(SHOWN_ON.get(f"measures/{measure}", measure)))
    assert seen(AT_THE_MACHINE) == first


@pytest.mark.parametrize(("job", "may"), [("C1", True), ("CD", True), ("D1", False), ("??", False)])
def test_a_technician_opens_the_jobs_that_he_worked_on(job: str, may: bool, two_people: Path):
    read_as(COLE)
    if may:
        assert len(ask.run(two_people, "pages/job_timeline_job", job_id=job)) == 1
    else:  # a job of others and no job at all give the same answer
        with pytest.raises(Refused, match="not among those that you worked on"):
            ask.run(two_people, "pages/job_timeline_job", job_id=job)


def test_others_on_ones_own_job_go_by_an_alias(two_people: Path):
    read_as(COLE)
    visits = ask.run(two_people, "pages/job_timeline_visits", job_id="CD")
    first, second = visits["technician"]
    assert first == "Cole"
    assert second in ("Technician A", "Technician B")


def test_a_job_linked_with_one_of_others_is_not_compared(two_people: Path):
    read_as(COLE)
    with pytest.raises(Refused):
        ask.run(two_people, "pages/link_check", first_job="CD", second_job="D2")


def test_an_alias_is_a_filter_and_a_name_is_none(two_people: Path):
    who = AT_THE_MACHINE
    read_as(who)
    real = ask.measure(two_people, "callbacks", group_by="technician").set_index("group")
    read_as(PIA)
    for alias in ask.measure(two_people, "callbacks", group_by="technician")["group"]:
        one = ask.measure(two_people, "callbacks", Filters(technician=(alias,)))
        assert one["mature"].iloc[0] in set(real["mature"])
        assert len(ask.run(two_people, "pages/jobs", group_by="technician", group_value=alias))
    with pytest.raises(Refused, match="not a name that you may ask for"):
        ask.run(two_people, "pages/jobs", Filters(technician=("Dana",)))
    with pytest.raises(Refused, match="not a name that you may ask for"):
        ask.run(two_people, "pages/jobs", group_by="technician", group_value="Dana")


def test_the_quarantine_is_for_those_who_correct_it(two_people: Path):
    for who in (PIA, COLE):
        read_as(who)
        with pytest.raises(Refused):
            ask.records(two_people, "load_report/waiting_sources")
    read_as(Reader("lead", "lea@shop.example"))
    waiting = ask.records(two_people, "load_report/waiting_sources")
    assert [source["file"] for source in waiting] == ["part_lines.csv"]  # a part of no known job


def test_the_order_of_aliases_depends_on_the_secret_alone():
    names = [f"Name {i:02}" for i in range(30)]
    one, other = aliases(names, b"one"), aliases(names, b"other")
    assert sorted(one) == names
    assert len(set(one.values())) == 30
    assert {"Technician A", "Technician Z", "Technician AA", "Technician AD"} <= set(one.values())
    assert one != other
    assert [one[name] for name in names] != sorted(one.values())
    assert aliases(reversed(names), b"one") == one  # the order of the records reveals nothing


def test_ones_own_name_has_no_alias_and_no_alias_is_somebodys_name():
    given = aliases(["Cole", "Dana", "Technician A"], b"secret", own="Cole")
    assert set(given) == {"Dana", "Technician A"}
    assert "Technician A" not in given.values()
    assert aliases([], b"secret") == {}


def test_a_list_of_people_is_in_the_order_of_aliases():
    """In the order of names it would reveal who is who."""
    sight = Sight(PIA, {"Adams": "Technician B", "Baker": "Technician A"})
    table = pd.DataFrame({"group": ["Adams", "Baker", "not recorded"], "jobs": [1, 2, 3]})
    shown = sight.shown(table)
    assert shown["group"].tolist() == ["Technician A", "Technician B", "not recorded"]
    assert shown["jobs"].tolist() == [2, 1, 3]


def test_who_an_identity_token_names():
    assert reader_of(CLAIMS, PEOPLE, NOW) == Reader("owner", "ada@shop.example")
    cole = reader_of(CLAIMS | {"email": "COLE@shop.example"}, PEOPLE, NOW)
    assert (cole.role, cole.technician) == ("technician", "Cole")


@pytest.mark.parametrize(
    ("claims", "message"),
    [
        ({"email": None}, "no e-mail"),
        ({"email": "eve@shop.example"}, "does not list"),
        ({"email": "\u212aole@shop.example"}, "does not list"),  # a Kelvin sign is no K
        ({"email_verified": False}, "not confirmed"),
        ({"email_verified": "false"}, "not confirmed"),
        ({"iat": NOW - 12 * 3600 - 1}, "12 hours"),
        ({"iat": NOW + 11 * 60}, "12 hours"),  # from the future
        ({"iat": None}, "12 hours"),
        ({"iat": "now"}, "12 hours"),
    ],
)
def test_whom_an_identity_token_does_not_let_in(claims: dict, message: str):
    with pytest.raises(Refused, match=message):
        reader_of(CLAIMS | claims, PEOPLE, NOW)


def test_a_provider_that_says_nothing_of_confirming_is_believed():
    """The claim is optional (OpenID Connect Core 1.0, section 5.1)."""
    claims = {key: value for key, value in CLAIMS.items() if key != "email_verified"}
    assert reader_of(claims, PEOPLE, NOW).role == "owner"


@pytest.mark.parametrize(
    ("role", "key", "may"),
    [
        ("owner", "min_jobs", True),
        ("pricing", "wage_per_hour", True),
        ("pricing", "van_budget", True),
        ("pricing", "min_jobs", False),
        ("pricing", "people", False),
        ("lead", "wage_per_hour", False),
        ("technician", "wage_per_hour", False),
    ],
)
def test_who_may_save_which_setting(role: str, key: str, may: bool, tmp_path: Path):
    read_as(Reader(role, "x@y.example", "X" if role == "technician" else None))
    value = {"people": {"x@y.example": "owner"}}.get(key, 50)
    if may:
        write_settings(tmp_path, {key: value})
        assert read_settings(tmp_path)[key] == value
    else:
        with pytest.raises(Refused):
            write_settings(tmp_path, {key: value})
        assert list(tmp_path.iterdir()) == []


def test_people_are_kept_when_another_setting_is_written(tmp_path: Path):
    people = {"ada@shop.example": "owner", "cole@shop.example": {"technician": 'Co"lé 😀'}}
    write_settings(tmp_path, {"people": people})
    write_settings(tmp_path, {"min_jobs": 5})
    assert read_settings(tmp_path)["people"] == people


@pytest.mark.parametrize(
    "people",
    [
        ["ada@shop.example"],
        {"ada": "owner"},
        {"ada@shop.example": "boss"},
        {"ada@shop.example": "technician"},  # of whom?
        {"ada@shop.example": {"technician": " "}},
        {"ada@shop.example": {"technician": "Ada", "role": "owner"}},
        {"ada@shop.example": "owner", "Ada@shop.example": "lead"},
    ],
)
def test_a_list_of_people_that_is_not_clear_is_refused(people: object, tmp_path: Path):
    with pytest.raises(SettingsError, match="people"):
        write_settings(tmp_path, {"people": people})


def test_files_are_offered_in_one_place_only():
    """There they get the mark of their reader, without which the guard refuses them."""
    users = {
        path.name
        for path in (ROOT / "dashboard").rglob("*.py")
        if "download_button(" in path.read_text(encoding="utf-8")
    }
    assert users == {"widgets.py"}
