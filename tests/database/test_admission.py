"""At most so many threads compute at once, admitted in order of arrival; warming up goes last."""

import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import pytest

from dashboard.database.admission import Admission


def until(what: Callable[[], bool]) -> None:
    end = time.monotonic() + 10
    while not what():
        assert time.monotonic() < end
        time.sleep(0.001)


def test_no_more_threads_than_places_are_admitted_at_once():
    admission, inside, most = Admission(3), [], []

    def ask(name: int) -> None:
        with admission.admitted():
            inside.append(name)
            most.append(len(inside))
            time.sleep(0.002)
            inside.remove(name)

    with ThreadPoolExecutor(12) as threads:
        list(threads.map(ask, range(60)))
    assert max(most) == 3
    assert len(most) == 60


def test_threads_are_admitted_in_the_order_of_their_first_question_and_warming_up_last():
    admission, order, go_on = Admission(1), [], threading.Event()

    def first() -> None:
        with admission.admitted():
            pass
        asked.set()
        assert go_on.wait(10)
        ask("first again")

    def ask(name: str) -> None:
        with admission.admitted():
            order.append(name)

    def last() -> None:
        admission.go_last()
        ask("warming up")

    asked = threading.Event()
    threads = [threading.Thread(target=first)]
    threads[0].start()
    assert asked.wait(10)
    with admission.admitted():
        for place, target in enumerate((last, lambda: ask("second"))):
            threads.append(threading.Thread(target=target))
            threads[-1].start()
            until(lambda waiting=place + 1: len(admission._waiting) == waiting)
        go_on.set()
        until(lambda: len(admission._waiting) == 3)
    for thread in threads:
        thread.join(10)
    assert order == ["first again", "second", "warming up"]


def test_a_block_within_needs_no_second_place_and_an_error_frees_it():
    admission = Admission(1)
    with pytest.raises(ValueError, match="within"), admission.admitted(), admission.admitted():
        raise ValueError("within")
    with admission.admitted():
        assert admission._free == 0
    assert admission._free == 1
