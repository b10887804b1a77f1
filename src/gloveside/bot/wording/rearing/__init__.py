"""Results of the rearing arithmetic as lines for a phone: at most 40 characters wide and 12 lines long."""
