"""Columns of messy texts: numbered names, money, durations, rows repeated and rows spoiled."""

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

PRICES = ("{:.2f}", "{:.2f}", "${:.2f}", "USD {:.2f}", "${:,.2f}")
MINUTES = ("{0}", "{0}", "{0} min", "{0}m", "{1}:{2:02d}", "{1}h{2:02d}")


def repeated(counts: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return, for so many rows of each job, the job's place and the row's number from 1."""
    job = np.repeat(np.arange(len(counts)), counts)
    return job, np.arange(len(job)) - (np.cumsum(counts) - counts)[job] + 1


def numbered(prefix: str, numbers: np.ndarray, digits: int = 8) -> pa.Array:
    """Return names like J00000012."""
    text = pc.utf8_lpad(pa.array(numbers).cast(pa.string()), digits, "0")
    return pc.binary_join_element_wise(prefix, text, "")


def prices(rng: np.random.Generator, amounts: np.ndarray) -> pa.Array:
    """Return amounts of money in one of several forms each."""
    cents, places = np.unique(np.round(amounts * 100).astype(int), return_inverse=True)
    texts = pa.array([form.format(cent / 100) for form in PRICES for cent in cents.tolist()])
    return texts.take(pa.array(rng.integers(len(PRICES), size=len(amounts)) * len(cents) + places))


def durations(rng: np.random.Generator, numbers: np.ndarray) -> pa.Array:
    """Return minutes in one of several forms each, none of eight hours or more."""
    minutes = np.clip(numbers.astype(int), 1, 479)
    texts = [form.format(m, m // 60, m % 60) for m in range(480) for form in MINUTES]
    places = minutes * len(MINUTES) + rng.integers(len(MINUTES), size=len(minutes))
    return pa.array(texts).take(pa.array(places))


def blank(texts: pa.Array, where: np.ndarray) -> pa.Array:
    """Return the texts, left out where it is said."""
    return pc.if_else(pa.array(where), pa.scalar(None, pa.string()), texts)


def spoil(rng: np.random.Generator, table: dict, share: float, bad: dict[str, list]) -> None:
    """Write something wrong into one field of a share of the rows."""
    count = len(table["job_id"])
    fields = np.where(rng.random(count) < share, rng.integers(len(bad), size=count), -1)
    for number, (field, texts) in enumerate(bad.items()):
        wrong = pa.array(texts, pa.string()).take(pa.array(rng.integers(len(texts), size=count)))
        table[field] = pc.if_else(pa.array(fields == number), wrong, table[field])


def some_twice(rng: np.random.Generator, table: pa.Table, share: float) -> pa.Table:
    """Let a share of the rows stand twice, the copy right after its row."""
    times = 1 + (rng.random(len(table)) < share)
    return table.take(pa.array(np.repeat(np.arange(len(table)), times)))
