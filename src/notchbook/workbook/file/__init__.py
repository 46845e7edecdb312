"""The file itself: its parts, hidden sheet, stored values, notes and drawings."""
