"""Drawings to scale as PNG, for print. The only package that draws with Pillow.

Decisions:

- Pillow draws, because native charts cannot hold kerfs, hatching and letters to scale, and look
  different in every program; a PNG is the same on screen, on paper and on a phone.
- Letters are the ones that Pillow brings along (ASCII; accents go), so that no machine's fonts
  matter. Names in full stand in cells and in the alternative text.
- 16 greys, hatching and letters; no colours.
- A drawing stands in one row of cells, as high as itself, so that no page ends within it. Rows end
  at 409 points; taller ones are drawn in parts.
"""
