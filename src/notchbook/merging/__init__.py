"""Two surfaces, one set of rows: what the files say and what the workbook holds, merged.

Knows rows, keys, columns and values; nothing of files, spreadsheets or wood.
"""
