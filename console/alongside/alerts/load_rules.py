"""Which lines are watched by their load, besides by their stretch."""

from alongside.stay.channels import TENSION
from alongside.stay.model import Limits, Line, Stay


def watched_by_computed_load(stay: Stay) -> set[str]:
    """Return lines whose computed load is watched: with an allowance of their own or a weaker fitting, or all
    where the stay file gives limits of its own."""
    asked = stay.limits.load_share != Limits().load_share
    return {line.id for line in stay.lines if asked or _has_own_allowance(line)}


def watched_by_cell_alone(stay: Stay) -> set[str]:
    """Return lines whose load is watched only because they have a load cell: of the hours ahead, where
    nothing is measured, `stretch` says the same."""
    return with_cell(stay) - watched_by_computed_load(stay)


def with_cell(stay: Stay) -> set[str]:
    """Return lines with a load cell."""
    measured = {source.channel for feed in stay.feeds for source in feed.channels}
    return {line.id for line in stay.lines if f"{TENSION}{line.id}" in measured}


def _has_own_allowance(line: Line) -> bool:
    """Return whether the working limit is not where the stretch allowance ends: that is given by itself, or a
    fitting bears less than the rope."""
    ropes = [line.rope] if line.tail is None else [line.rope, line.tail.rope]
    by_fitting = line.smallest_wll_kn < min(rope.wll_kn for rope in ropes)
    return by_fitting or any(rope.allowance_percent is not None for rope in ropes)
