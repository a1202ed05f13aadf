"""What a practice folder holds beside options and figures: fees, plans, jurisdictions, logo, closed days."""
