"""The keys of the definition files, as data: what may stand where, and how it is read."""
