"""What the watch did, in words."""

import re
from typing import Final, get_args

from alongside.actions import (
    Accept,
    AcceptLearnt,
    Acknowledge,
    Action,
    AddLine,
    AnswerBrake,
    CallOut,
    ChangeCargo,
    Correct,
    ForecastWind,
    GiveOrder,
    HandOver,
    LetTugGo,
    LineGone,
    MakeFast,
    NameRope,
    Note,
    PutTug,
    ReadByHand,
    ReadLoad,
    RenewLine,
    SayTransfer,
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
from alongside.wording.learnt import learnt_words
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
    if isinstance(action, ON_DECK):
        return "on deck", _on_deck(action), action.by
    return *_kind_and_subject(action), action.by


def order_words(action: Action) -> str:
    """Return what is there once an order is carried out: `line 4 slacked 0.30 m`, `tide read`."""
    match action:
        case TendLine():
            return f"line {safe(action.line)} {_tended(action)}"
        case ReadByHand():
            return f"{', '.join(channel_words(name) for name, _ in action.values)} read"
        case SayTransfer():
            return transfer_words(action)
        case _ if isinstance(action, ON_DECK):
            return _on_deck(action)
    return " ".join(filter(None, _kind_and_subject(action)))


def _kind_and_subject(action: Action) -> tuple[str, str]:
    match action:
        case Acknowledge():
            return "acknowledged", alert_name(action.cause, action.subject)
        case Accept():
            return "accepted", f"{alert_name(action.cause, action.subject)} ({safe(action.reason)})"
        case Silence() if action.cause:
            return "silenced", alert_name(action.cause, action.subject)
        case Silence():
            return "silenced", "all sound"
        case TendLine():
            return "tended", f"line {safe(action.line)}, {_tended(action)}"
        case AnswerBrake():
            return "looked", f"line {safe(action.line)}, {_answered(action)}"
        case ReadByHand():
            return "read", ", ".join(f"{channel_words(name)} {value:.2f}" for name, value in action.values)
        case ForecastWind():
            mean, gusts = f"{action.mean_ms:.1f} m/s", f"{action.gust_ms:.1f} m/s"
            return "forecast", f"wind {mean}, gusts {gusts}, from {bearing(action.from_deg)}"
        case Correct() if action.channel:
            return "corrected", f"{channel_words(action.channel)}, the last taken back"
        case Correct():
            subject = (
                action.line
                if action.line in ("tug", "cargo", "transfer", "call")
                else f"line {safe(action.line)}"
            )
            return "corrected", f"{subject}, last deed taken back"
        case SayTransfer():
            return "on deck", transfer_words(action)
        case CallOut():
            return "called", called_words(action)
        case Note():
            return "noted", safe(action.text)
        case TakeOver():
            return "took over", "the watch"
        case HandOver():
            return "handed over", "the watch"
        case GiveOrder():
            return "ordered", safe(action.text)
        case WithdrawOrder():
            return "withdrew", f"the order: {safe(action.text)}"
        case SelfTest():
            return "tried", self_test_words(action)
        case _:
            return action_name(action), ""


NewRope = AddLine | RenewLine | NameRope
OfALine = LineGone | MakeFast | ShiftLine | NewRope | SetBrake | ReadLoad | AcceptLearnt
OnDeck = OfALine | PutTug | LetTugGo | ChangeCargo
ON_DECK: Final = get_args(OnDeck)


def _on_deck(action: OnDeck) -> str:
    match action:
        case LineGone():
            return f"line {safe(action.line)} {'parted' if action.how == 'parted' else 'let go'}"
        case MakeFast():
            return f"line {safe(action.line)} made fast{_made_fast(action)}"
        case ShiftLine():
            return f"line {safe(action.line)} shifted{_led(action)}"
        case AddLine():
            part = f" as the other part of {safe(action.bight_with)}" if action.bight_with else ""
            return f"line {safe(action.line)} put out{part}{_serial(action)}{_made_fast(action)}"
        case RenewLine():
            rope = "" if action.rope is None else f" {safe(action.rope)}"
            return f"line {safe(action.line)} has a new rope{rope}{_serial(action)}{_made_fast(action)}"
        case NameRope():
            return f"line {safe(action.line)}, its rope is {safe(action.serial)}"
        case SetBrake():
            return f"line {safe(action.line)}, brake set to hold {action.holding_kn:.0f} kN"
        case ReadLoad():
            found = f"{action.load_kn:.0f} kN" if action.load_kn > 0.0 else "slack"
            return f"line {safe(action.line)} found {found}"
        case AcceptLearnt():
            return f"line {safe(action.line)}: {learnt_words(action.stiffness, action.longer_m)}"
        case PutTug():
            way = "pushing on" if action.on_kn >= 0.0 else "pulling off"
            return f"tug {safe(action.tug)} {way} with {abs(action.on_kn):.0f} kN at {action.ship_x:.1f} m"
        case LetTugGo():
            return f"tug {safe(action.tug)} let go"
        case ChangeCargo():
            return _cargo(action)


def transfer_words(action: SayTransfer) -> str:
    """Return `arms or hoses connected`, or that they are disconnected."""
    return f"arms or hoses {'connected' if action.connected else 'disconnected'}"


def called_words(action: CallOut) -> str:
    """Return `master`, or `engineer: tide`."""
    about = channel_words(action.about)
    return f"{action.whom}: {about}" if about else action.whom


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


def _serial(action: AddLine | RenewLine) -> str:
    return f", rope {safe(action.serial)}" if action.serial else ""


def _cargo(action: ChangeCargo) -> str:
    name = f" {safe(action.operation)}" if action.operation else ""
    how = action.what if action.rate is None else f"goes on at {action.rate:g} t/h"
    return f"cargo{name} {how}"


def _tended(action: TendLine) -> str:
    if action.paid_out is not None:
        return f"{'slacked' if action.paid_out >= 0.0 else 'hove in'} {metres(abs(action.paid_out))}"
    return f"to {action.to_tension_kn or 0.0:.0f} kN"
