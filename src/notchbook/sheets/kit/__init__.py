"""What sheets are made of: declarations, values, calculation, columns in words."""
