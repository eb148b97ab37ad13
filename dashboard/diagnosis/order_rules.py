"""What must come before what on a bench card: supply, needs, dead before live, gas opened last."""

from dashboard.diagnosis.chain_rows import ChainRows, ordered_tests
from dashboard.rows import Row, each_row
from dashboard.stats.sequencing.chain import ChainTest, dead_before_live


def first_checks(rows: ChainRows) -> tuple[str, ...]:
    """Return what comes before anything is opened: free looks, then the supply.

    The register marks them (sql/lookups/chains.csv, column rule), in its own order; not where the
    complaint itself shows that the supply is there, as on a machine that heats.
    """
    tests = ordered_tests(rows)
    marked = tests[tests["is_first"].astype(bool)]
    return tuple(marked.sort_values("register_position")["test_point"])


def needed_before(rows: ChainRows) -> tuple[tuple[str, str], ...]:
    """Return (earlier, later) where a test can only be judged after others.

    The third winding of a compressor after the other two, a motor's balance after its windings.
    """
    tests = ordered_tests(rows)
    names = set(tests["test_point"])
    return tuple(
        (earlier, row.test_point)
        for row in each_row(tests)
        if isinstance(row.needs, str)
        for earlier in row.needs.split("|")
        if earlier in names
    )


def _dead_before_live(rows: ChainRows) -> tuple[tuple[str, str], ...]:
    """Return (dead test, live test) of one part: what ohms answer is not asked with power on."""
    tests = ordered_tests(rows)
    is_hot = tests["hazards"].map(is_live) & (tests["quantity"] != "observation")
    pairs = tests[~is_hot].merge(tests[is_hot], on="component", suffixes=("_dead", "_live"))
    pairs = pairs[~pairs["is_energised_dead"].astype(bool)]
    return tuple(zip(pairs["test_point_dead"], pairs["test_point_live"], strict=True))


def _gas_opened_last(rows: ChainRows) -> tuple[tuple[str, str], ...]:
    """Return (any other test, gas test) for tests that open the gas: they come after all others."""
    tests = ordered_tests(rows)
    is_opened = tests["hazards"].astype(str).str.contains("gas_opened")
    names = tests["test_point"]
    return tuple((other, gas) for gas in names[is_opened] for other in names[~is_opened])


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
