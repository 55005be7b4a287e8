"""Benchmarks, printed on request: `python -m tests.bench [NAME ...]`. Figures and ratios of one run on one
machine; none of them is a test."""
