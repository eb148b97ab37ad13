"""Attacks on every promise of dashboard/docs/security.md: python -m tests.trust.attack [WORD …].

Prints tries and broken for each; exit 1 when anything broke. With --write it puts both columns
into that document.
"""

import re
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path

from tests.trust.attacks import calls, files, second, shops, third
from tests.trust.attacks.tally import Tally

DOCUMENT = Path(__file__).parents[2] / "dashboard" / "docs" / "security.md"
Attack = Callable[[Path, Tally], None]
PROMISES: dict[str, tuple[Attack, ...]] = {  # the first cell of its row → what attacks it
    "the pages": (shops.origins_and_roles,),
    "customers' names, addresses, phones, serials": (
        files.customers, files.contacts, second.customers_in_cells, third.spellings,
        third.cells_of_workbooks,
    ),
    "readers of pages, reports and CSV files, and the terminal": (
        calls.hostile_texts, calls.encodings, files.formulas,
    ),
    "the database": (calls.statements,),
    "files and network of the machine": (shops.locked_connection,),
    "other readers and the server": (files.endless, third.bombs),
    "the disk": (files.names, shops.crafted_backups, third.damaged_backups),
    "the last good version": (
        shops.wrong_keys, shops.useless_backups, shops.another_shops_key, calls.broken_settings,
        second.special_files, second.odd_limits,
    ),
    "every command": (calls.odd_calls, third.other_calls),
}  # fmt: skip


def tried(attacks: Sequence[Attack]) -> Tally:
    """Return what some attacks tried and broke; one that cannot go on broke something."""
    tally = Tally()
    for attack in attacks:
        started = time.monotonic()
        with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as place:
            try:
                attack(Path(place) / "shop", tally)
            except Exception:
                tally.must(False, f"{attack.__name__}: {traceback.format_exc()}")
        print(f"{attack.__name__}: {time.monotonic() - started:.0f} s", file=sys.stderr)
    return tally


def main(words: Sequence[str]) -> int:
    """Attack all promises, or those whose name holds one of the words; print the table."""
    chosen = [word for word in words if word != "--write"]
    results = {}
    print("| protected | tries | broken |\n| --- | --- | --- |")
    for promise, attacks in PROMISES.items():
        if chosen and not any(word in promise for word in chosen):
            continue
        tally = results[promise] = tried(attacks)
        print(f"| {promise} | {tally.tries:,} | {len(tally.broken)} |", flush=True)
        for what in tally.broken:
            print(f"broken: {what}", file=sys.stderr)
    if "--write" in words:
        text = with_columns(DOCUMENT.read_text(encoding="utf-8"), results)
        DOCUMENT.write_text(text, encoding="utf-8")
    return 1 if any(tally.broken for tally in results.values()) else 0


def with_columns(text: str, results: dict[str, Tally]) -> str:
    """Return the document with the tries and broken of these promises in its table."""
    for promise, tally in results.items():
        row = re.compile(rf"^(\| {re.escape(promise)} \|[^|\n]*\|[^|\n]*\|).*$", re.M)
        text = row.sub(rf"\1 {tally.tries:,} | {len(tally.broken)} |", text)
    return text


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
