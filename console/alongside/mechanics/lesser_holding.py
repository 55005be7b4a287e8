"""The smaller of two holding powers, direction by direction: what is held whichever of two states is so."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np

from alongside.mechanics.holding import HoldingPower

T = TypeVar("T")


def lesser(one: HoldingPower, other: HoldingPower) -> HoldingPower:
    """Return the smaller of both from each direction, with what gives first and what goes next in the state
    that holds less there, and the smaller wind at which she leaves her fenders; `one` where they are equal,
    and where either has no answer. The time is the later one."""
    if one.reason or other.reason:
        return one
    less = (other.holds_ms < one.holds_ms).tolist()

    def chosen(mine: Sequence[T], others: Sequence[T]) -> tuple[T, ...]:
        return tuple(b if is_less else a for a, b, is_less in zip(mine, others, less, strict=True))

    chains = {at: (other if is_less else one).then.get(at) for at, is_less in enumerate(less)}
    return replace(
        one,
        time=max(one.time, other.time),
        holds_ms=np.minimum(one.holds_ms, other.holds_ms),
        gives_first=chosen(one.gives_first, other.gives_first),
        where=chosen(one.where, other.where),
        drift_m=np.where(less, other.drift_m, one.drift_m),
        contact_ms=np.minimum(one.contact_ms, other.contact_ms),
        then={at: chain for at, chain in chains.items() if chain is not None},
    )
