"""Among plans of one cost, the handiest by the shop's wishes."""
