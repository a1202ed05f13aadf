"""The Visits page: the days of every option."""
