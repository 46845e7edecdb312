"""Definition files to rows: every fault of every file, at its line.

Decisions:

- ruamel.yaml reads, because it knows the line of every node.
- A comma in a typed number is understood where it can only mean one thing: `14,50` is 14.5 and
  `1,234.50` is a thousand and more; `1,450` is asked about.
"""
