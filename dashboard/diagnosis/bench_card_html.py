"""One page for the bench: the tests of a complaint in the proposed order, with cautions."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from dashboard.text.templates import templates

LOCK_OUT_AGAIN = "lock_out_again"
NOT_FOUND = "Nothing found? These narrow it down"
TEMPLATES = templates(Path(__file__).parent)


@dataclass(frozen=True)
class CardLine:
    """One line of the card: a test, a thing to open, or a caution ("danger", "warning", "note")."""

    kind: str
    text: str


@dataclass(frozen=True)
class Card:
    """A card: title, what it rests on, its lines, checks before closing, closing remarks."""

    title: str
    basis: str
    lines: tuple[CardLine, ...]
    before_closing: tuple[str, ...]
    remarks: tuple[CardLine, ...]


@dataclass(frozen=True)
class CardTest:
    """A test as the card needs it: its words, what is opened for it, its hazards."""

    name: str
    limits: str
    minutes: float
    opened: tuple[str, ...]
    opened_hazards: frozenset[str]
    hazards: frozenset[str]
    is_live: bool
    is_energised: bool
    is_look: bool = False  # a look at the closed machine: nothing to lock out


def card_lines(tests: Sequence[CardTest], found_by: int | None = None) -> tuple[CardLine, ...]:
    """Return tests with every caution, once, before the step that needs it first.

    Cautions are caution ids. After an energized step the next dead one reminds of the lock-out in
    short; each live test bears the word LIVE itself. From test number `found_by` on they are under
    a heading of their own. No tests: ().
    """
    lines: list[CardLine] = []
    shown: set[str] = set()
    is_locked_out = False
    for place, test in enumerate(tests):
        if place == found_by:
            lines.append(CardLine("heading", NOT_FOUND))
        needed = sorted((test.opened_hazards | test.hazards) - {"none", "live"})
        needed += ["live"] if test.is_live else []
        is_dead = not test.is_energised and not test.is_look
        if is_dead and not is_locked_out and "lock_out" in shown:
            lines.append(CardLine("caution", LOCK_OUT_AGAIN))
        needed += ["lock_out"] if is_dead else []
        lines += [CardLine("caution", name) for name in needed if name not in shown]
        shown |= set(needed)
        is_locked_out = is_dead or (is_locked_out and test.is_look)
        lines += [CardLine("open", node) for node in test.opened]
        lines.append(CardLine("test", _test_words(test)))
    return tuple(lines)


def _test_words(test: CardTest) -> str:
    state = ""
    if test.is_energised:
        exposed = test.hazards - {"none"}
        state = "power on, covers on, " if exposed else "power on, "
        state = "LIVE, " if test.is_live else state
        state = "GAS OPENED, " if "gas_opened" in test.hazards else state
    limits = f": {test.limits}" if test.limits else ""
    return f"{test.name}{limits} ({state}{test.minutes:.0f} min)"


def html(card: Card) -> str:
    """Return the card as a page that stands alone and prints on one sheet."""
    return TEMPLATES.get_template("bench_card.html.jinja").render(card=card)
