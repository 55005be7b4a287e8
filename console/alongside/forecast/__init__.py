"""Hours ahead: what will happen to each line, when, and which tending rounds keep the set in band.

The same mechanics and the same rules as now, over situations that are expected (`expected`, `tide`). Pure: it
knows no clock, file, thread or screen.
"""
