"""What the watch did, in words."""

import re

from alongside.actions import Acknowledge, Action, AnswerBrake, JudgeChannel, Note, Silence, TendLine
from alongside.wording.names import channel


def deed_words(action: Action) -> tuple[str, str, str]:
    """(deed, what of it, initials)."""
    match action:
        case Acknowledge():
            on = f" on {action.subject}" if action.subject else ""
            return "acknowledged", f"{action.cause.replace('_', ' ')}{on}", action.by
        case Silence():
            return "silenced", "all sound", action.by
        case TendLine():
            return "tended", f"line {action.line}, {_tended(action)}", action.by
        case JudgeChannel():
            right = "the gauge is right" if action.right == "gauge" else "the gauge is wrong"
            return "looked", f"{channel(action.channel)}: {right}", action.by
        case AnswerBrake():
            return "looked", f"line {action.line}, {_answered(action)}", action.by
        case Note():
            return "noted", action.text, action.by
        case _:
            return deed_name(action), "", action.by


def deed_name(action: Action) -> str:
    """The kind of a deed: `TendLine` as `tend line`."""
    return re.sub(r"(?<!^)(?=[A-Z])", " ", type(action).__name__).lower()


def _answered(action: AnswerBrake) -> str:
    if action.did == "held":
        return "brake held"
    return f"brake slipped {'as expected' if action.metres is None else f'{action.metres:.2f} m'}"


def _tended(action: TendLine) -> str:
    if action.paid_out is not None:
        return f"{'slacked' if action.paid_out >= 0.0 else 'hove in'} {abs(action.paid_out):.2f} m"
    return f"to {action.to_tension_kn or 0.0:.0f} kN"
