"""How far each witness may be off by itself: one standard deviation. A doubt begins at `SIGMAS` of them.

| witness | sigma | why |
| --- | --- | --- |
| mean of a level, 3 min | 0.05 m | swell of 1 m at 1 sample in 3 s leaves 0.02 m; the first minute after a restart more |
| its change in 4 min | 0.08 m, draughts 0.07 m | two such means; harbour seiches of 0.1 m in 10 min |
| cosine of the table, change in 4 min | 0.25 of the range an hour | a flood twice as fast as the cosine, as at the head of an estuary |
| weather on the tide | 0.36 m | Vlissingen in the storms of January 2018; a smaller offset shows by standing still |
| growth of a storm surge | 0.5 m/h | the fastest that is common; slower is weather first |
| seiche of the harbour | 0.1 m | common practice, half of what it swings; within half an hour it is back |
| heel while nobody measures it | 1 deg/h | common practice: a gang off the centreline |
| cosine between high and low water | 0.12 of the range at half tide, 0 at both ends | ports with a stand or a double tide, 1.7 m of 4.5 m at worst |
| harmonic prediction | 0.05 m, and what it leaves out | against official predictions of four ports: 0.02 m |
| reference draught | 0.10 m | six marks read by eye in swell |
| cargo plan | 0.10 of what it may have moved by two hours from now | another hold worked first; how far the gang is does not count |
| midship against ends | 0.12 m | hog or sag of a loaded ship |
| heel by two gauges | 0.3 deg | inclinometer 0.1 deg, midship draughts 0.03 m each over the breadth |
| heading against the berth | 3.3 deg | gyro 1 deg, bearing off a chart 2 deg, yaw 1 deg |
| sounder against chart | 0.5 m | charted depth 0.3 m, siltation, slope of the pocket |
"""  # noqa: E501 - a table

from typing import Final

SIGMAS: Final = 3.0
BAND_90: Final = 1.645
"""Standard deviations on either side that hold nine of ten."""

JUMP_M: Final = 0.08
DRAUGHT_JUMP_M: Final = 0.07
DEPTH_JUMP_M: Final = 0.3
HEEL_JUMP_DEG: Final = 0.6
TABLE_SLOPE_PER_H: Final = 0.25
"""Of the range of the tide, an hour."""
FASTEST_TIDE_M_PER_H: Final = 6.5
"""No tide moves faster; a flood of 6 m/h is known of ports with 12 m of range."""

WEATHER_M: Final = 0.36
SURGE_M_PER_H: Final = 0.5
SEICHE_M: Final = 0.1
MOST_SURGE_M: Final = 2.0
"""A departure from the table beyond this is doubted however slowly it grew."""

REFERENCE_M: Final = 0.10
PLAN_SHARE: Final = 0.10
NO_PLAN_M_PER_H: Final = 0.2
"""How fast draughts may change of which no plan speaks."""
RATE_SHARE: Final = 0.15
"""Of the rate: no gang keeps its pace more evenly."""
LEAST_M_PER_H: Final = 0.02
"""By which what is carried on may be off at least; draughts without a plan by `NO_PLAN_M_PER_H`."""
HEEL_PER_H: Final = 1.0
"""How fast she may heel under cargo while nobody measures it."""
ENDS_M: Final = 0.12
HEEL_DEG: Final = 0.3
HEADING_DEG: Final = 10.0 / SIGMAS
SOUNDER_M: Final = 0.5

GAUGE: Final = {
    "tide": 0.03,
    "draught_fwd": 0.03,
    "draught_aft": 0.03,
    "draught_mid_port": 0.03,
    "draught_mid_stbd": 0.03,
    "heel": 0.1,
    "heading": 1.0,
    "wind_speed": 0.5,
    "wind_gust": 0.8,
    "wind_from": 5.0,
    "current_speed": 0.1,
    "current_to": 10.0,
    "depth": 0.2,
}
"""Of a good reading, in the channel's unit."""
