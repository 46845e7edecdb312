"""A plan as people see it: in sentences, in letters, in ink; cautions and slanted ends.

What a board, a blank and a sheet show is worked out once (`board_views`) and drawn by letters and
by ink alike.

Decisions:

- The limits below which a step is marked are data (`data/cautions.yaml`, `below`), each with its
  source.
- A caution is told where the work asks for it: by words in the names of materials, tools and steps
  (`about`), by the hazards of the steps at the saw, or because a project names it. Reclaimed boards
  bring those on nails and old paint, whether they are cut or not.
"""
