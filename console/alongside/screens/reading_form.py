"""The form for readings by hand: draughts, and whatever else was read."""

from dataclasses import replace
from math import isfinite
from typing import Final

from alongside.actions import Correct, ReadByHand
from alongside.cycle.gauge_words import row_of
from alongside.cycle.plausibility.by_hand import HandReading, last_reading, sigma_of
from alongside.cycle.plausibility.second_look import is_far
from alongside.cycle.plausibility.sigmas import GAUGE, SIGMAS
from alongside.errors import WrongInput
from alongside.readings import Quality
from alongside.screens.form import Form
from alongside.screens.outcomes import Entered
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.stay.model import Display
from alongside.wording import names
from alongside.wording.by_hand import apart_words, hand_value, reading_text
from alongside.wording.read_time import read_time
from alongside.wording.safe import safe
from alongside.wording.times import clock
from alongside.wording.typed_reading import (
    EXAMPLE,
    LEVELS,
    TypedLevel,
    check_reading,
    check_twice,
    typed_level,
    typed_others,
    typed_way,
)

UNDO: Final = "undo"
ENDS: Final = (("fwd", "draught_fwd"), ("aft", "draught_aft"))


class ReadingForm(Form):
    follows = True
    fields = (
        ("fwd", "F", 7),
        ("aft", "A", 7),
        ("other", "else", 0),
        ("at", "at", 6),
        ("how", "how", 10),
        ("by", "initials", 6),
    )

    def start_values(self, view: View) -> dict[str, str]:
        return {"at": "now", "how": last_way(view)}

    def hint(self, view: View) -> str:
        return f"else: {EXAMPLE}    how: quay, boat, waves 0.4    {UNDO}: takes the last back"

    def read(self, view: View, values: dict[str, str]) -> tuple[ReadByHand | Correct, str]:
        by = safe(values["by"]).strip()
        if not by:
            raise Refused("no initials; expected those of who read")
        undone = _undone(view, values, by)
        if undone is not None:
            return undone
        try:
            return _reading(view, values, by)
        except WrongInput as error:
            raise Refused(str(error)) from None

    def means_as_asked(self, entered: Entered, words: str, asked: tuple[Entered, str]) -> bool:
        """Return whether it is what was asked: `now` is when it was typed."""
        if isinstance(entered, ReadByHand) and isinstance(asked[0], ReadByHand):
            return replace(entered, at=asked[0].at) == asked[0]
        return words == asked[1]

    def effect(self, view: View, entered: Entered) -> str:
        """Return what each reading differs by from what stands now."""
        if not isinstance(entered, ReadByHand):
            return ""
        if view.watch.time - entered.at > 600.0:
            return f"Carried on by plan and table from {clock(entered.at, view.stay.display)}"
        parts = [_difference(view, entered, channel, value) for channel, value in entered.values]
        return "; ".join(part for part in parts if part)


def last_way(view: View) -> str:
    """Return how was read last, as it is typed; from the quay at first."""
    last = view.watch.by_hand[-1] if view.watch.by_hand else None
    if last is None or last.way not in ("boat", "waves"):
        return "quay"
    return "boat" if last.way == "boat" else f"waves {last.waves_m:g}"


def _reading(view: View, values: dict[str, str], by: str) -> tuple[ReadByHand, str]:
    display, now = view.stay.display, view.watch.time
    typed: list[tuple[str, TypedLevel]] = [
        (channel, typed_level(values[field])) for field, channel in ENDS if values[field].strip()
    ]
    typed += typed_others(values["other"], display)
    if not typed:
        raise WrongInput("nothing is read; expected a draught, or such as: tide 3.40")
    read = tuple((channel, level.value) for channel, level in typed)
    check_twice(read)
    for channel, value in read:
        check_reading(channel, value, names.channel(channel))
    way, waves = typed_way(values["how"])
    waves = max([waves, *(level.waves_m for _, level in typed)])
    at = read_time(values["at"], now, display)
    words = [
        f"{names.channel(channel, short=True)} {hand_value(channel, value, display)}"
        for channel, value in read
    ]
    when = clock(at, display)
    return ReadByHand(read, at, way, waves, by), f"read by hand {when}: {', '.join(words)}"


def _undone(view: View, values: dict[str, str], by: str) -> tuple[Correct, str] | None:
    """The correction that is typed: `undo` beside the draught, or `undo tide`; None where none is."""
    typed = {channel for field, channel in ENDS if values[field].strip().lower() == UNDO}
    word, _, name = values["other"].strip().lower().partition(" ")
    if word == UNDO:
        typed.add(_named(name.strip()))
    if not typed:
        return None
    if len(typed) > 1:
        raise Refused(f"two readings, expected one {UNDO} at a time")
    channel = typed.pop()
    last = last_reading(view.watch.by_hand, channel)
    if last is None:
        raise Refused(f"{names.channel(channel)} was not read by hand: nothing to take back")
    return Correct(channel, by), f"reading taken back: {_text(last, view.stay.display)}"


def _named(name: str) -> str:
    known = {**LEVELS, "wind": "wind_speed", "heel": "heel", "mid": "draught_mid_port"}
    if name in known:
        return known[name]
    raise Refused(f"{UNDO} {safe(name)!r}, expected one of {', '.join(known)}")


def _text(reading: HandReading, display: Display) -> str:
    return reading_text(reading.channel, reading.value, reading.at, reading.way, display)


def _difference(view: View, entered: ReadByHand, channel: str, value: float) -> str:
    """Return `draught F 0.12 m below the gauge`, what it leads to where they lie far apart."""
    row = row_of(view.watch, channel)
    if row is None or not isfinite(row.value) or channel.startswith("wind"):
        return ""
    off = value - row.value
    is_good = row.quality is Quality.GOOD
    text = apart_words(channel, off, "the gauge" if is_good else "what stands now", view.stay.display)
    sigma = (sigma_of(channel, entered.way, entered.waves_m) ** 2 + GAUGE.get(channel, 0.0) ** 2) ** 0.5
    if is_good and channel != "heel" and abs(off) > SIGMAS * sigma:
        return f"● {text}: both will be doubtful"
    far = is_far(channel, off, entered.way, entered.waves_m, row.spread)
    return f"● {text}: read it again" if far else text
