"""Standing orders of the stay file: texts with who and when, refused at their place."""

from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.errors import StayFaults
from alongside.stay.model import StandingOrder
from alongside.stay.read import read_stay
from alongside.units import unix_time
from tests.berth import STAY_TEXT, write_stay


def with_orders(folder: Path, text: str) -> Path:
    return write_stay(folder, f"{STAY_TEXT}\nstanding_orders:\n{text}\n")


def test_orders_are_texts_with_who_and_when_where_that_is_given(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = with_orders(
        tmp_path, '  - "Call me at 30 kn"\n  - {text: no, by: Master, at: 2026-03-02T16:00:00Z}'
    )
    assert read_stay(path).standing_orders == (
        StandingOrder("Call me at 30 kn"),
        StandingOrder("no", "Master", unix_time("2026-03-02T16:00:00Z")),
    )
    assert main(["check", str(path)]) == 0
    assert "; 2 standing orders;" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("  - ''", "standing_orders[0]: '' is not allowed here, expected an order in one line"),
        (f"  - {'x' * 201}", "expected an order in one line of up to 200 characters"),
        ('  - "a\\eb"', "standing_orders[0]"),
        ("  - {by: Master}", "standing_orders[0].text: missing"),
        ("  - {text: a, given: b}", "unknown key"),
        ("  - {text: a, at: 04:00}", "standing_orders[0].at"),
        ("  - call\n  - call", "standing_orders[1]: the same as an order before"),
        (
            "\n".join(f"  - call {n}" for n in range(21)),
            "[20]: 21 orders, expected at most 20",
        ),
        ("  call me", "standing_orders: "),
    ],
)
def test_what_can_be_no_order_is_refused_at_its_place(tmp_path: Path, text: str, fault: str) -> None:
    with pytest.raises(StayFaults) as refused:
        read_stay(with_orders(tmp_path, text))
    assert fault in str(refused.value)


def test_a_file_without_them_has_none(tmp_path: Path) -> None:
    assert read_stay(write_stay(tmp_path)).standing_orders == ()
