"""What benefit plans pay of each line, and why: rules, years, two plans, letter and answer."""
