"""What sheets are made of: declarations, values, calculation, columns in words.

Decisions:

- Totals of ledgers read given columns. A row typed below a ledger has no worked-out cells until the
  next compile; its sums are right all the same, and Checks names it.
- `prints_to` keeps sums and words that only formulas need off the printed page; `Sheet.prints`
  prints one table of a sheet.
- Charts are declared (`charts`): which columns of which table, and the words around them; names are
  checked by the tests of the language.
- Shop sheets are tables split over sheets (`Table.split`): calculated once for all projects, laid
  out one sheet a project, the project's name in A1. Tables below one another share the columns of
  the sheet's `grid`; sentences run on over empty cells (`LINE`) and are broken at compile, since
  without merged cells no text wraps over several columns. What a page does not need (the numbers
  that a state is found by) stands right of the printed columns.
"""
