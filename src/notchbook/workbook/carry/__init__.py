"""What a new workbook takes over from the old one, and the memory between compiles."""
