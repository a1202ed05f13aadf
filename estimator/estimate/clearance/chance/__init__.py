"""How likely it is that there is room, given what was measured and how well: a jaw, two jaws, a bar, a path."""
