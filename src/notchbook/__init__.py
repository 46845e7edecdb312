"""Compiles a small wood shop's definitions into spreadsheet workbooks with live formulas."""
