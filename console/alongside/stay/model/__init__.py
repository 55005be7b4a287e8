"""The stay, as read from its file: what is moored where, with what, watched through which feeds.

Frozen dataclasses of plain numbers; no arrays, so that checking a file needs no numpy. Frames, signs and
units: ship frame x forward of the aft perpendicular, y to port, z up from the keel; berth frame x along
the fender face, y out to the water, z up from chart datum; metres, kilonewtons, degrees; times are UNIX
seconds. `None` means the file does not say.
"""

from alongside.stay.model.alerts_out import AlertsOut
from alongside.stay.model.berth import Berth, Bollard, Fender
from alongside.stay.model.beside import Beside
from alongside.stay.model.guess import Guess
from alongside.stay.model.lines import (
    CurveRows,
    Learnt,
    Line,
    MadeFast,
    Role,
    Rope,
    RopeKind,
    SpareRope,
    Tail,
    Tend,
)
from alongside.stay.model.plans import (
    CargoOperation,
    Constituent,
    CurrentForecast,
    FaultKind,
    Gangway,
    GangwayKind,
    GaugeFault,
    LateEntry,
    LongWave,
    LookAhead,
    PassingShip,
    Scenario,
    SwellSpell,
    TidePlan,
    TugAlongside,
    WindChange,
)
from alongside.stay.model.point import Point
from alongside.stay.model.ship import (
    CoefficientRows,
    CurrentCoefficients,
    HoldPlace,
    HydrostaticRow,
    Marks,
    Place,
    Ship,
    WindAreas,
)
from alongside.stay.model.stay import Alongside, Stay
from alongside.stay.model.subordinate import TideDifferences
from alongside.stay.model.watched import (
    ByHand,
    Display,
    Feed,
    HoldingSettings,
    Limits,
    Poll,
    Register,
    RegisterType,
    RowTime,
    Source,
    StageLimits,
    StandingOrder,
)
from alongside.stay.model.winch import BrakeTest, Winch

__all__ = [
    "AlertsOut",
    "Alongside",
    "Berth",
    "Beside",
    "Bollard",
    "BrakeTest",
    "ByHand",
    "CargoOperation",
    "CoefficientRows",
    "Constituent",
    "CurrentCoefficients",
    "CurrentForecast",
    "CurveRows",
    "Display",
    "FaultKind",
    "Feed",
    "Fender",
    "Gangway",
    "GangwayKind",
    "GaugeFault",
    "Guess",
    "HoldPlace",
    "HoldingSettings",
    "HydrostaticRow",
    "LateEntry",
    "Learnt",
    "Limits",
    "Line",
    "LongWave",
    "LookAhead",
    "MadeFast",
    "Marks",
    "PassingShip",
    "Place",
    "Point",
    "Poll",
    "Register",
    "RegisterType",
    "Role",
    "Rope",
    "RopeKind",
    "RowTime",
    "Scenario",
    "Ship",
    "Source",
    "SpareRope",
    "StageLimits",
    "StandingOrder",
    "Stay",
    "SwellSpell",
    "Tail",
    "Tend",
    "TideDifferences",
    "TidePlan",
    "TugAlongside",
    "Winch",
    "WindAreas",
    "WindChange",
]
