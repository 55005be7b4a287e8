"""None of these situations gets an advice that a prudent officer refuses; each goes through the whole cycle,
from readings over a quarter of an hour to the Picture, the hours ahead included."""

from functools import cache

import pytest

from alongside.cycle.advice.headlines import HEADLINES, LINE_HEADLINES
from alongside.cycle.picture import Picture
from alongside.readings import Quality, Reason
from alongside.stay.stage import Stage
from tests.prudent.coal_berth import COAL_BERTH
from tests.prudent.four_lines import FOUR_LINES
from tests.prudent.grain_quay import GRAIN_QUAY
from tests.prudent.product_jetty import PRODUCT_JETTY
from tests.prudent.situation import NORMAL, watched

pytestmark = pytest.mark.slow

SITUATIONS = {**COAL_BERTH, **GRAIN_QUAY, **PRODUCT_JETTY, **FOUR_LINES}
AT_LEAST = 55
MOST_HEADLINES = 3


@cache
def picture_of(name: str) -> Picture:
    return watched(SITUATIONS[name])


def row(name: str) -> object:
    wrong = SITUATIONS[name].wrong
    return pytest.param(name, marks=[pytest.mark.xfail(strict=True, reason=wrong)] if wrong else [])


def test_there_are_enough_of_them() -> None:
    assert len(SITUATIONS) >= AT_LEAST


def test_each_says_what_is_expected() -> None:
    """Half the list of headlines is no expectation."""
    vague = [name for name, of in SITUATIONS.items() if not of.large or len(of.large) > MOST_HEADLINES]
    assert not vague


@pytest.mark.parametrize("name", [row(name) for name in SITUATIONS])
def test_the_advice_is_what_a_prudent_officer_gives(name: str) -> None:
    of, advice = SITUATIONS[name], picture_of(name).advice
    seen = f"{of.plain}\n{advice.stage.word}: {advice.large}: {advice.text}"
    assert advice.large.startswith(of.large) if any(of.large) else not advice.large, seen
    assert not advice.large.startswith(("?", *of.never)), seen
    for words in of.says:
        assert words.lower() in advice.text.lower(), seen
    for words in of.never_says:
        assert words.lower() not in advice.text.lower(), seen


@pytest.mark.parametrize("name", SITUATIONS)
def test_all_is_normal_only_where_nothing_stands_and_all_is_known(name: str) -> None:
    picture = picture_of(name)
    is_normal = not picture.alerts and all(
        channel.quality is Quality.GOOD or channel.reason is Reason.NOT_FITTED for channel in picture.channels
    )
    is_normal = is_normal and all(line.stage is Stage.NORMAL for line in picture.lines)
    assert is_normal or picture.advice.large != NORMAL, picture.advice.text


@pytest.mark.parametrize("name", SITUATIONS)
def test_its_headline_is_of_the_closed_list_and_short(name: str) -> None:
    large = picture_of(name).advice.large
    beginnings = tuple(of.partition("{}")[0] for of in LINE_HEADLINES)
    assert large in ("", *HEADLINES) or large.startswith(beginnings), large
    assert len(large) <= 20
