"""What an instructor types: each kind as an exercise file has it, and what is refused."""

import pytest

from alongside.errors import WrongInput
from alongside.stay.model import Stay
from alongside.units import KNOT, unix_time
from alongside.wording.typed_injection import moment_words, typed_injection, typed_moment
from tests.screens.invented import invented_stay


@pytest.fixture(scope="module")
def stay() -> Stay:
    return invented_stay()


@pytest.mark.parametrize(
    ("text", "plain", "words"),
    [
        (
            "gust 35 from 210 for 10 min",
            {"kind": "gust", "seconds": 600.0, "speed_ms": 35 * KNOT, "from_deg": 210.0},
            "gust of 35 kn from 210° for 10 min",
        ),
        ("Gust of 15 m/s", {"kind": "gust", "seconds": 600.0, "speed_ms": 15.0}, "gust of 29 kn for 10 min"),
        (
            "tide frozen for 20 min",
            {"kind": "frozen", "channel": "tide", "seconds": 1200.0},
            "tide frozen for 20 min",
        ),
        (
            "draught_fwd off -0.3 1 h",
            {"kind": "offset", "channel": "draught_fwd", "seconds": 3600.0, "by": -0.3},
            "draught forward offset by -0.3 for 60 min",
        ),
        (
            "tide wrong_unit ft",
            {"kind": "wrong_unit", "channel": "tide", "seconds": 1800.0, "unit": "ft"},
            "tide in ft for 30 min",
        ),
        ("part b1", {"kind": "parted_line", "line": "B1"}, "line B1 parts"),
        ("line B1 parted", {"kind": "parted_line", "line": "B1"}, "line B1 parts"),
        (
            "surge -0.5 m for 60 min",
            {"kind": "tide_surge", "seconds": 3600.0, "metres": -0.5},
            "water 0.5 m lower for 60 min",
        ),
        (
            "terminal: Stop at 12:30, no [/] more",
            {"kind": "message", "from": "terminal", "text": "Stop at 12:30, no [/] more"},
            "terminal: Stop at 12:30, no [/] more",
        ),
        (
            "engine room: no power",
            {"kind": "message", "from": "engine", "text": "no power"},
            "engine: no power",
        ),
    ],
)
def test_what_is_typed_is_meant(stay: Stay, text: str, plain: dict[str, object], words: str) -> None:
    assert typed_injection(text, stay) == (plain, words)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "gust 35 from 210"),
        ("storm", "gust 35 from 210"),
        ("gust 0", "more"),
        ("gust 400", "at most"),
        ("part 99", "no line '99'"),
        ("moon frozen", "no gauge"),
        ("tide offset", "by how much"),
        ("tide wrong_unit", "which"),
        ("tide drift much", "a number"),
        ("cargo nothing x2", "cargo"),
        (f"tug: {'x' * 201}", "at most 200"),
    ],
)
def test_what_is_refused_says_what_was_expected(stay: Stay, text: str, expected: str) -> None:
    with pytest.raises(WrongInput, match=expected):
        typed_injection(text, stay)


def test_text_from_outside_steers_no_terminal(stay: Stay) -> None:
    plain, words = typed_injection("tug: red \x1b[31m", stay)
    assert "\x1b" not in f"{plain}{words}"


def test_when(stay: Stay) -> None:
    now = unix_time("2026-03-02T15:10:20Z")
    assert typed_moment("now", now, stay) is None
    assert typed_moment("", now, stay) is None
    assert typed_moment("+10", now, stay) == now + 600.0
    assert typed_moment("+ 1.5 h", now, stay) == now + 5400.0
    at = typed_moment("00:05", now, stay)
    assert at is not None
    assert now < at <= now + 86400.0
    with pytest.raises(WrongInput, match="15:20"):
        typed_moment("soon", now, stay)
    assert moment_words(None, stay) == "at once"
