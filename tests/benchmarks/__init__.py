"""Benchmarks: run by hand, they report ratios against a reference measured in the same run."""
