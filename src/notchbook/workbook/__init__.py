"""The workbook file; the only package that knows openpyxl.

Decisions:

- Stored values are ours. LibreOffice trusts them, so a test recalculates every formula cell of both
  example shops from scratch, in LibreOffice and in a second engine.
- The file is reproducible: fixed zip times and properties, so equal definitions give equal bytes
  with the same libraries (openpyxl writes the same XML a little otherwise where lxml is installed).
- The new file is written beside, read back, compared, and put in place by one rename, after a dated
  copy of the old one; one that was saved meanwhile is left alone.
"""
