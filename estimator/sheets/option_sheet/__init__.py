"""The option sheet of one jaw, part by part."""
