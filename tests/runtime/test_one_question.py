"""Questions that are answered in a thread: one at a time, a fault kept, the next one answered."""

import threading
from pathlib import Path

from alongside.runtime.one_question import OneQuestion


def test_a_fault_is_kept_and_the_next_question_is_answered() -> None:
    taken: list[tuple[float, float | None]] = []
    asking = OneQuestion[float, float]("halves", lambda each: 1.0 / each, lambda *each: taken.append(each))
    asking.ask(0.0)
    asking.wait(30.0)
    assert taken == [(0.0, None)]
    assert "ZeroDivisionError" in Path(asking.failed).read_text(encoding="utf-8")
    asking.ask(4.0)
    asking.wait(30.0)
    assert taken[1:] == [(4.0, 0.25)]
    assert asking.failed == ""


def test_an_answer_is_taken_in_the_thread_of_the_caller_and_not_before_it_is_asked_for() -> None:
    answered, taken = threading.Event(), list[str]()

    def answer(question: str) -> str:
        answered.set()
        return question + threading.current_thread().name

    def take(question: str, found: str | None) -> None:
        taken.append(f"{found} taken in {threading.current_thread().name}")

    asking = OneQuestion[str, str]("answers", answer, take)
    asking.ask("in ")
    assert answered.wait(30.0)
    assert taken == []
    assert asking.busy
    asking.wait(30.0)
    assert taken == [f"in answers taken in {threading.current_thread().name}"]
    assert not asking.busy
