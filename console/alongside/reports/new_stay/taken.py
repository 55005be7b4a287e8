"""An answer is taken: tried on the stay, entered, and on the disk before the next question stands."""

from pathlib import Path

from alongside.reports.new_stay.doubted import in_place_of
from alongside.reports.new_stay.entry import At, Entry, answered, standing, takes_out
from alongside.reports.new_stay.kept import keep
from alongside.reports.new_stay.trials import check_answer


def taken(entry: Entry, text: str, stay: Path, doubted: tuple[At, ...] = ()) -> Entry:
    """Return the entry with the answer that stands, kept; a row that begins like one that was `doubted` just
    before takes its place. Raises Refused where it is none, WrongInput or
    DiskFailed where it cannot be kept."""
    entry = in_place_of(entry, doubted, text)
    if text.strip() and not takes_out(standing(entry), text):
        check_answer(entry, text, stay)
    after = answered(entry, text)
    keep(after, stay)
    return after
