"""A line made fast anew, as it was entered: by the load that it then carries, or by the metres out."""

from bisect import bisect_right

from alongside.actions import MakeFast
from alongside.alerts.model import Event
from alongside.cycle.lengths import Lengths
from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.one_line_fast import length_made_fast
from alongside.mechanics.situation import Situation
from alongside.stay.model import Stay
from alongside.wording.figures import force_text, metres
from alongside.wording.safe import safe


def made_fast_anew(
    stay: Stay, arrangement: Arrangement, lengths: Lengths, here: Situation, index: int, action: MakeFast
) -> tuple[Lengths, tuple[Event, ...]]:
    """Return the lengths once a line is made fast in the balance of this one instant. One that is fast, or
    that no length of main rope lets carry such a load, is reported as a note."""
    now, name = float(here.time[0]), f"Line {safe(action.line)}"
    if lengths.fast[index]:
        return lengths, (_note(now, action, f"{name}: not done: it is fast; set its load instead"),)
    if action.length_m is not None:
        length = action.length_m
    else:
        load = action.tension_kn or 0.0
        length = length_made_fast(arrangement, here, lengths.unstretched, index, load)
    if not length > 0.0:
        why = "no length of it carries that load there, or where she lies is not known"
        return lengths, (_note(now, action, f"{name}: not done: {why}"),)
    line = stay.lines[index]
    before = bisect_right([tend.at for tend in line.tended], now)
    load_text = f" with {force_text(action.tension_kn, stay.display)}," if action.tension_kn else ","
    by = f" ({safe(action.by)})" if action.by else ""
    text = f"{name} made fast{load_text} {metres(length)} of main rope{by}"
    after = lengths.with_line_fast(index, length, before)
    return after, (Event(now, "made_fast", line=action.line, text=text),)


def _note(now: float, action: MakeFast, text: str) -> Event:
    return Event(now, "note", line=action.line, text=text)
