"""The berths of the situations: the three examples, and one that is short of everything."""

from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from alongside.cli.examples import example_stay
from alongside.forecast.basis import Basis
from alongside.stay.model import Stay
from alongside.stay.read import read_stay
from tests.berth import a_stay

COAL: Final = "coal_berth"
COASTER: Final = "coaster_quay"
JETTY: Final = "product_jetty"
FOUR: Final = "four_lines"
OFF_QUAY: Final = {COAL: 160.0, COASTER: 355.0, JETTY: 278.0, FOUR: 180.0}
"""deg: where a wind comes from that blows her straight off."""
FAST_AT: Final = "2026-03-02T03:00:00Z"

FOUR_LINES: Final = f"""\
format: 1
name: "Four lines at springs"
alongside: starboard
place: {{ship_x: 40.0, berth_x: 50.0}}
ship:
  name: "Light ship"
  loa: 84.0
  lbp: 80.0
  breadth: 14.0
  depth: 8.0
  marks: {{fwd: 78.0, aft: 2.0}}
  fairleads:
    FB: {{x: 80.0, y: -2.0, z: 9.0}}
    FS: {{x: 66.0, y: -6.5, z: 8.5}}
    AS: {{x: 14.0, y: -6.5, z: 8.5}}
    FA: {{x: 0.0, y: -4.0, z: 8.5}}
  winches:
    W1: {{x: 74.0, y: 0.0, z: 9.5, brake_kn: 120}}
    W4: {{x: 6.0, y: 0.0, z: 9.0, brake_kn: 120}}
  wind: {{front_m2: 160, side_m2: 720, at_draught: 3.0, side_centroid_x: 38.0, coefficients: cargo_loaded}}
berth:
  name: "High quay"
  bearing_of_x: 90.0
  charted_depth: 5.0
  bollards:
    B1: {{x: 124.0, y: -9.0, z: 13.5, swl_kn: 300}}
    B2: {{x: 44.0, y: -3.0, z: 13.5, swl_kn: 300}}
    B3: {{x: 56.0, y: -3.0, z: 13.5, swl_kn: 300}}
    B4: {{x: -24.0, y: -9.0, z: 13.5, swl_kn: 300}}
  fenders: [{{x: 30.0, stiffness_kn_per_m: 1000}}, {{x: 70.0, stiffness_kn_per_m: 1000}}]
ropes:
  polyester: {{kind: synthetic, mbl_kn: 200, curve: [[0, 0], [4, 0.15], [8, 0.4], [14, 1.0]]}}
lines:
  - {{id: "1", role: head, fairlead: FB, winch: W1, bollard: B1, rope: polyester,
     made_fast: &fast {{at: {FAST_AT}, tension_kn: 20, tide: 6.5, draught_fwd: 2.6, draught_aft: 3.2}}}}
  - {{id: "2", role: spring, fairlead: FS, bollard: B2, rope: polyester, made_fast: *fast}}
  - {{id: "3", role: spring, fairlead: AS, bollard: B3, rope: polyester, made_fast: *fast}}
  - {{id: "4", role: stern, fairlead: FA, winch: W4, bollard: B4, rope: polyester, made_fast: *fast}}
feeds:
  - name: gauges
    port: "serial:/dev/ttyUSB0?baud=4800"
    channels:
      tide: {{sentence: XDR, name: TIDE}}
      draught_fwd: {{sentence: XDR, name: DRF}}
      draught_aft: {{sentence: XDR, name: DRA}}
  - name: wind
    port: "serial:/dev/ttyUSB1?baud=4800"
    channels:
      wind_speed: {{sentence: MWV}}
      wind_from: {{sentence: MWV}}
tide:
  high_low:
    - [2026-03-01T17:50:00Z, 12.5]
    - [2026-03-02T00:00:00Z, 0.5]
    - [2026-03-02T06:10:00Z, 12.5]
    - [2026-03-02T12:20:00Z, 0.5]
    - [2026-03-02T18:30:00Z, 12.5]
    - [2026-03-03T00:40:00Z, 0.5]
    - [2026-03-03T06:50:00Z, 12.5]
balance: on
"""


@lru_cache(maxsize=16)
def berth(name: str, without: tuple[str, ...] = (), cells: bool = False, tide: bool = True) -> Basis:
    """Return a stay ready to be watched: without some of its lines, with or without its load cells and its
    tide table; prepared once."""
    stay = _stay(name)
    lines = tuple(line for line in stay.lines if line.id not in without)
    feeds = stay.feeds
    if not cells:
        feeds = tuple(
            replace(feed, channels=tuple(s for s in feed.channels if not s.channel.startswith("tension.")))
            for feed in feeds
        )
    outlook = replace(stay.outlook, members=6, hours=6.0)
    stay = replace(stay, lines=lines, feeds=feeds, outlook=outlook, tide=stay.tide if tide else None)
    return Basis.of(stay, ahead=True)


def _stay(name: str) -> Stay:
    if name != FOUR:
        return read_stay(example_stay(name))
    with TemporaryDirectory() as folder:
        return a_stay(Path(folder), FOUR_LINES)
