"""What is not as the stay file has it, for the hand-over: lines, tugs, cargo that waits."""

from collections.abc import Iterator

from alongside.cycle.deck.altered import Rigged
from alongside.cycle.deck.new_line import is_stand_in
from alongside.cycle.picture import Picture
from alongside.forecast.learning_words import finding_words
from alongside.stay.model import Display
from alongside.wording.figures import figure, force_text
from alongside.wording.learnt import as_learnt_rows, learnt_words
from alongside.wording.safe import safe


def otherwise(picture: Picture) -> Iterator[str]:
    """Yield each line that is not rigged as the stay file has it, and how it is; those that go by what the
    file says was learnt; and what loads show of lines that nobody has accepted."""
    for rig in picture.deck.lines:
        yield f"line {safe(rig.line)} {rigged_text(rig, picture.stay.display)}"
    yield from as_learnt_rows(picture.stay, {rig.line for rig in picture.deck.lines})
    for found in picture.learnt:
        if found.learnt is not None:
            yield f"line {safe(found.line)}: its loads show {finding_words(found)}; not accepted"


def rigged_text(rig: Rigged, display: Display) -> str:
    """Return `is not as in the stay file: over F3 to B12, new rope polyester`."""
    parts = [f"over {safe(rig.fairlead)} to {safe(rig.bollard)}"]
    if rig.rope is not None:
        parts.append(f"new rope {safe(rig.rope.name)}{_serial_words(rig.serial)}")
    if rig.brake_kn is not None:
        parts.append(f"brake set to hold {force_text(rig.brake_kn, display)}")
    if rig.learnt is not None:
        parts.append(f"accepted: {learnt_words(rig.learnt.stiffness, rig.learnt.more_m)}")
    if rig.new is not None and rig.new.bight_with:
        parts.append(f"other part of line {safe(rig.new.bight_with)}")
    if rig.new is not None and rig.rope is None and not rig.new.bight_with:
        parts.append(f"rope {safe(rig.new.rope.name)}{_serial_words(rig.new.serial)}")
    what = "is not in the stay file" if rig.new is not None else "is not as in the stay file"
    return f"{what}: {', '.join(parts)}"


def _serial_words(serial: str) -> str:
    """Return `, serial PL-2213`, or that nobody has said it."""
    if not serial or is_stand_in(serial):
        return ", serial not entered: x, serial"
    return f", serial {safe(serial)}"


def tug_rows(picture: Picture) -> Iterator[str]:
    """Yield the tugs at her, and the cargo that waits to be begun again."""
    for each in picture.deck.tugs:
        way = "pushing on" if each.tug.on_kn >= 0.0 else "pulling off"
        load = force_text(abs(each.tug.on_kn), picture.stay.display)
        yield f"tug {safe(each.name)} {way} with {load} at {figure(each.tug.ship_x, 1)} m"
    if picture.deck.cargo is not None and picture.deck.cargo.waiting:
        names = ", ".join(dict.fromkeys(safe(each.name) for each in picture.deck.cargo.waiting))
        yield f"cargo stopped, waits: {names}"
