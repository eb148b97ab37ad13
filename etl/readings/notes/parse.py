"""A technician's free-text note → its readings; what is not understood stays unread."""

from dataclasses import dataclass
from itertools import pairwise

from etl.readings.normalise import plain
from etl.readings.notes.forms import read_form
from etl.readings.notes.items import MEASURED, Item, Setting, items_of
from etl.readings.notes.pairs import BREAKS, Pair, pairs_of, runs_of
from etl.readings.notes.points import read_pair
from etl.readings.notes.reading import NoteReading
from etl.readings.notes.slashes import pieces_of, text_of
from etl.readings.tokens import Lexeme, fragments, without_list_numbers
from etl.readings.value import LONGEST, parse_value, refused
from etl.readings.vocabulary import Vocabulary, vocabulary

WHOLE = frozenset(("reading_ambiguous", "reading_is_a_date"))
LONGEST_NOTE = 32_767  # characters that a spreadsheet cell can hold
NO_READING = "reading_missing"


@dataclass(frozen=True)
class Note:
    """The readings of a note in the order written, and the fragments that could hold more.

    unread lists fragments with a number or a reading word that were not understood; they may hold
    a telephone number or a name, so they are counted and never stored.
    """

    readings: tuple[NoteReading, ...] = ()
    unread: tuple[str, ...] = ()


def parse_note(
    text: str,
    *,
    kind: str,
    decimal: str = ".",
    fold_case: bool = False,
    temperature_unit: str | None = None,
) -> Note:
    """Read the readings of one note about an appliance of this kind.

    A reading is a word for a test point or part next to a value, with its unit or in the point's
    usual one; `temperature_unit` is what the file's bare temperatures are in, if it says so.
    Values are in the base unit of sql/lookups/units.csv. An empty note has no readings, an unknown
    kind no test points. Never raises on a text; raises ValueError on another decimal mark.
    """
    setting = Setting(decimal, fold_case, temperature_unit)
    text = without_list_numbers(text)
    whole = parse_value(text, decimal=decimal, fold_case=fold_case)
    if whole.problem in WHOLE or (whole.problem == NO_READING and plain(text)):
        return Note((NoteReading(None, whole, plain(text)),))
    readings: list[NoteReading] = []
    unread = [text[LONGEST_NOTE:]] if len(text) > LONGEST_NOTE else []
    not_measured: frozenset[str] = frozenset()
    pieces = [
        piece
        for fragment in fragments(text[:LONGEST_NOTE])
        for piece in pieces_of(fragment, vocabulary(kind), setting)
    ]
    for fragment in _continued(pieces, vocabulary(kind), setting):
        if _goes_on(fragment, not_measured):
            unread.append(text_of(fragment))
            continue
        found, is_read = _fragment(fragment, vocabulary(kind), setting)
        not_measured = frozenset() if found else _units_not_measured(fragment, kind, setting)
        readings += found
        if not is_read:
            unread.append(text_of(fragment))
    return Note(tuple(readings), tuple(unread))


def _continued(
    fragments_: list[list[Lexeme]], words: Vocabulary, setting: Setting
) -> list[list[Lexeme]]:
    """Join `checked heater, measured 26 ohm`: one point, then one reading of no other point."""
    joined: list[list[Lexeme]] = []
    before = ""
    for fragment in fragments_:
        items = items_of(fragment, words, setting)
        roles = {item.role for item in items}
        counts = [sum(item.role == role for item in items) for role in ("point", "reading")]
        says_on = items[0].key[:1] and items[0].key[0] in MEASURED
        if before == "point" and roles <= {"filler", "mark", "reading"} and says_on:
            joined[-1] = joined[-1] + fragment if counts[1] == 1 else joined[-1]
            joined += [fragment] if counts[1] != 1 else []
        else:
            joined.append(fragment)
        is_point = roles <= {"filler", "mark", "point"} and counts == [1, 0]
        before = "point" if is_point else ""
    return joined


def _units(fragment: list[Lexeme]) -> frozenset[str]:
    return frozenset(x.unit for x in fragment if x.kind in ("number", "list") and x.unit)


def _units_not_measured(fragment: list[Lexeme], kind: str, setting: Setting) -> frozenset[str]:
    """Return the units of a fragment that tells of no measurement, none of another one."""
    units = _units(fragment)
    is_known = units and _is_not_measured(items_of(fragment, vocabulary(kind), setting))
    return units if is_known else frozenset()


def _goes_on(fragment: list[Lexeme], not_measured: frozenset[str]) -> bool:
    """Say whether `ff 37F` after `should be fz 0F` goes on with what was not measured."""
    units = _units(fragment)
    is_measured = any(lexeme.key in MEASURED for lexeme in fragment)
    return bool(units) and units <= not_measured and not is_measured


def _fragment(
    fragment: list[Lexeme], words: Vocabulary, setting: Setting
) -> tuple[list[NoteReading], bool]:
    """Return the readings of a fragment, and whether all that looked like one was read."""
    text = text_of(fragment)
    if len(text) <= LONGEST:
        formed = read_form(text, words, setting)
        if formed:
            return formed, True
        whole = parse_value(text, decimal=setting.decimal)
        if whole.problem in WHOLE:
            return [NoteReading(None, whole, text)], True
    items = items_of(fragment, words, setting)
    if _is_not_measured(items):
        return [], not any(item.role == "reading" for item in items)
    if any(item.role == "doubtful" for item in items):
        return _doubtful(items)
    has_junk = any(item.role in ("junk", *BREAKS) for item in items)
    pairs = [pair for run in runs_of(items) for pair in pairs_of(run, words)]
    counted = [pair for pair in pairs if _counts(pair, has_junk)]
    readings = [read_pair(pair, words, setting) for pair in counted]
    is_read = len(counted) == len(pairs) and not (_has_lost_number(items) or _is_shared(items))
    return readings, is_read


def _counts(pair: Pair, has_junk: bool) -> bool:
    """Leave out a bare number, or a state of no part, among words that are not known."""
    if not has_junk:
        return True
    if pair.problem:
        return False
    return bool(pair.point) if pair.reading.phrase else not pair.reading.is_bare


def _is_not_measured(items: list[Item]) -> bool:
    """Say whether the fragment tells of a guess or the opposite: `should be`, `not open`."""
    return any(item.role == "not_measured" for item in items) or any(
        first.role == "negation" and second.role == "reading" and second.phrase is not None
        for first, second in pairwise(items)
    )


def _is_shared(items: list[Item]) -> bool:
    """Say whether one reading may hold for two parts: `TF and hi-limit OL`."""
    roles = [item.role for item in items]
    return (
        any(roles[i : i + 3] == ["point", "conjunction", "point"] for i in range(len(roles)))
        and "reading" in roles
    )


def _doubtful(items: list[Item]) -> tuple[list[NoteReading], bool]:
    """Refuse every reading that the writer marked as not real."""
    readings = [item for item in items if item.role == "reading"]
    return [NoteReading(None, refused("reading_doubtful"), item.text) for item in readings], True


def _has_lost_number(items: list[Item]) -> bool:
    return any(item.role == "junk" and any(c.isdigit() for c in item.text) for item in items)


__all__ = ["Note", "NoteReading", "parse_note"]
