"""What the report calculates, by hand-worked cases (ours)."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from alongside.actions import Acknowledge
from alongside.alerts.model import Event
from alongside.record.opening import stood_s
from alongside.record.reader import Done
from alongside.reports.stay.alert_history import alert_histories
from alongside.reports.stay.line_figures import Peak, line_figures, peak, steepest
from alongside.reports.stay.record_arrays import RecordArrays
from alongside.reports.stay.summary import answers
from alongside.reports.stay.thinning import thin
from alongside.stay.stage import Stage


def test_states_stand_until_the_next_even_or_dense_but_not_over_a_gap() -> None:
    time = np.array([0.0, 10.0, 15.0, 20.0, 30.0, 60.0, 90.1, 100.0])
    assert stood_s(time).tolist() == [10.0, 5.0, 5.0, 10.0, 30.0, 0.0, pytest.approx(9.9), 0.0]
    assert stood_s(np.zeros(0)).size == 0


def test_peak_is_the_first_of_the_greatest_and_never_of_what_is_not_known() -> None:
    time, value = np.arange(5.0), np.array([np.nan, 2.0, 7.0, 7.0, np.nan])
    assert (peak(time, value).value, peak(time, value).time) == (7.0, 2.0)
    assert peak(time, value, least=True).value == 2.0
    assert np.isnan(peak(time, np.full(5, np.nan)).time)


def test_the_steepest_lead_is_that_farthest_from_level_up_or_down() -> None:
    time = np.arange(4.0)
    assert steepest(time, np.array([10.0, -40.0, 30.0, np.nan])) == Peak(-40.0, 1.0)
    assert steepest(time, np.array([10.0, -40.0, 41.0, np.nan])) == Peak(41.0, 2.0)
    assert np.isnan(steepest(time, np.full(4, np.nan)).time)


def test_times_in_stages_add_up_to_what_was_watched(arrays: RecordArrays) -> None:
    for one in line_figures(arrays):
        assert sum(one.stage_s) + one.unknown_s == pytest.approx(arrays.stands.sum())
        assert one.unknown_s >= 60.0, "while the gauges were silent"
    two = next(one for one in line_figures(arrays) if one.line.id == "2")
    assert two.worst is Stage.ALARM
    assert two.tendings == 1


def event(time: float, word: str, stage: Stage, subject: str = "4") -> Event:
    return Event(time, word, "stretch", subject, stage, subject, text=f"{word} {stage.word}")


def test_an_alert_from_its_raising_to_its_end() -> None:
    events = [
        event(10.0, "raised", Stage.CAUTION),
        event(20.0, "raised", Stage.WARNING, "5"),
        event(40.0, "worsened", Stage.WARNING),
        event(160.0, "escalated", Stage.ALARM),
        event(200.0, "acknowledged", Stage.ALARM),
        event(300.0, "eased", Stage.CAUTION),
        event(400.0, "acknowledged", Stage.ALARM),
        event(500.0, "cleared", Stage.CAUTION),
        event(600.0, "raised", Stage.CAUTION),
        event(700.0, "rectified", Stage.WARNING, "5"),
    ]
    actions = [
        Done(199.5, Acknowledge("stretch", "4", by="TK")),
        Done(400.0, Acknowledge("stretch", "4", by="RB")),
    ]
    first, other, again = alert_histories(events, actions)
    assert (first.worst, first.text, first.by) == (Stage.ALARM, "escalated alarm", "TK")
    assert first.answered_after == 160.0, "from the warning at 40, not from the caution at 10"
    assert first.ended == 500.0
    assert (other.worst, other.by, other.rectified) == (Stage.WARNING, "", 700.0)
    assert np.isnan([other.answered_after, other.ended]).all()
    assert (again.raised, again.worst, again.calls) == (600.0, Stage.CAUTION, ())


RISEN_AGAIN = [
    event(10.0, "raised", Stage.WARNING),
    event(20.0, "rectified", Stage.WARNING),
    event(30.0, "raised", Stage.ALARM),
]
WORSENED = [
    event(10.0, "raised", Stage.WARNING),
    event(50.0, "acknowledged", Stage.WARNING),
    event(90.0, "worsened", Stage.ALARM),
]


def test_what_rises_again_before_it_is_acknowledged_is_another_row() -> None:
    first, second = alert_histories(RISEN_AGAIN, [])
    assert (first.raised, first.worst, first.rectified, first.rose_again) == (10.0, Stage.WARNING, 20.0, 30.0)
    assert (second.raised, second.worst) == (30.0, Stage.ALARM)
    assert np.isnan([second.rectified, second.ended, second.rose_again]).all()


def test_an_acknowledgement_is_of_the_stage_for_which_it_was_given() -> None:
    (one,) = alert_histories(WORSENED, [Done(50.0, Acknowledge("stretch", "4", by="TK"))])
    assert [call.waited_s for call in one.calls] == [40.0, pytest.approx(float("nan"), nan_ok=True)]
    assert (one.answered_in_part, one.by) == (True, "TK")
    assert np.isnan(one.answered_after)


@pytest.mark.parametrize(
    ("events", "sentences"),
    [
        ([event(10.0, "raised", Stage.CAUTION)], []),
        (WORSENED[:1], ["The one warning or alarm was not acknowledged."]),
        (WORSENED[:2], ["The one warning or alarm was acknowledged after 40 s."]),
        (
            WORSENED,
            ["The one warning or alarm was acknowledged at first, but not again when it worsened."],
        ),
        (
            [*WORSENED, event(95.0, "raised", Stage.ALARM, "5")],
            ["1 of 2 warnings and alarms was acknowledged at first, but not again when it worsened."],
        ),
        (
            [
                *WORSENED,
                event(95.0, "raised", Stage.ALARM, "5"),
                event(99.0, "acknowledged", Stage.ALARM, "5"),
            ],
            [
                "1 of 2 warnings and alarms was acknowledged, after 4 s.",
                "1 more was acknowledged at first, but not again when it worsened.",
            ],
        ),
        (RISEN_AGAIN, ["None of the warnings and alarms was acknowledged."]),
        (
            [*WORSENED[:2], event(60.0, "raised", Stage.ALARM, "5")],
            ["1 of 2 warnings and alarms was acknowledged, after 40 s."],
        ),
        (
            [*RISEN_AGAIN, event(70.0, "acknowledged", Stage.ALARM)],
            [
                "2 of 2 warnings and alarms were acknowledged, half of them within 50 s, "
                "the slowest after 60 s."
            ],
        ),
    ],
)
def test_the_summary_says_how_soon_they_were_answered(events: list[Event], sentences: list[str]) -> None:
    """In the last: from 10 and from 30 to 70, that is 60 and 40 s; half of them within their median."""
    assert list(answers(alert_histories(events, [])))[1:] == sentences


values = hnp.arrays(np.float64, st.integers(1, 400), elements=st.floats(-1e3, 1e3) | st.just(float("nan")))


@given(values, st.integers(3, 40))
def test_thinning_loses_no_peak_and_adds_nothing(value: np.ndarray, buckets: int) -> None:
    time = np.arange(value.size) * 10.0
    thin_time, thin_value = thin(time, value, buckets)
    assert (np.diff(thin_time) >= 0.0).all()
    if np.isfinite(value).all():
        assert thin_value.size <= 2 * buckets
    known, kept = value[np.isfinite(value)], thin_value[np.isfinite(thin_value)]
    assert set(kept.tolist()) <= set(known.tolist())
    if known.size:
        assert (kept.max(), kept.min()) == (known.max(), known.min())


def test_gaps_stay_gaps() -> None:
    """No state for ten minutes, and states without an answer: the line is parted in both places."""
    time = np.concatenate([np.arange(0.0, 300.0, 10.0), np.arange(900.0, 1500.0, 10.0)])
    value = np.where((time > 1200.0) & (time < 1300.0), np.nan, 1.0)
    for buckets in (500, 40, 4):
        thin_time, thin_value = thin(time, value, buckets)
        parted = thin_time[np.isnan(thin_value)]
        assert ((parted >= 0.0) & (parted <= 290.0)).sum() == 1
        assert ((parted > 1200.0) & (parted < 1300.0)).any()
        assert parted.size <= 20


def test_a_value_that_comes_and_goes_does_not_swell_the_page() -> None:
    value = np.where(np.arange(20_000) % 2, np.nan, 1.0)
    assert thin(np.arange(20_000) * 10.0, value, 50)[0].size <= 100
