"""Papers about treatment: consent, care, tooth trial, laboratory, parts, office summary."""
