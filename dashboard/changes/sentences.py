"""A change, its effect and a target as sentences."""

from math import ceil

from dashboard.changes.compute import EARLY, NOTHING, WORKED, WORSE, Effect, Group
from dashboard.changes.figures import NAMES, Figure, share
from dashboard.changes.load import Judged
from dashboard.changes.targets import Outlook
from dashboard.database.labels import Labels
from dashboard.notes.changes import UP, Change
from dashboard.text import format as words

MANY_MONTHS = 36  # more is as good as never
TOUCHES = {
    "branch": "branch", "technician": "technician", "appliance_kind": "appliance",
    "symptom": "complaint", "part_no": "part",
}  # fmt: skip


def title(change: Change) -> str:
    """Write day and change: "Apr 6, 2026: kit of parts on every van"."""
    return f"{words.day(change.changed_on)}: {change.what}"


def touches(change: Change, labels: Labels) -> str:
    """Say whom a change touches and what should move."""
    parts = []
    for key, noun in TOUCHES.items():
        if values := getattr(change, key):
            names = [v if key == "part_no" else labels.of(key, v) for v in values]
            parts.append(f"{noun} {words.listed(names, 'or')}")
    whom = ", ".join(parts) or "the whole shop"
    return f"Touches {whom}. {NAMES[change.measure]} should go {change.way}."


def verdict(change: Change, effect: Effect, currency: str | None) -> str:
    """Say in one sentence whether the change worked."""
    figure, found = Figure(change.measure, currency), effect.effect
    if found is None or effect.verdict == "unknown":
        before, after = effect.touched.before.jobs, effect.touched.after.jobs
        return (
            f"Cannot be said from these records: {words.counted(before, 'job')} before and "
            f"{words.counted(after, 'job')} after can be judged."
        )
    moved = f"{figure.name}: {figure.change(found)}"
    if effect.verdict == WORKED:
        return f"It worked. {moved}, the mix of work held."
    if effect.verdict == WORSE:
        return f"It went the other way. {moved}, the mix of work held."
    if effect.verdict == NOTHING:
        better = "a rise" if change.way == UP else "a fall"
        ruled_out = f"{better} of {figure.worth_seeing(effect)} is ruled out"
        return f"It made no difference that matters. {moved}; {ruled_out}."
    assert effect.verdict == EARLY
    head = "No effect is seen." if effect.more_months > MANY_MONTHS else "Too early to say."
    return f"{head} {moved} so far. {wait(effect, figure)}"


def wait(effect: Effect, figure: Figure) -> str:
    """Say how long until a change that matters would be seen."""
    months, size = effect.more_months, figure.worth_seeing(effect)
    if months > MANY_MONTHS:
        return f"It would take years of such jobs to show {size}: too few to compare with."
    if months <= 0:
        return (
            f"These jobs show {size} in 4 of 5 cases, and they do not decide it here: "
            "the change is smaller than that, or chance hides it."
        )
    return (
        f"It takes {words.counted(ceil(months), 'more month')} at this number of jobs to see "
        f"{size} in 4 of 5 cases."
    )


def basis(effect: Effect, figure: Figure) -> str:
    """Say what the effect is compared with."""
    if effect.effect is None:
        return ""
    if effect.rest is not None and effect.rest.difference is not None:
        return (
            "The jobs that the change does not touch moved by "
            f"{figure.change(effect.rest.difference)} in the same time; that is subtracted."
        )
    return (
        "No other jobs of the shop can be compared with, so everything else that changed at the "
        "same time counts too; the interval is widened by how much months differ anyway."
    )


def after_a_bad_month(effect: Effect) -> str:
    """Say that a better month follows a bad one anyway; nothing where no month was bad."""
    if not effect.bad_months or effect.effect is None:
        return ""
    return (
        "The change followed a bad time. A bad month is usually followed by a better one, change "
        f"or not, so {_months(effect.bad_months)} {_are(effect.bad_months)} left out of “before”."
    )


def special_months(effect: Effect, figure: Figure) -> str:
    """Say which other months are left out, and what the effect would be with all of them."""
    if effect.with_all is None or effect.effect is None:
        return ""
    found = ""
    if effect.special_months:
        found = f"Left out as well outside normal: {_months(effect.special_months)}. "
    return f"{found}With every month counted: {figure.change(effect.with_all)}."


def _are(months: tuple[str, ...]) -> str:
    return "is" if len(months) == 1 else "are"


def _months(months: tuple[str, ...]) -> str:
    return words.listed([words.month(month) for month in months])


def sides(judged: Judged) -> str:
    """Say from when to when jobs are compared, and why no longer."""
    text = f"Jobs closed {words.day(judged.first)} to {words.day(judged.last)}."
    if judged.cut_by:
        names = words.listed([f"“{each.what}”" for each in judged.cut_by])
        text += f" Another change to the same jobs is the limit: {names}."
    if judged.same_day:
        names = words.listed([f"“{each.what}”" for each in judged.same_day])
        text += f" Noted for the same day, so their effects cannot be separated: {names}."
    return text


def left_out(effect: Effect) -> str:
    """Say how many jobs are on neither side."""
    return (
        f"Not counted: {words.counted(effect.between, 'job')} opened before and closed after the "
        f"change; {words.counted(effect.not_judged, 'job')} after it that cannot be judged (closed "
        "too recently, or not in this figure)."
    )


def target(found: Outlook) -> str:
    """Say whether a target is reached, or how likely it is at this rate."""
    goal = found.target
    name = NAMES[goal.measure].lower()
    head = f"Target: {name} {words.percent(goal.value)} in {words.month(goal.by)}."
    if found.is_over:
        said = "reached" if found.is_reached else "not reached"
        return f"{head} {said.capitalize()}: {_reached(found)}."
    if found.chance is None:
        return f"{head} Too few jobs in the last months to say how likely that is."
    when = f"{words.month(found.months[0])} to {words.month(found.months[-1])}"
    return f"{head} {when}: {_reached(found)}. {chance(found.chance)}"


def _reached(found: Outlook) -> str:
    return share(Group(found.jobs, found.hits, found.hits))


def chance(value: float) -> str:
    """Write the chance of reaching a target at this rate."""
    if value < 0.005:
        return "At this rate it is reached in fewer than 1 of 200 cases."
    if value > 0.995:
        return "At this rate it is as good as certain."
    return f"Chance of reaching it at this rate: {words.percent(value)}."
