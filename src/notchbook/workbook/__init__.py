"""The workbook file; the only package that knows openpyxl."""
