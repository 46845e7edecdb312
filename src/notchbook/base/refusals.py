"""What is refused before anything is written."""


class RefusedError(Exception):
    """A command that is refused, with the remedy in its sentence."""
