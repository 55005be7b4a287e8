"""Simulated feed logs: what the gauges of a stay would send, for examples, training and tests."""
