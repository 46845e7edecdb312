"""Boards and sheets drawn with letters, for a terminal."""
