"""What the watch did, in words."""

import re
from typing import Final

from alongside.actions import (
    Accept,
    Acknowledge,
    Action,
    AddLine,
    AnswerBrake,
    ChangeCargo,
    Correct,
    ForecastWind,
    GiveOrder,
    HandOver,
    LetTugGo,
    LineGone,
    MakeFast,
    Note,
    PutTug,
    ReadByHand,
    RenewLine,
    SelfTest,
    SetBrake,
    ShiftLine,
    Silence,
    TakeOver,
    TendLine,
    WithdrawOrder,
)
from alongside.stay.causes import Cause, known_cause
from alongside.wording.figures import bearing, metres
from alongside.wording.names import channel as channel_words
from alongside.wording.names import condition
from alongside.wording.safe import safe

ON_A_LINE: Final[frozenset[Cause]] = frozenset(
    {"steep", "stretch", "load", "slack", "brake", "tension", "not_known", "parted", "ahead"}
)
"""Causes whose subject, where they have one, is a line."""


def action_words(action: Action) -> tuple[str, str, str]:
    """Return what kind of action it was, on what, and whose initials it bears: `tended`, `line 4, slacked
    0.30 m`, `TK`."""
    match action:
        case Acknowledge():
            return "acknowledged", alert_name(action.cause, action.subject), action.by
        case Accept():
            on = alert_name(action.cause, action.subject)
            return "accepted", f"{on} ({safe(action.reason)})", action.by
        case Silence():
            return "silenced", "all sound", action.by
        case TendLine():
            return "tended", f"line {safe(action.line)}, {_tended(action)}", action.by
        case AnswerBrake():
            return "looked", f"line {safe(action.line)}, {_answered(action)}", action.by
        case ReadByHand():
            return (
                "read",
                ", ".join(f"{channel_words(channel)} {value:.2f}" for channel, value in action.values),
                action.by,
            )
        case ForecastWind():
            words = (
                f"{action.mean_ms:.1f} m/s, gusts {action.gust_ms:.1f} m/s, from {bearing(action.from_deg)}"
            )
            return "forecast", f"wind {words}", action.by
        case LineGone():
            how = "parted" if action.how == "parted" else "let go"
            return "on deck", f"line {safe(action.line)} {how}", action.by
        case MakeFast():
            return "on deck", f"line {safe(action.line)} made fast{_made_fast(action)}", action.by
        case ShiftLine():
            return "on deck", f"line {safe(action.line)} shifted{_led(action)}", action.by
        case AddLine():
            part = f" as the other part of {safe(action.bight_with)}" if action.bight_with else ""
            return "on deck", f"line {safe(action.line)} put out{part}{_made_fast(action)}", action.by
        case RenewLine():
            rope = "" if action.rope is None else f" {safe(action.rope)}"
            return "on deck", f"line {safe(action.line)} has a new rope{rope}{_made_fast(action)}", action.by
        case SetBrake():
            words = f"line {safe(action.line)}, brake set to hold {action.holding_kn:.0f} kN"
            return "on deck", words, action.by
        case PutTug():
            way = "pushing on" if action.on_kn >= 0.0 else "pulling off"
            words = f"tug {safe(action.tug)} {way} with {abs(action.on_kn):.0f} kN at {action.ship_x:.1f} m"
            return "on deck", words, action.by
        case LetTugGo():
            return "on deck", f"tug {safe(action.tug)} let go", action.by
        case ChangeCargo():
            return "on deck", _cargo(action), action.by
        case Correct() if action.channel:
            return "corrected", f"{channel_words(action.channel)}, the last taken back", action.by
        case Correct():
            subject = action.line if action.line in ("tug", "cargo") else f"line {safe(action.line)}"
            return "corrected", f"{subject}, last deed taken back", action.by
        case Note():
            return "noted", safe(action.text), action.by
        case TakeOver():
            return "took over", "the watch", action.by
        case HandOver():
            return "handed over", "the watch", action.by
        case GiveOrder():
            return "ordered", safe(action.text), action.by
        case WithdrawOrder():
            return "withdrew", f"the order: {safe(action.text)}", action.by
        case SelfTest():
            return "tried", self_test_words(action), action.by
        case _:
            return action_name(action), "", action.by


def self_test_words(action: SelfTest) -> str:
    """Return `bell heard, colours seen, 6 gauges good, record 3 ms`."""
    bell = "bell heard" if action.bell else "bell NOT heard"
    colours = "colours seen" if action.colours else "colours NOT seen"
    return ", ".join(part for part in (bell, colours, safe(action.findings)) if part)


def action_name(action: Action) -> str:
    """Return the kind of an action as tables have it: `tend line` for a `TendLine`."""
    return re.sub(r"(?<!^)(?=[A-Z])", " ", type(action).__name__).lower()


def alert_name(cause: str, subject: str) -> str:
    """Return an alert by its cause and subject: `line 4 stretch`, `bollard B12 load`, `feed gauges`."""
    line = subject if subject and known_cause(cause) in ON_A_LINE else None
    return condition(cause, subject, line)


def _answered(action: AnswerBrake) -> str:
    if action.did == "held":
        return "brake held"
    return f"brake slipped {'as expected' if action.metres is None else metres(action.metres)}"


def _led(action: ShiftLine) -> str:
    to = "" if action.bollard is None else f" to {safe(action.bollard)}"
    return to + ("" if action.fairlead is None else f" over {safe(action.fairlead)}")


def _made_fast(action: MakeFast | AddLine | RenewLine) -> str:
    if action.length_m is not None:
        return f", {metres(action.length_m)} of main rope"
    return "" if action.tension_kn is None else f" with {action.tension_kn:.0f} kN"


def _cargo(action: ChangeCargo) -> str:
    name = f" {safe(action.operation)}" if action.operation else ""
    how = action.what if action.rate is None else f"goes on at {action.rate:g} t/h"
    return f"cargo{name} {how}"


def _tended(action: TendLine) -> str:
    if action.paid_out is not None:
        return f"{'slacked' if action.paid_out >= 0.0 else 'hove in'} {metres(abs(action.paid_out))}"
    return f"to {action.to_tension_kn or 0.0:.0f} kN"
