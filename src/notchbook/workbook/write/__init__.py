"""A workbook made: layout, look, charts, stored values; and read back before it is kept.

Decisions:

- Columns are as wide as what stands in them (`widths`, letter by letter), within limits; longer
  words wrap.
- Charts are drawn natively with their values stored beside the references, because openpyxl stores
  none. They stand in a band of rows of their own above the tables, so that no length of a table
  makes them cover anything. Filters on the tables do not thin them out.
- Drawings and charts of ours are known by their names (`notchbook drawing 1`), which LibreOffice
  and openpyxl keep; the next compile draws them anew. Any other picture, and a second one of the
  same name, is the maker's and is reported before writing.
"""
