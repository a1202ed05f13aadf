"""The user's own folder: its practice files, read and written."""
