"""Hypothesis without deadlines: how long an example takes says nothing about whether it is right, and a test
that runs against the clock fails on a busy machine."""

from hypothesis import settings

settings.register_profile("house", deadline=None)
settings.load_profile("house")
