"""The page Add records with bad uploads among good ones: each bad one is reported, the good ones load."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from tests.test_pages import opened
from tests.trust.hostile_shop import PAYLOADS
from tests.trust.test_pages_show_text import check

pytestmark = pytest.mark.slow
BAD = Path(__file__).parents[1] / "bad_files"
GOOD = (
    b"job_id,opened_on,closed_on,appliance_kind,symptom,disposition\n"
    b"1,2026-01-01,2026-01-02,washer,leaks,repaired\n"
)
REFUSED = (
    "zip_bomb.xlsx", "broken_workbook.xlsx", "encrypted_workbook.xlsx", "broken_json.json",
    "nul_bytes.csv", "unclosed_quote.csv", "truncated_parquet.parquet", "not_a_table.xls",
)  # fmt: skip
Sent = tuple[str, bytes, str]


def uploaded(folder: Path, monkeypatch: pytest.MonkeyPatch, *files: Sent) -> AppTest:
    """Open the page and upload the files."""
    app = opened("add_records", folder, monkeypatch)
    return app.file_uploader(key="uploads").set_value(list(files)).run()


def shown(app: AppTest) -> list[str]:
    """Return the errors that the page shows."""
    return [error.value for error in app.error]


def test_bad_uploads_are_listed_one_by_one_and_the_good_one_can_be_loaded(tmp_path, monkeypatch):
    files = [(name, (BAD / name).read_bytes(), "") for name in REFUSED]
    files.insert(2, ("good.csv", GOOD, "text/csv"))
    app = uploaded(tmp_path / "db", monkeypatch, *files)
    check(app)
    assert len(shown(app)) == len(REFUSED)
    assert any("unpacks to far too much" in text for text in shown(app))
    assert any("good.csv" in text.value for text in app.markdown)
    assert not next(button for button in app.button if button.label == "Load").disabled


def test_names_and_headers_of_payloads_are_shown_as_text(tmp_path, monkeypatch):
    heads = ",".join(f'"{text.replace(chr(34), chr(34) * 2)}"' for text in PAYLOADS)
    content = f"{heads}\n{','.join('x' * len(PAYLOADS))}\n".encode()
    for name in ("../../etc/x.csv", "<img src=x>.csv", "[a](http://b.csv", "$x$ :smile:.csv"):
        app = uploaded(tmp_path / "db", monkeypatch, (name, content, "text/csv"))
        check(app)
        assert len(app.multiselect) >= len(PAYLOADS)


def test_too_many_files_are_refused_before_they_are_read(tmp_path, monkeypatch):
    files = [(f"{i}.csv", GOOD, "text/csv") for i in range(51)]
    app = uploaded(tmp_path / "db", monkeypatch, *files)
    check(app)
    assert shown(app) == ["51 files at once; at most 50 are taken: upload them in parts"]
    assert not [button for button in app.button if button.label == "Load"]


@pytest.mark.parametrize("text", ["<b>$x$</b>", 'name = "[a](http://b.invalid)"', "\\x1b[31m = 1"])
def test_an_unreadable_mapping_file_is_reported_as_text(text: str, tmp_path, monkeypatch):
    folder = tmp_path / "db" / "mappings"
    folder.mkdir(parents=True)
    (folder / "own $x$.toml").write_text(text, encoding="utf-8")
    app = uploaded(tmp_path / "db", monkeypatch, ("good.csv", GOOD, "text/csv"))
    check(app)
    assert any(".toml" in error for error in shown(app))
