"""Customers and serials become keyed hashes; the key stays in a file outside the database."""

import hmac
import os
import re
import secrets
from hashlib import sha256
from pathlib import Path

import pyarrow as pa
import pyarrow.compute as pc

KEY_FILE = "unit.key"
KEYED = re.compile(r"^key:[0-9a-f]{16}$")


def unit_key(folder: Path) -> bytes:
    """Return the shop's secret of 32 bytes; the file is made on first use, readable by its owner.

    Raises ValueError when the file is there but is no key.
    """
    path = folder / KEY_FILE
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return _read_key(path)
    with os.fdopen(descriptor, "w", encoding="ascii") as file:
        file.write(secrets.token_hex(32))
    return _read_key(path)


def _read_key(path: Path) -> bytes:
    try:
        key = bytes.fromhex(path.read_text(encoding="ascii").strip())
    except ValueError:
        key = b""
    if len(key) != 32:
        raise ValueError(f"{path}: not a key of 64 hex digits; restore it from a backup")
    return key


def keyed(secret: bytes, text: str) -> str:
    """Return "key:" and 16 hex digits, the same for texts that differ in case or punctuation.

    A text that is such a hash already comes back unchanged.
    """
    if KEYED.match(text):
        return text
    folded = re.sub(r"[\W_]+", "", text.casefold())
    return "key:" + hmac.new(secret, folded.encode("utf-8"), sha256).hexdigest()[:16]


def keyed_column(secret: bytes, column: pa.Array | pa.ChunkedArray) -> pa.Array:
    """Return the keyed hashes of a text column; blank and null give null, each text hashed once."""
    combined = column.combine_chunks() if isinstance(column, pa.ChunkedArray) else column
    encoded = pc.dictionary_encode(combined)
    if isinstance(encoded, pa.ChunkedArray):
        encoded = encoded.combine_chunks()
    hashes = pa.array(
        [
            keyed(secret, text) if re.search(r"\w", text) else None
            for text in encoded.dictionary.to_pylist()
        ],
        pa.string(),
    )
    return hashes.take(encoded.indices)
