"""What is said on paper, as blocks; nothing here knows a page or a printer."""
