"""What was dropped is not on record; how much was is."""

from alongside.feeds.reader import PortStatus
from alongside.runtime.drops import Drops


def test_dropped_lines_are_noted_at_once_then_seldom_and_all_of_them() -> None:
    drops, texts = Drops(), []
    for second in range(1500):
        dropped = min(max(0, second - 10), 1300) * 100
        status = PortStatus(True, "", dropped, dropping=10 < second < 1370)
        texts += [
            (second, event.text)
            for event in drops.news(float(second), {"net": status, "box": PortStatus(True)})
        ]
    assert texts == [
        (11, "Feed net: 100 lines dropped: too many; not on record"),
        (611, "Feed net: 60000 lines dropped: too many; not on record"),
        (1211, "Feed net: 60000 lines dropped: too many; not on record"),
        (1370, "Feed net: 9900 lines dropped: too many; not on record"),
    ]
