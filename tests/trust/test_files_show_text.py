"""Files that leave the shop: report, downloads, rows to fix, mappings. Text stays text in them."""

import csv
import io
import re
from dataclasses import dataclass, field
from functools import partial
from html.parser import HTMLParser
from pathlib import Path

import pandas as pd
import pytest
from openpyxl import Workbook

from dashboard.database.snapshot import take
from dashboard.filters import Filters
from dashboard.month.load import month_html
from dashboard.pricing.price_list_files import price_list_text
from dashboard.pricing.read_price_list import read_price_list
from dashboard.text import pdf
from dashboard.text.csv_export import csv_text
from etl.quarantine import to_fix, waiting_sources, write_waiting
from tests.ask import measure, records
from tests.trust.hostile_shop import FORMULAS, PEOPLE, SHOWN

pytestmark = pytest.mark.slow
MONTH = "2026-03"  # the month of most further visits: every section of the report is filled
TAGS_OF_A_REPORT = {
    "html", "head", "meta", "title", "style", "body", "main", "h1", "h2", "p", "strong", "span",
    "div", "ol", "ul", "li", "table", "thead", "tbody", "tr", "th", "td", "svg", "rect", "text",
    "line", "circle", "polyline", "tfoot", "em", "b", "br",
}  # fmt: skip


@dataclass
class Seen(HTMLParser):
    """What a browser would see: tags, names of attributes, texts."""

    tags: set[str] = field(default_factory=set)
    attributes: set[str] = field(default_factory=set)
    texts: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag: str, attributes: list) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attributes}

    def handle_data(self, text: str) -> None:
        self.texts.append(text)


@pytest.fixture(scope="module")
def report(hostile: Path) -> str:
    """The printed month of the hostile shop."""
    return month_html(take(hostile), MONTH)


def test_the_report_holds_no_element_but_its_own(report: str):
    seen = Seen()
    seen.feed(report)
    assert seen.tags <= TAGS_OF_A_REPORT
    assert not {name for name in seen.attributes if name.startswith("on")}
    assert not {"href", "src", "xlink:href", "style", "action"} & seen.attributes
    shown = " ".join(seen.texts)
    assert (
        sum(payload in shown for payload in SHOWN) > 3
    )  # job numbers are in it, character by character


@pytest.mark.browser
def test_the_pdf_holds_no_link_and_no_script(report: str):
    if pdf.browser() is None:
        pytest.skip("no browser that prints")
    assert b"/URI" in pdf.pdf_of("<a href='http://evil.invalid'>a link would be seen</a>")
    printed = pdf.pdf_of(report)
    assert b"/URI" not in printed
    assert b"/JavaScript" not in printed


def cells(text: str) -> list[str]:
    """Return every cell of a CSV text, the header's too."""
    return [cell for row in csv.reader(io.StringIO(text)) for cell in row]


def runs(cell: str) -> bool:
    """Say whether a spreadsheet would take a cell for a formula."""
    workbook = Workbook()
    workbook.active["A1"] = cell  # openpyxl: the type "f" is a formula
    is_sign = cell.startswith(("=", "+", "-", "@", "＝", "＋", "－", "＠", "\t", "\r"))
    return workbook.active["A1"].data_type == "f" or (is_sign and not NUMBER.fullmatch(cell))


NUMBER = re.compile(r"[-+]?[\d.,]+(e[-+]?\d+)?")


NAMED = ("first_time_fix", "callbacks", "misdiagnosis", "early_parts", "van_stock", "meter_check")


@pytest.mark.parametrize("name", NAMED)
def test_no_download_of_a_measure_holds_a_formula(name: str, hostile: Path):
    table = measure(hostile, name, group_by="technician")
    assert not table.empty
    assert not [cell for cell in cells(csv_text(table)) if runs(cell)]


def test_a_payload_that_starts_a_formula_is_in_the_downloads(hostile: Path):
    """The check above is worth something: the group is there, with an apostrophe before it."""
    assert runs("=1+1")
    groups = cells(csv_text(measure(hostile, "callbacks", group_by="technician")))
    assert "'=1+1" in groups
    parts = cells(csv_text(measure(hostile, "early_parts")))
    assert any(cell.startswith("'@SUM(A1)") for cell in parts)


def test_the_price_list_holds_no_formula(hostile: Path):
    text = price_list_text(read_price_list(take(hostile)))
    assert not [cell for cell in cells(text) if runs(cell)]


def test_rows_to_fix_hold_no_formula_and_every_payload(hostile: Path, tmp_path: Path):
    ask = partial(records, hostile)
    sources = waiting_sources(ask)
    assert sources
    for path in write_waiting(ask, tmp_path):
        text = path.read_text(encoding="utf-8")
        assert not [cell for cell in cells(text) if runs(cell)]
    written = cells(to_fix(ask, sources[0]))
    assert all(payload in written or f"'{payload}" in written for payload in SHOWN)
    assert any(name.startswith("'=remark") for name in written)


def test_filters_of_payloads_choose_what_is_named_so_and_no_more(hostile: Path):
    everyone = measure(hostile, "callbacks", group_by="technician").set_index("group")["repaired"]
    for name in PEOPLE:
        only = measure(hostile, "callbacks", Filters(technician=(name,)))
        assert only["repaired"].sum() == everyone[name], name
    for payload in ("x' OR '1'='1", "' OR 1=1 --", '"', "$technician", "%"):
        assert measure(hostile, "callbacks", Filters(technician=(payload,))).empty
        assert measure(hostile, "callbacks", Filters(branch=(payload,))).empty


@pytest.mark.parametrize("text", FORMULAS)
def test_a_formula_is_made_plain_in_text_and_header(text: str):
    written = cells(csv_text(pd.DataFrame({text: [text, "-5", "plain"]})))
    assert written == [f"'{text}", f"'{text}", "-5", "plain"]
