"""Fee schedules: priced, drafted, compared version by version."""
