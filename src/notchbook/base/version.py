"""The version of notchbook, which files of its own name in their properties."""

VERSION = "1.0.0"
