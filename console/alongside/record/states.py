"""States as they are kept: the numbers of one instant in single precision, the codes in bytes, packed.

Seven digits are more than any gauge has; the lengths and alerts a watch resumes with are kept whole, as
memories. Columns bear names, so that a state of years ago still says what its numbers are.
"""

import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.assess import line_levels
from alongside.alerts.over_brake import OverBrake
from alongside.cycle.alerting import assessed, findings_of
from alongside.cycle.block import Block
from alongside.cycle.brakes.two_states import SlippedState
from alongside.cycle.due_now import due_now
from alongside.cycle.guard import Guard
from alongside.cycle.line_known import with_reasons
from alongside.cycle.memory import Memory
from alongside.cycle.other_states import other_states
from alongside.cycle.plausibility.alternative import SAID_BY_WITNESS
from alongside.cycle.plausibility.believed import with_doubts
from alongside.forecast.basis import Basis
from alongside.forecast.decided import Decisions
from alongside.mechanics.hold import hold
from alongside.mechanics.situation import Situation, situation_of
from alongside.mechanics.state import FenderStates, Hold, LineStates, Pose
from alongside.readings import Codes, Floats, Quality, Readings, Reason, watched_channels, with_unfitted
from alongside.record.faults import WrongRecord
from alongside.stay.model import Stay

LINE_NUMBERS: Final = tuple(item.name for item in fields(LineStates))
FENDER_NUMBERS: Final = tuple(item.name for item in fields(FenderStates))
POSE_NUMBERS: Final = ("surge", "sway", "yaw")
"""The rest of a pose is what was measured."""
PACKING: Final = 6
SLIPPED_NUMBERS: Final = ("slipped_m", "ran_out_m", "most_kn")
"""While brakes are in question: main rope if they slipped, what ran out of it, the most that they bore."""
NOT_KEPT: Final = -1
"""Code of what has no column, and of a balance of which it is not known what it left out."""


@dataclass(frozen=True, slots=True)
class Columns:
    """What the numbers and codes of the states of one run are, in order: `value.tide`, `age.tide`,
    `tension_kn.3`, `sway`, `deflection.0` (fenders by place), `spread.tide` of what is only
    expected, `witness.tide` by the witnesses of doubtful gauges, `ran_out_m.3` while a brake is in question;
    `quality.tide`, `reason.tide`, `stage.3`,
    `hold.reason`, `hold.without`, `fault`."""

    channels: tuple[str, ...]
    lines: tuple[str, ...]
    fenders: int
    numbers: tuple[str, ...]
    codes: tuple[str, ...]

    @classmethod
    def of(cls, stay: Stay, channels: Sequence[str]) -> "Columns":
        lines, fenders = tuple(line.id for line in stay.lines), len(stay.berth.fenders)
        channels = watched_channels(channels)
        numbers = [f"{what}.{channel}" for what in ("value", "age") for channel in channels]
        numbers += [f"{number}.{line}" for number in LINE_NUMBERS for line in lines]
        numbers += POSE_NUMBERS
        numbers += [f"{number}.{place}" for number in FENDER_NUMBERS for place in range(fenders)]
        numbers += [f"spread.{channel}" for channel in channels]
        numbers += [f"witness.{channel}" for channel in SAID_BY_WITNESS]
        numbers += [f"{number}.{line}" for number in SLIPPED_NUMBERS for line in lines]
        codes = [f"{what}.{channel}" for what in ("quality", "reason") for channel in channels]
        codes += [*(f"stage.{line}" for line in lines), "hold.reason", "hold.without", "fault"]
        return cls(tuple(channels), lines, fenders, tuple(numbers), tuple(codes))


@dataclass(frozen=True, slots=True, eq=False)
class States:
    """n instants of one run: `number` (n, numbers), `code` (n, codes) in the order of the columns."""

    stay: Stay
    columns: Columns
    time: Floats
    number: NDArray[np.float32]
    code: Codes

    def __len__(self) -> int:
        return int(self.time.size)

    def numbers(self, name: str) -> Floats:
        """Return a column (n,); NaN for one that was not kept."""
        if name not in self.columns.numbers:
            return np.full(len(self), np.nan)
        return self.number[:, self.columns.numbers.index(name)].astype(np.float64)

    def codes(self, name: str, otherwise: int = NOT_KEPT) -> Codes:
        """Return a column (n,); `otherwise` for one that was not kept."""
        if name not in self.columns.codes:
            return np.full(len(self), otherwise, dtype=np.int8)
        return self.code[:, self.columns.codes.index(name)]

    def readings(self) -> Readings:
        """Return the readings, to seven digits."""
        names = self.columns.channels
        readings = Readings(
            time=self.time,
            channels=names,
            value=self._side_by_side([self.numbers(f"value.{name}") for name in names]),
            quality=self._codes("quality", names, Quality.LOST),
            reason=self._codes("reason", names, Reason.NOT_FITTED),
            age=self._side_by_side([self.numbers(f"age.{name}") for name in names]),
            spread=self._spread(),
        )
        return with_unfitted(readings)

    def _spread(self) -> Floats | None:
        spread = self._each("spread", self.columns.channels)
        return None if np.isnan(spread).all() else spread

    def hold(self) -> Hold:
        """Return the answer of the mechanics."""
        situation = situation_of(self.stay, self.readings())
        known = (situation.tide, situation.draught_fwd, situation.draught_aft, situation.heel_deg)
        without = self.codes("hold.without")
        return Hold(
            Pose(self.numbers("surge"), self.numbers("sway"), self.numbers("yaw"), *known, self.time),
            LineStates(**{name: self._each(name, self.columns.lines) for name in LINE_NUMBERS}),
            FenderStates(**{name: self._each(name, range(self.columns.fenders)) for name in FENDER_NUMBERS}),
            self.codes("hold.reason", 0),
            None if (without == NOT_KEPT).all() else np.maximum(without, 0),
        )

    def block(
        self, basis: Basis, memory: Memory, unrecorded: str = "", decisions: Decisions | None = None
    ) -> Block:
        """Return the same instants as a block, to be shown. `basis` is one of their stay, `memory` the newest
        kept at or before the last of them: which lines were made fast, and why a gauge is doubtful.
        `decisions`: what the hours ahead call for, where somebody has looked since."""
        belief = with_doubts(basis.witnesses, memory.plausibility, self.readings())
        readings = belief.readings
        situation = situation_of(self.stay, readings)
        held = with_reasons(basis.stay, memory.lengths, self.hold(), readings.time)
        failed = bool(self.codes("fault", 0)[-1] > 0)
        slipped = self._slipped(basis, situation, held)
        due = due_now(decisions, float(readings.time[-1]))
        findings = replace(
            findings_of(basis, readings, situation, held, failed, unrecorded),
            over_brake=None if slipped is None else slipped.over,
            due=due,
        )
        others = other_states(basis, readings, situation, self._by_witnesses(situation), held, slipped)
        assessment = assessed(basis, findings, others.findings(basis, readings), Guard(strict=True))
        block = Block(readings, situation, held, assessment, (), unrecorded=unrecorded)
        known = replace(block, decisions=decisions, due=due)
        return replace(known, doubts=belief.doubts(len(self) - 1), others=others)

    def _slipped(self, basis: Basis, situation: Situation, held: Hold) -> SlippedState | None:
        """The state in which brakes in question slipped; None where none was in question."""
        lengths, ran_out, most = (self._each(name, self.columns.lines) for name in SLIPPED_NUMBERS)
        if np.isnan(ran_out).all():
            return None
        nobody = np.asarray(np.isnan(ran_out).all(axis=1))
        lengths = np.where(nobody[:, None], held.lines.unstretched_m, lengths)
        slipped = replace(hold(basis.arrangement, situation, lengths), no_length=held.no_length)
        return SlippedState(slipped, OverBrake(ran_out, most))

    def _by_witnesses(self, situation: Situation) -> Situation | None:
        """The situation as the witnesses of doubtful gauges had it; None where none gave another figure."""
        by_channel = {part: self.numbers(f"witness.{name}") for name, part in SAID_BY_WITNESS.items()}
        parts: dict[str, Any] = {
            part: np.where(np.isnan(column), getattr(situation, part), column)
            for part, column in by_channel.items()
            if not np.isnan(column).all()
        }
        return replace(situation, **parts) if parts else None

    def stages(self) -> Codes:
        """Return the stage of each line by the limits of then (n, lines)."""
        return self._codes("stage", self.columns.lines, 0)

    def _each(self, name: str, subjects: Iterable[object]) -> Floats:
        return self._side_by_side([self.numbers(f"{name}.{subject}") for subject in subjects])

    def _codes(self, what: str, subjects: Sequence[str], otherwise: int) -> Codes:
        columns = [self.codes(f"{what}.{subject}", otherwise) for subject in subjects]
        return np.stack(columns, axis=1) if columns else np.zeros((len(self), 0), dtype=np.int8)

    def _side_by_side(self, columns: Sequence[Floats]) -> Floats:
        return np.stack(columns, axis=1) if columns else np.zeros((len(self), 0))


def pack(block: Block, row: int, lines: Sequence[str]) -> bytes:
    """Return one instant of a block, packed. `lines` are the ids of its lines."""
    readings, states = block.readings, block.hold
    numbers = [readings.value[row], readings.age[row]]
    numbers += [getattr(states.lines, name)[row] for name in LINE_NUMBERS]
    numbers += [np.array([getattr(states.pose, name)[row] for name in POSE_NUMBERS])]
    numbers += [getattr(states.fenders, name)[row] for name in FENDER_NUMBERS]
    numbers.append(
        np.full(len(readings.channels), np.nan) if readings.spread is None else readings.spread[row]
    )
    other, slipped = block.others.by_witnesses, block.others.slipped
    numbers.append(
        np.full(len(SAID_BY_WITNESS), np.nan)
        if other is None
        else np.array([getattr(other.situation, part)[row] for part in SAID_BY_WITNESS.values()])
    )
    numbers.append(
        np.full(len(SLIPPED_NUMBERS) * len(lines), np.nan)
        if slipped is None or np.isnan(slipped.over.ran_out_m[row]).all()
        else np.concatenate(
            [
                slipped.hold.lines.unstretched_m[row],
                slipped.over.ran_out_m[row],
                slipped.over.most_kn[row],
            ]
        )
    )
    without = NOT_KEPT if states.without is None else int(states.without[row])
    last = np.array([states.reason[row], without, bool(block.fault)], dtype=np.int8)
    stages = line_levels(block.assessment, lines)[row]
    codes = np.concatenate([readings.quality[row], readings.reason[row], stages, last]).astype(np.int8)
    # Like bytes of all numbers together: exponents are much alike and pack well.
    single = np.concatenate(numbers).astype("<f4")
    return zlib.compress(single.view(np.uint8).reshape(-1, 4).T.tobytes() + codes.tobytes(), PACKING)


def unpack(stay: Stay, columns: Columns, times: Sequence[float], packed: Sequence[bytes]) -> States:
    """Return instants that `pack` packed, all of one run. Raises WrongRecord where one is not whole."""
    k, j = len(columns.numbers), len(columns.codes)
    rows = np.empty((len(packed), 4 * k + j), dtype=np.uint8)
    for at, state in enumerate(packed):
        rows[at] = np.frombuffer(_unpacked(state, 4 * k + j), dtype=np.uint8)
    planes = rows[:, : 4 * k].reshape(len(packed), 4, k)
    number = np.ascontiguousarray(planes.transpose(0, 2, 1)).view("<f4").reshape(len(packed), k)
    code = np.ascontiguousarray(rows[:, 4 * k :]).view(np.int8)
    return States(stay, columns, np.asarray(times, dtype=np.float64), number, code)


def _unpacked(state: bytes, size: int) -> bytes:
    try:
        whole = zlib.decompress(state)
    except zlib.error as error:
        raise WrongRecord(f"a state is damaged ({error})") from error
    if len(whole) != size:
        raise WrongRecord(f"a state of {len(whole)} bytes, expected {size}")
    return whole
