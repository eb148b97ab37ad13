"""What must come before what on a bench card: supply, needs, dead before live, gas opened last."""

from dashboard.diagnosis.chain_rows import ChainRows
from dashboard.rows import Row
from dashboard.stats.sequencing.chain import ChainTest, dead_before_live


def first_checks(rows: ChainRows) -> tuple[str, ...]:
    """Return what comes before anything is opened: free looks, then the supply.

    The register marks them (sql/lookups/chains.csv, column rule), in its own order; not where the
    complaint itself shows that the supply is there, as on a machine that heats.
    """
    marked = [row for row in rows.ordered if row.is_first]
    return tuple(row.test_point for row in sorted(marked, key=lambda row: row.register_position))


def needed_before(rows: ChainRows) -> tuple[tuple[str, str], ...]:
    """Return (earlier, later) where a test can only be judged after others.

    The third winding of a compressor after the other two, a motor's balance after its windings.
    """
    names = {row.test_point for row in rows.ordered}
    return tuple(
        (earlier, row.test_point)
        for row in rows.ordered
        if isinstance(row.needs, str)
        for earlier in row.needs.split("|")
        if earlier in names
    )


def _dead_before_live(rows: ChainRows) -> tuple[tuple[str, str], ...]:
    """Return (dead test, live test) of one part: what ohms answer is not asked with power on."""
    hot = [row for row in rows.ordered if is_live(row.hazards) and not is_watched(row)]
    hot_names = {row.test_point for row in hot}
    return tuple(
        (dead.test_point, live.test_point)
        for dead in rows.ordered
        if dead.test_point not in hot_names and not dead.is_energised
        for live in hot
        if live.component == dead.component
    )


def _gas_opened_last(rows: ChainRows) -> tuple[tuple[str, str], ...]:
    """Return (any other test, gas test) for tests that open the gas: they come after all others."""
    opened = [row.test_point for row in rows.ordered if "gas_opened" in str(row.hazards)]
    others = [row.test_point for row in rows.ordered if row.test_point not in opened]
    return tuple((other, gas) for gas in opened for other in others)


def is_live(hazards: object) -> bool:
    """Say whether a test exposes live parts; a look at a running machine, covers on, does not."""
    return "live" in str(hazards).split("|")


def is_watched(row: Row) -> bool:
    """Say whether nothing is touched: a running machine is watched before it is measured."""
    return bool(row.quantity == "observation")


def before(rows: ChainRows, tests: tuple[ChainTest, ...]) -> tuple[tuple[str, str], ...]:
    """Return the pairs (earlier, later); `tests` are in the usual order.

    Dead before live where both answer the question; the first checks before everything that is
    opened or live (another look at the closed machine may come before them); a test after those
    that it needs; and a live test stays behind every dead one that the shop makes before it: so
    none moves forward because it is quicker.
    """
    first = first_checks(rows)
    needed = (*needed_before(rows), *_dead_before_live(rows), *_gas_opened_last(rows))
    looks = {test.name for test in tests if test.node == "none" and not test.energised}
    pairs = [(a, b) for a, b in dead_before_live(tests, first) if a not in first or b not in looks]
    pairs += [(a, b) for a, b in needed if b not in first]
    for place, test in enumerate(tests):
        if test.energised and test.name not in first:
            earlier = [dead.name for dead in tests[:place] if not dead.energised]
            pairs += [(dead, test.name) for dead in earlier if (test.name, dead) not in needed]
    return tuple(dict.fromkeys(pairs))
