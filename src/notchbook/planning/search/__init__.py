"""The search: first fit, relaxation, bounds, boards put together anew."""
