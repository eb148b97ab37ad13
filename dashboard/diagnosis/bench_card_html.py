"""One page for the bench: the tests of a complaint in the proposed order, with cautions."""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

STYLE = """
@page { size: A4; margin: 12mm }
body { font: 10.5pt/1.35 "Liberation Sans", Arial, sans-serif; color: #111; max-width: 190mm;
  margin: 0 auto; padding: 4mm }
h1 { font-size: 15pt; margin: 0 0 1mm } p { margin: 1mm 0 }
ol { padding-left: 7mm; margin: 2mm 0 } li { margin: 1.2mm 0; break-inside: avoid }
.open { font-weight: bold; margin: 2mm 0 0 -7mm; list-style: none }
.danger { border-left: 1.2mm solid #b3261e; padding-left: 2mm; font-weight: bold }
.warning { border-left: 1.2mm solid #9a6700; padding-left: 2mm }
.note, .small { font-size: 8.5pt; color: #333 }
.box { display: inline-block; width: 3.2mm; height: 3.2mm; border: 0.3mm solid #111;
  margin-right: 2mm }
"""


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


def card_lines(tests: Sequence[CardTest]) -> tuple[CardLine, ...]:
    """Return tests with every caution before the step that needs it; cautions are caution ids.

    Lock-out stands before the first de-energised step and again after each energised one; the live
    caution at every live step; a hazard's caution where it first comes up. No tests: ().
    """
    lines: list[CardLine] = []
    told: set[str] = set()
    is_locked_out = False
    for test in tests:
        hazards = (test.opened_hazards | test.hazards) - {"none", "live"}
        lines += [CardLine("caution", hazard) for hazard in sorted(hazards - told)]
        told |= hazards
        if test.is_live:
            lines.append(CardLine("caution", "live"))
        elif not test.is_energised and not is_locked_out:
            lines.append(CardLine("caution", "lock_out"))
        is_locked_out = not test.is_energised
        lines += [CardLine("open", node) for node in test.opened]
        lines.append(CardLine("test", _test_words(test)))
    return tuple(lines)


def _test_words(test: CardTest) -> str:
    state = ""
    if test.is_energised:
        exposed = test.hazards - {"none"}
        state = "powered, covers on, " if exposed else "powered, nothing exposed, "
        state = "LIVE, " if test.is_live else state
        state = "GAS OPENED, " if "gas_opened" in test.hazards else state
    limits = f": {test.limits}" if test.limits else ""
    return f"{test.name}{limits} ({state}{test.minutes:.0f} min)"


def html(card: Card) -> str:
    """Return the card as a page that stands alone and prints on one sheet."""
    body = "\n".join(_line(line) for line in card.lines)
    closing = ""
    if card.before_closing:
        items = "\n".join(
            f'<li><span class="box"></span>{escape(c)}</li>' for c in card.before_closing
        )
        closing = f"<p><strong>Before closing</strong></p>\n<ul>\n{items}\n</ul>"
    remarks = "\n".join(f'<p class="{r.kind}">{escape(r.text)}</p>' for r in card.remarks)
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f"<title>{escape(card.title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        f'<h1>{escape(card.title)}</h1>\n<p class="small">{escape(card.basis)}</p>\n'
        f"<ol>\n{body}\n</ol>\n{closing}\n{remarks}\n</body>\n</html>\n"
    )


def _line(line: CardLine) -> str:
    text = escape(line.text)
    if line.kind == "test":
        return f'<li><span class="box"></span>{text}</li>'
    if line.kind == "open":
        return f'<li class="open">{text}</li>'
    return f'<li class="open {line.kind}" style="font-weight:normal">{text}</li>'
