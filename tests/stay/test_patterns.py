"""Patterns of feeds: what could search a line without end is refused, what gauges need passes, ends soon."""

import re
import time
from pathlib import Path
from typing import Final

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from alongside.errors import StayFaults
from alongside.stay.pattern_steps import LONGEST_SEARCHED, MOST_STEPS, NotBounded, steps
from alongside.stay.read import read_stay
from tests.berth import STAY_TEXT, write_stay

SOON_S: Final = 2.0
"""The worst line of any pattern that passes takes a tenth of a second; a runaway takes hours."""
SOUND: Final = (
    r"LIST=(?P<t>[-+]?\d+\.\d)",
    r"T=(?P<t>.*)",
    r"(?P<t>.*)",
    r"T=\s*(?P<t>[-+]?[0-9]*\.?[0-9]+)\s*m",
    r"(?P<t>[-+]?\d*\.?\d+)m",
    r"^\s*(?P<t>[-0-9.]+)\s*,\s*(?P<f>[-0-9.]+)",
    r"^(?:[^,]*,){3}(?P<t>[-0-9.]+)",
    r"^(?:\w+,)*(?P<t>[-0-9.]+)",
    r"TIDE\s+(?P<t>[-+0-9.]+)\s+M\s+WIND\s+(?P<w>[0-9.]+)",
    r"^.*T=(?P<t>[-0-9.]+)",
    r".*T=(?P<t>\d+\.\d+).*$",
    r"^.*,.*,(?P<t>[^,]+),",
    r"(?i)level\s*[:=]\s*(?P<t>\S+)",
    r"(?P<t>\d+)(?:\s*(?:m|ft|cm))?$",
    r"\b(?P<t>\d+)\b",
    r"^(?P<t>\d{1,3})\.(?P<u>\d{2})$",
    r"^(?P<t>[^;]+);(?P<u>[^;]*);?$",
    r"(?:TIDE|TEMP|LEVEL)[ =](?P<t>[-0-9.]+?) ?m",
)
RUNAWAY: Final = (
    r"^(?P<t>([0-9]+)+)m$",
    r"(?P<t>(a+)+)$",
    r"(?P<t>(a|a)*)b",
    r"(?P<t>(a|aa)+)$",
    r"(?P<t>(.*)*)x",
    r"^(?P<t>(\w+\s?)*)$",
    r"(?P<t>(?:\d+\.?\d*)+)m",
    r"(?P<t>([a-z]+)*[0-9])",
    r"(?P<t>(?:a?){25}a{25})",
    f"(?P<t>{'a?' * 30}{'a' * 30})",
    r"(?P<t>x*x*x*x*)y",
    r"^.*,.*,.*,.*,(?P<t>x)",
    r"(?P<t>(?:[^,]*,?)*)x",
    r"(?P<t>(a|b|ab)*)c",
    r"(?P<t>(?:(?:a|b)*)*)c",
    r"^(?P<t>(?:\s*\w+\s*)+),",
    r"(?P<t>(([a-z])+.)+[A-Z]([a-z])+)$",
)
"""Known from the literature on backtracking, and their kin."""


def passes(pattern: str) -> bool:
    try:
        return steps(pattern) <= MOST_STEPS
    except NotBounded:
        return False


def worst_s(pattern: str, lines: list[bytes]) -> float:
    search = re.compile(pattern.encode()).search
    longest = 0.0
    for line in lines:
        begun = time.perf_counter()
        search(line)
        longest = max(longest, time.perf_counter() - begun)
    return longest


def awkward_lines(pattern: str) -> list[bytes]:
    """Lines of full length that repeat what the pattern knows, ended by what it does not."""
    marks = sorted(set(re.sub(r"[^\w ,.;=+-]", "", pattern)) | set("1a, .=T"))
    parts = [*marks, *(a + b for a in marks[:8] for b in marks[:8])]
    whole = [(part * LONGEST_SEARCHED)[:LONGEST_SEARCHED].encode() for part in parts]
    return [line for each in whole for line in (each, each[:-1] + b"!")]


@pytest.mark.parametrize("pattern", SOUND)
def test_what_gauges_need_passes_and_ends_soon(pattern: str) -> None:
    assert passes(pattern), steps(pattern)
    assert worst_s(pattern, awkward_lines(pattern)) < SOON_S


@pytest.mark.parametrize("pattern", RUNAWAY)
def test_what_runs_away_is_refused(pattern: str) -> None:
    re.compile(pattern)
    assert not passes(pattern)


@pytest.mark.slow
@pytest.mark.parametrize("pattern", [r"^(?P<t>([0-9]+)+)m$", r"(?P<t>(a|aa)+)$", r"(?P<t>x*x*x*x*)y"])
def test_they_do_run_away(pattern: str) -> None:
    """The measure of the refusal: on short lines already each longer one takes several times as long."""
    mark = next(letter for letter in "9ax" if letter in pattern)
    lengths = (14, 20) if "+" in pattern else (60, 120)
    short, long = (min(worst_s(pattern, [mark.encode() * n + b"!"]) for _ in range(3)) for n in lengths)
    assert long > 4.0 * short


@pytest.mark.parametrize(
    ("pattern", "words"),
    [
        (r"^(?P<t>([0-9]+)+)m$", "may try without end in one line, expected repeats that end before"),
        (r"(?=(?P<t>a))a", "holds a look ahead or behind"),
        (r"(?P<t>a)(?P=t)", "holds a group that stands for another"),
        (r"(?L)(?P<t>\w)", "holds the flag L"),
        ("(?P<t>" + "a" * 300 + ")", "307 characters, expected at most 300"),
        (r"(?P<t>\u00e9)", "is not a regular expression"),
    ],
)
def test_the_fault_stands_at_its_place(tmp_path: Path, pattern: str, words: str) -> None:
    text = STAY_TEXT.replace("    channels:\n", f"    pattern: '{pattern}'\n    channels:\n", 1)
    with pytest.raises(StayFaults) as caught:
        read_stay(write_stay(tmp_path, text))
    (fault,) = caught.value.faults
    assert fault.path == "feeds[0].pattern"
    assert words in fault.problem


SINGLE: Final = st.sampled_from(
    ["a", "b", "1", ",", ".", r"\d", r"\w", r"\s", "[ab]", "[^,]", "[0-9.]", " ", "(?i:A)"]
)
REPEATS: Final = st.sampled_from(["", "", "*", "+", "?", "*?", "+?", "{2}", "{0,3}", "{1,}", "*+"])
ANCHORS: Final = st.sampled_from(["", "", "^", r"\b"])


def _joined(parts: list[str]) -> str:
    return "".join(parts)


def _grouped(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    group = st.builds("(?:{}){}".format, inner, REPEATS)
    branch = st.builds("(?:{}|{}){}".format, inner, inner, REPEATS)
    return st.lists(group | branch | inner, min_size=1, max_size=4).map(_joined)


WORDS: Final = st.lists(st.builds("{}{}".format, SINGLE, REPEATS), min_size=1, max_size=4).map(_joined)
PATTERNS: Final = st.builds(
    "{}(?P<t>{}){}".format,
    ANCHORS,
    st.recursive(WORDS, _grouped, max_leaves=6),
    st.sampled_from(["", "$", "!", "x", "m$"]),
)


@pytest.mark.slow
@settings(max_examples=400)
@given(
    PATTERNS,
    st.lists(st.sampled_from(["a", "b", "1", ",", ".", " ", "ab", "1.", "a,", "1 "]), min_size=1, max_size=3),
)
def test_whatever_passes_ends_soon_on_the_longest_line(pattern: str, parts: list[str]) -> None:
    try:
        re.compile(pattern.encode())
    except re.error:
        assume(False)
    assume(passes(pattern))
    line = ("".join(parts) * LONGEST_SEARCHED)[:LONGEST_SEARCHED].encode()
    mixed = (parts[0] * (LONGEST_SEARCHED // 2) + parts[-1] * LONGEST_SEARCHED)[:LONGEST_SEARCHED].encode()
    assert worst_s(pattern, [line, line[:-1] + b"?", mixed, mixed[:-1] + b"?"]) < SOON_S
