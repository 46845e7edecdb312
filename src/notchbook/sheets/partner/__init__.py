"""What a partner is handed: the cut of the book, its words, the price list."""
