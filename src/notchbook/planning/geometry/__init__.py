"""Rectangles, lays and slants in exact numbers."""
