"""Drawings as shapes in the unit of their ruler; screen and paper draw the same ones."""
