"""Hours ahead: what will happen to each line, when, and which tending rounds keep the set in band.

The same mechanics and the same rules as now, over situations that are expected (`console.outlook`). Pure: it
knows no clock, file, thread or screen.
"""

from console.ahead.look import look_ahead
from console.ahead.model import LimitAhead, Outlook, RoundAhead, Spread, Tending
from console.ahead.soon import soon_of

__all__ = ["LimitAhead", "Outlook", "RoundAhead", "Spread", "Tending", "look_ahead", "soon_of"]
