"""The Quote page: lines, discounts, ways to pay, papers and kept versions."""
