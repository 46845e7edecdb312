"""From a plan to the saw: cuts in order, settings, offcuts, steps."""
