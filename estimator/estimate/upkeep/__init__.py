"""What the next years cost: rates, renewals, and the distribution of the total."""
