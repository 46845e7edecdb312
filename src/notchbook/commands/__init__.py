"""One module a command, with what it prints beside it.

Decisions:

- `hand-over` asks nothing before it writes, because it destroys nothing. A copy that stands as it
  was written gives way; the file's properties tell (its category, and that it was never saved
  since).
- `year-end` works everything out anew and compares what the file itself holds on Year-end; a file
  without values (saved by a program that does not calculate) is a notice.
- With `cuts --all`, `units` is the sum of all batches, and `project` null.
- Next year's workbook is a new one: own sheets, columns and notes stay behind, and are named.
- A sold tool that a project uses goes along to the next year and is told: without it the project's
  file would not load, and taking the use out by itself would lower a price unnoticed. Sold in a
  past year it counts for nothing.
- A closing count whose number nobody understands opens with 0, as Counts reckons it: Year-end took
  its value, and the form wants the opening stock to be last year's closing one.
- The next year's folder is loaded before it is put in place, whole, by one rename.
- Lines are broken only at a terminal; piped, each message is one line.
"""
