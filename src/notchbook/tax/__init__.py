"""Tax rules by country and year, as data with a source beside each figure.

Decisions:

- The lines of the form are data (`us/lines.csv`): our name for a line is fixed, its printed number
  is per year. A year beyond the data takes the numbers of the nearest year that is known.
- Lines of the form that nothing feeds stand in `us/not_here.csv`; Year-end and `year-end` list
  them, so that nobody takes the form for complete.
- Depreciation percentages stand in `us/macrs.csv` as printed.
"""
