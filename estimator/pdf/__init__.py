"""Blocks and shapes to tagged PDF."""
