"""Simulated feed logs: a stay as its gauges would tell it, for examples, training and tests."""
