"""Sheets of the books that follow the tax form: tools, estimates, Year-end.

How a tool is written off: `tool_basis` says what is written off at all, `tool_schedule` what of it
in a year, one rule a column; `tool_depreciation` puts them side by side, and `tool_lines` sums them
up on Year-end. A year's amount is, by method: its first year's lump (expensed, section 179, bonus),
plus a share of its basis (the class's percentage, or months of its life), plus its units of use.
The months gone and what the method gives stand in columns of their own on the right, so that no
formula has to hold all of it. Nothing is circular, because each step looks at less than the next:
the section 179 limit of the law at the cost of this year's tools; the mid-quarter test at the basis
after section 179 and before bonus; the classes at the convention; the profit limit at the profit
before section 179 and after the use of the home. The year columns show what is chosen under section
179; Year-end takes what the profit allows.

Decisions:

- What the law asks beyond that is named on Checks and not worked out: more than half business use
  (a check for section 179 and bonus, a notice for classes), listed property, recapture, additional
  medicare tax.
- Depreciation of past years is given, never recomputed. The rest follows from this year's business
  share, so a lowered share never stops a schedule; only the cost does. Each year is rounded to the
  currency's smallest amount (a cell on Settings), and the last one takes what rounding left.
- A typed convention wins over the year's test, because it was filed; where it goes against the test
  of this very year, a check says so. A past year's tool without one is taken as half-year and
  named.
- A month of sale counts when the tool was there to its last day (common practice); half a year or
  half a quarter counts under those conventions; nothing in the year it was put to work under a tax
  class.
- The section 179 limit is shared by cost where it does not reach; a shop that meets it picks its
  tools.
- Under `materials` the cost of goods is what the sold pieces hold, and closing stock is what is
  left of opening and purchases, never below nothing. The count is shown beside it, and
  `written_off` is typed, not worked out: written off by itself it would turn the method into the
  other one.
"""
