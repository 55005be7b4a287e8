"""A small invented berth for tests that need a whole stay: six lines, one feed, all in one place."""

from pathlib import Path

from alongside.stay.model import Stay
from alongside.stay.read import read_stay

STAY_TEXT = """\
format: 1
name: "Test stay"
alongside: starboard
place: {ship_x: 40.0, berth_x: 50.0}
ship:
  name: "Test ship"
  loa: 84.0
  lbp: 80.0
  breadth: 14.0
  depth: 8.0
  marks: {fwd: 78.0, aft: 2.0}
  fairleads:
    FB: {x: 80.0, y: -2.0, z: 9.0}
    FM: {x: 60.0, y: -7.0, z: 8.5}
    FA: {x: 1.0, y: -4.0, z: 8.5}
  winches:
    W1: {x: 74.0, y: 0.0, z: 9.5, brake_kn: 120}
berth:
  name: "Test quay"
  bearing_of_x: 90.0
  charted_depth: 6.0
  bollards:
    B1: {x: 110.0, y: -10.0, z: 4.0, swl_kn: 300}
    B2: {x: 70.0, y: -8.0, z: 4.0, swl_kn: 300}
    B3: {x: -20.0, y: -10.0, z: 4.0}
  fenders: [{x: 30.0, stiffness_kn_per_m: 1000}, {x: 70.0, stiffness_kn_per_m: 1000}]
ropes:
  polyester: {kind: synthetic, mbl_kn: 200, curve: [[0, 0], [4, 0.15], [8, 0.4], [14, 1.0]]}
lines:
  - {id: "1", role: head, fairlead: FB, winch: W1, bollard: B1, rope: polyester,
     made_fast: {at: 2026-03-02T04:00:00Z, tension_kn: 20}}
  - {id: "2", role: breast, fairlead: FM, bollard: B2, rope: polyester,
     made_fast: {at: 2026-03-02T04:00:00Z, tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}}
  - {id: "3", role: stern, fairlead: FA, bollard: B3, rope: polyester,
     made_fast: {at: 2026-03-02T04:00:00Z, tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}}
feeds:
  - name: gauges
    port: "serial:/dev/ttyUSB0?baud=4800"
    channels:
      tide: {sentence: XDR, name: TIDE}
      draught_fwd: {sentence: XDR, name: DRF}
      draught_aft: {sentence: XDR, name: DRA}
balance: off
"""

START = 1_772_424_000.0
"""2026-03-02T04:00:00Z"""


def write_stay(folder: Path, text: str = STAY_TEXT) -> Path:
    path = folder / "stay.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def a_stay(folder: Path, text: str = STAY_TEXT) -> Stay:
    return read_stay(write_stay(folder, text))


def sentence(text: str) -> bytes:
    """A sentence with its checksum."""
    checksum = 0
    for char in text.encode():
        checksum ^= char
    return f"${text}*{checksum:02X}".encode()


def tagged(time: float, text: str, source: str = "gauges") -> bytes:
    r"""A line of a feed log: `\s:gauges,c:…*hh\$…*hh`."""
    body = f"s:{source},c:{round(time * 1000)}"
    tag = sentence(body)[1:].decode()
    return f"\\{tag}\\".encode() + sentence(text) + b"\r\n"


def gauges(time: float, tide: float, fwd: float = 4.0, aft: float = 4.5) -> bytes:
    """Tide and draughts at one instant, as a line of a feed log."""
    return tagged(time, f"IIXDR,D,{tide:.3f},M,TIDE,D,{fwd:.3f},M,DRF,D,{aft:.3f},M,DRA")
