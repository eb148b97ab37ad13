"""A van stock bettered unit by unit: one more of a part, or one given up for it.

The worth of every such move follows from what each part adds or takes by itself, corrected for the
few jobs that need both: all pairs are weighed at once.
"""

from collections.abc import Sequence
from itertools import permutations

import numpy as np

from dashboard.stats.inventory.fill_rate import of_the_others, places_of
from dashboard.stats.inventory.kit import Kit


class Exchange:
    """Moves of one unit in, one out. `tables[i][n, s]`: chance to find n of part i with s there."""

    def __init__(
        self, kits: Sequence[Kit], parts: Sequence[str], tables: Sequence[np.ndarray]
    ) -> None:
        self.part, needed = places_of(kits, parts)
        self.rate = np.array([kit.jobs for kit in kits], float)
        self.most = np.array([table.shape[1] - 1 for table in tables], int)
        tables = [*tables, np.ones((2, 1))]  # the part that fills kits up
        self.chance = np.concatenate([table.ravel() for table in tables])
        start = np.cumsum([0, *(table.size for table in tables[:-1])])
        width = np.array([table.shape[1] for table in tables])
        self.at_nothing = start[self.part] + needed * width[self.part]
        self.pairs = [
            (a, b, np.flatnonzero((self.part[:, (a, b)] < len(parts)).all(axis=1)))
            for a, b in permutations(range(self.part.shape[1]), 2)
        ]

    def covered(self, stock: np.ndarray) -> float:
        """Return the jobs covered by so many units of each part."""
        return float((self.rate * self._there(stock, 0).prod(axis=1)).sum())

    def bettered(self, stock: np.ndarray, size: np.ndarray, capacity: float) -> np.ndarray:
        """Return a stock that no move of one unit betters, with size · units <= capacity."""
        stock = stock.copy()
        while True:
            gain = self._gains(stock)
            filled = float(stock @ size)
            # the last column gives nothing up
            fits = filled + size[:, None] - np.append(size, 0)[None, :] <= capacity + 1e-9
            fits &= (stock < self.most)[:, None] & np.append(stock > 0, True)[None, :]
            gain = np.where(fits, gain, -np.inf)
            taken, given = np.unravel_index(gain.argmax(), gain.shape)
            if gain[taken, given] <= 1e-9:
                return stock
            stock[taken] += 1
            if given < len(stock):
                stock[given] -= 1

    def _gains(self, stock: np.ndarray) -> np.ndarray:
        """Return jobs gained by a unit more of the row's part for one less of the column's."""
        n, part = len(stock), self.part
        now, up, down = (self._there(stock, step) for step in (0, 1, -1))
        value = self.rate * now.prod(axis=1)
        rest = self.rate[:, None] * of_the_others(now)
        gained, lost = rest * up - value[:, None], rest * down - value[:, None]
        places, apart = [np.empty(0, int)], [np.empty(0)]
        for a, b, rows in self.pairs:
            others = self.rate[rows] * np.delete(now[rows], (a, b), axis=1).prod(axis=1)
            together = others * up[rows, a] * down[rows, b] - value[rows]
            places.append(part[rows, a] * (n + 1) + part[rows, b])
            apart.append(together - gained[rows, a] - lost[rows, b])
        both = np.bincount(np.concatenate(places), np.concatenate(apart), n * (n + 1))
        more, less = (np.bincount(part.ravel(), each.ravel(), n + 1) for each in (gained, lost))
        worth: np.ndarray = (
            both.reshape(n, n + 1) + more[:n, None] + np.append(less[:n], 0)[None, :]
        )
        worth[np.arange(n), np.arange(n)] = 0
        return worth

    def _there(self, stock: np.ndarray, step: int) -> np.ndarray:
        """Return the chance that each kit finds each of its parts, with `step` more of all."""
        units = np.append(np.clip(stock + step, 0, self.most), 0)
        chance: np.ndarray = self.chance[self.at_nothing + units[self.part]]
        return chance
