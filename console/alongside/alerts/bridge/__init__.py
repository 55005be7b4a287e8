"""Alerts as sentences of IEC 61162-1 for the ship's alert management, and what it asks for in return. Knows
no port, no thread and no clock."""
