"""The record sheet of a ship's ropes as a page to print."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Final

from alongside.reports.output_files import Outputs
from alongside.reports.printed.page_template import page_template
from alongside.reports.replaceable import ROPE_PAGE
from alongside.reports.ropes.condition import Condition
from alongside.reports.ropes.cycles import class_names
from alongside.reports.ropes.history import RopeHistory
from alongside.reports.ropes.history_text import STANDS_IN, due_together, entry_words, field_words
from alongside.reports.ropes.keeping import Ropes
from alongside.reports.ropes.sheet import use_object
from alongside.stay.model import Display
from alongside.wording.figures import metres
from alongside.wording.marks import NOT_KNOWN

TEMPLATE: Final = Path(__file__).parent / "templates" / "ropes.html.jinja"


def sheet_page(outputs: Outputs, path: Path, ropes: Ropes) -> None:
    """Write the page to print."""
    template = page_template(TEMPLATE, 0.0, 0.0, Display(force="kN", zone="+00:00"))
    ships = sorted({each.record.ship for each in ropes.imports if each.stands})
    text = template.render(
        name=ropes.path.name,
        ships=", ".join(ships),
        today=ropes.today.isoformat(),
        ropes=[_Printed(each, ropes.today) for each in ropes.conditions],
        due=due_together([(each.history.serial, each) for each in ropes.conditions], ropes.today),
        records=[each for each in ropes.imports if each.stands],
        classes=class_names(),
        metres=metres,
    )
    outputs.text(path, ROPE_PAGE).write(text)


@dataclass(frozen=True, slots=True)
class _Printed:
    """A rope as the page prints it."""

    one: Condition
    today: date

    @property
    def history(self) -> RopeHistory:
        return self.one.history

    @property
    def certificate(self) -> str:
        """Return what its certificate says, in words."""
        given = self.history.certificate
        left_out = ("what", "certificate", "mbl_kn", "note")
        return field_words({name: value for name, value in given.items() if name not in left_out})

    @property
    def due(self) -> list[tuple[str, str]]:
        """Return what is due now, word and reason."""
        rows = [("RETIRE", why) for why in self.one.retire_now(self.today)]
        inspect = self.one.inspect_now(self.today)
        return [*rows, *([("INSPECT", inspect)] if inspect else [])]

    @property
    def stands_in(self) -> str:
        """Return that its number is none of its own; "" where it is."""
        return STANDS_IN if self.history.stands_in else ""

    @property
    def retire(self) -> str:
        """Return when it is to be retired: a day, `now`, or `retired`."""
        if self.one.retired is not None:
            return "retired"
        by = self.one.retire_by()
        day = NOT_KNOWN if by is None else str(by.day)
        return "now" if self.one.retire_now(self.today) else day

    @property
    def inspections(self) -> list[tuple[str, str, str]]:
        """Return day, words and who of each inspection."""
        rows = self._entries({"inspected"})
        return [(day, words.removeprefix("inspected: "), who) for day, words, who in rows]

    @property
    def changes(self) -> list[tuple[str, str, str]]:
        """Return the same of all else that was done to it."""
        return self._entries({"fitted", "stowed", "end_for_ended", "cropped", "retired", "renamed"})

    def _entries(self, deeds: set[str]) -> list[tuple[str, str, str]]:
        return [
            (entry.day, entry_words(entry), entry.who)
            for entry in self.history.entries
            if entry.deed in deeds
        ]

    @property
    def uses(self) -> Iterator[Mapping[str, Any]]:
        """Yield each use in a stay."""
        return (use_object(each) for each in self.history.uses)
