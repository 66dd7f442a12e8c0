"""Which yards to buy from and how: choices, their fees and bounds, and what a buyer asks about."""
