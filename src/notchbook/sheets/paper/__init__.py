"""Pages for paper beside the shop sheets: what to buy, by vendor, and labels for the pieces.

They are worked out in the shop's books and taken out of them as values: paper does not calculate.
What is bought is what *Bought together* says, for the projects that are printed.
"""
