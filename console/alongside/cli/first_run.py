"""What `alongside` offers on a terminal when it is given nothing to do: the demo, `new`, the examples, and
the stay files of this folder."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from alongside.cli.standard_output import print_wrapped
from alongside.cli.terminal import has_terminal
from alongside.stay.plain_file import has_top_keys
from alongside.wording.safe import safe

NEW_FILE: Final = "stay.yaml"
MOST_STAYS: Final = 9
TOP_KEYS: Final = ("format:", "ship:", "berth:", "lines:")
EXAMPLES: Final = {
    "product_jetty": "a tanker at a jetty: a tide gauge dies with a line in alarm",
    "coaster_quay": "a coaster at a quay: the wind shifts while both breasts are slack",
}
"""Examples beside that of the demo, and what happens in them."""
EXAMPLE_SPEED: Final = "60"
QUESTION: Final = "Number (Enter: 1, the demo; q leaves; alongside --help has all commands): "


@dataclass(frozen=True, slots=True)
class Choice:
    """One row of the list: what it does, and the command line that does it."""

    words: str
    command: tuple[str, ...]


def asked_for(given: Sequence[str]) -> list[str] | None:
    """Return the arguments to run by: those given, or where they are none, or `watch` without a file, and a
    terminal is there, those of what is chosen; None where nothing is."""
    if list(given) not in ([], ["watch"]) or not has_terminal():
        return list(given)
    command = _chosen(choices(Path.cwd()))
    return None if command is None else list(command)


def choices(folder: Path) -> list[Choice]:
    """Return what is offered in a folder, the demo first."""
    stays = [
        Choice(f"watch {path.name}: the live console on the feeds of this stay", ("watch", str(path)))
        for path in stay_files(folder)
    ]
    return [
        Choice("demo: a bulk carrier discharges, a recorded stay at 60 times its pace", ("demo",)),
        *stays,
        Choice(f"new: write a stay file, {_new_name(folder)}, by asking", ("new", _new_name(folder))),
        *(Choice(f"example {name}: {words}", _replay(name)) for name, words in EXAMPLES.items()),
        Choice("manual: the pages of the manual", ("manual",)),
    ]


def stay_files(folder: Path) -> list[Path]:
    """Return the files of a folder that look like stay files, by name."""
    try:
        named = sorted(path for path in folder.iterdir() if path.suffix in (".yaml", ".yml"))
    except OSError:
        return []
    return [Path(path.name) for path in named if has_top_keys(path, TOP_KEYS)][:MOST_STAYS]


def _new_name(folder: Path) -> str:
    names = [NEW_FILE, *(f"stay-{number}.yaml" for number in range(2, 1000))]
    return next((name for name in names if not (folder / name).exists()), names[-1])


def _replay(name: str) -> tuple[str, ...]:
    from alongside.cli.examples import example_log, example_stay

    return ("replay", str(example_stay(name)), str(example_log(name)), "--speed", EXAMPLE_SPEED)


def _chosen(offered: Sequence[Choice]) -> tuple[str, ...] | None:
    """Ask until a number is given; return what it stands for, None where somebody leaves."""
    print_wrapped("alongside keeps watch over a moored ship's lines. What shall it do?", "")
    print_wrapped(*(f"{number:>3}  {choice.words}" for number, choice in enumerate(offered, start=1)), "")
    while True:
        try:
            answer = input(QUESTION).strip().lower()
        except EOFError:
            print_wrapped("")
            return None
        if answer in ("q", "quit"):
            return None
        if not answer:
            return offered[0].command
        if answer.isascii() and answer.isdigit() and 1 <= int(answer) <= len(offered):
            return offered[int(answer) - 1].command
        print_wrapped(f"{safe(answer)!r} is not in the list, expected 1 to {len(offered)}")
