"""The integer programme behind a large van stock: jobs counted by their scarcest part.

For every unit k of part i a 0/1 variable, in order (the second only after the first); for every kit
a number, at most the chance of each of its parts at that stock. Maximising jobs * number gives a
stock, and as a product of chances never exceeds the smallest, a bound for every stock. Solved by
scipy.optimize.milp (HiGHS) up to a gap or a number of nodes; with many kits only its linear
relaxation is, rounded down. Nothing depends on the clock: the same records give the same stock.
"""

from collections.abc import Sequence
from itertools import chain, pairwise

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from dashboard.stats.inventory.kit import Kit

GAP = 0.002  # of the jobs covered: less is no reason to carry other parts
MOST_NODES = 200  # of the tree: some seconds at most
ROUNDING = 1e-6
MOST_KITS = 2000  # with more the programme takes many seconds, and local search ends as high


def smallest_chance_stock(
    kits: Sequence[Kit],
    parts: list[str],
    tables: list[np.ndarray],
    size: np.ndarray,
    capacity: float,
) -> tuple[np.ndarray, float]:
    """Return units per part and the bound on jobs covered by any stock.

    `tables[i][n, s]`: chance that a kit finds the n units of part i that it needs with s on board,
    rising in s and 0 at s = 0 for n > 0. When no stock is found within the nodes: an empty one, and
    all jobs as bound.
    """
    most = [table.shape[1] - 1 for table in tables]
    first = np.concatenate([[0], np.cumsum(most)])
    rates = np.array([kit.jobs for kit in kits], float)
    units, all_jobs = int(first[-1]), float(rates.sum())
    share = rates / (
        all_jobs or 1
    )  # the solver's tolerances are absolute: few jobs must not vanish
    is_whole = int(len(kits) <= MOST_KITS)
    solved = milp(
        np.concatenate([np.zeros(units), -share]),
        integrality=np.repeat([is_whole, 0], [units, len(kits)]),
        bounds=Bounds(0, 1),
        constraints=_constraints(kits, parts, tables, size, capacity),
        options={"node_limit": MOST_NODES, "mip_rel_gap": GAP},
    )
    # without whole units to choose there is no tree, hence no bound of one: the value is exact
    least = solved.fun if solved.mip_dual_bound is None else solved.mip_dual_bound
    bound = all_jobs * (1.0 if least is None else min(-least, 1.0))
    if solved.x is None:
        return np.zeros(len(parts), int), bound
    taken = np.round(solved.x[:units]) if is_whole else np.floor(solved.x[:units] + ROUNDING)
    return np.array([int(taken[a : a + m].sum()) for a, m in zip(first, most, strict=False)]), bound


Row = tuple[list[int], list[float], float]  # columns, factors, upper limit


def _capacity_row(
    size: np.ndarray, most: list[int], capacity: float, first: np.ndarray
) -> list[Row]:
    return [(list(range(first[-1])), np.repeat(size, most).tolist(), capacity + 1e-9)]


def _unit_order(most: list[int], first: np.ndarray) -> list[Row]:
    return [
        ([start + k, start + k - 1], [1.0, -1.0], 0.0)
        for start, units in zip(first.tolist(), most, strict=False)
        for k in range(1, units)
    ]


def _kit_rows(
    kits: Sequence[Kit], parts: list[str], tables: list[np.ndarray], first: np.ndarray
) -> list[Row]:
    place_of = {part: place for place, part in enumerate(parts)}
    factors = [[[1.0, *(-np.diff(row)).tolist()] for row in table] for table in tables]
    columns = [list(range(a, b)) for a, b in pairwise(first.tolist())]
    return [
        ([int(first[-1]) + number, *columns[place]], factors[place][kit.parts[parts[place]]], 0.0)
        for number, kit in enumerate(kits)
        for place in sorted(place_of[part] for part in kit.parts)
    ]


def _constraints(
    kits: Sequence[Kit],
    parts: list[str],
    tables: list[np.ndarray],
    size: np.ndarray,
    capacity: float,
) -> LinearConstraint:
    most = [table.shape[1] - 1 for table in tables]
    first = np.concatenate([[0], np.cumsum(most)])
    rows = [
        *_capacity_row(size, most, capacity, first),
        *_unit_order(most, first),
        *_kit_rows(kits, parts, tables, first),
    ]
    ends = np.cumsum([0, *(len(columns) for columns, _, _ in rows)])
    columns = np.fromiter(chain.from_iterable(columns for columns, _, _ in rows), int, ends[-1])
    factors = np.fromiter(chain.from_iterable(each for _, each, _ in rows), float, ends[-1])
    shape = (len(rows), int(first[-1]) + len(kits))
    matrix = csr_array((factors, columns, ends), shape=shape)
    return LinearConstraint(matrix, ub=np.array([limit for _, _, limit in rows]))
