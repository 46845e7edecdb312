"""Planted jobs: boards cut apart at random, as a shop would, and the pieces handed out.

The plan that cut them is kept, so `boards` boards are known to be enough. Fewer cannot be, by
volume alone: a piece takes its share of a board's usable volume, which is the length that the end
trims leave, times the section that squaring leaves (a piece of the section as bought takes all of
it); of a sheet, its share of the whole. What comes out of one board has shares of 1 together at
most, with no kerf counted, and all pieces have 80 to 90 % of `boards`: more than `boards - 1`, up
to 4 boards.

Equal seeds give equal jobs. Lengths are whole steps of 1/32.
"""

from .job import Planted
from .lumber import FLAVOURS, planted_lumber
from .panels import planted_panels

__all__ = ["FLAVOURS", "Planted", "planted_lumber", "planted_panels"]
