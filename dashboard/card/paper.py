"""The card on paper and as text: one page for a talk, with room for what is agreed."""

from dashboard.card.load import Card, CardPattern
from dashboard.card.sentences import NONE_STANDS_OUT
from dashboard.text.paper import Paper, PaperTable, paper_html

HEADS = ("Job", "Closed", "Complaint", "Replaced", "Chance at fault", "Turned out to be")
ROOM = "_" * 60
NOTE = (
    "A pattern is a reason to look at a job, never a judgment of a person. Expected: what the "
    "others of the shop show on the same appliances and complaints, this technician left out. "
    "“Chance at fault”: how often parts with such readings were right in this shop. There is no "
    "rank and no total score. What a technician saw and heard is in no record."
)


def html(card: Card) -> str:
    """Return the card as HTML that stands alone and prints."""
    well = PaperTable("What goes well", ("",), [(line,) for line in card.well])
    rest = PaperTable(
        "Also",
        ("",),
        [(line,) for line in (card.since_talk, card.not_written, *card.meter)],
    )
    agreed = PaperTable("Agreed today", ("Point", "By when"), [(ROOM, ROOM[:20])] * 2)
    patterns = [_table(each) for each in card.patterns]
    lines = [
        line
        for line in (card.shop, f"Jobs closed {card.period}.", card.few, card.first_time_fix)
        if line
    ]
    if not patterns:
        lines.append(NONE_STANDS_OUT)
    title = f"Card for a talk: {card.technician}"
    return paper_html(Paper(title, lines, [well, *patterns, rest, agreed], [NOTE]))


def _table(pattern: CardPattern) -> PaperTable:
    title = f"{pattern.finding} Ask: {pattern.question}"
    return PaperTable(title, HEADS, [tuple(map(str, row)) for row in pattern.jobs.to_numpy()])


def as_text(card: Card) -> str:
    """Return the card for a terminal."""
    lines = [f"{card.technician}, {card.period}"]
    lines += [card.few] if card.few else []
    lines += [card.first_time_fix]
    lines += ["", "What goes well", *(f"  {line}" for line in card.well), "", "To talk about"]
    for pattern in card.patterns:
        lines += [f"  {pattern.finding}", f"    Ask: {pattern.question}"]
        lines += [
            f"    Job {row[0]}, {row[1]}, {row[2]}; {row[3]}; chance at fault {row[4]}; {row[5]}"
            for row in pattern.jobs.to_numpy()
        ]
    lines += [] if card.patterns else [f"  {NONE_STANDS_OUT}"]
    return "\n".join([*lines, "", card.since_talk, card.not_written, *card.meter])
