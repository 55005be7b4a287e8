"""Situations at the grain quay. Expectations by seamanship and common practice, written before
the advice was seen."""

from typing import Final

from alongside.actions import Accept
from tests.prudent.berths import COASTER
from tests.prudent.situation import HANDS, NORMAL, Situation, Wind

SLACK_ACCEPTED: Final = tuple(
    Accept("slack", line, 1_781_600_000.0, "shifting to the next hatch", "RV") for line in ("2", "5")
)

GRAIN_QUAY: Final = {
    "grain, quiet on the flood": Situation(
        "Flood, light airs, breasts tended an hour ago.", COASTER, (NORMAL,), hours=8.0
    ),
    "grain, quiet at low water": Situation(
        "Low water, light airs, breasts tended just now.", COASTER, (NORMAL,), hours=6.2
    ),
    "grain, breasts slack on the ebb": Situation(
        "Two hours of ebb have made both breasts slack.", COASTER, ("HEAVE",), ("SLACK", NORMAL)
    ),
    "grain, breasts slack on the ebb, gale off the quay": Situation(
        "The same; 45 kn off the quay push her off until they bear: not one may be slacked.",
        COASTER,
        ("CALL MASTER", "ORDER TUGS"),
        ("SLACK", NORMAL),
        wind=Wind(45.0, 54.0),
    ),
    "grain, storm off the quay at half ebb": Situation(
        "60 kn off the quay, lines hold 56.",
        COASTER,
        ("CALL MASTER", "ORDER TUGS", "LOOK AT WINCH"),
        HANDS,
        hours=4.5,
        wind=Wind(60.0, 70.0),
    ),
    "grain, storm onto the quay at half ebb": Situation(
        "60 kn onto the quay: she lies hard on her fenders; one breast hangs.",
        COASTER,
        ("HEAVE", "WATCH LINE", "CHECK LINES"),
        ("SLACK", "MOVE", NORMAL),
        hours=4.5,
        wind=Wind(60.0, 70.0, 180.0),
    ),
    "grain, little water under the keel": Situation(
        "Low water, 1 m deeper than planned: 0.7 m under her keel.",
        COASTER,
        ("CALL MASTER", "READ DRAUGHTS"),
        (*HANDS, NORMAL),
        hours=6.1,
        deeper=1.0,
    ),
    "grain, low water far below the table": Situation(
        "The gauge shows 1.2 m below the table at low water: true, or a bad gauge; both are serious.",
        COASTER,
        ("CALL MASTER", "READ TIDE BOARD"),
        (*HANDS, NORMAL),
        hours=6.1,
        level=-1.2,
    ),
    "grain, tight breast on the flood, calm": Situation(
        "Breast 2 was hove in 0.6 m too far, and the flood goes on: slack it.",
        COASTER,
        ("SLACK 2", "STAND BY 2"),
        ("HEAVE", NORMAL),
        hours=10.0,
        longer={"2": -0.6},
    ),
    "grain, tight breast on the flood, gale off the quay": Situation(
        "The same in 50 kn off the quay: that breast holds her.",
        COASTER,
        ("CALL MASTER", "DO NOT SLACK"),
        (*HANDS, NORMAL),
        hours=10.0,
        longer={"2": -0.6},
        wind=Wind(50.0, 60.0),
    ),
    "grain, tight breast on the flood, gale on the quay": Situation(
        "The same in 40 kn onto the quay: the fenders hold her, the breast may be slacked.",
        COASTER,
        ("SLACK 2", "STAND BY 2"),
        ("HEAVE", NORMAL),
        hours=10.0,
        longer={"2": -0.6},
        wind=Wind(40.0, 48.0, 180.0),
    ),
    "grain, tight breast on the flood, lull in the gale": Situation(
        "The same; it blew 50 kn off the quay, for two minutes there are 8: it will blow again.",
        COASTER,
        ("CALL MASTER", "ORDER TUGS", "DO NOT SLACK"),
        (*HANDS, NORMAL),
        ("expected",),
        hours=10.0,
        longer={"2": -0.6},
        before=Wind(50.0, 60.0),
        wind=Wind(8.0, 10.0),
    ),
    "grain, tight breast on the flood, gusts off the quay": Situation(
        "The same in 15 kn with gusts of 60.",
        COASTER,
        ("CALL MASTER", "ORDER TUGS", "DO NOT SLACK"),
        (*HANDS, NORMAL),
        hours=10.0,
        longer={"2": -0.6},
        wind=Wind(15.0, 60.0),
    ),
    "grain, tight breast after high water": Situation(
        "The same after high water: the ebb eases it.",
        COASTER,
        ("EASING 2", "WATCH LINE 2"),
        ("HEAVE", NORMAL),
        hours=13.5,
        longer={"2": -0.6},
    ),
    "grain, nothing fast yet": Situation(
        "Half an hour before the first line is fast.", COASTER, ("CHECKING",), (*HANDS, NORMAL), hours=-0.5
    ),
    "grain, nothing fast yet, gale": Situation(
        "The same in 40 kn off the quay.",
        COASTER,
        ("CHECKING", "CALL MASTER", "ORDER TUGS"),
        (*HANDS, NORMAL),
        hours=-0.5,
        wind=Wind(40.0, 48.0),
    ),
    "grain, no tide from anywhere": Situation(
        "No tide table, and the gauge is silent: no load is known.",
        COASTER,
        ("CHECK LINES", "READ TIDE BOARD", "CHECK GAUGES"),
        (*HANDS, NORMAL),
        hours=8.0,
        table=False,
        silent=("tide",),
        seconds=400,
    ),
    "grain, wind vane silent": Situation(
        "It blows 25 kn, from where is not known any more.",
        COASTER,
        ("CHECK GAUGES",),
        ("SLACK", "MOVE", NORMAL),
        hours=8.0,
        wind=Wind(25.0, 30.0),
        silent=("wind_from",),
    ),
    "grain, no breasts, gale off the quay": Situation(
        "Both breasts are ashore for another hatch, 50 kn off the quay.",
        COASTER,
        ("CALL MASTER", "ORDER TUGS", "LOOK AT WINCH"),
        HANDS,
        without=("2", "5"),
        wind=Wind(50.0, 60.0),
    ),
    "grain, head line parted, gale off the quay": Situation(
        "40 kn off the quay, head line 1 parts.",
        COASTER,
        ("LINE 1 PARTED",),
        says=("master",),
        hours=8.0,
        wind=Wind(40.0, 48.0),
        parted=("1",),
    ),
    "grain, two lines parted": Situation(
        "Both breasts part in 50 kn off the quay.",
        COASTER,
        ("LINE 2 PARTED", "LINE 5 PARTED", "LINE 2, 5 PARTED"),
        says=("master",),
        hours=8.0,
        wind=Wind(50.0, 60.0),
        parted=("2", "5"),
    ),
    "grain, slack springs": Situation(
        "Both springs 2 m long: she can range along the quay.",
        COASTER,
        ("HEAVE", "TEND 3, 4", "CHECK LINES"),
        ("SLACK", NORMAL),
        hours=8.0,
        longer={"3": 2.0, "4": 2.0},
    ),
    "grain, no springs, gale along the quay": Situation(
        "No springs out, 60 kn from ahead: head line alone keeps her.",
        COASTER,
        ("CHECK LINES",),
        ("SLACK", "MOVE", NORMAL),
        hours=8.0,
        without=("3", "4"),
        wind=Wind(60.0, 72.0, -90.0),
    ),
    "grain, slack breasts accepted": Situation(
        "Both slack breasts were accepted with a reason: no headline, yet not all is normal.",
        COASTER,
        ("",),
        (*HANDS, NORMAL),
        ("accepted",),
        seconds=400,
        actions=SLACK_ACCEPTED,
    ),
    "grain, slack breasts accepted, then a storm": Situation(
        "The same, and it blows 62 kn off the quay.",
        COASTER,
        ("CALL MASTER", "ORDER TUGS", "LOOK AT WINCH"),
        HANDS,
        seconds=400,
        actions=SLACK_ACCEPTED,
        wind=Wind(62.0, 70.0),
    ),
    "grain, lull just after the gale": Situation(
        "52 kn until 40 s ago, now 8: wind and ship are within their limits, and nobody calls for tugs.",
        COASTER,
        ("CHECK LINES",),
        (*HANDS, NORMAL),
        ("easing", "was 9"),
        ("0.00 m",),
        hours=8.0,
        before=Wind(52.0, 55.0),
        wind=Wind(8.0, 10.0),
        seconds=40,
    ),
    "grain, lull after the squall": Situation(
        "60 kn for a quarter of an hour, 10 kn for the last three minutes.",
        COASTER,
        ("CALL MASTER",),
        ("SLACK", "MOVE", NORMAL),
        hours=8.0,
        before=Wind(60.0, 70.0),
        wind=Wind(10.0, 50.0),
    ),
}
