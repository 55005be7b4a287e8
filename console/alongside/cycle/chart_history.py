"""The thinned past: what charts draw and what trends are taken from."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from alongside.cycle.picture import History
from alongside.forecast.expected.trend import sound_slope
from alongside.readings import Floats

UNSEEN: Final = "."
"""Begins the names of series that no chart shows: what tells where a trend begins anew."""


class _Columns(Mapping[str, Floats]):
    """Columns of an array (m, k) by name, as views."""

    def __init__(self, names: Mapping[str, int], rows: NDArray[np.float32]) -> None:
        self._names = names
        self._rows = rows

    def __getitem__(self, name: str) -> Floats:
        return self._rows[:, self._names[name]].astype(np.float64)

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)


def in_columns(names: Sequence[str], of: Sequence[str], rows: NDArray[Any]) -> NDArray[np.float32]:
    """Return rows (m, k) of series `of` as columns of `names`, NaN where there was no such series."""
    if tuple(names) == tuple(of):
        return rows.astype(np.float32)
    place = {name: at for at, name in enumerate(of)}
    columns = np.full((len(rows), len(names)), np.nan, dtype=np.float32)
    for at, name in enumerate(names):
        if name in place:
            columns[:, at] = rows[:, place[name]]
    return columns


class Past:
    """The last `hours` of k named series, one row every `every` seconds.

    Rows once written are never altered: a history handed out stays as it was. The buffer is twice as long
    as the window, so that the window is always one piece and adding a row moves nothing.
    """

    def __init__(self, names: Sequence[str], hours: float = 24.0, every: float = 10.0) -> None:
        self.every = every
        self._names = {name: column for column, name in enumerate(names)}
        self._seen = {name: at for name, at in self._names.items() if not name.startswith(UNSEEN)}
        self._window = int(hours * 3600.0 / every)
        self._time = np.full(2 * self._window, np.nan)
        self._rows = np.full((2 * self._window, len(names)), np.nan, dtype=np.float32)
        self._end = 0

    def renamed(self, names: Sequence[str]) -> "Past":
        """Return the same past with other series; those that are new are not known before now."""
        other = Past(names, self._window * self.every / 3600.0, self.every)
        other._time, other._end = self._time.copy(), self._end
        other._rows = in_columns(names, tuple(self._names), self._rows)
        return other

    def add(self, times: Floats, columns: NDArray[Any]) -> None:
        """Add instants (n,) with values (n, k); keeps those `every` apart, and a gap as a row of NaN."""
        for row in self._chosen(times):
            last = self._time[self._end - 1] if self._end else times[row]
            if times[row] - last > 3.0 * self.every:
                self._put(last + self.every, None)
            self._put(float(times[row]), columns[row])

    def history(self) -> History:
        """The window as it stands now."""
        part = slice(max(0, self._end - self._window), self._end)
        return History(self._time[part], _Columns(self._seen, self._rows[part]))

    def rows_after(self, time: float) -> tuple[Floats, NDArray[np.float32]]:
        """(m,) instants after a time, and the values (m, k) there."""
        first = int(np.searchsorted(self._time[: self._end], time, side="right"))
        part = slice(max(first, self._end - self._window), self._end)
        return self._time[part].copy(), self._rows[part].copy()

    def rate_per_h(self, name: str, seconds: float, alike: Sequence[str] = ()) -> float:
        """Return the least-squares slope of a series over its last `seconds`, per hour, without what lies far
        off it: since it was last not known, and since the series `alike` were last other than now. NaN where
        that is less than half of `seconds`: a step is no trend."""
        count = int(seconds / self.every) + 1
        part = slice(max(0, self._end - count), self._end)
        time, rows = self._time[part], self._rows[part]
        if not time.size:
            return float("nan")
        value = rows[:, self._names[name]].astype(np.float64)
        marks = rows[:, [self._names[each] for each in alike]]
        other = np.isnan(value) | (time < time[-1] - seconds - 1e-6)
        other |= ((marks != marks[-1]) & ~(np.isnan(marks) & np.isnan(marks[-1]))).any(axis=1)
        begin = int(np.flatnonzero(other)[-1]) + 1 if other.any() else 0
        time, value = time[begin:], value[begin:]
        if time.size < 2 or np.ptp(time) < 0.5 * seconds:
            return float("nan")
        return sound_slope((time - time.mean()) / 3600.0, value)

    def _chosen(self, times: Floats) -> list[int]:
        chosen: list[int] = []
        last = self._time[self._end - 1] if self._end else -np.inf
        for row, time in enumerate(times):
            if time - last >= self.every - 1e-6:
                chosen.append(row)
                last = time
        return chosen

    def _put(self, time: float, row: NDArray[Any] | None) -> None:
        if self._end == self._time.size:
            self._time = np.concatenate([self._time[-self._window :], np.full(self._window, np.nan)])
            empty = np.full((self._window, self._rows.shape[1]), np.nan, dtype=np.float32)
            self._rows = np.concatenate([self._rows[-self._window :], empty])
            self._end = self._window
        self._time[self._end] = time
        self._rows[self._end] = np.nan if row is None else row
        self._end += 1
