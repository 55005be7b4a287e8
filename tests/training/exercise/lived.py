"""A small exercise: the invented berth of `tests.berth` with wind, a cargo plan and brakes, an hour of it."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from alongside.cycle.block import Block
from alongside.runtime.log_player import Player
from alongside.training.exercise.file import read_exercise
from alongside.training.exercise.model import Exercise
from alongside.training.exercise.run import blocks
from alongside.training.exercise.staging import log_source_of
from tests.berth import START, STAY_TEXT, gauges, tagged

SECONDS = 3600
BEGIN, END = 900, 3500
"""Of the exercise, seconds after the log begins."""

STAY = STAY_TEXT.replace(
    "  marks: {fwd: 78.0, aft: 2.0}\n",
    """\
  marks: {fwd: 78.0, aft: 2.0}
  wind: {front_m2: 150, side_m2: 600, at_draught: 4.0}
  hydrostatics:
    - {draught: 3.0, displacement: 2400, tpc: 10.0, mctc: 40, lcf: 40.0}
    - {draught: 6.0, displacement: 5400, tpc: 10.0, mctc: 40, lcf: 40.0}
""",
).replace(
    "      draught_aft: {sentence: XDR, name: DRA}\n",
    """\
      draught_aft: {sentence: XDR, name: DRA}
      tension.2: {sentence: XDR, name: CELL2}
  - name: wind
    port: "serial:/dev/ttyUSB1?baud=4800"
    channels:
      wind_speed: {sentence: MWV}
      wind_from: {sentence: MWV}
cargo:
  - {name: "hold 1", start: 2026-03-02T03:30:00Z, tonnes: -1000, rate: 500, x: 60.0}
  - {name: "hold 2", start: 2026-03-02T06:30:00Z, tonnes: -500, rate: 500, x: 20.0}
""",
)
TENDED = STAY.replace(
    """fairlead: FM, bollard: B2, rope: polyester,
     made_fast: {at: 2026-03-02T04:00:00Z, tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5}}""",
    """fairlead: FM, bollard: B2, rope: polyester,
     made_fast: {at: 2026-03-02T04:00:00Z, tension_kn: 20, tide: 2.0, draught_fwd: 4.0, draught_aft: 4.5},
     tended: [{at: 2026-03-02T04:10:00Z, paid_out: 0.10}, {at: 2026-03-02T04:30:00Z, paid_out: 0.20}]}""",
)
BALANCED = STAY.replace("balance: off", "balance: on")


def steady_tide(second: float) -> float:
    return 2.0


def flood(second: float) -> float:
    """2.9 m an hour."""
    return 2.0 + second * 0.0008


@dataclass(frozen=True)
class Lived:
    """What came of an exercise, second by second."""

    exercise: Exercise
    blocks: list[Block]
    player: Player

    def readings(self, channel: str) -> dict[float, float]:
        """Value by second after the beginning of the log."""
        return {
            time - START: value
            for block in self.blocks
            for time, value in zip(
                block.readings.time.tolist(), block.readings.column(channel).tolist(), strict=True
            )
        }

    def line(self, line: str, quantity: str) -> dict[float, float]:
        at = [each.id for each in self.exercise.stay.lines].index(line)
        return {
            time - START: float(getattr(block.hold.lines, quantity)[row, at])
            for block in self.blocks
            for row, time in enumerate(block.readings.time.tolist())
        }

    @property
    def events(self) -> list[tuple[float, str, str]]:
        return [(event.time - START, event.event, event.text) for b in self.blocks for event in b.events]


def second(at: float) -> str:
    """A time of the file, so many seconds after the log begins."""
    minutes, seconds = divmod(int(at), 60)
    return f"2026-03-02T{4 + minutes // 60:02d}:{minutes % 60:02d}:{seconds:02d}Z"


def write_exercise(
    folder: Path,
    injections: str,
    stay: str = STAY,
    tide: Callable[[float], float] = steady_tide,
    more: str = "",
    end: int = END,
) -> Path:
    """Stay, log and exercise files; `injections` are items of the list."""
    (folder / "stay.yaml").write_text(stay, encoding="utf-8")
    lines: list[bytes] = []
    for at in range(SECONDS):
        # The last digit moves, as a real gauge's does: it is not frozen.
        last = 0.001 * (at % 2)
        lines.append(gauges(START + at, tide(at) + last, 4.0 + last, 4.5 + last))
        lines.append(tagged(START + at, f"WIMWV,{30 + at % 2},R,{5.0 + 0.1 * (at % 3):.1f},M,A", "wind"))
    (folder / "stay.log").write_bytes(b"".join(lines))
    path = folder / "exercise.yaml"
    path.write_text(
        f"""\
format: 1
name: "Small exercise"
stay: stay.yaml
log: stay.log
start: {second(BEGIN)}
end: {second(end)}
{more}
injections:
{injections or "  []"}
{"" if "crew:" in more else "crew: {minutes_per_line: 0}"}
""",
        encoding="utf-8",
    )
    return path


def lived(folder: Path, injections: str, **options: object) -> Lived:
    """The exercise with nothing done."""
    exercise = read_exercise(write_exercise(folder, injections, **options))  # type: ignore[arg-type]
    player = log_source_of(exercise).rewound()
    return Lived(exercise, list(blocks(exercise, player, ())), player)
