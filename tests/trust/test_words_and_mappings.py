"""Mappings, accepted words, commands and messages: a payload in them is a text like any other."""

import json
import re
import tomllib
from pathlib import Path

import pytest

from dashboard.cli import main as cli
from dashboard.database.snapshot import take
from dashboard.database.version import NoData
from dashboard.job.as_text import explained
from dashboard.text.escape_markdown import printable
from etl.load import load
from etl.mapping.accepted_words import AcceptedWord
from etl.mapping.mapping import Mapping, MappingError, TableMapping, read_mapping
from etl.mapping.toml_writer import mapping_text
from etl.read import UnreadableFile, read_tables
from etl.rebuild import accept_words
from tests.ask import run
from tests.shop_builder import shop
from tests.trust.hostile_shop import CONTROLS, PAYLOADS, SQL

STEERING = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
BREAKING = ('"\n[[table]]\ntable = "jobs', "'''", '"""', "\\", "x # y", "\x7f\x85\u2028", "é漢😀")
JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom              | disposition
A      | 2026-01-01 | 2026-01-02 | washer         | leaks                | repaired
B      | 2026-01-01 | 2026-01-02 | washer         | '; DROP TABLE raw.jobs; -- | repaired
"""


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two washers, one with a complaint that would end a statement."""
    return shop(tmp_path_factory.mktemp("drawn"), jobs=JOBS)


@pytest.mark.parametrize("text", [*PAYLOADS, *BREAKING])
def test_a_mapping_of_payloads_is_read_back_as_it_was(text: str, tmp_path: Path):
    table = TableMapping(
        "jobs",
        (text,),
        text,
        {
            "job_id": (text,),
            "opened_on": (text, "b"),
            "appliance_kind": ("c",),
            "disposition": ("d",),
        },
        {"branch": text},
        {text: "element"},
    )
    mapping = Mapping(
        text, text, currency=text, tables=(table,), words={"symptom": {text: "leaks"}}
    )
    path = tmp_path / "mapping.toml"
    path.write_text(mapping_text(mapping), encoding="utf-8", newline="")
    assert read_mapping(path) == mapping


def test_a_header_cannot_add_lines_to_a_proposed_mapping(tmp_path: Path, capsys):
    path = tmp_path / "export.csv"
    path.write_text('"What\n[[table]]\ntable = ""jobs""","Why #",$x$\n1,2,3\n', encoding="utf-8")
    assert cli.main(["load", "--check", str(path), "--db", str(tmp_path / "db")]) == 1
    proposed = tomllib.loads(capsys.readouterr().out)
    assert len(proposed["table"]) == 1


@pytest.mark.parametrize("text", CONTROLS)
def test_no_command_lets_a_file_steer_the_terminal(text: str, tmp_path: Path, capsys):
    quoted = text.replace('"', '""')
    path = tmp_path / f"jobs {text.replace('/', '')}.csv"
    path.write_text(
        f'job_id,opened_on,closed_on,appliance_kind,symptom,disposition,"{quoted}"\n'
        f'"{quoted}",2026-01-01,2026-01-02,washer,leaks,repaired,x\n'
        f'2,2026-01-01,2026-01-02,"{quoted}",leaks,repaired,x\n',
        encoding="utf-8",
        newline="",
    )
    database = ["--db", str(tmp_path / "db")]
    assert cli.main(["load", str(path), *database]) == 0
    number = run(tmp_path / "db", "pages/jobs")["job_id"].iloc[0]
    assert cli.main(["explain", number, *database]) == 0
    assert cli.main(["quarantine", *database]) == 0
    assert cli.main(["load", str(path) + "none", *database]) == 1
    shown = capsys.readouterr()
    assert not STEERING.search(shown.out + shown.err)


def test_a_text_is_stored_on_one_line_without_signs_that_steer(tmp_path: Path):
    """JSON can hold what CSV cannot: NUL and lone halves of signs."""
    path = tmp_path / "jobs.json"
    rows = [
        {
            "job_id": f"{i}{text}",
            "opened_on": "2026-01-01",
            "closed_on": "2026-01-02",
            "appliance_kind": "washer",
            "symptom": "leaks",
            "disposition": "repaired",
            "technician": text,
        }
        for i, text in enumerate([*CONTROLS, "nul\x00nul", "\x85\u2029"])
    ]
    path.write_text(json.dumps(rows), encoding="utf-8")
    load([path], tmp_path / "db")
    jobs = run(tmp_path / "db", "pages/jobs")
    assert len(jobs) == len(rows)
    texts = [*jobs["job_id"], *jobs["technician"].dropna()]
    assert not [text for text in texts if STEERING.search(text) or "\n" in text]
    assert "1usertxt.exe" in set(jobs["job_id"])


def test_an_accepted_payload_counts_as_the_word_that_it_is(drawn: Path):
    assert set(run(drawn, "pages/jobs")["symptom"]) == {"leaks", "unspecified"}
    word = "'; DROP TABLE raw.jobs; --"
    others = [AcceptedWord(text, "symptom", text, "leaks") for text in SQL]
    accept_words(drawn, [*others, AcceptedWord("canonical", "symptom", word, "vibrates")])
    assert set(run(drawn, "pages/jobs")["symptom"]) == {"leaks", "vibrates"}


@pytest.mark.parametrize("payload", PAYLOADS)
def test_a_payload_as_field_or_id_is_refused_by_name(payload: str, drawn: Path):
    for word in (
        AcceptedWord("canonical", payload, "word", "leaks"),
        AcceptedWord("canonical", "symptom", "word", payload),
    ):
        with pytest.raises(MappingError, match=r"no (vocabulary|such id)"):
            accept_words(drawn, [word])


@pytest.mark.parametrize("payload", [*PAYLOADS, "nul\x00", "x" * 5000])
def test_a_job_number_of_payloads_is_reported_as_not_found(payload: str, drawn: Path):
    with pytest.raises(NoData, match="is not in these records"):
        explained(take(drawn), payload)


@pytest.mark.parametrize("name", ["a\x1b[2J.csv", "b\u202e.csv", "c\n.csv", "nul\x00.csv"])
def test_the_message_on_a_file_is_one_printable_line(name: str, tmp_path: Path):
    with pytest.raises(UnreadableFile) as refused:
        read_tables(tmp_path / name)
    assert str(refused.value).isprintable()


@pytest.mark.parametrize("text", ["a\x1b[0m", "\x9b31m", "\u202e", "\x00", "\x07", "\ud800"])
def test_signs_that_steer_are_replaced_and_others_kept(text: str):
    assert printable(f"é漢 Ω\n{text}").startswith("é漢 Ω\n")
    assert not STEERING.search(printable(text))
    printable(text).encode()
