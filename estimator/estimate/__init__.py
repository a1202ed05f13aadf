"""The model: clearance, cost, visits, upkeep, and the estimate they make together."""
