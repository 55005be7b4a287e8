"""The periods of her motions for page Wind, worked out once a minute of the Picture's time: some ten balances
are too much for every Picture, and too little for a thread."""

from collections.abc import Hashable

from alongside.cycle.picture import Picture
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.instant_words import sought_rows
from alongside.forecast.period_words import own_periods, ranging_sentence
from alongside.forecast.periods import long_waves_of, periods_of
from alongside.stay.stage import Stage

KEPT_S = 60.0


class PeriodsKept:
    def __init__(self) -> None:
        self._basis: Basis | None = None
        self._key: Hashable = None
        self._words: tuple[str, Stage] = ("", Stage.NORMAL)

    def words(self, picture: Picture) -> tuple[str, Stage]:
        """Return her periods beside the long waves that the berth is known for, and how bad that is; ""
        where they are not known."""
        present = picture.present
        if present is None:
            return "", Stage.NORMAL
        key = (id(picture.stay), picture.time // KEPT_S, present.unstretched.tobytes(), present.asked)
        if key != self._key:
            self._key, self._words = key, self._worked_out(picture)
        return self._words

    def _worked_out(self, picture: Picture) -> tuple[str, Stage]:
        if self._basis is None or self._basis.stay is not picture.stay:
            self._basis = Basis.of(picture.stay)
        assert picture.present is not None  # asked before
        try:
            periods = periods_of(self._basis, picture.present)
        except WrongInput:
            return "", Stage.NORMAL
        words = " ".join([own_periods(periods), *sought_rows(picture.stay)])
        wave = long_waves_of(picture.stay)
        if wave is None:
            return words, Stage.NORMAL
        near = any(wave.is_near(each.expected) for each in periods)
        return f"{ranging_sentence(periods, wave)}. {words}", Stage.WARNING if near else Stage.NORMAL
