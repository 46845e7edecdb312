"""The book as it was written, packed on the hidden sheet, and what was done to it since."""
