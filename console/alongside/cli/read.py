"""`alongside read`: a reading by hand from a second terminal, for the watch that keeps the record."""

import argparse
import re
import time
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from alongside.actions import Correct, ForecastWind, ReadByHand
from alongside.cli.arguments import add_stay
from alongside.cli.second_look import apart, asked_initials, look_again, name_of_user
from alongside.cli.standard_output import print_aside, print_rows
from alongside.cli.terminal import has_terminal
from alongside.errors import DiskFailed, WrongInput
from alongside.stay.read import read_stay
from alongside.wording.safe import safe

if TYPE_CHECKING:
    from alongside.stay.model import Display

WAIT_S: Final = 5.0
"""So long the watch is waited for."""
ABOUT: Final = ("at", "how", "by", "yes", "undo", "forecast")
_SPEED: Final = re.compile(r"(.+?)\s*(kn|m/s)", re.IGNORECASE)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_stay(parser)
    what = (
        "what was read: draught_fwd=9.70, tide=3.40, heel=-0.5 (starboard down +), wind_speed=25kn; "
        "draught_fwd=9.28/9.15;9.32/9.10 for pairs of crest and trough; at=06:30 when (default: now), "
        "how=quay, boat or waves:0.4, by=TK initials; yes=draught_fwd for one that lies far from what stands "
        "and was looked at again; undo=tide takes the last reading of a channel back; "
        "forecast='25 gust 35 from 210' at=18:00 the wind of a weather forecast, 10 min mean"
    )
    parser.add_argument("readings", nargs="+", metavar="CHANNEL=VALUE", help=what)
    where = "the record of the watch (default: the stay file's own)"
    parser.add_argument("--record", type=Path, metavar="FOLDER", help=where)


def run(options: argparse.Namespace) -> int:
    stay = read_stay(options.stay)
    words = list(options.readings)
    asks, named = has_terminal(), any(_pair(word)[0] == "by" for word in words)
    action = action_of([*words, "by=?"] if asks and not named else words, time.time(), stay.display)
    from alongside.record.access import OWNER_ONLY, admitted
    from alongside.record.layout import default_folder, journal_of
    from alongside.record.lock import is_held
    from alongside.record.second_terminal import is_taken, leave_note
    from alongside.wording.times import clock

    folder: Path = options.record or default_folder(options.stay)
    if not journal_of(folder).exists():
        raise WrongInput(f"{folder}: no record of a watch, expected one: start alongside watch first")
    if isinstance(action, ReadByHand):
        look_again(apart(folder, action, stay.display), _seen(words))
    if asks and not named:
        action = replace(action, by=asked_initials())
    elif not named:
        print_aside(f"on record as read by {action.by}; by=TK says who it was")
    try:
        file = leave_note(folder, action, admitted(folder, OWNER_ONLY))
    except OSError as error:
        raise DiskFailed(f"{folder}: {error.strerror or error}; nothing was left for the watch") from error
    if is_taken(file, WAIT_S):
        print_rows(f"kept by the watch at {clock(time.time(), stay.display)}")
    elif not file.exists():
        raise WrongInput(f"{folder}: the watch cannot take it, expected readings of the last 12 h")
    else:
        print_rows("waits for the watch")
        running = is_held(folder)
        print_aside(
            "the watch has not answered yet"
            if running
            else "no watch is running: taken when the next one starts"
        )
    return 0


def action_of(words: list[str], now: float, display: "Display") -> ReadByHand | ForecastWind | Correct:
    """Return what is typed on the command line. Raise WrongInput with what was expected."""
    from alongside.wording.read_time import read_time
    from alongside.wording.typed_reading import check_reading, check_twice, typed_level, typed_way
    from alongside.wording.typed_wind import forecast_time, typed_forecast

    given = [_pair(word) for word in words]
    check_twice([(name, 0.0) for name, _ in given])
    about = {name: value for name, value in given if name in ABOUT}
    values = [(name, value) for name, value in given if name not in ABOUT]
    by = safe(about.get("by") or name_of_user())[:8]
    if "undo" in about:
        if values:
            raise WrongInput("undo takes a reading back, expected nothing to be read beside it")
        return Correct(_channel(about["undo"]), by)
    if "forecast" in about:
        if values:
            raise WrongInput("forecast is of the wind to come, expected nothing to be read beside it")
        return typed_forecast(
            about["forecast"], forecast_time(about.get("at", "now"), now, display), by, display
        )
    if not values:
        raise WrongInput("nothing is read, expected such as draught_fwd=9.70")
    way, waves = typed_way(about.get("how", "quay").replace(":", " "))
    read = []
    for name, text in values:
        channel = _channel(name)
        level = typed_level(
            _in_metres_per_second(text, display) if channel == "wind_speed" else text.replace(";", " ")
        )
        check_reading(channel, level.value, name)
        waves = max(waves, level.waves_m)
        read.append((channel, level.value))
    at = read_time(about.get("at", "now"), now, display)
    return ReadByHand(tuple(read), at, way, waves, by)


def _seen(words: list[str]) -> frozenset[str]:
    """Return the channels that were looked at again, `yes=draught_fwd,tide`."""
    given = dict(_pair(word) for word in words).get("yes", "")
    return frozenset(_channel(name.strip()) for name in given.split(",") if name.strip())


def _pair(word: str) -> tuple[str, str]:
    name, equals, value = word.partition("=")
    if not equals or not value.strip():
        raise WrongInput(f"{safe(word)!r}, expected CHANNEL=VALUE such as draught_fwd=9.70")
    return name.strip().lower(), value.strip()


def _channel(name: str) -> str:
    from alongside.forecast.expected.wind_forecast import WIND_FORECAST
    from alongside.readings import READ_BY_HAND
    from alongside.wording.typed_reading import LEVELS

    if name == "forecast":
        return WIND_FORECAST
    channel = LEVELS.get(name, name)
    if channel not in (*READ_BY_HAND, "under_keel"):
        raise WrongInput(
            f"{safe(name)!r} is not read by hand, expected one of {', '.join((*READ_BY_HAND, 'under_keel'))}"
        )
    return channel


def _in_metres_per_second(text: str, display: "Display") -> str:
    from alongside.units import KNOT
    from alongside.wording.typed_reading import typed_level

    typed = _SPEED.fullmatch(text)
    figure, unit = (typed[1], typed[2].lower()) if typed else (text, display.speed)
    return f"{typed_level(figure).value * (1.0 if unit == 'm/s' else KNOT):.6f}"
