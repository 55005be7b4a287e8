"""Right stay files of other kinds of ship and berth than the examples: each plain and whole, made from a few
main dimensions. Dimensions are of the usual size of their kind, from memory; ropes are invented."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

SYNTHETIC: Final = ((0, 0), (2, 0.06), (4, 0.15), (8, 0.40), (9.5, 0.50), (14, 1.0))
STIFF: Final = ((0, 0), (0.6, 0.18), (1.2, 0.45), (1.4, 0.55), (2.4, 1.0))
NYLON: Final = ((0, 0), (8, 0.08), (16, 0.24), (22, 0.45), (24, 0.52), (35, 1.0))


@dataclass(frozen=True)
class Kind:
    """A ship and her berth. Lengths m, forces kN; `level` is the water above chart datum at making fast,
    `quay` the height of the bollards over it, `back` how far they stand behind the fender face."""

    name: str
    lbp: float
    breadth: float
    depth: float
    draughts: tuple[float, float]
    block: float
    side_m2: float
    front_m2: float
    mbl_kn: float
    swl_kn: float
    fender_kn_per_m: float
    level: float = 2.0
    quay: float = 3.0
    back: float = 6.0
    ahead: float = 0.25
    """How far head and stern lines lead beyond the ends, of the length."""
    charted_depth: float = 0.0
    """0: the draught and 3 m below the lowest level."""
    port_side: bool = False
    bearing: float = 90.0
    origin: float = 0.0
    """Berth x of midships."""
    high_low: tuple[tuple[str, float], ...] = ()
    rope: Sequence[Sequence[float]] = SYNTHETIC
    wire: bool = False
    tail_m: float = 0.0
    doubled: bool = False
    zone: str = "+00:00"
    fairlead_z: float = 0.0
    """0: 1 m over the deck."""


TIDE: Final = (
    ("2026-03-01T21:30:00Z", 0.8),
    ("2026-03-02T03:40:00Z", 3.2),
    ("2026-03-02T09:50:00Z", 0.7),
    ("2026-03-02T16:05:00Z", 3.1),
)


def tide_between(low: float, high: float) -> tuple[tuple[str, float], ...]:
    """Return the same tide between other levels."""
    return tuple((at, low if level < 2.0 else high) for at, level in TIDE)


COASTER: Final = Kind("coaster", 82.0, 12.5, 7.1, (3.9, 4.6), 0.72, 560.0, 140.0, 250.0, 300.0, 500.0)

KINDS: Final[tuple[Kind, ...]] = (
    replace(COASTER, name="small coaster, no tide, no table"),
    Kind("capesize at an ore berth", 280.0, 45.0, 24.5, (9.0, 10.5), 0.84, 4900.0, 1250.0, 800.0, 1500.0,
         3500.0, high_low=TIDE, quay=4.0, back=8.0, rope=STIFF, wire=True, tail_m=11.0, port_side=True,
         bearing=213.0),
    Kind("gas carrier at a jetty with dolphins", 276.0, 43.4, 26.0, (9.4, 9.6), 0.716, 7900.0, 1500.0, 1280.0,
         1500.0, 4500.0, high_low=TIDE, quay=5.0, back=42.0, rope=STIFF, wire=True, tail_m=22.0,
         origin=-640.0),
    Kind("car carrier", 190.0, 32.3, 34.0, (8.3, 8.6), 0.594, 6100.0, 1000.0, 780.0, 1000.0, 2500.0,
         high_low=TIDE, fairlead_z=14.5),
    Kind("laden box barge", 76.0, 11.4, 4.0, (3.2, 3.3), 0.965, 140.0, 40.0, 220.0, 300.0, 400.0, level=0.4,
         quay=1.5, ahead=0.15),
    Kind("light box barge", 76.0, 11.4, 4.0, (0.55, 0.60), 0.94, 330.0, 70.0, 220.0, 300.0, 400.0, level=0.4,
         quay=2.0, ahead=0.15),
    replace(COASTER, name="in a lock basin above the sea, datum of the sea", level=24.6, charted_depth=-17.0),
    replace(COASTER, name="chart datum far above the water", level=-12.4, charted_depth=20.0),
    replace(COASTER, name="a tide of fifteen metres", high_low=tide_between(0.6, 15.2), level=15.0, quay=3.0),
    replace(COASTER, name="hardly a tide", high_low=tide_between(0.10, 0.28), level=0.28),
    Kind("crude carrier on long springs", 320.0, 58.0, 29.0, (10.0, 11.5), 0.82, 6800.0, 1700.0, 1000.0,
         2000.0, 6000.0, high_low=TIDE, quay=4.0, back=45.0, rope=STIFF, tail_m=11.0, ahead=0.20),
    Kind("southern port, each line doubled", 176.0, 30.0, 16.5, (6.8, 7.9), 0.80, 2300.0, 650.0, 640.0,
         1600.0, 2000.0, high_low=TIDE, doubled=True, zone="-03:00", bearing=352.0, port_side=True),
    Kind("cruise ship, light ropes", 260.0, 32.2, 19.5, (7.6, 7.8), 0.66, 8800.0, 1150.0, 640.0, 1000.0,
         1500.0, high_low=TIDE, fairlead_z=11.5),
    Kind("fishing vessel", 30.0, 8.5, 4.2, (2.6, 3.9), 0.55, 170.0, 60.0, 120.0, 100.0, 250.0, high_low=TIDE,
         quay=1.5, back=1.5, ahead=0.3),
    Kind("tug", 29.0, 11.0, 5.4, (4.2, 4.9), 0.56, 180.0, 90.0, 180.0, 150.0, 250.0, high_low=TIDE,
         quay=1.5, back=1.5, ahead=0.3),
)  # fmt: skip

PLAN: Final = (
    ("head", 0.97, 0.30, 1.0),
    ("breast", 0.88, 0.45, 0.0),
    ("spring", 0.80, 0.48, -0.40),
    ("spring", 0.18, 0.48, 0.40),
    ("breast", 0.10, 0.45, 0.0),
    ("stern", 0.01, 0.30, -1.0),
)
"""Role, x of the fairlead by the length, its distance from the centreline by the breadth, and how the line
leads along: 1 as far as head lines go, else by the length."""


def text_of(kind: Kind) -> str:
    """Return the stay file."""
    half = kind.lbp / 2.0
    side, way = (1.0, -1.0) if kind.port_side else (-1.0, 1.0)
    z = kind.fairlead_z or kind.depth + 1.0
    fairleads, bollards, lines, winches = [], [], [], []
    for number, (role, along, across, lead) in enumerate(PLAN, start=1):
        x = along * kind.lbp
        to = lead * (kind.ahead if abs(lead) == 1.0 else 1.0) * kind.lbp
        ends = ("a", "b") if kind.doubled else ("",)
        fairleads.append(f"    F{number}: {{x: {x:.2f}, y: {side * across * kind.breadth:.2f}, z: {z:.2f}}}")
        bollard = kind.origin + way * (x + to - half)
        bollards.append(
            f"    Q{number}: {{x: {bollard:.2f}, y: {-kind.back:.2f}, z: {kind.level + kind.quay:.2f}, "
            f"swl_kn: {kind.swl_kn}}}"
        )
        for end in ends:
            tail = f", tail: {{rope: tail, length: {kind.tail_m}}}" if kind.tail_m else ""
            inward, brake = (x - 8.0 if along > 0.5 else x + 8.0), 0.6 * kind.mbl_kn
            winches.append(
                f"    W{number}{end}: {{x: {inward:.2f}, y: 0.0, z: {z:.2f}, brake_kn: {brake:.0f}}}"
            )
            lines.append(
                f'  - {{id: "{number}{end}", role: {role}, fairlead: F{number}, winch: W{number}{end}, '
                f"bollard: Q{number}, rope: main{tail},\n     made_fast: {{at: 2026-03-02T03:40:00Z, "
                f"tension_kn: {0.08 * kind.mbl_kn:.1f}, tide: {_tide(kind):.2f}, "
                f"draught_fwd: {kind.draughts[0]}, draught_aft: {kind.draughts[1]}}}}}"
            )
    return "\n".join([*_head(kind), "  fairleads:", *fairleads, "  winches:", *winches, *_rest(kind),
                      "  bollards:", *bollards, *_fenders(kind), *_ropes(kind), "lines:", *lines,
                      *_feeds(kind)]) + "\n"  # fmt: skip


def _tide(kind: Kind) -> float:
    return dict(kind.high_low).get("2026-03-02T03:40:00Z", kind.level)


def _head(kind: Kind) -> list[str]:
    half = kind.lbp / 2.0
    return [
        "format: 1",
        f'name: "{kind.name}"',
        f"alongside: {'port' if kind.port_side else 'starboard'}",
        f"place: {{ship_x: {half}, berth_x: {kind.origin}}}",
        "ship:",
        f'  name: "{kind.name}"',
        f"  loa: {1.04 * kind.lbp:.1f}",
        f"  lbp: {kind.lbp}",
        f"  breadth: {kind.breadth}",
        f"  depth: {kind.depth}",
        f"  marks: {{fwd: {0.97 * kind.lbp:.2f}, aft: {0.02 * kind.lbp:.2f}}}",
    ]


def _rest(kind: Kind) -> list[str]:
    mean = sum(kind.draughts) / 2.0
    plane = 1.025 * kind.lbp * kind.breadth
    water = min(2.0 / 3.0 * kind.block + 1.0 / 3.0, 0.985)
    tons_a_cm, floats = plane * water / 100.0, plane * mean * kind.block
    rows = [
        f"    - {{draught: {share * mean:.3f}, displacement: "
        f"{floats + 100.0 * tons_a_cm * (share - 1.0) * mean:.1f}, tpc: {tons_a_cm:.3f}, "
        f"mctc: {0.0115 * floats:.1f}, lcf: {0.49 * kind.lbp:.1f}}}"
        for share in (0.9, 1.0, 1.1)
    ]
    lowest = min([kind.level, *(level for _, level in kind.high_low)])
    depth = kind.charted_depth or max(kind.draughts) + 3.0 - lowest
    return [
        f"  wind: {{front_m2: {kind.front_m2}, side_m2: {kind.side_m2}, at_draught: {mean:.2f}, "
        f"side_centroid_x: {0.47 * kind.lbp:.1f}, coefficients: cargo_loaded}}",
        "  hydrostatics:",
        *rows,
        "berth:",
        f'  name: "{kind.name}"',
        f"  bearing_of_x: {kind.bearing}",
        f"  charted_depth: {depth:.2f}",
    ]


def _fenders(kind: Kind) -> list[str]:
    places = [kind.origin + share * kind.lbp for share in (-0.3, -0.1, 0.1, 0.3)]
    return [
        "  fenders:",
        *(f"    - {{x: {x:.2f}, stiffness_kn_per_m: {kind.fender_kn_per_m}}}" for x in places),
    ]


def _ropes(kind: Kind) -> list[str]:
    rows = ["ropes:", f"  main: {{kind: {'wire' if kind.wire else 'synthetic'}, mbl_kn: {kind.mbl_kn}, "
            f"curve: {[list(row) for row in kind.rope]}}}"]  # fmt: skip
    if kind.tail_m:
        curve = [list(row) for row in NYLON]
        rows.append(f"  tail: {{kind: synthetic, mbl_kn: {1.28 * kind.mbl_kn:.0f}, curve: {curve}}}")
    return rows


def _feeds(kind: Kind) -> list[str]:
    tide = ["tide:", "  high_low:", *(f"    - [{at}, {level}]" for at, level in kind.high_low)]
    return [
        "feeds:",
        '  - {name: gauges, port: "serial:/dev/ttyUSB0?baud=4800", channels: {',
        "     tide: {sentence: XDR, name: TIDE, range: [-20, 40]},",
        "     draught_fwd: {sentence: XDR, name: DRF}, draught_aft: {sentence: XDR, name: DRA}}}",
        *(tide if kind.high_low else []),
        f'display: {{force: t, speed: kn, zone: "{kind.zone}"}}',
    ]
