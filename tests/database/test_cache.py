"""Threads that ask the same at the same moment wait for one answer; other questions go on."""

import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from dashboard.database import admission
from dashboard.database.cache import cached


def one_each(_: object) -> int:
    return 1


def test_what_many_ask_at_once_is_computed_once():
    computed = []

    @cached(8, one_each)
    def slow(question: str) -> str:
        time.sleep(0.05)
        computed.append(question)
        return question.upper()

    with ThreadPoolExecutor(16) as threads:
        answers = list(threads.map(slow, ["a", "b"] * 8))
    assert answers == ["A", "B"] * 8
    assert sorted(computed) == ["a", "b"]
    assert slow.computed == 2


def test_another_question_does_not_wait():
    started, go_on = threading.Event(), threading.Event()

    @cached(8, one_each)
    def answer(question: str) -> str:
        if question == "slow":
            started.set()
            assert go_on.wait(5)
        return question

    with ThreadPoolExecutor(1) as thread:
        slow = thread.submit(answer, "slow")
        assert started.wait(5)
        assert answer("quick") == "quick"
        go_on.set()
        assert slow.result() == "slow"


def test_after_an_error_the_next_call_computes_again():
    tries = []

    @cached(8, one_each)
    def answer(question: str) -> int:
        tries.append(question)
        if len(tries) < 2:
            raise ValueError("not yet")
        return len(tries)

    with pytest.raises(ValueError, match="not yet"):
        answer("a")
    assert [answer("a"), answer("a")] == [2, 2]


def test_the_least_recently_used_answer_is_evicted():
    computed = []

    @cached(3, one_each)
    def answer(question: int) -> int:
        computed.append(question)
        return question

    for question in (1, 2, 3, 1, 4, 1, 3, 2):
        answer(question)
    assert computed == [1, 2, 3, 4, 2], "2 made room for 4, for 1 and 3 were asked for later"
    assert len(answer.cache) == 3


def test_large_answers_make_more_room_and_too_large_ones_are_not_kept():
    @cached(10, len)
    def answer(length: int) -> str:
        return "x" * length

    for length in (1, 2, 3, 4, 8):
        answer(length)
    assert [length in answer.cache for length in ((1,), (2,), (3,), (4,), (8,))] == [False] * 4 + [
        True
    ]
    assert answer(11) == "x" * 11
    assert len(answer.cache) == 1
    answer.cache.clear()
    assert answer(8) == "x" * 8 and len(answer.cache) == 1


def test_old_answers_are_evicted_and_make_room():
    @cached(3, one_each)
    def answer(question: str) -> str:
        return question

    for question in ("old 1", "old 2", "new 1"):
        answer(question)
    answer.forget(lambda asked: asked[0].startswith("old"))
    assert ("new 1",) in answer.cache
    assert len(answer.cache) == 1
    answer("new 2"), answer("new 3")
    assert len(answer.cache) == 3


def test_warming_up_stops_within_an_answer_for_a_page_and_goes_on_when_the_page_waits_for_it(
    monkeypatch,
):
    monkeypatch.setattr(admission, "GIVES_WAY_S", 60)
    begun, go_on, order = threading.Event(), threading.Event(), []

    @cached(8, one_each)
    def part(question: str) -> str:
        order.append("part")
        return question.upper()

    @cached(8, one_each)
    def whole(question: str) -> str:
        begun.set()
        assert go_on.wait(10)
        return part(question) * 2

    def warm_up() -> str:
        admission.ADMISSION.go_last()
        return whole("a")

    with ThreadPoolExecutor(1) as thread:
        warming = thread.submit(warm_up)
        assert begun.wait(10)
        with admission.RUNS.running():
            go_on.set()
            with pytest.raises(TimeoutError):
                warming.result(0.2)
            order.append("page")
            assert whole("a") == "AA"
    assert order == ["page", "part"]
    assert (whole.computed, part.computed) == (1, 1)
