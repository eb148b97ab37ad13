"""Every page on the hostile shop: texts of the records, the address and settings are only shown."""

import json
import re
import shutil
from html import escape
from pathlib import Path

import pytest
from google.protobuf.json_format import MessageToDict
from streamlit.testing.v1 import AppTest

from dashboard.text.escape_markdown import JOINER, verbatim
from dashboard.ui.frame import SCRIPTS
from tests.ask import measure, run
from tests.test_pages import PAGES, opened
from tests.trust.hostile_shop import BRANCHES, CURRENCY, MARKDOWN, MARKUP, PAYLOADS, PEOPLE

pytestmark = pytest.mark.slow
READ_AS_MARKDOWN = {"body", "label", "help", "value"}
TEXTS = [
    re.compile(rf"(?<![\\{JOINER}]){re.escape(text)}")
    for text in (*PAYLOADS, *PEOPLE, *BRANCHES, CURRENCY)
    if verbatim(f"a {text}") != f"a {text}"
]
# what none of our own words needs: a tag, a link or picture, a formula, an address, a coloured word
DANGER = re.compile(
    r"(?<!\\)<[a-zA-Z/!]|(?<!\\)\]\(|(?<!\\)\$|https?://|www\.|\w@\w|:[a-z]+\[|:smile:|javascript:/"
)
MARKUP_OF_A_CHART = re.compile(r"<(?!br>|/?extra>)[a-zA-Z/!]")


def markdown_texts(app: AppTest) -> list[str]:
    """Return every text of the page that Streamlit reads as Markdown, labels and help included."""
    found = []
    for element in (*app.main, *app.sidebar):
        proto = getattr(element, "proto", None)
        if proto is None or not hasattr(proto, "DESCRIPTOR") or element.type == "text":
            continue
        texts = MessageToDict(proto, preserving_proto_field_name=True)
        is_input = "options" in texts or element.type in ("text_input", "number_input")
        keys = READ_AS_MARKDOWN - ({"value"} if is_input else set())
        found += [text for key, text in texts.items() if key in keys and isinstance(text, str)]
    return [text for text in found if not text.endswith(SCRIPTS)]  # the frame's own style


def charts(app: AppTest) -> list[str]:
    """Return the texts of every chart of the page."""
    specs = [json.loads(chart.proto.spec) for chart in app.get("plotly_chart")]
    return [text for spec in specs for text in _texts(spec)]


def _texts(value: object) -> list[str]:
    if isinstance(value, str):
        return [value]
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [text for each in inner for text in _texts(each)]


def check(app: AppTest) -> list[str]:
    """Fail when a text of the records could be taken for markup; return what the page says."""
    assert not app.exception, [each.value for each in app.exception]
    said = markdown_texts(app)
    assert len(said) > 2
    for text in said:
        for payload in TEXTS:
            assert not payload.search(text), text
        assert not DANGER.search(text), text
    for text in charts(app):
        assert not MARKUP_OF_A_CHART.search(text), text
    return said


@pytest.mark.parametrize("page", PAGES)
def test_no_text_of_the_records_is_read_as_markup(page: str, hostile: Path, monkeypatch):
    check(opened(page, hostile, monkeypatch))


@pytest.mark.parametrize("by", ["Technician", "Branch"])
@pytest.mark.parametrize("page", ["first_time_fix", "callbacks", "misdiagnosis"])
def test_groups_named_by_payloads_are_only_named(page: str, by: str, hostile: Path, monkeypatch):
    app = opened(page, hostile, monkeypatch, by=by)
    check(app)
    if page == "callbacks":  # its chart names every group; the others name those outside the funnel
        names = PEOPLE if by == "Technician" else BRANCHES
        assert {escape(name, quote=False) for name in names} <= set(charts(app))


def test_a_part_that_fails_early_is_only_named(hostile: Path, monkeypatch):
    said = check(opened("callbacks", hostile, monkeypatch, window="60 days"))
    parts = measure(hostile, "early_parts", window_days=60)
    flagged = parts.loc[parts["flagged"], "part_no"]
    assert not flagged.empty
    for name in flagged:
        assert any(f"**{verbatim(name)}**" in text for text in said)


@pytest.mark.parametrize("name", PEOPLE)
def test_a_filter_is_shown_character_by_character(name: str, hostile: Path, monkeypatch):
    said = check(opened("first_time_fix", hostile, monkeypatch, technician=name))
    assert any(f"technician {verbatim(name)}" in text for text in said)


@pytest.mark.parametrize("payload", [*MARKUP[:2], *MARKDOWN[:3]])
def test_a_job_number_out_of_the_address_is_only_shown(payload: str, hostile: Path, monkeypatch):
    said = check(opened("job", hostile, monkeypatch, job=payload))
    assert any(verbatim(payload) in text for text in said)


def test_a_job_number_typed_is_only_shown(hostile: Path, monkeypatch):
    app = opened("job", hostile, monkeypatch)
    for payload in PAYLOADS:
        said = check(app.text_input(key="job").set_value(payload).run())
        assert any(verbatim(f"“{payload}”") in text for text in said), payload


def test_a_job_of_payloads_is_shown_with_its_visits_readings_and_parts(hostile: Path, monkeypatch):
    app = opened("job", hostile, monkeypatch)
    for number in run(hostile, "pages/jobs")["job_id"].head(len(PAYLOADS)):
        said = check(app.text_input(key="job").set_value(number).run())
        assert any(verbatim(number) in text for text in said), number


@pytest.mark.parametrize("key", ["from", "branch", "by", "window"])
def test_a_wrong_value_in_the_address_is_dropped(key: str, hostile: Path, monkeypatch):
    for payload in ("<script>1</script>", "'; DROP TABLE core.jobs; --"):
        check(opened("callbacks", hostile, monkeypatch, **{key: payload}))


SETTINGS = (
    '"<img src=x>" = 1',
    'min_jobs = "[x](http://evil.invalid)"',
    "$x$",
    "[service_volts]\n'<b>[a](javascript:1) $x$</b>' = 208",
    "[service_volts]\n'$x$' = '<b>'",
)


@pytest.mark.parametrize("text", SETTINGS)
def test_a_settings_file_of_payloads_is_shown_as_text(
    text: str, hostile: Path, tmp_path, monkeypatch
):
    for name in ("CURRENT", (hostile / "CURRENT").read_text(encoding="utf-8").strip()):
        shutil.copy(hostile / name, tmp_path)
    (tmp_path / "ohmhours.toml").write_text(text, encoding="utf-8")
    for page in ("settings", "callbacks"):
        check(opened(page, tmp_path, monkeypatch))
