"""Texts of cells made fit to keep: one line, nothing around them, without telephone numbers."""

from collections.abc import Callable

import pyarrow as pa
import pyarrow.compute as pc

from etl.personal import contact

LINE_ENDS_AND_CONTROLS = r"[\p{Cc}\p{Zl}\p{Zp}]+"
TURNS_OF_DIRECTION = r"[\x{061C}\x{200E}\x{200F}\x{202A}-\x{202E}\x{2066}-\x{2069}]"
MAY_HOLD_CONTACT = r"(?i)[@＠﹫]|\bat\b|(?:\p{N}[^\p{N}]*){7}"  # the others are not looked at
KEPT_CHARACTERS = 200


def by_distinct(column: pa.ChunkedArray, change: Callable[[pa.Array], pa.Array]) -> pa.ChunkedArray:
    """Change each distinct text of a chunk once: shops write few words, and those often.

    `column` may be dictionary-encoded; the result is plain text.
    """
    chunks = []
    for chunk in column.chunks:
        encoded = chunk if pa.types.is_dictionary(chunk.type) else chunk.dictionary_encode()
        chunks.append(change(encoded.dictionary).take(encoded.indices))
    return pa.chunked_array(chunks, pa.string())


def on_one_line(texts: pa.Array) -> pa.Array:
    """Return texts on one line each, without signs that steer a terminal or turn the direction of
    writing: they could make a page or a list say what no row says."""
    if not pc.all(pc.ascii_is_printable(texts)).as_py():
        texts = pc.replace_substring_regex(texts, LINE_ENDS_AND_CONTROLS, " ")
        texts = pc.replace_substring_regex(texts, TURNS_OF_DIRECTION, "")
    return trimmed(texts)


def trimmed(texts: pa.Array) -> pa.Array:
    """Return texts without blanks around them; empty ones, and the apostrophe that our own exports
    put before a formula sign, are taken out."""
    texts = pc.utf8_trim_whitespace(texts)
    if pc.any(pc.starts_with(texts, "'")).as_py():
        texts = pc.replace_substring_regex(texts, r"^'([=+\-@＝＋－＠])", r"\1")
    if pc.any(pc.match_substring_regex(texts, r"[;|\t]'[=+\-@＝＋－＠]")).as_py():
        texts = pc.replace_substring_regex(texts, r"([;|\t])'([=+\-@＝＋－＠])", r"\1\2")
    return pc.if_else(pc.equal(texts, ""), pa.scalar(None, pa.string()), texts)


def without_contact(texts: pa.Array) -> pa.Array:
    """Return the first 200 characters without mail addresses and telephone numbers."""
    doubtful = pc.fill_null(pc.match_substring_regex(texts, MAY_HOLD_CONTACT), False)
    if pc.any(doubtful).as_py():
        found = texts.filter(doubtful).to_pylist()
        blotted = pa.array([contact.without_contact(text) for text in found], pa.string())
        texts = pc.replace_with_mask(texts, doubtful, blotted)
    return pc.utf8_slice_codeunits(texts, 0, KEPT_CHARACTERS)
