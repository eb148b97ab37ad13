"""So many reckon at once and no more; who came first goes first, and who gives way goes last."""

import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import pytest

from dashboard.database.admission import Turns


def until(what: Callable[[], bool]) -> None:
    end = time.monotonic() + 10
    while not what():
        assert time.monotonic() < end
        time.sleep(0.001)


def test_no_more_than_the_places_are_in_at_once():
    turns, inside, most = Turns(3), [], []

    def ask(name: int) -> None:
        with turns.taken():
            inside.append(name)
            most.append(len(inside))
            time.sleep(0.002)
            inside.remove(name)

    with ThreadPoolExecutor(12) as threads:
        list(threads.map(ask, range(60)))
    assert max(most) == 3
    assert len(most) == 60


def test_a_later_question_of_who_came_first_goes_before_and_who_gives_way_last():
    turns, order, go_on = Turns(1), [], threading.Event()

    def first() -> None:
        with turns.taken():
            pass
        asked.set()
        assert go_on.wait(10)
        ask("first again")

    def ask(name: str) -> None:
        with turns.taken():
            order.append(name)

    def last() -> None:
        turns.give_way()
        ask("gives way")

    asked = threading.Event()
    threads = [threading.Thread(target=first)]
    threads[0].start()
    assert asked.wait(10)
    with turns.taken():
        for place, target in enumerate((last, lambda: ask("second"))):
            threads.append(threading.Thread(target=target))
            threads[-1].start()
            until(lambda waiting=place + 1: len(turns._line) == waiting)
        go_on.set()
        until(lambda: len(turns._line) == 3)
    for thread in threads:
        thread.join(10)
    assert order == ["first again", "second", "gives way"]


def test_what_is_asked_within_needs_no_second_place_and_an_error_frees_it():
    turns = Turns(1)
    with pytest.raises(ValueError, match="within"), turns.taken(), turns.taken():
        raise ValueError("within")
    with turns.taken():
        assert turns._free == 0
    assert turns._free == 1
