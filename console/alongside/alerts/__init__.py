"""Alerts: rules hold what is computed against limits; a state machine remembers; texts tell it.

`assess` and `rules` know one instant only; delays and all that remembers live in `step`. To add a cause: a
`Cause` in `alongside.alerts.rules` and its place in `CAUSES`.
"""
