"""Telephone numbers and e-mail addresses are taken out of texts whatever signs they are written in.

Telephone numbers: 555-0100 to 555-0199 are reserved for fiction (North American Numbering Plan), and
020 7946 0xxx (Ofcom, numbers for use in drama). Domains: example.com and the like, RFC 2606.
"""

import time

import pyarrow as pa
import pytest

from etl.personal.contact import without_contact
from etl.raw import clean_text

NUMBERS = (
    "555-0142", "5550142", "212-555-0142", "212.555.0142", "212 555 0142", "(212) 555-0142",
    "2125550142", "+1 212 555 0142", "+12125550142", "001 212 555 0142", "212/555/0142",
    "212–555–0142", "212‒555‒0142", "212−555−0142", "212\u00a0555\u00a00142", "212\u2009555\u20090142",
    "２１２５５５０１４２", "２１２－５５５－０１４２", "٢١٢٥٥٥٠١٤٢", "212\u200b555\u200b0142", "212_555_0142",
    "212 - 555 - 0142", "2 1 2 5 5 5 0 1 4 2", "212・555・0142", "+44 (0)20 7946 0018",
    "020 7946 0018", "+49 30 5550 142", "212-555-0142 ext. 12", "212-555-0142 x12", "²¹²555⁰¹⁴²",
)  # fmt: skip
ADDRESSES = (
    "jane@example.com", "jane.doe+shop@mail.example.co.uk", "josé@exámple.com", "müller@exämple.de",
    "jane＠example.com", "jane＠example．com", "jane@example。com", "jane @ example.com",
    "jane (at) example.com", "jane[at]example[dot]com", "jane at example dot com",
    '"jane doe"@example.com', "jane@[192.0.2.1x]", "ja\u00adne@exam\u200bple.com", "фёдор@пример.рф",
    f"{'x' * 90}@example.com",
)  # fmt: skip
PLAIN = (
    "no heat at the coil", "leaks at 240 V and 60 Hz", "reads 9.4 ohms, wanted 10", "E24 then F05",
    "120V@60Hz", "fan runs, 34 F at the shelf", "fünf Ω — µF", "",
)  # fmt: skip


@pytest.mark.parametrize("contact", [*NUMBERS, *ADDRESSES])
@pytest.mark.parametrize("frame", ["{}", "call {} now", "Türe, {}!", "a{} b"])
def test_a_contact_leaves_nothing_of_itself(contact: str, frame: str):
    if frame == "a{} b" and contact in ADDRESSES:
        frame = "a {} b"
    left = without_contact(frame.format(contact))
    assert "…" in left
    assert not any(map(str.isdigit, left)), left
    for piece in ("jane", "josé", "müller", "doe", "фёдор", "xxx", "exampl", "exämple"):
        assert piece not in left, left


@pytest.mark.parametrize("text", PLAIN)
def test_other_texts_stay_letter_by_letter(text: str):
    assert without_contact(text) == text


def test_a_number_at_the_cut_of_a_long_text_is_not_cut_in_half():
    for filling in range(170, 201):
        text = pa.array([f"{'x' * filling} 212-555-0142 is the number"])
        assert "212" not in clean_text.without_contact(text).to_pylist()[0]
    for filling in range(985, 1001):
        assert "212" not in without_contact(f"{'x ' * (filling // 2)}212-555-0142")


def test_a_column_is_changed_only_where_a_contact_is():
    column = pa.array([*PLAIN, None, "call 212\u00a0555\u00a00142"])
    assert clean_text.without_contact(column).to_pylist() == [*PLAIN, None, "call …"]


@pytest.mark.parametrize(
    "piece", ["a", "1 ", "@", "a@", "(", "1(", "at ", "(at", "+1-", "9", '"', "a.@a.", "12345 6"]
)
def test_a_crafted_text_takes_no_longer_when_it_is_longer(piece: str):
    def seconds(length: int) -> float:
        text = (piece * length)[:length]
        started = time.perf_counter()
        without_contact(text)
        return time.perf_counter() - started

    assert min(seconds(1_000_000) for _ in range(2)) < 1
