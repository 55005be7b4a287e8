"""One answer to what the lines hold while a brake is in question, whoever gives it. Expected values: ours."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.alerts.rule_model import Rule
from alongside.alerts.text import Detail, alert_text
from alongside.cycle.holding_words import HeldOrSlipped, holding_sentence, shorter
from alongside.forecast.basis import Basis
from alongside.mechanics.holding import HoldingPower, Next, WeakSpot, directions
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.lesser_holding import lesser
from alongside.reports.handover import handover_text
from alongside.runtime.log_player import Player
from alongside.runtime.picture_maker import PictureMaker
from alongside.stay.model import Display
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from alongside.units import KNOT, unix_time
from tests.berth import a_stay

ROOT = Path(__file__).parents[3]
KN = Display(force="t", speed="kn")
FIRST = "(weakest from 000°: brake of line"
WINDS = st.lists(st.floats(0.0, CAP_MS), min_size=72, max_size=72).map(np.array)


def power(holds_ms: np.ndarray, line: str, contact_ms: np.ndarray | None = None) -> HoldingPower:
    """Return a power of which every direction says by its `where` whose it is."""
    contact = np.full(72, CAP_MS) if contact_ms is None else contact_ms
    then = {at: (Next(float(holds), None, None),) for at, holds in enumerate(holds_ms)}
    return HoldingPower(
        0.0, directions(), holds_ms, ("brake",) * 72, (line,) * 72, np.zeros(72), contact, then=then
    )


@given(one=WINDS, other=WINDS)
def test_the_smaller_from_each_direction_with_what_gives_in_that_state(
    one: np.ndarray, other: np.ndarray
) -> None:
    held, slipped = power(one, "of held", other), power(other, "of slipped", one)
    both = lesser(held, slipped)
    np.testing.assert_array_equal(both.holds_ms, np.minimum(one, other))
    np.testing.assert_array_equal(both.contact_ms, np.minimum(one, other))
    for at in range(72):
        governs = "of slipped" if other[at] < one[at] else "of held"
        assert both.where[at] == governs
        assert both.then[at][0].holds_ms == min(one[at], other[at])


def test_no_answer_in_a_state_leaves_the_one_that_is_asked() -> None:
    known = power(np.full(72, 20.0), "4")
    unknown = replace(known, holds_ms=np.full(72, np.nan), reason="tide not known")
    assert lesser(unknown, known) is unknown
    assert lesser(known, unknown) is known


@pytest.mark.parametrize(
    ("asked", "held_kn", "slipped_kn", "says"),
    [
        (("4",), 33, 48, f"Lines hold 33 kn if brake 4 held, 48 kn if it slipped {FIRST} h)."),
        (
            ("4", "10"),
            50,
            48,
            f"Lines hold 48 kn if brakes 4 and 10 slipped, 50 kn if they held {FIRST} s).",
        ),
        (
            ("4",),
            0,
            48,
            "Beyond a limit without any wind if brake 4 held, lines hold 48 kn if it slipped"
            " (brake of line h).",
        ),
        (("4",), 0, 0, "Beyond a limit without any wind: brake of line h."),
    ],
)  # fmt: skip
def test_the_worse_is_named_and_the_other_stands_beside_it(
    asked: tuple[str, ...], held_kn: float, slipped_kn: float, says: str
) -> None:
    held, slipped = (
        replace(power(np.full(72, kn * KNOT + bool(kn) * 0.1), line), then={})
        for kn, line in ((held_kn, "h"), (slipped_kn, "s"))
    )
    both = HeldOrSlipped(asked, held, slipped)
    assert holding_sentence(lesser(held, slipped), KN, None, both) == says


def test_where_room_is_short_the_worse_alone_is_left() -> None:
    whole = f"Lines hold 48 kn if brakes 4, 5 and 6 slipped, 50 kn if they held {FIRST} 4)."
    assert shorter(whole)[-2:] == (
        "Lines hold 48 kn if brakes 4, 5 and 6 slipped, 50 kn if they held",
        "Lines hold 48 kn if brakes 4, 5 and 6 slipped",
    )
    calm = "Beyond a limit without any wind if brake 4 held, lines hold 48 kn if it slipped (brake of line 4)"
    assert shorter(calm)[-1] == "Beyond a limit without any wind if brake 4 held"
    assert shorter("Lines hold 53 kn (weakest from 105°: brake of line 4).")[-1] == "Lines hold 53 kn"


def test_the_alert_names_the_state_that_it_goes_by(tmp_path: Path) -> None:
    stay = a_stay(tmp_path)
    detail = Detail(weak=WeakSpot("brake", "1", 25.0, 90.0, "slipped"), wind_ms=20.0, in_question=("1",))
    text = alert_text(stay, Rule("holding", "", (0.6, 0.75, 0.9)), Stage.WARNING, 0.8, detail)
    assert text == "Wind 39 kn, lines hold 48 kn if brake 1 slipped (brake of line 1)"


@pytest.mark.slow
def test_alert_rule_line_page_and_hand_over_agree_through_a_squall() -> None:
    """The coal berth from before its brake gives until the squall has passed: line 4 beyond its holding in a
    calm, if its brake held."""
    stay = read_stay(ROOT / "configs" / "coal_berth.yaml")
    basis = Basis.of(stay)
    player = Player(basis, ROOT / "replay_logs" / "coal_berth.log.gz")
    maker = PictureMaker(basis, player.intake.channels, looks_ahead=False)
    seen = set()
    for at in ("03:50", "04:00", "04:04", "04:12"):
        for block in player.play_to(unix_time(f"2026-03-20T{at}:00Z")):
            maker.add(block)
        picture = maker.picture(player.memory, ())
        assert picture is not None
        (alert,) = [each for each in picture.alerts if each.cause == "holding"]
        worse, other = picture.weak, picture.weak_otherwise
        asked = bool(player.memory.lengths.brakes.asked)
        assert bool(worse.if_brakes) == asked == (other.holds_ms is not None)
        assert picture.holding is not None
        assert picture.holding.holds_ms.min() <= picture.holds_ms + 0.02
        assert picture.holding_text in "\n".join(handover_text(picture, picture.time - 3600.0))
        spot = worse if worse.holds_ms else other
        assert f"lines hold {spot.holds_ms / KNOT // 1:.0f} kn" in alert.text
        if asked:
            assert f"if brake 4 {spot.if_brakes} (" in alert.text
            assert f"if brake 4 {worse.if_brakes}" in picture.holding_text
            assert f"if it {other.if_brakes}" in picture.holding_text
        else:
            assert " if " not in alert.text + picture.holding_text
        seen.add((worse.if_brakes, worse.holds_ms == 0.0))
    assert seen == {("", False), ("held", False), ("held", True)}
