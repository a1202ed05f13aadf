"""Papers about money: quote, payment plan, benefit estimate, letter to a plan, self-pay estimate."""
