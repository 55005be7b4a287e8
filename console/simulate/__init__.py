"""Simulated feed logs: a stay as its gauges would tell it, for examples, training and tests."""

from console.simulate.log import simulate, write_log

__all__ = ["simulate", "write_log"]
