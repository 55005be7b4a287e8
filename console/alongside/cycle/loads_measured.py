"""What load cells measured so far beside what was computed, thinned to what learning from the stay rests on.

A sample is the first instant of every ten minutes, however a stay is cut into blocks; where there are too
many every second is dropped, so that a long stay is held as evenly as a short one. They come from blocks as
they are played, or from the states of a record.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from alongside.cycle.deck.loads_read import AFLOAT, LoadRead
from alongside.cycle.settled_cells import lengths_changed_at
from alongside.forecast.learning.observed import Left, Observed
from alongside.mechanics.situation import Situation
from alongside.readings import Codes, Floats, Quality, Readings
from alongside.stay.channels import TENSION
from alongside.stay.model import Stay

EVERY_S: Final = 600.0
MOST: Final = 432
"""Samples kept: three days, before every second is dropped."""
SETTLING_S: Final = 120.0
"""After a tending a cell is left alone at least so long: its mean, and the rope, settle."""
NEAR_BRAKE: Final = 0.95
"""Of the brake's holding: above it a length is not sure."""
ALIKE: Final = 1e-6
"""Stiffnesses nearer than this are one."""


@dataclass(frozen=True, slots=True, eq=False)
class LoadsMeasured:
    """n samples. Arrays (n, lines) by the ids of `lines`; `afloat` (n, 8) in the order of `AFLOAT`; in
    `stiffness` and `more_m` what was taken for those of each line then, as `Learnt` has them; `left` why a
    load does not count. `changed_at` (lines,) UNIX s at which each length last changed, `lengths` (lines,)
    those of the last instant seen."""

    lines: tuple[str, ...] = ()
    time: Floats = field(default_factory=lambda: np.zeros(0))
    afloat: Floats = field(default_factory=lambda: np.zeros((0, len(AFLOAT))))
    unstretched: Floats = field(default_factory=lambda: np.zeros((0, 0)))
    load_kn: Floats = field(default_factory=lambda: np.zeros((0, 0)))
    left: Codes = field(default_factory=lambda: np.zeros((0, 0), dtype=np.int8))
    stiffness: Floats = field(default_factory=lambda: np.zeros((0, 0)))
    more_m: Floats = field(default_factory=lambda: np.zeros((0, 0)))
    every_s: float = EVERY_S
    changed_at: Floats | None = None
    lengths: Floats = field(default_factory=lambda: np.zeros(0))

    def added(
        self,
        stay: Stay,
        readings: Readings,
        situation: Situation,
        unstretched: Floats,
        tension_kn: Floats,
        asked: Collection[str] = (),
    ) -> "LoadsMeasured":
        """Return the same with the samples among n instants, in order of time: `unstretched` and `tension_kn`
        (n, lines) as computed; `asked` names lines whose brakes are in question."""
        ids = tuple(line.id for line in stay.lines)
        if not any(f"{TENSION}{line}" in readings.channels for line in ids):
            return self
        now = self if ids == self.lines else self._with_lines(ids)
        now = now if not now.time.size or now.time[-1] < readings.time[0] else now._before(readings.time[0])
        was = now.lengths if now.changed_at is not None else unstretched[0]
        changed = lengths_changed_at(now.changed_at, was, unstretched, readings.time)
        rows = _first_of_each(readings.time, now.time[-1] if now.time.size else -np.inf, now.every_s)
        now = replace(now, changed_at=changed[-1], lengths=unstretched[-1])
        if not rows.size:
            return now
        here = situation.at(rows)
        load, left = _loads(stay, readings, here, tension_kn[rows], changed[rows], rows, asked)
        afloat = np.stack([getattr(here, name) for name in AFLOAT], axis=1)
        stiffness, more_m = (np.tile(each, (rows.size, 1)) for each in (_stiffness(stay), _more(stay)))
        return replace(
            now,
            time=np.concatenate([now.time, here.time]),
            afloat=np.concatenate([now.afloat, afloat]),
            unstretched=np.concatenate([now.unstretched, unstretched[rows]]),
            load_kn=np.concatenate([now.load_kn, load]),
            left=np.concatenate([now.left, left]),
            stiffness=np.concatenate([now.stiffness, stiffness]),
            more_m=np.concatenate([now.more_m, more_m]),
        )._thinned()

    def observed(self, stay: Stay, read: Sequence[LoadRead] = ()) -> Observed:
        """Return what was measured as it serves the stay of now, with loads that somebody has read. What was
        measured before a stiffness was accepted rests on another curve, and does not count; a length that was
        accepted was there before."""
        ids = tuple(line.id for line in stay.lines)
        now = self if ids == self.lines else self._with_lines(ids)
        read = [each for each in read if each.line in ids]
        old = np.abs(now.stiffness - _stiffness(stay)) > ALIKE
        left = np.where(old & (now.left == Left.COUNTS), Left.BEFORE, now.left).astype(np.int8)
        sigma, by_hand = np.zeros(now.load_kn.shape), np.zeros(now.load_kn.shape, dtype=np.int8)
        hand = _rows_read(stay, read)
        time = np.concatenate([now.time, hand.time])
        order = np.argsort(time, kind="stable")
        afloat = np.concatenate([now.afloat, hand.afloat])[order]
        columns = {name: afloat[:, at] for at, name in enumerate(AFLOAT)}
        situation = Situation(
            time=time[order],
            **columns,
            wind_gust=columns["wind_speed"],
            heel_measured=True,
            quality=np.zeros(time.size, dtype=np.int8),
        )
        return Observed(
            situation,
            np.concatenate([now.unstretched + _more(stay) - now.more_m, hand.unstretched])[order],
            np.concatenate([now.load_kn, hand.load_kn])[order],
            np.concatenate([sigma, hand.stiffness])[order],
            np.concatenate([by_hand, (hand.left == Left.COUNTS).astype(np.int8)])[order],
            np.concatenate([left, hand.left])[order],
        )

    def _with_lines(self, ids: tuple[str, ...]) -> "LoadsMeasured":
        """Return the same with the columns of other lines; of one that was not there nothing is known."""
        n, at = self.time.size, {line: place for place, line in enumerate(self.lines)}

        def columns(values: Floats, otherwise: float) -> Floats:
            table = np.full((n, len(ids)), otherwise)
            for place, line in enumerate(ids):
                if line in at:
                    table[:, place] = values[:, at[line]]
            return table

        return replace(
            self,
            lines=ids,
            unstretched=columns(self.unstretched, np.nan),
            load_kn=columns(self.load_kn, np.nan),
            left=columns(self.left.astype(np.float64), Left.NOTHING).astype(np.int8),
            stiffness=columns(self.stiffness, 1.0),
            more_m=columns(self.more_m, 0.0),
            changed_at=None,
            lengths=np.full(len(ids), np.nan),
        )

    def _before(self, time: float) -> "LoadsMeasured":
        """Return the same without what was measured from a time on, UNIX s: a replay has gone back."""
        return replace(self._rows(slice(0, int(np.searchsorted(self.time, time)))), changed_at=None)

    def _rows(self, rows: slice) -> "LoadsMeasured":
        names = ("time", "afloat", "unstretched", "load_kn", "left", "stiffness", "more_m")
        return replace(self, **{name: getattr(self, name)[rows] for name in names})

    def _thinned(self) -> "LoadsMeasured":
        if self.time.size <= MOST:
            return self
        return replace(self._rows(slice(None, None, 2)), every_s=2.0 * self.every_s)._thinned()


NOTHING_MEASURED: Final = LoadsMeasured()


def _first_of_each(time: Floats, last: float, every_s: float) -> np.ndarray:
    """Return rows of rising times (n,) that are the first of a period later than that of `last`."""
    period = np.floor(time / every_s)
    before = np.maximum(np.floor(last / every_s), np.concatenate([[-np.inf], period[:-1]]))
    return np.flatnonzero(period > before)


def _stiffness(stay: Stay) -> Floats:
    return np.array([1.0 if line.learnt is None else line.learnt.stiffness for line in stay.lines])


def _more(stay: Stay) -> Floats:
    return np.array([0.0 if line.learnt is None else line.learnt.more_m for line in stay.lines])


def _loads(
    stay: Stay,
    readings: Readings,
    here: Situation,
    tension_kn: Floats,
    changed_at: Floats,
    rows: np.ndarray,
    asked: Collection[str],
) -> tuple[Floats, Codes]:
    """Return the loads by cell (n, lines), kN, at some rows of the readings, and why one does not count."""
    load = np.full((rows.size, len(stay.lines)), np.nan)
    left = np.full(load.shape, Left.NOTHING, dtype=np.int8)
    settling = {source.channel: source.smooth_s for feed in stay.feeds for source in feed.channels}
    for at, line in enumerate(stay.lines):
        channel = f"{TENSION}{line.id}"
        if channel not in readings.channels:
            continue
        column = readings.channels.index(channel)
        load[:, at] = value = readings.value[rows, column]
        winch = stay.ship.winches[line.winch] if line.winch is not None else None
        brake = np.nan if winch is None else winch.holding_kn
        brake = np.nan if brake is None else brake
        settles = max(settling.get(channel, 0.0), SETTLING_S)
        left[:, at] = np.select(
            [
                np.isnan(value),
                np.isnan(tension_kn[:, at]),
                (readings.quality[rows, column] != Quality.GOOD) | (here.quality == Quality.SUSPECT),
                np.full(rows.size, winch is not None and winch.automatic_kn is not None),
                (np.fmax(value, tension_kn[:, at]) > NEAR_BRAKE * brake) | (line.id in asked),
                here.time - changed_at[:, at] < settles,
            ],
            [Left.NOTHING, Left.UNKNOWN, Left.DOUBTED, Left.AUTOMATIC, Left.AT_BRAKE, Left.CHANGED],
            Left.COUNTS,
        )
    return load, left


def _rows_read(stay: Stay, read: Sequence[LoadRead]) -> LoadsMeasured:
    """Return loads that somebody has read as samples; `stiffness` has their standard deviations, kN."""
    ids = [line.id for line in stay.lines]
    now, more_now = _stiffness(stay), _more(stay)
    shape = len(read), len(ids)
    unstretched, load, sigma = (np.full(shape, np.nan) for _ in range(3))
    left = np.full(shape, Left.NOTHING, dtype=np.int8)
    for row, each in enumerate(read):
        at = ids.index(each.line)
        lengths, more = dict(each.lengths), dict(each.more_m)
        unstretched[row] = [lengths.get(line, np.nan) - more.get(line, 0.0) for line in ids] + more_now
        load[row, at], sigma[row, at] = each.load_kn, each.sigma_kn
        left[row, at] = Left.COUNTS if abs(each.stiffness - now[at]) <= ALIKE else Left.BEFORE
        if not each.is_placed:
            left[row, at] = Left.UNKNOWN
    return LoadsMeasured(
        tuple(ids),
        np.array([each.time for each in read]),
        np.array([each.afloat for each in read]).reshape(len(read), len(AFLOAT)),
        unstretched,
        load,
        left,
        stiffness=np.nan_to_num(sigma),
    )
