"""A stretch of a replay is packed and comes back as it was."""

from dataclasses import fields

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from alongside.cycle.memory import Memory
from alongside.runtime.stretch import Stretch
from tests.screens.invented import invented_stay


@given(st.integers(0, 4).flatmap(lambda n: arrays(np.float32, (n, 3))))
def test_its_history_comes_back_to_the_bit(past: np.ndarray) -> None:
    stretch = Stretch.of(600.0, start(), (), ("a", "b", "c"), np.arange(len(past), dtype=float), past)
    assert stretch.past.shape == past.shape
    assert stretch.past.tobytes() == np.ascontiguousarray(past).tobytes()


def start() -> Memory:
    return Memory.at_start(invented_stay())


def test_its_memory_comes_back_whole_and_names_are_kept_once() -> None:
    names = ["tide", "wind"]
    one, two = (
        Stretch.of(600.0, start(), (), tuple(names), np.zeros(0), np.zeros((0, 2), np.float32))
        for _ in range(2)
    )
    assert one.names is two.names
    for field in fields(Memory):
        assert repr(getattr(one.memory, field.name)) == repr(getattr(start(), field.name))
