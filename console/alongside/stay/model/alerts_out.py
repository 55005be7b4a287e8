"""Where alerts go beside the console, and who may answer them."""

from dataclasses import dataclass
from typing import Final, Literal

SAME_PORT: Final = "same_port"
"""Commands are taken from whoever is at the other end of the port that the alerts go to."""


@dataclass(frozen=True, slots=True)
class AlertsOut:
    """Alerts as sentences of IEC 61162-1 on a port of the ship's network.

    `form` alf: ALF, ALC, HBT and ARC; alr: ALR for old receivers. `commands` is a port with the one address
    that is listened to (`udp:60019?from=192.168.1.5`), `same_port`, or "" where nobody is.
    """

    port: str
    form: Literal["alf", "alr"] = "alf"
    talker: str = "II"
    maker: str = ""
    """Three letters by which the ship's alert management knows the sender; "" leaves the field empty."""
    commands: str = ""
    source: str = ""
    """Sender in the TAG block of IEC 61162-450, such as II0001; "": bare sentences."""
    heartbeat_s: float = 30.0
    list_s: float = 30.0
    """How often the list of alerts goes out, s."""
