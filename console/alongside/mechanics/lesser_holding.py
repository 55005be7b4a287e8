"""The smaller of two holding powers, direction by direction: what is held whichever of two states is so; and
the worse of the rows of the criteria, and of the winds of who holds her."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np

from alongside.mechanics.holding import HoldingPower
from alongside.mechanics.holding_roles import RoleShares
from alongside.mechanics.standard_criteria import CriterionRow

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


def worse_criterion(one: CriterionRow, other: CriterionRow) -> CriterionRow:
    """Return the worse of a current of the criteria in two states: the larger of each share, on her fenders
    only where she is in both; with the wind that uses most and what gives in the state that is used more,
    `one` where they are equally."""
    shares = [(each.line_share, each.brake_share, each.bollard_share) for each in (one, other)]
    line, brake, bollard = (max(pair) for pair in zip(*shares, strict=True))
    return replace(
        other if max(shares[1]) > max(shares[0]) else one,
        line_share=line,
        brake_share=brake,
        bollard_share=bollard,
        in_contact=one.in_contact and other.in_contact,
    )


def lesser_shares(one: tuple[RoleShares, ...], other: tuple[RoleShares, ...]) -> tuple[RoleShares, ...]:
    """Return of each wind the parts in the state that holds less of it, `one` where both hold as much, and
    where nothing is known of either."""
    if not one or not other:
        return one
    return tuple(b if b.holds_ms < a.holds_ms else a for a, b in zip(one, other, strict=True))
