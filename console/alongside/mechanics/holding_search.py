"""The wind at which the first limit goes, sought for many directions and instants at once.

Speeds are tried in steps, a few at a time, up to the first at which a limit has gone. What lies
between that and the step before is divided into even parts, and cut closely about where the line through both
shares says that the limit goes (over the square of the speed, for so the wind's force grows), until it is
known within `WITHIN_MS`.
"""

from dataclasses import dataclass, fields, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.balance import TRIED
from alongside.mechanics.exposure import loads_of
from alongside.mechanics.situation import Situation
from alongside.mechanics.tension import Tensions
from alongside.mechanics.usage import OFF_M, Criteria, Usage, usage_of
from alongside.mechanics.wind_heel import listed_by_wind
from alongside.readings import Floats

CAP_MS: Final = 60.0
WITHIN_MS: Final = 0.01
SWEEPS: Final = tuple(
    np.array(speeds)
    for speeds in ((0.0, 12.0, 18.0, 24.0), (28.0, 32.0, 36.0), (40.0, 44.0, 48.0), (52.0, 56.0, CAP_MS))
)
"""m/s, tried one row after the other: most sets give within the first two. Steps are wide where the force of
the wind, which grows with the square of its speed, is still small."""
PARTS: Final = 5
"""Even parts of a bracket at once: a share bends where a fender is left, and no line through it is sure."""
CLOSE_MS: Final = 0.45 * WITHIN_MS
BELOW: Final = (0.45, 0.7)
"""Of a speed: a limit may have gone in less wind than is asked about, and come back since."""
NEAR: Final = np.array((0.0, *BELOW, 0.90, 0.97, 1.03, 1.10))
"""Of a speed about which a limit went some minutes before: the speeds that are tried first."""
LINES: Final = 3
"""Times that the line through both shares is believed there."""
EVERY: Final = 8
"""Of alike winds every so many are tried first, as a start for those between."""
WORTH_STARTING: Final = 24
"""Winds below which that costs more than it saves."""
INSIDE: Final = 0.01
"""Of a bracket: no speed is tried nearer to its ends."""


@dataclass(frozen=True, slots=True, eq=False)
class Winds:
    """Winds (n,) by where they come from, true deg, each at an instant of its own: a row of `situation`,
    whose own wind does not matter."""

    arrangement: Arrangement
    situation: Situation
    tensions: Tensions
    criteria: Criteria
    come_from: Floats
    contact: bool = False
    """Whether the last fender contact is sought, and not the first limit."""

    def at(self, rows: NDArray[np.intp]) -> "Winds":
        """Return some of the winds."""
        return replace(
            self,
            situation=self.situation.at(rows),
            tensions=self.tensions.rows(rows),
            come_from=self.come_from[rows],
        )

    def usage(
        self,
        rows: NDArray[np.intp],
        speeds: Floats,
        place: Floats | None,
        alike: bool = False,
    ) -> Usage:
        """Return the usage of some winds at speeds (rows, k), m/s, in one row of rows x k; `place` (3, rows)
        or (3, rows, k) is about where she lies in them, None where that is not known. Where rows of one
        direction are `alike`, one after the other in time, some of them are tried first, and the others begin
        where she lies in these."""
        if alike and place is not None and rows.size >= WORTH_STARTING:
            place = self._started(rows, speeds, place)
        each = np.repeat(rows, speeds.shape[1])
        start = None
        if place is not None:
            start = np.broadcast_to(
                place if place.ndim == 3 else place[:, :, None], (3, *speeds.shape)
            ).reshape(3, -1)
        blown = replace(
            self.situation.at(each), wind_speed=speeds.ravel(), wind_from=self.come_from.take(each)
        )
        exposure, gust_factor = self.arrangement.exposure, self.criteria.gust_factor
        blown = listed_by_wind(exposure, blown, self.situation.at(each), gust_factor)
        loads, _ = loads_of(exposure, blown, gust_factor)
        tensions = self.tensions.rows(each)
        used = usage_of(self.arrangement, blown, tensions, loads, self.criteria, start, TRIED)
        return replace(used, share=np.maximum(1.0 + used.off_m - OFF_M, 0.0)) if self.contact else used

    def _started(self, rows: NDArray[np.intp], speeds: Floats, place: Floats) -> Floats:
        """Return about where she lies (3, rows, k): as she does at one of every so many instants of each
        direction, which are tried first."""
        order = np.argsort(self.come_from[rows], kind="stable")
        turns = np.flatnonzero(np.diff(self.come_from[rows[order]], prepend=np.nan) != 0.0)
        since = np.arange(rows.size) - np.repeat(turns, np.diff(turns, append=rows.size))
        first = since % EVERY == 0
        some = order[first]
        lies = self.usage(rows[some], speeds[some], place[:, some]).place.reshape(3, some.size, -1)
        lies = np.where(np.isnan(lies), place[:, some], lies)
        about = np.empty((3, *speeds.shape))
        about[:, order] = lies[:, np.cumsum(first) - 1]
        return about


@dataclass(frozen=True, slots=True, eq=False)
class Bracket:
    """(n,) each: `low`, m/s, is held and `high` is not; both are the cap where nothing gives, both 0 where a
    limit has gone in a calm. The largest share of any limit and (3, n) her place at either, (n,) her drift at
    `low`, m; the limit that has gone at `high` and its line or bollard, as of `Usage`."""

    low: Floats
    high: Floats
    low_share: Floats
    high_share: Floats
    place: Floats
    high_place: Floats
    drift_m: Floats
    limit: NDArray[np.intp]
    where: NDArray[np.intp]

    @classmethod
    def of(cls, n: int) -> "Bracket":
        low, low_share, high_share, drift_m = np.zeros((4, n))
        place, index = np.zeros((2, 3, n)), np.full((2, n), -1)
        return cls(
            low, np.full(n, CAP_MS), low_share, high_share, place[0], place[1], drift_m, index[0], index[1]
        )

    def put(self, rows: NDArray[np.intp], other: "Bracket") -> None:
        """Enter another bracket's winds in some rows."""
        for each in fields(self):
            getattr(self, each.name)[..., rows] = getattr(other, each.name)

    def narrow(self, rows: NDArray[np.intp], speeds: Floats, tried: Usage) -> NDArray[np.bool_]:
        """Take the usage of some rows at rising speeds (rows, k) into account; return where a limit has
        gone."""
        share = tried.share.reshape(speeds.shape)
        gone = share > 1.0
        any_gone = np.asarray(gone.any(axis=1))
        first = np.where(any_gone, gone.argmax(axis=1), speeds.shape[1])
        begin = np.arange(rows.size) * speeds.shape[1]
        held = first > 0
        at, where = rows[held], (begin + first - 1)[held]
        self.low[at], self.low_share[at] = speeds.ravel()[where], tried.share[where]
        self.place[:, at], self.drift_m[at] = tried.place[:, where], tried.drift_m[where]
        at, where = rows[any_gone], (begin + first)[any_gone]
        self.high[at], self.high_share[at] = speeds.ravel()[where], tried.share[where]
        self.high_place[:, at] = tried.place[:, where]
        self.limit[at], self.where[at] = tried.limit[where], tried.where[where]
        return any_gone

    def place_in(self, rows: NDArray[np.intp], speeds: Floats) -> Floats:
        """Return about where she lies (3, rows, k) at speeds (rows, k) inside the brackets: straight from end
        to end by the force of the wind."""
        low, high = self.low[rows, None] ** 2, self.high[rows, None] ** 2
        part = (speeds * speeds - low) / np.where(high > low, high - low, 1.0)
        begin, end = self.place[:, rows, None], self.high_place[:, rows, None]
        return begin + part * np.where(np.isnan(end), 0.0, end - begin)


def first_limits(winds: Winds) -> Bracket:
    """Return the bracket of each wind, no wider than `WITHIN_MS`."""
    count = winds.come_from.size
    bracket = Bracket.of(count)
    rows = np.arange(count)
    for sweep in SWEEPS:
        place = bracket.place[:, rows] if sweep[0] > 0.0 else None
        tried = winds.usage(rows, np.tile(sweep, (rows.size, 1)), place)
        if place is None:
            bracket.place[:], bracket.drift_m[:] = tried.place[:, :: sweep.size], tried.drift_m[:: sweep.size]
        rows = rows[~bracket.narrow(rows, np.tile(sweep, (rows.size, 1)), tried)]
        if not rows.size:
            break
    _narrowed(winds, bracket)
    return bracket


def about_limits(winds: Winds) -> tuple[Floats, Floats]:
    """Return about which speed (n,), m/s, the first limit of each wind goes, within some hundredths, and
    where she lies (3, n) a step below; all steps are tried."""
    bracket = Bracket.of(winds.come_from.size)
    rows = np.arange(winds.come_from.size)
    steps = np.tile(np.concatenate(SWEEPS), (rows.size, 1))
    tried = winds.usage(rows, steps, None)
    bracket.place[:] = tried.place[:, :: steps.shape[1]]
    bracket.narrow(rows, steps, tried)
    return _on_the_line(bracket, rows)[:, 0], bracket.place


def limits_near(winds: Winds, about: Floats, place: Floats) -> Bracket:
    """Return the bracket of each wind as `first_limits`, where the first limit goes near a speed `about`
    (n,), m/s, in which she lies about at `place` (3, n). Where it does not go there, nor in a calm, all steps
    are tried: a limit may have gone in less wind and not in more, as on a line that comes slack."""
    bracket, rows = Bracket.of(about.size), np.arange(about.size)
    speeds = np.minimum(about[:, None] * NEAR, CAP_MS)
    tried = winds.usage(rows, speeds, place[:, :, None] * NEAR**2, alike=True)
    bracket.place[:], bracket.drift_m[:] = tried.place[:, :: NEAR.size], tried.drift_m[:: NEAR.size]
    gone = bracket.narrow(rows, speeds, tried)
    near = (bracket.low >= NEAR[1 + len(BELOW)] * about) | (bracket.high == 0.0)
    far = np.flatnonzero(~gone | ~near)
    if far.size:
        bracket.put(far, first_limits(winds.at(far)))
    _narrowed(winds, bracket, LINES)
    return bracket


def _narrowed(winds: Winds, bracket: Bracket, lines: int = 0) -> None:
    """Narrow each bracket to `WITHIN_MS`: so many times by the line through both shares alone, then by even
    parts too."""
    while (rows := np.flatnonzero(bracket.high - bracket.low > WITHIN_MS)).size:
        speeds = _between(bracket, rows, 1 if lines > 0 else PARTS)
        bracket.narrow(rows, speeds, winds.usage(rows, speeds, bracket.place_in(rows, speeds)))
        lines -= 1


def _between(bracket: Bracket, rows: NDArray[np.intp], parts: int) -> Floats:
    """Return rising speeds (rows, k) inside each bracket: so many even parts, and close on either side of
    where the shares say that the limit goes."""
    low, high = bracket.low[rows, None], bracket.high[rows, None]
    width, goes = high - low, _on_the_line(bracket, rows)
    close = np.clip(
        np.hstack((goes - CLOSE_MS, goes + CLOSE_MS)), low + INSIDE * width, high - INSIDE * width
    )
    speeds = np.hstack((low + width * np.arange(1, parts) / parts, close))
    speeds.sort(axis=1)
    return speeds


def _on_the_line(bracket: Bracket, rows: NDArray[np.intp]) -> Floats:
    """Return the speed (rows, 1) at which the line through both shares reaches 1; an end where both are
    one."""
    low, high = bracket.low[rows, None], bracket.high[rows, None]
    below, above = bracket.low_share[rows, None], bracket.high_share[rows, None]
    part = np.full(low.shape, 0.5)
    np.divide(1.0 - below, above - below, out=part, where=np.isfinite(above) & (above != below))
    speed: Floats = np.sqrt(low * low + part * (high * high - low * low))
    return speed
