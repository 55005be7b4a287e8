"""Tending rounds: when lines are tended and to what length, so that all stay in band."""
