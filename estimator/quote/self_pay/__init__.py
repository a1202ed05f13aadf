"""The estimate owed to a patient who pays without a plan: contents and clock."""
