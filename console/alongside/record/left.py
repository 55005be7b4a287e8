"""Words for what is left of the past where the journal could not be gone on with."""

from datetime import datetime
from math import floor

from alongside.record.earlier import Earlier
from alongside.stay.model import Display
from alongside.wording.times import zone_of


def left_words(earlier: Earlier | None, display: Display) -> str:
    """What a watch goes on with that has no journal, only a second copy of the memory, or nothing."""
    if earlier is None:
        return "LENGTHS, ACKNOWLEDGEMENTS AND HISTORY OF BEFORE ARE LOST: check every line"
    when = datetime.fromtimestamp(floor(earlier.time), zone_of(display))
    return (
        f"lengths, alerts and acknowledgements are those of {when:%d %b %H:%M:%S}, from the second copy "
        "(now-a, now-b), history of before is not here: check the lines"
    )
