"""The serial number of a rope that the watch put out or renewed, said later."""

from dataclasses import replace

from alongside.actions import NameRope
from alongside.alerts.model import Event
from alongside.cycle.deck.altered import Rigged
from alongside.cycle.deck.new_line import check_free
from alongside.cycle.deck.notes import by_whom, not_done
from alongside.cycle.lengths import Lengths
from alongside.errors import WrongInput
from alongside.stay.model import Line, Stay
from alongside.wording.safe import safe


def rope_named(
    stay: Stay, lengths: Lengths, index: int, now: float, action: NameRope
) -> tuple[Lengths, Event]:
    """Return the lengths once a new rope has its serial number, and the event."""
    line = stay.lines[index]
    try:
        rig = rig_named(stay, line, lengths.deck.rig(line.id), action.serial)
    except WrongInput as error:
        return lengths, not_done(now, action.line, str(error))
    after = replace(lengths, deck=lengths.deck.with_rig(line.id, rig))
    text = f"Line {safe(line.id)} rope is {safe(action.serial)}{by_whom(action.by)}"
    return after, Event(now, "note", line=line.id, text=text)


def rig_named(stay: Stay, line: Line, rig: Rigged | None, serial: str) -> Rigged:
    """Return how a line is rigged once its new main rope has a serial number. Raise WrongInput where it has
    no rope that the watch entered, or the number is another's."""
    if not serial.strip():
        raise WrongInput("no serial number was given")
    if line.bight_with:
        raise WrongInput(f"it is the other part of the rope of line {safe(line.bight_with)}")
    if rig is None or line.rope_since is None:
        raise WrongInput("its rope is one of the stay file, expected serial: of that line in the file")
    check_free(stay, line.id, serial)
    if rig.rope is None and rig.new is not None:
        return replace(rig, new=replace(rig.new, serial=serial))
    return replace(rig, serial=serial)
