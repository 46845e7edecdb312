"""Tax rules by country and year, as data with a source beside each figure."""
