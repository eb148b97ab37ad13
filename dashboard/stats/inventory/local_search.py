"""Local search for a van stock: units exchanged one for one, and room made for whole kits.

The gain of every exchange follows from what each part adds or takes by itself, corrected for the
few jobs that need both: all pairs are weighed at once. Where no exchange gains, a kit may: its
parts are put on board together and the units that are missed least are taken out for them.
"""

from collections.abc import Iterator, Sequence
from itertools import permutations

import numpy as np

from dashboard.stats.inventory.fill_rate import of_the_others, places_of
from dashboard.stats.inventory.kit import Kit

KITS_TRIED = 100  # in all: those that lose most jobs first
NO_GAIN = 1e-9  # share of all jobs


class LocalSearch:
    """Stocks with size · units <= capacity.

    `tables[i][n, s]`: chance to find n of part i with s on board; size: one number per part.
    """

    def __init__(
        self,
        kits: Sequence[Kit],
        parts: Sequence[str],
        tables: Sequence[np.ndarray],
        size: np.ndarray,
        capacity: float,
    ) -> None:
        self.size, self.capacity = size, capacity + 1e-9
        self.part, self.needed = places_of(kits, parts)
        self.rate = np.array([kit.jobs for kit in kits], float)
        self.no_gain = NO_GAIN * float(self.rate.sum())
        self.most = np.array([table.shape[1] - 1 for table in tables], int)
        tables = [*tables, np.ones((2, 1))]  # the part that fills kits up
        self.chance = np.concatenate([table.ravel() for table in tables])
        start = np.cumsum([0, *(table.size for table in tables[:-1])])
        width = np.array([table.shape[1] for table in tables])
        self.at_nothing = start[self.part] + self.needed * width[self.part]
        self.pairs = [
            (a, b, np.flatnonzero((self.part[:, (a, b)] < len(parts)).all(axis=1)))
            for a, b in permutations(range(self.part.shape[1]), 2)
        ]

    def covered(self, stock: np.ndarray) -> float:
        """Return the jobs covered by so many units of each part."""
        return float((self.rate * self._there(stock, 0).prod(axis=1)).sum())

    def improved(self, stock: np.ndarray) -> np.ndarray:
        """Return a stock that covers no fewer jobs, and that no exchange improves any more."""
        best = self._exchanged(stock)
        kits = self._by_jobs_lost(best)
        for _ in range(KITS_TRIED):
            kit = next(kits, None)
            if kit is None:
                break
            tried = self._with_kit(best, kit)
            if tried is not None and self.covered(tried) > self.covered(best) + self.no_gain:
                best, kits = tried, self._by_jobs_lost(tried)
        return best

    def _by_jobs_lost(self, stock: np.ndarray) -> Iterator[int]:
        """Return the rows of kits, first the one that most jobs wait for."""
        lost = self.rate * (1 - self._there(stock, 0).prod(axis=1))
        return iter(np.argsort(-lost, kind="stable").tolist())

    def _with_kit(self, stock: np.ndarray, kit: int) -> np.ndarray | None:
        """Return the stock with a further set of a kit's parts; None where there is no room."""
        need = np.bincount(self.part[kit], self.needed[kit], len(stock) + 1)[:-1].astype(int)
        more = np.minimum(stock + need, self.most)
        if (more < need).any() or (more == stock).all() or need @ self.size > self.capacity:
            return None
        while more @ self.size > self.capacity:
            now, down = self._there(more, 0), self._there(more, -1)
            lost = self.rate[:, None] * of_the_others(now) * (now - down)
            missed = np.bincount(self.part.ravel(), lost.ravel(), len(stock) + 1)[:-1] / self.size
            missed[more <= need] = np.inf
            more[missed.argmin()] -= 1
        return self._exchanged(more)

    def _exchanged(self, stock: np.ndarray) -> np.ndarray:
        """Return the stock after every exchange of one unit, or unit added, that gains."""
        stock = stock.copy()
        while True:
            on_board = np.flatnonzero(stock)  # only of these a unit can be given up
            gain = self._gains(stock, on_board)
            filled = float(stock @ self.size)
            # the last column gives nothing up
            freed = np.append(self.size[on_board], 0)
            fits = filled + self.size[:, None] - freed[None, :] <= self.capacity
            fits &= (stock < self.most)[:, None]
            gain = np.where(fits, gain, -np.inf)
            taken, given = np.unravel_index(gain.argmax(), gain.shape)
            if gain[taken, given] <= self.no_gain:
                return stock
            stock[taken] += 1
            if given < len(on_board):
                stock[on_board[given]] -= 1

    def _gains(self, stock: np.ndarray, on_board: np.ndarray) -> np.ndarray:
        """Return jobs gained by a unit more of the row's part for one less of the column's.

        Columns: the parts on board, then none.
        """
        n, part = len(stock), self.part
        now, up, down = (self._there(stock, step) for step in (0, 1, -1))
        value = self.rate * now.prod(axis=1)
        rest = self.rate[:, None] * of_the_others(now)
        gained, lost = rest * up - value[:, None], rest * down - value[:, None]
        places, apart = [np.empty(0, int)], [np.empty(0)]
        width = len(on_board) + 1
        column = np.full(n + 1, -1)
        column[on_board] = np.arange(len(on_board))
        for a, b, both_used in self.pairs:
            rows = both_used[column[part[both_used, b]] >= 0]
            others = self.rate[rows] * np.delete(now[rows], (a, b), axis=1).prod(axis=1)
            together = others * up[rows, a] * down[rows, b] - value[rows]
            places.append(part[rows, a] * width + column[part[rows, b]])
            apart.append(together - gained[rows, a] - lost[rows, b])
        both = np.bincount(np.concatenate(places), np.concatenate(apart), n * width)
        more, less = (np.bincount(part.ravel(), each.ravel(), n + 1) for each in (gained, lost))
        worth: np.ndarray = (
            both.reshape(n, width) + more[:n, None] + np.append(less[on_board], 0)[None, :]
        )
        worth[on_board, np.arange(len(on_board))] = 0
        return worth

    def _there(self, stock: np.ndarray, step: int) -> np.ndarray:
        """Return the chance that each kit finds each of its parts, with `step` more of all."""
        units = np.append(np.clip(stock + step, 0, self.most), 0)
        chance: np.ndarray = self.chance[self.at_nothing + units[self.part]]
        return chance
