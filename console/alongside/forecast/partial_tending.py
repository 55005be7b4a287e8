"""Tending that helps where none cures: the metres that bring a line nearest to its limit.

A deed is proposed only where it breaks no limit that is kept without it, makes none worse that is passed, and
the ship stands the wind with it: all tried on the mechanics, as expected. It comes on top of the rounds of
the plan; where it would harm later, it is undone when the spell is over.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.forecast.basis import Basis
from alongside.forecast.deeds_tried import CAUSES, SLACK, Deed, Deeds, Tried
from alongside.forecast.expected.ensemble import Expected
from alongside.forecast.model import Incurable, PartialDeed, Tending
from alongside.forecast.present import Present
from alongside.forecast.rounds.plan import Crew
from alongside.forecast.rounds.round_lengths import STEPS
from alongside.forecast.tending_plan import Followed
from alongside.readings import Floats

Rows = NDArray[np.intp]

HELPS: Final = 0.02
"""Of its limit that a line is brought nearer to it at least."""
SAME: Final = 0.01
"""Of a limit: of deeds that differ by less, the one of fewer metres."""
MOST_M: Final = 3.0
COARSE: Final = 5
"""Steps of 0.05 m from one deed to the next of those tried first."""
MOST_SPELLS: Final = 6
"""Spells looked at, the earliest; the forecast is made anew before later ones."""
REFUSED: Final = 6
"""Deeds refused after which none is sought."""
EVERY_S: Final = 900.0
"""Deeds are tried so often; the one that is chosen, at every sample."""
LESS: Final = 0.75
"""Of metres that are refused are tried next."""


def with_partial_deeds(
    basis: Basis, present: Present, expected: Expected, crew: Crew, plan: Followed
) -> Tending:
    """Return the rounds of a plan with the deed that helps most beside each spell that they do not cure."""
    tending = plan.tending
    if not tending.cannot_cure or not np.isfinite(crew.duration(1)):
        return tending
    deeds = Deeds.of(basis, present, expected, plan.lengths, tending.within)
    taken = [(each.latest, each.latest + each.duration_s) for each in tending.rounds]
    cures: list[Incurable] = []
    for number, cure in enumerate(tending.cannot_cure):
        start = _free_start(expected.time, cure, crew, taken)
        helps = None
        if number < MOST_SPELLS and start is not None:
            helps = _best(deeds, cure, start, crew)
        if helps is not None:
            taken.append((helps.at, helps.at + crew.duration(1)))
            deeds = deeds.with_deed(cure.line, helps)
        cures.append(replace(cure, helps=helps))
    return replace(tending, cannot_cure=tuple(cures))


def _free_start(time: Floats, cure: Incurable, crew: Crew, taken: list[tuple[float, float]]) -> int | None:
    """Return the last sample at which tending of one line can begin to be done before the spell, while few
    hands are at no other round; else the first one within it; None where there is none."""
    takes = crew.duration(1)

    def is_free(row: int) -> bool:
        begin, end = float(time[row]), float(time[row]) + takes
        return crew.hands is None or all(end <= since or begin >= until for since, until in taken)

    wanted = max(int(np.searchsorted(time, cure.time - takes, side="right")) - 1, 0)
    last = int(np.searchsorted(time, cure.until - takes, side="right"))
    return next((row for row in (*range(wanted, -1, -1), *range(wanted + 1, last)) if is_free(row)), None)


def _best(deeds: Deeds, cure: Incurable, start: int, crew: Crew) -> PartialDeed | None:
    """Return the deed begun at a sample that brings a line nearest to its limit; None where none helps, or
    may be done."""
    time, column = deeds.expected.time, deeds.column(cure.line)
    spell = np.flatnonzero((time >= max(cure.time, time[start])) & (time <= cure.until))
    most = int(min(crew.largest_move, MOST_M) / STEPS[0] + 1e-9)
    if not spell.size or not most or np.isnan(deeds.lengths[start:, column]).any():
        return None
    if cure.why == "wind" and deeds.wind_refuses(_smallest(cure, column, start, time.size)):
        return None
    search = _Search(deeds, column, start, spell, crew.duration(1))
    refused: list[int] = []
    for _, count, undone in search.helpful(most):
        if len(refused) < REFUSED and not any(_is_like(count, other) for other in refused):
            deed = Deed(column, start, count * STEPS[0], undone)
            helps = None if deeds.wind_refuses(deed) else search.in_figures(deed)
            if helps is not None:
                return helps
            refused.append(count)
    return None


def _smallest(cure: Incurable, column: int, start: int, end: int) -> Deed:
    return Deed(column, start, -STEPS[0] if cure.heaves else STEPS[0], end)


Helpful = tuple[float, int, int]
"""By what part of its limit a line is past it at the worst, steps paid out, the sample of undoing."""


def _rank(each: Helpful) -> tuple[float, int]:
    return round(each[0] / SAME), abs(each[1])


def _is_like(count: int, refused: int) -> bool:
    """Return whether steps are about as many as, or more than, those that were refused."""
    return count * refused > 0 and abs(count) > LESS * abs(refused)


@dataclass(frozen=True, slots=True, eq=False)
class _Search:
    """A line (a column) to be tended from sample `start` on, for the sake of those of a spell; it takes so
    long, s."""

    deeds: Deeds
    column: int
    start: int
    spell: Rows
    takes: float

    def helpful(self, most: int) -> list[Helpful]:
        """Return deeds of at most so many steps that help and harm nothing, the best first; those first tried
        are far apart, the others about the best of them."""
        coarse = np.arange(-(most // COARSE) * COARSE, most + 1, COARSE)
        found = self._helpful(coarse)
        near = min(found, key=_rank)[1] if found else 0
        fine = np.arange(max(near - COARSE + 1, -most), min(near + COARSE - 1, most) + 1)
        return sorted({*found, *self._helpful(fine)}, key=_rank)

    def _helpful(self, counts: NDArray[np.int_]) -> set[Helpful]:
        counts = counts[counts != 0]
        rows = self._some_rows()
        tried = self.deeds.tried(self.column, rows, np.append(0.0, counts * STEPS[0]))
        found = set()
        without, before = self._worst(tried, rows, 0, rows[-1] + 1), tried.harmless_until()
        for k, count in enumerate(counts.tolist(), 1):
            undone = self._undone(rows, int(before[k]))
            past = self._worst(tried, rows, k, undone)
            if past <= without - HELPS:
                found.add((max(past, -HELPS), count, undone))
        return found

    def in_figures(self, deed: Deed) -> PartialDeed | None:
        """Return a deed with what it leaves the line at, at the worst, and what it would be without it; None
        where it harms after all."""
        rows, time = np.arange(self.start, self.deeds.expected.time.size), self.deeds.expected.time
        tried = self.deeds.tried(self.column, rows, np.array([0.0, deed.metres]))
        undone = min(deed.undone, self._undone(rows, int(tried.harmless_until()[1])))
        if self._worst(tried, rows, 1, undone) > self._worst(tried, rows, 0, undone) - HELPS:
            return None
        wanted, here = self._wanted(tried, rows), np.isin(rows, self.spell)
        over = np.where((rows < undone)[:, None], tried.over[1], tried.over[0])[here][:, wanted]
        at, which = np.unravel_index(int(np.nanargmax(over)), over.shape)
        cause = wanted[int(which)]
        shares = tried.value[:, here, cause]
        without = shares[0, int(np.nanargmax(tried.over[0, here, cause]))]
        return PartialDeed(
            pay_out_m=round(deed.metres, 4),
            at=float(time[deed.start]),
            undone_at=float(time[undone]) if undone < time.size else float("inf"),
            cause=CAUSES[cause],
            share=float(shares[int(self.spell[at] < undone), at]),
            share_at=float(time[self.spell[at]]),
            share_without=float(without),
            limit=float(self.deeds.limits[cause]),
        )

    def _some_rows(self) -> Rows:
        """Return samples from the start on, some of them left out; the ends of the spell are among them."""
        time = self.deeds.expected.time
        every = max(1, int(EVERY_S / np.diff(time).min()))
        ends = self.spell[[0, -1]], [time.size - 1]
        return np.unique(
            np.concatenate([np.arange(self.start, time.size, every), self.spell[::every], *ends])
        )

    def _undone(self, rows: Rows, harms: int) -> int:
        """Return the sample at which a deed is undone that harms from the row of this number on; the number
        of all samples where it does not."""
        time = self.deeds.expected.time
        if harms >= rows.size:
            return time.size
        last = int(rows[harms - 1]) if harms else 0
        return int(np.searchsorted(time, time[last] - self.takes, side="right")) - 1 + (not self.takes)

    def _worst(self, tried: Tried, rows: Rows, k: int, undone: int) -> float:
        """Return by what part of its limit the line is past it at the worst in the spell; infinite where the
        deed is undone before it."""
        if undone <= self.spell[0]:
            return np.inf
        here, wanted = np.isin(rows, self.spell), self._wanted(tried, rows)
        over = np.where((rows < undone)[:, None], tried.over[k], tried.over[0])[here][:, wanted]
        return float(np.nanmax(over)) if wanted else np.nan

    def _wanted(self, tried: Tried, rows: Rows) -> list[int]:
        """Return the causes to bring nearer to their limits: those of a line too tight, else that of a slack
        one; none where no limit is passed in the spell."""
        past = np.nan_to_num(tried.over[0, np.isin(rows, self.spell)], nan=-np.inf).max(axis=0)
        tight = [cause for cause in range(len(CAUSES)) if cause != SLACK and past[cause] >= 0.0]
        return tight or ([SLACK] if past[SLACK] >= 0.0 else [])
