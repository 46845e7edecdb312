"""The pipeline: gathered rows to jobs, plans, planned rows and worked-out columns.

Decisions:

- A plan is stale when a sum over the cut list, the laid surfaces, the saw settings or a stock's
  size differs from what it was at compile, when the words that the plan looked at (stocks, `turn`,
  pattern, kind, grain, `ends`) are others than then, or when it counts on more reclaimed wood than
  is there any more.
- Plans are made as if all that can be bought had to be, because what is there changes with every
  run and slip; boards that are there are taken for them afterwards (`planning.from_stock`), which
  is as cheap wherever parts have one stock to buy. Of reclaimed wood a plan takes no more than is
  there, so what is there is worked out before planning (`there_now`): new runs take by the plans of
  before them.
- What a run took stands on Stock used, and is read from the copy of the book that the compile left,
  so that no sorting or typing there moves it; where the memory is lost, from the sheet. A run is
  known by its day, project and pieces, which sorting does not change.
- A run whose cut was kept takes the boards of that cut and no more (`kept_cuts`); which run holds
  which cut follows from the log as it stands, so that reading commands and a compile agree.
- Plans are kept in the workbook, packed, each under a hash of `planning.METHOD` and its whole job;
  a damaged one costs only the time to plan again. `cuts`, `prices` and `year-end` use them.
- Costs are kept with a sale wherever a shop is worked out, so that `prices` and a compile agree;
  only compile writes them down. A return takes the cost of the receipt that it names.
- Rows of a project that is not on Projects are shown and left out of planning; Checks names them.
- `check` and `compile` refuse marks that do not fit, by the rules of the sheet Marks. Rows of marks
  that meet on one part are a notice, because they may lie on different faces.
- A waste share that gives fewer strips of a laid surface than lie there is said on the sheet and
  below the drawing.
- Shop sheets list readings as text, written when everything is worked out; a live sum beside it
  tells when they are old.
"""
