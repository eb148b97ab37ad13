"""The attacks on the README's promises: those that take seconds here, all of them by make attack."""

import re
from pathlib import Path

import pytest

from tests.trust import attack
from tests.trust.attacks import calls, files, shops
from tests.trust.attacks.tally import Tally

QUICK = (
    shops.origins_and_roles, shops.another_shops_key, shops.locked_connection, shops.wrong_keys,
    files.contacts, files.endless, files.formulas, files.names, calls.encodings,
)  # fmt: skip


@pytest.mark.parametrize("each", QUICK, ids=lambda each: each.__name__)
def test_nothing_breaks(each: attack.Attack, tmp_path: Path):
    tally = Tally()
    each(tmp_path / "shop", tally)
    assert tally.broken == []
    assert tally.tries > 0


@pytest.mark.parametrize("promise", attack.PROMISES)
def test_each_promise_has_its_counts_in_the_document(promise: str):
    text = attack.DOCUMENT.read_text(encoding="utf-8")
    (row,) = re.findall(rf"^\| {re.escape(promise)} \|.*$", text, re.M)
    tries, broken = row.removesuffix(" |").rsplit("|", 2)[1:]
    assert int(tries.replace(",", "")) > 10
    assert int(broken) == 0


def test_every_row_of_the_table_is_attacked():
    text = attack.DOCUMENT.read_text(encoding="utf-8")
    table = text.split("| protected | from | by | tries | broken |")[1].split("\n\n")[0]
    assert re.findall(r"^\| ([^|-][^|]*) \|", table, re.M) == list(attack.PROMISES)


def test_a_broken_promise_makes_the_run_fail(monkeypatch, capsys):
    def breaks(place: Path, tally: Tally) -> None:
        tally.must(False, "it broke")

    monkeypatch.setattr(attack, "PROMISES", {"the pages": (breaks,)})
    assert attack.main([]) == 1
    message = capsys.readouterr()
    assert "| the pages | 1 | 1 |" in message.out
    assert "it broke" in message.err
