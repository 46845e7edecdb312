"""Sheets of what is made: stock, projects, parts, plans, costs, prices, shop sheets.

Decisions:

- Never a negative price: the suggested price is rounded up to its ending with ROUNDUP, which goes
  away from zero, and a break-even below the ending would give a price below zero; so the whole part
  is at least 0.
- The moving average is planned at compile (`books`): it walks through dates, which no rule of
  columns can say. The year's average beside it is a live formula.
- Cut plan is one table whose rows say what they are (get, bound, cut, step, care, keep): a second
  table beside it would lose rows whenever the first is filtered. Bought together does stand beside
  Material takeoff, because it is short; another batch than at compile makes it old, which is a
  notice and no failed check, since a batch may be changed at any time.
- Batch sizes stands beside Yield, a second table of project by units, because Yield is what it adds
  up; on Start it would be 300 rows for 30 projects. It has the rules of Projects with other units:
  both take them from the same functions (`cost_of_wood`, `labor_for`, `overhead_for` and so on),
  and a test changes every batch and compares. Packs are charged by the piece there as on Projects;
  whole packs are outlay. Only Batch sizes prints: Yield itself is for formulas.
- The slant, the short point and the share cut away of a slanted end are formulas over a planned
  tangent (see `language`).
- The rows of Readings are planned, one a mark, found by the number of its row, which moves along
  when the maker sorts; what stands in them is a formula.
"""
