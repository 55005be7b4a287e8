"""The clock of a replay: log time by the clock on the wall."""


class ReplayClock:
    """Frozen: a change of pace gives another clock."""

    def __init__(self, speed: float, log_time: float, wall: float, paused: bool = False) -> None:
        self.speed, self.paused = speed, paused
        self._log_time, self._wall = log_time, wall

    def now(self, wall: float) -> float:
        """Return the log time at an instant of the wall clock, both in s."""
        return self._log_time if self.paused else self._log_time + (wall - self._wall) * self.speed

    def moved(self, log_time: float, wall: float) -> "ReplayClock":
        """Return the same pace at another log time."""
        return ReplayClock(self.speed, log_time, wall, self.paused)

    def at_speed(self, speed: float, wall: float) -> "ReplayClock":
        """Return a clock that goes on from now at so many times real time."""
        return ReplayClock(speed, self.now(wall), wall, self.paused)

    def halted(self, on: bool, wall: float) -> "ReplayClock":
        """Return a clock that stands still from now on, or goes on."""
        return ReplayClock(self.speed, self.now(wall), wall, on)

    def stopped(self, log_time: float, wall: float) -> "ReplayClock":
        """Return a clock that stands still at a log time."""
        return ReplayClock(self.speed, log_time, wall, True)
