"""The books of a year's goods: what was there, bought, used, made, sold and left, at its cost.

`keep_books` is the door: rows in, a `GoodsBooks` out. The package knows no sheets and no files.

Decisions

- Values are whole numbers of the currency's smallest amount, as in a ledger that is posted by
  hand. Whatever is split (a slip over the runs it pays for, a pool over what is taken) is
  rounded once, and the rest stays where it was, so that opening + bought = sold + own use +
  cost of the year + left holds to the cent, whatever the numbers are.
- What a run takes beyond what the books hold is paid by the next slip of that stock; therefore
  all stocks are gone through first, then the finished pieces with the whole cost of their runs.
- Pieces that no count and no run of the year covers cost what was kept with their sale. No
  stock lost them, so the sum of these is told apart (`GoodsBooks.estimated`), for a check to name.
"""
