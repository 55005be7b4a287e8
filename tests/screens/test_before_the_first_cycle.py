"""Every part while nothing is known yet, not even the time: as a console begins, or an exercise plays what
comes before it."""

from dataclasses import replace

import pytest

from alongside.cycle.picture_of import blank_picture
from alongside.screens.parts import OVER_ANY, PARTS
from alongside.stay.model import DecideBy, LeadTimes, TidePlan
from tests.screens import invented
from tests.screens.shown import console


@pytest.mark.slow
async def test_no_part_needs_a_time() -> None:
    tide = TidePlan(high_low=((invented.NOW - 3e4, 0.5), (invented.NOW + 3e4, 4.5)))
    stay = replace(invented.invented_stay(), decide=DecideBy(lead=LeadTimes(tugs=60.0)), tide=tide)
    async with console(blank_picture(stay)) as shown:
        for part in PARTS:
            if part not in OVER_ANY:
                await shown.turn(part)
                await shown.pass_time(2.5)
        await shown.turn("decide")
        assert "Not calculated yet" in shown.text
