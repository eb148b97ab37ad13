"""Which compartment of a refrigerator a complaint is about."""

from dataclasses import dataclass

from etl.words.lexicon import Piece
from etl.words.patterns import ASIDE, Clause

COMPARTMENTS = frozenset(("ff", "fz"))
HEATS = frozenset(("oven", "broil", "burner"))


@dataclass(frozen=True)
class Found:
    """A symptom in a clause: where it stands and which pieces say it."""

    symptom: str
    clause: int
    places: frozenset[int]


def parted(parts: list[list[Piece]]) -> list[list[Piece]]:
    """Return the clauses so that each says one thing of one compartment, or of both."""
    return _parted(_joined(_compartments_named(parts)), COMPARTMENTS)


def _joined(parts: list[list[Piece]]) -> list[list[Piece]]:
    """Let `ff and fz warm` say of both what it says of the second."""
    joined: list[list[Piece]] = []
    waiting: list[Piece] = []
    for part in parts:
        known = [p.concepts for p in part if p.concepts - ASIDE]
        if known and all(c <= COMPARTMENTS for c in known):
            waiting += part
        else:
            joined.append(waiting + part)
            waiting = []
    return [*joined, waiting]


def _compartments_named(parts: list[list[Piece]]) -> list[list[Piece]]:
    """Read `fridge` as the fresh food compartment where the freezer is named too."""
    pieces = [piece for part in parts for piece in part]
    if not any("fz" in piece.concepts for piece in pieces):
        return parts
    return [
        [
            Piece(p.words, p.concepts - {"fridge"} | {"ff"}) if "fridge" in p.concepts else p
            for p in part
        ]
        for part in parts
    ]


def parted_by_heat(parts: list[list[Piece]]) -> list[list[Piece]]:
    """Begin a clause at the other place of heat: `bake bad broil ok`."""
    return [
        piece_list
        for part in parts
        for piece_list in (_parted([part], HEATS) if _is_judged(part) else [part])
    ]


def _is_judged(part: list[Piece]) -> bool:
    return bool(part) and not part[-1].concepts.isdisjoint(("ok", "work", "fail"))


def _parted(parts: list[list[Piece]], places: frozenset[str]) -> list[list[Piece]]:
    """Begin a clause at another of the places, once something was said of the first."""
    parted: list[list[Piece]] = []
    for part in parts:
        parted.append([])
        for piece in part:
            named, said = piece.concepts & places, parted[-1]
            others = [p for p in said if p.concepts & (places - named)]
            states = [p for p in said if p.concepts - places - ASIDE]
            if named and others and states:
                parted.append([])
            parted[-1].append(piece)
    return parted


def of_compartments(kind: str, found: list[Found], clauses: list[Clause]) -> list[Found]:
    """Tell the warm compartment from the whole appliance by what is said of the other one."""
    if kind != "refrigerator":
        return found
    symptoms_found = {hit.symptom for hit in found}
    warm = {"warm_freezer", "warm_fresh_food"}
    is_fz_good = any(_is_good(clause, "fz") for clause in clauses)
    is_ff_good = any(_is_good(clause, "ff") for clause in clauses)
    is_both = any(clause.has("both") for clause in clauses)
    meant = {}
    if warm <= symptoms_found or is_both:
        meant = dict.fromkeys(warm, "not_cooling")
    elif is_fz_good and not is_ff_good:
        meant = {"not_cooling": "warm_fresh_food"}
    elif is_ff_good and not is_fz_good:
        meant = {"not_cooling": "warm_freezer"}
    return [Found(meant.get(h.symptom, h.symptom), h.clause, h.places) for h in found]


def _is_good(clause: Clause, compartment: str) -> bool:
    """Say whether a clause tells that a compartment is cold or works; solid ice is cold."""
    is_ice_solid = compartment == "fz" and clause.has("ice") and clause.has("freeze")
    return (
        (clause.has(compartment) or is_ice_solid)
        and not clause.negated
        and not clause.has("fail", "warm", "too")
        and clause.has("ok", "work", "cold", "freeze", "cool")
    )
