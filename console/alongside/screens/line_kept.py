"""What the page Line has worked out by the mechanics, kept for a minute.

A look at high and low water and the trial of a metre each solve the balance for a few instants at once: some
milliseconds. That is too much for every Picture and too little for a thread, so it is done once a minute of
the Picture's time, and at once for another line or other lengths. The lead of now is of each Picture.
"""

from collections.abc import Hashable

from alongside.cycle.line_moment import Compiled, Moment
from alongside.cycle.line_section import Section, at_waters, section_of
from alongside.cycle.metre_tried import MetreTried, metre_tried
from alongside.cycle.picture import Picture

KEPT_S = 60.0


class LineKept:
    def __init__(self) -> None:
        self._compiled: Compiled | None = None
        self._key: Hashable = None
        self._waters: tuple[Moment, ...] = ()
        self._tried = MetreTried()

    def compiled(self, picture: Picture) -> Compiled:
        """Return the stay of a Picture, compiled anew only where it is another one."""
        if self._compiled is None or self._compiled.stay is not picture.stay:
            self._compiled = Compiled.of(picture.stay)
        return self._compiled

    def section(self, picture: Picture, line: str) -> Section:
        """Return the section of a line."""
        self._work_out(picture, line)
        return section_of(self.compiled(picture), picture, line, self._waters)

    def tried(self, picture: Picture, line: str) -> MetreTried:
        """Return what a metre of a line would do."""
        self._work_out(picture, line)
        return self._tried

    def _work_out(self, picture: Picture, line: str) -> None:
        present, compiled = picture.present, self.compiled(picture)
        lengths = None if present is None else (present.unstretched.tobytes(), present.asked)
        row = next(each for each in picture.lines if each.id == line)
        minute = picture.time // KEPT_S
        looked = None if picture.forecast is None else picture.forecast.time
        key = (id(compiled), line, minute, looked, picture.forecast_hidden, lengths, row.no_length, row.why)
        if key != self._key:
            self._waters = at_waters(compiled, picture, line)
            self._tried = metre_tried(compiled, picture, line)
            self._key = key
