"""Discounts, ways to pay, and the rules and texts of the place where a quote is made."""
