"""Numbers in a complaint that say something: `freezer at 30`, a stop `after 10 secs`."""

from collections.abc import Sequence

from etl.words.lexicon import Piece

# degrees from which a compartment is warm on either scale; FDA: 40 °F and 0 °F at most (memory)
WARM_FROM = {"ff": 45, "fridge": 45, "temp": 45, "fz": 15}
WARM_KINDS = {"freezer": 15, "wine_cooler": 66}  # wine is kept at up to 65 °F: common practice
COLD_KINDS = ("refrigerator", *WARM_KINDS)
HOTTEST = 120  # above it a number is no temperature of a cabinet
NEXT = 4  # pieces between a compartment and its number
SET = frozenset(("set", "setting", "supposed", "should"))
DEGREES = frozenset(("deg", "degs", "degree", "degrees", "f", "c"))
SAID_DEGREES = DEGREES - {"f", "c"}
TEMPERATURE = Piece(("temp",), frozenset(("temp",)))
SPAN = frozenset(
    ("sec", "secs", "second", "seconds", "min", "mins", "minute", "minutes", "hr", "hrs", "hour",
     "hours")
)  # fmt: skip
LONGEST_SPAN = 5  # words of `after about an hour or`


def with_amounts(pieces: Sequence[Piece], kind: str) -> list[Piece]:
    """Read `freezer at 30` as warm where the kind keeps cold, and `after 10 secs` as midcycle."""
    found = _with_spans(pieces)
    return _with_temperatures(found, kind) if kind in COLD_KINDS else found


def _with_spans(pieces: Sequence[Piece]) -> list[Piece]:
    found: list[Piece] = []
    position = 0
    while position < len(pieces):
        length = _span(pieces[position : position + LONGEST_SPAN])
        if length:
            words = tuple(w for piece in pieces[position : position + length] for w in piece.words)
            found.append(Piece(words, frozenset(("midcycle",))))
        else:
            found.append(pieces[position])
        position += length or 1
    return found


def _span(pieces: Sequence[Piece]) -> int:
    """Return how many pieces say `after 10 seconds`, 0 where the first does not begin it."""
    if pieces[0].words != ("after",):
        return 0
    for length, piece in enumerate(pieces[1:], 2):
        if piece.is_break:
            return 0
        if piece.words[-1] in SPAN:
            return length
    return 0


def _with_temperatures(pieces: Sequence[Piece], kind: str) -> list[Piece]:
    found = list(pieces)
    for i, piece in enumerate(pieces):
        word = piece.words[0]
        before = _said_before(pieces, i)
        place = next((p for p in reversed(before) if not p.concepts.isdisjoint(WARM_FROM)), None)
        after = pieces[i + 1] if i + 1 < len(pieces) else None
        is_time = after is not None and not piece.concepts and _is_other_unit(after)
        place = place or (TEMPERATURE if after and after.words[0] in SAID_DEGREES else None)
        if word.isdigit() and place and not is_time and not any(_is_set(p) for p in before):
            least = WARM_KINDS.get(kind) or min(WARM_FROM[c] for c in place.concepts & _PLACES)
            if least <= int(word) <= HOTTEST:
                found[i] = Piece(piece.words, frozenset(("warm",)))
                if after and after.words[0] in SAID_DEGREES:
                    found[i + 1] = Piece(after.words, frozenset(("filler",)))
    return found


_PLACES = frozenset(WARM_FROM)


def _said_before(pieces: Sequence[Piece], place: int) -> Sequence[Piece]:
    """Return the last pieces of the clause before a place."""
    first = max(0, place - NEXT)
    breaks = [i for i in range(first, place) if pieces[i].is_break]
    return pieces[breaks[-1] + 1 if breaks else first : place]


def _is_set(piece: Piece) -> bool:
    return not SET.isdisjoint(piece.words)


def _is_other_unit(piece: Piece) -> bool:
    """Say whether the word after a number makes it something else: `45 minutes`, `30 lbs`."""
    if piece.is_break or piece.words[0] in DEGREES:
        return False
    return not piece.concepts or "aside" in piece.concepts
