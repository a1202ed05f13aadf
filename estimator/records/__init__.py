"""Saved cases and kept quotes in a database: SQLite in the user's data folder, or any other that SQLAlchemy opens."""
