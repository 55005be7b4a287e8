"""What lines carry after a deed on deck, said before it is recorded."""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from alongside.actions import ChangeCargo, SetBrake
from alongside.cycle.deck.altered import CargoNow
from alongside.cycle.deck.cargo import plan_after
from alongside.cycle.deck.trial import DeckTrial
from alongside.errors import WrongInput
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.wording.figures import force_text, metres, percent
from alongside.wording.safe import safe
from alongside.wording.times import clock

NOT_KNOWN: Final = "Loads then: not known"


def cargo_then(view: View, action: ChangeCargo) -> str:
    """Return until when the plan then runs. Raise Refused where the deed cannot be."""
    before, now = view.watch.deck.cargo or CargoNow(view.watch.stay.cargo), view.watch.time
    try:
        after, _ = plan_after(before, action, now)
    except WrongInput as error:
        raise Refused(str(error)) from None
    left = [each for each in after.plan if each.end > now]
    if not left:
        return "Then nothing is planned any more: draughts stay as they are"
    names = ", ".join(dict.fromkeys(safe(each.name) for each in left))
    return f"Then the plan has {names} until {clock(max(each.end for each in left), view.stay.display)}"


def brake_then(trial: DeckTrial, action: SetBrake, view: View) -> str:
    """Return the load beside what the brake then holds."""
    kn, display = float(trial.tension_kn[trial.ids.index(action.line)]), view.stay.display
    if not math.isfinite(kn):
        return NOT_KNOWN
    peril = "▲ OVER ITS BRAKE. " if kn >= action.holding_kn else ""
    share = percent(kn / action.holding_kn)
    return f"{peril}Line {safe(action.line)} carries {force_text(kn, display)}, {share} of that"


def then_text(trial: DeckTrial, line: str, view: View) -> str:
    """Return `Then line 4 carries 6.0 t, 12 % of WLL`; of a line that is gone, what carries most then."""
    display = view.stay.display
    if trial.adrift:
        return "▲ NOTHING HOLDS HER THEN by these figures"
    at = trial.ids.index(line) if line else -1
    own = float(trial.tension_kn[at]) if line else math.nan
    if math.isfinite(own):
        length = f"; {metres(float(trial.unstretched_m[at]))} of main rope"
        slack = "● LINE HANGS SLACK. " if own == 0.0 else ""
        return f"{slack}{_eased(trial, at, view)}{_carries(trial, at, view)}{length}"
    if np.isnan(trial.load_share).all():
        return NOT_KNOWN
    worst = int(np.nanargmax(trial.load_share))
    now = float(trial.now_kn[worst])
    before = f" (now {force_text(now, display)})" if math.isfinite(now) else ""
    return f"{_carries(trial, worst, view)}{before}: the most of all lines"


def carries_then(trial: DeckTrial, lines: Sequence[str], view: View) -> str:
    """Return `Then line 2 carries 4.1 t, 62 % of WLL; line 4 6.0 t, 20 %` of all of some lines, what carries
    most of its WLL first: where room is short the last ones go. Raise Refused where one would part."""
    if trial.adrift:
        return "▲ NOTHING HOLDS HER THEN by these figures"
    at = [trial.ids.index(line) for line in lines]
    for each in at:
        refuse_parted(trial, each, view)
    shares = {each: float(trial.load_share[each]) for each in at if math.isfinite(trial.tension_kn[each])}
    known = sorted(shares, key=lambda each: -shares[each])
    others = (f"{_peril(trial, each, view)}line {_line_load(trial, each, view)}" for each in known[1:])
    return "; ".join([*(_carries(trial, each, view) for each in known[:1]), *others]) or NOT_KNOWN


def refuse_parted(trial: DeckTrial, at: int, view: View) -> None:
    """Raise Refused where a line would carry more than breaks it: that is a slip of the finger."""
    kn, most = float(trial.tension_kn[at]), trial.stay.lines[at].smallest_mbl_kn
    if kn >= most:
        display = view.stay.display
        raise Refused(
            f"it would carry {force_text(kn, display)} and part: its MBL is {force_text(most, display)}"
        )


def _eased(trial: DeckTrial, at: int, view: View) -> str:
    """Return that another line hangs slack then and did not before, the one that lost most: it stands first,
    where no narrow screen cuts it; "" for none."""
    lost = np.where(np.arange(len(trial.ids)) == at, np.nan, trial.now_kn - trial.tension_kn)
    slack = (trial.tension_kn <= 0.0) & (lost > 0.0)
    if not slack.any():
        return ""
    most = int(np.nanargmax(np.where(slack, lost, np.nan)))
    now = force_text(float(trial.now_kn[most]), view.stay.display)
    return f"● LINE {safe(trial.ids[most])} HANGS SLACK (now {now}). "


def _carries(trial: DeckTrial, at: int, view: View) -> str:
    load = _line_load(trial, at, view, " carries")
    return f"{_peril(trial, at, view)}Then line {load} of WLL"


def _line_load(trial: DeckTrial, at: int, view: View, verb: str = "") -> str:
    load, share = (
        force_text(float(trial.tension_kn[at]), view.stay.display),
        percent(float(trial.load_share[at])),
    )
    return f"{safe(trial.ids[at])}{verb} {load}, {share}"


def _peril(trial: DeckTrial, at: int, view: View) -> str:
    """Return what is wrong with what a line carries then; "" for nothing."""
    winch = trial.stay.ship.winches.get(trial.stay.lines[at].winch or "")
    holding = None if winch is None else winch.holding_kn
    if holding is not None and float(trial.tension_kn[at]) >= holding:
        return f"▲ OVER ITS BRAKE, which holds {force_text(holding, view.stay.display)}. "
    return "▲ ABOVE WLL. " if float(trial.load_share[at]) >= 1.0 else ""
