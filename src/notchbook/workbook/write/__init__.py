"""A workbook made: layout, look, charts, stored values; and read back before it is kept."""
