"""The keys of the definition files, as data: what may stand where, and how it is read.

Decisions:

- Counts says the stage by one optional word: blank means raw for a stock and finished for a
  project, so that counts without work in process need no word. A stock in work is counted with its
  stock, a project in work is on no shelf of finished ones; both are in lines 35 and 41.
- `elected_179` is a key of its own, because a tool of a past year that the limit cut short has a
  basis that this year's figures cannot tell. `next-year` writes it, and the convention of the
  year's new tools.
- The use of the home, section 179 and the estimates have keys of their own (`year_end` in
  shop.yaml), all optional; they are cells on Settings like any other.
"""
