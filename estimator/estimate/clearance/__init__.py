"""Is there room: the stack of each option against the measured restorative space."""
