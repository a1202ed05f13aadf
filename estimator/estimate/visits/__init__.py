"""Appointments and trips of an option: weeks, days, minutes."""
