"""Customers and serials become keyed hashes (HMAC-SHA256); the key is etl/folder/shop_key.py."""

import hmac
import re
import unicodedata

import pyarrow as pa
import pyarrow.compute as pc

KEYED = re.compile(r"key:[0-9a-f]{16}")
# Written where nothing is known: hashed, they would make strangers' appliances one unit.
UNNAMED = frozenset(
    {"na", "none", "nil", "null", "unknown", "notavailable", "illegible", "missing"}
)


def keyed(secret: bytes, text: str) -> str:
    """Return "key:" and 16 hex digits, the same for texts that differ in case or punctuation.

    A text that is such a hash already comes back unchanged. HMAC-SHA256 (RFC 2104, FIPS 198-1).
    """
    if KEYED.fullmatch(text):
        return text
    digest = hmac.digest(secret, folded(text).encode("utf-8", "surrogatepass"), "sha256")
    return f"key:{digest[:8].hex()}"


def folded(text: str) -> str:
    """Return letters and digits only, without case: what two spellings of a name share."""
    if text.isascii() and text.isalnum():  # as most serials are: nothing else to do
        return text.lower()
    plain = unicodedata.normalize("NFKC", text).casefold()
    return re.sub(r"[\W_]+", "", unicodedata.normalize("NFKC", plain))


def keyed_column(secret: bytes, column: pa.Array | pa.ChunkedArray) -> pa.Array:
    """Return the keyed hashes of a text column, each distinct text hashed once.

    Null, blank, and words for "not known" such as "n/a" give null.
    """
    texts = column.combine_chunks() if isinstance(column, pa.ChunkedArray) else column
    encoded = pc.dictionary_encode(texts.cast(pa.string()))
    hashes = [_keyed_or_none(secret, text) for text in encoded.dictionary.to_pylist()]
    return pa.array(hashes, pa.string()).take(encoded.indices)


def _keyed_or_none(secret: bytes, text: str) -> str | None:
    plain = folded(text)
    return None if plain in UNNAMED or not plain.strip("0x") else keyed(secret, text)
