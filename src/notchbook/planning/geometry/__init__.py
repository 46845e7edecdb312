"""Rectangles, lays and slants in exact numbers.

Decision: all edges of a lay are level, upright or at 45 degrees, so corners are p + q * sqrt(2) and
trimming never divides; the areas of the trimmed strips add up to the surface's exactly.
"""
