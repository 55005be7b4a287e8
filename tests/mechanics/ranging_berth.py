"""The invented berth of `tests.berth` with two springs and the balance on: its lines draw her back."""

from tests.berth import STAY_TEXT

FAST = "made_fast: {at: 2026-03-02T04:00:00Z, tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}"
SPRINGS = f"""\
  - {{id: "4", role: spring, fairlead: FM, bollard: B3, rope: polyester,
     {FAST}}}
  - {{id: "5", role: spring, fairlead: FS, bollard: B1, rope: polyester,
     {FAST}}}
feeds:
"""
BALANCED = (
    STAY_TEXT.replace("balance: off", "balance: on")
    .replace("feeds:\n", SPRINGS)
    .replace("    FA: {", "    FS: {x: 20.0, y: -7.0, z: 8.5}\n    FA: {")
)
"""Head, stern and a breast line, and a spring either way."""
PORT_SIDE = (
    BALANCED.replace("alongside: starboard", "alongside: port")
    .replace("y: -2.0, z: 9.0", "y: 2.0, z: 9.0")
    .replace("y: -7.0", "y: 7.0")
    .replace("y: -4.0, z: 8.5", "y: 4.0, z: 8.5")
    .replace("B1: {x: 110.0", "B1: {x: -10.0")
    .replace("B2: {x: 70.0", "B2: {x: 30.0")
    .replace("B3: {x: -20.0", "B3: {x: 120.0")
)
"""The same, turned about: her bow points the other way along the quay."""
OFF_MIDSHIPS = BALANCED.replace(
    "place: {ship_x: 40.0, berth_x: 50.0}", "place: {ship_x: 25.0, berth_x: 35.0}"
)
"""The same, with her place named by a station that is not amidships."""
