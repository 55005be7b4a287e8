"""Stays to be lived through: simulated logs, and exercises put into them."""
