"""Sheets of the books that follow the tax form: tools, estimates, Year-end."""
