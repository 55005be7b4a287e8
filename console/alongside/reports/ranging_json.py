"""Periods of her motions for other programs; keys and units stand in the manual, page `outputs`."""

from collections.abc import Sequence

from alongside.forecast.instant_words import Instant
from alongside.forecast.periods import MOTIONS, OtherLoads, Period, Wave
from alongside.reports.instant_json import answer_object
from alongside.reports.what_if_json import number_or_null


def ranging_object(
    instant: Instant, periods: Sequence[Period], wave: Wave | None, tried: Sequence[OtherLoads]
) -> dict[str, object]:
    """Return the periods at an instant; infinite is null."""
    answer: dict[str, object] = {
        "periods": [
            {
                "motion": each.motion,
                "shortest_s": number_or_null(each.shortest),
                "period_s": number_or_null(each.expected),
                "longest_s": number_or_null(each.longest),
                "ranges": None if wave is None else wave.is_near(each.expected),
                "may_range": None if wave is None else wave.may_be_near(each),
            }
            for each in periods
        ],
        "wave_s": None if wave is None else [wave.shortest, wave.longest],
        "other_loads": [
            {
                "lines": each.lines,
                "factor": each.factor,
                **{
                    f"{motion}_s": number_or_null(value)
                    for motion, value in zip(MOTIONS, each.periods, strict=True)
                },
                "load_share": number_or_null(each.load_share),
                "under_warnings": each.serves,
            }
            for each in tried
        ],
    }
    return answer_object(instant, answer)
