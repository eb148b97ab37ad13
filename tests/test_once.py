"""Threads that ask the same at the same moment wait for one answer; other questions go on."""

import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from dashboard.once import once


def test_what_many_ask_at_once_is_reckoned_once():
    reckoned = []

    @once(maxsize=8)
    def slow(question: str) -> str:
        time.sleep(0.05)
        reckoned.append(question)
        return question.upper()

    with ThreadPoolExecutor(16) as threads:
        answers = list(threads.map(slow, ["a", "b"] * 8))
    assert answers == ["A", "B"] * 8
    assert sorted(reckoned) == ["a", "b"]


def test_another_question_does_not_wait():
    started, go_on = threading.Event(), threading.Event()

    @once(maxsize=8)
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


def test_after_an_error_the_next_who_asks_tries_again():
    tries = []

    @once(maxsize=8)
    def answer(question: str) -> int:
        tries.append(question)
        if len(tries) < 2:
            raise ValueError("not yet")
        return len(tries)

    with pytest.raises(ValueError, match="not yet"):
        answer("a")
    assert [answer("a"), answer("a")] == [2, 2]


def test_old_answers_are_forgotten():
    @once(maxsize=2)
    def answer(question: int) -> int:
        return question

    for question in range(5):
        answer(question)
    assert answer.cache_info().currsize == 2
