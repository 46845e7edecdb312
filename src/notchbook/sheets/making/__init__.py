"""Sheets of what is made: stock, projects, parts, plans, costs, prices, shop sheets."""
