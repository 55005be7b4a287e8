"""Loads read by hand, and what was learnt of a line once somebody has accepted it."""

from dataclasses import replace
from typing import Final

from alongside.actions import AcceptLearnt, ReadLoad
from alongside.alerts.model import Event
from alongside.cycle.deck.altered import OnDeck, rig_of
from alongside.cycle.deck.loads_read import load_read, with_load
from alongside.cycle.deck.notes import by_whom, not_done
from alongside.cycle.lengths import Lengths
from alongside.forecast.learning.observed import LEFT_WORDS, Left
from alongside.mechanics.rope_spread import length_as_learnt
from alongside.mechanics.situation import Situation
from alongside.stay.learnt import SOFTEST, STIFFEST, taught
from alongside.stay.model import Learnt, Stay
from alongside.wording.figures import force_text
from alongside.wording.learnt import learnt_words
from alongside.wording.safe import safe

ACCEPTED: Final = "accepted: "


def is_accepted(words: str) -> bool:
    """Return whether the words of a deed are those of what was learnt and accepted."""
    return words.startswith(ACCEPTED)


def load_was_read(
    stay: Stay, lengths: Lengths, here: Situation, index: int, action: ReadLoad
) -> tuple[Lengths, Event]:
    """Return the lengths with a load that was read, and the event."""
    line, now = stay.lines[index], float(here.time[0])
    if not lengths.unstretched[index] > 0.0 or not action.load_kn >= 0.0:
        return lengths, not_done(now, line.id, "it is not made fast, or that is no load")
    load = load_read(line, action.load_kn, action.sigma_kn or 0.0, here, stay, lengths.unstretched)
    after = replace(lengths, loads_read=with_load(lengths.loads_read, load))
    words = force_text(action.load_kn, stay.display) if action.load_kn > 0.0 else "slack"
    untaught = "" if load.is_placed else f"; {LEFT_WORDS[Left.UNKNOWN]}: nothing can be learnt from it"
    text = f"Line {safe(line.id)} found {words}{untaught}{by_whom(action.by)}"
    return after, Event(now, "note", line=line.id, value=action.load_kn, text=text)


def learnt_accepted(
    stay: Stay, lengths: Lengths, index: int, now: float, action: AcceptLearnt
) -> tuple[Lengths, Event]:
    """Return the lengths with what was learnt of a line, and the event."""
    line, own = stay.lines[index], float(lengths.unstretched[index])
    length = own + action.longer_m
    if not length > 0.0 or not SOFTEST <= action.stiffness <= STIFFEST:
        return lengths, not_done(now, line.id, "it is not made fast, or no rope is so")
    before = Learnt() if line.learnt is None else line.learnt
    # Another stiffness alone means another length: what is learnt of the length is beyond that.
    of_rope = taught(line, replace(before, stiffness=action.stiffness))
    more_m = action.longer_m - (length_as_learnt(line, of_rope, own) - own)
    learnt = Learnt(
        action.stiffness,
        action.stiffness_band,
        before.more_m + more_m,
        action.at_kn,
        action.load_band,
        action.source,
    )
    unstretched = lengths.unstretched.copy()
    unstretched[index] = length
    rig = replace(rig_of(line, lengths.deck), learnt=learnt)
    after = replace(lengths, unstretched=unstretched, deck=lengths.deck.with_rig(line.id, rig))
    words = learnt_words(action.stiffness, more_m)
    text = f"Line {safe(line.id)} {ACCEPTED}{words}{by_whom(action.by)}"
    return after, Event(now, "note", line=line.id, value=action.longer_m, text=text)


def made_fast_since(deck: OnDeck, line: str) -> OnDeck:
    """Return what is on deck once a line is made fast anew: what was learnt of its rope goes on, not what was
    of its length."""
    rig = deck.rig(line)
    if rig is None or rig.learnt is None:
        return deck
    of_rope = Learnt(rig.learnt.stiffness, rig.learnt.stiffness_band, source=rig.learnt.source)
    return deck.with_rig(line, replace(rig, learnt=of_rope))
