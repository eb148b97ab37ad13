"""Customers and serials are recognised by keyed hashes, never by their text."""

import stat
import sys
import threading

import pyarrow as pa
import pytest

from etl.folder.shop_key import KeyFileError, unit_key
from etl.personal.keyed_hash import keyed, keyed_column

SECRET = bytes(range(32))


def test_the_key_is_made_once_and_only_its_owner_may_read_it(tmp_path):
    first = unit_key(tmp_path)
    assert len(first) == 32
    assert unit_key(tmp_path) == first
    assert [path.name for path in tmp_path.iterdir()] == ["unit.key"]
    if sys.platform != "win32":
        assert stat.S_IMODE((tmp_path / "unit.key").stat().st_mode) == 0o600


def test_two_shops_have_different_keys(tmp_path):
    shops = [tmp_path / "north", tmp_path / "south"]
    for shop in shops:
        shop.mkdir()
    assert unit_key(shops[0]) != unit_key(shops[1])


def test_many_first_users_at_once_get_one_key(tmp_path):
    keys: list[bytes] = []
    start = threading.Barrier(8)

    def first_use() -> None:
        start.wait()
        keys.append(unit_key(tmp_path))

    users = [threading.Thread(target=first_use) for _ in range(8)]
    for user in users:
        user.start()
    for user in users:
        user.join()
    assert len(keys) == 8
    assert len(set(keys)) == 1
    assert [path.name for path in tmp_path.iterdir()] == ["unit.key"]


def test_the_key_is_made_where_links_are_not_possible(tmp_path, monkeypatch):
    def no_links(*_: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr("os.link", no_links)
    assert unit_key(tmp_path) == unit_key(tmp_path)


@pytest.mark.parametrize("content", ["", "00", "z" * 64, "00" * 33, "é" * 32])
def test_a_damaged_key_is_never_replaced(tmp_path, content):
    path = tmp_path / "unit.key"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(KeyFileError, match="bring it back from a backup") as message:
        unit_key(tmp_path)
    assert path.read_text(encoding="utf-8") == content
    assert "\n" not in str(message.value)


@pytest.mark.parametrize(
    ("secret", "text", "digest"),
    [
        (b"\x0b" * 20, "Hi There", "b0344c61d8db3853"),
        (b"Jefe", "what do ya want for nothing?", "5bdcc146bf60754e"),
    ],
)
def test_the_hash_is_hmac_sha256(monkeypatch, secret, text, digest):
    """RFC 4231, sections 4.2 and 4.3, the first 8 bytes; folding is taken out of the way."""
    monkeypatch.setattr("etl.personal.keyed_hash.folded", lambda text: text)
    assert keyed(secret, text) == f"key:{digest}"


@pytest.mark.parametrize(
    "spelling", ["sn 123-45", "SN12345", " Sn.123/45 ", "ＳＮ１２３４５", "sn_123_45"]
)
def test_spellings_of_one_serial_are_one_unit(spelling):
    assert keyed(SECRET, spelling) == keyed(SECRET, "SN-12345")


def test_other_serials_keys_and_accents_stay_apart():
    assert keyed(SECRET, "SN12345") != keyed(SECRET, "SN12346")
    assert keyed(SECRET, "SN12345") != keyed(SECRET[::-1], "SN12345")
    assert keyed(SECRET, "Muller") != keyed(SECRET, "Müller")


def test_composed_and_combined_accents_are_one_name():
    """Unicode Standard Annex 15: U+00FC is equivalent to u with U+0308."""
    assert keyed(SECRET, "M\u00fcller") == keyed(SECRET, "Mu\u0308ller")


def test_a_hash_passes_through_unchanged():
    once = keyed(SECRET, "SN12345")
    assert keyed(SECRET, once) == once
    assert keyed(SECRET, once.upper()) != once.upper()
    assert keyed(SECRET, once + "\n") != once + "\n"


def test_a_column_keeps_its_rows_and_its_gaps():
    column = pa.chunked_array([["SN1", None, " "], ["sn-1", "--", "SN2"]])
    hashes = keyed_column(SECRET, column)
    one, two = keyed(SECRET, "SN1"), keyed(SECRET, "SN2")
    assert hashes.to_pylist() == [one, None, None, one, None, two]
    assert hashes.type == pa.string()


def test_words_for_not_known_make_no_unit():
    words = ["n/a", "N.A.", "none", "Unknown", "not available", "0", "000000", "XXX", "?", "-"]
    assert keyed_column(SECRET, pa.array(words)).null_count == len(words)


def test_an_empty_column_and_one_of_nulls_stay_so():
    assert keyed_column(SECRET, pa.array([], pa.string())).to_pylist() == []
    assert keyed_column(SECRET, pa.chunked_array([], pa.string())).to_pylist() == []
    assert keyed_column(SECRET, pa.nulls(2)).to_pylist() == [None, None]


def test_each_distinct_text_is_hashed_once(monkeypatch):
    hashed: list[str] = []

    def counted(secret: bytes, text: str) -> str:
        hashed.append(text)
        return keyed(secret, text)

    monkeypatch.setattr("etl.personal.keyed_hash.keyed", counted)
    keyed_column(SECRET, pa.array(["A1", "B2"] * 500))
    assert sorted(hashed) == ["A1", "B2"]


def test_nothing_of_the_text_is_in_the_hash():
    assert "smith" not in keyed(SECRET, "Smith, 12 High Street").lower()
