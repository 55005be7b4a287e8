"""How near lines are to their limits, on one scale."""

from dataclasses import replace
from math import isnan, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.assess import assess, line_stages, stages_of
from alongside.alerts.bars import BAR_AT, bars_of, line_bars, stage_of_bar, straight_bars
from alongside.alerts.over_brake import OverBrake
from alongside.alerts.rule_model import Rule
from alongside.alerts.rules import rules_of
from alongside.stay.causes import CAUSES, Cause, highest_bar
from alongside.stay.model import Feed, Source
from alongside.stay.stage import Stage
from tests.alerts.scene import findings, invented

STAY = invented()
RULES = rules_of(STAY)
LINES = ("1", "2", "3")


def rule(limits: tuple[float, float, float], sense: int = 1) -> Rule:
    return Rule("stretch", "1", limits, sense=sense, line="1")


def one(limits: tuple[float, float, float], value: float, sense: int = 1) -> float:
    """The bar of one value, with its stage by the limits."""
    of = rule(limits, sense)
    values = np.array([value])
    (bar,) = bars_of([of], values[:, None], stages_of(of, values)[:, None])[:, 0].tolist()
    return float(bar)


SHARES = (0.70, 0.85, 1.00)
STEEP = (25.0, 30.0, 45.0)
SLACK = (0.04, 0.01, nan)
KEEL = (1.00, 0.60, 0.30)


@pytest.mark.parametrize(
    ("limits", "sense", "value", "bar"),
    [
        # Worked by hand from the definition: 70, 85 and 100 at the limits, straight between.
        (SHARES, 1, 0.0, 0.0),
        (SHARES, 1, 0.37, 37.0),
        (SHARES, 1, 0.70, 70.0),
        (SHARES, 1, 0.85, 85.0),
        (SHARES, 1, 1.0, 100.0),
        (SHARES, 1, 1.18, 118.0),  # 15 for every 0.15 above
        (STEEP, 1, 10.0, 28.0),  # 70 x 10 / 25
        (STEEP, 1, 25.0, 70.0),
        (STEEP, 1, 27.0, 76.0),  # 70 + 15 x 2 / 5
        (STEEP, 1, 36.0, 91.0),  # 85 + 15 x 6 / 15
        (STEEP, 1, 45.0, 100.0),
        (STEEP, 1, 60.0, 115.0),
        # Less is worse: from 0 at twice the caution limit.
        (SLACK, -1, 0.30, 0.0),
        (SLACK, -1, 0.08, 0.0),
        (SLACK, -1, 0.06, 35.0),  # half way
        (SLACK, -1, 0.04, 70.0),
        (SLACK, -1, 0.025, 77.5),  # half way from caution to warning
        (SLACK, -1, 0.01, 85.0),
        (SLACK, -1, 0.0, 90.0),  # on as before: 15 for 0.03
        (KEEL, -1, 1.5, 35.0),
        (KEEL, -1, 0.80, 77.5),
        (KEEL, -1, 0.45, 92.5),
        (KEEL, -1, 0.0, 115.0),
        # Limits that are not used.
        ((nan, 20.0, nan), 1, 10.0, 42.5),  # 85 x 10 / 20
        ((nan, 20.0, nan), 1, 20.0, 85.0),
        ((nan, nan, 40.0), 1, 10.0, 25.0),
        ((nan, nan, 40.0), 1, 50.0, 125.0),
        ((10.0, nan, nan), 1, 5.0, 35.0),
        ((10.0, nan, nan), 1, 11.0, 77.0),
        ((0.70, nan, 1.00), 1, 0.80, 80.0),
    ],
)
def test_bars_worked_by_hand(
    limits: tuple[float, float, float], sense: int, value: float, bar: float
) -> None:
    assert one(limits, value, sense) == pytest.approx(bar, abs=1e-9)


@pytest.mark.parametrize(
    ("limits", "value", "under"),
    [((nan, 20.0, nan), 200.0, 100.0), ((10.0, nan, nan), 90.0, 85.0), ((0.70, nan, 1.00), 0.99, 85.0)],
)
def test_a_bar_does_not_pass_into_a_stage_that_has_no_limit(
    limits: tuple[float, float, float], value: float, under: float
) -> None:
    assert under - 0.01 < one(limits, value) < under


def test_what_is_not_known_has_no_bar() -> None:
    assert isnan(one(SHARES, nan))
    assert stage_of_bar(nan) is None


@st.composite
def limit_sets(draw: st.DrawFn) -> tuple[tuple[float, float, float], int]:
    """Limits as a stay file may have them: each worse than the one before, some not used."""
    sense = draw(st.sampled_from((1, -1)))
    at = draw(
        st.lists(st.floats(0.01, 90.0), min_size=3, max_size=3, unique=True).map(sorted)  # type: ignore[arg-type]
    )
    used = draw(st.lists(st.booleans(), min_size=3, max_size=3).filter(any))
    rising = at if sense > 0 else at[::-1]
    limits = tuple(limit if use else nan for limit, use in zip(rising, used, strict=True))
    return limits, sense  # type: ignore[return-value]


@given(limit_sets(), st.lists(st.floats(0.0, 200.0) | st.integers(0, 2), min_size=1))
def test_a_bar_says_the_stage_that_the_limits_say(
    of: tuple[tuple[float, float, float], int], values: list[float]
) -> None:
    limits, sense = of
    used = [limit for limit in limits if not isnan(limit)]
    near = [np.nextafter(limit, to) for limit in used for to in (-np.inf, np.inf)]
    for value in (*values, *used, *near):
        (stage,) = stages_of(rule(limits, sense), np.array([float(value)])).tolist()
        assert stage_of_bar(one(limits, float(value), sense)) == stage


@given(limit_sets(), st.lists(st.floats(0.0, 200.0), min_size=2, max_size=30))
def test_a_worse_value_never_has_a_lower_bar(
    of: tuple[tuple[float, float, float], int], values: list[float]
) -> None:
    limits, sense = of
    bars = [one(limits, value, sense) for value in sorted(values, reverse=sense < 0)]
    assert bars == sorted(bars)


@given(limit_sets())
def test_the_limits_stand_where_they_belong(of: tuple[tuple[float, float, float], int]) -> None:
    limits, sense = of
    for stage, limit in zip(BAR_AT, limits, strict=True):
        if not isnan(limit):
            (bar,) = straight_bars([rule(limits, sense)], np.array([[limit]])).ravel().tolist()
            assert bar == pytest.approx(BAR_AT[stage], abs=1e-6)


def bars(**found: object) -> dict[str, dict[Cause, float]]:
    assessment = assess(RULES, findings(STAY, **found))  # type: ignore[arg-type]
    return dict(zip(LINES, next(line_bars(assessment, STAY, [0])), strict=True))


def test_a_line_has_a_bar_of_every_limit_that_watches_it_or_its_bollard() -> None:
    """Shares are their own bars by the limits of the default; 26 deg is 70 + 15 / 5."""
    by_line = bars(
        stretch_share=(0.9, 0.5, 0.5),
        vertical_deg=(26.0, 12.0, 12.0),
        load_share=(0.3, 0.06, 0.2),
        tension_kn=(200.0, 64.0, 64.0),
        bollard_kn=(450.0, 0.0),
    )
    assert by_line["1"] == {
        "steep": pytest.approx(73.0),
        "stretch": pytest.approx(90.0),
        "slack": 0.0,
        "brake": pytest.approx(50.0),  # 200 of 400 kN
        "bollard": pytest.approx(90.0),  # 450 of 500 kN
    }
    assert by_line["2"]["bollard"] == by_line["1"]["bollard"]
    assert by_line["2"]["slack"] == pytest.approx(35.0)
    assert "bollard" not in by_line["3"]  # no safe working load is known of it
    assert by_line["3"]["load"] == pytest.approx(20.0)


def test_what_is_not_known_of_a_line_is_nan_and_never_the_highest() -> None:
    by_line = bars(stretch_share=(nan, 0.5, 0.5))
    assert isnan(by_line["1"]["stretch"])
    assert highest_bar(by_line["1"]) == "steep"
    names = ("vertical_deg", "stretch_share", "load_share", "tension_kn", "unstretched_m")
    nothing = bars(**dict.fromkeys(names, (nan,) * 3), bollard_kn=(nan, nan))
    assert all(isnan(bar) for bar in nothing["1"].values())
    assert highest_bar(nothing["1"]) == ""


def test_a_brake_in_question_stands_at_its_alarm_however_low_the_load() -> None:
    over = OverBrake(np.array([[0.2, nan, nan]]), np.array([[320.0, nan, nan]]))
    found = replace(findings(STAY), over_brake=over)
    (line, *_others) = next(line_bars(assess(RULES, found), STAY, [0]))
    assert line["brake"] == pytest.approx(100.0)


def test_a_brake_in_question_whose_load_is_not_known_stands_at_its_alarm_too() -> None:
    over = OverBrake(np.array([[0.2, nan, nan]]), np.full((1, 3), nan))
    found = replace(findings(STAY, tension_kn=(nan, 64.0, 64.0)), over_brake=over)
    (line, *_others) = next(line_bars(assess(RULES, found), STAY, [0]))
    assert line["brake"] == 100.0
    assert highest_bar(line) == "brake"


@pytest.mark.parametrize(("bollard_kn", "dolphin_kn", "bar"), [(450.0, 240.0, 90.0), (200.0, 240.0, 80.0)])
def test_of_a_bollard_and_its_dolphin_the_higher_counts(
    bollard_kn: float, dolphin_kn: float, bar: float
) -> None:
    """450 and 200 of 500 kN, 240 of 300 kN."""
    bollards = {name: replace(each, dolphin="D1") for name, each in STAY.berth.bollards.items()}
    stay = replace(STAY, berth=replace(STAY.berth, bollards=bollards, dolphins={"D1": 300.0}))
    load = np.array([[bollard_kn, 60.0, dolphin_kn]])
    found = replace(findings(stay), bollards=("B1", "B3", "D1"), bollard_kn=load)
    line = next(line_bars(assess(rules_of(stay), found), stay, [0]))[0]
    assert line["bollard"] == pytest.approx(bar)
    unknown = replace(found, bollard_kn=np.array([[bollard_kn, 60.0, nan]]))
    line = next(line_bars(assess(rules_of(stay), unknown), stay, [0]))[0]
    assert line["bollard"] == pytest.approx(bollard_kn / 5.0)


def test_a_cell_that_says_the_same_as_the_computed_load_has_no_bar_of_its_own() -> None:
    """The stretch has it."""
    cell = Feed("cells", "udp:10111", (Source("tension.2", "XDR"),))
    stay = replace(STAY, feeds=(*STAY.feeds, cell))
    found = findings(stay)
    found = replace(found, readings=with_channel(found.readings, "tension.2", 64.0))
    by_line = next(line_bars(assess(rules_of(stay), found), stay, [0]))
    assert "load" not in by_line[1]
    assert by_line[1]["tension"] == 0.0


def with_channel(readings, name, value):  # type: ignore[no-untyped-def]
    return replace(
        readings,
        channels=(*readings.channels, name),
        value=np.hstack([readings.value, [[value]]]),
        quality=np.hstack([readings.quality, np.zeros((1, 1), dtype=np.int8)]),
        reason=np.hstack([readings.reason, np.zeros((1, 1), dtype=np.int8)]),
        age=np.hstack([readings.age, np.ones((1, 1))]),
    )


@given(
    st.lists(st.floats(0.0, 1.5) | st.just(nan), min_size=3, max_size=3),
    st.lists(st.floats(-90.0, 90.0), min_size=3, max_size=3),
    st.lists(st.floats(0.0, 600.0), min_size=3, max_size=3),
)
def test_bars_and_stages_of_lines_agree(shares: list[float], angles: list[float], loads: list[float]) -> None:
    found = findings(STAY, stretch_share=shares, load_share=shares, vertical_deg=angles, tension_kn=loads)
    assessment = assess(RULES, found)
    both = zip(next(line_stages(assessment, LINES, [0])), next(line_bars(assessment, STAY, [0])), strict=True)
    for stages, of_line in both:
        own = {cause: bar for cause, bar in of_line.items() if cause != "bollard"}
        assert {cause: stage_of_bar(bar) for cause, bar in own.items() if not isnan(bar)} == stages


@given(st.dictionaries(st.sampled_from(CAUSES), st.sampled_from((10.0, 72.0, 90.0, nan))))
def test_of_equal_bars_what_can_part_first_is_the_highest(of: dict[Cause, float]) -> None:
    known = [bar for bar in of.values() if not isnan(bar)]
    top = next((cause for cause in CAUSES if known and of.get(cause) == max(known)), "")
    assert highest_bar(of) == top


def test_stages_by_bar() -> None:
    assert [stage_of_bar(bar) for bar in (0.0, 69.99, 70.0, 84.9, 85.0, 99.9, 100.0, 200.0)] == [
        Stage.NORMAL,
        Stage.NORMAL,
        Stage.CAUTION,
        Stage.CAUTION,
        Stage.WARNING,
        Stage.WARNING,
        Stage.ALARM,
        Stage.ALARM,
    ]
