"""Orders of more tests than the exact search takes: beam search, with a proven lower bound.

The bound drops precedence and lets causes be found twice. Each node's opening minutes are spread
evenly over the tests behind it, so the spread minutes of a set never exceed its real ones; and the
chance found by a set never exceeds the sum of its tests' chances. What is left is a schedule whose
best order is the ratio rule (Smith 1956), and a fractional version of it that can also be cut off
at the chance no test finds. The larger of the two is the bound. Derived here, no published twin.
"""

from dataclasses import dataclass

import numpy as np

from dashboard.stats.sequencing.chain import Chain

BEAM_WIDTH = 60


@dataclass(frozen=True)
class _Arrays:
    """A chain as arrays: test x cause powers, test minutes, node x test reach, node minutes."""

    power: np.ndarray
    minutes: np.ndarray
    reach: np.ndarray
    node_min: np.ndarray
    needs: tuple[int, ...]
    known_at: float | None


@dataclass(frozen=True)
class _Partial:
    """The best known way through one set of tests."""

    order: tuple[int, ...]
    minutes: float
    unfound: np.ndarray


def beam_order(chain: Chain, width: int = BEAM_WIDTH) -> tuple[tuple[str, ...], float, float]:
    """Return (order, expected minutes, lower bound on the best order's expected minutes).

    At each length the `width` most promising sets are kept, judged by minutes so far plus the lower
    bound of what remains. Same model as `order_of_tests`; precedence and elimination hold. A chain
    without tests gives ((), 0, 0).
    """
    arrays = _arrays(chain)
    start = np.array(list(chain.mix.values()))
    beam = {0: _Partial((), 0.0, start)}
    for _ in chain.tests:
        grown = _grow(arrays, beam)
        scored = sorted(grown, key=lambda done: _promise(arrays, done, grown[done]))
        beam = {done: grown[done] for done in scored[:width]}
    best = min(beam.values(), key=lambda partial: partial.minutes)
    order = tuple(chain.names[test] for test in best.order)
    return order, best.minutes, min(_remaining_bound(arrays, 0, start), best.minutes)


def _arrays(chain: Chain) -> _Arrays:
    finds = [[test.finds(cause) for cause in chain.causes] for test in chain.tests]
    reach = [[node in chain.path(test) for test in chain.tests] for node in chain.access]
    return _Arrays(
        np.array(finds).reshape(len(chain.tests), len(chain.causes)),
        np.array([test.minutes for test in chain.tests]),
        np.array(reach, bool).reshape(len(chain.access), len(chain.tests)),
        np.array([node.open_min + node.close_min for node in chain.access]),
        chain.needs,
        chain.known_at,
    )


def _grow(arrays: _Arrays, beam: dict[int, _Partial]) -> dict[int, _Partial]:
    """Add one allowed test to every set, keeping the cheapest way into each new set."""
    grown: dict[int, _Partial] = {}
    for done, partial in beam.items():
        searching = _still_searching(arrays, partial.unfound)
        opened = arrays.reach[:, list(partial.order)].any(axis=1)
        for test, needed in enumerate(arrays.needs):
            after = done | 1 << test
            if after == done or done & needed != needed:
                continue
            opening = arrays.node_min[arrays.reach[:, test] & ~opened].sum()
            minutes = partial.minutes + searching * (arrays.minutes[test] + opening)
            if after not in grown or minutes < grown[after].minutes:
                # a search that has ended stays ended, whatever is done after it
                unfound = partial.unfound * (1 - arrays.power[test]) * (searching > 0)
                grown[after] = _Partial((*partial.order, test), float(minutes), unfound)
    return grown


def _still_searching(arrays: _Arrays, unfound: np.ndarray) -> float:
    left = float(unfound.sum())
    if arrays.known_at is not None and unfound.max() >= arrays.known_at * left:
        return 0.0
    return left


def _promise(arrays: _Arrays, done: int, partial: _Partial) -> float:
    if _still_searching(arrays, partial.unfound) == 0:
        return partial.minutes
    return partial.minutes + _remaining_bound(arrays, done, partial.unfound)


def _remaining_bound(arrays: _Arrays, done: int, unfound: np.ndarray) -> float:
    """Return a number that no order of the tests left can beat."""
    left = np.array([not done >> test & 1 for test in range(len(arrays.minutes))], bool)
    if not left.any():
        return 0.0
    closed = ~arrays.reach[:, ~left].any(axis=1)
    behind = np.maximum(arrays.reach[:, left].sum(axis=1), 1)
    share = arrays.node_min * closed / behind
    minutes = arrays.minutes[left] + share @ arrays.reach[:, left]
    gains = arrays.power[left] @ unfound
    rank = np.argsort(-gains / np.maximum(minutes, 1e-12), kind="stable")
    minutes, gains = minutes[rank], gains[rank]
    never = float((unfound * np.prod(1 - arrays.power[left], axis=0)).sum())
    if arrays.known_at is not None:  # the search may end with this much unfound, and then costs 0
        ending = float(unfound.max()) / arrays.known_at
        return _area(minutes, gains, float(unfound.sum()) - ending, 0.0)
    whole = float((float(unfound.sum()) - gains.sum()) * minutes.sum() + gains @ np.cumsum(minutes))
    return max(whole, _area(minutes, gains, float(unfound.sum()), never))


def _area(minutes: np.ndarray, gains: np.ndarray, height: float, floor: float) -> float:
    """Return the area under a line falling by `gains` over each of `minutes`, down to `floor`."""
    after = height - np.cumsum(gains)
    before = after + gains
    above, fall = np.maximum(before - floor, 0.0), np.maximum(gains, 1e-300)
    part = np.minimum(above / fall, 1.0)  # the share of the stretch on which the line still falls
    area = minutes * part * (above + np.maximum(after - floor, 0.0)) / 2
    return float(area.sum() + max(floor, 0.0) * minutes.sum())
