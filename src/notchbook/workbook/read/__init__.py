"""A workbook read: found, judged safe, its given cells understood."""
