"""Records that several tests report on, made once."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from alongside.actions import Acknowledge, Note, TendLine
from alongside.record.opening import open_record
from alongside.reports.stay.record_arrays import RecordArrays, read_arrays
from alongside.stay.read import read_stay
from tests.berth import START, gauges, write_stay
from tests.record.kept import FLOOD_TEXT, tide_at
from tests.reports.stay.records import recorded

NASTY = '<script>alert(1)</script>"><img src=x onerror=alert(2)>'
"""A name as it might come from outside."""
ACTIONS = {
    START + 500.0: Acknowledge("stretch", "2", by="TK"),
    START + 520.0: TendLine("2", paid_out=0.4, by="TK"),
    START + 600.0: Note(f"=1+1 {NASTY}", by="R&B"),
}


@pytest.fixture(scope="session")
def flood(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Half an hour of a fast flood with a swell on it and six minutes without gauges, of a ship with a nasty
    name: alerts, an acknowledgement, a tending and a note."""
    folder = tmp_path_factory.mktemp("flood")
    nasty = NASTY.replace('"', '\\"')
    text = FLOOD_TEXT.replace('"Test ship"', f'"{nasty}"').replace('"Test quay"', f'"Quay {nasty}"')
    text = text.replace("rope: polyester,", 'rope: polyester, serial: "<b>P1</b>",', 1)
    stay = read_stay(write_stay(folder, text))
    seconds = [*range(1200), *range(1560, 1800)]
    log = folder / "gauges.log"
    log.write_bytes(b"".join(gauges(START + second, tide_at(second)) for second in seconds))
    return recorded(stay, log, folder / "record", ACTIONS)


@pytest.fixture(scope="session")
def arrays(flood: Path) -> Iterator[RecordArrays]:
    with open_record(flood) as record:
        yield read_arrays(record)
