"""A stay with everything that is easily got wrong: port side to, a line that leads up, one that is slack and
steep, one that is not made fast, a gangway out of reach, and a zone that this machine does not know.

Tests of any part take it beside the plain berth of `tests.berth`. What is awkward is so from `START` on, at
the readings that `readings` gives unless a test asks for others.
"""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from alongside.cycle.advance import advance
from alongside.cycle.block import Block
from alongside.cycle.memory import Memory
from alongside.cycle.picture import Picture
from alongside.forecast.basis import Basis
from alongside.readings import Quality, Readings, Reason
from alongside.runtime.picture_maker import PictureMaker
from alongside.stay.model import Stay
from tests.berth import START, a_stay

LEADS_UP: Final = "5"
"""From a low lead to a bollard on a dolphin: 50 to 60 deg up, an alarm of steepness."""
SLACK_AND_STEEP: Final = "3"
"""A breast that leads 55 to 65 deg down and carries nothing."""
NOT_FAST: Final = "6"
TAUT: Final = ("1", "2", "4", LEADS_UP)
"""Lines that carry something."""
UNKNOWN_ZONE: Final = "Harbour/Nowhere"
CHANNELS: Final = ("tide", "draught_fwd", "draught_aft", "wind_speed", "wind_from")

AWKWARD_TEXT: Final = """\
format: 1
name: "Awkward stay"
alongside: port
place: {ship_x: 40.0, berth_x: 50.0}
ship:
  name: "Awkward ship"
  loa: 84.0
  lbp: 80.0
  breadth: 14.0
  depth: 8.0
  marks: {fwd: 78.0, aft: 2.0}
  fairleads:
    FB: {x: 80.0, y: 2.0, z: 9.0}
    FM: {x: 60.0, y: 7.0, z: 8.5}
    FS: {x: 65.0, y: 7.0, z: 8.5}
    FL: {x: 20.0, y: 7.0, z: 6.0}
    FA: {x: 1.0, y: 4.0, z: 8.5}
  winches:
    W1: {x: 74.0, y: 0.0, z: 9.5, brake_kn: 120}
  wind: {front_m2: 120, side_m2: 480, at_draught: 4.3, side_centroid_x: 38.0}
berth:
  name: "Awkward quay"
  bearing_of_x: 250.0
  charted_depth: 6.0
  bollards:
    B1: {x: -20.0, y: -10.0, z: 4.0, swl_kn: 300}
    B2: {x: 52.0, y: -8.0, z: 4.0, swl_kn: 300}
    B3: {x: 30.0, y: -4.0, z: 1.0, swl_kn: 300}
    B4: {x: 110.0, y: -10.0, z: 4.0}
    B5: {x: 70.0, y: -6.0, z: 13.5, swl_kn: 300}
  fenders: [{x: 20.0, stiffness_kn_per_m: 1000}, {x: 60.0, stiffness_kn_per_m: 1000}]
ropes:
  polyester: {kind: synthetic, mbl_kn: 200, curve: [[0, 0], [4, 0.15], [8, 0.4], [14, 1.0]]}
lines:
  - {id: "1", role: head, fairlead: FB, winch: W1, bollard: B1, rope: polyester,
     made_fast: {at: 2026-03-02T03:00:00Z, tension_kn: 20, tide: 3.0, draught_fwd: 4.0, draught_aft: 4.5}}
  - {id: "2", role: spring, fairlead: FS, bollard: B2, rope: polyester,
     made_fast: {at: 2026-03-02T03:00:00Z, tension_kn: 20, tide: 3.0, draught_fwd: 4.0, draught_aft: 4.5}}
  - {id: "3", role: breast, fairlead: FM, bollard: B3, rope: polyester,
     made_fast: {at: 2026-03-02T03:00:00Z, tension_kn: 5, tide: 3.0, draught_fwd: 4.0, draught_aft: 4.5},
     tended: [{at: 2026-03-02T03:30:00Z, paid_out: 0.60}]}
  - {id: "4", role: stern, fairlead: FA, bollard: B4, rope: polyester,
     made_fast: {at: 2026-03-02T03:00:00Z, tension_kn: 20, tide: 3.0, draught_fwd: 4.0, draught_aft: 4.5}}
  - {id: "5", role: breast, fairlead: FL, bollard: B5, rope: polyester,
     made_fast: {at: 2026-03-02T03:00:00Z, tension_kn: 20, tide: 3.0, draught_fwd: 4.0, draught_aft: 4.5}}
  - {id: "6", role: stern, fairlead: FA, bollard: B4, rope: polyester,
     made_fast: {at: 2026-03-04T04:00:00Z, tension_kn: 20}}
feeds:
  - name: gauges
    port: "serial:/dev/ttyUSB0?baud=4800"
    channels:
      tide: {sentence: XDR, name: TIDE}
      draught_fwd: {sentence: XDR, name: DRF}
      draught_aft: {sentence: XDR, name: DRA}
      wind_speed: {sentence: MWV}
      wind_from: {sentence: MWV}
outlook: {gangway: {ship_x: 30.0, rail_z: 8.0, quay_z: 5.0, highest: 1.5}}
balance: on
"""


def awkward_stay(folder: Path) -> Stay:
    """Return the stay as a record from another machine gives it: no file with this zone passes here."""
    stay = a_stay(folder, AWKWARD_TEXT)
    return replace(stay, display=replace(stay.display, zone=UNKNOWN_ZONE))


def readings(
    seconds: int = 120,
    tide: float = 3.0,
    draught: tuple[float, float] = (4.0, 4.5),
    wind: tuple[float, float] = (6.0, 340.0),
    start: float = START,
) -> Readings:
    """Return steady good readings, one a second: metres, and the wind in m/s with where it comes from, true;
    340 blows off this quay."""
    value = np.tile([tide, *draught, *wind], (seconds, 1))
    good = np.full(value.shape, Quality.GOOD, dtype=np.int8)
    no_reason = np.full(value.shape, Reason.NONE, dtype=np.int8)
    return Readings(start + np.arange(seconds), CHANNELS, value, good, no_reason, np.zeros(value.shape))


@dataclass(frozen=True)
class Watched:
    """A stay that was watched through one block of readings."""

    basis: Basis
    memory: Memory
    block: Block

    def line(self, line: str) -> int:
        """Return the column of a line."""
        return self.basis.arrangement.ids.index(line)

    def picture(self) -> Picture:
        """Return what screens and reports are given of the last instant."""
        maker = PictureMaker(self.basis, CHANNELS, looks_ahead=False)
        maker.add(self.block)
        picture = maker.picture(self.memory, ())
        assert picture is not None
        return picture


def watched(stay: Stay, heard: Readings | None = None) -> Watched:
    """Return the stay after its readings, those of `readings()` unless others are given; any fault of ours is
    raised."""
    basis = Basis.of(stay)
    memory, block = advance(basis, Memory.at_start(stay), readings() if heard is None else heard)
    return Watched(basis, memory, block)
