"""What is to be ordered for the wind to come, as rows of a hand-over: what, by when, why, ordered by whom."""

from collections.abc import Iterator

from alongside.cycle.picture import Picture
from alongside.forecast.decide_words import nothing_words, order_words, why_none
from alongside.wording.times import DayClock


def decide_part(picture: Picture, clock: DayClock) -> list[str]:
    """Return what is to be ordered, the soonest due first, and below it what is ordered; none where the stay
    file has no section `decide`."""
    return [] if picture.stay.decide is None else list(_rows(picture, clock))


def _rows(picture: Picture, clock: DayClock) -> Iterator[str]:
    decisions = picture.decisions
    if decisions is None or picture.forecast_hidden:
        yield why_none(picture.stay.decide, picture.forecast_hidden, decisions)
        return
    for row in sorted(decisions.rows, key=lambda row: not row.is_open):
        yield order_words(row, decisions, picture.time, clock)
    if not decisions.rows:
        yield nothing_words(decisions, clock)
