"""Rules as expressions: printed as formulas, evaluated with pandas, told in words.

An expression is the rule of a column or a line. Nothing in this package knows of wood or money.

Decisions:

- The language is total: no rule can show an error. Division by zero gives 0; a look-up and an
  average name their own answer for nothing found; a blank is 0 in arithmetic and "" in text; rows
  without their key stay silent (`Table.silent`). Text typed where a number belongs can still give
  an error in its own row: the row's state and Checks name it, and totals over given columns count
  it as 0.
- Spreadsheets leave blank cells out of MIN and MAX but count them as 0 everywhere else, so the
  printer adds 0 to such arguments.
- Formulas hold no numbers but 0, 1, the digits of rounding and the conversions of the measures:
  the printer refuses others. Words (verdicts, kinds) are allowed.
- TAN is not among the functions, so the tangent of a slanted end is planned; what follows from it
  is a formula.
- Dates are day numbers inside frames; only the edges know calendar dates.
- To find a line twice, or the first line of a receipt, a row looks itself up and compares with its
  own number (`RowNumber`). Spreadsheet programs index exact look-ups, so 10,000 sales cost ten
  times what 1,000 do.
"""
