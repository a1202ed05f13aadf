"""The Records page: saved cases."""
