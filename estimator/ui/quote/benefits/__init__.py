"""Benefit plans on the Quote page: typed, read, estimated, asked and answered."""
