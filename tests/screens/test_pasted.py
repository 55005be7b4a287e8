"""What is pasted is text and never a key: by any pieces, and on a real terminal."""

import time
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.screens.pasted import BEGINS, ENDS, Pasted
from tests.screens.terminal import Terminal

COPIED = "line one\nline two\n\x1b[31mred\x1b[0m \x1bx\nq\nk\n"
typed = st.text("aqk\r\x1b[2~A", max_size=12).filter(lambda text: "\x1b[2" not in text)
pastes = st.text("aqk\n\x1b[31m\x07", max_size=30).filter(lambda text: ENDS not in text)


def heard(pieces: list[str]) -> list[tuple[str, bool]]:
    """What comes out, neighbours of one kind joined."""
    pasted, out = Pasted(), list[tuple[str, bool]]()
    for each in [event for piece in pieces for event in pasted.feed(piece)] + pasted.end():
        if out and not each[1] and not out[-1][1]:
            out[-1] = (out[-1][0] + each[0], False)
        else:
            out.append(each)
    return out


def is_in_code(text: str, cut: int) -> bool:
    """Whether an Escape or the character after it stands last: both go on at once, the key Escape waits."""
    return text[:cut].endswith(("\x1b", "\x1b["))


@given(st.lists(st.tuples(typed, pastes), max_size=4), st.lists(st.integers(0, 200), max_size=12))
def test_cuts_make_no_difference(parts: list[tuple[str, str]], cuts: list[int]) -> None:
    text = "".join(f"{keys}{BEGINS}{paste}{ENDS}" for keys, paste in parts)
    ends = [cut for cut in sorted({min(cut, len(text)) for cut in cuts}) if not is_in_code(text, cut)]
    pieces = [text[start:end] for start, end in pairwise([0, *ends, len(text)])]
    assert heard(pieces) == heard([text])
    keys = "".join(each for each, is_paste in heard(pieces) if not is_paste)
    assert keys == "".join(each for each, _ in parts), "every key, and nothing of a paste"
    assert not any("\x1b" in each or "\x07" in each for each, is_paste in heard(pieces) if is_paste)


def test_a_paste_that_never_ends_does_not_swallow_what_is_typed_after_it() -> None:
    pasted = Pasted()
    assert pasted.feed(f"{BEGINS}half") == []
    assert pasted.end() == [("half", True)]
    assert pasted.feed("q") == [("q", False)]


def test_the_key_escape_is_not_held_back() -> None:
    assert Pasted().feed("\x1b") == [("\x1b", False)]
    assert Pasted().feed("\x1b[") == [("\x1b[", False)]


@pytest.mark.slow
def test_a_coloured_paste_in_a_note_presses_no_key() -> None:
    terminal = Terminal("one_warning")
    try:
        terminal.wait_for(lambda: terminal.shows("Slack B1"))
        terminal.type("w")
        terminal.wait_for(lambda: terminal.shows("Enter"))
        terminal.type(f"{BEGINS}{COPIED}{ENDS}")
        terminal.wait_for(lambda: terminal.shows("line one"))
        end = time.monotonic() + 1.0
        while time.monotonic() < end:
            terminal.read()
        terminal.type("\r")
        terminal.wait_for(lambda: not terminal.shows("Enter keeps"))
        terminal.type("q")
        terminal.wait_for(lambda: terminal.shows("End the watch?"))
        terminal.type("y")
        terminal.wait_for(terminal.ended)
        terminal.wait_for(lambda: b"did " in terminal.output)
        assert b"did [Note(text='line one line two red x q k', by='')] []" in terminal.output
    finally:
        terminal.close()
