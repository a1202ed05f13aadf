"""What an option costs: the patient, the practice, and at the prices of another version."""
