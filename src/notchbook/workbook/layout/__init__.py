"""Where everything stands on the sheets, by what names it is found, how it looks.

Decisions:

- Formulas use plain cells, and ranges from the header row over a fixed capacity, so that a row
  inserted first or typed below is counted. Tables are there for filtering and for reading back.
- Typed cells are boxed, worked-out ones open, planned ones dotted, so that grey print tells them
  apart.
- Arial 10 is the workbook's own font: programs count the width of columns in its digits, and take
  another font where the usual one is missing.
"""
