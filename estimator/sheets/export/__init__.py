"""What is said outside paper: the terminal, a few sentences, a calendar file."""
