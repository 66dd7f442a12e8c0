"""What reports say, worded and reckoned once: orders, saw, sheet and hole lists, offcuts and cautions."""
