"""What is typed of whom the watch called."""

from pathlib import Path

import pytest

from alongside.actions import Action, CallOut, ChangeCargo, Correct, SayTransfer
from alongside.cycle.deck.altered import AS_WRITTEN
from alongside.cycle.deck.others import CALL, CARGO, TRANSFER
from alongside.screens.other_words import named_in, other_deed, subject_of
from alongside.screens.refusal import Refused
from alongside.stay.model import Stay
from tests.berth import a_stay


@pytest.fixture(scope="module")
def stay(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    return a_stay(tmp_path_factory.mktemp("stay"))


@pytest.mark.parametrize(
    ("typed", "action", "words"),
    [
        ("master", CallOut("master", "", "RV"), "called master"),
        ("Master: wind 40 kn", CallOut("master", "wind 40 kn", "RV"), "called master: wind 40 kn"),
        ("engineer tide", CallOut("engineer", "tide", "RV"), "called engineer: tide"),
        ("engineer about draught forward", CallOut("engineer", "draught_fwd", "RV"),
         "called engineer: draught forward"),
        ("tug", CallOut("tugs", "", "RV"), "called tugs"),
        ("linesmen", CallOut("linesmen", "", "RV"), "called linesmen"),
        ("terminal [bold]stop", CallOut("terminal", "[bold]stop", "RV"), None),
    ],
)  # fmt: skip
def test_who_was_called(stay: Stay, typed: str, action: CallOut, words: str | None) -> None:
    done, said = other_deed(stay, AS_WRITTEN, CALL, typed, "RV")
    assert done == action
    assert words is None or said == words


@pytest.mark.parametrize("typed", ["", "nobody", "mas ter"])
def test_who_is_not_known(stay: Stay, typed: str) -> None:
    with pytest.raises(Refused, match="expected master, terminal"):
        other_deed(stay, AS_WRITTEN, CALL, typed, "RV")


def test_a_line_of_that_name_goes_first(tmp_path: Path, stay: Stay) -> None:
    assert subject_of(stay, "Call") == CALL
    assert subject_of(stay, "1") is None


def test_a_pilot_and_a_gang_are_called_and_arms_are_connected(stay: Stay) -> None:
    pilot, gang = (other_deed(stay, AS_WRITTEN, CALL, typed, "RV")[0] for typed in ("pilot", "gang"))
    assert (pilot, gang) == (CallOut("pilot", "", "RV"), CallOut("linesmen", "", "RV"))
    for typed, connected in (("connected", True), ("disconnected", False), ("are off", False)):
        assert subject_of(stay, "transfer") == subject_of(stay, "arms") == TRANSFER
        action, words = other_deed(stay, AS_WRITTEN, TRANSFER, typed, "RV")
        assert action == SayTransfer(connected, "RV")
        assert words == f"arms or hoses {'connected' if connected else 'disconnected'}"
    assert other_deed(stay, AS_WRITTEN, CALL, "take back", "RV")[0] == Correct(line="call", by="RV")
    with pytest.raises(Refused, match="expected connected, disconnected, take back"):
        other_deed(stay, AS_WRITTEN, TRANSFER, "perhaps", "RV")


@pytest.mark.parametrize(
    ("typed", "subject", "action"),
    [
        ("stop cargo", CARGO, ChangeCargo("stopped", by="RV")),
        ("Stop cargo hold 1", CARGO, ChangeCargo("stopped", "hold 1", by="RV")),
        ("begin cargo", CARGO, ChangeCargo("begun", by="RV")),
        ("cargo rate 300", CARGO, ChangeCargo("rate", "", 300.0, "RV")),
        ("disconnect", TRANSFER, SayTransfer(False, "RV")),
        ("disconnect the arms", TRANSFER, SayTransfer(False, "RV")),
        ("connect hoses", TRANSFER, SayTransfer(True, "RV")),
        ("order tugs", CALL, CallOut("tugs", "", "RV")),
        ("call gang", CALL, CallOut("linesmen", "", "RV")),
        ("pilot", CALL, CallOut("pilot", "", "RV")),
    ],
)
def test_an_order_is_typed_as_an_alert_says_it(stay: Stay, typed: str, subject: str, action: Action) -> None:
    found, rest = named_in(typed)
    assert found == subject
    assert other_deed(stay, AS_WRITTEN, subject, rest, "RV")[0] == action


@pytest.mark.parametrize("typed", ["parted", "let go", "stopped", "fast 4 t", "held", ""])
def test_what_happened_to_a_line_is_no_order(typed: str) -> None:
    assert named_in(typed) == (None, typed)
