"""What a run without a screen writes: states and events as JSON lines, or a time line to read."""

from pathlib import Path

from alongside.alerts.model import Event
from alongside.cli.standard_output import print_rows
from alongside.cycle.block import Block
from alongside.forecast.basis import Basis
from alongside.reports.json_lines import event_line
from alongside.reports.output_files import Outputs
from alongside.reports.replaceable import EVENTS, STATES
from alongside.reports.states_due import CYCLE_S, StatesDue
from alongside.reports.time_line import timeline_row


class HeadlessOutput:
    """Writes blocks from `start` on, with a state every so many seconds of log time. With neither a file of
    states nor one of events, the time line of events goes to standard output."""

    def __init__(
        self,
        outputs: Outputs,
        basis: Basis,
        states: Path | None,
        events: Path | None,
        start: float,
        every: float = CYCLE_S,
        spread: bool = True,
    ) -> None:
        """`outputs` puts in place what is opened here; `spread` as of `state_lines`. Raises WrongInput where
        that cannot be."""
        self._basis, self._start = basis, start
        file = None if states is None else outputs.text(states, STATES)
        self._states = None if file is None else StatesDue(file, basis, start, every, spread)
        self._events = None if events is None else outputs.text(events, EVENTS)
        self._printed = states is None and events is None

    def write_block(self, block: Block) -> None:
        """Write the events of a block, and its states that are due."""
        for event in block.events:
            self.write_event(event)
        if self._states is not None:
            self._states.write_block(block)

    def write_event(self, event: Event) -> None:
        if event.time < self._start:
            return
        if self._events is not None:
            self._events.write(f"{event_line(event)}\n")
        if self._printed:
            print_rows(timeline_row(event, self._basis.stay.display))
