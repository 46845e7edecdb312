"""Definition files to rows: every fault of every file, at its line."""
