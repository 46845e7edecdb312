"""Ledgers and what is summed up of them by month, channel and piece."""
