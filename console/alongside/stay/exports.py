"""What fits together in a feed from an export with columns, and what does not."""

from typing import Final

from alongside.stay.model import Feed
from alongside.stay.nodes import Node

CSV: Final = "csv:"
_NOT_OF_COLUMNS: Final = ("pattern", "admit", "poll")


def columns_fit(node: Node, feed: Feed) -> None:
    """Put on the list what has no meaning beside columns, and columns of what is no export."""
    is_export = feed.port.startswith(CSV)
    for source in feed.channels:
        channel = node["channels"][source.channel]
        if is_export and not source.columns:
            channel.fault("an export has columns only", "column, the heading of the one to read")
        elif source.columns and not is_export:
            channel["column"].fault("only an export has columns", "a port such as csv:export.csv")
    in_columns = "column" in node["time"]
    if not is_export:
        if feed.time is not None and in_columns:
            node["time"]["column"].fault(
                "only an export has columns", "group, or a port such as csv:export.csv"
            )
        return
    for key in _NOT_OF_COLUMNS:
        if key in node:
            node[key].fault(f"{key} of an export", f"no {key}: its columns have headings")
    if feed.time is None:
        node.missing("time", "{column: …}, the heading of the column that bears the time of the row")
    elif not in_columns:
        node["time"].fault("a group, but an export has columns", "column")


def columns_used(feed: Feed) -> tuple[str, ...]:
    """Return the headings that a feed needs, each once: those of its time first."""
    wanted: list[str] = [] if feed.time is None else [*feed.time.groups]
    for source in feed.channels:
        wanted += source.columns
        if source.columns:
            wanted += [heading for heading, _ in (*source.where, *source.minus)]
            wanted += [source.unit_in] if source.unit_in else []
    return tuple(dict.fromkeys(wanted))
