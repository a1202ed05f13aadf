"""The Sheets page: which papers, what is missing, how they look, and who approved their words."""
