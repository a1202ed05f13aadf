"""Checked values: case, fees, options, settings. Rows in, values or Problems out."""
