"""Patterns that may take digits of a number beside its group; what is found is tried on lines."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.cli.main import main
from alongside.feeds.flaws import Flaw
from alongside.feeds.intake import Intake
from alongside.stay.model import Feed, Source
from alongside.stay.pattern_cuts import cuts_of
from tests.berth import STAY_TEXT, write_stay
from tests.feeds.stays import START, stay_with

PORT = 'port: "serial:/dev/ttyUSB0?baud=4800"'
XDR = "tide: {sentence: XDR, name: TIDE}"

BEFORE = (
    r"L=.*(?P<t>[0-9.]+)",
    r"^.*?(?P<t>[0-9]{2})m",
    r"^\w+(?P<t>[-+]?[0-9]+)",
    r"[0-9]*[ ]*(?P<t>[0-9.]+)",
    r"(?P<t>[0-9]{1,2}\.[0-9])m",
)
BEHIND = (
    r"T=(?P<t>[0-9]{1,3})",
    r"(?P<t>[0-9.]+?).*",
    r"(?P<t>\d+(?:\.\d{1,2})?)",
)
NEITHER = (
    r"L=.*?(?P<t>[0-9.]+)",
    r"^.{4}(?P<t>.{7})(?P<f>.{7})",
    r"(?P<t>[0-9.]+?)m",
    r"\S*=(?P<t>[0-9.]+)",
    r"ST,GS,(?P<t>[-+] *[0-9.]+)m",
    r"^>(?P<t>\+[0-9.]{6})(?P<b>\+[0-9.]{6})",
    r"^(?:1=(?P<t>[0-9.]+)|2=(?P<b>[0-9.]+))$",
    r"D (?P<t>[^;]+);",
    r"[A-Z]*(?P<t>[0-9]+(\.[0-9]+)?) ?m",
    r"^[^0-9]*(?P<t>[0-9]+)$",
    r"^>(?P<a>[-+][0-9.]+)(?P<t>[-+][0-9.]+)",
    r"T=(?P<t>[0-9]{1,3})$",
)


@pytest.mark.parametrize(
    ("pattern", "before", "behind"),
    [
        *((p, True, False) for p in BEFORE),
        *((p, False, True) for p in BEHIND),
        *((p, False, False) for p in NEITHER),
    ],
)
def test_where_a_number_may_be_cut(pattern: str, before: bool, behind: bool) -> None:
    cuts = cuts_of(pattern)["t"]
    assert (cuts.before, cuts.behind) == (before, behind)


def heard(pattern: str, line: str) -> tuple[list[float], int]:
    source = Source("tide", group="t", checks_unit=True)
    intake = Intake(stay_with(Feed("box", "udp:1", (source,), pattern)))
    intake.take(START, "box", line.encode())
    values = [value for _, _, value in intake.newest_raw() if value == value]
    return values, intake.tallies["box"][Flaw.GARBLED]


@given(st.sampled_from((*BEFORE, *BEHIND)), st.integers(0, 99_999), st.sampled_from(["L=", "T=", "T1 L="]))
def test_what_is_left_of_a_number_is_no_figure(pattern: str, number: int, name: str) -> None:
    """Whatever the pattern took, it is the whole number, or nothing."""
    text = f"{name}{number}m"
    values, _ = heard(pattern, text)
    wholes = {float(each) for each in re.findall("[0-9]+", text)}
    assert set(values) <= wholes, (pattern, text)


def test_five_of_a_hundred_and_twenty_five_is_counted() -> None:
    assert heard(r"L=.*(?P<t>[0-9.]+)", "L=125") == ([], 1)
    assert heard(r"L=[^0-9]*(?P<t>[0-9.]+)", "L= 125") == ([125.0], 0)
    assert heard(r"T=(?P<t>[0-9]{1,2})", "T=125") == ([], 1)
    assert heard(r"^>(?P<a>[-+]?[0-9.]+)(?P<t>[-+]?[0-9.]+)", ">+12+34") == ([34.0], 0)
    assert heard(r"^>(?P<a>[-+]?[0-9.]+)(?P<t>[-+]?[0-9.]+)", ">1234") == ([], 1)
    assert heard(r"(?P<t>[0-9]{1,2}\.[0-9])m", "125.3m") == ([], 1)
    assert heard(r"^(?P<x>.{2})(?P<t>.{2})", "0245") == ([45.0], 0), "fixed width cuts on purpose"


def test_check_warns_of_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for pattern, says in (
        (r"L=.*(?P<t>[0-9.]+)", "pattern: remark: what stands before (?P<t>…) may take digits of its number"),
        (r"L=(?P<t>[0-9]{1,3})", "pattern: remark: (?P<t>…) may end before its number does"),
        (r"L=(?P<t>[0-9.]+)", ""),
    ):
        text = STAY_TEXT.replace(PORT, f"{PORT}\n    pattern: '{pattern}'").replace(XDR, "tide: {group: t}")
        assert main(["check", str(write_stay(tmp_path, text))]) == 0
        out = capsys.readouterr().out
        assert (says in out) if says else "pattern" not in out
