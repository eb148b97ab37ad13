"""Bytes → text: the byte order mark decides, else UTF-8, else Windows-1252."""

import codecs
import re

BROKEN = re.compile("[\ud800-\udfff]")
CHUNK_BYTES = 1 << 20
BROKEN_MARK = "\udcff"


def _mark(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeDecodeError):
        raise error
    return BROKEN_MARK, error.end


# A lone surrogate cannot occur in valid text, hence it marks bytes that are no text without
# mistaking a U+FFFD that the file's writer left behind.
codecs.register_error("mark_broken", _mark)


def encoding_of(content: bytes) -> str:
    """Return the name of the text's encoding.

    A file whose bytes above 127 are mostly sound UTF-8 is UTF-8: only the rows that hold the
    others suffer. Without a byte above 127 it is UTF-8 too.
    """
    if content.startswith(codecs.BOM_UTF8):
        return "utf-8-sig"
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    sound, broken = _sound_and_broken(content)
    return "cp1252" if broken > sound else "utf-8"


def is_sound_utf_8(content: bytes) -> bool:
    """Say whether every byte belongs to a character of UTF-8."""
    decoder = codecs.getincrementaldecoder("utf-8")()
    try:
        for start in range(0, len(content), CHUNK_BYTES):
            decoder.decode(content[start : start + CHUNK_BYTES])
        decoder.decode(b"", True)
    except UnicodeDecodeError:
        return False
    return True


def _sound_and_broken(content: bytes) -> tuple[int, int]:
    decoder = codecs.getincrementaldecoder("utf-8")("surrogateescape")
    sound = broken = 0
    for start in range(0, len(content), CHUNK_BYTES):
        is_last = start + CHUNK_BYTES >= len(content)
        text = decoder.decode(content[start : start + CHUNK_BYTES], is_last)
        if not text.isascii():
            wide = len(re.findall(r"[^\x00-\x7f]", text))
            bad = len(BROKEN.findall(text))
            sound += wide - bad
            broken += bad
    return sound, broken


def decoded(content: bytes) -> str:
    """Return the whole text; bytes that are none become lone surrogates (see BROKEN)."""
    return content.decode(encoding_of(content), "mark_broken")


def repaired(text: str) -> str:
    """Return the text with U+FFFD in place of what could not be decoded."""
    return BROKEN.sub("\ufffd", text)
