"""The search: first fit, relaxation, bounds, boards put together anew.

Decisions:

- A strip goes into any blank that is long enough, so the last boards need no fixed patterns:
  lengths are nested, and counting places by length is enough (Hall's theorem). Rounding board
  patterns instead wants two boards for a batch that one serves.
- Where hardly anything may be wasted, few blanks waste little enough, and one program over whole
  blanks finds what one over blanks and strips does not; with more waste they are too many to list.
- A board may be stretched on the way (`recombine._OVER`): a program that may pay for a board too
  long finds one that is not, ten times faster than one that must fit from the start.
"""
