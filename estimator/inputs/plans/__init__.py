"""Benefit plans: the model, its file, its answer."""
