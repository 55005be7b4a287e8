"""What somebody asks who is woken by the bell, on the real console beside a recorded squall: each answer is
found in at most three keys, and each key is named on the screen before it is pressed."""

import time
from collections.abc import Iterator

import pytest

from tests.screens.terminal import OnTerminal

pytestmark = pytest.mark.slow

MOST_KEYS = 3
MOMENT = "03:55:00"
"""The squall blows: most of what the lines hold is used, and line 4 is near its limits."""
QUESTIONS = {
    "why this alarm": ("", "lines hold 4"),
    "what to do": ("", "Call the master, order tugs"),
    "what next": ("", " NEXT "),
    "how near is the worst line": ("", "WARNING 4    breast"),
    "what holds her": ("", "LINES HOLD"),
    "what gives first": ("3", "brake of line 4: 47 kn from"),
    "from where she comes off": ("3", "off her fenders first at"),
    "what is expected": ("4", "Line 4 brake: alarm expected"),
    "which limit of the line": ("2", "▸●  brake"),
    "what a metre does": ("2", "1 m out"),
    "who acknowledged": ("5\t", "Acknowledged by PH"),
    "what to hand over": ("5\t\t", "watch since"),
    "what the master ordered": ("5\t\t", "STANDING ORDERS"),
    "what the keys do": ("?", "Home to page Now"),
}


def read_for(console: OnTerminal, seconds: float) -> None:
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        console.read()


@pytest.fixture(scope="module")
def console() -> Iterator[OnTerminal]:
    command = ["-m", "alongside", "replay", "configs/coal_berth.yaml", "replay_logs/coal_berth.log.gz"]
    opened = OnTerminal([*command, "--from", MOMENT, "--speed", "1"], (80, 24))
    opened.wait_for(lambda: opened.shows("ALARM") and opened.shows("to acknowledge"))
    read_for(opened, 3.0)  # an alert is acknowledged only after it could be read
    opened.type("a")
    opened.wait_for(lambda: opened.shows("Acknowledged by, initials"))
    opened.type("PH\r")
    opened.wait_for(lambda: not opened.shows("initials"))
    yield opened
    opened.close()


@pytest.mark.parametrize("question", QUESTIONS)
def test_each_answer_is_found_in_few_keys(console: OnTerminal, question: str) -> None:
    keys, answer = QUESTIONS[question]
    assert len(keys) <= MOST_KEYS
    console.type("1")
    console.wait_for(lambda: console.shows("▸1 Now"))
    for key in keys:
        named = "Hand-over" if key == "\t" else f"{key} "
        console.wait_for(lambda named=named: console.shows(named))  # type: ignore[misc]
        before = list(console.screen.display)
        console.type(key)
        console.wait_for(lambda before=before: console.screen.display != before)  # type: ignore[misc]
        read_for(console, 0.3)
    console.wait_for(lambda: console.shows(answer))
