"""An answer is taken: tried on the stay, entered, and on the disk before the next question stands."""

from pathlib import Path

from alongside.reports.new_stay.entry import Entry, answered
from alongside.reports.new_stay.kept import keep
from alongside.reports.new_stay.trials import check_answer


def taken(entry: Entry, text: str, stay: Path) -> Entry:
    """Return the entry with the answer that stands, kept. Raises Refused where it is none, WrongInput or
    DiskFailed where it cannot be kept."""
    if text.strip():
        check_answer(entry, text, stay)
    after = answered(entry, text)
    keep(after, stay)
    return after
