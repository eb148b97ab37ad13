"""Which of the symptoms found in a complaint it is about: a danger, the first failure, the rest."""

from etl.words.compartments import Found
from etl.words.patterns import Clause

DANGERS = ("gas_smell", "burning_smell", "shock_or_sparks", "sparks", "trips_breaker")
MINOR = ("noisy", "vibrates", "smells", "light_out", "error_code", "buttons_dead", "marks_clothes")
LAST = ("no_complaint",)
# what an appliance does; that it does not is a failure, whatever else is heard or seen
DOES = frozenset(
    ("drum", "turn", "spin", "drain", "fill", "heat", "cool", "ignite", "clean", "dry", "agitate")
)


def chosen(found: list[Found], clauses: list[Clause], said: list[Clause]) -> str | None:
    """Return the symptom that counts, None where something else may be meant.

    `clauses` are without what follows `when`, `said` are all of them.
    """
    best = min(found, key=_order) if found else None
    if best is None or _is_doubtful(best, clauses, said, {hit.clause for hit in found}):
        return None
    return best.symptom


def _is_doubtful(hit: Found, clauses: list[Clause], said: list[Clause], read: set[int]) -> bool:
    """Say whether another clause tells of something worse, or of what it would not do.

    `motor hums, drum will not go round`: what is only heard is not what the complaint is about.
    `nothing comes, it should take in water`: what takes in water has started.
    `shuts itself off, shows a code`: that it stops is more than what it shows; what `stopped` may
    be the noise.
    """
    others = [clause for i, clause in enumerate(clauses) if i not in read]
    if hit.symptom == "wont_start" and len(hit.places) == 1:
        return any(
            clause.has("fill", "drain", "spin", "ice")
            for i, clause in enumerate(said)
            if i not in read
        )
    return hit.symptom in (*MINOR, *LAST) and any(
        clause.has("nothing")
        or any("halt" in p.concepts and not p.words[0].startswith("stop") for p in clause.pieces)
        or any(not clause.pieces[i].concepts.isdisjoint(DOES) for i in clause.negated)
        for clause in others
    )


def _order(hit: Found) -> tuple[int, ...]:
    rank = (
        DANGERS.index(hit.symptom) - len(DANGERS)
        if hit.symptom in DANGERS
        else 2
        if hit.symptom in LAST
        else int(hit.symptom in MINOR)
    )
    return rank, hit.clause, -len(hit.places), min(hit.places)
