"""What comes later as pictures: calendars, chances as cells, spread and swings of the cost."""
