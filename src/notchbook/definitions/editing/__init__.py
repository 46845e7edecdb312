"""Edits of definition files in their own text, comments and line ends kept."""
