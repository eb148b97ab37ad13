"""A note whose readings stand between slashes → its pieces, where each says all of its own."""

from dataclasses import replace

from etl.readings.notes.forms import read_form
from etl.readings.notes.items import Setting, items_of
from etl.readings.notes.points import is_like_a_supply
from etl.readings.tokens import Lexeme
from etl.readings.value import LONGEST
from etl.readings.vocabulary import Vocabulary


def pieces_of(fragment: list[Lexeme], words: Vocabulary, setting: Setting) -> list[list[Lexeme]]:
    """Split `def htr OL / ff temp 52 F` where each piece says all of its own.

    `heater / thermostat OL` says one reading of two, `78 ret / 58 sup` is a form: both stay whole.
    """
    if not any(lexeme.kind == "slash" for lexeme in fragment):
        return [fragment]
    pieces: list[list[Lexeme]] = [[]]
    for lexeme in _with_volts(fragment):
        if lexeme.kind == "slash":
            pieces.append([])
        else:
            pieces[-1].append(lexeme)
    is_form = bool(read_form(text_of(fragment)[:LONGEST], words, setting))
    is_split = not is_form and all(_says_all(piece, words, setting) for piece in pieces if piece)
    return [piece for piece in pieces if piece] if is_split else [fragment]


def _with_volts(fragment: list[Lexeme]) -> list[Lexeme]:
    """Read the 0 of `240 at outlet / 0 at element` as volts: it is compared with a supply."""
    numbers = [lexeme for lexeme in fragment if lexeme.kind == "number"]
    if not any(is_like_a_supply(n.text.rstrip("vVACac ")) for n in numbers):
        return fragment
    return [
        replace(lexeme, text="0 V", unit="V")
        if lexeme in numbers and lexeme.text == "0"
        else lexeme
        for lexeme in fragment
    ]


def _says_all(piece: list[Lexeme], words: Vocabulary, setting: Setting) -> bool:
    """Say whether a piece has a point with its reading, or neither."""
    items = items_of(piece, words, setting)
    has_point = any(item.role == "point" for item in items)
    has_reading = any(item.role in ("reading", "expected", "not_measured") for item in items)
    return has_point == has_reading or any(i.role == "point" and i.text[0].isdigit() for i in items)


def text_of(fragment: list[Lexeme]) -> str:
    """Return a fragment as text, its lexemes with single blanks between them."""
    return " ".join(lexeme.text for lexeme in fragment)
