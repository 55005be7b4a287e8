"""The serial number of a rope that the watch put out or renewed: said with it, or later."""

from pathlib import Path

import pytest

from alongside.actions import Action, AddLine, Correct, NameRope, RenewLine
from alongside.stay.model import Stay
from tests.berth import STAY_TEXT, a_stay
from tests.record.kept import Watch

TAILED = "tail: {rope: polyester, length: 11, serial: T-1}"
TEXT = STAY_TEXT.replace('id: "1",', 'id: "1", serial: PL-1,').replace('id: "2",', f'id: "2", {TAILED},')


def stay_in(folder: Path) -> Stay:
    return a_stay(folder, TEXT)


def serial(watch: Watch, line: str) -> str:
    return next(each.serial for each in watch.last.stay.lines if each.id == line)


def texts(watch: Watch) -> list[str]:
    return [event.text for event in watch.last.log]


def test_a_new_rope_has_the_number_that_was_said_with_it(tmp_path: Path) -> None:
    watch = Watch(stay_in(tmp_path), None)
    watch.run(
        8,
        {
            4: RenewLine("1", tension_kn=20.0, by="RV", serial="PL-2213"),
            5: AddLine("9", like="2", tension_kn=20.0, by="RV", serial="PL-2214"),
        },
    )
    assert (serial(watch, "1"), serial(watch, "9")) == ("PL-2213", "PL-2214")


def test_one_that_nobody_has_said_is_stood_in_for_and_said_later(tmp_path: Path) -> None:
    watch = Watch(stay_in(tmp_path), None)
    watch.run(
        6, {4: RenewLine("1", tension_kn=20.0, by="RV"), 5: AddLine("9", like="2", tension_kn=20.0, by="RV")}
    )
    assert serial(watch, "1") == "line 1, new 2026-03-02T04:00:04Z"
    assert serial(watch, "9") == "line 9, new 2026-03-02T04:00:05Z"
    watch.run(2, {7: NameRope("1", "PL-2213", "TK"), 8: NameRope("9", "PL-2214", "TK")})
    assert (serial(watch, "1"), serial(watch, "9")) == ("PL-2213", "PL-2214")
    assert "Line 1 rope is PL-2213 (TK)" in texts(watch)
    watch.run(2, {9: Correct(line="1", by="TK"), 10: Correct(line="9", by="TK")})
    assert serial(watch, "1") == "line 1, new 2026-03-02T04:00:04Z"
    assert serial(watch, "9") == "line 9, new 2026-03-02T04:00:05Z"


def test_a_tail_is_not_in_two_lines_at_once(tmp_path: Path) -> None:
    watch = Watch(stay_in(tmp_path), None).run(6, {5: AddLine("9", like="2", tension_kn=20.0, by="RV")})
    tails = {line.id: line.tail.serial for line in watch.last.stay.lines if line.tail is not None}
    assert tails == {"2": "T-1", "9": "tail of line 9, new 2026-03-02T04:00:05Z"}


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        (NameRope("3", "PL-9", "RV"), "its rope is one of the stay file, expected serial: of that line"),
        (NameRope("1", "T-1", "RV"), "serial T-1 is that of the tail of line 2"),
        (NameRope("1", " ", "RV"), "no serial number was given"),
        (NameRope("2b", "PL-9", "RV"), "it is the other part of the rope of line 3"),
        (RenewLine("2", tension_kn=20.0, serial="PL-1", by="RV"), "serial PL-1 is that of line 1"),
        (AddLine("8", like="2", tension_kn=20.0, serial="PL-1", by="RV"), "serial PL-1 is that of line 1"),
    ],
)
def test_what_cannot_be_is_a_note(tmp_path: Path, wrong: Action, why: str) -> None:
    begun = {
        3: AddLine("2b", fairlead="FM", bight_with="3", tension_kn=20.0, by="RV"),
        4: RenewLine("1", tension_kn=20.0, by="RV", serial="PL-7"),
    }
    if "PL-1 is" in why:
        del begun[4]
    watch = Watch(stay_in(tmp_path), None).run(7, {**begun, 6: wrong})
    assert any("not done" in text and why in text for text in texts(watch)), texts(watch)


def test_a_number_survives_a_kill(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    done = {3: RenewLine("1", tension_kn=20.0, by="RV"), 5: NameRope("1", "PL-2213", "RV")}
    watch = Watch(stay_in(tmp_path), folder).run(6, done)
    watch.kill()
    again = Watch(stay_in(tmp_path), folder, 6.0).run(2)
    assert serial(again, "1") == "PL-2213"
    again.end()
