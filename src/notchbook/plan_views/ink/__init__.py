"""Drawings to scale as PNG, for print. The only package that draws with Pillow."""
