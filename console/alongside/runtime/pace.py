"""The pace of a replay."""


class Pace:
    """Log time by the clock on the wall; a new one is made wherever it changes."""

    def __init__(self, speed: float, log_time: float, wall: float, paused: bool = False) -> None:
        self.speed, self.paused = speed, paused
        self._log_time, self._wall = log_time, wall

    def now(self, wall: float) -> float:
        """Log time at an instant of the wall clock."""
        return self._log_time if self.paused else self._log_time + (wall - self._wall) * self.speed

    def moved(self, log_time: float, wall: float) -> "Pace":
        """The same pace, standing at another log time."""
        return Pace(self.speed, log_time, wall, self.paused)

    def at_speed(self, speed: float, wall: float) -> "Pace":
        """Going on from now at so many times real time."""
        return Pace(speed, self.now(wall), wall, self.paused)

    def halted(self, on: bool, wall: float) -> "Pace":
        """Standing still from now on, or going on."""
        return Pace(self.speed, self.now(wall), wall, on)

    def stopped(self, log_time: float, wall: float) -> "Pace":
        """Standing still at a log time."""
        return Pace(self.speed, log_time, wall, True)
