"""Facts of the trade and of money: nominal sizes, currencies."""
